package store

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"testing"
)

// Pairs are read as JSON is, however they are written; as the store writes them without anything escaped, by the short way.
func TestPairsAreReadAsJSON(t *testing.T) {
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
