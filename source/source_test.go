package source

import (
	"cmp"
	"encoding/csv"
	"slices"
	"strings"
	"testing"
)

func TestEntriesAreWhole(t *testing.T) {
	if !slices.IsSortedFunc(All(), func(a, b Entry) int { return cmp.Compare(a.ID, b.ID) }) {
		t.Error("the rows do not stand by their ID")
	}
	in := csv.NewReader(strings.NewReader(table))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		if row[5] != "" && !slices.Contains(standings, row[5]) {
			t.Errorf("%s: %q is no standing", row[0], row[5])
		}
	}
	seen := map[ID]bool{}
	if !strings.Contains(table, "\nid,author,title,year,where,standing,note\n") {
		t.Error("the columns are read in this order")
	}
	for _, e := range All() {
		if e.ID == "" || e.Title == "" {
			t.Errorf("entry without ID or title: %+v", e)
		}
		if seen[e.ID] {
			t.Errorf("ID %q stands twice", e.ID)
		}
		seen[e.ID] = true
		if e.Standing == Published && e.Author == "" {
			t.Errorf("%s is published but has no author", e.ID)
		}
		if got, ok := Find(e.ID); !ok || got != e {
			t.Errorf("Find(%q) = %+v, %v", e.ID, got, ok)
		}
	}
	if len(seen) < 150 {
		t.Fatalf("only %d entries seen", len(seen))
	}
}

// The undated article of the trade on what crops do to pH cannot be checked, and went: what it was cited for is carried by
// papers that can (docs/sources.md, 11).
func TestTheUndatedArticleIsGone(t *testing.T) {
	for _, e := range All() {
		if strings.Contains(strings.ToLower(e.Title), "ph effect") {
			t.Errorf("%s is back: %s", e.ID, e.Title)
		}
	}
}
