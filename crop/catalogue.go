package crop

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"

	"raftwright/source"
	"raftwright/unit"
)

//go:embed crops.csv
var cropsCSV []byte

//go:embed kc.csv
var kcCSV []byte

// Catalogue is a list of crops, in the order of its table. The zero value is
// empty; Default gives the embedded one.
type Catalogue struct {
	crops []Crop
	index map[string]int // every key and alias, in plain form
}

// parsed is read once: the embedded table never changes.
var parsed = sync.OnceValues(func() (Catalogue, error) { return Read(bytes.NewReader(cropsCSV)) })

// Default gives the embedded catalogue of 25 crops.
func Default() (Catalogue, error) { return parsed() }

// Crops lists the crops in the order of the table.
func (c Catalogue) Crops() []Crop { return c.crops }

// ByID finds a crop by its exact ID.
func (c Catalogue) ByID(id string) (Crop, bool) {
	i, ok := c.index[plain(id)]
	if !ok || c.crops[i].ID != id {
		return Crop{}, false
	}
	return c.crops[i], true
}

// Over gives a catalogue in which the crops of top replace those of c with the
// same ID and the others are added: a user's own table on top of the default.
func (c Catalogue) Over(top Catalogue) Catalogue {
	out := append([]Crop(nil), c.crops...)
next:
	for _, t := range top.crops {
		for i := range out {
			if out[i].ID == t.ID {
				out[i] = t
				continue next
			}
		}
		out = append(out, t)
	}
	return newCatalogue(out)
}

func newCatalogue(crops []Crop) Catalogue {
	c := Catalogue{crops: crops, index: map[string]int{}}
	for i, k := range crops {
		for _, name := range append([]string{k.ID, k.Name}, k.Aliases...) {
			if _, taken := c.index[plain(name)]; !taken {
				c.index[plain(name)] = i
			}
		}
	}
	return c
}

// Read reads a table of crops in the layout of the embedded crops.csv: comment
// lines with #, a head row with the column names, any order. The error names
// line and column.
func Read(r io.Reader) (Catalogue, error) {
	kc, err := coefficients(bytes.NewReader(kcCSV))
	if err != nil {
		return Catalogue{}, err
	}
	in := csv.NewReader(r)
	in.Comment, in.ReuseRecord = '#', true
	head, err := in.Read()
	if err != nil {
		return Catalogue{}, fmt.Errorf("crops: the head row cannot be read: %w", err)
	}
	columns := map[string]int{}
	for i, name := range head {
		columns[strings.TrimSpace(name)] = i
	}
	var crops []Crop
	for {
		rec, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return Catalogue{}, fmt.Errorf("crops: %w", err)
		}
		line, _ := in.FieldPos(0)
		row := &row{columns: columns, fields: rec, line: line}
		k := row.crop(kc)
		if row.err != nil {
			return Catalogue{}, row.err
		}
		crops = append(crops, k)
	}
	if len(crops) == 0 {
		return Catalogue{}, fmt.Errorf("crops: the table has no rows")
	}
	return newCatalogue(crops), nil
}

// row reads the fields of one line and keeps the first error.
type row struct {
	columns map[string]int
	fields  []string
	line    int
	err     error
}

func (r *row) text(name string) string {
	i, ok := r.columns[name]
	if !ok {
		r.fail(name, "the column is missing")
		return ""
	}
	return strings.TrimSpace(r.fields[i])
}

func (r *row) fail(name, what string) {
	if r.err == nil {
		r.err = fmt.Errorf("crops: line %d, column %s: %s", r.line, name, what)
	}
}

func (r *row) number(name string) float64 {
	s := r.text(name)
	if s == "" {
		return 0
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || x != x || x > 1e6 || x < -1e6 {
		r.fail(name, fmt.Sprintf("%q is not a number such as 12 or 0.5", s))
		return 0
	}
	return x
}

func (r *row) sources(name string) []source.ID {
	var out []source.ID
	for _, w := range strings.Fields(r.text(name)) {
		out = append(out, source.ID(w))
	}
	return out
}

// span reads name_min and name_max and brings them to SI.
func span[T ~float64](r *row, name string, one T) Range[T] {
	return between(r, name+"_min", name+"_max", one)
}

func between[T ~float64](r *row, least, most string, one T) Range[T] {
	s := Range[T]{T(r.number(least)) * one, T(r.number(most)) * one}
	if s.Min > s.Max {
		r.fail(least, "is above "+most)
	}
	return s
}

func (r *row) crop(kc map[string]Coefficients) Crop {
	k := Crop{
		ID: r.text("id"), Name: r.text("name"), Species: r.text("species"), Rating: int(r.number("raft_rating")),
		Spacing: span(r, "spacing_in", unit.Inch), Plants: span(r, "plants_m2", Density(1)),
		Nursery: span(r, "nursery_d", unit.Day), Raft: span(r, "raft_d", unit.Day),
		EC: span(r, "ec_dS_m", unit.MillisiemensPerCentimetre), PH: span(r, "ph", 1.0),
		AirBest: span(r, "air_best_C", unit.Temperature(1)), AirLimit: span(r, "air_limit_C", unit.Temperature(1)),
		FrostKill: unit.Temperature(r.number("frost_kill_C")),
		RootBest:  span(r, "root_best_C", unit.Temperature(1)), RootUpper: unit.Temperature(r.number("root_upper_C")),
		HeatLimit: unit.Temperature(r.number("heat_limit_C")),
		Light:     between(r, "dli_least_mol", "dli_target_mol", unit.DailyLight(1)), Mass: span(r, "mass_g", unit.Gram),
		Storage: Storage{At: span(r, "store_C", unit.Temperature(1)), For: span(r, "store_d", unit.Day)},
		Chills:  r.text("chills") == "yes", LongDay: r.text("long_day") == "yes",
	}
	if a := r.text("aliases"); a != "" {
		k.Aliases = strings.Split(a, ";")
	}
	if r.text("germ_C_best") != "" {
		k.Germination = Germination{
			Given: true, Min: unit.Temperature(r.number("germ_C_min")), Best: unit.Temperature(r.number("germ_C_best")),
			Max: unit.Temperature(r.number("germ_C_max")), AtBest: unit.Duration(r.number("emerge_d")) * unit.Day, Group: r.text("emergence"),
		}
	}
	water, ok := kc[r.text("kc")]
	if !ok {
		r.fail("kc", fmt.Sprintf("%q is not a row of kc.csv", r.text("kc")))
	}
	k.Water = water
	k.Cited = Cited{
		Spacing: r.sources("src_spacing"), Nursery: r.sources("src_nursery"), Raft: r.sources("src_raft"), EC: r.sources("src_ec"),
		PH: r.sources("src_ph"), Air: r.sources("src_air"), Root: r.sources("src_root"), Light: r.sources("src_dli"),
		Mass: r.sources("src_mass"), Heat: r.sources("src_heat"), Germination: r.sources("src_germ"), Storage: r.sources("src_store"),
	}
	r.growth(&k)
	if k.ID == "" || k.Plants.Min <= 0 || k.Mass.Min <= 0 || k.Raft.Min <= 0 {
		r.fail("id", "a crop needs an id, plants_m2, mass_g and raft_d above zero")
	}
	return k
}

func (r *row) growth(k *Crop) {
	k.Growth = Growth{
		Model: Model(r.text("model")), Factor: r.number("factor"), Base: unit.Temperature(r.number("base_C")),
		DryMatter: unit.Fraction(r.number("dry_g_kg") / 1000), Shoot: shootShare,
	}
	if k.Growth.DryMatter <= 0 || k.Growth.DryMatter >= 1 {
		r.fail("dry_g_kg", "must lie between 1 and 999 g dry in a kg fresh")
		return
	}
	k.Growth.Seedling = seedling(*k)
	switch k.Growth.Model {
	case TwoState:
		if k.Growth.Factor <= 0 {
			r.fail("factor", "must be above zero for the two-state model")
		}
	case Expolinear:
		if k.Growth.Factor == 0 && r.err == nil {
			k.Growth.Factor = fitExpolinear(*k)
		}
	default:
		r.fail("model", fmt.Sprintf("%q is neither two-state nor expolinear", k.Growth.Model))
	}
}

func coefficients(rd io.Reader) (map[string]Coefficients, error) {
	in := csv.NewReader(rd)
	in.Comment = '#'
	recs, err := in.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("kc: %w", err)
	}
	out := map[string]Coefficients{}
	for _, rec := range recs[1:] {
		v := [7]float64{}
		for i := range v {
			if i == 3 { // height, unused here, may be blank
				continue
			}
			if v[i], err = strconv.ParseFloat(rec[i+1], 64); err != nil {
				return nil, fmt.Errorf("kc: %s: %w", rec[0], err)
			}
		}
		out[rec[0]] = Coefficients{Group: rec[0], Start: v[0], Full: v[1], End: v[2], BasalStart: v[4], BasalFull: v[5], BasalEnd: v[6]}
	}
	return out, nil
}
