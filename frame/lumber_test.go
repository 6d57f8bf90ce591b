package frame

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/source"
	"raftwright/unit"
)

// The embedded tables are pinned: a slipped digit fails here.
func TestTablesArePinned(t *testing.T) {
	l := DefaultYard()
	var fb, e, g float64
	for _, r := range l.grades {
		fb, e, g = fb+float64(r.Values.Fb)/psi, e+float64(r.Values.E)/psi, g+r.Values.G
		if _, ok := source.Find(r.Source); !ok {
			t.Errorf("%s cites %q, which is unknown", r.Key, r.Source)
		}
	}
	if len(l.grades) != 11 || len(l.Keys()) != 7 {
		t.Errorf("%d rows, %d keys", len(l.grades), len(l.Keys()))
	}
	near(t, "sum of Fb", fb, 9225, 1e-6)
	near(t, "sum of E", e, 14.1e6, 1e-6)
	near(t, "sum of G", g, 5.13, 1e-6)
	area := unit.Area(0)
	sheets := DefaultYard().Sheets
	for _, s := range sheets {
		area += s.Area()
		if _, ok := source.Find(s.Source); !ok {
			t.Errorf("%s cites %q, which is unknown", s.Material, s.Source)
		}
		if s.LifeLow <= 0 || s.LifeHigh < s.LifeLow {
			t.Errorf("%+v", s)
		}
	}
	if len(sheets) != 35 {
		t.Errorf("%d sheets", len(sheets))
	}
	near(t, "sum of sheets", area.SquareFeet(), 38770, 1e-6)
}

// NDS 4.3 and the Supplement: the rules of the adjustment factors.
func TestAdjustmentRules(t *testing.T) {
	l := DefaultYard()
	wet := Service{Duration: PermanentLoad, Wet: true}
	get := func(key string, s Size, c Service) (Grade, Factors) {
		g, ok := l.Grade(key, s)
		if !ok {
			t.Fatal(key, s)
		}
		return g, g.Factors(s, c)
	}
	if _, f := get("douglas-fir-larch-2", Size{2, 6}, wet); f.CMb != 0.85 { // 900 x 1.3 = 1170 > 1150
		t.Errorf("CM %g for Fb CF 1170", f.CMb)
	}
	if _, f := get("spruce-pine-fir-2", Size{2, 6}, wet); f.CMb != 1 { // 1137.5
		t.Errorf("CM %g for Fb CF 1137.5", f.CMb)
	}
	g, f := get("hem-fir-2", Size{2, 8}, Service{Duration: PermanentLoad, Wet: true, Incised: true, Flat: true})
	near(t, "hem-fir 2x8 flat, wet, incised", float64(g.Allowed(Size{2, 8}, Service{Duration: PermanentLoad, Wet: true, Incised: true, Flat: true}).Fb)/psi,
		850*0.9*1.2*1.15*0.8, 1e-9)
	if f.CMp != 0.67 || f.CME != 0.9 || f.CiE != 0.95 {
		t.Errorf("%+v", f)
	}
	if _, ok := l.Grade("hem-fir-2", Size{1, 8}); ok {
		t.Error("a 1x8 was given a design value")
	}
	if _, ok := l.Grade("hem-fir-2", Size{6, 6}); ok {
		t.Error("a timber was given a design value of dimension lumber")
	}
	if _, ok := l.Grade("oak", Size{2, 8}); ok {
		t.Error("oak is not in the table")
	}
	// NDS Supplement 3.1.3 with G 0.55 at 19 %: 62.4 x 0.55/1.09405 x 1.19 = 37.33 lb/ft3.
	pine, _ := l.Grade("southern-pine-2", Size{2, 8})
	near(t, "density", float64(pine.Density(19))/float64(unit.PoundPerCubicFoot), 37.33, 0.05)
}

func TestParseSizes(t *testing.T) {
	for text, want := range map[string]Size{"2x8": {2, 8}, " 2 x 10 ": {2, 10}, "2X6": {2, 6}, "2×4": {2, 4}, "4x12": {4, 12}} {
		if got, err := ParseSize("bed.side board", text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "2", "x", "2x", "8x2", "2x7", "2x100", "-2x8", "2x8x8", "1e9x2", strings.Repeat("2x", 1000)} {
		if got, err := ParseSize("bed.side board", text); err == nil {
			t.Errorf("%q was read as %v", text, got)
		} else if len(err.Error()) > 200 {
			t.Errorf("%q: long message %q", text, err)
		}
	}
}

func FuzzParseSize(f *testing.F) {
	for _, s := range []string{"2x8", "", "2 x 10", "×", "99999999999999999999x2", "1x2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSize("bed.side board", text)
		if err != nil {
			return
		}
		if again, err := ParseSize("bed.side board", s.String()); err != nil || again != s {
			t.Fatalf("%q gives %v, which reads as %v, %v", text, s, again, err)
		}
		if d, ok := s.Dry(); !ok || d.Thick <= 0 || d.Wide < d.Thick {
			t.Fatalf("%q: %+v", text, d)
		}
	})
}

func FuzzReadLumber(f *testing.F) {
	f.Add(lumberTable)
	f.Add("a,b\n1")
	f.Add("\"")
	f.Fuzz(func(t *testing.T, text string) {
		l, err := ReadLumber("", text)
		if err != nil {
			return
		}
		for _, g := range l.grades {
			if !(g.Values.Fb > 0) || !(g.Values.G > 0.2) {
				t.Fatalf("%+v", g)
			}
		}
	})
}

// A dry board is smaller than its name.
func TestBoardsAreSmallerThanTheirNames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Size{rapid.SampledFrom([]int{1, 2, 3, 4, 6}).Draw(t, "thick"), rapid.IntRange(1, 14).Draw(t, "wide")}
		d, ok := s.Dry()
		if ok && d.Wide >= unit.Length(s.Wide)*unit.Inch {
			t.Fatalf("%v: dry %v", s, d)
		}
	})
}

// A user's own rows stand in place of ours of the same name.
func TestYardOver(t *testing.T) {
	const head = "key,species,grade,width,fb,ft,fv,fc_perp,fc,e,emin,g,size_factor,status,source\n"
	texts := Tables()
	mine, faults := ReadYard(texts.With(texts.Of("lumber.csv").Over(head + "hem-fir-2,Hem-Fir,No.2,,800,500,150,405,1300,1300000,470000,0.43,yes,M,memory\nlarch,Larch,No.2,,800,500,150,405,1300,1300000,470000,0.5,yes,M,memory\n")).
		With(texts.Of("liner.csv").Over("material,mil,sizes,life_low,life_high,status,source\nrubber,45,10x10,20,30,M,memory\n")))
	if faults != nil {
		t.Fatal(faults)
	}
	ours := DefaultYard()
	g, ok := mine.Grade("hem-fir-2", Size{2, 8})
	if !ok || g.Values.Fb != 800*unit.PoundPerSquareInch || mine.Known("bed.lumber", "larch") != nil || ours.Known("bed.lumber", "larch") == nil {
		t.Errorf("%+v", g)
	}
	rubber := 0
	for _, s := range mine.Sheets {
		if s.Material == "rubber" {
			rubber++
		}
	}
	if rubber != 1 || len(mine.Sheets) >= len(ours.Sheets) {
		t.Errorf("%d sheets of rubber of %d", rubber, len(mine.Sheets))
	}
	if _, faults := ReadLiners("", "material,mil,sizes,life_low,life_high,status,source\nrubber,45,10by10,20,30,M,memory\n"); len(faults) != 1 || faults[0].ID != FaultSheet {
		t.Error(faults)
	}
}

// Size factors: NELMA, grade rules, section 8, table A (whole table read): nominal
// width, bending of 2 to 3 in and of 4 in thick boards, tension, compression. Table 4B
// raises only the bending of boards 4 in thick and 8 in or wider.
func TestSizeFactors(t *testing.T) {
	for _, c := range []struct {
		wide                   int
		thin, thick, pull, end float64
	}{{4, 1.5, 1.5, 1.5, 1.15}, {5, 1.4, 1.4, 1.4, 1.1}, {6, 1.3, 1.3, 1.3, 1.1}, {8, 1.2, 1.3, 1.2, 1.05}, {10, 1.1, 1.2, 1.1, 1}, {12, 1, 1.1, 1, 1}, {14, 0.9, 1, 0.9, 0.9}} {
		for thick, bend := range map[int]float64{2: c.thin, 4: c.thick} {
			fb, ft, fc := sizeFactor(Size{thick, c.wide}, true)
			near(t, "bending", fb, bend, 1e-9)
			near(t, "tension", ft, c.pull, 1e-9)
			near(t, "compression", fc, c.end, 1e-9)
		}
	}
	if fb, ft, fc := sizeFactor(Size{4, 8}, false); fb != 1.1 || ft != 1 || fc != 1 {
		t.Error(fb, ft, fc)
	}
	d, _ := Size{2, 14}.Dry() // PS 20: 13-1/4 in
	near(t, "14 in dry", d.Wide.Inches(), 13.25, 1e-9)
}

// A user's own soil and screw stand in place of ours, and a plan goes by them.
func TestOwnSoilAndScrews(t *testing.T) {
	texts := Tables()
	firm, faults := ReadYard(texts.With(texts.Of("soil.csv").Over("key,lateral_psf_ft,bearing_psf,friction,status,source\nclay,300,2500,,R,given\n")).
		With(texts.Of("screw.csv").Over("gauge,diameter_in,root_in,yield_psi,status,source\n10,0.19,0.12,60000,R,given\n")))
	if faults != nil {
		t.Fatal(faults)
	}
	j := pine()
	j.Holds, j.HoldBy, j.Soil = HoldsASide(1), Stake, Clay
	ours, _ := Design(j, DefaultYard())
	mine, _ := Design(j, firm)
	if mine.SideHold.Embed >= ours.SideHold.Embed || mine.Corner.PerButt >= ours.Corner.PerButt {
		t.Errorf("stake %v and %v, screw %v and %v", mine.SideHold.Embed, ours.SideHold.Embed, mine.Corner.PerButt, ours.Corner.PerButt)
	}
	if _, faults := ReadSoils("soil.csv", "key,lateral_psf_ft,bearing_psf,friction,source\nclay,much,1,1,given\n"); len(faults) != 1 {
		t.Error(faults)
	}
	if _, faults := ReadScrews("screw.csv", "gauge,diameter_in,root_in,yield_psi,source\n10,0,0.1,80000,given\n"); len(faults) != 1 {
		t.Error(faults)
	}
}
