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
