package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/press/paper"
)

// Faults of what the command is told of the first face.
const (
	FaultDate    finding.ID = "file.fault.date"
	FaultAddress finding.ID = "file.fault.address"
	FaultBegin   finding.ID = "file.fault.begin"
)

// printing is how paper is printed.
type printing struct {
	Force bool
	Paper string `enum:"letter,a4," default:""`
	Large bool
}

type packetCmd struct {
	onBrief
	Out string `short:"o" name:"out" required:"" placeholder:"FILE"`
	printing
	Template bool
	Date     string `placeholder:"DAY"`
	Address  string `placeholder:"ADDRESS"`
	Families string `placeholder:"NUMBER|FILE"`
	Begin    string `placeholder:"TIME"`
	Older    bool
	Part     string `enum:"faces,working,class,builder,card,bed,calendar,log,template,leader," default:""`
}

// Run writes the packet of a brief.
func (c packetCmd) Run(s streams) error {
	if c.Part == "leader" {
		return c.lead(s)
	}
	p, err := c.think(s, plan.Everything)
	if err != nil {
		return err
	}
	return c.write(s, p)
}

func (c packetCmd) write(s streams, p plan.Plan) error {
	words, err := printer(p)
	if err != nil {
		return err
	}
	options, err := c.options(p.Metric())
	if err != nil {
		return err
	}
	doc, err := c.spoken(s, p, words, options)
	if err != nil {
		return err
	}
	out, err := pressed(doc, c.Out)
	if err != nil {
		return err
	}
	if err := s.write(c.Out, out, c.inputs(p.Brief.Named()...), c.Force); err != nil {
		return err
	}
	if c.Out != "-" {
		fmt.Fprintln(s.err, words.Say("command.packet", finding.Args{"File": c.Out}))
	}
	tellStops(s.err, p, words)
	return stopped(p)
}

// spoken makes what is printed, in one language or, where they were asked for, in two.
func (c packetCmd) spoken(s streams, p plan.Plan, words *lang.Printer, options packet.Options) (page.Document, error) {
	doc, err := c.document(p, words, options)
	second, also := s.tongue.second()
	if err != nil || !also || c.Template || c.Part == "template" {
		return doc, err
	}
	other, err := lang.For(second, words.Units)
	if err != nil {
		return doc, err
	}
	with, err := c.document(p.In(second), other, options)
	return page.Both(doc, with), err
}

// document makes what is printed, in one language.
func (c packetCmd) document(p plan.Plan, words *lang.Printer, options packet.Options) (page.Document, error) {
	if c.Template {
		c.Part = "template"
	}
	return packet.Paper(p, words, options, c.Part)
}

// pressed gives a document as a file of this name holds it.
func pressed(doc page.Document, name string) ([]byte, error) {
	write := paper.PDF
	if ext := strings.ToLower(filepath.Ext(name)); ext == ".html" || ext == ".htm" {
		write = press.HTML // one file, for a screen reader and for phones
	}
	var out bytes.Buffer
	err := write(doc, &out)
	return out.Bytes(), err
}

// options gives the size of the paper and of the print.
func (c printing) options(metric bool) packet.Options {
	o := packet.Options{Large: c.Large, Paper: page.Letter}
	if c.Paper == "a4" || c.Paper == "" && metric {
		o.Paper = page.A4
	}
	return o
}

// options gives how it is printed.
func (c packetCmd) options(metric bool) (o packet.Options, err error) {
	o = c.printing.options(metric)
	o.Address, o.Older = c.Address, c.Older
	if c.Begin != "" {
		at, err := time.Parse("15:04", c.Begin)
		if o.Begins = at.Hour()*60 + at.Minute(); err != nil || o.Begins < 5*60 || o.Begins > 19*60 {
			return o, finding.Fault{ID: FaultBegin, Args: finding.Args{"Text": c.Begin}}
		}
	}
	o.Printed, err = c.imprint()
	return o, err
}

// imprint gives what the first face bears: the day, today where none is told, and the address.
func (c packetCmd) imprint() (on time.Time, err error) {
	if a := c.Address; a != "" && (len(a) > packet.MostCarried || !strings.HasPrefix(a, "https://") && !strings.HasPrefix(a, "http://")) {
		return on, finding.Fault{ID: FaultAddress, Args: finding.Args{"Text": a, "Most": packet.MostCarried}}
	}
	if c.Date == "" {
		return time.Now(), nil
	}
	if on, err = time.Parse(time.DateOnly, c.Date); err != nil {
		return on, finding.Fault{ID: FaultDate, Args: finding.Args{"Text": c.Date}}
	}
	return on, nil
}
