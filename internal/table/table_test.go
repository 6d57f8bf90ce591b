package table

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"raftwright/finding"
)

type pair struct {
	name string
	x    float64
}

func pairs(text string) ([]pair, finding.Faults) {
	var out []pair
	faults := Read("t.csv", text, func(r *Row) { out = append(out, pair{r.Text("name"), r.Number("x", 0, 10)}) })
	return out, faults
}

func TestRead(t *testing.T) {
	got, faults := pairs("# a comment\nx, name ,note\n1.5,a,\n 10 ,\"b, c\",n\n")
	if faults != nil || len(got) != 2 || got[0] != (pair{"a", 1.5}) || got[1] != (pair{"b, c", 10}) {
		t.Error(got, faults)
	}
}

// Everything wrong is told at once, each with its line.
func TestFaults(t *testing.T) {
	_, faults := pairs("name,x\na,1\nb,eleven\nc,NaN\nd,-1\n")
	if len(faults) != 3 {
		t.Fatal(faults)
	}
	for i, f := range faults {
		if f.ID != FaultNumber || f.File != "t.csv" || f.Line != 3+i || f.Column != 3 {
			t.Errorf("%+v", f)
		}
	}
	for text, want := range map[string]finding.ID{"": FaultEmpty, "name,x\n": FaultEmpty, "name\na\nb\n": FaultColumn, "name,x\na\n": FaultFile, "name,x\n\"a,1\n": FaultFile} {
		if _, faults := pairs(text); len(faults) != 1 || faults[0].ID != want {
			t.Errorf("%q: %v", text, faults)
		}
	}
}

// A column that is missing is told with the one that is spelled nearly so and that nobody reads; never with one that is read, or that
// is read under its own name.
func TestAMisspelledColumnIsTold(t *testing.T) {
	for head, want := range map[string]string{"name,spacing_mm,counnty": "counnty", "name,spacing_mm,County ": "County", "name,spacing_mm,place": "", "name,spacing_mm,count": "", "county1,name,spacing_mm": "county1"} {
		faults := Read("", head+"\na,1,b\n", func(r *Row) {
			r.Text("name")
			r.Text("spacing_mm")
			r.Has("count")
			r.Text("county")
		})
		if len(faults) != 1 || faults[0].ID != FaultColumn || faults[0].Args["Near"] != want {
			t.Errorf("%s: %v, want %q", head, faults, want)
		}
	}
}

func TestFields(t *testing.T) {
	faults := Read("", "yes,blank,word,src\nyes,,b,one two\n", func(r *Row) {
		if !r.Yes("yes") || r.Yes("blank") || r.Maybe("blank", 1, 2) != 0 || r.Word("word", "a", "b") != 1 || len(r.Sources("src")) != 2 || r.Has("none") {
			t.Error("a field was read wrongly")
		}
		if r.Word("word", "a") != 0 {
			t.Error("a word that is none")
		}
	})
	if len(faults) != 1 || faults[0].ID != FaultWord {
		t.Error(faults)
	}
}

func TestHash(t *testing.T) {
	once, again := Hash("a"), Hash("a")
	if Hash("a", "b") == Hash("ab") || once != again || len(Hash("")) != 32 {
		t.Error("hashes do not tell tables apart")
	}
}

// Records are read as encoding/csv reads them, each field with its place, and what is no CSV is wrong at the same place.
func FuzzRecords(f *testing.F) {
	for _, text := range []string{"a,b\n1,2\n", "# note\n\r\na,\"b,\r\nc\",d\r\n1,2,3\r", "\"a\"\"b\",\"\"\n\"\"\"\",2\n3\n", "a\n\"b\"c\n", "a,b\nx\"y,2\n", "a\n\"b\n\nc", "\"a\"\r", "a,\"\r\r\n\"\r\r\n", ",\n,", "\"a\n#b\",c\n#x\n\"", "é,\"é\"\n1,\"2\"", "a,b\n1\n1,2,3\n4,5"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		want, got := csv.NewReader(strings.NewReader(text)), records{text: text, line: 1}
		want.Comment = '#'
		for {
			a, wrong := want.Read()
			b, err := got.read()
			if fmt.Sprint(wrong) != fmt.Sprint(err) {
				t.Fatalf("%q: %v for %v", text, err, wrong)
			}
			if wrong != nil && !errors.Is(wrong, csv.ErrFieldCount) {
				return
			}
			if !slices.Equal(a, b) {
				t.Fatalf("%q: %q for %q", text, b, a)
			}
			for i := range a {
				line, column := want.FieldPos(i)
				if l, c := got.place(i); l != line || c != column {
					t.Fatalf("%q: field %d at %d:%d for %d:%d", text, i, l, c, line, column)
				}
			}
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add("name,x\na,1\n")
	f.Add("x\n\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		got, faults := pairs(text)
		for _, p := range got {
			if math.IsNaN(p.x) || p.x < 0 || p.x > 10 {
				t.Fatal(p)
			}
		}
		if len(got) == 0 && faults == nil {
			t.Fatal("no row and no fault")
		}
	})
}

// A user's own rows stand in place of all of ours that are of the same thing, in columns
// of any order; a table without a key is taken whole.
func TestOver(t *testing.T) {
	ours := Text{File: "t.csv", Text: "# ours\nkey,wide,x\na,1,1\na,2,2\nb,,3\n", Key: []string{"key"}}
	got := ours.Over("x, key,note\n9, A,\"hear, say\"\n8,c,\n")
	if got.Text != "key,wide,x,note\nb,,3,\n\" A\",,9,\"hear, say\"\nc,,8,\n" || got.File != "t.csv" {
		t.Errorf("%q", got.Text)
	}
	for _, whole := range []string{"key,x\na,1\n", "", "\"x"} {
		ours.Key = nil
		if got := ours.Over(whole); got.Text != whole {
			t.Errorf("%q", got.Text)
		}
	}
	all := Texts{ours, {File: "u.csv", Text: "u"}}
	if all.With(Text{File: "u.csv", Text: "v"}).Of("u.csv").Text != "v" || all.Of("u.csv").Text != "u" || all.Of("none").Text != "" {
		t.Error("a table in place of another")
	}
}

func TestSource(t *testing.T) {
	faults := Read("", "src\nsp811\n \nhearsay\n", func(r *Row) { _ = r.Source("src") })
	if len(faults) != 1 || faults[0].ID != FaultSource || faults[0].Line != 4 {
		t.Error(faults)
	}
}

// What is read from a table with another on top is what stands in the two.
func FuzzOver(f *testing.F) {
	f.Add("name,x\na,1\n", "x,name\n2,b\n")
	f.Add("name,x\n\"a\n\",1\n", "name,x\n\"#\",3\n")
	f.Fuzz(func(t *testing.T, ours, own string) {
		below, wrong := pairs(ours)
		top, wrong2 := pairs(own)
		if wrong != nil || wrong2 != nil {
			return
		}
		got, faults := pairs(Text{Text: ours, Key: []string{"name"}}.Over(own).Text)
		if faults != nil || len(got) < len(top) || len(got) > len(top)+len(below) {
			t.Fatalf("%v over %v is %v: %v", top, below, got, faults)
		}
	})
}
