package store

import (
	"database/sql"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// A file of every earlier schema, filled by the program of its day, opens with today's:
// nothing is lost, what is in it is what it was, and it goes on being written to.
func TestOlderFilesOpen(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	names, err := filepath.Glob("testdata/schema_*.sql")
	if err != nil {
		t.Fatal(err)
	}
	if len(names) < 2 {
		t.Fatalf("only %v", names)
	}
	for i, name := range names {
		t.Run(filepath.Base(name), func(t *testing.T) {
			dump, err := os.ReadFile(name)
			must(t, err)
			file := filepath.Join(t.TempDir(), "raftwright.db")
			db, err := sql.Open("sqlite3", "file:"+filepath.ToSlash(file))
			must(t, err)
			_, err = db.ExecContext(t.Context(), string(dump))
			must(t, err)
			must(t, db.Close())

			s, ctx := open(t, file), t.Context()
			must(t, s.Check(ctx))
			_, educator, err := s.SignIn(ctx, "Invented 0", "an invented sentence to sign in")
			must(t, err)
			if educator.Role() != Educator {
				t.Errorf("is %s", educator.Role())
			}
			beds, err := s.Beds(ctx, Holder(), "", 10)
			if err != nil || len(beds) != 1 || beds[0].Title != "An invented bed" || beds[0].Version != 2 {
				t.Fatalf("got %+v, %v", beds, err)
			}
			entries, err := s.Entries(ctx, Holder(), beds[0].ID, Entry{}, 10)
			if err != nil || len(entries) != 2 || !slices.Equal(entries[0].Pairs, []Pair{{Path: "ec", Text: "1.4 mS/cm"}, {Path: "ph", Text: "6.1"}}) {
				t.Fatalf("got %+v, %v", entries, err)
			}
			past, err := s.EntryHistory(ctx, Holder(), entries[0].ID)
			if err != nil || len(past) != 2 || past[0].Pairs[0].Text != "1.6 mS/cm" {
				t.Errorf("got %+v, %v", past, err)
			}
			sheets, err := s.Sheets(ctx, Holder(), WaterSheet)
			if err != nil || len(sheets) != 1 || sheets[0].Name != "Town water" {
				t.Errorf("got %+v, %v", sheets, err)
			}
			people, err := s.People(ctx, Holder())
			if err != nil || len(people) != 4 {
				t.Errorf("got %+v, %v", people, err)
			}
			link := []string{"ESZucDsoiiXJw--Ag0nNcHYYvdutH947Hw59siCk_wE", "XIHuNeNo8Ylvg729PbrgQ-rCgpfUdKg6BIbamOyLFi0"}[i]
			if w, err := s.ByPass(ctx, link); err != nil || w.Bed() != beds[0].ID {
				t.Errorf("the label on the bed no longer leads there: %v", err)
			}
			photos, err := s.Photos(ctx, Holder(), beds[0].ID)
			if err != nil || len(photos) != i {
				t.Errorf("got %+v, %v", photos, err)
			}
			rebuilt(t, s)
			if made, err := s.Keep(ctx, educator, NewID(), beds[0].ID, time.Date(2026, 5, 7, 8, 0, 0, 0, time.UTC), []Pair{{Path: "ph", Text: "6.3"}}); !made || err != nil {
				t.Error(made, err)
			}
		})
	}
}
