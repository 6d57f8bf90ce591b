package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/unit"
	"raftwright/water"
)

// made plans a brief that must have no fault.
func made(t testing.TB, asked Part, text string) Plan {
	t.Helper()
	b, faults := brief.Parse("test.yaml", []byte(text))
	if len(faults) == 0 {
		var p Plan
		if p, faults = Make(b, DefaultBook(), Files{}, asked); len(faults) == 0 {
			return p
		}
	}
	for _, f := range faults {
		t.Error(f)
	}
	t.FailNow()
	return Plan{}
}

// faulty plans a brief that must have exactly one fault.
func faulty(t *testing.T, asked Part, text string) finding.Fault {
	t.Helper()
	b, faults := brief.Parse("test.yaml", []byte(text))
	if len(faults) == 0 {
		_, faults = Make(b, DefaultBook(), Files{}, asked)
	}
	if len(faults) != 1 {
		t.Fatalf("%s: %d faults, want one: %v", text, len(faults), faults)
	}
	return faults[0]
}

func has(p Plan, id finding.ID) bool {
	return slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return f.ID == id })
}

func assumes(p Plan, id finding.ID) bool {
	return slices.ContainsFunc(p.Assumptions, func(a finding.Assumption) bool { return a.ID == id })
}

const pure = "water: {ph: 7, alkalinity: 0 mg/L, calcium: 0 mg/L, magnesium: 0 mg/L, sodium: 0 mg/L, potassium: 0 mg/L, chloride: 0 mg/L, sulfate: 0 mg/L}\n"

const tradeShelf = `shelf:
  - {name: complete fertiliser, label: 20-20-20, nitrate-n: 6 %, ammonium-n: 4 %, urea-n: 10 %, ten spoons: 49.3 g}
  - {name: Epsom salt, formula: MgSO4.7H2O, purity: 100 %, ten spoons: 49.3 g}
`

// The trade's two measures a gallon (common practice, no source; arithmetic in
// row trade_202020 of the horticulture reference: 4.93 g a teaspoon, 30 %
// nitrate, 20 % ammonium, 50 % urea), from the brief to the plan.
func TestTradeRecipeFromABrief(t *testing.T) {
	p := made(t, Found, pure+tradeShelf+"found: {where: a web page, per: 1 gal, amounts: {complete fertiliser: 2 tsp, epsom salt: 1 tsp}}")
	for n, want := range map[mix.Nutrient]float64{mix.Nitrogen: 521, mix.Phosphorus: 227, mix.Potassium: 432, mix.Calcium: 0, mix.Magnesium: 128, mix.Sulfur: 169,
		mix.NitrateN: 158, mix.AmmoniumN: 104, mix.UreaN: 260} {
		if got := p.Found.Achieved[n].MilligramsPerLitre(); math.Abs(got-want) > 0.012*want+0.01 {
			t.Errorf("%s is %.1f mg/L, want %.0f", n, got, want)
		}
	}
	if ec := p.Found.EC.MillisiemensPerCentimetre(); ec < 2.5 || ec > 3.1 { // the same row: 2.5 to 2.9 of nitrate, ammonium, K and Mg, and the phosphate
		t.Errorf("EC %.2f", ec)
	}
	for _, id := range []finding.ID{mix.FindNoCalcium, mix.FindStrong, mix.FindUrea, mix.FindUreaLater, mix.FindBlindEC, mix.FindAmmonium} {
		if !has(p, id) {
			t.Errorf("nothing is said of %s", id)
		}
	}
	if p.Found.Mend == nil || !p.Found.Mend.Mends || p.Found.Mend.Misfit > 0.3 {
		t.Errorf("no mend: %+v", p.Found.Mend)
	}
	// per five gallons and in grams the same recipe is the same solution
	for _, same := range []string{"found: {per: 5 gal, amounts: {complete fertiliser: 10 tsp, Epsom salt: 5 tsp}}",
		"found: {per: 1 L, amounts: {complete fertiliser: 2.6048 g, Epsom salt: 1.3024 g}}", "found: {per: 3 gal, amounts: {complete fertiliser: 2 tbsp, Epsom salt: 1 tbsp}}"} {
		q := made(t, Found, pure+tradeShelf+same)
		if math.Abs(float64(q.Found.EC/p.Found.EC)-1) > 1e-4 {
			t.Errorf("%s: EC %v, not %v", same, q.Found.EC, p.Found.EC)
		}
	}
	// hard water brings the calcium, and then phosphate falls out
	hard := made(t, Found, "water: {kind: hard}\n"+tradeShelf+"found: {per: 1 gal, amounts: {complete fertiliser: 2 tsp, Epsom salt: 1 tsp}}")
	if has(hard, mix.FindNoCalcium) || !has(hard, mix.FindClouds) || !has(hard, water.FindAskTest) && hard.Water.Alkalinity.AsCaCO3() < 200 {
		t.Errorf("hard water: %v", hard.Findings)
	}
}

// 4.6 g of 99 % NaHCO3 in a gallon: Na 329, alkalinity 717 mg/L CaCO3 (hand sum).
func TestBakingSodaFromABrief(t *testing.T) {
	p := made(t, Found, "water: {kind: hard}\nfound: {per: 1 gal, amounts: {complete fertiliser 20-20-20: 1 tsp, baking soda: 4.6 g}}")
	i := slices.IndexFunc(p.Findings, func(f finding.Finding) bool { return f.ID == mix.FindSodiumBase })
	if i < 0 {
		t.Fatal("nothing is said of the soda")
	}
	args := p.Findings[i].Args
	if na := args["Sodium"].(unit.MassConcentration).MilligramsPerLitre(); math.Abs(na-329) > 3 {
		t.Errorf("sodium %v", na)
	}
	if a := args["Alkalinity"].(unit.MassConcentration).MilligramsPerLitre(); math.Abs(a-717) > 7 {
		t.Errorf("alkalinity %v", a)
	}
}

func TestFoundFaults(t *testing.T) {
	for _, c := range []struct{ text, what, right string }{
		{"found: {per: 1 gal}", "\"found\" is missing", "amounts"},
		{"found: {per: 1 gal, amounts: {epsom sat: 2 tsp}}", "neither on the shelf nor in the library", "did you mean Epsom salt"},
		{"found: {per: 1 gal, amounts: {Epsom salt: 2000 kg}}", "must lie between", "write for example"},
	} {
		f := faulty(t, Found, c.text)
		if !strings.Contains(what(f), c.what) || !strings.Contains(right(f), c.right) {
			t.Errorf("%s: %v", c.text, f)
		}
	}
	if f := faulty(t, Amiss, "amiss: {volume: 3 gal}"); !strings.Contains(what(f), "\"amiss\" is missing") {
		t.Error(f)
	}
	if f := faulty(t, Amiss, "amiss: {put in: {Epsom salt: 30 g}}"); !strings.Contains(what(f), "how much is in the bed") {
		t.Error(f)
	}
}

// Ten weighed spoons set the mass of each; weighed one by one, their spread sets
// the band. Mean and spread by hand: 4.7 g and 0.1 g.
func TestOwnSpoons(t *testing.T) {
	const rest = "target: {recipe: lettuce}\nmix: {measure: spoons}\nwater: {kind: hard}\n"
	spoon := func(p Plan) mix.SpoonMass {
		for _, d := range p.Mix.Doses {
			if d.Product == "powder" {
				return d.Spoon
			}
		}
		t.Fatalf("no powder in %+v", p.Mix.Doses)
		return mix.SpoonMass{}
	}
	with := func(key string) Plan {
		return made(t, Mix, rest+"shelf: [{name: powder, label: 20-10-20, nitrate-n: 12 %, ammonium-n: 8 %"+key+"}]")
	}
	ten, each, stated, unknown := with(", ten spoons: 47 g"), with(", spoon weights: [4.6 g, 4.7 g, 4.8 g]"), with(", level teaspoon: 4.7 g"), with("")
	for _, p := range []Plan{ten, each, stated} {
		if s := spoon(p); math.Abs(s.Mass.Grams()-4.7) > 1e-9 || !s.Own {
			t.Errorf("spoon %+v", s)
		}
		if assumes(p, mix.AssumeTeaspoon) {
			t.Error("the weight of a spoon is assumed beside the grower's own")
		}
	}
	if s := spoon(each); math.Abs(float64(s.Each)-0.1/4.7) > 1e-9 {
		t.Errorf("spread %v, want %v", s.Each, 0.1/4.7)
	}
	if !assumes(unknown, mix.AssumeTeaspoon) {
		t.Error("nobody weighed a spoon, and that is not said")
	}
	width := func(p Plan) float64 {
		return (p.Mix.NBand.High - p.Mix.NBand.Low) / p.Mix.Achieved[mix.Nitrogen].MilligramsPerLitre()
	}
	if !(width(each) < width(unknown) && width(ten) < width(unknown)) {
		t.Errorf("bands: weighed %.3f and %.3f, unknown %.3f", width(each), width(ten), width(unknown))
	}
	if f := faulty(t, Mix, rest+"shelf: [{name: powder, label: 20-10-20, ten spoons: 0.00001 g}]"); what(f) == "" {
		t.Error("empty fault")
	}
}

func TestMeterScale(t *testing.T) {
	for _, c := range []struct {
		text     string
		pen      mix.Pen
		inferred bool
		finding  finding.ID
	}{
		{"meter: {shows: ppm 500}", mix.TDS500, false, ""},
		{"meter: {shows: dS/m}", mix.MilliSiemens, false, ""},
		{"meter: {shows: CF}", mix.ConductivityFactor, false, ""},
		{"", mix.UnknownPen, false, FindMeterAsk},
		{"meter: {known: {ec: 1.41 mS/cm, reads: 707}}", mix.TDS500, true, ""},
		{"meter: {known: {ec: 1.41 mS/cm, reads: 987}}", mix.TDS700, true, ""},
		{"meter: {known: {ec: 1.41 mS/cm, reads: 1.4}}", mix.MilliSiemens, true, ""},
		{"meter: {known: {ec: 1.41 mS/cm, reads: 14}}", mix.ConductivityFactor, true, ""},
		{"meter: {known: {ec: 1.41 mS/cm, reads: 945}}", mix.UnknownPen, false, FindMeterUnsure}, // 4.7 % over 640, 4.3 % under 700
		{"meter: {known: {ec: 1.41 mS/cm, reads: 300}}", mix.UnknownPen, false, FindMeterNone},
		{"meter: {shows: ppm 500, known: {ec: 1.41 mS/cm, reads: 987}}", mix.TDS500, false, FindMeterScale},
		{"meter: {shows: ppm 500, known: {ec: 1.41 mS/cm, reads: 740}}", mix.TDS500, false, FindMeterOff},
		{"meter: {shows: ppm 500, known: {ec: 1.41 mS/cm, reads: 710}}", mix.TDS500, false, ""},
	} {
		p := made(t, Mix, "water: {kind: rain}\nshelf: [{name: Epsom salt}]\ntarget: {recipe: lettuce}\n"+c.text)
		if p.Meter.Pen != c.pen || p.Meter.Inferred != c.inferred || assumes(p, AssumeMeterScale) != c.inferred {
			t.Errorf("%s: %+v", c.text, p.Meter)
		}
		for _, id := range []finding.ID{FindMeterAsk, FindMeterUnsure, FindMeterNone, FindMeterScale, FindMeterOff} {
			if has(p, id) != (id == c.finding) {
				t.Errorf("%s: %s is raised: %v", c.text, id, has(p, id))
			}
		}
	}
}

const library = `shelf:
  - {name: complete fertiliser 20-10-20}
  - {name: calcium nitrate}
  - {name: Epsom salt}
  - {name: monopotassium phosphate}
  - {name: potassium nitrate}
target: {recipe: lettuce}
water: {kind: soft}
`

// Whatever was put in, what the bed then holds is what stayed, what came with
// the water and what was added; the misfit does not grow.
func TestMendedBedsBalance(t *testing.T) {
	base := made(t, Mix, library)
	rapid.Check(t, func(t *rapid.T) {
		times := rapid.Float64Range(0.1, 6).Draw(t, "strength")
		var put []string
		for _, d := range base.Mix.Doses {
			put = append(put, fmt.Sprintf("%s: %.3f g", d.Product, d.Strength.GramsPerLitre()*400*times*rapid.Float64Range(0.3, 2).Draw(t, "share")))
		}
		b, faults := brief.Parse("x", []byte(library+"amiss: {volume: 400 L, put in: {"+strings.Join(put, ", ")+"}}"))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p, faults := Make(b, DefaultBook(), Files{}, Amiss)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		a := p.Amiss
		if a.MisfitAfter > a.MisfitBefore+0.011 { // changing water weighs a hundredth
			t.Errorf("misfit %.3f, then %.3f", a.MisfitBefore, a.MisfitAfter)
		}
		if a.Replace < 0 || a.Replace > a.Volume || math.Abs(float64(a.Replace-a.Volume*unit.Volume(a.Share))) > 1e-9 {
			t.Errorf("%v of %v", a.Replace, a.Volume)
		}
		for _, s := range a.Working()[1:] { // each line can be followed by hand
			share := float64(a.Share)
			if by := (1-share)*s.Inputs[0].Value + share*s.Inputs[1].Value + s.Inputs[2].Value; math.Abs(by-s.Value) > 1e-9*(1+s.Value) || s.Inputs[2].Value < -1e-9 {
				t.Errorf("%+v comes to %v", s, by)
			}
		}
		want := a.Before.Times(float64(1 - a.Share)).Add(p.mixWaterLevels().Times(float64(a.Share)))
		for _, d := range a.Add {
			m, _ := mix.DefaultLibrary().Material(d.Product)
			c, err := m.Contents()
			if err != nil {
				t.Fatal(err)
			}
			want = want.Add(c.Shares.At(d.Mass.Per(a.Volume)))
		}
		for _, n := range mix.Elements() {
			if math.Abs(float64(want[n]-a.After[n])) > 1e-6+1e-6*float64(want[n]) {
				t.Errorf("%s: %v, want %v", n, a.After[n], want[n])
			}
		}
	})
}

// mixWaterLevels counts the nutrients of the plan's water.
func (p Plan) mixWaterLevels() mix.Levels {
	m := maker{Plan: p}
	return m.mixWater().Levels()
}

func TestBedOfWhichOnlyAReadingIsKnown(t *testing.T) {
	// half of the salt goes with half of the water: (3 - 1.6)/(3 - water)
	p := made(t, Amiss, "water: {kind: rain}\namiss: {volume: 100 gal, reads: 3 mS/cm, wanted: 1.6 mS/cm}")
	plain := p.Water.EC.MillisiemensPerCentimetre()
	if want := 1.4 / (3 - plain); math.Abs(float64(p.Amiss.Share)-want) > 1e-9 || !has(p, mix.FindAmissBlind) || !has(p, mix.FindAmissSteps) {
		t.Errorf("share %v, want %v; %v", p.Amiss.Share, want, p.Findings)
	}
	// too weak: as much of the plan's mix as is missing
	weak := made(t, Amiss, library+"amiss: {volume: 100 L, reads: 0.5 mS/cm}")
	if len(weak.Amiss.Add) != len(weak.Mix.Doses) || !assumes(weak, mix.AssumeAmissWant) || weak.Amiss.Replace != 0 {
		t.Errorf("%+v", weak.Amiss)
	}
	share := float64((weak.Mix.EC - weak.Amiss.Now) / (weak.Mix.EC - weak.Water.EC))
	for i, d := range weak.Amiss.Add {
		if want := weak.Mix.Doses[i].Strength.GramsPerLitre() * 100 * share; math.Abs(d.Mass.Grams()-want) > 1e-9 {
			t.Errorf("%s %v g, want %v", d.Product, d.Mass.Grams(), want)
		}
	}
	// what was put in and what the meter shows contradict each other
	doubt := made(t, Amiss, library+"amiss: {volume: 100 L, put in: {potassium nitrate: 100 g}, reads: 4 mS/cm}")
	if !has(doubt, mix.FindAmissDoubt) {
		t.Error("a gram of potassium nitrate a litre does not read 4 mS/cm, and nothing is said")
	}
	if f := faulty(t, Amiss, "water: {kind: hard}\namiss: {volume: 100 L, reads: 3 mS/cm, wanted: 0.1 mS/cm}"); !strings.Contains(right(f), "rain") {
		t.Error(f)
	}
	// the size of the bed stands in for the volume
	sized := made(t, Amiss, library+"bed: {length: 97 in, width: 49 in, depth: 6 in}\namiss: {put in: {potassium nitrate: 100 g}}")
	if !assumes(sized, AssumeAmissBed) || math.Abs(sized.Amiss.Volume.Gallons()-123.45) > 0.5 { // 97 x 49 x 6 / 231
		t.Errorf("%v gal", sized.Amiss.Volume.Gallons())
	}
}

func TestWaterWithoutATest(t *testing.T) {
	for kind, alkalinity := range map[string][2]float64{"rain": {0, 15}, "soft": {10, 90}, "hard": {120, 350}} {
		p := made(t, Water, "water: {name: barrel, kind: "+kind+"}")
		if a := p.Water.Alkalinity.AsCaCO3(); a < alkalinity[0] || a > alkalinity[1] {
			t.Errorf("%s: alkalinity %v", kind, a)
		}
		if !assumes(p, water.AssumeTypical) || !has(p, water.FindAskTest) || len(p.Water.Ranges) == 0 {
			t.Errorf("%s: %v %v", kind, p.Assumptions, p.Findings)
		}
		if asks := has(p, water.FindChlorineAsk); asks != (kind != "rain") {
			t.Errorf("%s: asks for chlorine: %v", kind, asks)
		}
	}
	if p := made(t, Water, "water: {kind: rain, ph: 7.6, alkalinity: 215 mg/L CaCO3}"); !has(p, water.FindKindUnused) || p.Water.Alkalinity.AsCaCO3() < 200 {
		t.Error("a test beside a kind must be believed, and that be said")
	}
	// 122 mg/L HCO3 is 2 meq/L and 12 mg/L CO3 0.4 meq/L: 120 mg/L as CaCO3 (hand sum)
	if p := made(t, Water, "water: {ph: 8.6, bicarbonate: 122.03 mg/L HCO3, carbonate: 12.002 mg/L CO3, calcium: 40 mg/L}"); math.Abs(p.Water.Alkalinity.AsCaCO3()-120.1) > 0.3 {
		t.Errorf("alkalinity %v", p.Water.Alkalinity.AsCaCO3())
	}
}

func TestLimitsOfTheBrief(t *testing.T) {
	free := made(t, Mix, library)
	k := free.Mix.Achieved[mix.Potassium].MilligramsPerLitre()
	limited := made(t, Mix, strings.Replace(library, "{recipe: lettuce}", "{recipe: lettuce, most: {potassium: 100 mg/L}, least: {calcium: 120 mg/L}}", 1))
	if got := limited.Mix.Achieved; k <= 100 || got[mix.Potassium].MilligramsPerLitre() > 101 || got[mix.Calcium].MilligramsPerLitre() < 119 {
		t.Errorf("potassium %v (free %v), calcium %v", got[mix.Potassium].MilligramsPerLitre(), k, got[mix.Calcium].MilligramsPerLitre())
	}
	// figures in other forms are the same limit: 120.5 mg/L K2O is 100 mg/L K (0.8302, reference)
	same := made(t, Mix, strings.Replace(library, "{recipe: lettuce}", "{recipe: lettuce, most: {potassium: 120.46 mg/L K2O}, least: {calcium: 167.9 mg/L CaO}}", 1))
	if math.Abs(float64(same.Mix.EC/limited.Mix.EC)-1) > 0.005 {
		t.Errorf("EC %v and %v", same.Mix.EC, limited.Mix.EC)
	}
	broken := made(t, Mix, "water: {kind: rain}\nshelf: [{name: Epsom salt}]\ntarget: {recipe: lettuce, least: {calcium: 60 mg/L}}")
	if broken.Worst() != finding.Stop || !has(broken, mix.FindLimitBroken) {
		t.Errorf("no calcium on the shelf, and the limit is not broken: %v", broken.Findings)
	}
	if f := faulty(t, Mix, "water: {kind: rain}\nshelf: [{name: Epsom salt}]\ntarget: {recipe: lettuce, least: {calcium: 60 mg/L}, most: {calcium: 50 mg/L}}"); !strings.Contains(what(f), "both cannot be") {
		t.Error(f)
	}
}

func TestChelatedShareGoesToTheMix(t *testing.T) {
	b, faults := brief.Parse("x", []byte("shelf: [{name: a, label: 20-20-20, iron: 0.1 %, chelated iron: 0.02 %}, {name: b, label: 20-20-20, iron: 0.1 %}]"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	m := &maker{Plan: Plan{Brief: b}}
	if l := m.product(0).Label; !l.ChelatedIron.Given || math.Abs(l.ChelatedIron.Share.Percents()-0.02) > 1e-12 {
		t.Errorf("%+v", l.ChelatedIron)
	}
	if l := m.product(1).Label; l.ChelatedIron.Given {
		t.Errorf("%+v", l.ChelatedIron)
	}
}

const well = `water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L, sodium: 9 mg/L, chloride: 14 mg/L, sulfate: 20 mg/L}
shelf: [{name: complete fertiliser 20-10-20}, {name: calcium nitrate}, {name: Epsom salt}]
target: {recipe: lettuce}
bed: {length: 97 in, width: 49 in, depth: 6 in}
`

// Strong acids: none on paper for a school, nor where small children live or
// visit (structure notes, section 7, and the practice of extension leaflets).
func TestStrongAcidStaysOffThePaper(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, kind := range []string{"home", "school", "community", "market"} {
		for _, children := range []string{"none", "visit", "live here"} {
			for product, strong := range map[string]bool{"sulfuric 93 %": true, "nitric 67 %": true, "phosphoric 75 %": true, "phosphoric 25 %": false, "citric": false} {
				p := made(t, Everything, fmt.Sprintf("%ssite: {kind: %s, children: %s}\nacid: {product: %s, target ph: 5.8}", well, kind, children, product))
				near := kind == "school" || children == "live here" || children == "visit" && kind != "market"
				if p.WithChildren() != near {
					t.Fatalf("%s, %s: %v", kind, children, p.WithChildren())
				}
				printed := p // by itself a plan is what may be printed
				if p = p.AsAsked(); p.Water.Acid == nil || p.Water.Acid.Want.Product.Strong() != strong {
					t.Fatal("the acid that was asked for is not there")
				}
				if near && printed.Water.Acid.Want.Product.Strong() {
					t.Errorf("%s, %s, %s: strong acid on paper", kind, children, product)
				}
				if (p.Safer != nil) != (near && strong) || has(p, FindStrongAcid) != (near && strong) || has(p, FindRainInstead) != (near && strong) {
					t.Errorf("%s, %s, %s: safer %v", kind, children, product, p.Safer)
				}
				if near && strong {
					checkSafer(t, p, printed)
				} else if printed.Water != p.Water || printed.Mix != p.Mix {
					t.Errorf("%s, %s, %s: the paper has another water", kind, children, product)
				}
			}
		}
	}
}

func checkSafer(t *testing.T, p, printed Plan) {
	t.Helper()
	if printed.Mix == p.Mix || printed.Mix.Acid.Name != "citric" || math.Abs(printed.Mix.PH-5.8) > 0.01 || p.Mix.Acid.Name == "citric" {
		t.Errorf("the mix on paper has %+v, the one asked for %+v", printed.Mix.Acid, p.Mix.Acid)
	}
	for _, id := range []finding.ID{water.FindAcidStrong, water.FindDilute} {
		if has(p, id) {
			t.Errorf("%s tells how to handle the strong acid", id)
		}
	}
	if s := p.Safer; math.Abs(float64(s.Rain)-(1-35./215)) > 0.01 || s.Cost.Float() <= 0 || s.AskedCost.Float() <= 0 {
		t.Errorf("rain %v, cost %v and %v", s.Rain, s.Cost, s.AskedCost)
	}
	for _, l := range p.Cost.Lines {
		if l.Name == "need.acid" && l.Args["Product"] != (water.Product{Reagent: water.Citric}).Word() {
			t.Errorf("the shopping list buys %v", l.Args["Product"])
		}
	}
	for _, s := range printed.Working(Everything) {
		for _, in := range s.Inputs {
			if strings.Contains(strings.ToLower(s.Name+s.Formula+in.Symbol), "sulfuric") {
				t.Errorf("the working on paper has %+v", s)
			}
		}
	}
}

// No weak acid brings a hard water to pH 2: then none is printed at all.
func TestNoSaferAcid(t *testing.T) {
	p := made(t, Everything, well+"site: {kind: school}\nacid: {product: sulfuric 93 %, target ph: 2}")
	if !has(p, FindStrongNone) || has(p, FindStrongAcid) || !has(p, FindRainInstead) || p.PrintedAcid() != nil || p.Mix.Acid.Dose != 0 {
		t.Errorf("%v, %+v", p.Findings, p.PrintedAcid())
	}
	if a := p.AsAsked().Water.Acid; a == nil || a.Amount <= 0 {
		t.Error("the acid asked for is lost")
	}
	for _, l := range p.Cost.Lines {
		if l.Name == "need.acid" {
			t.Errorf("the shopping list has %v", l.Args)
		}
	}
}

// A recipe as found that holds a strong acid is judged, but its amount stays off
// the paper of a school.
func TestStrongAcidInARecipe(t *testing.T) {
	const text = "water: {kind: soft}\nshelf: [{name: battery acid, formula: H2SO4, purity: 93 %%, density: 1.83 g/mL}]\nfound: {per: 1 gal, amounts: {Epsom salt: 1 tsp, battery acid: 1 tsp}}\nsite: {kind: %s}"
	school, farm := made(t, Found, fmt.Sprintf(text, "school")), made(t, Found, fmt.Sprintf(text, "market"))
	if !slices.Equal(school.Found.Strong, []string{"battery acid"}) {
		t.Errorf("strong: %v", school.Found.Strong)
	}
	if school.ShowsAmount("battery acid") || !school.ShowsAmount("Epsom salt") || !farm.ShowsAmount("battery acid") {
		t.Error("the wrong amounts are shown")
	}
	if n := len(school.Working(Found)); n != 0 || len(school.AsAsked().Working(Found)) == 0 || len(farm.Working(Found)) == 0 {
		t.Errorf("%d steps of working on the paper of a school", n)
	}
}

func BenchmarkFoundRecipe(b *testing.B) {
	text := "water: {kind: hard}\n" + tradeShelf + "found: {per: 1 gal, amounts: {complete fertiliser: 2 tsp, Epsom salt: 1 tsp}}"
	for b.Loop() {
		made(b, Found, text)
	}
}

func BenchmarkMendBed(b *testing.B) {
	for b.Loop() {
		made(b, Amiss, library+"amiss: {volume: 400 L, put in: {complete fertiliser 20-10-20: 900 g}}")
	}
}

// What the papers say of chlorine and of citric acid, the scale of the list weighs: where
// nothing was said of measuring, in whole grams (a kitchen scale; common practice). A jar
// of vitamin C is at hand where a strip may show chlorine: 4 mg/L at most (40 CFR 141.65,
// from memory) take one gram in 100 gal for each mg/L (the water room's figure).
func TestTheScaleOfTheListWeighsTheCure(t *testing.T) {
	p := made(t, Everything, "bed: {length: 8 ft, width: 4 ft}\nwater: {kind: soft}\n")
	c, ok := p.Cure()
	if g := c.Dose.Mass.Grams(); !ok || g != math.Round(g) || g < 1 || c.Dose.Jug.Take > 0 {
		t.Errorf("%v g of ascorbic acid", g)
	}
	less := made(t, Everything, "bed: {length: 4 ft, width: 2 ft, depth: 4 in}\nwater: {kind: soft}\n")
	if c, _ := less.Cure(); c.Dose.Mass >= unit.Gram || c.Dose.Jug.Take <= 0 {
		t.Errorf("%v g are weighed", c.Dose.Mass.Grams())
	}
	if m := p.Hand(); m.Kind != mix.Scale || m.Step != unit.Gram {
		t.Errorf("measured with %v", m)
	}
	listed := false
	for _, l := range p.Cost.Lines {
		if l.Name == "need.ascorbic" {
			listed = true
			if want := 4 * p.Frame.Volume.Gallons() / 100; l.Buy != 1 || math.Abs(l.Mass.Grams()-want) > 1e-6*want {
				t.Errorf("%v jars for %v g, not %v", l.Buy, l.Mass.Grams(), want)
			}
		}
	}
	if !listed {
		t.Error("no ascorbic acid is on the list")
	}
	rain := made(t, Everything, "bed: {length: 6 ft, width: 3 ft}\nwater: {kind: rain}\n")
	for _, l := range rain.Cost.Lines {
		if l.Name == "need.ascorbic" {
			t.Error("rain is cured of chlorine")
		}
	}
}

// Where nothing is said of a measure, every dose is what the scale on the shopping list shows,
// whole grams, and what is told of the solution is what these give.
func TestWithoutAMeasureDosesAreWholeGrams(t *testing.T) {
	p := made(t, Everything, "bed: {length: 97 in, width: 49 in, depth: 6 in}\n")
	if !assumes(p, AssumeMeasure) || !slices.ContainsFunc(p.Cost.Lines, func(l cost.Line) bool { return l.Name == "need.scale" }) {
		t.Error("no scale is taken and listed")
	}
	said := made(t, Everything, "bed: {length: 97 in, width: 49 in, depth: 6 in}\nmix: {measure: scale 1 g}\n")
	for i, d := range p.Mix.Doses {
		if g := d.PerBucket.Grams(); math.Abs(g-math.Round(g)) > 1e-9 || g != said.Mix.Doses[i].PerBucket.Grams() {
			t.Errorf("%s: %v g in a bucket", d.Product, g)
		}
	}
	if p.Mix.EC != said.Mix.EC {
		t.Errorf("EC %v, with that scale %v", p.Mix.EC, said.Mix.EC)
	}
}
