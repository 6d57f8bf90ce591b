package packet_test

import (
	"strings"
	"testing"
)

// What a bed has of its own is told, and is told of no plain bed.
func TestEveryKindOfBedIsTold(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	shelf := "shelf: [{name: complete fertiliser, label: 20-20-20, nitrate-n: 6 %, ammonium-n: 4 %, urea-n: 10 %, pack: 100 g, price: 8 USD}, {name: lime nitrate, label: 15.5-0-0, nitrate-n: 14.4 %, ammonium-n: 1.1 %, calcium: 19 %, pack: 100 g}]\ntarget: {recipe: lettuce}\n"
	water := "water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L}\n"
	plain, _, _ := printed(t, "bed: {length: 8 ft, width: 4 ft, depth: 5 in}\nwater: {ph: 6.8, alkalinity: 30 mg/L CaCO3, calcium: 12 mg/L, magnesium: 3 mg/L, sodium: 6 mg/L, potassium: 1 mg/L, chloride: 8 mg/L, sulfate: 10 mg/L, nitrate-n: 1 mg/L}\n")
	for name, c := range map[string]struct {
		brief string
		says  []string
	}{
		"packs":      {"bed: {}\n" + water + shelf + "mix: {measure: packs}\nacid: {product: citric, target ph: 6}\n", []string{"Open whole packs", "Dissolve the packs of"}},
		"stakes":     {"bed: {length: 16 ft, width: 4 ft, depth: 6 in, side board: 2x8, hold with: stake}\n", []string{"Have buried lines marked"}},
		"no holds":   {"bed: {length: 4 ft, width: 2 ft, depth: 3 in, holds: none}\n", []string{"no stake or tie"}},
		"deck":       {"bed: {length: 4 ft, width: 4 ft, depth: 3 in, support: deck}\n", []string{"loads the deck"}},
		"pump":       {"bed: {}\nsite: {pump: mains}\n", []string{"In a power cut"}},
		"open air":   {"bed: {}\n" + water + "acid: {product: citric, target ph: 6, air: open}\n", []string{"The pH starts near"}},
		"sour":       {"bed: {}\nwater: {ph: 5.6, alkalinity: 0 mg/L CaCO3, calcium: 1 mg/L}\nshelf: [{name: potassium phosphate, formula: KH2PO4}]\ntarget: {potassium: 150 mg/L, phosphorus: 120 mg/L}\n", []string{"Ask your extension office before you plant"}},
		"alkaline":   {"bed: {}\n" + water + shelf, []string{"Then give acid again"}},
		"no acid":    {"bed: {}\nacid: {product: none}\n" + water + shelf, []string{"A little acid at a time brings it below 6.5"}},
		"spoons":     {"bed: {}\nmix: {measure: spoons}\n" + water + shelf, []string{"complete fertiliser 1-3/4 tsp ("}},
		"guess":      {"bed: {}\n" + shelf, []string{"Nobody tested the alkalinity", "Go on by quarters", "typical hard water, which is a guess"}},
		"injector":   {"bed: {}\n" + water + shelf + "mix: {stock: {volume: 5 gal, ratio: 100}}\n", []string{"Fill the bed a hand deep through the injector"}},
		"both":       {"bed: {}\nwater: {ec: 0.8 mS/cm}\n" + shelf + "mix: {stock: {volume: 5 gal, ratio: 100}}\n", []string{"When the bed is full, read the pH. Go on by quarters"}},
		"one figure": {"bed: {}\nwater: {kind: hard, chloramine: 2 mg/L}\n" + shelf, []string{"typical, not tested", "What is taken of", "worked out to balance the test: nitrate, potassium, calcium, magnesium, sulfate, sodium, chloride."}},
		"CF":         {"bed: {}\n" + water + shelf + "meter: {shows: CF}\n", []string{" CF)"}},
		"uS":         {"bed: {}\n" + water + shelf + "meter: {shows: uS/cm}\n", []string{" µS/cm"}},
		"one price":  {"bed: {}\n" + water + shelf, []string{"Without lime nitrate"}},
		"many":       {"bed: {length: 20 ft, width: 4 ft}\n" + water + shelf + "mix: {bucket: 1 gal}\n", []string{"with the same amounts each time"}},
		"two sheets": {"bed: {length: 193 in, width: 49 in}\n", []string{"Each bed takes 2 sheets"}},
		"nothing":    {"bed: {}\nfound: {per: 1 gal, amounts: {Epsom salt: 1 tsp}}\n" + water + shelf, []string{"Nothing small puts it right"}},
		"no seed":    {"bed: {}\ncrop: {name: strawberry}\n", []string{"Buy young plants"}},
	} {
		paper, terminal, _ := printed(t, c.brief)
		for _, want := range c.says {
			if !strings.Contains(flat(paper), want) {
				t.Errorf("%s: the paper does not say %q", name, want)
			}
			if strings.Contains(flat(plain), want) {
				t.Errorf("%s: every paper says %q", name, want)
			}
		}
		for where, text := range map[string]string{"paper": paper, "terminal": terminal} {
			if m := missing.FindString(text); m != "" {
				t.Errorf("%s, %s: %s", name, where, m)
			}
		}
	}
}
