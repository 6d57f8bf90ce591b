package water

import (
	"errors"
	"slices"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Job is the question: this test, held against these tables, this acid.
type Job struct {
	Test Test
	Book Handbook
	Acid *Want // nil: none asked for
}

// Traces are the metals that stay outside the chemistry.
type Traces struct{ Manganese, Zinc, Copper, Molybdenum unit.MassConcentration }

// Range is how far a figure may lie from the one computed, for what the test
// leaves open. In the unit of the figure's limit.
type Range struct {
	Analyte        Analyte
	IsConductivity bool
	Low, High      float64
}

// Assessment is a water understood.
type Assessment struct {
	Name          string
	Temperature   unit.Temperature
	PH            float64
	PHGiven       bool
	EC            unit.Conductivity // computed, at 25 °C
	ECMeasured    unit.Conductivity // 0: not on the test
	ECHere        unit.Conductivity // computed, at Temperature
	IonicStrength unit.MolarConcentration
	Alkalinity    unit.Equivalents
	Hardness      unit.MassConcentration // as CaCO3
	ChargeError   unit.Fraction          // cations less anions over their sum
	CO2           unit.Pressure

	Solution chem.Solution // at Temperature, as sampled; Totals go into the mix
	Aired    chem.Solution // once it is in balance with the air
	Traces   Traces

	FreeChlorine, Chloramine unit.MassConcentration
	AscorbicAcid             unit.MassConcentration // against both; 0: not needed
	Rain                     unit.Fraction          // share of rain that brings every figure to good; 0: none needed

	Judgements []Judgement
	Ranges     []Range // empty where the test is whole
	Acid       *Dose   // nil: none asked for, or none possible
	Base       *Dose   // potassium bicarbonate, where the pH lies below the acid's goal

	Findings    []finding.Finding
	Assumptions []finding.Assumption

	steps       finding.Working
	composition chem.Composition
	value       [AnalyteCount]unit.MolarConcentration
	from        [AnalyteCount]Standing
	phFrom      Standing
	kind        Kind // of typical water, where anything was taken from one
	rain        bool // by its name or kind
	book        Handbook
}

// Working gives the derivation of every figure, in order.
func (r *Assessment) Working() []finding.Step { return r.steps.Steps }

func (r *Assessment) add(f finding.Finding) { r.Findings = append(r.Findings, f) }

// Assess answers a job. An empty test gives a typical water with a wide band. What
// contradicts itself is a finding; the faults are of figures and products that
// cannot be.
func Assess(j Job) (Assessment, finding.Faults) {
	r, err := j.assess()
	return r, finding.FaultsOf(err, "water", chem.FaultBalance) // no dose or no carbon: both are asked for before
}

func (j Job) assess() (Assessment, error) {
	test := j.Test
	k25, err := chem.At(25)
	if err != nil {
		return Assessment{}, err
	}
	a, faults := read(&test)
	if j.Acid != nil {
		faults = append(faults, j.Acid.check()...)
	}
	if faults != nil {
		return Assessment{}, faults
	}
	k, err := chem.At(a.temperature)
	if err != nil {
		return Assessment{}, err
	}
	var o overlay
	if test.Sparse() {
		o = a.lay(j.Book.Waters, k25)
	} else {
		a.fill(k25)
		if test.Kind != nil {
			a.find(FindKindUnused, finding.Note, finding.Args{"Kind": test.Kind.Word(), "Other": nothing}, ownSource)
		}
	}
	r, err := a.describe(k, k25)
	if err != nil {
		return Assessment{}, err
	}
	r.book, r.rain, r.kind = j.Book, test.isRain(), o.kind
	a.check(k25, &r.Solution)
	r.Findings = append(r.Findings, a.findings...)
	r.Judgements = j.Book.Limits.judge(r.figure)
	for i := range r.Judgements {
		r.Judgements[i].From = r.standing(r.Judgements[i].Limit)
	}
	r.grade()
	r.judgeRanges(a.test)
	r.widen(a, k25, o)
	if j.Acid != nil {
		if err := r.dose(k, k25, *j.Acid); err != nil {
			return Assessment{}, err
		}
		if r.Acid != nil { // it is done
			r.Findings = slices.DeleteFunc(r.Findings, func(f finding.Finding) bool { return f.ID == FindAcidify })
		}
	}
	r.Assumptions = a.assumptions
	r.steps = a.steps
	r.work(&r.steps, k, k25)
	finding.Hurting(r.Findings, finding.Person, hurtPeople...)
	finding.Sort(r.Findings)
	return r, nil
}

func (t *Test) empty() bool {
	return t.PH == 0 && t.EC == 0 && t.TDS == 0 && len(t.Readings) == 0
}

// kind gives the kind of water that was named, or that the name or the EC hints
// at.
func (t *Test) kind() Kind {
	if t.Kind != nil {
		return min(max(*t.Kind, Hard), Rain)
	}
	k := KindOf(t.Name)
	if k == Hard {
		switch ec := t.conducts().MillisiemensPerCentimetre(); {
		case ec <= 0:
		case ec <= 0.06:
			return Rain
		case ec <= 0.3:
			return Soft
		}
	}
	return k
}

// describe solves the water as sampled, at 25 °C, and in balance with the air.
func (a *analysis) describe(k, k25 *chem.Equilibria) (Assessment, error) {
	s, err := a.solve(k)
	if err != nil {
		return Assessment{}, err
	}
	at25, err := k25.Closed(s.Totals)
	if err != nil {
		return Assessment{}, err
	}
	aired, err := k.Open(s.Totals, chem.AirCO2)
	if err != nil {
		return Assessment{}, err
	}
	v := &a.value
	r := Assessment{
		Name: a.test.Name, Temperature: a.temperature, PH: s.PH, PHGiven: a.phStanding() == Measured,
		EC: at25.Conductivity, ECMeasured: a.test.EC, ECHere: s.Conductivity,
		IonicStrength: unit.MolarConcentration(s.IonicStrength*0.997) * unit.MolePerLitre,
		Alkalinity:    s.Alkalinity(), Hardness: Hardness.Mass(s.Totals.Ca + s.Totals.Mg), ChargeError: s.ChargeError(), CO2: s.CO2,
		Solution: s, Aired: aired,
		Traces:       Traces{Manganese.Mass(v[Manganese]), Zinc.Mass(v[Zinc]), Copper.Mass(v[Copper]), Molybdenum.Mass(v[Molybdenum])},
		FreeChlorine: FreeChlorine.Mass(v[FreeChlorine]), Chloramine: Chloramine.Mass(v[Chloramine]),
		composition: s.Totals, value: a.value, from: a.standings(), phFrom: a.phStanding(),
	}
	if a.pH > 0 && a.refused == nil {
		r.PH = a.pH
	}
	if a.known[Alkalinity] {
		r.Alkalinity = unit.Equivalents(v[Alkalinity])
	}
	return r, nil
}

// figure gives the value that a limit is held against.
func (r *Assessment) figure(l Limit) (float64, bool) {
	switch {
	case l.IsConductivity && r.ECMeasured > 0:
		return r.ECMeasured.MillisiemensPerCentimetre(), true
	case l.IsConductivity:
		return r.EC.MillisiemensPerCentimetre(), true
	}
	c := r.composition
	value := map[Analyte]unit.MassConcentration{
		Alkalinity: Alkalinity.Mass(unit.MolarConcentration(r.Alkalinity)), Hardness: r.Hardness, Calcium: Calcium.Mass(c.Ca), Magnesium: Magnesium.Mass(c.Mg),
		Sodium: Sodium.Mass(c.Na), Chloride: Chloride.Mass(c.Cl), Sulfate: Sulfate.Mass(c.SO4), Boron: Boron.Mass(c.B), Iron: Iron.Mass(c.Fe),
		Fluoride: Fluoride.Mass(c.F), Manganese: r.Traces.Manganese, Zinc: r.Traces.Zinc, Copper: r.Traces.Copper,
		FreeChlorine: r.FreeChlorine, Chloramine: r.Chloramine,
	}[l.Analyte]
	known := r.from[l.Analyte] != NotKnown
	if l.Analyte == Sodium && r.from[Sodium] != Measured && !r.hardKnown() { // a cation that the balance lacks is more often lime
		known = false
	}
	return value.MilligramsPerLitre(), known
}

// Standing says where the figure of an analyte comes from.
func (r *Assessment) Standing(x Analyte) Standing { return r.from[x] }

// Figure gives an analyte as the brief's key counts it.
func (r *Assessment) Figure(x Analyte) unit.MassConcentration { return x.Mass(r.value[x]) }

// PHFrom says where the pH comes from.
func (r *Assessment) PHFrom() Standing { return r.phFrom }

// Kind gives the typical water that what was not tested was taken from.
func (r *Assessment) Kind() Kind { return r.kind }

// Overlaid says that any figure was taken from a typical water.
func (r *Assessment) Overlaid() bool { return slices.Contains(r.from[:], Guessed) }

// Guess says that nobody tested the lime of this water: how much acid it takes is a
// guess.
func (r *Assessment) Guess() bool { return r.from[Alkalinity] != Measured }

func (r *Assessment) standing(l Limit) Standing {
	switch {
	case !l.IsConductivity:
		return r.from[l.Analyte]
	case r.ECMeasured > 0:
		return Measured
	case r.from[Alkalinity] == Guessed:
		return Guessed
	}
	return Filled
}

// hardKnown says that the lime of the water is known.
func (r *Assessment) hardKnown() bool {
	return r.from[Hardness] != NotKnown || r.from[Calcium] != NotKnown && r.from[Magnesium] != NotKnown
}

// Findings about the acid.
const (
	FindAcidNotNeeded  finding.ID = "water.acid_not_needed"
	FindBaseNotNeeded  finding.ID = "water.base_not_needed"
	FindAcidImpossible finding.ID = "water.acid_impossible"
	FindAcidStrong     finding.ID = "water.acid_strong"
	FindAcidOrder      finding.ID = "water.acid_order"
	FindDilute         finding.ID = "water.acid_dilute"
	FindAcidTwice      finding.ID = "water.acid_twice"
	FindAcidAdds       finding.ID = "water.acid_adds"
	FindCitric         finding.ID = "water.citric_fades"
	FindMuchPhosphorus finding.ID = "water.phosphoric_much"
	FindLittleBuffer   finding.ID = "water.little_buffer"
	FindBase           finding.ID = "water.base"
)

// hurtPeople are the findings about what can hurt somebody.
var hurtPeople = []finding.ID{FindAcidStrong, FindAcidOrder, FindFouled, FindOpenWater}

// dose works out the acid and what to say about it.
func (r *Assessment) dose(k, k25 *chem.Equilibria, w Want) error {
	d, err := DoseFor(k, r.composition, w)
	var no *chem.DoseError
	if errors.As(err, &no) {
		r.impossible(w, no.Now)
		return nil
	}
	if err != nil {
		return err
	}
	if at25, err := k25.Closed(d.Solution.Totals); err == nil {
		d.EC = at25.Conductivity
	}
	r.Acid = &d
	args := finding.Args{"PH": d.PH, "Goal": w.PH}
	switch acid := w.Product.Reagent <= Citric; {
	case d.Away && acid && d.PH <= w.PH:
		r.add(finding.Finding{ID: FindAcidNotNeeded, Severity: finding.Note, Source: ownSource, Args: args})
		r.raise(k, w)
		return nil
	case d.Away && !acid && d.PH >= w.PH:
		r.add(finding.Finding{ID: FindBaseNotNeeded, Severity: finding.Note, Source: ownSource, Args: args})
		return nil
	case d.Away:
		r.impossible(w, d.PH)
		r.Acid = nil
		return nil
	}
	if d.Amount > 0 {
		r.cautions(&d)
	}
	return nil
}

// With gives the water with a dose of an acid, its findings after those of the water;
// without one where none is possible.
func (r *Assessment) With(w Want) Assessment {
	out := *r
	out.Findings = slices.Clone(r.Findings)
	k, err := chem.At(r.Temperature)
	k25, err25 := chem.At(25)
	if err == nil && err25 == nil && out.dose(k, k25, w) != nil {
		out.Acid = nil
	}
	finding.Hurting(out.Findings, finding.Person, hurtPeople...)
	return out
}

// hardForCitric is the alkalinity, mg/L as CaCO3, above which citric acid does not
// last: from 120 on leaflets advise to inject acid all the time for young plants.
const hardForCitric = 120

// NeedsAcid says that the water holds more alkalinity than is good in a closed bed.
func (r *Assessment) NeedsAcid() bool {
	for _, j := range r.Judgements {
		if j.Limit.Analyte == Alkalinity && !j.Limit.IsConductivity && j.Verdict != Good {
			return true
		}
	}
	return false
}

// weakEnough is the strength to which a strong acid is thinned before it is
// measured out: a slip of the hand then matters little.
const weakEnough unit.Fraction = 0.05

func (r *Assessment) impossible(w Want, now float64) {
	r.add(finding.Finding{ID: FindAcidImpossible, Severity: finding.Caution, Source: ownSource,
		Args: finding.Args{"Product": w.Product.Word(), "PH": w.PH, "Now": now}})
}

// raise looks for the potassium bicarbonate that lifts the pH instead.
func (r *Assessment) raise(k *chem.Equilibria, w Want) {
	if w.Product.Reagent > Citric || r.PH > w.PH-0.2 {
		return
	}
	if r.CO2 > fizz { // it would take grams to fix the gas; the test is doubtful or the water wants air
		return
	}
	w.Product = r.book.Product(PotassiumBicarbonate, 0)
	base, err := DoseFor(k, r.composition, w)
	if err != nil || base.Away {
		return
	}
	r.Base = &base
	r.add(finding.Finding{ID: FindBase, Severity: finding.Note, Figure: base.Mass, Source: ownSource, Args: finding.Args{"Dose": base.Mass, "PH": w.PH}})
}

func (r *Assessment) cautions(d *Dose) {
	p := d.Want.Product
	if p.Strong() {
		r.add(finding.Finding{ID: FindAcidStrong, Act: finding.AtAcid, Severity: finding.Caution, Source: leafSource, Args: finding.Args{"Product": p.Word(), "Strength": p.strength()}})
	}
	r.add(finding.Finding{ID: FindAcidOrder, Act: finding.AtAcid, Usual: true, Severity: finding.Caution, Source: leafSource})
	if parts, faults := p.Diluted(weakEnough); faults == nil && !p.Solid() {
		r.add(finding.Finding{ID: FindDilute, Act: finding.AtAcid, Severity: finding.Note, Figure: parts, Source: leafSource,
			Args: finding.Args{"Parts": parts, "Strength": weakEnough, "Times": parts + 1}})
	}
	if p.Reagent == Citric {
		hard := r.Alkalinity.AsCaCO3() > hardForCitric && !r.Guess()
		f := finding.Finding{ID: FindCitric, Act: finding.AtAcid, Severity: finding.Note, Source: source.FromMemory, Args: finding.Args{"Hard": hard}}
		if hard {
			f.Severity = finding.Caution
		}
		r.add(f)
	}
	if p.Reagent == Phosphoric && d.P > MostPhosphorus {
		r.add(finding.Finding{ID: FindMuchPhosphorus, Act: finding.AtAcid, Severity: finding.Caution, Figure: d.P, Source: leafSource, Args: finding.Args{"Phosphorus": d.P, "Most": MostPhosphorus}})
	}
	if d.Aired.PH > d.Want.PH+0.3 && !d.Want.Open {
		again := Dose{Want: d.Want, Amount: d.Again}
		again.measure()
		r.add(finding.Finding{ID: FindAcidTwice, Act: finding.AtAcid, Severity: finding.Note, Figure: d.Aired.PH, Source: ownSource,
			Args: finding.Args{"PH": d.Aired.PH, "Goal": d.Want.PH, "Again": again.Mass}})
	}
	for _, added := range []struct {
		element finding.Word
		amount  unit.MassConcentration
	}{{finding.Word("word.element.sulfur"), d.S}, {finding.Word("word.element.nitrogen"), d.N},
		{finding.Word("word.element.phosphorus"), d.P}, {finding.Word("word.element.potassium"), d.K}} {
		if added.amount > 0 {
			r.add(finding.Finding{ID: FindAcidAdds, Act: finding.AtAcid, Severity: finding.Note, Figure: added.amount, Source: ownSource,
				Args: finding.Args{"Element": added.element, "Amount": added.amount}})
		}
	}
	if left := d.Alkalinity.AsCaCO3(); left < 20 && p.Reagent <= Nitric {
		r.add(finding.Finding{ID: FindLittleBuffer, Severity: finding.Note, Source: source.FromMemory,
			Args: finding.Args{"Left": unit.MassConcentration(max(left, 0)) * unit.MilligramPerLitre, "Keep": KeptAlkalinity}})
	}
}
