package web

import (
	"database/sql"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/plan"
	"raftwright/store"
)

// BenchmarkBedsByNeed measures the page of all beds, of 10,000 beds: its first, a later one, and one that is narrowed.
func BenchmarkBedsByNeed(b *testing.B) {
	where := store.InFolder(filepath.Join(b.TempDir(), "kept"))
	s, err := store.Open(b.Context(), where)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	db, err := sql.Open("sqlite3", "file:"+filepath.ToSlash(where))
	if err != nil {
		b.Fatal(err)
	}
	const beds = 10_000
	id := "'00000000-0000-7000-8000-' || SUBSTR(CAST(1000000000000 + i AS TEXT), 2)"
	many := fmt.Sprintf("WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i + 1 < %d) ", beds)
	for _, statement := range []string{
		"INSERT INTO bed (id, owner, title, place, brief, edition, version, changed) " + many + "SELECT " + id + ", '', 'Invented', 'Orono ME', '" + invented + "', '', 1, i FROM n",
		"INSERT INTO attention (bed, owner, rank, seen, again, reasons, county, kind, program, reading) " + many + "SELECT " + id + `, '', CASE WHEN i % 4 = 0 THEN 50 + i % 90 ELSE 0 END, i, 4000000000000, '[{"Code":"look","Args":{"day":"2027-05-03"}}]', 'County ' || (i % 30), 'school', 'Program ' || (i % 7), '{"At":"2027-05-02T08:00:00Z","Texts":{"ec":"1.6 mS/cm","ph":"5.9"}}' FROM n`,
		"ANALYZE",
	} {
		if _, err := db.Exec(statement); err != nil {
			b.Fatal(err)
		}
	}
	db.Close()
	h := (&House{Store: s, Book: plan.Book{}, Own: true}).Handler()
	for name, path := range map[string]string{"first": "/beds", "later": "/beds?after=0.00000000-0000-7000-8000-000000005000", "narrowed": "/beds?county=County+7&program=Program+3"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				w, r := httptest.NewRecorder(), httptest.NewRequest("GET", path, nil)
				r.Host = "127.0.0.1"
				if h.ServeHTTP(w, r); w.Code != http.StatusOK || w.Body.Len() < 10_000 {
					b.Fatal(w.Code, w.Body.Len())
				}
			}
		})
	}
}

// BenchmarkKey measures what a key costs the server: the form as it stands is sent, and the plan comes back. The log
// of a bed stands in the store, not in its brief.
func BenchmarkKey(b *testing.B) {
	demo, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		b.Fatal(err)
	}
	whole, _ := brief.Parse("demo.yaml", demo)
	alone, faults := whole.Set("log", "")
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	s, err := store.Open(b.Context(), store.InFolder(filepath.Join(b.TempDir(), "kept")))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	at := (&House{Store: s, Book: plan.DefaultBook(), Demo: alone.Encode(), Own: true}).Handler()
	ask := func(method, path, body string) *httptest.ResponseRecorder {
		w, r := httptest.NewRecorder(), httptest.NewRequest(method, path, strings.NewReader(body))
		r.Host = "127.0.0.1"
		r.Header.Set("Accept-Encoding", "gzip")
		if method == http.MethodPost {
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Sec-Fetch-Site", "same-origin")
		}
		at.ServeHTTP(w, r)
		return w
	}
	w, r := httptest.NewRecorder(), httptest.NewRequest("GET", "/beds/demonstration/brief", nil)
	r.Host = "127.0.0.1"
	at.ServeHTTP(w, r)
	form := fieldsOf(b, w.Body.String())
	for name, text := range map[string]func(n int) string{ // each key another text: none was there before
		"title":                   func(n int) string { return fmt.Sprint("Invented ", n) },
		"water.alkalinity":        func(n int) string { return fmt.Sprintf("%d mg/L CaCO3", 100+n%150) },
		"bed.depth":               func(n int) string { return fmt.Sprintf("6.%03d in", n) },
		"schedule.heads per week": func(n int) string { return fmt.Sprintf("%d.%02d", 5+n/100%4, n%100) },
	} {
		b.Run(name, func(b *testing.B) {
			was := form.Get(name)
			for n := 0; b.Loop(); n++ {
				form.Set(name, text(n))
				if w := ask("POST", "/beds/demonstration/brief/look", form.Encode()); w.Code != http.StatusOK {
					b.Fatal(w.Code, w.Body.String()[:200])
				}
			}
			form.Set(name, was)
		})
	}
}

// BenchmarkBedPages measures the pages of a bed with 200 visits, after nothing was written and after a visit was.
func BenchmarkBedPages(b *testing.B) {
	demo, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		b.Fatal(err)
	}
	s, err := store.Open(b.Context(), store.InFolder(filepath.Join(b.TempDir(), "kept")))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	who, id := store.Holder(), store.NewID()
	if _, err := s.PutBed(b.Context(), who, id, string(demo), plan.Code); err != nil {
		b.Fatal(err)
	}
	day := time.Date(2027, 7, 1, 8, 0, 0, 0, time.UTC)
	visit := func(n int) {
		pairs := []brief.Pair{{Path: "depth", Text: "5-1/2 in"}, {Path: "ec", Text: "1.6 mS/cm"}, {Path: "ph", Text: "5.9"}, {Path: "water temperature", Text: "70 F"}}
		switch {
		case n%60 == 0:
			pairs = []brief.Pair{{Path: "filled", Text: "yes"}, {Path: "planted", Text: "28"}}
		case n%3 == 0:
			pairs = []brief.Pair{{Path: "added water", Text: "2 gal"}, {Path: "depth", Text: "5 in"}, {Path: "ec", Text: "1.7 mS/cm"}, {Path: "ph", Text: "6.1"}, {Path: "water temperature", Text: "71 F"}}
		}
		if _, err := s.Keep(b.Context(), who, store.NewID(), id, day, pairs); err != nil {
			b.Fatal(err)
		}
		day = day.Add(22 * time.Hour)
	}
	for n := range 200 {
		visit(n)
	}
	at := (&House{Store: s, Book: plan.DefaultBook(), Demo: demo, Own: true, Now: func() time.Time { return day }}).Handler()
	ask := func(b *testing.B, path string) {
		w, r := httptest.NewRecorder(), httptest.NewRequest("GET", "/beds/"+id+path, nil)
		r.Host = "127.0.0.1"
		r.Header.Set("Accept-Encoding", "gzip")
		if at.ServeHTTP(w, r); w.Code != http.StatusOK {
			b.Fatal(path, w.Code)
		}
	}
	n := 200
	for _, path := range []string{"/brief", "/plan", "/today", "/history", "/versions"} {
		b.Run("again"+path, func(b *testing.B) {
			for b.Loop() {
				ask(b, path)
			}
		})
		b.Run("after a visit"+path, func(b *testing.B) {
			for b.Loop() {
				n++
				visit(n)
				ask(b, path)
			}
		})
	}
}
