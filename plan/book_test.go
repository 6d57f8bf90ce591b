package plan

import (
	"slices"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/internal/table"
)

func bookWith(t *testing.T, file, text string) Book {
	t.Helper()
	b, faults := BookWith(map[string][]byte{file: []byte(text)})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return b
}

// A changed table makes another edition and is named; what was made with the old one is
// forgotten. The same tables are the same edition.
func TestEdition(t *testing.T) {
	one, two := DefaultBook(), bookWith(t, "prices.csv", "key,unit,usd,life_years,year\n2x8,foot,9.99,5,2027\n")
	if a, b := one.Edition(), two.Edition(); !slices.Equal(b.Differs(a), []string{"prices.csv"}) || a.String() == b.String() || !strings.HasPrefix(a.String(), Code+"-") {
		t.Errorf("%s and %s differ in %v", a, b, b.Differs(a))
	}
	if again, _ := BookWith(nil); one.Edition().Differs(again.Edition()) != nil || one.Edition().String() != again.Edition().String() {
		t.Error("the same tables are two editions")
	}
	if d := one.Edition().Differs(Edition{}); len(d) != len(TableFiles())+1 || !slices.Contains(d, "usual") {
		t.Errorf("beside none %v differ", d)
	}
	b, files := sample(t, "../examples/minimal.yaml")
	var mem Memory
	was := job(b, one, files, Everything).Make(&mem)
	j := job(b, two, files, Everything)
	now := j.Make(&mem)
	if was.Cost.FirstCost == now.Cost.FirstCost || now.Edition.String() != two.Edition().String() {
		t.Error("prices of another book are remembered")
	}
	told := func(p Plan) (out []finding.Finding) {
		for _, f := range p.Findings {
			if f.ID == FindEdition {
				out = append(out, f)
			}
		}
		return out
	}
	j.Since = &was.Edition
	if f := told(j.Make(&mem)); len(f) != 1 || f[0].Args["Tables"] != "prices.csv" || f[0].Args["Code"] != false {
		t.Errorf("since another table: %v", f)
	}
	j.Since = &now.Edition
	if f := told(j.Make(&mem)); f != nil {
		t.Errorf("since itself: %v", f)
	}
	j.Since = &Edition{"0", now.Edition.Tables}
	if f := told(j.Make(&mem)); len(f) != 1 || f[0].Args["Tables"] != "" || f[0].Args["Code"] != true {
		t.Errorf("since other code: %v", f)
	}
}

// Every table takes a user's own on top: ours itself changes nothing, and what is wrong
// in theirs has its line in their file.
func TestOwnTables(t *testing.T) {
	b, files := sample(t, "../examples/minimal.yaml")
	want := job(b, DefaultBook(), files, Everything).Make(nil)
	for _, x := range tables() {
		got := job(b, bookWith(t, x.File, x.Text), files, Everything).Make(nil)
		got.Edition = want.Edition
		if !same(got, want) {
			t.Errorf("%s on top of itself makes another plan", x.File)
		}
		_, faults := BookWith(map[string][]byte{x.File: []byte("nothing,here\n1,2\n")})
		if len(faults) == 0 {
			t.Errorf("%s without its columns is taken", x.File)
		}
		for _, f := range faults {
			if f.File != x.File || f.Line < 1 {
				t.Errorf("%s: %v", x.File, f)
			}
		}
	}
	_, faults := BookWith(map[string][]byte{"prices.csv": []byte("key,unit,usd,life_years,year\n2x8,foot,1,5,2027\n2x8,foot,cheap,5,2027\n")})
	if len(faults) != 1 || faults[0].ID != table.FaultNumber || faults[0].Line != 3 || faults[0].Column != 10 {
		t.Errorf("%v", faults)
	}
	_, faults = BookWith(map[string][]byte{"limits.csv": []byte("analyte,unit,good,severe,source,other,other_for\nsodium,mg/L,1,2,hearsay,,\n")})
	if len(faults) != 1 || faults[0].ID != table.FaultSource {
		t.Errorf("%v", faults)
	}
}

// A user's own lumber can be named in a brief.
func TestOwnLumber(t *testing.T) {
	book := bookWith(t, "lumber.csv", "key,species,grade,width,fb,ft,fv,fc_perp,fc,e,g,size_factor,source\nour-larch,Larch,No.2,,900,575,180,625,1350,1600000,0.5,yes,given\n")
	b, files := sample(t, "../examples/minimal.yaml")
	b, faults := b.Set("bed.lumber", "our-larch")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if p := job(b, book, files, Frame).Make(nil); len(p.Faults) > 0 || p.Frame.Job.Species != "our-larch" {
		t.Errorf("%v", p.Faults)
	}
	if p := job(b, DefaultBook(), files, Frame).Make(nil); len(p.Faults) != 1 {
		t.Errorf("%v", p.Faults)
	}
}
