package answer

import (
	"raftwright/lang"
	"raftwright/plan"
)

// The documents of the commands: the part asked for, and what was told.
type (
	// PlanDocument is the whole plan; parts of which nothing can be said are empty.
	PlanDocument struct {
		Title    string         `json:"title"`
		Edition  string         `json:"edition"`
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
)

// For gives the document of the asked part of a plan.
func For(p plan.Plan, asked plan.Part, words *lang.Printer, working bool) any {
	t := Tell(words, p.Findings, p.Assumptions, nil)
	if working {
		t = Tell(words, p.Findings, p.Assumptions, p.Working(asked))
		if t.Working == nil {
			t.Working = []Step{}
		}
	}
	if p.Water != nil && asked.Has(plan.Water) {
		for _, j := range p.Water.Judgements {
			t.cite(j.Limit.Source)
		}
	}
	switch {
	case asked.Has(plan.Everything):
		return PlanDocument{p.Title(), plan.Edition, p.Language(), p.Crop.ID, p.Beds, frameOf(p, words), raftOf(p), cutOf(p), waterOf(p), mixOf(p), seasonOr(p, words), costOf(p, words), foundIn(p, words), amissOf(p), shoppingOf(p, words), t}
	case asked.Has(plan.Frame):
		return FrameDocument{frameOf(p, words), t}
	case asked.Has(plan.Raft):
		return RaftDocument{raftOf(p), t}
	case asked.Has(plan.Cut):
		return CutDocument{cutOf(p), t}
	case asked.Has(plan.Water):
		return WaterDocument{waterOf(p), t}
	case asked.Has(plan.Mix):
		return MixDocument{mixOf(p), t}
	case asked.Has(plan.Found):
		return FoundDocument{foundOf(p), t}
	case asked.Has(plan.Amiss):
		return AmissDocument{amissOf(p), t}
	case asked.Has(plan.Season):
		return SeasonDocument{seasonOr(p, words), t}
	}
	return CostDocument{costOf(p, words), t}
}

// seasonOr gives the season, or an empty one where no climate is known.
func seasonOr(p plan.Plan, words *lang.Printer) *Season {
	if s := seasonOf(p, words); s != nil {
		return s
	}
	return noSeason(p)
}
