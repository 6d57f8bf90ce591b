package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/mix"
)

const pinBed = `
bed: {length: 97 in, width: 49 in, depth: 6 in}
site: {kind: market}
water: {ph: 7.6, alkalinity: 120 mg/L CaCO3, calcium: 40 mg/L, magnesium: 8 mg/L, sodium: 12 mg/L}
shelf:
  - {name: powder, label: 5-12-26, nitrate-n: 5 %, magnesium: 6 %, sulfur: 8 %}
  - {name: calcium nitrate, formula: 5Ca(NO3)2.NH4NO3.10H2O}
`

func pinned(t *testing.T, rest string) Plan {
	t.Helper()
	b, faults := brief.Parse("test.yaml", []byte(pinBed+rest))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := Make(b, DefaultBook(), nil, Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p
}

// What was poured is not worked out anew: the doses stand, and what they give is arithmetic
// (mass of product times its label; P2O5 is 43.64 % phosphorus, K2O 83.01 % potassium; by atomic weights).
func TestPinnedDosesAreTakenAsTheyAre(t *testing.T) {
	p := pinned(t, "mix: {measure: spoons, doses: {powder: 0.4321 g/L, calcium nitrate: 0.2 g/L}}\nacid: {product: citric, dose: 0.31 mmol/L}\n")
	if len(p.Mix.Doses) != 2 {
		t.Fatal(p.Mix.Doses)
	}
	for i, want := range []float64{0.4321, 0.2} {
		if got := p.Mix.Doses[i].Strength.GramsPerLitre(); math.Abs(got-want) > 1e-12 {
			t.Errorf("dose %d is %v g/L, want %v", i, got, want)
		}
	}
	if got := p.Mix.Acid.Dose.MillimolesPerLitre(); got != 0.31 {
		t.Errorf("acid is %v mmol/L", got)
	}
	if got := p.Water.Acid.Amount.MillimolesPerLitre(); got != 0.31 {
		t.Errorf("acid of the plain water is %v mmol/L", got)
	}
	for n, want := range map[mix.Nutrient]float64{mix.Phosphorus: 432.1 * 0.12 * 0.43642, mix.Potassium: 432.1 * 0.26 * 0.83014} {
		if got := p.Mix.Achieved[n].MilligramsPerLitre() - p.Mix.Water[n].MilligramsPerLitre(); math.Abs(got-want) > 0.002*want {
			t.Errorf("%s comes to %v mg/L, want %v", n.Word(), got, want)
		}
	}
	if !has(p, mix.FindPinned) {
		t.Error("that the doses were given is not told")
	}
}

// The dose of one part leaves the other free: the acid is found for the doses, the doses for the acid.
func TestOnePinLeavesTheOtherFree(t *testing.T) {
	doses := pinned(t, "mix: {doses: {powder: 0.5 g/L, calcium nitrate: 0.4 g/L}}\nacid: {product: citric, target ph: 5.9}\n")
	if math.Abs(doses.Mix.PH-5.9) > 0.01 || doses.Mix.Acid.Dose <= 0 {
		t.Errorf("pH %v with %v mmol/L of acid", doses.Mix.PH, doses.Mix.Acid.Dose.MillimolesPerLitre())
	}
	acid := pinned(t, "acid: {product: citric, target ph: 5.9, dose: 0.1 mmol/L}\n")
	if acid.Mix.Acid.Dose.MillimolesPerLitre() != 0.1 || acid.Mix.PH < 6.3 || len(acid.Mix.Doses) == 0 || has(acid, mix.FindPinned) {
		t.Errorf("pH %v with %v mmol/L", acid.Mix.PH, acid.Mix.Acid.Dose.MillimolesPerLitre())
	}
}

// A dose of acid is the same in moles, by mass and by volume. Citric acid is 192.12 g/mol (atomic weights),
// taken dry where no strength is said.
func TestAcidIsPinnedInAnyUnit(t *testing.T) {
	for _, c := range []struct {
		acid string
		want float64
		off  float64
	}{{"{product: citric, dose: 96.06 mg/L}", 0.5, 0.002}, {"{product: citric, dose: 0.5 mmol/L}", 0.5, 1e-12}, {"{product: nitric 60 %, dose: 0.1 mL/L}", 0.1 * 1.367 * 0.6 / 63.013 * 1000, 0.01}} {
		p := pinned(t, "acid: "+c.acid+"\n").AsAsked() // density of nitric acid of 60 % at 20 °C: 1.367 kg/L (handbook table, see acidtables)
		if got := p.Water.Acid.Amount.MillimolesPerLitre(); math.Abs(got-c.want) > c.off*c.want {
			t.Errorf("%s is %v mmol/L, want %v", c.acid, got, c.want)
		}
	}
}

// Written down and read again, the mix that a plan chose gives the same solution.
func TestAChosenMixPinnedIsTheSame(t *testing.T) {
	free := pinned(t, "acid: {product: citric}\n")
	var list []string
	for _, d := range free.Mix.Doses {
		list = append(list, fmt.Sprintf("%s: %.9f g/L", d.Product, d.Strength.GramsPerLitre()))
	}
	again := pinned(t, fmt.Sprintf("acid: {product: citric, dose: %.9f mmol/L}\nmix: {doses: {%s}}\n", free.Mix.Acid.Dose.MillimolesPerLitre(), strings.Join(list, ", ")))
	if a, b := free.Mix.EC.MillisiemensPerCentimetre(), again.Mix.EC.MillisiemensPerCentimetre(); math.Abs(a-b) > 1e-6 {
		t.Errorf("EC %v and %v", a, b)
	}
	if a, b := free.Mix.PH, again.Mix.PH; math.Abs(a-b) > 1e-5 {
		t.Errorf("pH %v and %v", a, b)
	}
}

// A limit that the person set stops, with a way out; one of ours is a caution.
func TestAPinnedMixThatBreaksALimitIsTold(t *testing.T) {
	find := func(p Plan, id finding.ID) (out finding.Finding, ok bool) {
		for _, f := range p.Findings {
			if f.ID == id {
				return f, true
			}
		}
		return out, false
	}
	const doses = "mix: {doses: {powder: 1 g/L, calcium nitrate: 0.5 g/L}}\n"
	f, ok := find(pinned(t, doses+"target: {recipe: lettuce, most: {potassium: 150 mg/L}}\n"), mix.FindPinnedLimit)
	if !ok || f.Severity != finding.Stop || len(f.Mend) != 1 || f.Mend[0].Path != "mix.doses" {
		t.Errorf("%+v", f)
	}
	if f, ok := find(pinned(t, doses+"target: {recipe: lettuce, most: {potassium: 250 mg/L}}\n"), mix.FindPinnedLimit); ok && f.Severity == finding.Stop {
		t.Errorf("a limit that is kept: %+v", f)
	}
}

func TestDosesThatCannotBePinned(t *testing.T) {
	for _, c := range []struct{ doses, want string }{
		{"powdr: 1 g/L", "plan.fault.dose_of at mix.doses.powdr"}, {"powder: 1 mL/L", "plan.fault.dose_volume at mix.doses.powder"},
	} {
		b, faults := brief.Parse("test.yaml", []byte(pinBed+"mix: {doses: {"+c.doses+"}}\n"))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if _, faults := Make(b, DefaultBook(), nil, Everything); !strings.Contains(faults.Error(), c.want) {
			t.Errorf("%s gives %v, want %s", c.doses, faults, c.want)
		}
	}
}
