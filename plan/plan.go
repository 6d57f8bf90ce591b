// Package plan is the only place where the trades meet. It reads like the
// morning's work, top to bottom: what is grown, how big the bed must be, the
// raft, the frame that holds it, the boards to cut, the water and its acid, the
// mix, the season, and what it all costs. Make is a pure function of its
// arguments: the same brief and book give the same plan.
package plan

import (
	"cmp"
	"context"
	"slices"
	"time"

	"raftwright/bed"
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

// partNames are the names of the parts, as the commands have them.
var partNames = map[Part]string{Raft: "raft", Frame: "frame", Cut: "cut", Water: "water", Mix: "mix", Season: "season", Cost: "cost", Found: "found", Amiss: "amiss"}

// String gives the name of one part, as its command has it.
func (p Part) String() string { return partNames[p] }

// Has says whether all of the other parts are among these.
func (p Part) Has(other Part) bool { return p&other == other }

// Files holds the text of the climate files that a brief names, by name.
type Files map[string][]byte

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
	Helps  []Help  // what would bring more of a harvest that falls short
	Warmth *Warmth // what heater, ice and lamps take; nil without a season
	Cost   *cost.Sheet

	Shelf  []mix.Material // what there is to feed with
	Bottle *water.Product // the acid that the brief names; nil: none
	Ground *season.Ground // the bed under its sky, before any schedule; nil without a climate

	Found    *FoundRecipe // nil where the brief tells of none
	Amiss    *mix.BedFix  // nil where nothing is amiss
	Meter    Meter
	Proposed *water.Dose // of plain water, where it needs an acid and the brief tells of none; nil: none
	Safer    *SaferAcid  // nil where no strong acid has to stay off the paper

	FrameChoices  []FrameChoice // the cheapest frames that hold, and the runners-up
	FrameRemedies []FrameChoice // what would mend a frame that does not hold, with what it adds to the cost

	Findings    []finding.Finding
	Assumptions []finding.Assumption
	Edition     Edition        // what it was made with
	Faults      finding.Faults // what is wrong or missing, beside the faults of the brief itself
	Waits       []Wait         // the asked parts that are not whole for it, in the order of the work

	language string
	strong   strong // what an explicit call gives in place of Water and Mix

	held string // what a log is held against, in the plan that is studied
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

// In gives the plan for a reader of another language.
func (p Plan) In(language string) Plan {
	p.language = language
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
	book    Book
	files   Files
	learner Learner
	taught  *bed.Learned
	known   finding.Faults // what is wrong beforehand
	stop    context.Context
	beside  []Plan // of the job

	// what stages make for later ones
	heads   float64 // wanted each week; 0: not said
	vessel  vessel
	apart   apart
	volume  unit.Volume // of the water; 0 where no bed is known
	target  mix.Target
	listed  int // of those, in the brief itself
	holes   int // in one raft; 0 where no bed is known
	afloat  afloat
	prices  cost.Book // with the brief's own prices on top
	power   power
	sold    sold
	wood    wood
	climate *sky.Climate // nil where the brief tells of none
	studied studied      // what the log is held against
	learned bed.Learned  // of the bed, by its log
	pond    pond
	goods   [len(mix.Pantry)]float64 // a kilogram of each; zero: not known
	buys    buys                     // what helps a season that falls short
	job     *season.Job              // of the season, with what the log taught
	warmest unit.Temperature         // of the bed's months with a crop

	findings    []finding.Finding
	assumptions []finding.Assumption
	faults      finding.Faults

	spelled *spelled
}

// Job is what a plan is made of, and which parts of it are asked for.
type Job struct {
	Brief    *brief.Brief
	Wrong    finding.Faults // of the brief itself: what stands there counts as not given
	Learn    Learner        // of the log of the brief; nil: nothing is learned
	Taught   *bed.Learned   // what its log taught, where that is known: nobody is asked, and the log itself is not needed; nil: it is not known
	Book     Book
	Files    Files
	Asked    Part
	Since    *Edition        // of an earlier plan of the same brief: what became other is told; nil: there is none
	Stop     context.Context // ends the searches of the raft and of the saw; nil: they go on to their end
	Beside   []Plan          // other beds, as many as each has, whose boards and foam are cut together with these
	Alone    bool            // one stage after the other: who works behind others leaves them a processor
	Unhelped bool            // what would bring more of a harvest is not looked for, which is half of the work where it falls short: for figures alone

	mending bool // whether a stop would end is tried: nothing is missing, and no way out is looked for
}

// Wait says what a part of a plan waits for: what is wrong or missing in the brief.
// Such a part is not made.
type Wait struct {
	Part Part
	For  []finding.Path
}

// Make makes the asked parts of the plan for a brief and whatever they need; nothing is learned from its log. With any fault the plan is not to be used.
func Make(b *brief.Brief, book Book, files Files, asked Part) (Plan, finding.Faults) {
	p := Job{Brief: b, Book: book, Files: files, Asked: asked}.Make(nil)
	return p, p.Faults
}

// Make makes the asked parts of a plan and whatever they need. What is wrong or
// missing is in Faults; the parts that rest on it are in Waits and are not made, and
// the rest stands. The memory, where there is one, gives what was made before from the
// same; it never changes a plan.
func (j Job) Make(memory *Memory) Plan {
	b := j.Brief
	if memory == nil {
		memory = &Memory{}
	}
	missing := j.missing()
	p := maker{Plan: Plan{Brief: b, Asked: j.Asked, Beds: max(1, b.Bed.Count.Value), Edition: j.Book.Edition(), Faults: slices.Clone(missing)}, spelled: memory.spells(b)}
	waits := map[Part][]finding.Path{}
	for _, f := range missing {
		waits[j.Asked] = append(waits[j.Asked], f.Path)
	}
	results := work{memory: memory, Job: j, spelled: p.spelled, wrong: append(slices.Clone(j.Wrong), missing...)}.all()
	findings, assumptions := 0, 0
	for _, r := range results {
		if r.made != nil {
			findings, assumptions = findings+len(r.made.findings), assumptions+len(r.made.assumptions)
		}
	}
	p.Findings, p.Assumptions = slices.Grow(p.Findings, findings), slices.Grow(p.Assumptions, assumptions)
	for _, r := range results {
		waits[r.part] = append(waits[r.part], r.waits...)
		for _, f := range r.faults {
			if f = b.Locate(f); !slices.ContainsFunc(p.Faults, f.Same) {
				p.Faults = append(p.Faults, f) // what two stages read is told once
			}
		}
		if r.hand(&p); r.made != nil {
			p.tell(r)
		}
	}
	if p.Season != nil && p.Season.Steady != nil { // its dates say how many holes it takes; the rule of thumb says another number
		p.Findings = slices.DeleteFunc(p.Findings, func(f finding.Finding) bool { return f.ID == FindHolesShort })
	}
	if p.Starves() { // no weight is forecast of what does not grow
		p.Findings = slices.DeleteFunc(p.Findings, func(f finding.Finding) bool { return f.ID == season.FindLighter || f.ID == season.FindSlow })
	}
	if p.Proposed != nil { // it is done
		p.Findings = slices.DeleteFunc(p.Findings, func(f finding.Finding) bool { return f.ID == water.FindAcidify })
	}
	if p.takesNoAcid() {
		p.Findings = slices.DeleteFunc(p.Findings, func(f finding.Finding) bool {
			return f.Act == finding.AtAcid || f.ID == FindAcidProposed || f.ID == water.FindAcidify
		})
	}
	p.wait(waits)
	if !j.mending {
		p.since(j.Since)
		p.mends(j, memory)
	}
	memory.keeps(p.spelled)
	finding.Sort(p.Findings)
	return p.Plan
}

// wait lists what each asked part waits for.
func (p *maker) wait(waits map[Part][]finding.Path) {
	for part := Part(1); part <= Amiss; part <<= 1 {
		if part&asked(p.Brief, p.Asked) == 0 {
			continue
		}
		var on []finding.Path
		for of, paths := range waits {
			if of&part != 0 {
				on = append(on, paths...)
			}
		}
		if slices.Sort(on); len(on) > 0 {
			p.Waits = append(p.Waits, Wait{part, slices.Compact(on)})
		}
	}
}

// tell selects from what a stage told that which belongs to the asked parts: the
// mix wants the size of the bed, but is not the place to say that its boards are weak.
func (p *maker) tell(r result) {
	if r.better != 0 && p.Asked.Has(r.better) {
		return
	}
	var read []finding.Path
	if len(r.made.findings) > 0 {
		read = p.read(r)
	}
	for _, f := range r.made.findings {
		missing := f.Severity == finding.Stop && r.part == Cut && p.Asked.Has(Cost) // boards that cannot be had have no price
		twice := f.Severity == finding.Note && r.part == Cut && slices.ContainsFunc(p.Findings, func(g finding.Finding) bool { return f.ID == g.ID })
		if (missing || r.part&p.Asked != 0) && !twice {
			p.Findings = append(p.Findings, rest(f, p.Brief, read))
		}
	}
	if r.part&(p.Asked|p.restsOn()) != 0 {
		for _, a := range r.made.assumptions {
			a.Path = cmp.Or(a.Path, replaces()[a.ID])
			p.Assumptions = append(p.Assumptions, a)
		}
	}
}

// FaultMissing is a section that an asked part cannot do without.
const FaultMissing finding.ID = "plan.fault.missing"

// missing gives a fault for each section that the asked parts cannot do without.
func (j Job) missing() finding.Faults {
	if j.mending {
		return nil
	}
	b := j.Brief
	var out finding.Faults
	need := func(part Part, given bool, section string) {
		told := slices.ContainsFunc(j.Wrong, func(f finding.Fault) bool { return f.Path == "" || f.Path.Under(finding.Path(section)) })
		if j.Asked&part != 0 && !given && !told {
			out = append(out, b.Locate(finding.Fault{ID: FaultMissing, Path: finding.Path(section), Args: finding.Args{"Section": section},
				Right: finding.ID("right.plan.fault.missing_" + section)}))
		}
	}
	whole := j.Asked.Has(Everything)
	need(Frame|Cost, bedKnown(b), "bed")
	if whole {
		return out // a whole plan assumes the rest, and lists what it assumed
	}
	need(Raft, bedKnown(b), "raft")
	need(Cut, bedKnown(b) || b.Cut.Given, "cut")
	feed := bedKnown(b) || b.Water.Given && j.Asked&Mix == 0 || j.Asked&Mix != 0 && (b.Water.Given || len(b.Shelf) > 0 || b.Target.Given)
	need(Water|Mix, feed, "water") // with any of them the rest is assumed, as in a whole plan
	need(Mix, feed, "shelf")
	need(Mix, feed, "target")
	need(Found, hasFound(b), "found")
	need(Amiss, hasAmiss(b), "amiss")
	need(Season, b.Site.Given, "site")
	return out
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

// chooseCrop finds the crop in the catalogue.
func (m *maker) chooseCrop() {
	b := m.Brief
	name, cultivar := b.Crop.Name.Value, b.Crop.Cultivar.Value
	if !b.Crop.Name.Given {
		name = "lettuce"
		m.assume(finding.Assumption{ID: AssumeCrop, Source: ownChoice})
	}
	c, assumed, faults := m.book.Crops.Find("crop.name", name, cultivar)
	if faults != nil {
		m.wrong(faults...)
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
