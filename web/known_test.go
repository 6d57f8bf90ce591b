package web

import (
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// fresh are the parts of a page that are others each time: ids of what may be sent, and moments.
var fresh = regexp.MustCompile(`value="[0-9a-f]{8}-[0-9a-f-]{27}"|value="2027-[^"]*"`)

// What was worked out of a bed is told by every server on the store without being worked out again, until
// something is written: then the page of the bed is worked out anew, and the plan once the program came to it.
func TestKnownIsNotWorkedOutTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	demo, err := os.ReadFile("../examples/demo.yaml") // it knows its climate: its log teaches
	if err != nil {
		t.Fatal(err)
	}
	s := emptyStore(t)
	t.Cleanup(func() { s.Close() })
	now := time.Date(2027, 5, 11, 8, 0, 0, 0, time.UTC)
	open := func() (*House, http.Handler) {
		h := &House{Store: s, Book: plan.DefaultBook(), Demo: []byte(invented), Own: true, Now: func() time.Time { return now }}
		return h, h.Handler()
	}
	one, first := open()
	two, second := open()
	bed, who := store.NewID(), store.Holder()
	if _, err := s.PutBed(t.Context(), who, bed, string(demo), plan.Code); err != nil {
		t.Fatal(err)
	}
	visit := func(at time.Time, texts ...string) {
		t.Helper()
		var pairs []brief.Pair
		for i := 0; i < len(texts); i += 2 {
			pairs = append(pairs, brief.Pair{Path: finding.Path(texts[i]), Text: texts[i+1]})
		}
		if _, err := s.Keep(t.Context(), who, store.NewID(), bed, at, pairs); err != nil {
			t.Fatal(err)
		}
	}
	visit(now.AddDate(0, 0, -9), "filled", string(brief.FilledMix), "planted", "32", "depth", "5-1/2 in")
	visit(now.AddDate(0, 0, -1), "ec", "1.6 mS/cm", "ph", "6.0", "depth", "5 in", "water temperature", "66 F")
	ask := func(h *House, at http.Handler, page string) (string, int64) {
		t.Helper()
		before := h.memory.made.Load()
		w, r := httptest.NewRecorder(), httptest.NewRequest("GET", "/beds/"+bed+"/"+page, nil)
		r.Host = "127.0.0.1"
		if at.ServeHTTP(w, r); w.Code != http.StatusOK {
			t.Fatal(page, w.Code, w.Body.String())
		}
		_, body, _ := strings.Cut(w.Body.String(), "<main")
		return fresh.ReplaceAllString(body, ""), h.memory.made.Load() - before
	}
	for _, page := range []string{"today", "plan"} {
		was, made := ask(one, first, page)
		if made == 0 || len(was) < 1000 {
			t.Fatalf("%s: %d plans, %d bytes", page, made, len(was))
		}
		for _, h := range []struct {
			*House
			http.Handler
		}{{one, first}, {two, second}} {
			if again, made := ask(h.House, h.Handler, page); made != 0 || again != was {
				t.Errorf("%s: %d plans for what is known, or it is another:\n%s\n%s", page, made, was, again)
			}
		}
		now = now.Add(2 * time.Hour)
		if _, made := ask(two, second, page); (made != 0) != (page == "today") {
			t.Errorf("%s two hours later: %d plans", page, made)
		}
		visit(now.Add(-time.Minute), "ec", "0.7 mS/cm")
		later, made := ask(one, first, page)
		if page == "today" && (made == 0 || later == was || !strings.Contains(later, "0.7")) || page == "plan" && made != 0 {
			t.Errorf("%s after a visit: %d plans", page, made)
		}
		if err := one.reckon(t.Context(), bed); err != nil {
			t.Fatal(err)
		}
		if a, is, err := s.Answer(t.Context(), who, bed, page+" en"); !is || err != nil || !a.Made.Equal(now) {
			t.Errorf("%s: the program did not work it out by itself: %v, %v, %v", page, is, a.Made, err)
		}
	}
	form, made := ask(one, first, "brief")
	visit(now, "ec", "0.8 mS/cm") // of which the form says nothing
	if again, more := ask(two, second, "brief"); made == 0 || more != 0 || again != form {
		t.Errorf("the form: %d plans, then %d, or another form:\n%s\n%s", made, more, form, again)
	}
	_, older, err := s.Answer(t.Context(), who, bed, "learned ")
	if !older || err != nil {
		t.Errorf("what the log taught is not kept: %v", err)
	}
	two.Book.Places, two.madeWith = nil, "another edition"
	if _, made := ask(two, second, "plan"); made == 0 {
		t.Error("a program with other tables tells what another worked out")
	}
	if _, err := s.PutBrief(t.Context(), who, store.NewID(), bed, 1, strings.Replace(string(demo), "97 in", "8 ft", 1), plan.Code); err != nil {
		t.Fatal(err)
	}
	for _, page := range []string{"plan", "brief"} {
		if _, made := ask(one, first, page); made == 0 {
			t.Errorf("%s of another brief is told", page)
		}
	}
}
