package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"

	"github.com/alecthomas/kong"

	"raftwright/answer"
	"raftwright/answer/yearly"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/press/paper"
	"raftwright/programme"
)

// mostTable bounds a table of records, in bytes.
const mostTable = 256 << 20

// reportCmd makes a programme's report from a folder of records.
type reportCmd struct {
	Dir      string      `arg:""`
	Funder   string      `required:"" placeholder:"ID"`
	AsOf     recordDay   `required:"" placeholder:"DAY"`
	Since    recordDay   `placeholder:"DAY"`
	Figures  string      `placeholder:"FILE"`
	Audit    string      `placeholder:"FILE"`
	PDF      maybeToFile `name:"pdf" placeholder:"FILE"`
	HTML     maybeToFile `name:"html" placeholder:"FILE"`
	Public   bool
	Remember bool
	JSON     bool `name:"json"`
	printing
}

// recordDay is a day as records write it.
type recordDay string

// day reads it.
func (d recordDay) day() (programme.Day, error) {
	day, ok := programme.ParseDay(string(d))
	if !ok {
		return 0, finding.Fault{ID: FaultDate, Args: finding.Args{"Text": string(d)}}
	}
	return day, nil
}

// maybeToFile is a flag with the name of a file to write, or without: then it is written to standard output.
type maybeToFile string

// Decode takes what follows the flag where that can be the name of such a file.
func (m *maybeToFile) Decode(c *kong.DecodeContext) error {
	*m = "-"
	next := c.Scan.Peek()
	text, ok := next.Value.(string)
	if !ok || next.Type == kong.EOLToken {
		return nil
	}
	switch ext := strings.ToLower(filepath.Ext(text)); {
	case next.Type == kong.FlagValueToken, text == "-", ext == ".pdf", ext == ".html", ext == ".htm":
		c.Scan.Pop()
		*m = maybeToFile(text)
	}
	return nil
}

// Run makes the report and writes what was asked for.
func (c reportCmd) Run(s streams) error {
	day, err := c.AsOf.day()
	if err != nil {
		return err
	}
	files, inputs, err := c.read()
	if err != nil {
		return err
	}
	records, faults := programme.Read(files)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	var earlier *programme.Report // first: nothing but the report holds the records then
	if c.Since != "" {
		since, err := c.Since.day()
		if err != nil {
			return err
		}
		if earlier, faults = programme.Make(records, c.Funder, since); len(faults) > 0 {
			return report(s, nil, faults)
		}
	}
	r, faults := programme.Make(records, c.Funder, day)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	return c.give(s, r, earlier, inputs)
}

// give writes the edition that was asked for, in each form that was.
func (c reportCmd) give(s streams, r, earlier *programme.Report, inputs []string) error {
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	edition, before := r.Inside(), (*programme.Edition)(nil)
	if c.Public {
		edition = r.Public()
	}
	if earlier != nil {
		if before = earlier.Inside(); c.Public {
			before = earlier.Public()
		}
	}
	write := func(name string, data []byte, err error) error {
		if err != nil {
			return err
		}
		return s.write(name, data, inputs, c.Force)
	}
	if c.Figures != "" {
		if err := write(c.Figures, []byte(edition.FiguresCSV(earlier)), nil); err != nil {
			return err
		}
	}
	if c.Audit != "" {
		if err := write(c.Audit, []byte(edition.AuditCSV()), nil); err != nil {
			return err
		}
	}
	if c.Remember {
		if err := c.remember(edition); err != nil {
			return err
		}
	}
	second, also := s.tongue.second()
	if of := edition.Language(); of != "" && s.tongue.asked == "" { // the funder's, where none was asked for
		first, other, both := strings.Cut(of, "+")
		if words, err = lang.For(first, words.Units); err != nil {
			return err
		}
		second, also = other, both
	}
	doc := packet.Report(edition, before, words, c.options(false))
	if also {
		other, err := lang.For(second, words.Units)
		if err != nil {
			return err
		}
		doc = packet.InBoth(doc, packet.Report(edition, before, other, c.options(false)))
	}
	for name, as := range map[maybeToFile]func(page.Document, io.Writer) error{c.PDF: paper.PDF, c.HTML: press.HTML} {
		if name == "" {
			continue
		}
		var out bytes.Buffer
		err := as(doc, &out)
		if err := write(string(name), out.Bytes(), err); err != nil {
			return err
		}
	}
	var out bytes.Buffer
	switch {
	case c.JSON:
		err = answer.Write(&out, yearly.Report(edition, words))
	case c.Figures == "" && c.Audit == "" && c.PDF == "" && c.HTML == "":
		err = press.Text(doc, &out, 100)
	default:
		return nil
	}
	if err != nil {
		return err
	}
	return s.print(out.Bytes())
}

// read reads the tables of the folder; of other files it only tells the names.
func (c reportCmd) read() (files map[string]string, inputs []string, err error) {
	there, err := os.ReadDir(c.Dir)
	if err != nil {
		return nil, nil, unread(c.Dir, err)
	}
	files = map[string]string{}
	size := int64(0)
	for _, f := range there {
		if !f.Type().IsRegular() {
			continue
		}
		path, text := filepath.Join(c.Dir, f.Name()), ""
		if strings.HasSuffix(f.Name(), ".csv") {
			if text, err = readText(path, mostTable); err != nil {
				return nil, nil, err
			}
		}
		files[f.Name()] = text
		inputs = append(inputs, path)
		size += int64(len(text))
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(max(leastMemory, size*memoryHalves/2))
	}
	return files, inputs, nil
}

// What a report of records of many years holds is four times and a half their text (BENCHMARKS.md): the collector then works harder at six and a half, and not only at ten.
const (
	leastMemory  = 256 << 20 // bytes, which every report may hold
	memoryHalves = 13
)

// remember adds what the edition shows to published.csv in the folder of the records.
func (c reportCmd) remember(e *programme.Edition) error {
	path := filepath.Join(c.Dir, "published.csv")
	return replace(path, path, 0, func(w io.Writer) error {
		_, err := io.WriteString(w, e.WithRemembered())
		return err
	})
}
