package workshop

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
)

// CodeColumn is the first column of a table of families.
const CodeColumn = "kit"

// Alike gives so many families with the brief as it is.
func Alike(b *brief.Brief, n int) ([]Family, finding.Faults) {
	if n < 1 || n > MostFamilies {
		return nil, finding.Faults{{ID: FaultFamilies, Args: finding.Args{"Most": MostFamilies}}}
	}
	var out []Family
	for i := range n {
		f, faults := family(b, fmt.Sprintf("%02d", i+1), nil)
		if len(faults) > 0 {
			return nil, faults
		}
		out = append(out, f)
	}
	return out, nil
}

// Read reads a table of families, parted by commas: the first column is the kit's code, the others are keys
// of the brief ("language", "water.ph", "site.place"). An empty cell leaves what the brief says; a row that
// says anything of the water says all of it. What is wrong is told at its row and column.
func Read(file string, text []byte, b *brief.Brief) ([]Family, finding.Faults) {
	var faults finding.Faults
	wrong := func(f finding.Fault, row, column int) {
		f.File, f.Line, f.Column = file, row, column
		faults = append(faults, f)
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	r.FieldsPerRecord, r.Comment, r.TrimLeadingSpace = -1, '#', true
	var keys []string
	var out []Family
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var bad *csv.ParseError
			row := 1
			if errors.As(err, &bad) {
				row = bad.Line
			}
			wrong(finding.Fault{ID: FaultTable}, row, 1)
			return nil, faults
		}
		row, _ := r.FieldPos(0)
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		if keys == nil {
			if keys = cells; keys[0] != CodeColumn {
				wrong(finding.Fault{ID: FaultColumn, Args: finding.Args{"Text": short(keys[0]), "Column": CodeColumn}}, row, 1)
				return nil, faults
			}
			continue
		}
		var said []brief.Pair
		for i := 1; i < len(cells) && i < len(keys); i++ {
			if cells[i] != "" {
				said = append(said, brief.Pair{Path: finding.Path(keys[i]), Text: cells[i]})
			}
		}
		switch code := cells[0]; {
		case code == "" || len(code) > mostCode || strings.Trim(code, codeSigns) != "":
			wrong(finding.Fault{ID: FaultCode, Args: finding.Args{"Text": short(code)}}, row, 1)
		case slices.ContainsFunc(out, func(f Family) bool { return strings.EqualFold(f.Code, code) }):
			wrong(finding.Fault{ID: FaultTwice, Args: finding.Args{"Text": code}}, row, 1)
		default:
			f, bad := family(b, code, said)
			f.file, f.row = file, row
			for _, x := range bad {
				wrong(x, row, 1+max(0, slices.IndexFunc(keys, func(k string) bool { return k != CodeColumn && x.Path.Under(finding.Path(k)) })))
			}
			out = append(out, f)
		}
		if len(out) > MostFamilies || len(faults) > 20 {
			break
		}
	}
	if n := len(out); len(faults) == 0 && (n < 1 || n > MostFamilies) {
		wrong(finding.Fault{ID: FaultFamilies, Args: finding.Args{"Most": MostFamilies}}, 1, 1)
	}
	return out, faults
}

// mostCode is how many signs a code may have: it stands on small labels.
const mostCode = 8

// codeSigns are the signs of a code: it names a file.
const codeSigns = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"

func short(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return text
}

// family gives the brief of one family: its bed alone, with its code in the title, without boards that lie in
// somebody's shed and without pieces for something else.
func family(b *brief.Brief, code string, said []brief.Pair) (Family, finding.Faults) {
	title := strings.TrimSpace(b.Title.Value + " · " + code)
	if b.Title.Value == "" {
		title = code
	}
	pairs := []brief.Pair{{Path: "title", Text: title}, {Path: "bed.count"}, {Path: "log"}, {Path: "cut.on hand"}, {Path: "cut.pieces"}}
	if slices.ContainsFunc(said, func(p brief.Pair) bool { return p.Path.Under("water") }) {
		pairs = append(pairs, brief.Pair{Path: "water"})
	}
	b, faults := with(b, append(pairs, said...))
	return Family{Code: code, Brief: b, said: said}, faults
}

// with gives the brief with what is said besides; nil where it cannot be said.
func with(b *brief.Brief, said []brief.Pair) (*brief.Brief, finding.Faults) {
	var faults finding.Faults
	for _, p := range said {
		next, wrong := b.Set(p.Path, p.Text)
		if next == nil {
			return nil, wrong
		}
		b, faults = next, wrong
	}
	return b, faults
}
