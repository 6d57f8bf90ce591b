package plan

import (
	"slices"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/unit"
)

// A grade alone is understood as the usual label of the trade, and said to be from
// memory; one that the trade has not is taken as it stands.
func TestAGradeAloneIsMixed(t *testing.T) {
	for _, shelf := range []string{"[5-12-26, 15.5-0-0]", "[{label: 5-12-26}, {label: 15.5-0-0}]", "[5-11-26, 15.5-0-0]", "[4-18-38, 15.5-0-0, Epsom salt]"} {
		p := made(t, Mix, "target: {recipe: lettuce}\nwater: {kind: soft}\nshelf: "+shelf)
		if len(p.Mix.Doses) < 2 || !assumes(p, AssumeGrade) || assumes(p, mix.AssumeUntold) {
			t.Errorf("%s: %d doses, assumptions %v", shelf, len(p.Mix.Doses), p.Assumptions)
		}
		for _, w := range p.Mix.Wishes {
			if w.Main() && w.Short() && !strings.Contains(shelf, "4-18-38") { // its boron and copper hold it back
				t.Errorf("%s: %s is short: %v of %v", shelf, w.Nutrient, w.Achieved.MilligramsPerLitre(), w.Level.MilligramsPerLitre())
			}
		}
	}
	p := made(t, Found, "found: {per: 1 gal, amounts: {20-20-20: 1 tsp}}")
	if p.Found.Achieved[mix.Phosphorus] == 0 {
		t.Error("the three numbers of an amount are not understood")
	}
	odd := made(t, Mix, "target: {recipe: lettuce}\nwater: {kind: soft}\nshelf: [17-7-19]")
	if assumes(odd, AssumeGrade) || !assumes(odd, mix.AssumeUntold) || odd.Mix.Doses[0].Product != "17-7-19" {
		t.Errorf("%+v", odd.Assumptions)
	}
}

// What a label does not tell of is not known: no lack, nor there, and the small print
// is asked for. Figures of the same bag end it.
func TestUntoldTracesAreNotKnown(t *testing.T) {
	const shelf = "target: {recipe: lettuce}\nwater: {kind: soft}\nshelf: [{name: powder, label: 20-10-20, nitrate-n: 12 %, ammonium-n: 8 %"
	lacks := func(p Plan, n mix.Nutrient) bool {
		return slices.ContainsFunc(p.Findings, func(f finding.Finding) bool {
			return f.ID == mix.FindNoTraces || (f.ID == mix.FindMissing || f.ID == mix.FindWeak) && f.Args["Nutrient"] == n.Word()
		})
	}
	iron := func(p Plan) mix.Wish {
		return p.Mix.Wishes[slices.IndexFunc(p.Mix.Wishes, func(w mix.Wish) bool { return w.Nutrient == mix.Iron })]
	}
	dark := made(t, Mix, shelf+"}]")
	if w := iron(dark); !w.Unknown || w.Fit() != "unknown" || w.Verdict() != mix.Untold || lacks(dark, mix.Iron) || !assumes(dark, mix.AssumeUntold) {
		t.Errorf("iron %+v is %s; lacking: %v", w, w.Fit(), lacks(dark, mix.Iron))
	}
	told := made(t, Mix, shelf+", iron: 0 %, manganese: 0 %, zinc: 0 %, copper: 0 %, boron: 0 %, molybdenum: 0 %}]")
	if w := iron(told); w.Unknown || w.Fit() != "short" || !lacks(told, mix.Iron) || assumes(told, mix.AssumeUntold) {
		t.Errorf("iron %+v is %s", w, w.Fit())
	}
	enough := made(t, Mix, "target: {recipe: lettuce}\nwater: {kind: soft}\nshelf: [{name: powder, label: 20-10-20, nitrate-n: 12 %, ammonium-n: 8 %}, {name: iron EDTA}]\nmix: {measure: scale 0.01 g}\nbed: {length: 8 ft, width: 4 ft, depth: 6 in}")
	if w := iron(enough); w.Fit() != "fine" || w.Achieved < 0.8*unit.MilligramPerLitre {
		t.Errorf("iron from another bag: %+v is %s", w, w.Fit())
	}
}

// What stands on no bag, only in our memory of its grade, is no ground to say that a mix
// harms: it is said what to look up. The same figures read off the bag are.
func TestWhatIsUsualForAGradeHarmsNothing(t *testing.T) {
	const rest = "target: {recipe: lettuce}\nwater: {ph: 7.6, alkalinity: 180 mg/L CaCO3, calcium: 62 mg/L, magnesium: 11 mg/L}\nbed: {length: 8 ft, width: 4 ft, depth: 6 in}\n"
	of := func(p Plan, id finding.ID) []finding.Finding {
		return slices.DeleteFunc(slices.Clone(p.Findings), func(f finding.Finding) bool { return f.ID != id })
	}
	fit := func(p Plan) string {
		return p.Mix.Fit[slices.IndexFunc(p.Mix.Fit, func(w mix.Wish) bool { return w.Nutrient == mix.Copper })].Fit()
	}
	for _, shelf := range []string{"[{name: powder, label: 20-20-20}]", "[20-20-20]", "[complete fertilizer 20-20-20]"} {
		bare := made(t, Mix, rest+"shelf: "+shelf)
		if told := of(bare, mix.FindMayHarm); len(told) != 1 || told[0].Severity != finding.Note || len(of(bare, mix.FindHarm)) > 0 || fit(bare) != "unknown" {
			t.Errorf("%s: copper of a bare label is %s; %v, harm %v", shelf, fit(bare), told, of(bare, mix.FindHarm))
		}
	}
	read := made(t, Mix, rest+"shelf: [{name: powder, label: 20-20-20, nitrate-n: 6 %, ammonium-n: 3.9 %, urea-n: 10.1 %, copper: 0.05 %}]\nmix: {doses: {powder: 0.43 g/L}}")
	if told := of(read, mix.FindHarm); len(told) != 1 || len(of(read, mix.FindMayHarm)) > 0 || fit(read) != "harm" {
		t.Errorf("copper of a label that was read is %s; %v", fit(read), told)
	}
	const strong = "target: {recipe: lettuce}\nwater: {kind: soft}\nbed: {length: 8 ft, width: 4 ft, depth: 6 in}\nshelf: [{name: powder, label: 4-18-38}]\nmix: {doses: {powder: 0.4 g/L}}"
	if p := made(t, Mix, strong); p.Mix.Achieved[mix.Boron] < 0.6*unit.MilligramPerLitre || len(of(p, mix.FindBoron)) > 0 {
		t.Errorf("boron %v of a bare label is warned of: %v", p.Mix.Achieved[mix.Boron], of(p, mix.FindBoron))
	}
}
