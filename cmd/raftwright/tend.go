package main

import (
	"bytes"
	"fmt"
	"time"

	"raftwright/answer"
	"raftwright/bed"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/tend"
)

type tendCmd struct {
	onBrief
	JSON bool     `name:"json"`
	Now  string   `placeholder:"TIME"`
	If   []string `name:"if" placeholder:"WHAT=HOW"`
	Slip string   `placeholder:"FILE"`
	Also []string `placeholder:"BRIEF"`
	Card string   `placeholder:"FILE"`

	Class string `placeholder:"FILE"`
	printing
}

// FaultAlso is a further bed without a sheet of slips.
const FaultAlso finding.ID = "command.fault.also"

// Run prints what the bed holds now, or writes paper of it.
func (c tendCmd) Run(s streams) error {
	if c.Slip != "" {
		return c.slips(s)
	}
	if len(c.Also) > 0 {
		return finding.Fault{ID: FaultAlso}
	}
	p, t, err := c.tended(s)
	if err != nil {
		return err
	}
	words, err := printer(p)
	if err != nil {
		return err
	}
	if c.Card != "" {
		return c.paper(s, p, t, words, packet.BedCard, c.Card)
	}
	if c.Class != "" {
		return c.paper(s, p, t, words, packet.ClassVisit, c.Class)
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

// tended plans the bed of the brief and follows its log.
func (c tendCmd) tended(s streams) (p plan.Plan, t *tend.Tending, err error) {
	now, err := c.moment()
	if err != nil {
		return p, nil, err
	}
	supposed, err := tend.Supposed(c.If)
	if err != nil {
		return p, nil, err
	}
	j, err := c.read(s)
	if err != nil {
		return p, nil, err
	}
	var followed tend.Followed // for what it teaches the plan, and on from there for its state
	j.Asked, j.Learn = plan.Everything, followed.Learn
	if p, err = unharmed(s, j, s.make(j)); err != nil {
		return p, nil, err
	}
	log, _ := bed.FromBrief(p.Brief)
	t, faults := tend.Make(tend.Job{Plan: p, Log: log, Now: now, If: supposed, Troubles: j.Book.Trouble, Followed: &followed})
	if len(faults) > 0 {
		for i := range faults {
			faults[i] = p.Brief.Locate(faults[i])
		}
		return p, nil, report(s, p.Brief, faults)
	}
	tend.Lined(t.Findings, func(at finding.Path) int { return p.Brief.PlaceOf(at).Line })
	return p, t, nil
}

// paper writes a document of a tended bed, in one language or in two.
func (c tendCmd) paper(s streams, p plan.Plan, t *tend.Tending, words *lang.Printer, of func(plan.Plan, *tend.Tending, *lang.Printer, packet.Options) page.Document, name string) error {
	o := c.options(p.Metric())
	doc := of(p, t, words, o)
	if len(doc.Sections) == 0 {
		return finding.Fault{ID: packet.FaultNoClass}
	}
	if second, also := s.tongue.second(); also {
		other, err := lang.For(second, words.Units)
		if err != nil {
			return err
		}
		doc = page.Both(doc, of(p.In(second), t, other, o))
	}
	return c.file(s, words, p, doc, name)
}

// slips writes the slips of the beds, six to a sheet, and with two languages the other behind each.
func (c tendCmd) slips(s streams) error {
	var first plan.Plan
	var sides [2][][]page.Block // by language
	for i, brief := range append([]string{c.Brief}, c.Also...) {
		c.Brief = brief
		p, t, err := c.tended(s)
		if err != nil {
			return err
		}
		if i == 0 {
			first = p
		}
		languages := []string{s.tongue.of(p.Brief)}
		if second, also := s.tongue.second(); also {
			languages = append(languages, second)
		}
		for k, tag := range languages {
			of := p.In(tag)
			words, err := printer(of)
			if err != nil {
				return err
			}
			sides[k] = append(sides[k], packet.Slip(of, t, words))
		}
	}
	words, err := printer(first)
	if err != nil {
		return err
	}
	o := c.options(first.Metric())
	doc := packet.Slips(first, sides[0], words, o, false)
	if second, also := s.tongue.second(); also {
		other, err := lang.For(second, words.Units)
		if err != nil {
			return err
		}
		doc = page.Both(doc, packet.Slips(first.In(second), sides[1], other, o, true))
	}
	return c.file(s, words, first, doc, c.Slip)
}

// file writes a document into a file.
func (c tendCmd) file(s streams, words *lang.Printer, p plan.Plan, doc page.Document, name string) error {
	out, err := pressed(doc, name)
	if err != nil {
		return err
	}
	if err := s.write(name, out, c.inputs(p.Brief.Named()...), c.Force); err != nil || name == "-" {
		return err
	}
	fmt.Fprintln(s.err, words.Say("command.packet", finding.Args{"File": name}))
	return nil
}

// moment reads --now; left out it is the clock's, as the clock at the bed shows it.
func (c tendCmd) moment() (time.Time, error) { return tend.Moment(c.Now, time.Now()) }
