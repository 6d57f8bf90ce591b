package programme_test

import (
	"errors"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"raftwright/programme"
)

// rowsOf makes a source of rows, which counts how often it is asked.
func rowsOf(rows map[string][][]string, asked *int) programme.Source {
	return func(tables []programme.Form, row func(string, []string) error) error {
		*asked++
		for _, f := range tables {
			texts := make([]string, len(f.Fields)) // the same for each row: they hold until the function ends
			for _, r := range rows[f.Table] {
				copy(texts, r)
				if err := row(f.Table, texts); err != nil {
					return errors.New("as a database says it: " + err.Error())
				}
			}
		}
		return nil
	}
}

// Rows that come from a store give the same records and the same reports, to the byte, as the files of a folder that say the same, and are asked for once.
func TestRowsGiveWhatFilesGive(t *testing.T) {
	for _, name := range []string{"demo_year", "crossing_year", "leap_year"} {
		files := map[string]string{}
		for _, path := range must(filepath.Glob("testdata/" + name + "/*.csv"))(t) {
			if base := filepath.Base(path); !strings.HasPrefix(base, "expected") {
				files[base] = string(must(os.ReadFile(path))(t))
			}
		}
		rows, asked := asRows(t, read(t, files)), 0
		book, faults, err := programme.ReadRows(rowsOf(rows, &asked))
		if err != nil || len(faults) > 0 || asked != 1 {
			t.Fatal(name, err, faults, asked)
		}
		want := read(t, asFiles(rows))
		if !reflect.DeepEqual(book.Records, want) {
			t.Errorf("%s: other records", name)
		}
		if made := must(programme.FilesOf(rowsOf(rows, &asked)))(t); !reflect.DeepEqual(made, asFiles(rows)) {
			t.Errorf("%s: other files", name)
		}
		for _, f := range want.Funders {
			a, wrong := programme.Make(book.Records, f.ID, f.To+40)
			b, other := programme.Make(want, f.ID, f.To+40)
			if len(wrong)+len(other) > 0 {
				t.Fatal(wrong, other)
			}
			for _, same := range [][2]string{{a.Inside().AuditCSV(), b.Inside().AuditCSV()}, {a.Public().AuditCSV(), b.Public().AuditCSV()}, {a.Inside().FiguresCSV(nil), b.Inside().FiguresCSV(nil)}} {
				if same[0] != same[1] || same[0] == "" {
					t.Errorf("%s, %s: other bytes", name, f.ID)
				}
			}
		}
	}
}

// What is wrong in rows is told as in the files that say the same: each at its file, line and column, in the same order. What a file would say otherwise is read as it says.
func TestRowsHaveTheFaultsOfFiles(t *testing.T) {
	all := asRows(t, read(t, year(t)))
	tables := slices.Sorted(maps.Keys(all))
	odd := []string{"", "x", "2027-13-01", "-1", "1e3", "no such", "a,b", "\"", "line\nline", "line\r\nline", "#note", "\x00", "\xff", "\ufffd", "\ufeff", " 2027-05-01 ", "ñ", "E001", "P001", "99999999999"}
	wrong := 0
	for seed := range uint64(150) {
		by := rand.New(rand.NewPCG(seed, 29))
		rows := map[string][][]string{}
		for name, list := range all {
			rows[name] = slices.Clone(list)
		}
		for range 1 + by.IntN(3) {
			name := tables[by.IntN(len(tables))]
			list := rows[name]
			if len(list) == 0 {
				continue
			}
			switch i := by.IntN(len(list)); by.IntN(8) {
			case 0:
				list = append(list, list[i]) // twice
			case 1:
				list = slices.Delete(list, i, i+1) // which others may name
			case 2:
				list = nil
			default:
				row := slices.Clone(list[i])
				row[by.IntN(len(row))] = odd[by.IntN(len(odd))]
				list[i] = row
			}
			if rows[name] = list; len(list) == 0 {
				delete(rows, name)
			}
		}
		asked := 0
		want, faults := programme.ReadBook(asFiles(rows))
		got, told, err := programme.ReadRows(rowsOf(rows, &asked))
		if err != nil || !reflect.DeepEqual(told, faults) && len(told)+len(faults) > 0 {
			t.Fatalf("seed %d: %v, %v\nof files: %v", seed, err, told, faults)
		}
		if len(faults) == 0 && !reflect.DeepEqual(got.Records, want.Records) {
			t.Fatalf("seed %d: other records", seed)
		}
		if len(faults) > 0 {
			wrong++
		}
	}
	if wrong < 50 {
		t.Errorf("%d with something wrong", wrong)
	}
}

// A source that breaks off tells why, and gives no book.
func TestASourceThatBreaksOff(t *testing.T) {
	gone := errors.New("gone")
	b, faults, err := programme.ReadRows(func([]programme.Form, func(string, []string) error) error { return gone })
	if !errors.Is(err, gone) || len(faults) > 0 || b != nil && len(b.Records.Counties) > 0 {
		t.Error(b, faults, err)
	}
}
