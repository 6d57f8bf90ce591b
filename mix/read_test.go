package mix

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"raftwright/unit"
)

func TestLabelsInOneLine(t *testing.T) {
	l, err := ParseLabel("20-20-20; nitrate 6.0 %; ammonium nitrogen: 3.9 %, urea-n 10.1%; chelated iron 0.10 %; MgO 0.5 %; Zn 0.05 %")
	if err != nil {
		t.Fatal(err)
	}
	want := Label{Grade: Grade{.2, .2, .2, true}, Nitrate: States(.06), Ammonium: States(.039), Urea: States(.101), Iron: .001, ChelatedIron: States(.001), Magnesium: .005 * 0.6030, Zinc: .0005}
	same := func(a, b unit.Fraction) bool { return math.Abs(float64(a-b)) < 1e-6 }
	if !same(l.Grade.N, want.Grade.N) || !l.Grade.Given || !same(l.Nitrate.Share, want.Nitrate.Share) || !same(l.Ammonium.Share, want.Ammonium.Share) || !l.Urea.Given ||
		!same(l.Urea.Share, want.Urea.Share) || !same(l.Iron, want.Iron) || !l.ChelatedIron.Given || !same(l.Magnesium, want.Magnesium) || !same(l.Zinc, want.Zinc) {
		t.Errorf("read %+v", l)
	}
	for _, s := range []string{"15.5-0-0, calcium 19 %", "13–0–46", "0:52:34", "P2O5 20 %; K2O 5 %", "silicon 8 %, potassium 3 %", "iron 6 % chelated"} {
		if _, err := ParseLabel(s); err != nil {
			t.Errorf("%q: %v", s, err)
		}
	}
	oxide, _ := ParseLabel("P2O5 20 %")
	if !near(float64(oxide.Phosphorus.Share), 0.2*0.4364, 1e-3) {
		t.Errorf("20 %% P2O5 is %v P", oxide.Phosphorus.Share)
	}
}

func TestLabelsInOneLineThatAreWrong(t *testing.T) {
	for _, c := range []struct {
		text   string
		column int
		says   string
	}{
		{"", 1, "empty"}, {"20-20", 1, "three numbers"}, {"20-20-20; iron", 11, "no figure"}, {"20-20-20; irn 0.1 %", 11, "did you mean iron"},
		{"20-20-20; iron 0.1", 11, "no_unit"}, {"20-20-20; iron 120 %", 11, "0 to 100"}, {"20-20-20; gold 1 %", 11, "nothing that a label counts"},
		{"120-20-20", 1, "three numbers"}, {"20-20-20; iron 0.1 ft", 11, "other_kind"}, {strings.Repeat("x", 3000), 1, "too long"},
	} {
		_, err := ParseLabel(c.text)
		var fault *LabelError
		if !errors.As(err, &fault) || fault.Column != c.column || !strings.Contains(fault.What, c.says) {
			t.Errorf("%.30q: %v, want column %d and %q", c.text, err, c.column, c.says)
		}
	}
}

func FuzzLabel(f *testing.F) {
	for _, s := range []string{"20-20-20; nitrate 6.0 %", "15.5-0-0, Ca 19%", "P2O5 2%;;,", "chelated iron chelated 1 %", "-1-2-3", "1e9-0-0", "\xff; K2O .5 %", "5-5-5,5-5-5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := ParseLabel(s)
		if err != nil {
			var fault *LabelError
			if !errors.As(err, &fault) || fault.Column < 1 || fault.Column > utf8.RuneCountInString(s)+1 {
				t.Fatalf("%q: bad error %v", s, err)
			}
			return
		}
		c, err := Material{Name: "x", Label: &l}.Contents()
		if err != nil {
			return
		}
		sum := 0.0
		for n := range NutrientCount {
			v := float64(c.Shares[n])
			if math.IsNaN(v) || v < 0 || v > 1.0001 {
				t.Fatalf("%q: %s is %v", s, n, v)
			}
			if n != Nitrogen {
				sum += v
			}
		}
		forms := c.Shares[NitrateN] + c.Shares[AmmoniumN] + c.Shares[UreaN]
		if math.Abs(float64(forms-c.Shares[Nitrogen])) > formSlack || sum > 1.5 || math.IsNaN(float64(c.Ions.ReferenceCharge())) {
			t.Fatalf("%q: forms %v of %v, sum %v", s, forms, c.Shares[Nitrogen], sum)
		}
	})
}

func FuzzMaterialFormula(f *testing.F) {
	for _, s := range []string{"MgSO4.7H2O", "C10H12N2O8FeNa", "NaHCO3", "C6H8O7", "NH4HCO3", "UO2", "H2O", "P4O10"} {
		f.Add(s, 0.98)
	}
	f.Fuzz(func(t *testing.T, s string, purity float64) {
		c, err := Material{Name: "x", Formula: s, Purity: unit.Fraction(purity)}.Contents()
		if err != nil {
			return
		}
		for n := range NutrientCount {
			if v := float64(c.Shares[n]); math.IsNaN(v) || v < 0 || v > 1.0000001 {
				t.Fatalf("%q: %s is %v", s, n, v)
			}
		}
		if q := float64(c.Ions.ReferenceCharge()); math.IsNaN(q) || math.Abs(q) > 3000 {
			t.Fatalf("%q: charge %v", s, q)
		}
	})
}

const shelfText = `# my store, spring
name, label, formula, purity, pack, price, currency, level teaspoon, limit
complete fertiliser, "20-20-20; nitrate 6.0 %; ammonium 3.9 %; urea 10.1 %", , , 25 lb, 48, USD, 4.7 g, 2 g/L
Epsom salt, , MgSO4.7H2O, 98 %, 4 lb, 6, USD, ,
liquid, 5-0-1, , , 1 gal, 20, USD, ,
`

func TestReadShelf(t *testing.T) {
	shelf, err := ReadShelf(shelfText)
	if err != nil {
		t.Fatal(err)
	}
	if len(shelf) != 3 || shelf[0].Label == nil || !shelf[0].Label.Grade.Given || shelf[1].Formula != "MgSO4.7H2O" || math.Abs(shelf[0].Pack.Pounds()-25) > 1e-9 ||
		math.Abs(shelf[2].PackVolume.Gallons()-1) > 1e-9 || shelf[0].Price != 48 || math.Abs(shelf[0].LevelTeaspoon.Grams()-4.7) > 1e-9 || shelf[0].Limit.GramsPerLitre() != 2 {
		t.Errorf("read %+v", shelf)
	}
	for text, says := range map[string]string{
		"":                                     "first line names the columns",
		"name,labl\nx,1-1-1":                   "did you mean label",
		"name,formula\nx,KNo3\ny,MgSO":         "line 2",
		"name,formula,price\nx,KNO3,six":       "price",
		"name,formula,pack\nx,KNO3,5 ft":       "pack",
		"name,formula\nx,KNO3,1,2":             "cells",
		"name,formula\n,KNO3":                  "name",
		"name,formula,purity\nx,KNO3,120 %":    "purity",
		strings.Repeat("x", 1<<20+1):           "megabyte",
		"name,formula\n\"x,KNO3":               "quote",
		"name,formula\nx,Zz2\ny,KNO3\nz,K(NO3": "line 4",
	} {
		if _, err := ReadShelf(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%.40q: %v, want %q", text, err, says)
		}
	}
}

func FuzzShelf(f *testing.F) {
	f.Add(shelfText)
	f.Add("name,formula\nx,KNO3")
	f.Fuzz(func(t *testing.T, s string) {
		shelf, err := ReadShelf(s)
		if err == nil {
			for _, m := range shelf {
				if _, err := m.Contents(); err != nil {
					t.Fatalf("%q: a shelf that was read holds %v", s, err)
				}
			}
		}
	})
}

func TestNutrientsAreFoundByName(t *testing.T) {
	for word, want := range map[string]Nutrient{"Ca": Calcium, "calcium": Calcium, "NO3-N": NitrateN, "nitrate-n": NitrateN, "ammonium-n": AmmoniumN, "urea-n": UreaN, "N": Nitrogen, "Sulphur": Sulfur, "chloride": Chlorine, " mo ": Molybdenum} {
		if got, ok := NutrientOf(word); !ok || got != want {
			t.Errorf("%q is %v, %v", word, got, ok)
		}
	}
	if _, ok := NutrientOf("unobtainium"); ok {
		t.Error("unobtainium is found")
	}
	seen := map[string]bool{}
	for n := range NutrientCount {
		if n.Symbol() == "" || n.Element() == 0 || seen[n.Symbol()] {
			t.Errorf("nutrient %d is not whole", n)
		}
		seen[n.Symbol()] = true
	}
	if NutrientCount.Symbol() != "" || Nutrient(-1).String() != "unknown nutrient" {
		t.Error("what is no nutrient has no name")
	}
	if len(Elements()) != int(NutrientCount)-4 {
		t.Errorf("%d elements", len(Elements()))
	}
}
