package programme_test

import (
	"encoding/csv"
	"math/rand/v2"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/programme"
)

// asRows gives the rows of a folder by table, in the order of the fields of their forms.
func asRows(t testing.TB, r programme.Records) map[string][][]string {
	t.Helper()
	out := map[string][][]string{}
	for _, f := range programme.Forms() {
		if rows := r.Rows(f.Table); len(rows) > 0 {
			out[f.Table] = rows
		}
	}
	return out
}

// asFiles writes rows as the files of a folder.
func asFiles(rows map[string][][]string) map[string]string {
	files := map[string]string{}
	for _, f := range programme.Forms() {
		if len(rows[f.Table]) == 0 {
			continue
		}
		var text strings.Builder
		out := csv.NewWriter(&text)
		var head []string
		for _, c := range f.Fields {
			head = append(head, c.Name)
		}
		out.Write(head)
		out.WriteAll(rows[f.Table])
		files[f.Table+".csv"] = text.String()
	}
	return files
}

// A book that was read and read on from, row by row, is the one that is read from nothing: rows that were added in any portions and rows written anew give the
// same records and the same report, and no report that was made before is changed by it.
func TestReadingGoesOn(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	all := asRows(t, read(t, year(t)))
	for seed := range uint64(6) {
		by := rand.New(rand.NewPCG(seed, 13))
		have := map[string][][]string{}
		for name, rows := range all { // some stand there from the beginning
			n := by.IntN(len(rows) + 1)
			if name == "counties" || name == "funders" || name == "sites" || name == "beds" || name == "events" || name == "waves" || name == "rates" || name == "people" {
				n = len(rows)
			}
			have[name] = slices.Clone(rows[:n])
		}
		for len(have["corrections"]) > 0 { // they name rows that come later
			have["corrections"] = nil
		}
		book, faults := programme.ReadBook(asFiles(have))
		if len(faults) > 0 {
			t.Fatal(faults[0])
		}
		before := report(t, book.Records, "BOARD", "2027-08-31")
		was := before.Inside().FiguresCSV(nil)
		for _, f := range programme.Forms() {
			if f.Table == "corrections" {
				continue
			}
			for len(have[f.Table]) < len(all[f.Table]) {
				n := min(1+by.IntN(40), len(all[f.Table])-len(have[f.Table]))
				var later []programme.Later
				for range n {
					row := all[f.Table][len(have[f.Table])]
					later = append(later, programme.Later{Table: f.Table, At: len(have[f.Table]), Row: row})
					have[f.Table] = append(have[f.Table], row)
				}
				if f.Named && f.Table != "consents" && by.IntN(2) == 0 && len(have[f.Table]) > n { // and one of before, written anew
					at := by.IntN(len(have[f.Table]) - n)
					later = append(later, programme.Later{Table: f.Table, At: at, Row: have[f.Table][at]})
				}
				if !book.ReadOn(later) {
					t.Fatal("no reading on in", f.Table)
				}
			}
		}
		site := slices.Clone(have["sites"][3]) // a place that closes
		site[4] = "2027-01-15"
		have["sites"][3] = site
		later := []programme.Later{{Table: "sites", At: 3, Row: site}}
		for i, row := range all["corrections"] {
			have["corrections"] = append(have["corrections"], row)
			later = append(later, programme.Later{Table: "corrections", At: i, Row: row})
		}
		if !book.ReadOn(later) {
			t.Fatal("no reading on of a place and corrections")
		}
		anew, faults := programme.Read(asFiles(have))
		if len(faults) > 0 {
			t.Fatal(faults[0])
		}
		if !reflect.DeepEqual(programme.Write(book.Records), programme.Write(anew)) {
			t.Fatalf("seed %d: other records", seed)
		}
		a, b := report(t, book.Records, "BOARD", "2027-08-31"), report(t, anew, "BOARD", "2027-08-31")
		if a.Inside().AuditCSV() != b.Inside().AuditCSV() || a.Public().FiguresCSV(nil) != b.Public().FiguresCSV(nil) {
			t.Fatalf("seed %d: another report", seed)
		}
		if before.Inside().FiguresCSV(nil) != was {
			t.Fatalf("seed %d: a report of before has changed", seed)
		}
	}
}

// Where a row is wrong, or may make another wrong, reading does not go on: all is read anew, with every fault at its place.
func TestReadingDoesNotGoOn(t *testing.T) {
	all := asRows(t, read(t, year(t)))
	n := func(table string) int { return len(all[table]) }
	change := func(table string, at, column int, text string) []string {
		row := slices.Clone(all[table][at])
		row[column] = text
		return row
	}
	for what, l := range map[string]programme.Later{
		"an event twice":             {Table: "events", At: n("events"), Row: all["events"][0]},
		"no such county":             {Table: "events", At: n("events"), Row: change("events", 0, 2, "XYZ")},
		"a row in the place of none": {Table: "events", At: n("events") + 1, Row: change("events", 0, 0, "E999")},
		"another name":               {Table: "events", At: 0, Row: change("events", 0, 0, "E999")},
		"a day that is none":         {Table: "events", At: 0, Row: change("events", 0, 1, "2027-02-29")},
		"a row without name, anew":   {Table: "signins", At: 0, Row: all["signins"][0]},
		"a consent, anew":            {Table: "consents", At: 0, Row: all["consents"][0]},
		"a story":                    {Table: "stories", At: 0, Row: []string{"BOARD", "en", "issue", "words", ""}},
		"a note":                     {Table: "events", At: n("events"), Row: change("events", 0, 0, "#E999")},
		"too few fields":             {Table: "events", At: n("events"), Row: []string{"E999"}},
		"no table":                   {Table: "nothing", At: 0, Row: []string{"x"}},
		"a correction of no row":     {Table: "corrections", At: n("corrections"), Row: []string{"X99", "2027-07-01", "events", "E999", "void", "", "", "", "r"}},
	} {
		book, _ := programme.ReadBook(asFiles(all))
		if book.ReadOn([]programme.Later{l}) {
			t.Errorf("%s: read on", what)
		}
	}
	book, _ := programme.ReadBook(asFiles(all))
	if !book.ReadOn([]programme.Later{{Table: "corrections", At: n("corrections"), Row: []string{"X99", "2027-07-01", "corrections", all["corrections"][0][0], "void", "", "", "", "r"}}}) {
		t.Error("a correction takes out another")
	}
}

// BenchmarkReadOn reads one visit more into ten years of a program, and all of it anew.
func BenchmarkReadOn(b *testing.B) {
	files := ten(b)
	book, faults := programme.ReadBook(files)
	if len(faults) > 0 {
		b.Fatal(faults[0])
	}
	rows, n := book.Records.Rows("visits"), 0
	b.Run("on", func(b *testing.B) {
		for b.Loop() {
			row := slices.Clone(rows[0])
			row[0] = "ZZ" + strconv.Itoa(n)
			n++
			if !book.ReadOn([]programme.Later{{Table: "visits", At: len(book.Records.Visits), Row: row}}) {
				b.Fatal("not read")
			}
		}
	})
	b.Run("anew", func(b *testing.B) {
		for b.Loop() {
			programme.ReadBook(files)
		}
	})
}
