package store

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"raftwright/finding"
)

// Pairs are read as JSON is, however they are written; as the store writes them without anything escaped, by the short way.
func TestPairsAreReadAsJSON(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	random := rand.New(rand.NewPCG(1, 2))
	letters := []string{"a", "é", "\"", "\\", "\n", "<", "&", ",", "{", "}", "[", "]", `"}`, `","Text":"`, `{"Path":"`, "\u2028", " ", "", "日"}
	text := func() (out string) {
		for range random.IntN(4) {
			out += letters[random.IntN(len(letters))]
		}
		return out
	}
	short := 0
	check := func(kept string) {
		t.Helper()
		var want []Pair
		wrong := json.Unmarshal([]byte(kept), &want)
		got, err := pairsOf(kept)
		if (err == nil) != (wrong == nil) || err == nil && !(len(got) == 0 && len(want) == 0) && !reflect.DeepEqual(got, want) {
			t.Fatalf("%s: %q, %v; as JSON %q, %v", kept, got, err, want, wrong)
		}
		if _, ok := plainPairs(kept); ok {
			short++
		}
	}
	for range 20000 {
		list := make([]Pair, random.IntN(4))
		for i := range list {
			list[i] = Pair{Path: "column", Text: text()}
		}
		kept, err := json.Marshal(list)
		must(t, err)
		check(string(kept))
		if cut := random.IntN(len(kept) + 1); cut > 0 {
			check(string(kept[:cut]))
		}
	}
	if short < 2000 {
		t.Errorf("%d were read by the short way", short)
	}
	for _, kept := range []string{"", "null", "[]", "[null]", "{}", `[{"Path":"a","Text":"b"}]`, `[ {"Path":"a","Text":"b"} ]`, `[{"Text":"b","Path":"a"}]`, `[{"Path":"a"}]`, `[{"path":"a","text":"b"}]`, `[{"Path":"a","Text":"b","More":1}]`,
		`[{"Path":"a","Text":"b"},]`, `[{"Path":"a","Text":"b"}] `, `[{"Path":"a","Text":"b"}]]`, `[{"Path":"a","Text":"b","Text":"c"}]`, `[{"Path":"\u0061","Text":"b"}]`, "[{\"Path\":\"a\",\"Text\":\"b\nc\"}]", "[{\"Path\":\"a\",\"Text\":\"b\xffc\"}]"} {
		check(kept)
	}
}

// Rows are read by their columns as JSON is, however they are written.
func TestColumnsAreReadAsJSON(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	letters := []string{"a", "é", "\"", "\\", "\n", ",", `"}`, `","Text":"`, `{"Path":"`, "\u2028", " ", "", "日"}
	names := []string{"one", "two", "three"}
	in, short := inColumns(names), 0
	check := func(kept string) {
		t.Helper()
		var list []Pair
		wrong := json.Unmarshal([]byte(kept), &list)
		want := make([]string, len(names))
		for i, name := range names {
			for _, p := range list {
				if string(p.Path) == name {
					want[i] = p.Text
				}
			}
		}
		got, err := in.texts(kept)
		if (err == nil) != (wrong == nil) || err == nil && !reflect.DeepEqual(got, want) {
			t.Fatalf("%s: %q, %v; as JSON %q, %v", kept, got, err, want, wrong)
		}
		if in.plain(kept) {
			short++
		}
	}
	for range 20000 {
		var list []Pair
		for _, name := range names[:random.IntN(3)+1] {
			text := ""
			for range random.IntN(4) {
				text += letters[random.IntN(len(letters))]
			}
			list = append(list, Pair{Path: finding.Path(name), Text: text})
		}
		if random.IntN(4) == 0 {
			random.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		}
		kept, err := json.Marshal(list)
		must(t, err)
		check(string(kept))
		if cut := random.IntN(len(kept) + 1); cut > 0 {
			check(string(kept[:cut]))
		}
	}
	if short < 300 {
		t.Errorf("%d were read by the short way", short)
	}
	const row = `[{"Path":"one","Text":"a"},{"Path":"two","Text":"%"},{"Path":"three","Text":"c"}]`
	for _, kept := range []string{row, "", "null", "[]", row + " ", row + "]", row[:len(row)-1] + ",]", strings.Replace(row, "%", "\x00", 1), strings.Replace(row, "%", "\n", 1), strings.Replace(row, "%", "\xff", 1), strings.Replace(row, "%", "\ufffd", 1),
		strings.Replace(row, "%", `\u00e9`, 1), row[:len(row)-1] + `,{"Path":"four","Text":"d"}]`, row[:len(row)-1] + `,{"Path":"one","Text":"d"}]`} {
		check(kept)
	}
}
