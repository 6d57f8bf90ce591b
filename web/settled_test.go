package web

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/plan"
	"raftwright/store"
)

// What a visit settles is noted in the brief though somebody kept another meanwhile: the day on which the meters were set and the mix that was
// poured stand in theirs. A day that comes late does not take the place of a later one, and who sends twice notes once.
func TestWhatAVisitSettlesIsNotLost(t *testing.T) {
	s := emptyStore(t)
	id, day := grown(t, s, 0)
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return day }}
	v, err := h.background(t.Context(), "en")
	if err != nil {
		t.Fatal(err)
	}
	v.Request, _ = http.NewRequestWithContext(t.Context(), http.MethodPost, "/beds/"+id+"/log", nil)
	v.SetPathValue("bed", id)
	standing := func() aBed {
		t.Helper()
		b, err := v.theBed()
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	before := standing()
	if len(before.brief().Mix.Doses) > 0 {
		t.Fatal("the mix is pinned already")
	}
	theirs := strings.Replace(before.Brief, "title: ", "title: Theirs ", 1)
	if _, err := s.PutBrief(t.Context(), v.who, store.NewID(), id, 1, theirs, plan.Code); err != nil {
		t.Fatal(err)
	}
	entry := store.NewID()
	at := time.Date(2027, 6, 20, 8, 0, 0, 0, time.UTC)
	poured := sentEntry{at: at, pairs: []brief.Pair{{Path: "filled", Text: string(brief.FilledMix)}}}
	for range 2 {
		if err := v.follow(before, entry, poured, true); err != nil {
			t.Fatal(err)
		}
		b := standing()
		if b.Version != 3 || !strings.HasPrefix(b.brief().Title.Value, "Theirs ") || b.brief().Meter.Checked.Value.String() != "2027-06-20" || len(b.brief().Mix.Doses) == 0 {
			t.Fatalf("version %d, %q, meters set %v, %d doses", b.Version, b.brief().Title.Value, b.brief().Meter.Checked.Value, len(b.brief().Mix.Doses))
		}
	}
	if err := v.follow(standing(), store.NewID(), sentEntry{at: at.AddDate(0, 0, -9)}, true); err != nil {
		t.Fatal(err)
	}
	if b := standing(); b.brief().Meter.Checked.Value.String() != "2027-06-20" {
		t.Errorf("a visit that came late set the meters on %v", b.brief().Meter.Checked.Value)
	}
	if err := v.follow(standing(), store.NewID(), sentEntry{at: at.AddDate(0, 0, 9)}, true); err != nil {
		t.Fatal(err)
	}
	if b := standing(); b.brief().Meter.Checked.Value.String() != "2027-06-29" {
		t.Errorf("the meters were set on %v", b.brief().Meter.Checked.Value)
	}
}
