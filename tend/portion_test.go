package tend

import (
	"math"
	"testing"

	"raftwright/internal/table"
	ills "raftwright/trouble"
	"raftwright/unit"
)

// Grams in 100 US gallons (378.541 L, NIST Handbook 44, 2024, Appendix C), by hand from the formula of each salt, standard atomic weights
// (IUPAC 2021, abridged: H 1.008, B 10.81, C 12.011, N 14.007, O 15.999, Na 22.990, Mg 24.305, P 30.974, S 32.06, K 39.098, Ca 40.078, Mn 54.938,
// Fe 55.845, Cu 63.546, Zn 65.38, Mo 95.95) and the purity of the library. The strengths are those of the reference's list of causes.
func TestWhatIsAddedAgainstAWant(t *testing.T) {
	book := table.Must(ills.ReadBook(ills.Tables()))
	want := map[string][][3]float64{ // low g, high g, weighable
		"phosphorus_short":  {{10 * .378541 / (30.974 / 136.084) / .99, 20 * .378541 / (30.974 / 136.084) / .99, 1}},
		"potassium_short":   {{50 * .378541 / (39.098 / 101.102) / .99, 50 * .378541 / (39.098 / 101.102) / .99, 1}},
		"magnesium_short":   {{10 * .378541 / (24.305 / 246.466) / .98, 20 * .378541 / (24.305 / 246.466) / .98, 1}},
		"iron_high_ph":      {{1 * .378541 / (55.845 / 421.09) / .98, 1 * .378541 / (55.845 / 421.09) / .98, 1}},
		"iron_missing":      {{1 * .378541 / (55.845 / 421.09) / .98, 2 * .378541 / (55.845 / 421.09) / .98, 1}},
		"manganese_short":   {{.25 * .378541 / (54.938 / 169.01) / .98, .5 * .378541 / (54.938 / 169.01) / .98, 1}},
		"sulfur_short":      {{13 * .378541 / (32.06 / 246.466) / .98, 13 * .378541 / (32.06 / 246.466) / .98, 1}},
		"boron_short":       {{.3 * .378541 / (10.81 / 61.831) / .99, .3 * .378541 / (10.81 / 61.831) / .99, 1}},
		"zinc_copper_short": {{.1 * .378541 / (65.38 / 179.45) / .98, .1 * .378541 / (65.38 / 179.45) / .98, 0}, {.03 * .378541 / (63.546 / 249.68) / .98, .03 * .378541 / (63.546 / 249.68) / .98, 0}},
		"molybdenum_short":  {{.02 * .378541 / (95.95 / 241.95) / .99, .02 * .378541 / (95.95 / 241.95) / .99, 0}},
		"calcium_missing":   {{55 * .378541 / (5 * 40.078 / 1080.7) / .98, 55 * .378541 / (5 * 40.078 / 1080.7) / .98, 1}},
	}
	seen := 0
	for _, c := range book.Rank(ills.Evidence{}) {
		portions := Portions(c, 100*unit.Gallon)
		if len(portions) != len(want[c.Trouble]) {
			t.Errorf("%s: %d portions, want %d", c.Trouble, len(portions), len(want[c.Trouble]))
			continue
		}
		for i, p := range portions {
			seen++
			w := want[c.Trouble][i]
			if math.Abs(p.Low.Grams()/w[0]-1) > 0.003 || math.Abs(p.High.Grams()/w[1]-1) > 0.003 {
				t.Errorf("%s: %.4g to %.4g g of %s, want %.4g to %.4g", c.Trouble, p.Low.Grams(), p.High.Grams(), p.Product, w[0], w[1])
			}
			id, _ := p.Said()
			if p.Weighable() != (w[2] == 1) || (id == SayPortion) != p.Weighable() {
				t.Errorf("%s: %.3g g of %s weighable at home: %v, told as %s", c.Trouble, p.High.Grams(), p.Product, p.Weighable(), id)
			}
		}
	}
	if seen != 12 {
		t.Errorf("%d portions were looked at, want 12", seen)
	}
	for _, c := range []struct { // the limit itself: half a gram
		liters float64
		can    bool
	}{{287, false}, {290, true}} { // of 0.3 mg/L of boron: 0.497 and 0.503 g of boric acid
		p := Portions(ills.Cause{Adds: []ills.Addition{{Element: "boron", Low: .3 * unit.MilligramPerLitre, High: .3 * unit.MilligramPerLitre, Product: "boric acid"}}}, unit.Volume(c.liters)*unit.Litre)
		if len(p) != 1 || p[0].Weighable() != c.can {
			t.Errorf("boron in %g L: %+v", c.liters, p)
		}
	}
	if p := Portions(ills.Cause{Adds: []ills.Addition{{Element: "iron", Low: unit.MilligramPerLitre, High: unit.MilligramPerLitre, Product: "iron EDTA"}}}, 0); p != nil {
		t.Errorf("an unknown volume has portions: %+v", p)
	}
}
