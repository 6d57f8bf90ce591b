package plan

import (
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/unit"
)

// A budget that starves the crop is told as what does so, with what a fill of the same shelf costs, and without it the shelf
// feeds the crop (own rule, no source).
func TestABudgetThatStarvesIsTold(t *testing.T) {
	shelf := strings.Replace(salts, "shelf:\n", "shelf:\n  - {name: iron EDTA, pack: 1 oz, price: 1 USD}\n", 1)
	const target = "target: {recipe: lettuce}\n"
	free := made(t, Mix, smallBed+pure+shelf+target)
	tight := made(t, Mix, smallBed+pure+shelf+target+"mix: {budget: 0.50 USD}\n")
	f, told := findingOf(tight, FindBudget)
	if !told || !tight.Starves() || free.Starves() {
		t.Fatalf("told %v, starves %v, without a budget %v", told, tight.Starves(), free.Starves())
	}
	worst, _, _ := tight.Mix.Missed()
	if f.Args["Nutrient"] != worst.Nutrient.Word() || f.Args["Got"] != free.Mix.Achieved[worst.Nutrient] || f.Severity != finding.Caution {
		t.Errorf("told %+v, without a budget %v of %s", f, free.Mix.Achieved[worst.Nutrient], worst.Nutrient.Word())
	}
	if ends := tight.Mix.Free.Cost.PerBed; ends != free.Mix.Cost.PerBed || ends < 1 {
		t.Errorf("a fill costs %v, it is told that it costs %v", free.Mix.Cost.PerBed, ends)
	}
	for _, text := range []string{"mix: {budget: 200 USD}\n", ""} {
		if p := made(t, Mix, smallBed+pure+shelf+target+text); p.Mix.Free != nil {
			t.Errorf("%q: a budget that keeps nothing back is told", text)
		}
	}
}

// Whoever opens whole packs for little money and has too little on the shelf is told what to buy, and the changes that end
// the stop leave the shelf as it is.
func TestAShelfOfPacksIsToldWhatToBuy(t *testing.T) {
	p := made(t, Everything, smallBed+"water: {kind: soft}\nshelf: [{label: 10-10-10, pack: 40 lb, price: 22 USD}, {name: calcium nitrate, pack: 5 lb, price: 14 USD}]\nmix: {budget: 0.20 USD, measure: packs}\n")
	f, starves := findingOf(p, mix.FindStarves)
	if !starves || p.Mix.Buy == nil || !p.Mix.Buy.Weigh {
		t.Fatalf("starves %v, to buy %+v", starves, p.Mix.Buy)
	}
	added := false
	for _, c := range f.Mend {
		if added = added || c.Path.Under("shelf") && c.Value != ""; c.Value == "" && (c.Path == "shelf" || c.Path == "mix") {
			t.Errorf("the way out drops %s: %v", c.Path, f.Mend)
		}
	}
	if !added {
		t.Errorf("the way out adds nothing to the shelf: %v", f.Mend)
	}
}

// The acid in place of a strong one is told for a volume that is round in the reader's units.
func TestSaferAcidIsToldForARoundVolume(t *testing.T) {
	for text, want := range map[string]unit.Volume{"": 100 * unit.Gallon, "units: metric\n": 100 * unit.Litre} {
		p := made(t, Everything, text+smallBed+"site: {kind: school}\nwater: {kind: hard}\nacid: {product: sulfuric 93 %}\n")
		f, told := findingOf(p, FindStrongAcid)
		dose, weighed := f.Args["Dose"].(unit.Mass)
		if !told || f.Args["Volume"] != want || !weighed || dose != p.Safer.Dose.Mass.In(want) && dose.Grams() <= 0 {
			t.Errorf("%q: %v", text, f.Args)
		}
	}
}

func findingOf(p Plan, id finding.ID) (finding.Finding, bool) {
	for _, f := range p.Findings {
		if f.ID == id {
			return f, true
		}
	}
	return finding.Finding{}, false
}
