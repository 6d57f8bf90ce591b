package packet_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
	"raftwright/press"
)

// printed gives all words of a packet and of the terminal's whole answer.
func printed(t *testing.T, text string) (paper, terminal string, p plan.Plan) {
	t.Helper()
	b, faults := brief.Parse("test.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults = plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	var out [2]bytes.Buffer
	if err := press.Text(accounts(p, words, packet.Options{}), &out[0], 4000); err != nil {
		t.Fatal(err)
	}
	if err := press.Text(packet.Answer(p, plan.Everything, words, true), &out[1], 4000); err != nil {
		t.Fatal(err)
	}
	return out[0].String(), out[1].String(), p
}

const bed = `bed: {length: 97 in, width: 49 in, depth: 6 in}
water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L, sodium: 9 mg/L, chloride: 14 mg/L, sulfate: 20 mg/L}
shelf:
  - {name: complete fertiliser, label: 20-20-20, nitrate-n: 6.0 %, ammonium-n: 3.9 %, urea-n: 10.1 %, ten spoons: 47 g, pack: 25 lb, price: 48 USD}
  - {name: Epsom salt, formula: MgSO4.7H2O, pack: 4 lb, price: 6 USD}
  - {name: calcium nitrate, pack: 5 lb, price: 14 USD}
target: {recipe: lettuce}
mix: {stock: {volume: 5 gal, ratio: 100}, measure: scale 1 g}
meter: {shows: ppm 700}
`

func TestMixingPagesTellAll(t *testing.T) {
	paper, terminal, p := printed(t, bed+"found: {where: A neighbor, per: 1 gal, amounts: {complete fertiliser: 2 tsp, Epsom salt: 1 tsp}}\namiss: {volume: 100 gal, put in: {complete fertiliser: 900 g}}")
	for _, text := range []string{paper, terminal} {
		for _, want := range []string{
			"10 minutes after mixing", "After a day in the air", "All is well between", "Your meter, ppm (700)", // the meters
			"Week 1: still urea", "Week 3: all turned into ammonium", // what urea does
			"Two tanks of concentrate", "1 : 100", "Of what dissolves", // the stock
			" gal that you add",                 // top-up
			"for 100 gal of solution", "a head", // what it costs
			"Simpler mixes",
			"A recipe that you found", "A neighbor: in each", "too strong", "puts it right", // the recipe as found
			"Putting the bed right", "Take out", "It should show EC",
		} {
			if !strings.Contains(text, want) {
				t.Errorf("nothing says %q", want)
			}
		}
	}
	// 700 ppm for 1 mS/cm, to the ten that a meter shows
	shown := fmt.Sprintf("%d ppm", int(p.Mix.EC.MillisiemensPerCentimetre()*70+0.5)*10)
	if !strings.Contains(strings.ReplaceAll(paper, ",", ""), shown) {
		t.Errorf("the meter of this grower will show %s, and the card does not say so", shown)
	}
	plain, _, _ := printed(t, strings.Replace(bed, "meter: {shows: ppm 700}", "", 1))
	if strings.Contains(plain, "Your meter,") || strings.Contains(plain, " ppm to ") || !strings.Contains(plain, "tell us what it shows") {
		t.Error("a scale is guessed where nobody said it")
	}
	if strings.Contains(plain, "A recipe that you found") || strings.Contains(plain, "Putting the bed right") {
		t.Error("pages of sections that the brief does not have")
	}
}

// The dose of a strong acid is in no form on paper or on the terminal where
// children come; the safer acid's is, and a grown-up market grower gets his.
func TestStrongAcidIsNotPrinted(t *testing.T) {
	for i, product := range []string{"sulfuric 93 %", "nitric 67 %", "phosphoric 75 %"} {
		for k, site := range []string{"kind: school", "kind: home, children: live here", "kind: community, children: visit"} {
			if testing.Short() && i != k {
				continue // each at one site
			}
			paper, terminal, p := printed(t, bed+"acid: {product: "+product+", target ph: 5.8}\nsite: {"+site+"}")
			d := p.Water.Acid
			for _, text := range []string{paper, terminal} {
				for _, line := range strings.Split(strings.Join(strings.Fields(text), " "), ". ") { // sentences, whatever their lines
					low := strings.ToLower(line)
					name := strings.Fields(product)[0] + " acid"
					allowed := strings.Contains(low, "left off the printed pages") || strings.Contains(low, "would have cost")
					if strings.Contains(low, name) && !allowed {
						t.Errorf("%s, %s: %q", site, product, line)
					}
					for _, v := range []float64{d.MillilitresPerLitre() * p.Frame.Volume.Litres(), d.MillilitresPerLitre() * 1000, d.MillilitresPerLitre()} {
						if strings.Contains(low, fmt.Sprintf("%.3g ml", v)) {
							t.Errorf("%s, %s: the dose stands in %q", site, product, line)
						}
					}
					if strings.Contains(low, "parts of cold water") || strings.Contains(low, "part of acid") {
						t.Errorf("%s, %s: how to thin it stands in %q", site, product, line)
					}
				}
				if !strings.Contains(strings.ToLower(text), "citric acid") || !strings.Contains(text, "in its place") || !strings.Contains(text, "rain water") {
					t.Errorf("%s, %s: neither the safer acid nor another water is told", site, product)
				}
			}
		}
		paper, _, p := printed(t, bed+"acid: {product: "+product+", target ph: 5.8}\nsite: {kind: market, children: none}")
		if !strings.Contains(strings.ToLower(paper), strings.Fields(product)[0]+" acid") || p.Safer != nil {
			t.Errorf("market, %s: the acid asked for is not on the card", product)
		}
	}
}

func TestStrongAcidOfARecipeIsNotPrinted(t *testing.T) {
	const found = "found: {per: 1 gal, amounts: {Epsom salt: 1 tsp, battery acid: 7 mL}}\nsite: {kind: %s}\n"
	const acid = "  - {name: battery acid, formula: H2SO4, purity: 93 %, density: 1.83 g/mL}\ntarget"
	shelf := strings.Replace(bed, "target", acid, 1)
	for kind, told := range map[string]bool{"school": false, "market": true} {
		paper, terminal, _ := printed(t, shelf+fmt.Sprintf(found, kind))
		for _, text := range []string{paper, terminal} {
			// 7 mL at 1.83 g/mL is 12.8 g, in 3.785 L 3.38 g/L
			if got := strings.Contains(text, "3.38 g"); got != told {
				t.Errorf("%s: the amount of acid is printed: %v", kind, got)
			}
			if strings.Contains(text, "Do not mix it") == told {
				t.Errorf("%s: the warning is the wrong way round", kind)
			}
		}
	}
}

// Fresh water needs its acid whenever the bed is topped up, and in full: the feed
// alone is weaker then. A solution of acid that is thinned first is dosed by more.
func TestTopUpTakesItsAcid(t *testing.T) {
	paper, terminal, p := printed(t, bed+"acid: {product: sulfuric 35 %, target ph: 6}\nsite: {kind: market, children: none}")
	dose := p.Mix.Acid.Dose
	for _, text := range []string{paper, terminal} {
		before, after, _ := strings.Cut(text, " gal that you add")
		per := 0.0 // gal in one amount
		fmt.Sscan(before[strings.LastIndex(before, " ")+1:], &per)
		rows, _, _ := strings.Cut(after, "A top-up has")
		i := strings.Index(rows, "sulfuric acid")
		if i < 0 || dose <= 0 {
			t.Fatalf("no acid in a top-up: %s", rows)
		}
		line, _, _ := strings.Cut(rows[i:], "\n")
		cells := strings.Fields(strings.TrimPrefix(line, "sulfuric acid of 35 %")) // "7.4 mL 148 mL"
		if len(cells) != 4 || cells[1] != "mL" {
			t.Fatalf("%q", line)
		}
		var bucket, hundred float64
		fmt.Sscan(cells[0], &bucket)
		fmt.Sscan(cells[2], &hundred)
		if math.Abs(hundred-bucket*100/per) > 0.01*hundred {
			t.Errorf("%q: 100 gal are not %v times %v gal", line, 100/per, per)
		}
		if !strings.Contains(text, "times as many mL of it") {
			t.Error("thinned acid is dosed as if it were strong")
		}
	}
}
