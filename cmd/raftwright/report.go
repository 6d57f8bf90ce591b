package main

import (
	"os"
	"path/filepath"
	"strings"

	"github.com/alecthomas/kong"

	"raftwright/finding"
	"raftwright/programme"
)

// mostTable bounds a table of records, in bytes.
const mostTable = 256 << 20

// reportCmd makes a programme's report from a folder of records.
type reportCmd struct {
	Dir     string      `arg:""`
	Funder  string      `required:"" placeholder:"ID"`
	AsOf    recordDay   `required:"" placeholder:"DAY"`
	Since   recordDay   `placeholder:"DAY"`
	Figures string      `placeholder:"FILE"`
	PDF     maybeToFile `name:"pdf" placeholder:"FILE"`
	HTML    maybeToFile `name:"html" placeholder:"FILE"`
	Public  bool
	JSON    bool `name:"json"`
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
	r, faults := programme.Make(records, c.Funder, day)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	var earlier *programme.Report
	if c.Since != "" {
		since, err := c.Since.day()
		if err != nil {
			return err
		}
		if earlier, faults = programme.Make(records, c.Funder, since); len(faults) > 0 {
			return report(s, nil, faults)
		}
	}
	edition := r.Inside()
	if c.Public {
		edition = r.Public()
	}
	figures := []byte(edition.FiguresCSV(earlier))
	if c.Figures != "" {
		return s.write(c.Figures, figures, inputs, c.Force)
	}
	return s.print(figures)
}

// read reads the tables of the folder; of other files it only tells the names.
func (c reportCmd) read() (files map[string]string, inputs []string, err error) {
	there, err := os.ReadDir(c.Dir)
	if err != nil {
		return nil, nil, unread(c.Dir, err)
	}
	files = map[string]string{}
	for _, f := range there {
		if !f.Type().IsRegular() {
			continue
		}
		path, text := filepath.Join(c.Dir, f.Name()), []byte(nil)
		if strings.HasSuffix(f.Name(), ".csv") {
			if text, err = readFile(os.OpenFile, path, path, mostTable); err != nil {
				return nil, nil, err
			}
		}
		files[f.Name()] = string(text)
		inputs = append(inputs, path)
	}
	return files, inputs, nil
}
