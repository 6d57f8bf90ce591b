package packet

import (
	"strings"

	"raftwright/lang"
	"raftwright/programme"
)

// NamedFigure is a figure of a report with its name and value as its document prints them.
type NamedFigure struct {
	programme.Figure
	Label, Value, Place string
	Head                string // the title of its section
	Means               string // what it says, and how it is reckoned
}

// ReportFigures names every figure of an edition, in its order.
func ReportFigures(e *programme.Edition, words *lang.Printer) []NamedFigure {
	w := reporter{e, nil, words, map[string]string{}}
	out := make([]NamedFigure, len(e.Figures))
	for i, f := range e.Figures {
		id, _ := w.id(f)
		out[i] = NamedFigure{f, w.label(f), w.value(f), string(w.county(f.County)), w.say(strings.ToLower(f.Section)+"_title", nil), w.say("means."+id, w.by())}
	}
	return out
}
