package main

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
)

// cli lists the commands in the order of the job.
type cli struct {
	Plan   planCmd   `cmd:"" help:"The whole plan: frame, raft, cutting, water, mix, season, cost and shopping."`
	Water  waterCmd  `cmd:"" help:"What your water is, and the acid it needs."`
	Mix    mixCmd    `cmd:"" help:"How much of what to mix in, how to measure it, and what the meter should read."`
	Frame  frameCmd  `cmd:"" help:"Does the vessel hold, what does it weigh, what should be reinforced."`
	Raft   raftCmd   `cmd:"" help:"Where the holes go and how the raft floats."`
	Cut    cutCmd    `cmd:"" help:"Which boards to buy and where to cut them."`
	Season seasonCmd `cmd:"" help:"Light, warmth and water use by month, planting windows and dates."`
	Cost   costCmd   `cmd:"" help:"What the bed costs and what it brings."`
	Found  foundCmd  `cmd:"" help:"What a recipe that you found gives in your water, and the smallest change that mends it."`
	Amiss  amissCmd  `cmd:"" help:"What to take out of a bed that was given a wrong dose, or to add to it."`
	Packet packetCmd `cmd:"" help:"Write the printable packet as a PDF."`
	Place  placeCmd  `cmd:"" help:"Where a place is, and the climate stations near it."`
	New    newCmd    `cmd:"" help:"Write a first brief with comments, to fill in."`
	Schema schemaCmd `cmd:"" help:"Print the JSON Schema of the brief, so that an editor can complete it."`
	Demo   demoCmd   `cmd:"" help:"Take the invented demonstration through plan and packet."`
}

// reading is what every command on a brief can be told.
type reading struct {
	Brief   string `arg:"" help:"The brief, a YAML file; - reads standard input."`
	JSON    bool   `name:"json" help:"Print one JSON document and nothing else."`
	Working bool   `help:"Show the derivation of every figure."`
}

type (
	planCmd  struct{ reading }
	waterCmd struct{ reading }
	mixCmd   struct{ reading }
	frameCmd struct{ reading }
	raftCmd  struct{ reading }
	cutCmd   struct{ reading }
	costCmd  struct{ reading }
)

// Run prints the whole plan.
func (c planCmd) Run(s streams) error { return c.answer(s, plan.Everything) }

// Run prints what the water is.
func (c waterCmd) Run(s streams) error { return c.answer(s, plan.Water) }

// Run prints the mix.
func (c mixCmd) Run(s streams) error { return c.answer(s, plan.Mix) }

// Run prints the frame.
func (c frameCmd) Run(s streams) error { return c.answer(s, plan.Frame) }

// Run prints the raft.
func (c raftCmd) Run(s streams) error { return c.answer(s, plan.Raft) }

// Run prints the cutting.
func (c cutCmd) Run(s streams) error { return c.answer(s, plan.Cut) }

// Run prints the cost.
func (c costCmd) Run(s streams) error { return c.answer(s, plan.Cost) }

// mostBytes is one more than the longest brief that is read; brief refuses it
// with a fault of its own.
const mostBytes = 1<<20 + 1

// readBrief reads and parses the brief and the climate files it names. Faults go
// to standard error, one a line.
func readBrief(name string, s streams) (*brief.Brief, plan.Files, error) {
	var data []byte
	var err error
	if name == "-" {
		data, err = io.ReadAll(io.LimitReader(s.in, mostBytes))
	} else {
		data, err = readSome(name, mostBytes)
	}
	if err != nil {
		fmt.Fprintf(s.err, "%s:1:1: cannot be read (%s); give the name of a brief, or - for standard input\n", name, reason(err))
		return nil, nil, status(exitFaults)
	}
	b, faults := brief.Parse(name, data)
	files := plan.Files{}
	if b != nil {
		for _, f := range b.Site.Climate {
			path := f.Value
			if !filepath.IsAbs(path) && name != "-" {
				path = filepath.Join(filepath.Dir(name), path)
			}
			text, err := readSome(path, 64<<20)
			if err != nil {
				faults = append(faults, b.Fault(f.At, fmt.Sprintf("the climate file %q cannot be read (%s)", f.Value, reason(err)), "give a file that stands beside the brief, or twelve months under site.months"))
				continue
			}
			files[f.Value] = text
		}
	}
	if b != nil && b.ShelfFile.Given {
		faults = append(faults, readShelf(b, name)...)
	}
	if len(faults) > 0 {
		if b != nil {
			faults = append(faults, plan.Names(b, plan.DefaultBook())...)
		}
		return nil, nil, report(s, faults)
	}
	return b, files, nil
}

// readShelf reads the shelf file that a brief names.
func readShelf(b *brief.Brief, name string) finding.Faults {
	f := b.ShelfFile
	path := f.Value
	if !filepath.IsAbs(path) && name != "-" {
		path = filepath.Join(filepath.Dir(name), path)
	}
	text, err := readSome(path, mostBytes)
	if err != nil {
		return finding.Faults{b.Fault(f.At, fmt.Sprintf("the shelf file %q cannot be read (%s)", f.Value, reason(err)), "give a file that stands beside the brief")}
	}
	shelf, faults := brief.Parse(f.Value, text)
	if len(faults) > 0 || shelf == nil {
		return faults
	}
	return b.TakeShelf(shelf)
}

func readSome(name string, most int64) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, most))
}

// reason gives the short reason of a file error, without the path again.
func reason(err error) string {
	if p, ok := err.(*fs.PathError); ok {
		return p.Err.Error()
	}
	return err.Error()
}

// report tells the faults in the order of the file, one a line.
func report(s streams, faults finding.Faults) error {
	slices.SortStableFunc(faults, func(a, b finding.Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	words, err := lang.For("en", lang.US)
	if err != nil {
		return err
	}
	for _, f := range faults {
		what, right := words.Fault(f)
		fmt.Fprintf(s.err, "%s:%d:%d: %s; %s\n", f.File, f.Line, f.Column, what, right)
	}
	return status(exitFaults)
}

// think reads a brief and makes the parts of its plan.
func think(name string, s streams, parts plan.Part) (plan.Plan, error) {
	b, files, err := readBrief(name, s)
	if err != nil {
		return plan.Plan{}, err
	}
	p, faults := plan.Make(b, plan.DefaultBook(), files, parts)
	if len(faults) > 0 {
		return plan.Plan{}, report(s, faults)
	}
	return p, nil
}

// printer makes the printer for the reader that the brief names.
func printer(p plan.Plan) (*lang.Printer, error) {
	units := lang.US
	if p.Metric() {
		units = lang.Metric
	}
	return lang.For(p.Language(), units)
}

// answer makes the parts of a plan and prints them: JSON, or pages of text.
func (r reading) answer(s streams, parts plan.Part) error {
	p, err := think(r.Brief, s, parts)
	if err != nil {
		return err
	}
	return r.print(s, p, parts)
}

func (r reading) print(s streams, p plan.Plan, parts plan.Part) error {
	words, err := printer(p)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if r.JSON {
		err = answer.Write(&out, answer.For(p, parts, words, r.Working))
	} else {
		err = press.Text(packet.Answer(p, parts, words, r.Working), &out, 100)
	}
	if err != nil {
		return err
	}
	if err := s.print(out.Bytes()); err != nil {
		return err
	}
	if p.Worst() == finding.Stop {
		return status(exitStop)
	}
	return nil
}

type packetCmd struct {
	Brief    string `arg:"" help:"The brief, a YAML file; - reads standard input."`
	Out      string `short:"o" name:"out" required:"" placeholder:"FILE" help:"The PDF to write; a name that ends in .html writes a web page."`
	Paper    string `enum:"letter,a4," default:"" help:"Size of the paper: letter or a4 (left out: letter in US units, a4 in metric)."`
	Language string `enum:"en,es," default:"" help:"Language of the packet: en or es (left out: the brief's)."`
	Large    bool   `help:"Large print."`
	Template bool   `help:"Write the full-size paper pattern of the raft's holes instead."`
}

// Run writes the packet of a brief.
func (c packetCmd) Run(s streams) error {
	p, err := think(c.Brief, s, plan.Everything)
	if err != nil {
		return err
	}
	return c.write(s, p)
}

func (c packetCmd) write(s streams, p plan.Plan) error {
	if c.Language != "" {
		p = p.In(c.Language)
	}
	words, err := printer(p)
	if err != nil {
		return err
	}
	options := packet.Options{Large: c.Large, Paper: page.Letter}
	if c.Paper == "a4" || c.Paper == "" && p.Metric() {
		options.Paper = page.A4
	}
	doc := packet.For(p, words, options)
	if c.Template {
		if doc, err = packet.Template(p, words, options); err != nil {
			return userError{err}
		}
	}
	write := press.PDF
	if ext := strings.ToLower(filepath.Ext(c.Out)); ext == ".html" || ext == ".htm" {
		write = press.HTML // one file, for a screen reader and for phones
	}
	var out bytes.Buffer
	if err := write(doc, &out); err != nil {
		return err
	}
	if err := os.WriteFile(c.Out, out.Bytes(), 0o644); err != nil {
		return userError{fmt.Errorf("the packet cannot be written to %s (%s); give another file with -o", c.Out, reason(err))}
	}
	fmt.Fprintf(s.err, "packet written to %s\n", c.Out)
	if p.Worst() == finding.Stop {
		return status(exitStop)
	}
	return nil
}
