package web

import (
	"fmt"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/programme"
	"raftwright/store"
)

// A server that goes on reading from the last record gives the same report as one that reads everything from nothing: after a new row, what a class answered, a row
// written anew, a correction, a row of no table of the book, a row that is wrong, and the correction that mends it.
func TestTheBookIsReadOn(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	kept := yearStore(t)
	serve := func() (*House, *httptest.Server) {
		h := &House{Store: kept, Book: plan.DefaultBook(), Own: true}
		server := httptest.NewServer(h.Handler())
		t.Cleanup(server.Close)
		return h, server
	}
	house, server := serve()
	const to = "/program/audit.csv?funder=BOARD&day=2027-08-31"
	before := get(t, server.URL+to).body
	if !strings.Contains(before, "direct_contacts") {
		t.Fatal(before)
	}
	anew := func(what string, changes, on bool) {
		t.Helper()
		book := house.year.book
		got := get(t, server.URL+to)
		_, fresh := serve()
		if want := get(t, fresh.URL+to); got.status != want.status || got.status == 200 && got.body != want.body {
			t.Errorf("%s: another report than one read from nothing", what)
		}
		if changes == (got.body == before) {
			t.Errorf("%s: the report has changed: %v", what, !changes)
		}
		if (house.year.book == book) != on {
			t.Errorf("%s: read on: %v", what, house.year.book == book)
		}
		before = got.body
	}
	anew("nothing", false, true)
	keepRow(t, kept, "inquiries", true, "inquiry", "NZ1", "date", "2027-05-01", "county", "ALD", "mode", "phone", "education", "yes", "status", "closed")
	anew("a question", true, true)
	row := url.Values{"id": {store.NewID()}, "result": {"CL1"}, "event": {"E012"}, "group": {"the herons"}, "grades": {"3-5"}, "item": {"ph"}, "right_before": {"8"}, "answered_before": {"28"}, "right_after": {"30"}, "answered_after": {"28"}}
	if got := post(t, server.URL+"/program/classes", row); got.status != 422 || !strings.Contains(got.body, "30 pupils were right, and 28 answered") {
		t.Error(got.status)
	}
	row.Set("right_after", "20")
	if got := post(t, server.URL+"/program/classes", row); got.status >= 400 {
		t.Error(got.status, got.body)
	}
	anew("a class", true, true)
	if !strings.Contains(before, "E,class/ph: right after,all,20 of 28,") {
		t.Error("no class in the report")
	}
	list, err := kept.LastRecords(t.Context(), store.Holder(), "rates", 0, 9)
	if err != nil || len(list) == 0 {
		t.Fatal(err)
	}
	rate := list[len(list)-1]
	i := slices.IndexFunc(rate.Row, func(p brief.Pair) bool { return p.Path == "dollars_per_hour" })
	rate.Row[i].Text = "30.01"
	if _, err := kept.PutRecord(t.Context(), store.Holder(), store.NewID(), rate.Version, rate); err != nil {
		t.Fatal(err)
	}
	anew("a rate written anew", true, true)
	keepRow(t, kept, "corrections", true, "correction", "XZ1", "made_on", "2027-08-01", "table", "inquiries", "record", "NZ1", "action", "void", "reason", "twice")
	anew("a correction", true, true)
	if _, err := kept.PutRecord(t.Context(), store.Holder(), store.NewID(), 0, store.Record{ID: store.NewID(), Ledger: "piles", Row: []brief.Pair{{Path: "kind", Text: "x"}}}); err != nil {
		t.Fatal(err)
	}
	anew("a pile", false, true)
	keepRow(t, kept, "sites", true, "site", "SZ1", "county", "XYZ", "kind", "home", "opened", "2027-01-01")
	anew("a place in no county", true, false)
	keepRow(t, kept, "counties", true, "county", "XYZ", "name", "Condado Ñandú")
	anew("its county", true, false)
}

// After an import the records are at hand: the first report reads nothing from the store, is the one that a server gives that reads all of it, and rows that are written then are
// read on, of a table that others name too.
func TestTheBookIsAtHandAfterAnImport(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	kept, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "kept.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { kept.Close() })
	house := &House{Store: kept, Book: plan.DefaultBook(), Own: true}
	server := httptest.NewServer(house.Handler())
	t.Cleanup(server.Close)
	_, archive := inventedYear(t)
	if got := sendBook(t, server, archive); got.status != 200 {
		t.Fatal(got.status)
	}
	book := house.year.book
	if book == nil || house.year.reports == nil {
		t.Fatal("nothing is at hand")
	}
	const to = "/program/audit.csv?funder=BOARD&day=2027-08-31"
	same := func(what string) {
		t.Helper()
		fresh := httptest.NewServer((&House{Store: kept, Book: plan.DefaultBook(), Own: true}).Handler())
		defer fresh.Close()
		if got, want := get(t, server.URL+to), get(t, fresh.URL+to); got.status != 200 || got.body != want.body {
			t.Errorf("%s: another report than one read from the store", what)
		}
		if house.year.book != book {
			t.Errorf("%s: all was read again", what)
		}
	}
	same("an import")
	event := book.Records.Events[0]
	keepRow(t, kept, "signins", false, "event", event.ID, "person", book.Records.People[0].ID)
	same("a signature")
	keepRow(t, kept, "corrections", true, "correction", "XZ1", "made_on", "2027-08-01", "table", "visits", "record", book.Records.Visits[3].ID, "action", "void", "reason", "twice")
	same("a correction")
}

// BenchmarkBookReadOn keeps a record more among 20,000 and asks for the table of a report; the same read from nothing; and the page of a wave with 1,000 links and
// 10,000 answers, after an answer each.
func BenchmarkBookReadOn(b *testing.B) {
	kept := largeBook(b)
	h := &House{Store: kept, Book: plan.DefaultBook(), Own: true}
	server := httptest.NewServer(h.Handler())
	defer server.Close()
	ask := func(address string) {
		resp, err := server.Client().Get(server.URL + address)
		if err != nil || resp.StatusCode != 200 {
			b.Fatal(err, resp)
		}
		resp.Body.Close()
	}
	n := 0
	put := func(table string, row ...string) {
		n++
		r := store.Record{ID: store.NewID(), Ledger: table, Name: "Z" + strconv.Itoa(n)}
		r.Row = pairsOf(table, append([]string{r.Name}, row...))
		if _, err := kept.PutRecord(b.Context(), store.Holder(), r.ID, 0, r); err != nil {
			b.Fatal(err)
		}
	}
	const report, wave = "/program/report.csv?funder=F&day=2027-06-30", "/program/wave/A0"
	for name, do := range map[string]func(){
		"report_after_a_record": func() {
			put("hours", "2027-05-01", "P1", "", "light", "service", "1.5")
			ask(report)
		},
		"report_from_nothing":  func() { h.year.reports = nil; ask(report) },
		"wave":                 func() { ask(wave) },
		"wave_after_an_answer": func() { put("replies", "A0", "1", "2027-05-02", "yes", ""); ask(wave) },
		"figure":               func() { ask("/program/figure?funder=F&day=2027-06-30&name=wave+A0%3A+answered&county=all") },
	} {
		b.Run(name, func(b *testing.B) {
			ask(report)
			for b.Loop() {
				do()
			}
		})
	}
}

func pairsOf(table string, row []string) (out []brief.Pair) {
	f, _ := programme.FormOf(table)
	for i, c := range f.Fields {
		text := ""
		if i < len(row) {
			text = row[i]
		}
		out = append(out, brief.Pair{Path: finding.Path(c.Name), Text: text})
	}
	return out
}

// largeBook is a store with 20,000 records: 1,000 people who may be asked, a wave with a link for each and 10,000 replies.
func largeBook(b *testing.B) *store.Store {
	b.Helper()
	s, err := store.Open(b.Context(), filepath.Join(b.TempDir(), "large.db"))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	day, _ := programme.ParseDay("2026-07-01")
	half, _ := programme.ParseDecimal("2.5")
	x := programme.Records{Counties: []programme.County{{ID: "ALD", Name: "Alder"}}, Funders: []programme.Funder{{ID: "F", From: day, To: day + 364, Series: "each", SameDay: "once", Threshold: 11}},
		Waves: []programme.Wave{{ID: "A0", Question: "Is it growing?", Sent: day + 200, Count: 12000}}}
	var codes []string
	for i := range 1000 {
		codes = append(codes, fmt.Sprintf("P%04d", i))
		x.People = append(x.People, programme.Person{ID: codes[i], County: "ALD", Role: "public"})
		x.Consents = append(x.Consents, programme.Consent{Person: codes[i], Purpose: "ask", Given: day})
	}
	for i := range 10000 {
		x.Replies = append(x.Replies, programme.Reply{ID: fmt.Sprintf("R%05d", i), Wave: "A0", Mailing: 1, Returned: day + programme.Day(201+i%90), Answer: []string{"yes", "no"}[i%2]})
	}
	for i := range 8000 {
		x.Hours = append(x.Hours, programme.Hours{ID: fmt.Sprintf("H%05d", i), Date: day + programme.Day(i%300), Person: codes[i%1000], Kind: "service", Hours: half})
	}
	var list []store.Record
	for _, f := range programme.Forms() {
		for _, row := range x.Rows(f.Table) {
			r := store.Record{ID: store.NewID(), Ledger: f.Table, Row: pairsOf(f.Table, row)}
			if f.Named {
				r.Name = row[0]
			}
			list = append(list, r)
		}
	}
	if err := s.PutRecords(b.Context(), store.Holder(), list); err != nil {
		b.Fatal(err)
	}
	if _, err := s.GiveAskings(b.Context(), store.Holder(), "A0", codes); err != nil {
		b.Fatal(err)
	}
	return s
}

// The store gives the reports that the folder of its records gives, to the byte.
func TestTheStoreGivesTheReportsOfItsFolder(t *testing.T) {
	server := httptest.NewServer((&House{Store: yearStore(t), Book: plan.DefaultBook(), Own: true}).Handler())
	t.Cleanup(server.Close)
	files, _ := inventedYear(t)
	delete(files, "expected.csv")
	records, faults := programme.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	day, _ := programme.ParseDay("2027-08-31")
	for _, f := range records.Funders {
		r, faults := programme.Make(records, f.ID, day)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		asked := ".csv?funder=" + f.ID + "&day=2027-08-31"
		for to, want := range map[string]string{"audit" + asked: r.Inside().AuditCSV(), "report" + asked: r.Inside().FiguresCSV(nil), "report" + asked + "&edition=public": r.Public().FiguresCSV(nil)} {
			if got := get(t, server.URL+"/program/"+to); got.status != 200 || got.body != want {
				t.Errorf("%s: status %d, other bytes than of the folder", to, got.status)
			}
		}
	}
}

// Records that nobody asked for in a while are let go of, and read again for whoever asks.
func TestTheBookIsForgotten(t *testing.T) {
	house := &House{Store: yearStore(t), Book: plan.DefaultBook(), Own: true}
	server := httptest.NewServer(house.Handler())
	t.Cleanup(server.Close)
	m := &house.year
	m.holds = time.Hour
	const to = "/program/audit.csv?funder=BOARD&day=2027-08-31"
	before := get(t, server.URL+to)
	held := func() bool {
		m.mutex.Lock()
		defer m.mutex.Unlock()
		return m.book != nil && len(m.reports) == 1
	}
	if m.forget(); before.status != 200 || !held() {
		t.Fatal(before.status, "nothing is held")
	}
	m.holds = 200 * time.Millisecond
	for range 2 {
		if got := get(t, server.URL+to); got.body != before.body {
			t.Fatal("another report")
		}
		for deadline := time.Now().Add(20 * time.Second); held(); time.Sleep(20 * time.Millisecond) {
			if time.Now().After(deadline) {
				t.Fatal("still held")
			}
		}
		if m.records.Events != nil || m.orders != nil {
			t.Fatal("a part is still held")
		}
	}
}
