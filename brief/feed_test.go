package brief

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/unit"
)

func TestFeedingKeys(t *testing.T) {
	b := mustParse(t, `
water: {kind: rain, carbonate: 12 mg/L CO3}
shelf:
  - {name: powder, label: 20-20-20, ten spoons: 47 g, iron: 0.1 %, chelated iron: 0.08 %}
  - {name: salt, formula: MgSO4.7H2O, spoon weights: [4.6 g, 4.8 g, 4.7 g]}
target: {recipe: lettuce, least: {calcium: 60 mg/L}, most: {sodium: 40 mg/L, nitrate-n: 600 mg/L NO3}}
meter: {shows: ppm 700, known: {ec: 1.41 mS/cm, reads: 990}}
found: {where: a web page, per: 5 gal, amounts: {complete fertiliser: 2 tsp, Epsom salt: 1 tbsp, iron: 2 g}}
amiss: {volume: 95 gal, put in: {complete fertiliser: 900 g}, reads: 3.4 mS/cm, wanted: 1.6 mS/cm}
`)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"ten spoons, g", b.Shelf[0].TenSpoons.Value.Grams(), 47},
		{"chelated", b.Shelf[0].Contents.Chelated.Value.Percents(), 0.08},
		{"third spoon, g", b.Shelf[1].EachSpoon[2].Value.Grams(), 4.7},
		{"spoons", float64(len(b.Shelf[1].EachSpoon)), 3},
		{"least calcium", b.Target.Least.Calcium.Value.Value, 60},
		{"most sodium", b.Target.Most.Sodium.Value.Value, 40},
		{"known EC", b.Meter.Known.EC.Value.MillisiemensPerCentimetre(), 1.41},
		{"known number", b.Meter.Known.Reads.Value, 990},
		{"per, gal", b.Found.Per.Value.Gallons(), 5},
		{"first amount, spoons", float64(b.Found.Amounts[0].Value.Volume / unit.Teaspoon), 2},
		{"second amount, spoons", float64(b.Found.Amounts[1].Value.Volume / unit.Teaspoon), 3},
		{"third amount, g", b.Found.Amounts[2].Value.Mass.Grams(), 2},
		{"put in, g", b.Amiss.PutIn[0].Value.Mass.Grams(), 900},
		{"reads", b.Amiss.Reads.Value.MillisiemensPerCentimetre(), 3.4},
		{"carbonate", b.Water.Carbonate.Value.Value, 12},
	} {
		if !near(c.got, c.want) {
			t.Errorf("%s is %v, want %v", c.what, c.got, c.want)
		}
	}
	if b.Water.Kind.Value != RainWater || b.Meter.Shows.Value != ShowsPPM700 || b.Found.Where.Value != "a web page" {
		t.Errorf("%v %v %v", b.Water.Kind, b.Meter.Shows, b.Found.Where)
	}
	if b.Target.Most.Nitrate.Value.Form != "NO3" {
		t.Errorf("the form of a limit is lost: %+v", b.Target.Most.Nitrate.Value)
	}
}

// A reading in ppm is an EC only beside the scale of its meter; the three
// factors are those printed on meters (common practice, no source).
func TestReadingsInPPM(t *testing.T) {
	const log = "log: [{at: 2027-05-03T08:00, ec: %s}]\n%s"
	for _, c := range []struct {
		written, meter string
		want           float64 // mS/cm; 0: refused
	}{
		{"700 ppm", "meter: {shows: ppm 500}", 1.4}, {"700 ppm", "meter: {shows: ppm 640}", 1.09375}, {"700 ppm", "meter: {shows: ppm 700}", 1},
		{"700 ppm 500", "", 1.4}, {"700 PPM (640)", "", 1.09375}, {"700ppm 700", "meter: {shows: ppm 500}", 1}, {"14 CF", "", 1.4}, {"1400 uS/cm", "", 1.4},
		{"700 ppm", "", 0}, {"700 ppm", "meter: {shows: mS/cm}", 0}, {"700 ppm", "meter: {known: {ec: 1.41 mS/cm, reads: 990}}", 0}, {"700 ppm 600", "", 0},
	} {
		b, faults := Parse("x", []byte(fmt.Sprintf(log, c.written, c.meter)))
		if c.want == 0 {
			if len(faults) != 1 || faults[0].Line != 1 {
				t.Errorf("%s, %q: not refused: %v", c.written, c.meter, faults)
			}
			continue
		}
		if len(faults) != 0 {
			t.Errorf("%s, %q: %v", c.written, c.meter, faults)
			continue
		}
		if got := b.Log[0].EC.Value.MillisiemensPerCentimetre(); !near(got, c.want) {
			t.Errorf("%s, %q: %v mS/cm, want %v", c.written, c.meter, got, c.want)
		}
	}
	_, faults := Parse("x", []byte("water: {ec: 1050 ppm}"))
	if len(faults) != 1 || !strings.Contains(what(faults[0]), "1.5 mS/cm on one scale and 2.1 on another") || !strings.Contains(right(faults[0]), "meter: {shows:") {
		t.Errorf("%v", faults)
	}
	if _, faults := Parse("x", []byte("water: {ec: 90000 ppm}\nmeter: {shows: ppm 500}")); len(faults) != 1 || !strings.Contains(what(faults[0]), "out of range") {
		t.Errorf("180 mS/cm is taken: %v", faults)
	}
}

func TestFeedingFaults(t *testing.T) {
	for _, c := range []struct{ text, what, right string }{
		{"shelf: [{name: a, label: 20-20-20, level teaspoon: 4.7 g, ten spoons: 47 g}]", "more than once", "keep one"},
		{"shelf: [{name: a, label: 20-20-20, ten spoons: 47 g, spoon weights: [4.7 g, 4.8 g]}]", "more than once", "keep one"},
		{"shelf: [{name: a, label: 20-20-20, spoon weights: [4.7 g]}]", "no spread", "ten"},
		{"shelf: [{name: a, label: 20-20-20, iron: 0.1 %, chelated iron: 0.2 %}]", "more than all iron", "part of the iron"},
		{"shelf: [{name: a, label: 20-20-20, ten spoons: 4.7 kg}]", "out of range", "500 g"},
		{"meter: {shows: ppm}", "not one of its words", "ppm 500"},
		{"meter: {known: {ec: 1.41 mS/cm}}", "reads is missing", "707"},
		{"found: {amounts: {a: 2 tsp}}", "per is missing", "1 gal"},
		{"found: {per: 1 gal, amounts: {a: 2 tsp, A: 1 tsp}}", "twice", "add the two"},
		{"found: {per: 1 gal, amounts: {a: 2}}", "has no unit", "30 g"},
		{"amiss: {put in: {a: 1 g, A: 2 g}}", "twice", "add the two"},
		{"water: {kind: sea}", "not one of its words", "rain"},
		{"target: {most: {sodium: 40}}", "has no unit", "mg/L"},
	} {
		_, faults := Parse("x", []byte(c.text))
		if len(faults) != 1 || !strings.Contains(what(faults[0]), c.what) || !strings.Contains(right(faults[0]), c.right) {
			t.Errorf("%s: %v", c.text, faults)
		}
	}
	mustParse(t, "shelf: [{name: a, label: 20-20-20, iron: 60 %, chelated iron: 50 %}]\nmeter: {shows: CF}") // a part is not counted twice
}

func FuzzMeterScale(f *testing.F) {
	f.Add("700 ppm", "ppm 500")
	f.Add("1e9 ppm 700", "CF")
	f.Add("0 ppm (640)", "mS/cm")
	f.Fuzz(func(t *testing.T, reading, scale string) {
		b, faults := Parse("x", []byte(fmt.Sprintf("log: [{at: 2027-05-03T08:00, ec: %s}]\nmeter: {shows: %s}", reading, scale)))
		if len(faults) == 0 && len(b.Log) == 1 && b.Log[0].EC.Given {
			if ec := b.Log[0].EC.Value.MillisiemensPerCentimetre(); !(ec >= 0 && ec <= 100.0001) {
				t.Errorf("%q at %q gives %v mS/cm", reading, scale, ec)
			}
		}
	})
}

// What the brief names itself comes first and stays; the rest of the shelf file
// follows, and its faults are told where the brief names the file.
func TestTakeShelf(t *testing.T) {
	parse := func(name, text string) *Brief {
		b, faults := Parse(name, []byte(text))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return b
	}
	b := parse("bed.yaml", "title: x\nshelf file: store.yaml\nshelf: [{name: epsom salt, formula: MgSO4.7H2O, purity: 90 %}]\n")
	if faults := b.TakeShelf(parse("store.yaml", "shelf: [{name: Epsom salt, formula: MgSO4.7H2O, purity: 98 %}, {name: calcium nitrate, spoon weights: [5 g, 6 g]}]")); len(faults) > 0 {
		t.Fatal(faults)
	}
	if len(b.Shelf) != 2 || b.Shelf[0].Purity.Value != 0.9 || b.Shelf[1].Name.Value != "calcium nitrate" {
		t.Errorf("the shelf is %+v", b.Shelf)
	}
	at := Place{2, 13}
	if p := b.Shelf[1]; p.At != at || p.Name.At != at || p.EachSpoon[1].At != at {
		t.Errorf("a product of the file stands at %v, %v, %v", p.At, p.Name.At, p.EachSpoon[1].At)
	}
}
