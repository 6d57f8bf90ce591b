package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"raftwright/answer"
	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/tend"
)

// cli lists the commands in the order of the job.
type cli struct {
	Language string `placeholder:"TAG"` // read before the rest: askedTongue

	Open     openCmd     `cmd:""`
	Serve    serveCmd    `cmd:""`
	Plan     planCmd     `cmd:""`
	Water    waterCmd    `cmd:""`
	Mix      mixCmd      `cmd:""`
	Frame    frameCmd    `cmd:""`
	Raft     raftCmd     `cmd:""`
	Cut      cutCmd      `cmd:""`
	Season   seasonCmd   `cmd:""`
	Tend     tendCmd     `cmd:""`
	Cost     costCmd     `cmd:""`
	Found    foundCmd    `cmd:""`
	Amiss    amissCmd    `cmd:""`
	Packet   packetCmd   `cmd:""`
	Trial    trialCmd    `cmd:""`
	Question questionCmd `cmd:""`
	Paper    paperCmd    `cmd:""`
	Place    placeCmd    `cmd:""`
	Read     readCmd     `cmd:""`
	Set      setCmd      `cmd:""`
	New      newCmd      `cmd:""`
	Schema   schemaCmd   `cmd:""`
	Demo     demoCmd     `cmd:""`
	Report   reportCmd   `cmd:""`

	Backup  backupCmd  `cmd:""`
	Restore restoreCmd `cmd:""`
	Due     dueCmd     `cmd:""`
	Copy    copyCmd    `cmd:""`
	Form    formCmd    `cmd:""`
	Twice   twiceCmd   `cmd:""`
	Export  exportCmd  `cmd:""`
	Import  importCmd  `cmd:""`
	Account accountCmd `cmd:""`
	Key     keyCmd     `cmd:""`

	Version    versionCmd    `cmd:""`
	Manual     manualCmd     `cmd:""`
	Completion completionCmd `cmd:""`
}

// onBrief names the brief, and where the files may lie that it names.
type onBrief struct {
	Brief  string `arg:""`
	Files  string `placeholder:"DIR"`
	Tables string `placeholder:"DIR"`
}

// reading is what every command that answers can be told.
type reading struct {
	onBrief
	JSON    bool `name:"json"`
	Working bool
}

type (
	planCmd struct {
		reading
		Partial bool
		Since   string `placeholder:"FILE"`
	}
	waterCmd struct{ reading }
	mixCmd   struct{ reading }
	frameCmd struct{ reading }
	raftCmd  struct{ reading }
	cutCmd   struct{ reading }
	costCmd  struct{ reading }
)

// Run prints the whole plan, or what stands of it.
func (c planCmd) Run(s streams) error {
	j, err := c.read(s)
	if err != nil {
		return err
	}
	if j.Since, err = c.since(); err != nil {
		return err
	}
	j.Asked = plan.Everything
	p := s.make(j)
	if !c.Partial {
		if p, err = unharmed(s, j, p); err != nil {
			return err
		}
		return c.print(s, p, plan.Everything)
	}
	words, err := printer(p)
	if err != nil {
		return err
	}
	faults := append(j.Wrong, p.Faults...)
	if !c.JSON {
		err = c.print(s, p, plan.Everything)
	} else {
		var out bytes.Buffer
		if err = answer.Write(&out, answer.Partial(p, faults, words, c.Working)); err == nil {
			err = s.print(out.Bytes())
		}
	}
	if len(faults) == 0 || err != nil && err != status(exitStop) {
		return err
	}
	err = report(s, j.Brief, faults)
	for _, w := range p.Waits {
		fmt.Fprintln(s.err, words.Say("plan.waits", finding.Args{"Part": finding.Word("word.part." + w.Part.String()), "For": joined(w.For)}))
	}
	return err
}

func joined(paths []finding.Path) string {
	text := make([]string, len(paths))
	for i, p := range paths {
		text[i] = string(p)
	}
	return strings.Join(text, ", ")
}

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

// parse reads and parses the brief. One that cannot be read at all is told on
// standard error.
func (c onBrief) parse(s streams) (*brief.Brief, finding.Faults, error) {
	var data []byte
	var err error
	if c.Brief == "-" {
		data, err = readAll(s.in, c.Brief, mostBrief)
	} else {
		data, err = readFile(os.OpenFile, c.Brief, c.Brief, mostBrief)
	}
	if err != nil {
		var f finding.Fault
		if errors.As(err, &f) {
			f.File, f.Line, f.Column = c.Brief, 1, 1
			return nil, nil, report(s, nil, finding.Faults{f})
		}
		return nil, nil, err
	}
	data, _, err = packet.Uncarried(data)
	if err != nil {
		return nil, nil, err
	}
	b, faults := brief.Parse(c.Brief, data)
	return b, faults, nil
}

// read reads and parses the brief and the files it names. A brief that cannot be read
// at all is told on standard error; what is wrong in it stands in the job.
func (c onBrief) read(s streams) (plan.Job, error) {
	b, faults, err := c.parse(s)
	if err != nil {
		return plan.Job{}, err
	}
	files := plan.Files{}
	if b != nil {
		for i, f := range b.Site.Climate {
			text, err := c.readNamed(f.Value, mostClimate)
			if err != nil {
				faults = append(faults, named(b, finding.Path("site.climate").Item(i), err))
				continue
			}
			files[f.Value] = text
		}
	}
	if b != nil && b.ShelfFile.Given {
		faults = append(faults, c.readShelf(b)...)
	}
	with, wrong := c.book()
	j := plan.Job{Brief: b, Wrong: append(faults, wrong...), Learn: tend.Learn, Book: with, Files: files}
	_, faults = bed.FromBrief(b)
	j.Wrong = append(j.Wrong, faults...)
	return j, nil
}

// named gives a fault of a file its place in the brief that names the file.
func named(b *brief.Brief, at finding.Path, err error) finding.Fault {
	var f finding.Fault
	errors.As(err, &f)
	f.Path = at
	return b.Locate(f)
}

// readShelf reads the shelf file that a brief names.
func (c onBrief) readShelf(b *brief.Brief) finding.Faults {
	text, err := c.readNamed(b.ShelfFile.Value, mostBrief)
	if err != nil {
		return finding.Faults{named(b, "shelf file", err)}
	}
	shelf, faults := brief.Parse(b.ShelfFile.Value, text)
	if len(faults) > 0 || shelf == nil {
		return faults
	}
	return b.TakeShelf(shelf)
}

// byPlace puts faults in the order of their files, as these come first, and in each by line and column.
func byPlace(faults finding.Faults) {
	rank := map[string]int{}
	for _, f := range faults {
		if _, known := rank[f.File]; !known {
			rank[f.File] = len(rank)
		}
	}
	slices.SortStableFunc(faults, func(a, b finding.Fault) int {
		return cmp.Or(cmp.Compare(rank[a.File], rank[b.File]), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}

// report tells the faults in the order of the file, one a line, in the language of
// the brief.
func report(s streams, b *brief.Brief, faults finding.Faults) error {
	byPlace(faults)
	words, err := s.speaks(b)
	if err != nil {
		return err
	}
	for _, f := range faults {
		if f.File == "" { // of no file: of what the command was told
			fmt.Fprintln(s.err, "raftwright: "+worded(words, f))
			continue
		}
		fmt.Fprintf(s.err, "%s:%d:%d: %s\n", f.File, f.Line, f.Column, worded(words, f))
	}
	return status(exitFaults)
}

// worded gives a fault in words: the key that is meant, what is wrong, and what
// would be right.
func worded(words *lang.Printer, f finding.Fault) string {
	what, right := words.Fault(f)
	if f.Path != "" {
		what = string(f.Path) + ": " + what
	}
	return strings.ReplaceAll(what+"; "+right, "\n", " ") // one line each
}

// think reads a brief and makes the parts of its plan.
func (c onBrief) think(s streams, parts plan.Part) (plan.Plan, error) {
	j, err := c.read(s)
	if err != nil {
		return plan.Plan{}, err
	}
	j.Asked = parts
	return unharmed(s, j, s.make(j))
}

// unharmed gives a plan with which nothing is wrong; else every fault is told.
func unharmed(s streams, j plan.Job, p plan.Plan) (plan.Plan, error) {
	if faults := append(j.Wrong, p.Faults...); len(faults) > 0 {
		return plan.Plan{}, report(s, p.Brief, faults)
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
	p, err := r.think(s, parts)
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
	return stopped(p)
}

// tellStops prints why a plan cannot stand and what would end that, for commands whose
// document is in a file.
func tellStops(to io.Writer, p plan.Plan, words *lang.Printer) {
	for _, f := range p.Findings {
		if f.Severity != finding.Stop {
			continue
		}
		fmt.Fprintln(to, words.Say("command.stop", finding.Args{"What": words.Finding(f)}))
		var changes []string
		for _, c := range f.Mend {
			change := string(c.Path) + "=" + c.Value
			if c.Value == "" {
				change = words.Say("command.without", finding.Args{"Key": string(c.Path)})
			}
			changes = append(changes, change)
		}
		if len(changes) > 0 {
			fmt.Fprintln(to, words.Say("command.way_out", finding.Args{"Changes": strings.Join(changes, ", ")}))
		}
	}
}

// stopped gives the exit status of a plan that cannot stand.
func stopped(p plan.Plan) error {
	if p.Worst() == finding.Stop {
		return status(exitStop)
	}
	return nil
}
