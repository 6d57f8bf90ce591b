package api

import (
	"bytes"
	"encoding/json"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/store"
)

// An entry that is written in the short way has the bytes that JSON gives it, and one that needs more is left to JSON.
func TestPlainEntries(t *testing.T) {
	at := time.Date(2027, 5, 10, 8, 0, 0, 0, time.UTC)
	for _, try := range []struct {
		pairs []store.Pair
		short bool
	}{
		{nil, true},
		{[]store.Pair{{Path: "ph", Text: "5.9"}, {Path: "water temperature", Text: "70 F"}, {Path: "added water", Text: "2 gal"}, {Path: "zinc", Text: ""}}, true},
		{[]store.Pair{{Path: "note", Text: "a < b & c > d"}}, false},
		{[]store.Pair{{Path: "note", Text: "a \"word\" \\"}}, false},
		{[]store.Pair{{Path: "note", Text: "two\nlines"}}, false},
		{[]store.Pair{{Path: "note", Text: "5 °C"}}, false},
		{[]store.Pair{{Path: "note", Text: "\x7f"}}, false},
		{[]store.Pair{{Path: "seen[0]", Text: "yellow"}, {Path: "lab.ph", Text: "6"}}, false},
		{[]store.Pair{{Path: `added["a"]`, Text: "1 g"}}, false},
		{[]store.Pair{{Path: "version", Text: "x"}}, false},
	} {
		e := Entry{ID: bedA, At: at, Version: 12, Recorded: at.Add(1500 * time.Millisecond), Pairs: try.pairs}
		all := brief.Nested(e.Pairs)
		all["id"], all["at"], all["version"], all["recorded"] = e.ID, e.At, e.Version, e.Recorded
		want, err := json.Marshal(all)
		must(t, err)
		if got, short := e.plain(); short != try.short || short && !bytes.Equal(got, want) {
			t.Errorf("%v: %v %s\nfor %v %s", try.pairs, short, got, try.short, want)
		}
		if got, err := json.Marshal(e); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s, %v\nfor %s", got, err, want)
		}
	}
}
