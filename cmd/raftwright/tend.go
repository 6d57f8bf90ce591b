package main

import (
	"bytes"
	"strings"
	"time"

	"raftwright/answer"
	"raftwright/finding"
	"raftwright/packet"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/tend"
	"raftwright/unit"
)

type tendCmd struct {
	onBrief
	JSON bool     `name:"json"`
	Now  string   `placeholder:"TIME"`
	If   []string `name:"if" placeholder:"WHAT=HOW"`
}

// FaultIf is an --if that is not understood.
const FaultIf finding.ID = "command.fault.if"

// supposed reads what may come.
func (c tendCmd) supposed() (f tend.If, err error) {
	for _, text := range c.If {
		what, how, _ := strings.Cut(text, "=")
		wrong := finding.Fault{ID: FaultIf, Args: finding.Args{"Text": text}}
		var x float64
		switch what = strings.TrimSpace(what); {
		case what == "rain":
			x, err = unit.LengthKind.Parse(how)
			f.Rain, f.RainKnown = unit.Length(x), true
		case what == "away":
			x, err = unit.DurationKind.Parse(how)
			f.Away = unit.Duration(x)
		case what == "power" && how == "off":
			f.PowerOff = true
		case what == "heat" && how == "yes":
			f.Hot = true
		case what == "cold" && how == "yes":
			f.Cold = true
		default:
			return f, wrong
		}
		if err != nil || f.Rain < 0 || f.Rain > unit.Foot || f.Away < 0 || f.Away > 30*unit.Day {
			return f, wrong
		}
	}
	return f, nil
}

// FaultNow is a --now that is no moment.
const FaultNow finding.ID = "command.fault.now"

// Run prints what the bed holds now.
func (c tendCmd) Run(s streams) error {
	now, err := c.moment()
	if err != nil {
		return err
	}
	supposed, err := c.supposed()
	if err != nil {
		return err
	}
	j, err := c.read(s)
	if err != nil {
		return err
	}
	j.Asked = plan.Everything
	p, err := unharmed(s, j, s.make(j))
	if err != nil {
		return err
	}
	t, faults := tend.Make(tend.Job{Plan: p, Log: j.Log, Now: now, If: supposed, Troubles: j.Book.Trouble})
	if len(faults) > 0 {
		for i := range faults {
			faults[i] = p.Brief.Locate(faults[i])
		}
		return report(s, p.Brief, faults)
	}
	words, err := printer(p)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if c.JSON {
		err = answer.Write(&out, answer.Tend(t, words))
	} else {
		err = press.Text(packet.Tending(p, t, words), &out, 100)
	}
	if err != nil {
		return err
	}
	return s.print(out.Bytes())
}

// moment reads --now; left out it is the clock's, as the clock at the bed shows it.
func (c tendCmd) moment() (time.Time, error) {
	if c.Now == "" {
		n := time.Now()
		return time.Date(n.Year(), n.Month(), n.Day(), n.Hour(), n.Minute(), 0, 0, time.UTC), nil
	}
	for _, form := range []string{"2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02"} {
		if t, err := time.Parse(form, c.Now); err == nil {
			return t, nil
		}
	}
	return time.Time{}, finding.Fault{ID: FaultNow, Args: finding.Args{"Now": c.Now}}
}
