package plan

import (
	"math"
	"strings"
	"testing"

	"raftwright/mix"
	"raftwright/unit"
)

// salts can make any recipe; each is sold in packs of a pound.
const salts = `shelf:
  - {name: calcium nitrate, formula: Ca(NO3)2.4H2O, purity: 100 %, pack: 1 lb, price: 6 USD}
  - {name: potassium nitrate, formula: KNO3, purity: 100 %, pack: 1 lb, price: 8 USD}
  - {name: monopotassium phosphate, formula: KH2PO4, purity: 100 %, pack: 1 oz, price: 1 USD}
  - {name: Epsom salt, formula: MgSO4.7H2O, purity: 100 %, pack: 2 oz, price: 1 USD}
`

const smallBed = "bed: {length: 97 in, width: 49 in, depth: 6 in}\n"

func levelsOf(p Plan) mix.Levels { return p.Mix.Achieved }

// Half of a recipe, by its strength or for the nursery (common practice, no
// source), is half of every wish, and of what is reached in pure water where no
// band bites: half as much again is more potassium than recipes hold.
func TestStrengthOfARecipe(t *testing.T) {
	full := made(t, Mix, pure+salts+"mix: {measure: scale 0.001 g}\ntarget: {recipe: hoagland, strength: 100 %}") // as it is; else the crop's range of EC counts
	for text, strength := range map[string]float64{"strength: 50 %": 0.5, "stage: nursery": 0.5, "strength: 150 %": 1.5, "stage: raft, strength: 100 %": 1, "strength: 25 %, stage: nursery": 0.25} {
		p := made(t, Mix, pure+salts+"mix: {measure: scale 0.001 g}\ntarget: {recipe: hoagland, "+text+"}")
		for i, w := range p.Mix.Wishes {
			if want := strength * float64(full.Mix.Wishes[i].Level); math.Abs(float64(w.Level)-want) > 1e-9*want {
				t.Errorf("%s: %v is wanted at %v, want %v", text, w.Nutrient, w.Level, want)
			}
		}
		got, all := levelsOf(p)[mix.Potassium], levelsOf(full)[mix.Potassium]
		if strength <= 1 && math.Abs(float64(got)-strength*float64(all)) > 1e-3*float64(all) {
			t.Errorf("%s: potassium %v of %v", text, got, all)
		}
		if assumes(p, AssumeNursery) != (text == "stage: nursery") {
			t.Errorf("%s: the strength of the nursery is told as assumed: %v", text, assumes(p, AssumeNursery))
		}
	}
}

// A budget is kept, and costs fit; what it buys is the best for the money, which
// is never worse than the same mix thinned to that price.
func TestBudgetOfABrief(t *testing.T) {
	free := made(t, Mix, smallBed+pure+salts+"target: {recipe: lettuce}")
	paid := free.Mix.Cost.PerBed
	tight := made(t, Mix, smallBed+pure+salts+"target: {recipe: lettuce}\nmix: {budget: 2.50 USD}")
	if paid < 5 || tight.Mix.Cost.PerBed > 2.5*(1+1e-9) || tight.Mix.Cost.PerBed < 2.4 {
		t.Errorf("a fill for at most 2.50 USD costs %v, without a budget %v", tight.Mix.Cost.PerBed, paid)
	}
	thin := made(t, Mix, smallBed+pure+salts+"target: {recipe: lettuce}")
	share, miss, weight := 2.5/paid, 0.0, 0.0
	for _, w := range thin.Mix.Wishes {
		r := (share*float64(w.Achieved) - float64(w.Level)) / float64(w.Level)
		miss, weight = miss+w.Weight*r*r, weight+w.Weight
	}
	if thinned := math.Sqrt(miss / weight); tight.Mix.Misfit <= free.Mix.Misfit || tight.Mix.Misfit > thinned {
		t.Errorf("misfit %v, without a budget %v, thinned %v", tight.Mix.Misfit, free.Mix.Misfit, thinned)
	}
	if loose := made(t, Mix, smallBed+pure+salts+"target: {recipe: lettuce}\nmix: {budget: 200 USD}"); loose.Mix.Misfit != free.Mix.Misfit {
		t.Error("a budget that is never reached changes the mix")
	}
}

// Whole packs go into the bed: their number times their size is the dose.
func TestPacksOfABrief(t *testing.T) {
	p := made(t, Mix, smallBed+pure+salts+"target: {recipe: lettuce}\nmix: {measure: packs}")
	pack := map[string]unit.Mass{"calcium nitrate": unit.Pound, "potassium nitrate": unit.Pound, "monopotassium phosphate": unit.Ounce, "Epsom salt": 2 * unit.Ounce}
	if len(p.Mix.Doses) == 0 {
		t.Fatal("no pack is opened")
	}
	for _, d := range p.Mix.Doses {
		if d.Packs < 1 || d.Packs != math.Round(d.Packs) || math.Abs(d.Packs*float64(pack[d.Product])-float64(d.PerBed)) > 1e-9 {
			t.Errorf("%v packs of %s are %v", d.Packs, d.Product, d.PerBed)
		}
	}
}

func TestTargetFaults(t *testing.T) {
	for text, want := range map[string]string{
		"target: {nitrogen: 100 mg/L, strength: 50 %}":                    "name a recipe",
		"target: {nitrogen: 100 mg/L, stage: nursery}":                    "name a recipe",
		"target: {recipe: lettuce, ec: 1 mS/cm, strength: 50 %}":          "keep one",
		"target: {recipe: nursery_half}":                                  "stage: nursery",
		"target: {recipe: seedling_feed}":                                 "nitrogen: 75 mg/L",
		"target: {recipe: strawberry_low}":                                "ec: 0.9 mS/cm",
		"target: {recipe: trade_202020}":                                  "found",
		"target: {recipe: uptake_batavia_2024}":                           "lettuce",
		"target: {recipe: letuce}":                                        "lettuce",
		"target: {recipe: lettuce}\nmix: {budget: 3 USD}":                 "give the bed",
		"target: {recipe: lettuce}\nmix: {measure: packs, budget: 3 EUR}": "one currency",
		"target: {recipe: lettuce}\nmix: {measure: cups}":                 "packs",
	} {
		if f := faulty(t, Mix, pure+salts+text); !strings.Contains(what(f)+right(f), want) {
			t.Errorf("%s: %v; want %q in it", text, f, want)
		}
	}
}

// A bottle of pH-down with 31 % P2O5 is phosphoric acid of 42.8 %: twice 97.994
// over 141.943 g/mol; one with 5 % N is nitric acid of 22.5 % (63.012 over 14.007).
func TestAcidOfALabel(t *testing.T) {
	hard := "site: {kind: market, children: none}\nwater: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L, sodium: 9 mg/L, chloride: 14 mg/L, sulfate: 20 mg/L}\n"
	for label, named := range map[string]string{"0-31-0": "phosphoric 42.8037 %", "5-0-0": "nitric 22.4935 %"} {
		p := made(t, Water, hard+"acid: {label: "+label+", target ph: 5.8, air: closed}")
		q := made(t, Water, hard+"acid: {product: "+named+", target ph: 5.8, air: closed}")
		if a, b := p.Water.Acid, q.Water.Acid; a == nil || math.Abs(float64(a.Volume/b.Volume)-1) > 1e-4 || a.Want.Product.Reagent != b.Want.Product.Reagent {
			t.Errorf("label %s: %+v, want that of %s: %+v", label, a, named, b)
		}
		if !assumes(p, AssumeLabelAcid) || assumes(p, AssumeAcid) {
			t.Errorf("label %s: what it tells is not listed", label)
		}
	}
	for text, want := range map[string]string{"label: 0-31-0, product: citric": "keep one", "label: 0-10-5": "does not tell one acid", "label: 5-10-0": "does not tell one acid",
		"label: 0-0-0": "does not tell one acid", "label: 0-65-0": "is sold"} {
		if f := faulty(t, Water, hard+"acid: {"+text+", target ph: 5.8, air: closed}"); !strings.Contains(what(f)+right(f), want) {
			t.Errorf("%s: %v; want %q in it", text, f, want)
		}
	}
}
