package main

import (
	_ "embed" // the dates of the tables, and the notices
	"encoding/csv"
	"encoding/json"
	"maps"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"

	"raftwright/finding"
	"raftwright/plan"
)

//go:embed dates.csv
var tableDates string

// notices are the licenses of the program and of all that is built into it. They are
// gathered by `go run ./tools/release notices`; a test gathers them anew and compares.
//
//go:embed notices.txt
var notices string

// tableDate is a table with the day on which it was last changed.
type tableDate struct {
	Table   string `json:"table"`
	Changed string `json:"changed"`
	Hash    string `json:"hash"`
	Years   string `json:"years"` // of what years its figures are, where they are of some
}

// datedTables reads the dates. They are embedded and tested.
var datedTables = sync.OnceValue(func() []tableDate {
	r := csv.NewReader(strings.NewReader(tableDates))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	var out []tableDate
	for _, row := range rows[1:] {
		out = append(out, tableDate{row[0], row[1], row[2], row[3]})
	}
	return out
})

// versionCmd tells what program this is.
type versionCmd struct {
	JSON     bool `name:"json"`
	Licenses bool
}

// edition is what this program is.
type edition struct {
	Edition   string      `json:"edition"`
	Commit    string      `json:"commit"`     // "" where it was not built from a clone
	CommitDay string      `json:"commit_day"` // as 2027-03-03
	Changed   bool        `json:"changed"`    // built from more than what the commit holds
	Go        string      `json:"go"`
	System    string      `json:"system"`
	Tables    []tableDate `json:"tables"`
}

// thisEdition gathers what the program knows of itself.
func thisEdition(b plan.Book) edition {
	e := edition{Edition: b.Edition().String(), Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH, Tables: datedTables()}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return e
	}
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			e.Commit = s.Value
		case "vcs.time":
			e.CommitDay, _, _ = strings.Cut(s.Value, "T")
		case "vcs.modified":
			e.Changed = s.Value == "true"
		}
	}
	return e
}

// Run tells the edition, the commit and the dates of the tables, or the licenses.
func (c versionCmd) Run(s streams) error {
	if c.Licenses {
		return s.print([]byte(notices))
	}
	e := thisEdition(book())
	if c.JSON {
		data, err := json.Marshal(e)
		if err != nil {
			return err
		}
		return s.print(append(data, '\n'))
	}
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	var out strings.Builder
	line := func(id string, args finding.Args) { out.WriteString(words.Say("version."+id, args) + "\n") }
	line("edition", finding.Args{"Edition": e.Edition})
	switch {
	case e.Commit == "":
		line("no_commit", nil)
	case e.Changed:
		line("changed", finding.Args{"Commit": e.Commit, "Day": e.CommitDay})
	default:
		line("commit", finding.Args{"Commit": e.Commit, "Day": e.CommitDay})
	}
	line("built", finding.Args{"Go": e.Go, "System": e.System})
	line("tables", nil)
	wide := len(slices.MaxFunc(slices.Collect(maps.Keys(book().Edition().Tables)), func(a, b string) int { return len(a) - len(b) }))
	for _, t := range e.Tables {
		row := "  " + t.Table + strings.Repeat(" ", max(wide-len(t.Table), 0)) + "  " + t.Changed
		if t.Years != "" {
			row += "  " + words.Say("version.years", finding.Args{"Years": t.Years})
		}
		out.WriteString(row + "\n")
	}
	line("licenses", nil)
	return s.print([]byte(out.String()))
}
