package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/store"
)

// Every address for which a plan is made waits for its turn: a new one that makes some without is found here.
func TestPlansAreMadeInTurn(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := emptyStore(t)
	h := &House{Store: s, Book: plan.DefaultBook(), Demo: []byte(invented), Own: true, Now: func() time.Time { return time.Date(2027, 5, 11, 8, 0, 0, 0, time.Local) }}
	server := httptest.NewServer(h.Handler())
	t.Cleanup(func() { server.Close(); s.Close() })
	bed := store.NewID()
	if _, err := s.PutBed(t.Context(), store.Holder(), bed, invented, plan.Code); err != nil {
		t.Fatal(err)
	}
	alone := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }} // no page answers for another
	making := 0
	for _, r := range h.routes() {
		method, path, _ := strings.Cut(r.pattern, " ")
		path = strings.NewReplacer("{bed}", bed, "{section}", "raft", "{$}", "", "{ledger}", "events").Replace(path)
		if method != "GET" || strings.Contains(path, "{") {
			continue
		}
		if strings.Contains(path, "/workshop") {
			path += "?families=1"
		}
		before := h.memory.made.Load()
		resp, err := alone.Get(server.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if h.memory.made.Load() == before {
			continue
		}
		making++
		if _, is := long[r.pattern]; !is {
			t.Errorf("%s makes a plan and waits for no turn", r.pattern)
		}
	}
	if making < 10 {
		t.Errorf("only %d addresses make plans", making)
	}
	for pattern := range long {
		known := pattern == "GET /calendar/{feed}"
		for _, r := range h.routes() {
			known = known || r.pattern == pattern
		}
		if !known {
			t.Errorf("%s waits for a turn and is no address", pattern)
		}
	}
}

// Whoever has no account may look at the demonstration, but not have plan after plan made: what one address asks for is bounded,
// by the store. Who is signed in is not held back by it.
func TestDearWorkIsBounded(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedHouse(t)
	nobody, educator := askers[5], askers[0]
	for range mostDear {
		if err := kept.Attempt(t.Context(), "dear:127.0.0.1", mostDear, triesIn); err != nil {
			t.Fatal(err)
		}
	}
	for _, path := range []string{"/workshop?families=1", "/workshop.pdf?families=1", "/workshop.zip?families=1", "/packet.pdf", "/packet.html"} {
		if got := nobody.ask(t, "GET", server.URL+"/beds/demonstration"+path); got != http.StatusTooManyRequests {
			t.Errorf("%s, more than %d times: %d", path, mostDear, got)
		}
	}
	if got := educator.ask(t, "GET", server.URL+"/beds/demonstration/packet.html"); got != http.StatusOK {
		t.Errorf("signed in: %d", got)
	}
	if got := nobody.ask(t, "GET", server.URL+"/beds/demonstration/plan"); got != http.StatusOK {
		t.Errorf("one page: %d", got)
	}
	for range mostLong {
		if err := kept.Attempt(t.Context(), "long:127.0.0.1", mostLong, triesIn); err != nil {
			break
		}
	}
	if got := nobody.ask(t, "GET", server.URL+"/beds/demonstration/plan"); got != http.StatusTooManyRequests {
		t.Errorf("more than %d pages: %d", mostLong, got)
	}
	for pattern := range dear {
		if !long[pattern] {
			t.Errorf("%s is dear and waits for no turn", pattern)
		}
	}
}

// However many follow a log, a plan has its turn, where there are processors for two; and who gives up leaves nothing taken.
func TestAPlanNeedNotWaitForLogs(t *testing.T) {
	var all turns
	all.begin()
	if cap(all.slots) < 2 {
		t.Skip("one processor")
	}
	for range cap(all.fits) {
		if _, err := all.takeFit(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	short, stop := context.WithCancel(t.Context())
	stop()
	if _, err := all.takeFit(short); err == nil {
		t.Error("one log more than there is room for")
	}
	done, err := all.take(t.Context())
	if err != nil {
		t.Fatal("a plan waits for logs")
	}
	if _, err := all.take(short); err == nil {
		t.Error("one more than there are processors")
	}
	done()
	if len(all.slots) != cap(all.fits) || len(all.fits) != cap(all.fits) {
		t.Errorf("%d and %d are taken", len(all.slots), len(all.fits))
	}
}

// However many open a page, a key has its turn, where there are processors for two; and who gives up leaves nothing taken.
func TestAKeyNeedNotWaitForPages(t *testing.T) {
	var all turns
	all.begin()
	if cap(all.slots) < 2 {
		t.Skip("one processor")
	}
	var ends []func()
	for range cap(all.pages) {
		done, err := all.take(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		ends = append(ends, done)
	}
	short, stop := context.WithCancel(t.Context())
	stop()
	if _, err := all.take(short); err == nil {
		t.Error("one page more than there is room for")
	}
	done, err := all.takeKey(t.Context())
	if err != nil {
		t.Fatal("a key waits for pages")
	}
	if _, err := all.takeKey(short); err == nil {
		t.Error("one more than there are processors")
	}
	for _, end := range append(ends, done) {
		end()
	}
	if len(all.slots)+len(all.pages) > 0 {
		t.Errorf("%d and %d are taken still", len(all.slots), len(all.pages))
	}
}
