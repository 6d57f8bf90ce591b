package mix

import (
	"encoding/csv"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"raftwright/chem"
	"raftwright/unit"
)

// LabelError says where the text of a label stops making sense. Column counts
// characters from 1.
type LabelError struct {
	Text   string
	Column int
	What   string
}

// Error joins the parts into one line.
func (e *LabelError) Error() string {
	return fmt.Sprintf("label %q, column %d: %s", clip(e.Text), e.Column, e.What)
}

// labelExample shows how a label is written in one line.
const labelExample = "20-20-20; nitrate 6.0 %; ammonium 3.9 %; urea 10.1 %; iron 0.10 %"

// ParseLabel reads a label written in one line: the grade, if it has one, and
// then what is stated beside it, each with a share in percent, parted by
// semicolons or commas. Oxides are known by their formula (CaO, MgO, SO3, P2O5,
// K2O); the word chelated may stand before or after iron. The error is a
// *LabelError. Whether the figures fit together is for Material.Contents.
func ParseLabel(text string) (Label, error) {
	var l Label
	if len(text) > 2000 {
		return l, &LabelError{text, 1, "this is too long for a label"}
	}
	if strings.TrimSpace(text) == "" {
		return l, &LabelError{text, 1, "the label is empty; write for example " + labelExample}
	}
	at := 0
	for i, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == ',' }) {
		at += strings.Index(text[at:], part)
		inside := strings.TrimLeft(part, " \t")
		column := utf8.RuneCountInString(text[:at+len(part)-len(inside)]) + 1
		at += len(part)
		part = strings.TrimSpace(inside)
		if part == "" {
			continue
		}
		if i == 0 {
			if g, ok := parseGrade(part); ok {
				l.Grade = g
				continue
			}
		}
		if what := l.state(part); what != "" {
			return Label{}, &LabelError{text, column, what}
		}
	}
	return l, nil
}

// parseGrade reads "20-20-20", also "15.5-0-0" and with en dashes or colons.
func parseGrade(s string) (Grade, bool) {
	parts := strings.Split(strings.NewReplacer("–", "-", ":", "-", " ", "").Replace(s), "-")
	if len(parts) != 3 {
		return Grade{}, false
	}
	var x [3]unit.Fraction
	for i, p := range parts {
		v, err := strconv.ParseFloat(p, 64)
		if err != nil || !(v >= 0 && v <= 100) || strings.ContainsAny(p, "eExX+_") {
			return Grade{}, false
		}
		x[i] = unit.Fraction(v) * unit.Percent
	}
	return Grade{N: x[0], P2O5: x[1], K2O: x[2], Given: true}, true
}

// state reads one statement ("iron 0.10 %", "chelated iron: 0.1%").
func (l *Label) state(s string) string {
	i := strings.IndexAny(s, "0123456789.")
	for i > 0 && i < len(s) && !strings.ContainsAny(s[i-1:i], " :=\t") { // a digit inside a name: P2O5
		next := strings.IndexAny(s[i+1:], "0123456789.")
		if next < 0 {
			i = -1
			break
		}
		i += 1 + next
	}
	if i == 0 {
		return fmt.Sprintf("%q is no grade; it has three numbers from 0 to 100, for example 20-20-20", clip(s))
	}
	if i < 0 {
		return fmt.Sprintf("%q has no figure; write for example iron 0.10 %%", clip(s))
	}
	name := strings.ToLower(strings.Trim(s[:i], " :=\t"))
	share, err := unit.ParseFraction(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s[i:]), "chelated")))
	if err != nil {
		return err.Error()
	}
	if share < 0 || share > 1 {
		return fmt.Sprintf("%.4g %% cannot be; shares run from 0 to 100 %%", share.Percents())
	}
	chelated := strings.Contains(name, "chelated") || strings.HasSuffix(strings.TrimSpace(s), "chelated")
	name = strings.TrimSpace(strings.Replace(name, "chelated", "", 1))
	return l.set(name, share, chelated)
}

func (l *Label) set(name string, share unit.Fraction, chelated bool) string {
	plain := map[string]*unit.Fraction{"calcium": &l.Calcium, "magnesium": &l.Magnesium, "sulfur": &l.Sulfur, "sodium": &l.Sodium,
		"chloride": &l.Chloride, "manganese": &l.Manganese, "zinc": &l.Zinc, "copper": &l.Copper, "boron": &l.Boron,
		"molybdenum": &l.Molybdenum, "silicon": &l.Silicon, "iron": &l.Iron}
	stated := map[string]*Stated{"nitrate": &l.Nitrate, "ammonium": &l.Ammonium, "urea": &l.Urea, "phosphorus": &l.Phosphorus, "potassium": &l.Potassium}
	oxides := []struct {
		name, element string
		factor        float64
	}{{"cao", "calcium", chem.CalciumInCaO}, {"mgo", "magnesium", chem.MagnesiumInMgO}, {"so3", "sulfur", chem.SulfurInSO3},
		{"p2o5", "phosphorus", chem.PhosphorusInP2O5}, {"k2o", "potassium", chem.PotassiumInK2O}}
	for _, o := range oxides {
		if name == o.name {
			name, share = o.element, share*unit.Fraction(o.factor)
		}
	}
	key := strings.TrimSuffix(strings.TrimSuffix(name, " nitrogen"), "-n")
	if n, ok := NutrientOf(key); ok {
		key = strings.TrimSuffix(n.String(), " nitrogen")
	}
	if p, ok := plain[key]; ok {
		*p = share
		if key == "iron" && chelated {
			l.ChelatedIron = States(share)
		}
		return ""
	}
	if p, ok := stated[key]; ok {
		*p = States(share)
		return ""
	}
	names := []string{"nitrate", "ammonium", "urea", "P2O5", "K2O", "CaO", "MgO", "SO3"}
	for n := Phosphorus; n <= Silicon; n++ {
		names = append(names, n.String())
	}
	if near := unit.Near(name, names); near != "" {
		return fmt.Sprintf("%q is nothing that a label counts here (did you mean %s?)", clip(name), near)
	}
	return fmt.Sprintf("%q is nothing that a label counts here; write for example nitrate, iron or MgO", clip(name))
}

// ReadShelf reads a shelf kept as a table: comma separated, a head line, one
// product a line. Columns, in any order: name; label (as for ParseLabel) or
// formula; purity, level teaspoon, density, bulk density, solubility, limit,
// pack (by mass or volume), price (a number), currency. The error joins every
// fault, each with its line.
func ReadShelf(text string) ([]Material, error) {
	if len(text) > 1<<20 {
		return nil, errors.New("a shelf of more than a megabyte is not read")
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comment, r.TrimLeadingSpace, r.FieldsPerRecord = '#', true, -1
	head, err := r.Read()
	if err != nil {
		return nil, errors.New("the shelf is empty; its first line names the columns: name,label,formula,pack,price")
	}
	for i := range head {
		head[i] = strings.ToLower(strings.TrimSpace(head[i]))
		if _, ok := shelfColumns[head[i]]; !ok {
			return nil, fmt.Errorf("line 1: there is no column %q%s", clip(head[i]), nearColumn(head[i]))
		}
	}
	var out []Material
	var faults []error
	for {
		row, err := r.Read()
		if row == nil && err != nil {
			if !strings.Contains(err.Error(), "EOF") {
				faults = append(faults, err)
			}
			break
		}
		line, _ := r.FieldPos(0)
		m, err := shelfRow(head, row)
		if err != nil {
			faults = append(faults, fmt.Errorf("line %d: %w", line, err))
			continue
		}
		if out = append(out, m); len(out) > mostShelf {
			return nil, fmt.Errorf("more than %d products are not worked with", mostShelf)
		}
	}
	return out, errors.Join(faults...)
}

var shelfColumns = map[string]func(m *Material, s string) error{
	"name":           func(m *Material, s string) error { m.Name = s; return nil },
	"formula":        func(m *Material, s string) error { m.Formula = s; return nil },
	"currency":       func(m *Material, s string) error { m.Currency = s; return nil },
	"label":          func(m *Material, s string) error { l, err := ParseLabel(s); m.Label = &l; return err },
	"purity":         func(m *Material, s string) (err error) { m.Purity, err = unit.ParseFraction(s); return err },
	"level teaspoon": func(m *Material, s string) (err error) { m.LevelTeaspoon, err = unit.ParseMass(s); return err },
	"density":        func(m *Material, s string) (err error) { m.Density, err = parseDensity(s); return err },
	"bulk density":   func(m *Material, s string) (err error) { m.BulkDensity, err = parseDensity(s); return err },
	"solubility":     func(m *Material, s string) (err error) { m.Solubility, err = unit.ParseConcentration(s); return err },
	"limit":          func(m *Material, s string) (err error) { m.Limit, err = unit.ParseConcentration(s); return err },
	"price":          func(m *Material, s string) (err error) { m.Price, err = unit.ParseNumber(s); return err },
	"pack": func(m *Material, s string) (err error) {
		if m.Pack, err = unit.ParseMass(s); err != nil {
			var second error
			if m.PackVolume, second = unit.ParseVolume(s); second == nil {
				m.Pack = 0
				return nil
			}
		}
		return err
	},
}

func parseDensity(s string) (unit.Density, error) {
	v, err := unit.DensityKind.Parse(s)
	return unit.Density(v), err
}

func nearColumn(written string) string {
	names := []string{"name", "label", "formula", "purity", "level teaspoon", "density", "bulk density", "solubility", "limit", "pack", "price", "currency"}
	if near := unit.Near(written, names); near != "" {
		return " (did you mean " + near + "?)"
	}
	return "; known are " + strings.Join(names, ", ")
}

func shelfRow(head, row []string) (Material, error) {
	var m Material
	if len(row) > len(head) {
		return m, fmt.Errorf("has %d cells, the head line %d; put text with commas in quotes", len(row), len(head))
	}
	for i, cell := range row {
		if cell = strings.TrimSpace(cell); cell == "" {
			continue
		}
		if err := shelfColumns[head[i]](&m, cell); err != nil {
			return m, fmt.Errorf("%s: %w", head[i], err)
		}
	}
	_, err := m.Contents()
	return m, err
}
