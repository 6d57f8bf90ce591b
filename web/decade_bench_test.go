package web

import (
	"database/sql"
	"encoding/json"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/programme"
	"raftwright/programme/decade"
	"raftwright/store"
)

// decadeStore is a store with ten years of 25 offices: 100,000 encounters and all that goes with them, some 790,000 records. They are put into its table of records
// alone, since to add them one by one takes a minute.
func decadeStore(b *testing.B) *store.Store {
	b.Helper()
	files := map[string]string{}
	paths, err := filepath.Glob("../programme/testdata/demo_year/*.csv")
	if err != nil {
		b.Fatal(err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			b.Fatal(err)
		}
		files[filepath.Base(path)] = string(text)
	}
	delete(files, "expected.csv")
	year, faults := programme.Read(files)
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	x, faults := programme.Read(decade.Of(year, 25))
	if len(faults) > 0 {
		b.Fatal(faults)
	}
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
	defer db.Close()
	tx, err := db.Begin()
	if err != nil {
		b.Fatal(err)
	}
	add, err := tx.Prepare("INSERT INTO record (id, ledger, name, seq, touched, version, pairs, who, recorded) VALUES (?, ?, ?, ?, ?, 1, ?, '', 0)")
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	for _, f := range programme.Forms() {
		for _, row := range x.Rows(f.Table) {
			pairs := make([]brief.Pair, len(row))
			for i, c := range f.Fields {
				pairs[i] = brief.Pair{Path: finding.Path(c.Name), Text: row[i]}
			}
			text, err := json.Marshal(pairs)
			if err != nil {
				b.Fatal(err)
			}
			name := ""
			if f.Named {
				name = row[0]
			}
			n++
			if _, err := add.Exec(store.NewID(), f.Table, name, n, n, string(text)); err != nil {
				b.Fatal(err)
			}
		}
	}
	if err := tx.Commit(); err != nil || n < 750_000 {
		b.Fatal(n, err)
	}
	return s
}

// BenchmarkDecadeOnTheWeb reads ten years from the store and shows their report; then, with the records at hand, as after an import, their report and the pages of the records of a
// figure, the first of them after the report too.
func BenchmarkDecadeOnTheWeb(b *testing.B) {
	kept := decadeStore(b)
	h := &House{Store: kept, Book: plan.DefaultBook(), Own: true}
	at := h.Handler()
	const asked = "?funder=F&day=2027-07-31"
	ask := func(b *testing.B, path string) {
		w, r := httptest.NewRecorder(), httptest.NewRequest("GET", path, nil)
		r.Host = "127.0.0.1"
		if at.ServeHTTP(w, r); w.Code != 200 {
			b.Fatal(path, w.Code, w.Body.String()[:min(500, w.Body.Len())])
		}
	}
	report, figure := "/program/report"+asked, "/program/figure"+asked+"&county=all&name="
	b.Run("report_from_the_store", func(b *testing.B) {
		for b.Loop() {
			h.year = bookMemory{}
			runtime.GC()
			ask(b, report)
		}
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		b.ReportMetric(float64(m.HeapAlloc)/1e6, "MB-held")
	})
	b.Run("report_after_an_import", func(b *testing.B) {
		for b.Loop() {
			h.year.reports = map[string]*programme.Report{}
			ask(b, report)
		}
	})
	for name, of := range map[string]string{"first": "direct_contacts", "later": "direct_contacts&from=50000", "slips": "slips_returned", "harvests": "pounds_given"} {
		b.Run("figure_"+name, func(b *testing.B) {
			ask(b, report)
			for b.Loop() {
				ask(b, figure+of)
			}
		})
	}
	b.Run("figure_first_after_a_report", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			h.year.reports = map[string]*programme.Report{}
			ask(b, report)
			b.StartTimer()
			ask(b, figure+"direct_contacts")
		}
	})
}
