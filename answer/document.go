package answer

import (
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/source"
)

// The documents of the commands: the part asked for, and what was told.
type (
	// PlanDocument is the whole plan; parts of which nothing can be said are empty.
	PlanDocument struct {
		Title    string         `json:"title"`
		Edition  string         `json:"edition"`
		Tables   plan.Tables    `json:"tables"`
		Language string         `json:"language"`
		Crop     string         `json:"crop"`
		Beds     int            `json:"beds"`
		Frame    *Frame         `json:"frame"`
		Raft     *Raft          `json:"raft"`
		Cut      *Cut           `json:"cut"`
		Water    *Water         `json:"water"`
		Mix      *Mix           `json:"mix"`
		Season   *Season        `json:"season"`
		Cost     *Cost          `json:"cost"`
		Found    *FoundDocument `json:"found,omitempty"` // with what is said of that recipe
		Amiss    *Amiss         `json:"amiss,omitempty"`
		Shopping []Item         `json:"shopping"`
		Told
	}
	// PartialDocument is what stands of a plan beside what is wrong or missing.
	PartialDocument struct {
		PlanDocument
		Faults []Fault `json:"faults"`
		Waits  []Wait  `json:"waits"`
	}
	// FrameDocument answers the command frame.
	FrameDocument struct {
		*Frame
		Told
	}
	// RaftDocument answers the command raft.
	RaftDocument struct {
		*Raft
		Told
	}
	// CutDocument answers the command cut.
	CutDocument struct {
		*Cut
		Told
	}
	// WaterDocument answers the command water.
	WaterDocument struct {
		*Water
		Told
	}
	// MixDocument answers the command mix.
	MixDocument struct {
		*Mix
		Told
	}
	// SeasonDocument answers the command season.
	SeasonDocument struct {
		*Season
		Told
	}
	// CostDocument answers the command cost.
	CostDocument struct {
		*Cost
		Told
	}
	// FoundDocument answers the command found.
	FoundDocument struct {
		*Found
		Told
	}
	// AmissDocument answers the command amiss.
	AmissDocument struct {
		*Amiss
		Told
	}
)

// Partial gives the document of what stands of a whole plan, with everything that is
// wrong with its brief.
func Partial(p plan.Plan, faults finding.Faults, words *lang.Printer, working bool) PartialDocument {
	return PartialDocument{PlanDocument: For(p, plan.Everything, words, working).(PlanDocument), Faults: Faults(words, faults),
		Waits: each(p.Waits, func(w plan.Wait) Wait { return Wait{Part: w.Part.String(), For: w.For} })}
}

// For gives the document of the asked part of a plan. The acid in it is the one that
// was asked for: what has to be left out where children come is left out on paper.
func For(p plan.Plan, asked plan.Part, words *lang.Printer, working bool) any {
	p = p.AsAsked()
	var limits []source.ID
	if p.Water != nil && asked.Has(plan.Water) {
		for _, j := range p.Water.Judgements {
			limits = append(limits, j.Limit.Source)
		}
	}
	var steps []finding.Step
	if working {
		steps = never(p.Working(asked))
	}
	t := Tell(words, p.Findings, p.Assumptions, steps, limits...)
	switch {
	case asked.Has(plan.Everything):
		d := PlanDocument{Title: p.Title(), Edition: p.Edition.String(), Tables: p.Edition.Tables, Language: p.Language(), Crop: p.Crop.ID, Beds: p.Beds,
			Frame: frameOf(p, words), Raft: raftOf(p), Cut: cutOf(p), Water: waterOf(p), Mix: mixOf(p), Season: seasonOf(p, words), Cost: costOf(p, words),
			Amiss: amissOf(p), Shopping: []Item{}, Told: t}
		if f := p.Found; f != nil {
			d.Found = &FoundDocument{Found: foundOf(p), Told: Tell(words, f.Findings, f.Assumptions, nil)}
		}
		if d.Cost != nil {
			d.Shopping = each(d.Cost.Lines, func(l Line) Item { return l.Item })
		}
		return d
	case asked.Has(plan.Frame):
		return FrameDocument{Frame: frameOf(p, words), Told: t}
	case asked.Has(plan.Raft):
		return RaftDocument{Raft: raftOf(p), Told: t}
	case asked.Has(plan.Cut):
		return CutDocument{Cut: cutOf(p), Told: t}
	case asked.Has(plan.Water):
		return WaterDocument{Water: waterOf(p), Told: t}
	case asked.Has(plan.Mix):
		return MixDocument{Mix: mixOf(p), Told: t}
	case asked.Has(plan.Found):
		return FoundDocument{Found: foundOf(p), Told: t}
	case asked.Has(plan.Amiss):
		return AmissDocument{Amiss: amissOf(p), Told: t}
	case asked.Has(plan.Season):
		return SeasonDocument{Season: seasonOf(p, words), Told: t}
	}
	return CostDocument{Cost: costOf(p, words), Told: t}
}
