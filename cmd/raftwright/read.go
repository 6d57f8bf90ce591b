package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/lang"
	"raftwright/plan"
)

type readCmd struct {
	onBrief
	JSON bool `name:"json"`
}

// Run prints what was understood of a brief, what is assumed where it says nothing,
// and what is wrong with it.
func (c readCmd) Run(s streams) error {
	j, err := c.read(s)
	if err != nil {
		return err
	}
	words, err := s.speaks(j.Brief)
	if err != nil {
		return err
	}
	j.Asked = plan.Everything
	p, faults := s.make(j), j.Wrong
	for _, f := range p.Faults {
		if f.ID != plan.FaultMissing { // what is there can be read without the rest
			faults = append(faults, f)
		}
	}
	d := answer.Read(j.Brief, p.Assumptions, faults, words)
	var out bytes.Buffer
	if c.JSON {
		err = answer.Write(&out, d)
	} else {
		err = table(&out, d, words)
	}
	if err == nil {
		err = s.print(out.Bytes())
	}
	if err != nil || len(faults) == 0 {
		return err
	}
	return report(s, j.Brief, faults)
}

// table prints the values in columns: the key, what was typed, what was understood.
func table(out *bytes.Buffer, d answer.ReadDocument, words *lang.Printer) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	for _, v := range d.Values {
		read := words.Say("read.not_understood", nil)
		switch x := v.Value.(type) {
		case nil:
			if v.Assumed {
				read = ""
			}
		case float64:
			read = strings.TrimSpace(words.Number(x) + " " + v.Unit)
		default:
			read = strings.TrimSpace(fmt.Sprint(x) + " " + v.Unit)
		}
		if v.ReadAs != "" {
			read += "  " + words.Say("read.read_as", finding.Args{"Text": v.ReadAs})
		}
		text := strings.NewReplacer("\n", " ", "\t", " ").Replace(gate.Clean(v.Text)) // also of what was refused
		if v.Assumed {
			text, read = read, words.Say("read.assumed", finding.Args{"Text": text})
		}
		fmt.Fprintf(w, "%s\t%s\t%s\n", v.Path, text, read)
	}
	return w.Flush()
}

// FaultChange is a change that is not written as one.
const FaultChange finding.ID = "file.fault.change"

type setCmd struct {
	onBrief
	Change []string `arg:"" placeholder:"PATH=VALUE"`
	Out    string   `short:"o" name:"out" default:"-" placeholder:"FILE"`
	Force  bool
}

// Run writes the brief with its changes. A change that names no key, or with which
// something is wrong that was right before, is told and nothing is written; what was
// wrong before is told beside.
func (c setCmd) Run(s streams) error {
	b, before, err := c.parse(s)
	if err != nil {
		return err
	}
	for _, change := range c.Change {
		path, value, ok := strings.Cut(change, "=")
		if !ok {
			return finding.Fault{ID: FaultChange, Args: finding.Args{"Text": change}}
		}
		next, faults := b.Set(finding.Path(strings.TrimSpace(path)), value)
		if next == nil {
			return report(s, b, faults)
		}
		b = next
	}
	text := b.Encode()
	_, after := brief.Parse(c.Brief, text) // with the places in the new text
	for _, f := range after {
		if !slices.ContainsFunc(before, func(old finding.Fault) bool { return old.ID == f.ID && old.Path == f.Path }) {
			return report(s, b, after)
		}
	}
	inputs := c.inputs()
	if c.Force { // then the brief may be written over: what is written is that brief
		inputs = nil
	}
	if err := s.write(c.Out, text, inputs, c.Force); err != nil || len(after) == 0 {
		return err
	}
	return report(s, b, after)
}
