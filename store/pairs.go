package store

import (
	"encoding/json"
	"strings"
	"unicode/utf8"

	"raftwright/finding"
)

// pairsOf reads pairs that were kept. Those as the store writes them, in which no letter is escaped, are parts of the text: a report of ten years reads
// 800,000 rows. All others are read as any JSON is.
func pairsOf(text string) (out []Pair, err error) {
	if out, ok := plainPairs(text); ok {
		return out, nil
	}
	return out, json.Unmarshal([]byte(text), &out)
}

// What stands around the path and the text of a pair.
const beforePath, beforeText, afterPair = `{"Path":"`, `","Text":"`, `"}`

// plainPairs reads pairs as they are written where nothing is escaped; false for any other text.
func plainPairs(text string) (out []Pair, ok bool) {
	rest, ok := strings.CutPrefix(text, "[")
	if !ok || !utf8.ValidString(text) {
		return nil, false
	}
	for i := range len(text) {
		if text[i] == '\\' || text[i] < ' ' {
			return nil, false
		}
	}
	out = make([]Pair, 0, strings.Count(rest, beforePath))
	for {
		var p Pair
		if rest, ok = strings.CutPrefix(rest, beforePath); !ok {
			return nil, false
		}
		at := strings.IndexByte(rest, '"') // the first one ends the path: none is escaped
		if at < 0 || !strings.HasPrefix(rest[at:], beforeText) {
			return nil, false
		}
		p.Path, rest = finding.Path(rest[:at]), rest[at+len(beforeText):]
		if at = strings.IndexByte(rest, '"'); at < 0 || !strings.HasPrefix(rest[at:], afterPair) {
			return nil, false
		}
		p.Text, rest = rest[:at], rest[at+len(afterPair):]
		out = append(out, p)
		switch {
		case rest == "]":
			return out, true
		case !strings.HasPrefix(rest, ","):
			return nil, false
		}
		rest = rest[1:]
	}
}

// rowTexts reads rows of which most have the same columns in the same order.
type rowTexts struct {
	names  []string
	before []string // what stands before the text of each
	row    []string
}

func inColumns(names []string) *rowTexts {
	in := &rowTexts{names: names, row: make([]string, len(names))}
	for i, name := range names {
		before := "," + beforePath + name + beforeText
		if i == 0 {
			before = "[" + before[1:]
		}
		in.before = append(in.before, before)
	}
	return in
}

// texts gives what a row says in each column, until the next is read.
func (in *rowTexts) texts(pairs string) ([]string, error) {
	if in.plain(pairs) {
		return in.row, nil
	}
	clear(in.row)
	list, err := pairsOf(pairs)
	for i, name := range in.names {
		for _, p := range list {
			if string(p.Path) == name {
				in.row[i] = p.Text
			}
		}
	}
	return in.row, err
}

// plain reads pairs of just these columns, as the store writes them where nothing is escaped; false for any other text.
func (in *rowTexts) plain(rest string) bool {
	for i, before := range in.before {
		if !strings.HasPrefix(rest, before) {
			return false
		}
		rest = rest[len(before):]
		at, ascii := 0, true
		for at < len(rest) && rest[at] != '"' {
			c := rest[at]
			if c == '\\' || c < ' ' {
				return false
			}
			ascii = ascii && c < utf8.RuneSelf
			at++
		}
		if !strings.HasPrefix(rest[at:], afterPair) || !ascii && !utf8.ValidString(rest[:at]) {
			return false
		}
		in.row[i], rest = rest[:at], rest[at+len(afterPair):]
	}
	return rest == "]"
}
