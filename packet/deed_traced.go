package packet

import (
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/tend"
)

// DeedParts begins the ID of each thing to do that is drawn, behind Options.Doors.
const DeedParts = "tend.deed_"

// deedPart names one of the things to do, from 0.
func deedPart(i int) string { return partID("tend.deed", i+1) }

// deedRests are the figures of the plan on which the amount of a thing to do rests.
func deedRests(a tend.Action) []string {
	switch {
	case a.Do == tend.DoAcid:
		return []string{"water.mass", "frame.volume"}
	case a.Mass > 0 || a.Do == tend.DoFeed || a.Strength > 0:
		return []string{"mix.dose", "mix.ec", "frame.volume"}
	}
	return []string{"frame.volume"}
}

// TracedDeed tells where one thing to do that is drawn comes from.
type TracedDeed struct {
	ID    string // in an address: "tend.deed_2"
	Doc   page.Document
	Rests []Worked // the figures of the plan that it rests on
}

// Deeds tells where each thing to do that is drawn comes from: why it is done, what the bed is thought to hold, and how sure that is.
func Deeds(p plan.Plan, t *tend.Tending, words *lang.Printer) (out []TracedDeed) {
	for i, a := range t.Actions {
		w := writer{p: p, words: words, cites: &citations{}}
		if w.drawnDeed(a) == nil {
			continue
		}
		x := TracedDeed{ID: deedPart(i), Doc: w.document(Options{})}
		x.Doc.Subtitle = ""
		x.Doc.Sections = []page.Section{{ID: "deed", Title: w.say("tend.deed", finding.Args{"Number": i + 1}), Blocks: []page.Block{
			page.Para{Text: w.deed(a)}, page.Para{Text: w.text(string(a.Why), a.Args) + w.cite(a.Source)}}}}
		s := &x.Doc.Sections[0]
		s.Blocks = append(append(s.Blocks, w.heading("tend.deed_state")), w.bedState(t)...)
		if len(w.cites.ids) > 0 {
			s.Blocks = append(append(s.Blocks, w.heading("packet.source.title")), w.sources()...)
		}
		known := Short(p, words, deedRests(a)...)
		for _, id := range deedRests(a) {
			if f, ok := known[id]; ok {
				x.Rests = append(x.Rests, f)
			}
		}
		out = append(out, x)
	}
	return out
}
