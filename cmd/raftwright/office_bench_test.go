package main

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
	"raftwright/examples"
	"raftwright/plan"
	"raftwright/store"
)

// BenchmarkOffice measures each request of tools/load in the handler alone: pages and API of an office of more beds than are remembered, each with a
// title of its own, the first of them with a log of 100 visits. What is worked out of one bed is given to the others.
func BenchmarkOffice(b *testing.B) {
	const beds, logs = 160, 8
	where := store.InFolder(filepath.Join(b.TempDir(), "kept"))
	kept, err := store.Open(b.Context(), where)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { kept.Close() })
	must := func(err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	who := store.Holder()
	text, wrong := brief.Parse("demo.yaml", examples.Demo)
	if len(wrong) > 0 {
		b.Fatal(wrong)
	}
	if text, wrong = text.Set("log", ""); len(wrong) > 0 {
		b.Fatal(wrong)
	}
	ids := make([]string, beds)
	now := time.Date(2027, 7, 1, 8, 0, 0, 0, time.UTC)
	for i := range ids {
		ids[i] = store.NewID()
		named, _ := text.Set("title", fmt.Sprint("Invented ", i))
		_, err := kept.PutBed(b.Context(), who, ids[i], string(named.Encode()), plan.Code)
		must(err)
		visits := 2
		if i < logs {
			visits = 100
		}
		for n := range visits {
			pairs := []brief.Pair{{Path: "depth", Text: "5-1/2 in"}, {Path: "ec", Text: "1.6 mS/cm"}, {Path: "ph", Text: "5.9"}, {Path: "water temperature", Text: "70 F"}}
			if n == 0 {
				pairs = []brief.Pair{{Path: "filled", Text: "yes"}, {Path: "planted", Text: "28"}}
			}
			_, err := kept.Keep(b.Context(), who, store.NewID(), ids[i], now.Add(time.Duration(n-visits)*22*time.Hour), pairs)
			must(err)
		}
	}
	account, key := store.NewID(), ""
	must(kept.AddAccount(b.Context(), who, account, store.Educator, "Invented", "", ""))
	key, err = kept.GivePass(b.Context(), who, store.NewID(), store.Key, "", account, "invented")
	must(err)
	house := streams{strings.NewReader(""), os.Stderr, os.Stderr, tongue{}}.house(kept)
	house.Own, house.Now, house.Patience = false, func() time.Time { return now }, time.Minute
	at := house.Handler()
	ask := func(b *testing.B, method, path, body string) {
		w, r := httptest.NewRecorder(), httptest.NewRequest(method, path, strings.NewReader(body))
		r.Header.Set("Accept-Encoding", "gzip")
		r.Header.Set("Authorization", "Bearer "+key)
		r.RemoteAddr = "127.0.0.1:1"
		if at.ServeHTTP(w, r); w.Code >= 300 {
			b.Fatal(path, w.Code, w.Body)
		}
	}
	for _, page := range []string{"/today", "/plan", "/brief"} {
		ask(b, http.MethodGet, "/beds/"+ids[0]+page, "")
	}
	house.Patience = 0
	db, err := sql.Open("sqlite3", "file:"+filepath.ToSlash(where)+"?_pragma=busy_timeout(10000)")
	must(err)
	_, err = db.Exec("INSERT INTO answer (bed, kind, seen, basis, made, text) SELECT bed.id, answer.kind, bed.changed, answer.basis, answer.made, answer.text FROM answer, bed WHERE answer.bed = '" + ids[0] + "' AND bed.id <> answer.bed")
	must(err)
	must(db.Close())
	for _, m := range []struct{ name, method, path string }{
		{"log", "GET", "/api/beds/%s/log?most=100"}, {"list", "GET", "/api/beds?most=50"}, {"all", "GET", "/beds"}, {"versions", "GET", "/beds/%s/versions"},
		{"form", "GET", "/beds/%s/brief"}, {"plan", "GET", "/beds/%s/plan"}, {"today", "GET", "/beds/%s/today"}, {"visit", "POST", "/api/beds/%s/log"},
	} {
		b.Run(m.name, func(b *testing.B) {
			b.ReportAllocs()
			for n := 0; b.Loop(); n++ {
				bed, body := ids[n%beds], ""
				if m.name == "log" {
					bed = ids[n%logs]
				}
				if m.method == "POST" {
					body = fmt.Sprintf(`{"id": "%s", "at": "%s", "ec": "1.6 mS/cm", "ph": "5.9", "water temperature": "70 F"}`, store.NewID(), now.Format(store.Clock))
				}
				path := m.path
				if strings.Contains(path, "%s") {
					path = fmt.Sprintf(path, bed)
				}
				ask(b, m.method, path, body)
			}
		})
	}
}
