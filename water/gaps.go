package water

import (
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// majors are the ions that a whole analysis names.
var majors = []Analyte{Calcium, Magnesium, Sodium, Potassium, Chloride, Sulfate, Nitrate}

// calciumShare is the share of calcium in the hardness, by moles, where only
// hardness is known. Limestone waters run from 0.5 (dolomite) to 0.95.
const calciumShare = 0.75

// fill estimates what the test leaves out, only where that is sound: hardness
// from its parts and a part from the rest, one missing ion from the charge
// balance, salt from the conductivity. Everything filled in is an assumption
// with what it does to the conductivity.
func (a *analysis) fill(k25 *chem.Equilibria) {
	a.fillHardness()
	a.fillAlkalinity()
	a.fillBalance(k25)
	a.fillSalt(k25, a.test.EC)
	for _, x := range majors {
		if !a.known[x] {
			a.assume(AssumeNone, finding.Args{"Analyte": x.Word()}, ownSource)
		}
	}
	if !a.known[Alkalinity] {
		a.assume(AssumeNone, finding.Args{"Analyte": Alkalinity.Word()}, ownSource)
	}
	guessed := a.known[Alkalinity] && !a.wholeButAlkalinity()
	if !a.given[Alkalinity] && (guessed || !a.known[Alkalinity] && a.pH > titrationEnd) {
		a.find(FindAskAlkalinity, finding.Caution, nil, leafSource)
	}
	if a.strongAcid() {
		a.assume(AssumeStrongAcid, finding.Args{"PH": a.pH}, labSource)
	}
	a.assume(AssumeOthers, nil, ownSource)
	if a.pH == 0 {
		a.assume(AssumePH, nil, ownSource)
	}
}

func (a *analysis) fillHardness() {
	ca, mg := a.known[Calcium], a.known[Magnesium]
	switch {
	case ca && mg || !a.known[Hardness]:
	case ca:
		a.set(Magnesium, max(0, a.value[Hardness]-a.value[Calcium]))
		a.assume(AssumeRest, finding.Args{"Analyte": Magnesium.Word(), "Amount": Magnesium.Mass(a.value[Magnesium])}, labSource)
	case mg:
		a.set(Calcium, max(0, a.value[Hardness]-a.value[Magnesium]))
		a.assume(AssumeRest, finding.Args{"Analyte": Calcium.Word(), "Amount": Calcium.Mass(a.value[Calcium])}, labSource)
	default:
		a.set(Calcium, calciumShare*a.value[Hardness])
		a.set(Magnesium, (1-calciumShare)*a.value[Hardness])
		a.assume(AssumeSplit, finding.Args{"Calcium": Calcium.Mass(a.value[Calcium]), "Magnesium": Magnesium.Mass(a.value[Magnesium])}, ownSource)
	}
	if !a.known[Hardness] && a.known[Calcium] && a.known[Magnesium] {
		a.set(Hardness, a.value[Calcium]+a.value[Magnesium])
	}
}

// fillAlkalinity takes what the other ions leave: bicarbonate is what tests
// leave out when they name no anion, and the one that harms if it is forgotten.
// Where the major ions are not all there it is a guess, and the test is asked
// for.
func (a *analysis) fillAlkalinity() {
	if a.known[Alkalinity] || a.pH != 0 && a.pH <= titrationEnd {
		return
	}
	whole := a.wholeButAlkalinity()
	net, all := a.surplus()
	rest := a.composition().ReferenceCharge()
	if rest <= 0 || !(whole && a.pH != 0) && (net < 0.1 || net < 0.05*all) {
		return
	}
	a.set(Alkalinity, unit.MolarConcentration(rest))
	a.assume(AssumeAlkalinity, finding.Args{"Amount": Alkalinity.Mass(a.value[Alkalinity])}, labSource)
}

// wholeButAlkalinity says that the test names every major ion beside it.
func (a *analysis) wholeButAlkalinity() bool {
	for _, x := range []Analyte{Calcium, Magnesium, Sodium, Chloride, Sulfate} {
		if !a.given[x] {
			return false
		}
	}
	return true
}

// surplus gives the charge that anions lack (negative: that cations lack), and
// the sum of all charges, meq/L.
func (a *analysis) surplus() (net, all float64) {
	c := a.composition()
	cations := float64(2*(c.Ca+c.Mg+c.Fe) + c.Na + c.K + c.NH4)
	anions := float64(2*c.SO4 + c.Cl + c.NO3 + c.P + c.F + a.value[Alkalinity])
	return cations - anions, cations + anions
}

// fillBalance gives a missing chloride or sodium what the charge balance lacks:
// they are what tests leave out most and nothing else is left to be there in
// amounts; without a hardness the cations are lime. Less than a twentieth is within the errors of a test.
func (a *analysis) fillBalance(k25 *chem.Equilibria) {
	net, all := a.surplus()
	if math.Abs(net) < 0.05*all || math.Abs(net) < 0.1 || !a.known[Alkalinity] {
		return
	}
	into := Chloride
	if net < 0 {
		into = Sodium
	}
	if a.known[into] {
		return
	}
	if net < 0 && !a.known[Hardness] && !a.known[Calcium] && !a.known[Magnesium] {
		a.fillLime(-net / 2)
		return
	}
	before := a.conductivity(k25)
	a.set(into, unit.MolarConcentration(math.Abs(net)))
	a.assume(AssumeBalance, finding.Args{"Analyte": into.Word(), "Amount": into.Mass(a.value[into]),
		"Effect": a.conductivity(k25) - before, "Other": Sulfate.Word()}, labSource)
}

// fillLime takes the cations that an alkalinity lacks as lime, where nothing is
// known of the hardness: that is what most waters have them from. mmol/L.
func (a *analysis) fillLime(hardness float64) {
	h := unit.MolarConcentration(hardness)
	a.set(Hardness, h)
	a.set(Calcium, calciumShare*h)
	a.set(Magnesium, (1-calciumShare)*h)
	a.assume(AssumeLime, finding.Args{"Hardness": Hardness.Mass(h), "Calcium": Calcium.Mass(a.value[Calcium]), "Magnesium": Magnesium.Mass(a.value[Magnesium])}, ownSource)
}

// fillSalt adds sodium chloride until the conductivity is what was measured,
// where neither was on the test.
func (a *analysis) fillSalt(k25 *chem.Equilibria, goal unit.Conductivity) {
	if goal <= 0 || a.given[Sodium] || a.given[Chloride] {
		return
	}
	before := a.conductivity(k25)
	if before >= 0.95*goal {
		return
	}
	salted := func(x float64) analysis {
		b := *a
		b.set(Sodium, a.value[Sodium]+unit.MolarConcentration(x))
		b.set(Chloride, a.value[Chloride]+unit.MolarConcentration(x))
		b.guessed[Sodium], b.guessed[Chloride] = false, false
		return b
	}
	*a = salted(halve(goal.MillisiemensPerCentimetre()*15, func(x float64) bool { b := salted(x); return b.conductivity(k25) < goal }))
	a.assume(AssumeSalt, finding.Args{"Sodium": Sodium.Mass(a.value[Sodium]), "Chloride": Chloride.Mass(a.value[Chloride]),
		"Effect": goal - before}, labSource)
}
