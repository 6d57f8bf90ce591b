package yearly

import "raftwright/programme"

// Copied is the log of a copy for the public: its day, request, rule and who looked, and what is withheld.
type Copied struct {
	Day      string    `json:"day"`
	Request  string    `json:"request"` // what was asked for
	Rule     string    `json:"rule"`
	Looked   string    `json:"looked"` // the code of who looked
	Withheld []Removed `json:"withheld"`
}

// Removed says where something is withheld, of what kind, for which reason (R1 and on, and its name) and how often; never what.
type Removed struct {
	Table  string `json:"table"`
	Column string `json:"column"` // empty: all of the table
	Kind   string `json:"kind"`
	Number int    `json:"reason_number"`
	Reason string `json:"reason"`
	Count  int    `json:"count"`
}

// Log gives the document of a copy's log.
func Log(log []programme.Withheld, day programme.Day) Copied {
	d := Copied{Day: day.String(), Withheld: []Removed{}}
	for _, x := range log {
		d.Withheld = append(d.Withheld, Removed{x.Table, x.Column, x.Kind, x.Reason.Number(), string(x.Reason), x.Count})
	}
	return d
}
