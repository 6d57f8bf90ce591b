package web

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/press/paper"
)

// way is a place to go, with what is there.
type way struct{ Name, To, Help string }

// programDoors are the pages beside the book, for who may open them.
func (v *visit) programDoors() (out []way) {
	out = append(out, way{v.say("web.keying.title"), "/keying", v.say("web.keying.of")})
	out = append(out, way{v.say("web.rules.title"), "/program/rules", v.say("web.rules.of")})
	out = append(out, way{v.say("web.keeping.door"), "/keeping/due", v.say("web.keeping.door_help")})
	if v.who.Heads() {
		out = append(out, way{v.say("web.codes.title"), "/codes", v.say("web.codes.of")})
	}
	return out
}

// filledPapers are the papers that are filled from a plan, in the order in which they are offered.
var filledPapers = []string{"garden", "selling", "season"}

// FaultPaper is a paper that there is not.
const FaultPaper finding.ID = "web.fault.paper"

// saleYears is how many years a sheet of sales has; saleColumns are its columns.
const saleYears = 3

var saleColumns = []string{"all_food", "produce", "to_end_users"}

// mostFact bounds a fact that is typed, in bytes.
const mostFact = 400

// papers lists what is filled from the plan of a bed, and its trials.
func (v *visit) papers() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	var doors []way
	for _, kind := range filledPapers {
		doors = append(doors, way{v.say("web.paper.kind." + kind), "/beds/" + b.ID + "/papers/" + kind, v.say("web.paper.help." + kind)})
	}
	if v.who.Accounts() {
		doors = append(doors, way{v.say("web.trial.title"), "/beds/" + b.ID + "/trials", v.say("web.trial.of")})
	}
	s := v.of(b, "papers")
	s.Body = doors
	return v.show("papers", s)
}

// filling is a paper that is being filled: what was typed, and what is wrong in it.
type filling struct {
	kind   string
	bad    map[string][]wrong // by field
	told   []wrong
	sales  *cost.SalesSheet
	seller packet.Seller
	month  int
	months int
	county string
}

// fact gives what was typed in a field.
func (v *visit) fact(name, otherwise string) string {
	text := strings.TrimSpace(v.FormValue(name))
	if text == "" || len(text) > mostFact {
		return otherwise
	}
	return text
}

// whole reads a whole number of a form between two bounds.
func (v *visit) whole(f *filling, name string, otherwise, least, most int) int {
	text := v.fact(name, strconv.Itoa(otherwise))
	n, err := strconv.Atoi(text)
	if err != nil || n < least || n > most {
		f.bad[name] = append(f.bad[name], wrong{v.say("web.paper.no_number", "Text", text), v.say("web.paper.no_number_right", "Least", least, "Most", most)})
		return otherwise
	}
	return n
}

// dollarsOf takes what people write around an amount off it.
func dollarsOf(text string) string {
	return strings.NewReplacer("$", "", ",", "", " ", "").Replace(text)
}

// factsOf reads the few facts that a paper asks for.
func (v *visit) factsOf(b aBed) (*filling, error) {
	f := &filling{kind: v.PathValue("paper"), bad: map[string][]wrong{}}
	switch f.kind {
	case "garden":
	case "selling":
		f.seller.Name = v.fact("name", "")
		for line := range strings.Lines(v.fact("address", "")) {
			if line = strings.TrimSpace(line); line != "" {
				f.seller.Address = append(f.seller.Address, line)
			}
		}
		v.salesOf(f)
	case "season":
		f.county = v.fact("county", b.brief().Site.County.Value)
		f.month = v.whole(f, "month", int(v.Now().Month()), 1, 12)
		f.months = v.whole(f, "months", 3, 1, 12)
	default:
		return nil, finding.Fault{ID: FaultPaper, Args: finding.Args{"Name": f.kind}}
	}
	return f, nil
}

// saleCell is the name of the field of a figure of a year.
func saleCell(back int, column string) string { return "sale-" + strconv.Itoa(back) + "-" + column }

// salesOf reads the sales, and holds them against the limits. With nothing typed the paper has blanks for them.
func (v *visit) salesOf(f *filling) {
	year := v.whole(f, "year", v.Now().Year(), 2003, 2200)
	f.seller.Year = year
	var text strings.Builder
	out := csv.NewWriter(&text)
	_ = out.Write(append([]string{"year"}, saleColumns...)) // memory takes all
	typed := false
	for back := saleYears; back > 0; back-- {
		row := []string{strconv.Itoa(year - back)}
		for _, c := range saleColumns {
			x := dollarsOf(v.fact(saleCell(back, c), ""))
			typed = typed || x != ""
			row = append(row, x)
		}
		_ = out.Write(row)
	}
	out.Flush()
	if !typed {
		return
	}
	years, faults := cost.ReadSales("", text.String())
	if len(faults) == 0 {
		var s cost.SalesSheet
		food, _ := strconv.ParseFloat(dollarsOf(v.fact("food_limit", "")), 64)
		produce, _ := strconv.ParseFloat(dollarsOf(v.fact("produce_limit", "")), 64)
		if s, faults = cost.CheckSales(year, years, cost.SalesLimits{Food: food, Produce: produce, From: v.fact("limits_from", "")}); len(faults) == 0 && len(f.bad) == 0 {
			f.sales = &s
		}
	}
	lines := strings.Split(text.String(), "\n")
	for _, x := range faults {
		what, right := v.words.Fault(x)
		if x.Line < 2 || x.Line > saleYears+1 {
			f.told = append(f.told, wrong{what, right})
			continue
		}
		column := strings.Count(lines[x.Line-1][:max(0, min(x.Column-1, len(lines[x.Line-1])))], ",")
		name := saleCell(saleYears+2-x.Line, saleColumns[max(0, min(column, len(saleColumns))-1)])
		f.bad[name] = append(f.bad[name], wrong{what, right})
	}
}

// paperIn fills a paper in one language.
func (v *visit) paperIn(p plan.Plan, f *filling, asked []string, words *lang.Printer, o packet.Options) (page.Document, error) {
	switch f.kind {
	case "garden":
		return packet.GardenSafety(p, words, o), nil
	case "selling":
		return packet.Selling(p, f.sales, f.seller, words, o), nil
	}
	return packet.SeasonLetter(p, f.county, f.month, f.months, asked, words, o)
}

// askedMost gives what was asked most in the months of a letter, by the book of who may read it.
func (v *visit) askedMost(f *filling) (out []string, err error) {
	if f.kind != "season" || !v.who.Accounts() {
		return nil, nil
	}
	err = v.withBook(func() error {
		if err := v.readBook(); err != nil || len(v.House.year.faults) > 0 { // an empty book tells nothing
			return err
		}
		r := v.House.year.records
		county := ""
		for _, x := range r.Counties {
			if x.Name == f.county || x.ID == f.county {
				county = x.ID
			}
		}
		var months []int
		for i := range f.months {
			months = append(months, (f.month-1+i)%12+1)
		}
		out = r.Topics(county, months)
		return nil
	})
	return out, err
}

// filledPaper fills a paper in the language, or the two, that was asked for.
func (v *visit) filledPaper(b aBed, f *filling) (doc page.Document, err error) {
	asked, err := v.askedMost(f)
	if err != nil {
		return doc, err
	}
	p, words, err := v.planned(b)
	if err != nil {
		return doc, err
	}
	first, second := v.words.Language, ""
	switch t := strings.ReplaceAll(v.FormValue("language"), " ", "+"); {
	case slices.Contains(lang.Languages(), t):
		first = t
	case t == "en+es":
		first, second = "en", "es"
	}
	o := packet.Options{Paper: page.Letter, Printed: v.Now()}
	if p.Metric() {
		o.Paper = page.A4
	}
	if words, err = lang.For(first, words.Units); err != nil {
		return doc, err
	}
	if doc, err = v.paperIn(p.In(first), f, asked, words, o); err != nil || second == "" {
		return doc, err
	}
	other, err := lang.For(second, words.Units)
	if err != nil {
		return doc, err
	}
	with, err := v.paperIn(p.In(second), f, asked, other, o)
	return page.Both(doc, with), err
}

// paper shows the facts that a paper asks for, and the paper.
func (v *visit) paper() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	f, err := v.factsOf(b)
	if err != nil {
		return err
	}
	status := http.StatusOK
	if len(f.bad) > 0 || len(f.told) > 0 {
		status = http.StatusUnprocessableEntity
	}
	type row struct {
		Year  string
		Cells []bookField
	}
	body := struct {
		To      string
		Fields  []bookField
		Heads   []string
		Sales   []row
		Limits  []bookField
		Told    []wrong
		Tongues []option
		Name    string // of the paper, and for whom
		For     string
		Pieces  []piece
	}{To: "/beds/" + b.ID + "/papers/" + f.kind, Told: f.told, Fields: v.factFields(f)}
	for _, t := range append(lang.Languages(), "en+es") {
		name := v.say("web.language.both")
		if t != "en+es" {
			name = v.say("web.language." + t)
		}
		body.Tongues = append(body.Tongues, option{t, name, t == cmp.Or(v.FormValue("language"), v.words.Language)})
	}
	if f.kind == "selling" {
		year := v.whole(&filling{bad: map[string][]wrong{}}, "year", v.Now().Year(), 2003, 2200)
		for _, c := range saleColumns {
			body.Heads = append(body.Heads, v.say("web.paper.sale."+c))
		}
		for back := saleYears; back > 0; back-- {
			r := row{Year: strconv.Itoa(year - back)}
			for i, c := range saleColumns {
				name := saleCell(back, c)
				r.Cells = append(r.Cells, bookField{Name: name, ID: name, Label: body.Heads[i] + ", " + r.Year, Text: v.FormValue(name), Wrong: f.bad[name]})
			}
			body.Sales = append(body.Sales, r)
		}
		limits, err := v.limitsSet()
		if err != nil {
			return err
		}
		for _, x := range [][2]string{{"food_limit", "number"}, {"produce_limit", "number"}, {"limits_from", "text"}} {
			body.Limits = append(body.Limits, v.factField(f, x[0], x[1], limits[x[0]]))
		}
	}
	if status == http.StatusOK {
		doc, err := v.filledPaper(b, f)
		if err != nil {
			return v.retell(func(_ int, told []wrong) error {
				body.Told = told
				s := v.of(b, "papers")
				s.Body = body
				if status = http.StatusUnprocessableEntity; v.Method == http.MethodGet { // nothing was asked yet
					status = http.StatusOK
				}
				return v.showAs(status, "paper", s)
			}, err)
		}
		body.Name, body.For = doc.Title, doc.Subtitle
		for i, part := range doc.Sections {
			var out bytes.Buffer
			if _, err := press.Fragment(doc, part.Anchor(i), &out); err != nil {
				return err
			}
			body.Pieces = append(body.Pieces, piece{part.Anchor(i), part.Title, template.HTML(out.String())})
		}
	}
	s := v.of(b, "papers")
	s.Of = v.say("web.paper.kind." + f.kind)
	s.Body = body
	return v.showAs(status, "paper", s)
}

// factField is a field of a fact with what was typed in it.
func (v *visit) factField(f *filling, name, kind, otherwise string) bookField {
	return bookField{Name: name, ID: "f-" + name, Label: v.say("web.paper.fact." + name), Kind: kind, Text: v.fact(name, otherwise), Wrong: f.bad[name]}
}

// factFields are the fields of a paper.
func (v *visit) factFields(f *filling) []bookField {
	switch f.kind {
	case "selling":
		return []bookField{v.factField(f, "name", "text", ""), v.factField(f, "address", "long", ""), v.factField(f, "year", "whole", strconv.Itoa(v.Now().Year()))}
	case "season":
		month := v.factField(f, "month", "word", "")
		for m := range 12 {
			month.Options = append(month.Options, option{strconv.Itoa(m + 1), v.say("month." + strconv.Itoa(m+1)), m+1 == f.month})
		}
		return []bookField{v.factField(f, "county", "text", f.county), month, v.factField(f, "months", "whole", "3")}
	}
	return nil
}

// paperFile gives a filled paper as a file.
func (v *visit) paperFile(as string, write func(page.Document, *bytes.Buffer) error) error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	f, err := v.factsOf(b)
	if err != nil {
		return err
	}
	if len(f.bad) > 0 || len(f.told) > 0 {
		return v.paper()
	}
	doc, err := v.filledPaper(b, f)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := write(doc, &out); err != nil {
		return err
	}
	kind := "application/pdf"
	if as == "html" {
		kind = "text/html; charset=utf-8"
	}
	return v.attach(kind, f.kind+"."+as, out.Bytes())
}

func (v *visit) paperPDF() error {
	return v.paperFile("pdf", func(d page.Document, out *bytes.Buffer) error { return paper.PDF(d, out) })
}

func (v *visit) paperHTML() error {
	return v.paperFile("html", func(d page.Document, out *bytes.Buffer) error { return press.HTML(d, out) })
}
