package water

import (
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// Findings about a test that contradicts itself.
const (
	FindCharge        finding.ID = "water.charge"
	FindSlip          finding.ID = "water.slip"
	FindECIons        finding.ID = "water.ec_ions"
	FindECUnit        finding.ID = "water.ec_unit"
	FindHardnessSum   finding.ID = "water.hardness_sum"
	FindHardnessSlip  finding.ID = "water.hardness_slip"
	FindBicarbonate   finding.ID = "water.bicarbonate"
	FindPHAlkalinity  finding.ID = "water.ph_alkalinity"
	FindFizz          finding.ID = "water.fizz"
	FindTDS           finding.ID = "water.tds"
	FindAskAlkalinity finding.ID = "water.ask_alkalinity"
	FindKindUnused    finding.ID = "water.kind_unused"
	FindPHUnsure      finding.ID = "water.ph_unsure"
)

// slip is a way to misread a figure: what was meant, and by which factor the
// value has to be multiplied.
type slip struct {
	analyte Analyte
	meant   finding.Word
	factor  float64
}

// slips lists how a figure of an analyte is usually mistaken: its form, its
// unit, its decimal point. The order is how likely each is.
func slips(x Analyte, r unit.Reading) []slip {
	var out []slip
	add := func(meant finding.Word, factor float64) { out = append(out, slip{x, meant, factor}) }
	l := &lines[x]
	if r.Scale == unit.MassScale {
		from, ok := l.find(r.Form)
		for _, to := range l.forms {
			if ok && math.Abs(to.mass/to.count/(from.mass/from.count)-1) > 0.01 && slipsBetween(x, from.name, to.name) {
				add(formWord(to.name), from.mass/from.count*to.count/to.mass)
			}
		}
		if l.charge > 0 {
			add(finding.Word("word.unit.meq"), from.mass/from.count/l.charge)
		}
		add(finding.Word("word.unit.mmol"), from.mass/from.count)
		if l.hard {
			add(finding.Word("word.unit.grains"), unit.GrainPerGallon)
			add(finding.Word("word.unit.german"), unit.GermanDegree)
		}
	}
	if r.Scale == unit.EquivalentScale && l.charge > 0 {
		add(finding.Word("word.unit.mg"), l.charge/(l.forms[0].mass/l.forms[0].count))
	}
	add(finding.Word("word.unit.tenfold"), 10)
	add(finding.Word("word.unit.tenth"), 0.1)
	return out
}

// slipsBetween keeps the confusions that happen: the common forms of each.
func slipsBetween(x Analyte, from, to string) bool {
	switch x {
	case Alkalinity, Bicarbonate, Calcium, Magnesium, Nitrate, Ammonium:
		return true
	case Sulfate:
		return to == "S" || to == "SO4"
	case Phosphorus:
		return to == "P" || to == "PO4" || to == "P2O5"
	}
	return false
}

func formWord(name string) finding.Word {
	switch name {
	case "CaCO3":
		return finding.Word("word.form.caco3")
	case "HCO3":
		return finding.Word("word.form.hco3")
	case "NO3":
		return finding.Word("word.form.no3")
	case "N":
		return finding.Word("word.form.n")
	case "SO4":
		return finding.Word("word.form.so4")
	case "S":
		return finding.Word("word.form.s")
	}
	return finding.Word("word.form.another")
}

// Shares of the charge at which an imbalance is told: a good laboratory keeps
// within 5 %, Standard Methods 1030 E allows 10 % for dilute waters.
const (
	chargeNote    = 0.05
	chargeCaution = 0.10
)

// check tells what contradicts what in a test, and the likeliest slip behind it.
func (a *analysis) check(k25 *chem.Equilibria, s *chem.Solution) {
	a.checkAcidity(s)
	a.checkHardness()
	a.checkConductivity(k25, s)
	a.checkCharge(k25, s)
	if a.test.TDS > 0 && a.test.EC > 0 {
		// Standard Methods 1030 E: TDS over EC from 0.55 to 0.7; 0.45 to 0.85 is let pass.
		ratio := a.test.TDS.MilligramsPerLitre() / (a.test.EC.MillisiemensPerCentimetre() * 1000)
		if ratio < 0.45 || ratio > 0.85 {
			a.find(FindTDS, finding.Note, finding.Args{"TDS": a.test.TDS, "EC": a.test.EC, "Expected": unit.MassConcentration(0.65*a.test.EC.MillisiemensPerCentimetre()) * unit.GramPerLitre}, labSource)
		}
	}
}

// fizz is ten times the carbon dioxide of the deepest ground waters.
const fizz = 0.3 * unit.Atmosphere

func (a *analysis) checkAcidity(s *chem.Solution) {
	alkalinity := Alkalinity.Mass(a.value[Alkalinity])
	switch {
	case a.refused != nil:
		a.find(FindPHAlkalinity, finding.Caution, finding.Args{"PH": a.pH, "Alkalinity": alkalinity}, labSource)
	case a.pH > 0 && s.CO2 > fizz:
		a.find(FindFizz, finding.Caution, finding.Args{"PH": a.pH, "Alkalinity": alkalinity, "Share": unit.Fraction(s.CO2 / unit.Atmosphere)}, labSource)
	case a.pH == 0 && (s.PH < 5 || s.PH > 9.5) && s.IonicStrength > 1e-4:
		a.find(FindPHUnsure, finding.Caution, finding.Args{"PH": s.PH}, ownSource)
	}
}

func (a *analysis) checkHardness() {
	if !a.given[Hardness] || !a.given[Calcium] || !a.given[Magnesium] {
		return
	}
	sum, said := float64(a.value[Calcium]+a.value[Magnesium]), float64(a.value[Hardness])
	if math.Abs(sum-said) <= 0.1*max(sum, said)+0.05 {
		return
	}
	args := finding.Args{"Hardness": Hardness.Mass(a.value[Hardness]), "Sum": Hardness.Mass(unit.MolarConcentration(sum))}
	a.find(FindHardnessSum, finding.Caution, args, labSource)
	for _, x := range []Analyte{Hardness, Calcium, Magnesium} {
		for _, c := range slips(x, a.test.Readings[x]) {
			changed, other := said, sum
			switch x {
			case Hardness:
				changed *= c.factor
			default:
				other += float64(a.value[x]) * (c.factor - 1)
			}
			if math.Abs(changed-other) <= 0.03*max(changed, other) {
				a.find(FindHardnessSlip, finding.Note, finding.Args{"Analyte": x.Word(), "Meant": c.meant}, ownSource)
				return
			}
		}
	}
}

// faintEC is a difference that no meter for gardens can tell: rain reads 0.01 to
// 0.03 mS/cm, as the carbon dioxide of the day has it (common practice).
const faintEC = 0.02 * unit.MillisiemensPerCentimetre

func (a *analysis) checkConductivity(k25 *chem.Equilibria, s *chem.Solution) {
	if a.test.EC <= 0 || a.unnamed() > 1 {
		return
	}
	computed := a.conductivity(k25)
	if computed <= 0 {
		return
	}
	ratio := float64(a.test.EC / computed)
	if math.Abs(float64(a.test.EC-computed)) < float64(faintEC) {
		return
	}
	args := finding.Args{"Measured": a.test.EC, "Computed": computed}
	switch {
	case ratio > 500 && ratio < 2000 || ratio > 0.0005 && ratio < 0.002:
		a.find(FindECUnit, finding.Caution, args, labSource)
	case ratio < 0.8 || ratio > 1.25:
		a.find(FindECIons, finding.Caution, args, labSource)
	case ratio < 0.9 || ratio > 1.1:
		a.find(FindECIons, finding.Note, args, labSource)
	}
}

// unnamed counts the major ions that the test does not name.
func (a *analysis) unnamed() int {
	n := 0
	for _, x := range majors {
		if !a.given[x] {
			n++
		}
	}
	return n
}

// checkCharge compares cations with anions. The net charge of a titrated water
// is in its inert charge; of one without a pH it went into its pH.
func (a *analysis) checkCharge(k25 *chem.Equilibria, s *chem.Solution) {
	net, all := a.surplus()
	if all < 0.5 || !a.known[Alkalinity] {
		return
	}
	share := net / all
	if math.Abs(share) < chargeNote {
		return
	}
	severity := finding.Note
	if math.Abs(share) >= chargeCaution {
		severity = finding.Caution
	}
	a.find(FindCharge, severity, finding.Args{"Error": unit.Fraction(math.Abs(share)),
		"Cations": unit.Equivalents((all + net) / 2), "Anions": unit.Equivalents((all - net) / 2)}, labSource)
	a.blame(k25, net, all)
}

// blame looks for the one misread figure that would mend the balance, and the
// conductivity and the hardness if they were measured too.
func (a *analysis) blame(k25 *chem.Equilibria, net, all float64) {
	var best slip
	least := 0.03
	for x := Analyte(0); x < AnalyteCount; x++ {
		if !a.given[x] {
			continue
		}
		charge, sign := charges(x)
		if charge == 0 {
			continue
		}
		for i, c := range slips(x, a.test.Readings[x]) {
			change := float64(a.value[x]) * charge * (c.factor - 1)
			misfit := math.Abs(net+sign*change)/(all+change) + 0.002*float64(i)
			if misfit < least && a.agrees(k25, c) {
				best, least = c, misfit
			}
		}
	}
	if best.factor != 0 {
		a.find(FindSlip, finding.Note, finding.Args{"Analyte": best.analyte.Word(), "Meant": best.meant,
			"Would": best.analyte.Mass(unit.MolarConcentration(float64(a.value[best.analyte]) * best.factor))}, ownSource)
	}
}

// charges gives the equivalents in a mole of what the balance counts, and +1
// for cations.
func charges(x Analyte) (charge, sign float64) {
	switch x {
	case Calcium, Magnesium, Iron:
		return 2, 1
	case Sodium, Potassium, Ammonium:
		return 1, 1
	case Sulfate:
		return 2, -1
	case Chloride, Nitrate, Phosphorus, Fluoride, Alkalinity:
		return 1, -1
	}
	return 0, 0
}

// agrees says whether a corrected figure fits the measured conductivity and
// hardness, where there are any.
func (a *analysis) agrees(k25 *chem.Equilibria, c slip) bool {
	b := *a
	b.value[c.analyte] *= unit.MolarConcentration(c.factor)
	if b.given[Hardness] && (c.analyte == Calcium || c.analyte == Magnesium) {
		sum := float64(b.value[Calcium] + b.value[Magnesium])
		if math.Abs(sum-float64(b.value[Hardness])) > 0.15*sum {
			return false
		}
	}
	if b.test.EC <= 0 {
		return true
	}
	ratio := float64(b.conductivity(k25) / b.test.EC)
	return ratio > 0.85 && ratio < 1.18
}
