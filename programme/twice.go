package programme

import (
	"cmp"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/unit"
)

// Apart is a place where two people keyed a sheet differently.
type Apart struct {
	Row           string // its name
	Column        string // "" where the whole row is in one of them alone
	First, Second string
	Line, Other   int // in the first and in the second; 0: not there
}

// Agreement is how two keyings of a sheet stand to each other.
type Agreement struct {
	Rows, Cells int // that both have
	Apart       []Apart
}

// FaultSheet is a table that is not keyed in twice: none of ours.
const FaultSheet finding.ID = "programme.fault.sheet"

// keyed are the columns that name a row where one column does not.
var keyed = map[string][]string{"answers": {"form", "item"}, "signins": {"event", "person"}}

// Twice compares two keyings of one table, cell by cell. Rows are matched by their name, so that their order does not
// matter; spaces at the ends do not either.
func Twice(name, first, second string) (Agreement, finding.Faults) {
	n := place(name)
	if n < 0 || sheets[n].id < 0 && keyed[name] == nil {
		return Agreement{}, finding.Faults{{ID: FaultSheet, Args: finding.Args{"Text": name}}}
	}
	names := keyed[name]
	if names == nil {
		names = []string{sheets[n].columns[sheets[n].id].name}
	}
	a, faults := sheetOf(name+" 1", first, names)
	b, more := sheetOf(name+" 2", second, names)
	if faults = append(faults, more...); len(faults) > 0 {
		return Agreement{}, faults
	}
	var out Agreement
	for key, x := range a.rows {
		y, both := b.rows[key]
		if !both {
			out.Apart = append(out.Apart, Apart{Row: key, Line: x.line})
			continue
		}
		out.Rows++
		for _, c := range sheets[n].columns {
			v, w := x.cells[c.name], y.cells[c.name]
			if v != "" || w != "" {
				out.Cells++
			}
			if v != w {
				out.Apart = append(out.Apart, Apart{Row: key, Column: c.name, First: v, Second: w, Line: x.line, Other: y.line})
			}
		}
	}
	for key, y := range b.rows {
		if _, both := a.rows[key]; !both {
			out.Apart = append(out.Apart, Apart{Row: key, Other: y.line})
		}
	}
	slices.SortFunc(out.Apart, func(p, q Apart) int {
		return cmp.Or(cmp.Compare(max(p.Line, 0), max(q.Line, 0)), cmp.Compare(p.Other, q.Other), cmp.Compare(p.Column, q.Column))
	})
	return out, nil
}

// keying is a sheet as somebody keyed it.
type keying struct{ rows map[string]keyedRow }

type keyedRow struct {
	line  int
	cells map[string]string
}

// sheetOf reads a keyed sheet. A row whose name stands twice is a fault.
func sheetOf(file, text string, names []string) (keying, finding.Faults) {
	k := keying{map[string]keyedRow{}}
	in := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
	in.FieldsPerRecord = -1
	var head []string
	var faults finding.Faults
	wrong := func(id finding.ID, line int, args finding.Args) {
		faults = append(faults, finding.Fault{ID: id, File: file, Line: line, Column: 1, Args: args})
	}
	for {
		cells, err := in.Read()
		if err == io.EOF {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			wrong(table.FaultFile, bad.Line, nil)
			return k, faults
		}
		line, _ := in.FieldPos(0)
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		if head == nil {
			head = slices.Clone(cells)
			for _, n := range names {
				if !slices.Contains(head, n) {
					spare := slices.DeleteFunc(slices.Clone(head), func(s string) bool { return slices.Contains(names, s) })
					wrong(table.FaultColumn, line, finding.Args{"Name": n, "Near": unit.Near(n, spare)})
				}
			}
			if len(faults) > 0 {
				return k, faults
			}
			continue
		}
		row := keyedRow{line, map[string]string{}}
		for i, c := range cells[:min(len(cells), len(head))] {
			row.cells[head[i]] = c
		}
		var key []string
		for _, n := range names {
			key = append(key, row.cells[n])
		}
		name := strings.Join(key, " ")
		if _, twice := k.rows[name]; twice {
			wrong(FaultTwice, line, finding.Args{"Text": name})
		}
		k.rows[name] = row
	}
	if head == nil {
		wrong(table.FaultEmpty, 1, nil)
	}
	return k, faults
}

// Asked is an item of a form, in both languages.
type Asked struct {
	Form    string `key:"form" need:"yes"`
	Kind    string `key:"kind" words:"before|after|looking back|later"`
	Item    string `key:"item" need:"yes"`
	English string `key:"english" need:"yes"`
	Spanish string `key:"spanish" need:"yes"`
	Answer  string `key:"answer" words:"five|yes|one of|number"`
	Choices string `key:"choices"`         // of "one of": English parted by |
	Elegir  string `key:"choices_spanish"` // the same in Spanish
}

// Text gives the item in a language.
func (a Asked) Text(language string) string {
	if language == "es" {
		return a.Spanish
	}
	return a.English
}

// Options gives what may be ticked of "one of", in a language.
func (a Asked) Options(language string) []string {
	text := a.Choices
	if language == "es" {
		text = a.Elegir
	}
	return strings.Split(text, "|")
}

// FormOf gives the items of a form, in their order.
func (r Records) FormOf(name string) (out []Asked) {
	for _, q := range r.Questions {
		if q.Form == name {
			out = append(out, q)
		}
	}
	return out
}
