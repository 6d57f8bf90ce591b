package api

import (
	"slices"
	"strconv"
	"strings"
)

// plain writes an entry whose keys have no parts and whose texts hold nothing that JSON escapes, as most of a log are: a log has hundreds. False: it is
// another, to be written as any JSON is. The bytes are the same.
func (e Entry) plain() (out []byte, ok bool) {
	type key struct {
		name, text string
		number     bool
	}
	at, errAt := e.At.MarshalText()
	recorded, errRecorded := e.Recorded.MarshalText()
	if errAt != nil || errRecorded != nil || !bare(e.ID) {
		return nil, false
	}
	keys := make([]key, 0, len(e.Pairs)+4)
	keys = append(keys, key{"id", e.ID, false}, key{"at", string(at), false}, key{"version", strconv.Itoa(e.Version), true}, key{"recorded", string(recorded), false})
	size := 2
	for _, p := range e.Pairs {
		name := string(p.Path)
		if !bare(name) || !bare(p.Text) || strings.ContainsAny(name, ".[") || slices.ContainsFunc(keys, func(k key) bool { return k.name == name }) {
			return nil, false
		}
		keys = append(keys, key{name, p.Text, false})
	}
	slices.SortFunc(keys, func(a, b key) int { return strings.Compare(a.name, b.name) })
	for _, k := range keys {
		size += len(k.name) + len(k.text) + 6
	}
	out = make([]byte, 0, size)
	before := byte('{')
	for _, k := range keys {
		out = append(out, before)
		before = ','
		out = append(append(append(out, '"'), k.name...), '"', ':')
		if k.number {
			out = append(out, k.text...)
			continue
		}
		out = append(append(append(out, '"'), k.text...), '"')
	}
	return append(out, '}'), true
}

// bare tells whether JSON writes a text as it is.
func bare(text string) bool {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > '~' || c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' {
			return false
		}
	}
	return true
}
