// Package plan is the only place where the trades meet. It reads like the
// morning's work, top to bottom: what is grown, how big the bed must be, the
// raft, the frame that holds it, the boards to cut, the water and its acid, the
// mix, the season, and what it all costs. Make is a pure function of its
// arguments: the same brief and book give the same plan.
package plan

import (
	"reflect"
	"slices"
	"time"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/crop"
	"raftwright/cut"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/mix"
	"raftwright/raft"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/unit"
	"raftwright/water"
)

// Part is a part of a plan, or several.
type Part uint

// Parts, in the order of the work.
const (
	Raft Part = 1 << iota
	Frame
	Cut
	Water
	Mix
	Season
	Cost
	Everything = Raft | Frame | Cut | Water | Mix | Season | Cost
)

// Has says whether all of the other parts are among these.
func (p Part) Has(other Part) bool { return p&other == other }

// Files holds the text of the climate files that a brief names, by name.
type Files map[string][]byte

// Book is everything that the trades look up: passed in, never a global.
type Book struct {
	Crops   crop.Catalogue
	Yard    frame.Yard
	Library mix.Library
	Limits  water.Limits
	Prices  cost.Book

	tables string // its edition; "" for a book put together by hand
}

// Edition names the code and the tables that made a plan, so that an old plan
// can be told from a new one.
const Edition = "1"

// Plan is everything computed for one brief. Parts that were not asked for, or
// that the brief says nothing about, are nil.
type Plan struct {
	Brief *brief.Brief
	Asked Part
	Beds  int
	Crop  crop.Crop

	Raft   *raft.Raft
	Frame  *frame.Bed
	Boards *Boards
	Foam   *cut.SheetPlan // the raft of all beds, cut from whole sheets
	Water  *water.Assessment
	Mix    *mix.Mix
	Season *season.Season
	Warmth *Warmth // what heater, ice and lamps take; nil without a season
	Cost   *cost.Sheet

	Found *FoundRecipe // nil where the brief tells of none
	Amiss *Mended      // nil where nothing is amiss
	Meter Meter
	Safer *SaferAcid // nil where no strong acid has to stay off the paper

	FrameChoices  []FrameChoice // the cheapest frames that hold, and the runners-up
	FrameRemedies []FrameChoice // what would mend a frame that does not hold, with what it adds to the cost

	Findings    []finding.Finding
	Assumptions []finding.Assumption

	language string
	strong   strong // what an explicit call gives in place of Water and Mix
}

// Metric says whether the reader wants metric units.
func (p Plan) Metric() bool { return p.Brief.Units.Value == brief.Metric }

// Language gives the language that the reader wants.
func (p Plan) Language() string {
	if p.language != "" {
		return p.language
	}
	return string(p.Brief.Language.Or(brief.English))
}

// In gives the plan for a reader of another language. One that there are no
// sentences for is said to be printed in English.
func (p Plan) In(language string) Plan {
	p.language = language
	p.Findings = slices.DeleteFunc(slices.Clone(p.Findings), func(f finding.Finding) bool { return f.ID == FindLanguage })
	if language == string(brief.Spanish) {
		p.Findings = append(p.Findings, finding.Finding{ID: FindLanguage, Act: finding.AtCover, Severity: finding.Caution, Source: ownChoice})
	}
	finding.Sort(p.Findings)
	return p
}

// Title gives the name of the bed.
func (p Plan) Title() string { return p.Brief.Title.Value }

// Worst gives the highest severity of all findings.
func (p Plan) Worst() finding.Severity { return finding.Worst(p.Findings) }

// maker is what a stage is handed and what it makes: the plan so far, of which it
// sees what it declared, and what it tells.
type maker struct {
	Plan
	book  Book
	files Files

	// what stages make for later ones
	heads   float64 // wanted each week; 0: not said
	vessel  vessel
	volume  unit.Volume // of the water; 0 where no bed is known
	holes   int         // in one raft; 0 where no bed is known
	afloat  afloat
	prices  cost.Book // with the brief's own prices on top
	wood    wood
	climate *sky.Climate // nil where the brief tells of none
	visits  visits
	pond    pond

	findings    []finding.Finding
	assumptions []finding.Assumption
	faults      finding.Faults
}

// Make makes the asked parts of the plan for a brief, and whatever they need.
// The faults say what is missing or does not fit the catalogues; with any, the
// plan is not to be used.
func Make(b *brief.Brief, book Book, files Files, asked Part) (Plan, finding.Faults) {
	var none *Memory
	return none.Make(b, book, files, asked)
}

// Make does as the function Make does, and takes from the memory what was made
// before from the same. A nil memory remembers nothing.
func (mem *Memory) Make(b *brief.Brief, book Book, files Files, asked Part) (Plan, finding.Faults) {
	p := maker{Plan: Plan{Brief: b, Asked: asked, Beds: max(1, b.Bed.Count.Value)}}
	if p.missing(); len(p.faults) > 0 {
		return p.Plan, p.faults
	}
	w := work{memory: mem, brief: b, book: book, files: files}
	for _, r := range w.all(asked) {
		if r.made == nil {
			continue
		}
		for _, f := range r.made.faults {
			f = b.Locate(f)
			if !slices.ContainsFunc(p.faults, func(g finding.Fault) bool { return reflect.DeepEqual(f, g) }) {
				p.faults = append(p.faults, f) // what two stages read is told once
			}
		}
		r.keep(&p, r.made)
		p.tell(r)
	}
	p.Plan = p.In(p.Language())
	return p.Plan, p.faults
}

// tell selects from what a stage told that which belongs to the asked parts: the
// mix wants the size of the bed, but is not the place to say that its boards are weak.
func (p *maker) tell(r result) {
	if r.better != 0 && p.Asked.Has(r.better) {
		return
	}
	for _, f := range r.made.findings {
		missing := f.Severity == finding.Stop && r.part == Cut && p.Asked.Has(Cost) // boards that cannot be had have no price
		twice := f.Severity == finding.Note && r.part == Cut && slices.ContainsFunc(p.Findings, func(g finding.Finding) bool { return f.ID == g.ID })
		if (missing || r.part&p.Asked != 0) && !twice {
			p.Findings = append(p.Findings, f)
		}
	}
	if r.part&(p.Asked|p.restsOn()) != 0 {
		p.Assumptions = append(p.Assumptions, r.made.assumptions...)
	}
}

// missing raises a fault for each section that the asked parts cannot do without.
func (m *maker) missing() {
	b := m.Brief
	need := func(given bool, section, example string) {
		if !given {
			m.faults = append(m.faults, b.Fault(brief.Place{}, "the section \""+section+"\" is missing", "add for example "+example))
		}
	}
	whole := m.Asked.Has(Everything)
	bed := b.Bed.Given || b.Raft.Given
	if whole || m.Asked.Has(Frame) || m.Asked.Has(Cost) {
		need(bed, "bed", "bed: {length: 97 in, width: 49 in, depth: 6 in}")
	}
	if whole {
		return // a whole plan assumes the rest, and lists what it assumed
	}
	if m.Asked.Has(Raft) {
		need(bed, "raft", "raft: {sheet: [4 ft, 8 ft], spacing: 12 in, edge: 6 in}")
	}
	if m.Asked.Has(Cut) {
		need(bed || b.Cut.Given, "cut", "cut: {stock: [{length: 8 ft, price: 9.50 USD}], pieces: [{name: side, length: 90 in, count: 2}]}")
	}
	if m.Asked.Has(Water) || m.Asked.Has(Mix) {
		need(b.Water.Given, "water", "water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L}")
	}
	if m.Asked.Has(Mix) {
		need(len(b.Shelf) > 0, "shelf", "shelf: [{name: Epsom salt, formula: MgSO4.7H2O}]")
		need(b.Target.Given, "target", "target: {recipe: lettuce}")
	}
	if m.Asked.Has(Found) {
		need(len(b.Found.Amounts) > 0, "found", "found: {where: a web page, per: 1 gal, amounts: {complete fertiliser 20-20-20: 2 tsp, Epsom salt: 1 tsp}}")
	}
	if m.Asked.Has(Amiss) {
		need(len(b.Amiss.PutIn) > 0 || b.Amiss.Reads.Given, "amiss", "amiss: {volume: 95 gal, put in: {complete fertiliser 20-20-20: 900 g}}")
	}
	if m.Asked.Has(Season) {
		need(b.Site.Given, "site", "site: {latitude: 42.4, climate: [stations.csv, normals.csv]}")
	}
}

// find and assume keep what a stage tells.
func (m *maker) find(f ...finding.Finding)      { m.findings = append(m.findings, f...) }
func (m *maker) assume(a ...finding.Assumption) { m.assumptions = append(m.assumptions, a...) }

// restsOn gives the parts whose assumptions change the figures of the asked ones.
func (m *maker) restsOn() Part {
	switch {
	case m.Asked.Has(Cost):
		return Everything
	case m.Asked.Has(Cut):
		return Frame
	case m.Asked.Has(Season):
		return Raft
	case m.Asked.Has(Found), m.Asked.Has(Amiss):
		return Water
	}
	return 0
}

// wrong keeps what a trade finds wrong.
func (m *maker) wrong(faults ...finding.Fault) {
	m.faults = append(m.faults, faults...)
}

// fault keeps a fault in English words. It goes once every fault has a code.
func (m *maker) fault(at brief.Place, what, right string) {
	m.faults = append(m.faults, m.Brief.Fault(at, what, right))
}

// chooseCrop finds the crop in the catalogue.
func (m *maker) chooseCrop() {
	b := m.Brief
	name, cultivar := b.Crop.Name.Value, b.Crop.Cultivar.Value
	if !b.Crop.Name.Given {
		name = "lettuce"
		m.assume(finding.Assumption{ID: AssumeCrop, Source: ownChoice})
	}
	c, assumed, err := m.book.Crops.Find(name, cultivar)
	if err != nil {
		m.fault(b.Crop.Name.At, err.Error(), "name a crop of the catalogue, for example lettuce, basil or kale")
		return
	}
	m.Crop = c
	m.assume(assumed...)
}

// day gives a date of the brief as a day in time, midnight UTC.
func day(d brief.Date) time.Time {
	if d == (brief.Date{}) {
		return time.Time{}
	}
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}

// sorted gives the keys of a table in order, so that nothing follows the order
// of a map.
func sorted[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
