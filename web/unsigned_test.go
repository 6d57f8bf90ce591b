package web

import (
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/uuid"

	"raftwright/store"
)

// Slips of a pile stand in the book under ids and names by chance alone, in an order that is not that of the pile, and the day is all that is kept
// and shown of when they were keyed; so of a slip that is typed by itself. The file of the slips is ordered by their names.
func TestAKeyedSlipTellsNoHour(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator := askers[0]
	old := map[string]bool{}
	each := func(do func(store.Record)) {
		t.Helper()
		if err := kept.EachRecord(t.Context(), store.Holder(), func(r store.Record) error { do(r); return nil }); err != nil {
			t.Fatal(err)
		}
	}
	each(func(r store.Record) { old[r.ID] = true })
	at := newPile(t, educator, server.URL, "E002", "slips", false)
	const sheets = 12
	cells := map[string]string{}
	for n := 1; n <= sheets; n++ { // each another, so that it is known again
		cells["row"+strconv.Itoa(n)+":groups"] = strconv.Itoa(n%7+1) + strconv.Itoa((n+n/7+1)%7+1)
		cells["row"+strconv.Itoa(n)+":item.build"] = "1" + strconv.Itoa(n%5+1)
	}
	if status, _ := key(t, educator, at, cells, "do", "settle"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	pile := uuid.MustParse(at[strings.LastIndex(at, "/")+1:])
	guess := map[string]bool{}
	for n := range sheets + 1 {
		for _, what := range []string{"sheet ", "sheet form ", "slips ", "answers "} {
			for _, row := range []string{"", " 0", " 1", " 2", " 3"} {
				id := uuid.NewSHA1(pile, []byte(what+strconv.Itoa(n)+row)).String()
				guess[id], guess[coded("F", id)] = true, true
			}
		}
	}
	page := pageOf(t, educator, server.URL+"/program/slips")
	id := regexp.MustCompile(`name="id" value="([^"]*)"`).FindStringSubmatch(page)[1]
	if status, _ := educator.page(t, "POST", server.URL+"/program/slips", url.Values{"id": {id}, "slip": {"S9001"}, "event": {"E002"}, "standard": {"1997"}, "groups": {"White"}}); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	counts := map[string]int{}
	last := ""
	each(func(r store.Record) {
		if old[r.ID] || !slices.Contains([]string{"slips", "answers", "piles"}, r.Ledger) {
			return
		}
		counts[r.Ledger]++
		if guess[r.ID] || guess[r.Name] || r.Ledger == "answers" && guess[r.Row[0].Text] {
			t.Errorf("the pile tells which sheet %v was", r)
		}
		if r.Recorded.UTC().Format("15:04:05.000") != "12:00:00.000" {
			t.Errorf("a row of %s was written at %v", r.Ledger, r.Recorded)
		}
		if r.Ledger != "piles" && uuid.MustParse(r.ID).Version() != 4 {
			t.Errorf("the id of a row of %s tells a time", r.Ledger)
		}
		if r.Ledger == "slips" {
			last = r.ID
		}
	})
	if counts["slips"] != sheets+1 || counts["answers"] != sheets || counts["piles"] != 1 {
		t.Error(counts)
	}
	if page := pageOf(t, educator, server.URL+"/program/slips/"+last); regexp.MustCompile(`\b\d\d:\d\d\b`).MatchString(page) || !strings.Contains(page, "S9001") {
		t.Error("the page of a slip tells an hour")
	}
	event := ""
	each(func(r store.Record) {
		if r.Ledger == "events" {
			event = r.ID
		}
	})
	if page := pageOf(t, educator, server.URL+"/program/events/"+event); !regexp.MustCompile(`\b\d\d:\d\d\b`).MatchString(page) {
		t.Error("the page of an event tells no hour")
	}
}

func pageOf(t *testing.T, a asker, at string) string {
	t.Helper()
	status, page := a.page(t, "GET", at, nil)
	if status != http.StatusOK {
		t.Fatal(at, status)
	}
	return page
}

// The rows of a file go into the order of their first cells, its head stays where it is.
func TestAFileByNames(t *testing.T) {
	got, err := byName("slip,groups\nSB,\"x,y\"\nSA,z\n")
	if err != nil || got != "slip,groups\nSA,z\nSB,\"x,y\"\n" {
		t.Errorf("%q, %v", got, err)
	}
}
