// Package plan is the only place where the trades meet. It reads like the
// morning's work, top to bottom: what is grown, how big the bed must be, the
// raft, the frame that holds it, the boards to cut, the water and its acid, the
// mix, the season, and what it all costs. Make is a pure function of its
// arguments: the same brief and book give the same plan.
package plan

import (
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
	Crops  crop.Catalogue
	Yard   frame.Yard
	Limits water.Limits
	Prices cost.Book
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
	onPaper  bool
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

// maker carries a plan while it is made.
type maker struct {
	Plan
	book   Book
	files  Files
	faults finding.Faults
	vessel vessel // how big it is, once that is known

	stage     Part // the part that is being made
	wood      frame.Prices
	priceBook cost.Book // with the brief's own prices on top
	ownPrices bool
}

// Make makes the asked parts of the plan for a brief, and whatever they need.
// The faults say what is missing or does not fit the catalogues; with any, the
// plan is not to be used.
func Make(b *brief.Brief, book Book, files Files, asked Part) (Plan, finding.Faults) {
	m := &maker{Plan: Plan{Brief: b, Asked: asked, Beds: max(1, b.Bed.Count.Value)}, book: book, files: files}
	m.missing()
	m.faults = append(m.faults, Names(b, book)...)
	if len(m.faults) > 0 {
		return m.Plan, m.faults
	}
	stages := []struct {
		part   Part // whose findings these are
		wanted bool
		do     func()
	}{
		{Raft | Season | Cost, true, m.chooseCrop},
		{Raft | Frame, m.wantsBed(), m.size},
		{Raft, m.wantsBed(), m.makeRaft},
		{Frame, m.wantsBed(), m.makeFrame},
		{Cut, asked.Has(Cut) || asked.Has(Cost), m.cutBoards},
		{Cut, asked.Has(Cost) || asked.Has(Cut) && m.wantsBed(), m.cutFoam},
		{Water | Mix, m.wantsWater(), m.assessWater},
		{Mix | Found | Amiss, m.wantsFeed() || asked.Has(Found), m.readMeter},
		{Mix, m.wantsFeed(), m.mixFeed},
		{Water | Mix, m.wantsWater(), m.tellSafer},
		{Found, m.wantsFound(), m.judgeFound},
		{Amiss | Mix, m.wantsAmiss(), m.mendBed},
		{Season, asked.Has(Season) || asked.Has(Cost), m.planSeason},
		{Cost, asked.Has(Cost), m.reckon},
		{0, true, m.tellUnused},
	}
	for _, s := range stages {
		if s.wanted {
			m.stage = s.part
			s.do()
		}
	}
	m.Plan = m.In(m.Language())
	return m.Plan, m.faults
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

// wantsBed says whether the size of the bed matters to what was asked.
func (m *maker) wantsBed() bool {
	if m.Asked.Has(Frame) || m.Asked.Has(Raft) || m.Asked.Has(Cost) || m.Asked.Has(Season) {
		return true
	}
	if m.Asked.Has(Cut) && len(m.Brief.Cut.Pieces) == 0 {
		return true
	}
	feed := m.Asked.Has(Mix) || m.Asked.Has(Amiss) && !m.Brief.Amiss.Volume.Given
	return feed && (m.Brief.Bed.Given || m.Brief.Raft.Given)
}

// wantsFeed says whether a mix is needed for what was asked.
func (m *maker) wantsFeed() bool {
	return m.Asked.Has(Mix) || m.Asked.Has(Cost) || m.Asked.Has(Amiss)
}

// wantsWater says whether the water matters to what was asked.
func (m *maker) wantsWater() bool {
	return m.wantsFeed() || m.Asked.Has(Water) || m.Asked.Has(Found)
}

// find keeps what a part noticed when that part was asked for: the mix wants
// the size of the bed, but is not the place to say that its boards are weak.
func (m *maker) find(f ...finding.Finding) {
	for _, x := range f {
		missing := x.Severity == finding.Stop && m.stage == Cut && m.Asked.Has(Cost) // boards that cannot be had have no price
		if missing || m.stage&m.Asked != 0 {
			m.Findings = append(m.Findings, x)
		}
	}
}

// assume keeps what was assumed for the asked parts and for what they rest on.
func (m *maker) assume(a ...finding.Assumption) {
	if m.stage&(m.Asked|m.restsOn()) != 0 {
		m.Assumptions = append(m.Assumptions, a...)
	}
}

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

// wrong keeps what a trade finds wrong, each with the line and column of its path.
func (m *maker) wrong(faults ...finding.Fault) {
	for _, f := range faults {
		m.faults = append(m.faults, m.Brief.Locate(f))
	}
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
