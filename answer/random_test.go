package answer_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/tend"
)

var book = plan.DefaultBook()

// written makes the JSON of the asked part of a brief's plan; faults where there
// are any.
func written(t testing.TB, text string, part plan.Part, working bool) (plan.Plan, []byte, finding.Faults) {
	t.Helper()
	return writtenWith(t, text, plan.Files{}, part, working)
}

func writtenWith(t testing.TB, text string, files plan.Files, part plan.Part, working bool) (plan.Plan, []byte, finding.Faults) {
	t.Helper()
	b, faults := brief.Parse("random.yaml", []byte(text))
	if len(faults) > 0 {
		return plan.Plan{}, nil, faults
	}
	p := plan.Job{Brief: b, Learn: tend.Learn, Book: book, Files: files, Asked: part}.Make(nil)
	faults = p.Faults
	if len(faults) > 0 {
		return p, nil, faults
	}
	units := lang.US
	if p.Metric() {
		units = lang.Metric
	}
	words, err := lang.For(p.Language(), units)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := answer.Write(&out, answer.For(p, part, words, working)); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return p, out.Bytes(), nil
}

// pick draws one of the words.
func pick(t *rapid.T, name string, words ...string) string {
	return rapid.SampledFrom(words).Draw(t, name)
}

// some draws a section with each of its lines there or not.
func some(t *rapid.T, section string, lines ...string) string {
	var b strings.Builder
	for i, l := range lines {
		if rapid.Bool().Draw(t, fmt.Sprintf("%s %d", section, i)) {
			b.WriteString("  " + l + "\n")
		}
	}
	if b.Len() == 0 {
		return section + ": {}\n"
	}
	return section + ":\n" + b.String()
}

func number(t *rapid.T, name string, low, high float64) string {
	return fmt.Sprintf("%.4g", rapid.Float64Range(low, high).Draw(t, name))
}

// anyBrief draws a brief that is sound but may be odd: every section and every
// line there or not, figures from all over their range.
func anyBrief(t *rapid.T) string {
	var b strings.Builder
	fmt.Fprintf(&b, "units: %s\n", pick(t, "units", "us", "metric"))
	switch pick(t, "vessel", "frame", "frame", "round", "tub") {
	case "frame":
		b.WriteString(some(t, "bed", "length: "+number(t, "length", 0.7, 8)+" m", "width: "+number(t, "width", 0.6, 3)+" m", "depth: "+number(t, "depth", 50, 300)+" mm",
			"side board: "+pick(t, "side", "2x6", "2x8", "2x10", "2x12"), "lumber: "+pick(t, "lumber", "southern-pine-2", "hem-fir-2", "western-cedar-2", "spruce-pine-fir-2"),
			"incised: "+pick(t, "incised", "yes", "no"), "liner: "+pick(t, "liner", "6 mil", "0.5 mm", "45 mil"), "holds: "+pick(t, "holds", "auto", "none", "1", "4"),
			"support: "+pick(t, "support", "ground", "deck", "floor", "roof"), "count: "+pick(t, "count", "1", "2", "20"), "level error: "+number(t, "error", 0, 1)+" in"))
	case "round":
		b.WriteString("bed:\n  vessel: round\n  diameter: " + number(t, "diameter", 0.8, 4) + " m\n  depth: " + number(t, "depth", 50, 300) + " mm\n")
	default:
		b.WriteString("bed:\n  vessel: tub\n  length: " + number(t, "length", 0.6, 3) + " m\n  width: " + number(t, "width", 0.5, 1.2) + " m\n  depth: " + number(t, "depth", 50, 300) + " mm\n")
	}
	b.WriteString(some(t, "raft", "thickness: "+pick(t, "thick", "1 in", "38 mm", "2 in"), "foam: "+pick(t, "foam", "xps", "eps"), "spacing: "+number(t, "spacing", 5, 14)+" in",
		"hole: "+pick(t, "hole", "1 in", "2 in"), "pattern: "+pick(t, "pattern", "square", "staggered")))
	if rapid.Bool().Draw(t, "water") {
		b.WriteString(some(t, "water", "ph: "+number(t, "ph", 5, 9.5), "alkalinity: "+number(t, "alkalinity", 0, 400)+" mg/L CaCO3", "calcium: "+number(t, "calcium", 0, 200)+" mg/L",
			"magnesium: "+number(t, "magnesium", 0, 80)+" mg/L", "sodium: "+number(t, "sodium", 0, 300)+" mg/L", "chloride: "+number(t, "chloride", 0, 400)+" mg/L",
			"sulfate: "+number(t, "sulfate", 0, 300)+" mg/L", "nitrate-n: "+number(t, "nitrate", 0, 30)+" mg/L", "iron: "+number(t, "iron", 0, 8)+" mg/L",
			"boron: "+number(t, "boron", 0, 2)+" mg/L", "free chlorine: "+number(t, "chlorine", 0, 4)+" mg/L", "ec: "+number(t, "ec", 0, 3)+" mS/cm", "temperature: "+number(t, "temperature", 1, 35)+" C"))
	}
	if rapid.Bool().Draw(t, "acid") {
		b.WriteString("acid: {product: " + pick(t, "product", "sulfuric 93 %", "nitric 67 %", "phosphoric 75 %", "citric") + ", target ph: " + number(t, "target", 5, 7) + "}\n")
	}
	if rapid.Bool().Draw(t, "shelf") {
		products := []string{"{name: powder, label: 20-20-20, nitrate-n: 6.0 %, ammonium-n: 3.9 %, urea-n: 10.1 %, iron: 0.10 %, pack: 25 lb, price: 48 USD}", "{name: Epsom salt, formula: MgSO4.7H2O, purity: 98 %}",
			"{name: calcium nitrate, label: 15.5-0-0, nitrate-n: 14.4 %, ammonium-n: 1.1 %, calcium: 19 %}", "{name: potash, formula: K2SO4}", "{name: iron chelate, iron: 10 %, chelate: DTPA}"}
		b.WriteString("shelf:\n")
		from := rapid.IntRange(0, len(products)-1).Draw(t, "from")
		for _, p := range products[from:rapid.IntRange(from+1, len(products)).Draw(t, "to")] {
			b.WriteString("  - " + p + "\n")
		}
	}
	b.WriteString(pick(t, "aim", "", "target: {recipe: lettuce}\n", "target: {recipe: lettuce, ec: "+number(t, "wanted", 0.3, 3)+" mS/cm}\n", "target: {nitrogen: 120 mg/L, potassium: 150 mg/L, weights: {potassium: 2}}\n"))
	b.WriteString(some(t, "mix", "bucket: "+number(t, "bucket", 1, 100)+" L", "measure: "+pick(t, "measure", "scale 1 g", "scale 0.1 g", "spoons"), "most products: "+pick(t, "most", "1", "3"),
		"stock: {volume: 20 L, ratio: "+pick(t, "ratio", "10", "100", "200")+"}"))
	if rapid.IntRange(0, 3).Draw(t, "site") == 0 {
		high := rapid.Float64Range(-10, 38).Draw(t, "high")
		fmt.Fprintf(&b, "site:\n  latitude: %s\n  kind: %s\n  cover: %s\n  months:\n", number(t, "latitude", -60, 60), pick(t, "kind", "home", "school", "market"), pick(t, "cover", "open", "shade", "tunnel", "greenhouse"))
		for i := range 12 {
			turn := 8 * math.Sin(float64(i)*math.Pi/6)
			fmt.Fprintf(&b, "    - {tmax: %.2f C, tmin: %.2f C}\n", high+turn, high+turn-9)
		}
	}
	b.WriteString(some(t, "prices", "head: "+number(t, "head", 0, 6)+" USD", "labor: "+number(t, "labor", 0, 30)+" USD/h"))
	return b.String()
}

// mayBeNull are the figures for which there may be no number: never, no price, a line that nobody published, and a solid
// of which an element is missing altogether.
var mayBeNull = regexp.MustCompile(`payback_crops$|mix\.cost\.per_|alternatives\.\d+\.cost_per_1000L$|saturation_index\.|\.fit\.\d+\.(high|harm)$|\.value$`)

// unfinished is what a sentence shows when a template or a catalogue let it down.
var unfinished = regexp.MustCompile(`<no value>|%!|\{\{|\[[a-z_]+\.[a-z_.]+\]|\bNaN\b|[+-]Inf\b|\bword\.[a-z]|\bneed\.[a-z]`)

// flaws lists what no document may hold.
func flaws(v any, path string) []string {
	var out []string
	switch x := v.(type) {
	case nil:
		if !mayBeNull.MatchString(path) {
			out = append(out, path+" is null")
		}
	case string:
		if unfinished.MatchString(x) {
			out = append(out, fmt.Sprintf("%s is unfinished: %q", path, x))
		}
	case []any:
		for i, y := range x {
			out = append(out, flaws(y, fmt.Sprintf("%s.%d", path, i))...)
		}
	case map[string]any:
		for k, y := range x {
			out = append(out, flaws(y, path+"."+k)...)
		}
	}
	return out
}

// Any sound brief becomes a whole document: the same twice, no null, no figure
// that is none, no unfinished sentence, every source listed.
func TestAnyBrief(t *testing.T) {
	made := 0
	rapid.Check(t, func(r *rapid.T) {
		text := anyBrief(r)
		_, first, faults := written(t, text, plan.Everything, true)
		if len(faults) > 0 {
			for _, f := range faults { // a size that cannot be is refused, with its place
				if !strings.HasPrefix(f.Error(), "random.yaml:") || strings.Contains(f.Error(), "\n") {
					r.Fatalf("%v\n%s", f, text)
				}
			}
			return
		}
		made++
		if _, again, _ := written(t, text, plan.Everything, true); !bytes.Equal(first, again) {
			r.Fatalf("the second plan differs\n%s", text)
		}
		var d map[string]any
		if err := json.Unmarshal(first, &d); err != nil {
			r.Fatal(err)
		}
		for _, f := range flaws(d, "") {
			r.Errorf("%s", f)
		}
		known := map[string]bool{}
		for _, s := range d["sources"].([]any) {
			known[s.(map[string]any)["id"].(string)] = true
		}
		for _, key := range []string{"findings", "assumptions", "working"} {
			for _, x := range d[key].([]any) {
				if m := x.(map[string]any); !known[m["source"].(string)] {
					r.Errorf("%s: source %q is not listed: %v", key, m["source"], m)
				}
			}
		}
		if r.Failed() {
			r.Fatalf("%s", text)
		}
	})
	if made == 0 {
		t.Fatal("no brief was sound")
	}
}

// Twice the length at the same depth holds twice the water, weighs twice as much,
// and presses no harder on the floor.
func TestVolumeScales(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		length, width, depth := rapid.Float64Range(1, 4).Draw(r, "length"), rapid.Float64Range(0.7, 2).Draw(r, "width"), rapid.Float64Range(60, 170).Draw(r, "depth")
		of := func(l float64) plan.Plan {
			p, _, faults := written(t, fmt.Sprintf("bed: {length: %.6f m, width: %.6f m, depth: %.6f mm, side board: 2x8, end board: 2x8}\n", l, width, depth), plan.Frame, true)
			if len(faults) > 0 {
				r.Skip(faults[0])
			}
			return p
		}
		one, two := of(length), of(2*length)
		for name, pair := range map[string][2]float64{
			"volume": {2 * one.Frame.Volume.Litres(), two.Frame.Volume.Litres()}, "mass": {2 * one.Frame.Mass.Kilograms(), two.Frame.Mass.Kilograms()},
			"floor load": {one.Frame.Floor.Water.Pascals(), two.Frame.Floor.Water.Pascals()}, "volume by its sides": {length * width * depth, one.Frame.Volume.Litres()},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-5*pair[0] {
				r.Errorf("%s: %g and %g", name, pair[0], pair[1])
			}
		}
	})
}

// What is in the mix is what the water held and what the doses bring.
func TestMassIsConserved(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		potassium, magnesium, calcium := rapid.Float64Range(20, 300).Draw(r, "K"), rapid.Float64Range(5, 80).Draw(r, "Mg"), rapid.Float64Range(0, 150).Draw(r, "Ca")
		text := fmt.Sprintf(`water: {ph: 7, alkalinity: 60 mg/L CaCO3, calcium: %.9f mg/L, magnesium: 4 mg/L, potassium: 2 mg/L}
shelf: [{name: nitre, formula: KNO3}, {name: Epsom salt, formula: MgSO4.7H2O}]
target: {potassium: %.9f mg/L, magnesium: %.9f mg/L}
mix: {bucket: 10 L, measure: scale 0.1 g}
`, calcium, potassium, magnesium)
		_, out, faults := written(t, text, plan.Mix, true)
		if len(faults) > 0 {
			r.Fatal(faults[0])
		}
		var d struct {
			Doses []struct {
				Product string  `json:"product"`
				Grams   float64 `json:"g_L"`
			} `json:"doses"`
			Achieved map[string]float64 `json:"achieved_mg_L"`
			Water    map[string]float64 `json:"water_mg_L"`
		}
		if err := json.Unmarshal(out, &d); err != nil {
			r.Fatal(err)
		}
		want := map[string]float64{"Ca": calcium, "K": 2, "Mg": 4, "N": d.Water["N"], "S": d.Water["S"]}
		for _, x := range d.Doses { // shares of mass from the IUPAC atomic weights, 2021
			switch x.Product {
			case "nitre":
				want["K"] += x.Grams * 1000 * 39.098 / 101.102
				want["N"] += x.Grams * 1000 * 14.007 / 101.102
			case "Epsom salt":
				want["Mg"] += x.Grams * 1000 * 24.305 / 246.466
				want["S"] += x.Grams * 1000 * 32.06 / 246.466
			}
		}
		for element, w := range want {
			if got := d.Achieved[element]; math.Abs(got-w) > 1e-3*w+1e-6 {
				r.Errorf("%s: %g, not %g\n%s", element, got, w, text)
			}
		}
	})
}
