// Package yearly is the document of a program's report. It stands apart from the plan's, so that a browser that
// plans loads nothing of records.
package yearly

import (
	"raftwright/lang"
	"raftwright/programme"
)

// Document is an edition of a program's report.
type Document struct {
	Funder  string   `json:"funder"`
	From    string   `json:"from"`
	To      string   `json:"to"`
	AsOf    string   `json:"as_of"`
	Edition string   `json:"edition"` // inside or public
	Rules   []Rule   `json:"rules"`
	Figures []Figure `json:"figures"`
	Near    []Near   `json:"near"`
	Unread  []string `json:"unread"`
}

// Rule is a rule by which the report was made, as it stood on the as-of day.
type Rule struct {
	Name   string `json:"name"`
	Value  string `json:"value"`
	Since  string `json:"since"`  // empty: from the beginning
	Source string `json:"source"` // empty too where the public may not read it
}

// Figure is a figure: exactly as it is written in a table of figures, how many records it opens to and, inside, which.
type Figure struct {
	Section string   `json:"section"`
	Measure string   `json:"measure"`
	County  string   `json:"county"`
	Value   string   `json:"value"`
	Why     string   `json:"why"` // why it is not given; empty where it is
	Records int      `json:"records"`
	IDs     []string `json:"ids"` // of the inside edition alone
	Digest  string   `json:"digest"`
}

// Near is a figure that differs by little from one that went out before.
type Near struct {
	County  string `json:"county"`
	Measure string `json:"measure"`
	AsOf    string `json:"as_of"`
}

// Report gives the document of an edition.
func Report(e *programme.Edition, words *lang.Printer) Document {
	d := Document{Funder: e.Funder.ID, From: e.Funder.From.String(), To: e.Funder.To.String(), AsOf: e.AsOf.String(), Edition: "inside", Rules: []Rule{}, Figures: []Figure{}, Near: []Near{}, Unread: []string{}}
	if e.Public {
		d.Edition = "public"
	} else {
		d.Unread = append(d.Unread, e.Unread()...)
	}
	for _, h := range e.Standing() {
		d.Rules = append(d.Rules, Rule{h.Name, h.Value, h.Since.String(), h.Source})
	}
	for _, f := range e.Figures {
		x := Figure{Section: f.Section, Measure: f.Name(), County: f.County, Value: f.Text, Records: len(f.From), IDs: []string{}}
		if f.Why != "" {
			x.Why = words.Say(string(f.Why), f.Args)
		}
		if !e.Public {
			x.IDs, x.Digest = append(x.IDs, e.IDs(f, len(f.From))...), e.Digest(f)
		}
		d.Figures = append(d.Figures, x)
	}
	for _, n := range e.Near {
		d.Near = append(d.Near, Near{n.County, n.Measure, n.AsOf.String()})
	}
	return d
}
