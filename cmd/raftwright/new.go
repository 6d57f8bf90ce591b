package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"raftwright/brief"
	"raftwright/examples"
	"raftwright/plan"
)

type newCmd struct {
	Brief string            `arg:"" help:"The file to write; - writes to standard output."`
	Units string            `enum:"us,metric" default:"us" help:"Units of the examples: us or metric."`
	Set   map[string]string `placeholder:"KEY=VALUE" help:"Fill in a key, for example --set bed.length='8 ft'."`
	Force bool              `help:"Write over a file that is there."`
}

// Run writes a commented first brief.
func (c newCmd) Run(s streams) error {
	text, faults := brief.New(brief.Units(c.Units), c.Set)
	if len(faults) > 0 {
		return report(s, faults)
	}
	if c.Brief == "-" {
		return s.print(text)
	}
	flags := os.O_WRONLY | os.O_CREATE | os.O_EXCL
	if c.Force {
		flags = os.O_WRONLY | os.O_CREATE | os.O_TRUNC
	}
	f, err := os.OpenFile(c.Brief, flags, 0o644)
	if errors.Is(err, os.ErrExist) {
		return userError{fmt.Errorf("%s is there already; give another name, or --force to write over it", c.Brief)}
	}
	if err != nil {
		return userError{fmt.Errorf("%s cannot be written (%s); give another name", c.Brief, reason(err))}
	}
	if _, err := f.Write(text); err != nil {
		f.Close()
		return userError{fmt.Errorf("%s cannot be written (%s)", c.Brief, reason(err))}
	}
	if err := f.Close(); err != nil {
		return userError{fmt.Errorf("%s cannot be written (%s)", c.Brief, reason(err))}
	}
	fmt.Fprintf(s.err, "first brief written to %s; fill in what you know, then: raftwright plan %s\n", c.Brief, c.Brief)
	return nil
}

type schemaCmd struct{}

// Run prints the JSON Schema of the brief.
func (schemaCmd) Run(s streams) error {
	return s.print(append(brief.Schema(), '\n'))
}

type demoCmd struct {
	Out string `short:"o" name:"out" default:"raftwright-demo.pdf" placeholder:"FILE" help:"The PDF to write."`
}

// Run takes the invented demonstration through plan and packet.
func (c demoCmd) Run(s streams) error {
	b, faults := brief.Parse("demo.yaml", examples.Demo)
	if len(faults) > 0 {
		return report(s, faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		return report(s, faults)
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
	if err := (packetCmd{Out: out}).write(s, p); err != nil {
		return err
	}
	return printed
}
