package brief

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"raftwright/unit"
	"raftwright/water"
)

// mustParse reads a brief that has no fault.
func mustParse(t *testing.T, text string) *Brief {
	t.Helper()
	b, faults := Parse("test.yaml", []byte(text))
	for _, f := range faults {
		t.Errorf("unexpected fault: %v", f)
	}
	return b
}

// near tells whether two figures agree but for rounding.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(b)) }

// everything is a brief in the project's own words that fills every section, as
// the contract of the format writes them.
const everything = `
raftwright: 1
title: Library terrace bed
units: us
language: en
site:      {kind: home, children: live here, latitude: 42.4, longitude: -76.5, elevation: 250 m, cover: open, light: 100 %,
            pump: none, climate: [stations.csv, normals.csv], far climate: yes}
bed:       {vessel: frame, length: 97 in, width: 49 in, depth: 6 in, count: 1, incised: yes, boards: 2,
            side board: 2x8, end board: 2x10, lumber: southern-pine-2, liner: 6 mil,
            level error: 1/4 in, holds: auto, support: ground}
raft:      {sheet: [4 ft, 8 ft], thickness: 1-1/2 in, foam: xps, gap: 1/2 in, spacing: 12 in, edge: 6 in,
            hole: 2-1/2 in, pattern: square, pot dip: 1/16 in, pot: {height: 2 in, rim: 2-3/4 in},
            nursery spacing: 6 in, obstacles: [{at: [1 in, 2 in], size: [3 in, 4 in]}]}
water:     {name: well, ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, sulfate: 10 mg/L S, nitrate-n: 40 mg/L NO3,
            phosphorus: 2 mg/L PO4, hardness: 12 gr/gal, bicarbonate: 4.2 meq/L, tds: 320 mg/L, free chlorine: 0.5 mg/L,
            chloramine: 0 mg/L, ec: 0.50 mS/cm, temperature: 25 C}
acid:      {product: sulfuric 93 %, target ph: 5.8, air: closed}
shelf:
  - {name: complete fertiliser, label: 20-20-20, nitrate-n: 6.0 %, ammonium-n: 3.9 %, urea-n: 10.1 %,
     iron: 0.10 %, magnesium: 0 %, level teaspoon: 4.7 g, pack: 25 lb, price: 48 USD, limit: 2 g/L}
  - {name: Epsom salt, formula: MgSO4.7H2O, purity: 98 %, pack: 4 lb, price: 6 USD}
target:    {recipe: lettuce, nitrogen: 150 mg/L, ec: 1.6 mS/cm, weights: {potassium: 2}}
mix:       {bucket: 5 gal, measure: scale 1 g, stock: {volume: 5 gal, ratio: 100}, most products: 4}
crop:      {name: lettuce, cultivar: leaf}
schedule:  {heads per week: 8, first harvest: 2027-04-15, last harvest: 2027-10-31, staged: true,
            harvest days: [Tue, Thu], breaks: [{from: 2027-06-20, to: 2027-07-05}]}
prices:    {currency: USD, on: 2027-03-01, place: our county, head: 2.50 USD, labor: 15 USD/h, items: {2x8x8: 9.20 USD, net pot: 0.30 USD}}
cut:       {kerf: 1/8 in, trim: 0 in, stock: [{length: 10 ft, price: 12.50 USD, count: 6}], on hand: [30 in], pieces: [{name: side, length: 97 in, count: 2}]}
log:       [{at: 2027-05-03T08:00, ph: 6.4, ec: 1.5 mS/cm, water temperature: 24 C, depth: 5-1/4 in,
             added water: 3 gal, added: {complete fertiliser: 30 g}, harvested: {heads: 4, mass: 2.1 lb}}]
`

func TestEveryKeyIsUnderstood(t *testing.T) {
	b := mustParse(t, everything)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"latitude, degrees", b.Site.Latitude.Value.Degrees(), 42.4},
		{"longitude, degrees", b.Site.Longitude.Value.Degrees(), -76.5},
		{"elevation, m", b.Site.Elevation.Value.Metres(), 250},
		{"light", float64(b.Site.Light.Value), 1},
		{"length, in", b.Bed.Length.Value.Inches(), 97},
		{"liner, in", b.Bed.Liner.Value.Inches(), 0.006},
		{"boards", float64(b.Bed.Boards.Value), 2},
		{"sheet, ft", b.Raft.Sheet.Value.Y.Feet(), 8},
		{"thickness, in", b.Raft.Thickness.Value.Inches(), 1.5},
		{"rim, in", b.Raft.Pot.Rim.Value.Inches(), 2.75},
		{"obstacle corner, in", b.Raft.Obstacles[0].Corner.Value.Y.Inches(), 2},
		{"obstacle size, in", b.Raft.Obstacles[0].Size.Value.X.Inches(), 3},
		{"ec, mS/cm", b.Water.EC.Value.MillisiemensPerCentimetre(), 0.5},
		{"tds, mg/L", b.Water.TDS.Value.MilligramsPerLitre(), 320},
		// 12 grains of 64.79891 mg over 3.785411784 L (definitions)
		{"hardness, mg/L CaCO3", b.Water.Hardness.Value.Value, 12 * 64.79891 / 3.785411784},
		{"acid strength", float64(b.Acid.Product.Value.Strength), 0.93},
		{"urea", float64(b.Shelf[0].Urea.Value), 0.101},
		{"pack, lb", b.Shelf[0].Pack.Value.Mass.Pounds(), 25},
		{"label P2O5", float64(b.Shelf[0].Label.Value.P2O5), 0.2},
		{"limit, g/L", b.Shelf[0].Limit.Value.GramsPerLitre(), 2},
		{"purity", float64(b.Shelf[1].Purity.Value), 0.98},
		{"target N, mg/L", b.Target.Nitrogen.Value.Value, 150},
		{"weight of K", b.Target.Weights.Potassium.Value, 2},
		{"scale step, g", b.Mix.Measure.Value.Step.Grams(), 1},
		{"stock ratio", float64(b.Mix.Stock.Ratio.Value), 100},
		{"kerf, in", b.Cut.Kerf.Value.Inches(), 0.125},
		{"on hand, in", b.Cut.OnHand[0].Length.Value.Inches(), 30},
		{"log depth, in", b.Log[0].Depth.Value.Inches(), 5.25},
		{"added, g", b.Log[0].Added[0].Value.Mass.Grams(), 30},
		{"harvested, lb", b.Log[0].Harvested.Mass.Value.Pounds(), 2.1},
	} {
		if !near(c.got, c.want) {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
	for _, c := range []struct{ what, got, want string }{
		{"title", b.Title.Value, "Library terrace bed"},
		{"children", string(b.Site.Children.Value), string(ChildrenLive)},
		{"climate", b.Site.Climate[1].Value, "normals.csv"},
		{"side board", string(b.Bed.SideBoard.Value), "2x8"},
		{"sulfate form", b.Water.Sulfate.Value.Form, "S"},
		{"nitrate form", b.Water.Nitrate.Value.Form, "NO3"},
		{"acid", b.Acid.Product.Value.String(), "sulfuric 93 %"},
		{"label", b.Shelf[0].Label.Value.String(), "20-20-20"},
		{"price", b.Shelf[0].Price.Value.String(), "48.00 USD"},
		{"labor", b.Prices.Labor.Value.Per, "h"},
		{"item", b.Prices.Items[0].Name + " " + b.Prices.Items[0].Value.String(), "2x8x8 9.20 USD"},
		{"first harvest", b.Schedule.FirstHarvest.Value.String(), "2027-04-15"},
		{"harvest day", b.Schedule.HarvestDays[1].Value.String(), "Thursday"},
		{"log time", b.Log[0].When.Value.String(), "2027-05-03T08:00"},
		{"log product", b.Log[0].Added[0].Name, "complete fertiliser"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, want %q", c.what, c.got, c.want)
		}
	}
	if !b.Site.FarClimate.Value || !b.Schedule.Staged.Value || !b.Bed.Incised.Value || !b.Bed.Holds.Value.Auto {
		t.Error("yes, true and auto are not understood")
	}
	if b.Water.Bicarbonate.Value.Scale != unit.EquivalentScale {
		t.Error("meq/L is not read as equivalents")
	}
}

func TestPlacesAreKept(t *testing.T) {
	b := mustParse(t, "title: a\nbed:\n  length: 8 ft\n  depth:   6 in\nraft: {sheet: [4 ft, 8 ft]}\n")
	for _, c := range []struct {
		what      string
		got, want Place
	}{
		{"title", b.Title.At, Place{1, 8}}, {"bed", b.Bed.At, Place{2, 1}}, {"length", b.Bed.Length.At, Place{3, 11}},
		{"depth", b.Bed.Depth.At, Place{4, 12}}, {"sheet", b.Raft.Sheet.At, Place{5, 15}}, {"width", b.Bed.Width.At, Place{}},
	} {
		if c.got != c.want {
			t.Errorf("%s at %v, want %v", c.what, c.got, c.want)
		}
	}
	if b.Bed.Width.Given || !b.Bed.Depth.Given || b.Water.Given || !b.Raft.Given {
		t.Error("what is given and what is not is mixed up")
	}
}

func TestNothingIsWrongWithNothing(t *testing.T) {
	for _, text := range []string{"", "\n", "# only a note\n", "---\n", "bed:\n", "bed: {}\n", "shelf: []\n", "shelf:\ntitle:\n", "\ufefftitle: x\n", "null", "{}", "cut: {on hand: []}", "prices: {items: {...}}"} {
		b := mustParse(t, text)
		if b == nil || b.Bed.Depth.Given || len(b.Shelf) > 0 {
			t.Errorf("%q gives something", text)
		}
	}
}

func TestLineEndsAndMarks(t *testing.T) {
	want := mustParse(t, everything)
	for name, text := range map[string]string{
		"CRLF": strings.ReplaceAll(everything, "\n", "\r\n"), "CR": strings.ReplaceAll(everything, "\n", "\r"), "byte order mark": "\ufeff" + everything,
	} {
		if d := cmp.Diff(want, mustParse(t, text), cmpopts.IgnoreUnexported(Brief{})); d != "" {
			t.Errorf("%s changes the brief:\n%s", name, d)
		}
	}
}

func TestJSONIsABriefToo(t *testing.T) {
	b := mustParse(t, `{"raftwright": 1, "bed": {"length": "8 ft", "width": "4 ft", "depth": "6 in", "count": 2},
	"shelf": [{"name": "Epsom salt", "formula": "MgSO4.7H2O"}], "site": {"latitude": -33.5, "far climate": true}, "title": null}`)
	if !near(b.Bed.Length.Value.Feet(), 8) || b.Bed.Count.Value != 2 || b.Shelf[0].Formula.Value != "MgSO4.7H2O" || !b.Site.FarClimate.Value {
		t.Errorf("read as %+v", b)
	}
}

func TestExamplesAreRight(t *testing.T) {
	files, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(files) < 8 {
		t.Fatalf("found %d examples: %v", len(files), err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		_, faults := Parse(file, data)
		for _, f := range faults {
			t.Error(f)
		}
		if head := string(data[:40]); !strings.Contains(strings.ToLower(string(data[:200])), "invent") {
			t.Errorf("%s does not say that it is invented: %q", file, head)
		}
	}
}

func TestDemonstrationFillsEverySection(t *testing.T) {
	data, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b := mustParse(t, string(data))
	for name, given := range map[string]bool{
		"site": b.Site.Given, "bed": b.Bed.Given, "raft": b.Raft.Given, "water": b.Water.Given, "acid": b.Acid.Given, "shelf": len(b.Shelf) > 1,
		"target": b.Target.Given, "mix": b.Mix.Given, "crop": b.Crop.Given, "schedule": b.Schedule.Given, "prices": b.Prices.Given, "cut": b.Cut.Given, "log": len(b.Log) > 1,
	} {
		if !given {
			t.Errorf("the demonstration leaves %s out", name)
		}
	}
	if len(b.Site.Months) != 12 || b.Prices.On.Value.Year != 2026 {
		t.Error("the demonstration has no twelve months or no price of 2026")
	}
}

// The sample of the contract, which shows every section, reads as it is written.
func TestSampleParsesAsWritten(t *testing.T) {
	data, err := os.ReadFile("testdata/sample.yaml")
	if err != nil {
		t.Fatal(err)
	}
	mustParse(t, string(data))
}

func TestValuesWrittenInOtherWays(t *testing.T) {
	for _, c := range []struct {
		text string
		got  func(b *Brief) any
		want any
	}{
		{"bed: {holds: none}", func(b *Brief) any { return b.Bed.Holds.Value }, Holds{}},
		{"bed: {holds: 3}", func(b *Brief) any { return b.Bed.Holds.Value }, Holds{Count: 3}},
		{"bed: {side board: 2 x 8}", func(b *Brief) any { return b.Bed.SideBoard.Value }, Board("2x8")},
		{"bed: {side board: 5/4X6}", func(b *Brief) any { return b.Bed.SideBoard.Value }, Board("5/4x6")},
		{"bed: {vessel: Round, diameter: 6 ft}", func(b *Brief) any { return b.Bed.Vessel.Value }, Round},
		{"site: {climate: one.csv}", func(b *Brief) any { return b.Site.Climate[0].Value }, "one.csv"},
		{"site: {latitude: 42.5 deg}", func(b *Brief) any { return fmt.Sprintf("%.3f", b.Site.Latitude.Value.Degrees()) }, "42.500"},
		{"mix: {measure: spoons}", func(b *Brief) any { return b.Mix.Measure.Value }, Measure{Spoons: true}},
		{"mix: {stock: {ratio: 1:128}}", func(b *Brief) any { return b.Mix.Stock.Ratio.Value }, Ratio(128)},
		{"acid: {product: citric}", func(b *Brief) any { return b.Acid.Product.Value }, AcidProduct{Name: Citric}},
		{"acid: {product: nitric acid 60%}", func(b *Brief) any { return b.Acid.Product.Value }, AcidProduct{Nitric, 0.6}},
		{"shelf: [{name: a, label: 15.5-0-0}]", func(b *Brief) any { return b.Shelf[0].Label.Value.String() }, "15.5-0-0"},
		{"shelf: [{name: a, pack: 1 L}]", func(b *Brief) any { return b.Shelf[0].Pack.Value }, Amount{Volume: unit.Litre}},
		{"log: [{at: 2027-05-03}]", func(b *Brief) any { return b.Log[0].When.Value.String() }, "2027-05-03T00:00"},
		{"log: [{at: 2027-05-03 18:45}]", func(b *Brief) any { return b.Log[0].When.Value.Time() }, time.Date(2027, 5, 3, 18, 45, 0, 0, time.UTC)},
		{"schedule: {harvest days: [monday]}", func(b *Brief) any { return b.Schedule.HarvestDays[0].Value }, time.Monday},
		{"title: 2027", func(b *Brief) any { return b.Title.Value }, "2027"},
		{"title: >-\n  two\n  lines\n", func(b *Brief) any { return b.Title.Value }, "two lines"},
		{"title: 'it''s: \"mine\"'", func(b *Brief) any { return b.Title.Value }, `it's: "mine"`},
		{"bed: {depth: '6\"'}", func(b *Brief) any { return b.Bed.Depth.Value }, 6 * unit.Inch},
		{"bed:\n  space:\n  - 10 ft\n  - 5 ft\n", func(b *Brief) any { return b.Bed.Space.Value }, Size{10 * unit.Foot, 5 * unit.Foot}},
		{"water: {boron: 0.3 ppm}", func(b *Brief) any { return b.Water.Boron.Value }, unit.Reading{Value: 0.3}},
		{"water: {alkalinity: 100 mg/L as caco3}", func(b *Brief) any { return b.Water.Alkalinity.Value.Form }, "CaCO3"},
		{"water: {nitrate-n: 40 mg/L NO3-}", func(b *Brief) any { return b.Water.Nitrate.Value.Form }, "NO3"},
		{"water: {sulfate: 40 mg/L SO₄²⁻}", func(b *Brief) any { return b.Water.Sulfate.Value.Form }, "SO4"},
		{"raft: {pot dip: -1/4 in}", func(b *Brief) any { return b.Raft.PotDip.Value }, -unit.Inch / 4},
		{"prices: {items: {foam board: 32 USD/sheet}}", func(b *Brief) any { return b.Prices.Items[0].Value.Per }, "sheet"},
	} {
		b := mustParse(t, c.text)
		if t.Failed() {
			t.Fatalf("in %s", c.text)
		}
		if got := c.got(b); got != c.want {
			t.Errorf("%s gives %v, want %v", c.text, got, c.want)
		}
	}
}

// The forms that a brief allows are those that the water understands, and a
// reading without a form means the same in both.
func TestFormsAreThoseOfTheWater(t *testing.T) {
	n := 0
	for a := water.Analyte(0); a < water.AnalyteCount; a++ {
		s := definition().field("water").field(a.String())
		if s == nil {
			continue // carbonate: not a key of the brief
		}
		n++
		if d := cmp.Diff(a.Forms(), s.forms); d != "" {
			t.Errorf("%v: the forms differ:\n%s", a, d)
		}
		_, err := water.Convert(a, unit.Reading{Value: 0.1, Scale: unit.EquivalentScale})
		if (err != nil) != (s.noMeq || a == water.FreeChlorine || a == water.Chloramine) {
			t.Errorf("%v: meq/L is allowed in one place only (%v)", a, err)
		}
	}
	if n < 20 {
		t.Errorf("only %d analytes were compared", n)
	}
}

func TestMonthsInOrderNeedNoNumber(t *testing.T) {
	b := mustParse(t, "site:\n  months:\n"+strings.Repeat("    - {tmax: 20 C, tmin: 10 C}\n", 12))
	for i, m := range b.Site.Months {
		if m.Month.Value != i+1 || !m.Month.Given {
			t.Errorf("month %d is read as %d", i+1, m.Month.Value)
		}
	}
}

func TestEachListsWhatWasGiven(t *testing.T) {
	b := mustParse(t, everything)
	names := func(n int, name func(int) string) string {
		var out []string
		for i := range n {
			out = append(out, name(i))
		}
		return strings.Join(out, " ")
	}
	a, c, f, w := b.Water.Each(), b.Shelf[0].Each(), b.Target.Each(), b.Target.Weights.Each()
	for _, x := range []struct{ got, want string }{
		{names(len(a), func(i int) string { return a[i].Name }), "alkalinity bicarbonate hardness calcium sulfate nitrate-n phosphorus free chlorine chloramine"},
		{names(len(c), func(i int) string { return c[i].Name }), "nitrate-n ammonium-n urea-n magnesium iron"},
		{names(len(f), func(i int) string { return f[i].Name }), "nitrogen"},
		{names(len(w), func(i int) string { return w[i].Name }), "potassium"},
	} {
		if x.got != x.want {
			t.Errorf("lists %q, want %q", x.got, x.want)
		}
	}
	if f, ok := b.Prices.Items.Find("net pot"); !ok || f.At.Line == 0 {
		t.Error("an item cannot be found by its name")
	}
	if _, ok := b.Prices.Items.Find("net"); ok {
		t.Error("an item is found by half its name")
	}
}

func TestOrGivesTheStandIn(t *testing.T) {
	var f Field[int]
	if f.Or(7) != 7 {
		t.Error("what was not given is not replaced")
	}
	if f = (Field[int]{Value: 0, Given: true}); f.Or(7) != 0 {
		t.Error("a given zero is replaced")
	}
}

// A comma before three digits is read as what lies in the key's range.
func TestCommasAreReadByTheRange(t *testing.T) {
	b, faults := Parse("x", []byte("site: {elevation: '8,500 ft'}\nbed: {length: '2,460 mm', depth: '0,15 m'}\nwater: {calcium: '1,200.5 mg/L'}\ncut: {pieces: [{length: 4 ft, count: '1,200'}]}\nprices: {head: '1,200 USD'}"))
	if len(faults) != 1 || !strings.Contains(right(faults[0]), "8500 ft") { // 8.5 ft is in the range of an elevation too
		t.Fatal(faults)
	}
	if got := b.Bed.Length.Value.Millimetres(); math.Abs(got-2460) > 1e-6 {
		t.Errorf("a bed of 2,460 mm is %v mm", got)
	}
	if got := b.Bed.Depth.Value.Metres(); got != 0.15 {
		t.Errorf("0,15 m is %v m", got)
	}
	if got := b.Water.Calcium.Value.Value; got != 1200.5 {
		t.Errorf("1,200.5 mg/L is %v", got)
	}
	if got := b.Cut.Pieces[0].Count.Value; got != 1200 {
		t.Errorf("1,200 pieces are %v", got)
	}
	if got := b.Prices.Head.Value.Cents(); got != 120000 {
		t.Errorf("1,200 USD are %v", got)
	}
}

// A fault quotes 40 letters of what was written and no more: what a file names may be another file's text.
func TestFaultsQuoteLittle(t *testing.T) {
	long := strings.Repeat("secret ", 40)
	for _, text := range []string{"bed: {length: '" + long + "'}", "units: '" + long + "'", "bed: {count: '" + long + "'}", "water: {ph: '" + long + "'}", "prices: {on: '" + long + "'}", "water: {calcium: '" + long + "'}"} {
		_, faults := Parse("x", []byte(text))
		if len(faults) != 1 {
			t.Fatalf("%.30s: %v", text, faults)
		}
		if said, _ := faults[0].Args["Text"].(string); !strings.HasPrefix(said, "secret") || len(said) > 43 {
			t.Errorf("%.30s: %v quotes %q", text, faults[0].ID, said)
		}
	}
}

// Who writes in feet, gallons or pounds puts a comma between thousands: where the figure is then beyond the key's range, nobody is taken to have meant a
// thousandth of it. A decimal comma before three digits of a metric unit is read as one.
func TestNoThousandthOfFeet(t *testing.T) {
	for text, want := range map[string]string{"bed: {length: '1,200 ft'}": "1.200 ft", "bed: {length: '12,000 pies'}": "12.000 pies",
		"bed: {length: 8 ft, depth: '1,000 in'}": "1.000 in"} {
		if _, faults := Parse("x", []byte(text)); len(faults) != 1 || !strings.Contains(right(faults[0]), want) {
			t.Errorf("%s: %v", text, faults)
		}
	}
	// of metric units too both are offered where both lie in the range: a hill of 1200 m, and one of 1.2
	if _, faults := Parse("x", []byte("site: {elevation: '1,200 m'}")); len(faults) != 1 || faults[0].ID != "unit.fault.two_ways" || !strings.Contains(right(faults[0]), "1200 m") || !strings.Contains(right(faults[0]), "1.200 m") {
		t.Errorf("1,200 m high: %v", faults)
	}
	for text, want := range map[string]float64{"1,220 m": 1220, "2,440 mm": 2440, "8,5 ft": 8.5 * 304.8, "0,500 ft": 0.5 * 304.8} {
		b, faults := Parse("x", []byte("bed: {length: '"+text+"'}"))
		if len(faults) > 0 || math.Abs(b.Bed.Length.Value.Millimetres()-want) > 1e-6 {
			t.Errorf("%s: %v, %v", text, b.Bed.Length.Value.Millimetres(), faults)
		}
	}
}

// A note may have lines; letters of other scripts that the paper has are fine.
func TestTextsThatPass(t *testing.T) {
	b, faults := Parse("x", []byte("title: Ñandú Ελλάδα Україна ½ × 8′\nlog: [{at: 2027-05-03T08:00, note: \"a frog\\n\\tand another\"}]\n"))
	if len(faults) > 0 || b.Log[0].Note.Value != "a frog\n\tand another" {
		t.Error(faults)
	}
}
