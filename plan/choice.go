package plan

import (
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/source"
)

// Findings about what a frame and its alternatives cost.
const (
	FindFrameCost    finding.ID = "frame.cost"
	FindFrameOther   finding.ID = "frame.cost_other"
	FindFrameCheaper finding.ID = "frame.cost_cheaper"
	FindRemedyAdds   finding.ID = "frame.cost_adds"
	FindRemedySaves  finding.ID = "frame.cost_saves"
	FindRemedySame   finding.ID = "frame.cost_same"
	FindLinerCheaper finding.ID = "frame.liner_cheaper"
)

var remedyWords = map[finding.ID]finding.Word{
	frame.FindRemedyHolds: finding.Word("word.remedy_holds"),
	frame.FindRemedyBoard: finding.Word("word.remedy_board"),
	frame.FindRemedyDepth: finding.Word("word.remedy_depth"),
}

// beyondBoards are stops that no other boards or holds can mend.
var beyondBoards = map[finding.ID]bool{
	frame.FindRange: true, frame.FindDeep: true, frame.FindRoof: true, frame.FindDeckStop: true, frame.FindLinerNone: true, frame.FindDryEnd: true,
}

// tellRemedy says after a remedy what it costs.
func (m *maker) tellRemedy(remedy finding.ID) {
	for _, r := range m.FrameRemedies {
		if r.Remedy != remedy || !m.wood.money {
			continue
		}
		id, by := FindRemedySame, r.Cost
		switch {
		case by.Amount > 0:
			id = FindRemedyAdds
		case by.Amount < 0:
			id, by.Amount = FindRemedySaves, -by.Amount
		}
		m.find(finding.Finding{ID: id, Severity: finding.Note, Figure: r.Cost, Source: source.OwnChoice,
			Args: finding.Args{"Remedy": remedyWords[remedy], "Cost": by}})
	}
}

// tellChoices says what the wood and screws of the frame cost, and which other
// frames that hold come next: two at most.
func (m *maker) tellChoices() {
	if m.Frame.Job.Vessel.Shape != frame.FrameShape {
		return
	}
	for _, f := range m.Frame.Findings {
		if f.Severity == finding.Stop && beyondBoards[f.ID] {
			m.FrameChoices = nil
			return
		}
	}
	own, ok := m.wood.Of(*m.Frame)
	if !ok || !m.wood.money {
		return
	}
	now := m.cents(own)
	m.find(finding.Finding{ID: FindFrameCost, Severity: finding.Note, Figure: now, Source: source.OwnChoice, Args: finding.Args{"Cost": now}})
	told := 0
	for _, c := range m.FrameChoices {
		if told == 2 || m.taken(c) {
			continue
		}
		told++
		id, by := FindFrameOther, c.Cost.Sub(now)
		if by.Amount < 0 {
			id, by.Amount = FindFrameCheaper, -by.Amount
		}
		m.find(finding.Finding{ID: id, Severity: finding.Note, Figure: c.Cost, Source: source.OwnChoice, Args: finding.Args{
			"Side": c.Job.SideBoard.String(), "End": c.Job.EndBoard.String(), "Courses": max(1, c.Job.Courses),
			"Holds": c.Holds, "Hold": c.holdWord(), "By": by}})
	}
}

// tellLiner names the liner that costs least to begin with, where it is another than
// the one that costs least for its years.
func (m *maker) tellLiner() {
	n := m.Frame.Liner
	p, ok := n.Cheaper()
	if !ok || !m.wood.money {
		return
	}
	m.find(finding.Finding{ID: FindLinerCheaper, Act: finding.AtLiner, Severity: finding.Note, Figure: m.cents(p.Cost), Source: p.Sheet.Source, Args: finding.Args{
		"Count": p.Buy, "StockWidth": p.Sheet.Width, "StockLength": p.Sheet.Length, "Material": p.Sheet.Word(), "Thickness": p.Sheet.Thickness,
		"Low": p.Sheet.LifeLow, "High": p.Sheet.LifeHigh, "Cost": m.cents(p.Cost), "Taken": m.cents(n.Options[0].Cost)}})
}

// taken tells whether a choice is the frame of the plan.
func (m *maker) taken(c FrameChoice) bool {
	j := m.Frame.Job
	return c.Job.SideBoard == j.SideBoard && c.Job.EndBoard == j.EndBoard && max(1, c.Job.Courses) == j.Courses &&
		c.Holds == m.Frame.Side.Holds && (c.Holds == 0 || (c.Job.HoldBy == frame.Stake) == (j.HoldBy == frame.Stake))
}

func (c FrameChoice) holdWord() finding.Word {
	if c.Job.HoldBy == frame.Stake {
		return finding.Word("word.choice_stakes")
	}
	return finding.Word("word.choice_ties")
}
