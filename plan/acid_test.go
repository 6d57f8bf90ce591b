package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/unit"
	"raftwright/water"
)

// tested is a whole test of a bicarbonate water of this alkalinity, mg/L as CaCO3.
func tested(alkalinity float64) string {
	return fmt.Sprintf("water: {name: well, ph: 7.4, alkalinity: %g mg/L CaCO3, calcium: %g mg/L, magnesium: %g mg/L, sodium: 8 mg/L, chloride: 12 mg/L, sulfate: 10 mg/L}\n",
		alkalinity, alkalinity/50.04*0.8*20.04, alkalinity/50.04*0.2*12.15)
}

const acidBed = "bed: {length: 97 in, width: 49 in, depth: 6 in}\nmix: {measure: scale 1 g}\n"

func foundOf(p Plan, id finding.ID) (finding.Finding, bool) {
	i := slices.IndexFunc(p.Findings, func(f finding.Finding) bool { return f.ID == id })
	if i < 0 {
		return finding.Finding{}, false
	}
	return p.Findings[i], true
}

// Alkalinity is good up to 60 mg/L (limits.csv): from there acid is proposed, on the
// card, before the powders, on the shopping list, with the change that makes it the
// brief's own; made, it changes no dose.
func TestAcidIsProposed(t *testing.T) {
	if p := made(t, Everything, acidBed+tested(60)); has(p, FindAcidProposed) || p.PrintedAcid() != nil {
		t.Error("60 mg/L needs no acid")
	}
	if p := made(t, Mix, strings.Replace(library, "water: {kind: soft}\n", "", 1)+tested(200)); p.PrintedAcid() != nil || p.Mix.Acid.Dose != 0 {
		t.Error("without a bed nothing is proposed: the question is of the chemistry alone")
	}
	p := made(t, Everything, acidBed+tested(61))
	f, told := foundOf(p, FindAcidProposed)
	if !told || p.PrintedAcid() == nil || p.PrintedAcid().Want.Product.Reagent != water.Citric || p.Mix.Acid.Dose <= 0 {
		t.Fatalf("61 mg/L: %v, acid %+v", told, p.PrintedAcid())
	}
	if len(f.Mend) != 1 || f.Mend[0] != (finding.Change{Path: "acid.product", Value: "citric"}) {
		t.Fatalf("mend %v", f.Mend)
	}
	q := made(t, Everything, acidBed+tested(61)+"acid: {product: citric}\n")
	if has(q, FindAcidProposed) || q.Mix.Acid.Dose != p.Mix.Acid.Dose {
		t.Errorf("with the mend: dose %v, before %v", q.Mix.Acid.Dose, p.Mix.Acid.Dose)
	}
	at := func(do mix.OrderAction) int {
		return slices.IndexFunc(p.Mix.Order, func(s mix.OrderStep) bool { return s.Do == do })
	}
	if a := at(mix.AddAcid); a < 0 || a > at(mix.Dissolve) || a < at(mix.CureChlorine) {
		t.Errorf("order %v", p.Mix.Order)
	}
	if has(p, mix.FindHighPH) || has(p, mix.FindIronFalls) {
		t.Error("the acid mends nothing")
	}
}

// The list of what to buy has the dose of the card: for the fill, and for the water
// that is drunk.
func TestAcidOnTheListIsThatOfTheCard(t *testing.T) {
	p := made(t, Everything, acidBed+tested(150))
	i := slices.IndexFunc(p.Cost.Lines, func(l cost.Line) bool { return l.Name == "need.acid" })
	if i < 0 {
		t.Fatalf("no acid in %v", p.Cost.Lines)
	}
	used := p.PrintedAcid().Scaled(p.Mix.Acid.Dose)
	fill := used.Mass.In(p.Frame.Volume * 3 / 2).Kilograms() // without a season half as much again is drunk
	if got := p.Cost.Lines[i].Quantity; math.Abs(got-fill) > 1e-9 {
		t.Errorf("%v kg, the card %v", got, fill)
	}
}

// Where no children come phosphoric acid is proposed, as far as a leaflet allows: 58
// mg/L of phosphorus. Beyond it is citric acid, and where that takes more than
// 2.5 mmol/L, rain water.
func TestWhichAcidIsProposed(t *testing.T) {
	for alkalinity, want := range map[float64]string{70: "phosphoric", 250: "citric", 480: "citric", 530: ""} {
		p := made(t, Everything, acidBed+tested(alkalinity)+"site: {kind: market, children: none}\n")
		switch got := p.PrintedAcid(); {
		case want == "" && (got != nil || !has(p, FindAcidBeyond)):
			t.Errorf("%v mg/L: acid %+v", alkalinity, got)
		case want != "" && (got == nil || got.Want.Product.Reagent.String() != want || got.P > water.MostPhosphorus):
			t.Errorf("%v mg/L: acid %+v, want %s", alkalinity, got, want)
		}
	}
	for _, site := range []string{"", "site: {kind: school}\n", "site: {kind: home, children: live here}\n"} {
		if p := made(t, Everything, acidBed+tested(70)+site); p.PrintedAcid().Want.Product.Reagent != water.Citric {
			t.Errorf("%q: %v", site, p.PrintedAcid().Want.Product)
		}
	}
	none := made(t, Everything, acidBed+tested(200)+"acid: {product: none}\n")
	if none.PrintedAcid() != nil || has(none, FindAcidProposed) || !has(none, mix.FindHighPH) {
		t.Error("no acid is wanted")
	}
}

// No more than 58 mg/L of phosphorus from phosphoric acid (2.25 fl oz of 75 % in 100
// gal, a leaflet): asked for all the same, it is told, with the change that ends it.
func TestMuchPhosphoricAcid(t *testing.T) {
	for _, alkalinity := range []float64{60, 90, 100, 110, 130, 300} {
		p := made(t, Water, tested(alkalinity)+"acid: {product: phosphoric 75 %}\nsite: {kind: market, children: none}\n")
		f, told := foundOf(p, water.FindMuchPhosphorus)
		if told != (p.Water.Acid.P > 58*unit.MilligramPerLitre) {
			t.Errorf("%v mg/L: %v of phosphorus, told %v", alkalinity, p.Water.Acid.P, told)
		}
		if told && (len(f.Mend) == 0 || f.Mend[len(f.Mend)-1].Value != "citric") {
			t.Errorf("mend %v", f.Mend)
		}
	}
}

// The least that a plan needs says little of water that nobody tested: that it is a
// guess, and the acid that goes with it.
func TestGuessedWaterIsNoListOfFaults(t *testing.T) {
	p := made(t, Everything, "bed: {length: 8 ft, width: 4 ft, depth: 6 in}")
	var of []finding.ID
	for _, f := range p.Findings {
		if a := f.Stands(); f.Severity >= finding.Caution && !f.Usual && (a == finding.AtWater || a == finding.AtAcid || a == finding.AtMix) {
			of = append(of, f.ID)
		}
	}
	if slices.Sort(of); !slices.Equal(of, []finding.ID{"mix.apart", "plan.acid_proposed", "water.ask_test"}) {
		t.Errorf("%v", of)
	}
	f, _ := foundOf(p, FindAcidProposed)
	if f.Args["Guess"] != true {
		t.Error("the dose rests on a guess, and it is not said")
	}
}

// What chlorine costs and what takes it out is said once: with the dose of this bed
// where there is one, and not of rain or of a well.
func TestChlorineIsToldOnce(t *testing.T) {
	about := []finding.ID{water.FindChlorine, water.FindChloramine, water.FindChlorineAsk, FindCure}
	for text, want := range map[string]finding.ID{
		"water: {kind: soft, chloramine: 2 mg/L}":                   water.FindChloramine,
		"water: {kind: soft, free chlorine: 1 mg/L}":                water.FindChlorine,
		"bed: {}\nwater: {kind: soft, chloramine: 2 mg/L}":          FindCure,
		"bed: {}\nwater: {kind: soft, free chlorine: 1 mg/L}":       FindCure,
		"bed: {}\nwater: {kind: soft}":                              water.FindChlorineAsk,
		"bed: {}\nwater: {kind: rain}":                              "",
		"bed: {}\nwater: {name: well, kind: soft}":                  "",
		"bed: {}\nwater: {kind: soft, free chlorine: 0 mg/L}":       "",
		"bed: {}\nwater: {kind: rain, ph: 6.5, chloramine: 1 mg/L}": FindCure,
		"bed: {}\nwater: {ec: 0.05 mS/cm}":                          water.FindChlorineAsk, // as soft as rain, and may be a town's
	} {
		asked := Water
		if want == FindCure {
			asked = Everything
		}
		p := made(t, asked, text)
		var got []finding.ID
		for _, f := range p.Findings {
			says := f.Args["Analyte"] == water.Chloramine.Word() || f.Args["Analyte"] == water.FreeChlorine.Word()
			if slices.Contains(about, f.ID) || says {
				got = append(got, f.ID)
			}
		}
		if want == "" && len(got) > 0 || want != "" && !slices.Equal(got, []finding.ID{want}) {
			t.Errorf("%q: %v, want %s", text, got, want)
		}
	}
}

// The water and the mix by themselves assume what a whole plan assumes, and list it:
// the same water, the same doses.
func TestPartsAssumeWhatThePlanAssumes(t *testing.T) {
	for _, text := range []string{"bed: {length: 97 in, width: 49 in, depth: 6 in}", "bed: {}\nwater: {kind: soft}", "bed: {}\nshelf: [{name: Epsom salt}]", "bed: {}\ntarget: {recipe: lettuce}"} {
		whole := made(t, Everything, text)
		for _, part := range []Part{Water, Mix} {
			p := made(t, part, text)
			for _, a := range p.Assumptions {
				if !assumes(whole, a.ID) {
					t.Errorf("%q: %s alone assumes %s", text, part, a.ID)
				}
			}
			for _, id := range []finding.ID{AssumeWater, AssumeShelf, AssumeRecipe, AssumeCrop, water.AssumeTypical, AssumeAcidTarget} {
				if part == Mix && assumes(whole, id) != assumes(p, id) {
					t.Errorf("%q: the mix alone does not list %s", text, id)
				}
			}
			if p.Water.EC != whole.Water.EC {
				t.Errorf("%q: another water", text)
			}
			if part == Mix && !slices.EqualFunc(p.Mix.Doses, whole.Mix.Doses, func(a, b mix.Dose) bool { return a.Product == b.Product && a.Strength == b.Strength }) {
				t.Errorf("%q: other doses", text)
			}
		}
	}
	for _, text := range []string{"water: {kind: soft}", "shelf: [{name: Epsom salt}]", "target: {recipe: lettuce}"} {
		if p := made(t, Mix, text); p.Mix == nil || !assumes(p, AssumeCrop) {
			t.Errorf("%q is not enough", text)
		}
	}
}

// Water whose gas holds its pH below the goal takes no acid, and is not told that none
// is enough; of one whose alkalinity follows from its other ions the dose is a guess.
func TestAcidOfDoubtfulWater(t *testing.T) {
	sour := made(t, Everything, acidBed+"water: {name: well, ph: 5.6, alkalinity: 80 mg/L CaCO3, calcium: 25 mg/L, magnesium: 4 mg/L, sodium: 8 mg/L, chloride: 12 mg/L, sulfate: 5 mg/L}")
	if has(sour, FindAcidBeyond) || has(sour, FindAcidProposed) || sour.PrintedAcid() != nil {
		t.Error("acid for water that is below pH 5.8")
	}
	filled := made(t, Everything, acidBed+"water: {name: well, ph: 7.5, calcium: 80 mg/L, magnesium: 12 mg/L, sodium: 8 mg/L, chloride: 12 mg/L, sulfate: 10 mg/L}")
	f, told := foundOf(filled, FindAcidProposed)
	if !told || f.Args["Guess"] != true || f.Args["Typical"] != false {
		t.Errorf("told %v: %v", told, f.Args)
	}
}

// An acid that is on the shelf is taken before one is proposed that must be bought, as far as it
// may be used there; where none is enough, a feed with ammonium is told beside rain water: 20
// mg/L of nitrogen, 1.43 mmol/L, takes up 71 mg/L as CaCO3 (balance of charges).
func TestAcidOnTheShelfComesFirst(t *testing.T) {
	citric := "shelf: [{name: hydroponic base powder 5-12-26}, {name: calcium nitrate}, {name: citric acid}]\n"
	weak := "shelf: [{name: hydroponic base powder 5-12-26}, {name: calcium nitrate}, {name: pH down, formula: H3PO4, purity: 25 %}]\n"
	market, home := "site: {kind: market, children: none}\n", "site: {kind: home}\n"
	for i, c := range []struct {
		brief string
		want  water.Reagent
		there bool
	}{{market + citric, water.Citric, true}, {market, water.Phosphoric, false}, {home + weak, water.Phosphoric, true}, {home, water.Citric, false},
		{home + strings.Replace(weak, "25 %", "75 %", 1), water.Citric, false}, {market + strings.Replace(weak, "25 %", "75 %", 1), water.Phosphoric, true}} {
		p := made(t, Everything, acidBed+tested(90)+c.brief)
		f, told := finding.Finding{}, false
		for _, x := range p.Findings {
			if x.ID == FindAcidProposed {
				f, told = x, true
			}
		}
		if !told || p.Proposed == nil || p.Proposed.Want.Product.Reagent != c.want || f.Args["There"] != c.there {
			t.Errorf("%d: %v", i, f.Args)
		}
		if has(p, FindFeedInstead) {
			t.Errorf("%d: another feed where acid does it", i)
		}
	}
	beyond := made(t, Everything, acidBed+tested(530))
	i := slices.IndexFunc(beyond.Findings, func(f finding.Finding) bool { return f.ID == FindFeedInstead })
	if i < 0 || !has(beyond, FindAcidBeyond) {
		t.Fatal("530 mg/L: no other feed is told")
	}
	if takes := beyond.Findings[i].Args["Takes"].(unit.MassConcentration).MilligramsPerLitre(); takes < 70 || takes > 73 {
		t.Errorf("%v mg/L", takes)
	}
}

// A feed that is sour enough takes no acid: no face asks for any, nor for goggles.
func TestASourFeedTakesNoAcid(t *testing.T) {
	const brief = "bed: {length: 8 ft, width: 4 ft, depth: 6 in}\ntarget: {recipe: lettuce}\nshelf: [5-12-26, 15.5-0-0, monoammonium phosphate]\n" +
		"acid: {product: citric 100 %, target ph: 6.5, air: open}\nwater: {ph: 6.6, alkalinity: 4 mg/L CaCO3, calcium: 15 mg/L, magnesium: 3 mg/L, sodium: 5 mg/L, chloride: 38 mg/L, sulfate: 5 mg/L}\n"
	p := made(t, Everything, brief)
	if p.Water.Acid == nil || p.Water.Acid.Amount <= 0 || p.Mix.Acid.Dose != 0 || p.Mix.Meters.Drift() > 0 {
		t.Fatalf("the water alone takes %+v, the mix %v, after a day pH %.2f", p.Water.Acid, p.Mix.Acid.Dose, p.Mix.Meters.Day.PH)
	}
	if !has(p, mix.FindAcidUnneeded) || has(p, mix.FindNoAcid) || has(p, water.FindAcidOrder) || has(p, water.FindCitric) {
		t.Errorf("%v", p.Findings)
	}
}

// A hard water for which no acid is wanted: what to buy is named, and how much, and with it
// on the brief the advice is gone and the pH good.
func TestAHardWaterWithoutAcidIsToldWhatToBuy(t *testing.T) {
	const text = acidBed + "shelf: [5-12-26, 15.5-0-0]\ntarget: {recipe: lettuce}\nsite: {children: visit}\n"
	p := made(t, Everything, text+tested(260)+"acid: {product: none}\n")
	f, ok := foundOf(p, FindAcidToBuy)
	if !ok || f.Args["Product"] != (water.Product{Reagent: water.Citric}).Word() || len(f.Mend) != 1 || f.Mend[0].Value != "citric" {
		t.Fatalf("%v %+v", ok, f)
	}
	after := made(t, Everything, text+tested(260)+"acid: {product: citric}\n")
	grams := unit.MassConcentration(after.Mix.Acid.Dose.MillimolesPerLitre()*water.Citric.MolarMass()/1000) * unit.GramPerLitre
	told, given := f.Args["Amount"].(unit.Mass), grams.In(after.Frame.Volume)
	if has(after, FindAcidToBuy) || after.Mix.PH > 6.5 || math.Abs(float64(told/given)-1) > 0.1 {
		t.Errorf("told %v, then given %v, pH %.2f", told, given, after.Mix.PH)
	}
	if has(made(t, Everything, text+tested(20)+"acid: {product: none}\n"), FindAcidToBuy) {
		t.Error("soft water needs none")
	}
}
