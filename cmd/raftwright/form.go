package main

import (
	"bytes"
	"fmt"
	"os"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/programme"
)

// formCmd writes a form to be filled in: a questionnaire of the records, a sign-in sheet, slips, or a tally sheet of a class.
type formCmd struct {
	Kind    string `arg:"" enum:"questions,signin,slips,tally"`
	Records string `placeholder:"DIR"`
	Form    string `placeholder:"NAME"`
	Event   string `placeholder:"TEXT"`
	Older   bool
	Out     string `short:"o" name:"out" required:"" placeholder:"FILE"`
	printing
}

// FaultForm is a form that the records do not define.
const FaultForm finding.ID = "command.fault.form"

// Run writes the form.
func (c formCmd) Run(s streams) error {
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	var items []programme.Asked
	if c.Kind == "questions" || c.Kind == "tally" && c.Form != "" {
		if c.Records != "" {
			r, err := folderOf(s, c.Records)
			if err != nil {
				return err
			}
			items = r.FormOf(c.Form)
		}
		if len(items) == 0 {
			return finding.Fault{ID: FaultForm, Args: finding.Args{"Text": c.Form}}
		}
	}
	o := c.options(false)
	o.Older = c.Older
	form := func(words *lang.Printer) page.Document {
		switch c.Kind {
		case "signin":
			return packet.SignIn(c.Event, words, o)
		case "slips":
			return packet.BlankSlips(words, o)
		case "tally":
			return packet.Tally(c.Event, items, words, o)
		}
		return packet.Questionnaire(items, words, o)
	}
	doc := form(words)
	if second, also := s.tongue.second(); also {
		other, err := lang.For(second, words.Units)
		if err != nil {
			return err
		}
		with := form(other)
		with.Sections[0].Title, with.Sections[0].NewPage = with.Title, true
		doc = page.Both(doc, with)
	}
	out, err := pressed(doc, c.Out)
	if err != nil {
		return err
	}
	if err := s.write(c.Out, out, nil, c.Force); err != nil || c.Out == "-" {
		return err
	}
	fmt.Fprintln(s.err, words.Say("command.paper", finding.Args{"File": c.Out}))
	return nil
}

// twiceCmd compares two keyings of a sheet.
type twiceCmd struct {
	Table  string `arg:""`
	First  string `arg:""`
	Second string `arg:""`
}

// Run prints where they differ; then exit is 1.
func (c twiceCmd) Run(s streams) error {
	var texts [2]string
	for i, name := range []string{c.First, c.Second} {
		text, err := readFile(os.OpenFile, name, name, mostWeights)
		if err != nil {
			return err
		}
		texts[i] = string(text)
	}
	a, faults := programme.Twice(c.Table, texts[0], texts[1])
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := press.Text(packet.KeyedApart(a, words), &out, 100); err != nil {
		return err
	}
	if err := s.print(out.Bytes()); err != nil {
		return err
	}
	if len(a.Apart) > 0 {
		return status(exitFaults)
	}
	return nil
}
