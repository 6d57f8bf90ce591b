package main

import (
	"errors"
	"fmt"
	"maps"
	"path/filepath"

	"raftwright/brief"
	"raftwright/examples"
	"raftwright/finding"
	"raftwright/plan"
)

type newCmd struct {
	Brief string            `arg:""`
	Units string            `enum:"us,metric" default:"us"`
	Set   map[string]string `placeholder:"KEY=VALUE"`
	Force bool
}

// Run writes a commented first brief.
func (c newCmd) Run(s streams) error {
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	answers := map[string]string{"language": s.tongue.of(nil)}
	maps.Copy(answers, c.Set)
	text, faults := brief.New(brief.Units(c.Units), answers, words.Say)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	if err := s.write(c.Brief, text, nil, c.Force); err != nil || c.Brief == "-" {
		return err
	}
	fmt.Fprintln(s.err, words.Say("command.new", finding.Args{"File": c.Brief}))
	return nil
}

type schemaCmd struct{}

// Run prints the JSON Schema of the brief.
func (schemaCmd) Run(s streams) error {
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	return s.print(append(brief.Schema(words.Say), '\n'))
}

type demoCmd struct {
	Out   string `short:"o" name:"out" default:"raftwright-demo.pdf" placeholder:"FILE"`
	Force bool
	Open  bool
	keeping
}

// Run takes the invented demonstration through plan and packet.
func (c demoCmd) Run(s streams) error {
	if c.Open {
		return openCmd{keeping: c.keeping, Browser: true}.show(s, "/beds/demonstration/plan")
	}
	b, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	p, faults := plan.Make(b, book(), plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	p = p.In(s.tongue.of(nil)) // the demonstration is nobody's brief
	if c.Out == "-" {
		return packetCmd{Out: c.Out}.write(s, p)
	}
	printed := reading{}.print(s, p, plan.Everything)
	var st status
	if printed != nil && !errors.As(printed, &st) {
		return printed
	}
	out, err := filepath.Abs(c.Out)
	if err != nil {
		out = c.Out
	}
	if err := (packetCmd{Out: out, printing: printing{Force: c.Force}}).write(s, p); err != nil {
		return err
	}
	return printed
}
