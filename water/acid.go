package water

import (
	"errors"
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/unit"
)

// Reagent is an acid or a base that moves the pH.
type Reagent int

// The reagents. The first four are acids.
const (
	Sulfuric Reagent = iota
	Nitric
	Phosphoric
	Citric
	PotassiumBicarbonate
	PotassiumHydroxide
	ReagentCount
)

var reagents = [ReagentCount]struct {
	key   string // in a brief and in the tables
	word  finding.Word
	molar float64 // g/mol
	adds  chem.Composition
}{
	Sulfuric:             {"sulfuric", finding.Word("word.reagent.sulfuric"), mass("H2SO4"), chem.Composition{SO4: 1}},
	Nitric:               {"nitric", finding.Word("word.reagent.nitric"), mass("HNO3"), chem.Composition{NO3: 1}},
	Phosphoric:           {"phosphoric", finding.Word("word.reagent.phosphoric"), mass("H3PO4"), chem.Composition{P: 1}},
	Citric:               {"citric", finding.Word("word.reagent.citric"), mass("C6H8O7"), chem.Composition{Citrate: 1}},
	PotassiumBicarbonate: {"potassium bicarbonate", finding.Word("word.reagent.potassium_bicarbonate"), mass("KHCO3"), chem.Composition{K: 1, TIC: 1}},
	PotassiumHydroxide:   {"potassium hydroxide", finding.Word("word.reagent.potassium_hydroxide"), mass("KOH"), chem.Composition{K: 1}},
}

// String gives the reagent's key in a brief.
func (r Reagent) String() string {
	if r < 0 || r >= ReagentCount {
		return ""
	}
	return reagents[r].key
}

// Product is a reagent as sold, from a table of reagents: its strength by mass, 1
// for pure crystals. A strength of 0 was not said, which only what is sold solid
// allows.
type Product struct {
	Reagent  Reagent
	Strength unit.Fraction
	sold     *sold
}

// Faults of a product.
const (
	FaultReagent  finding.ID = "water.fault.reagent"  // not in the table
	FaultStrength finding.ID = "water.fault.strength" // not said
	FaultShare    finding.ID = "water.fault.share"    // no share of a mass
	FaultSold     finding.ID = "water.fault.sold"     // stronger than what is sold
	FaultWeaker   finding.ID = "water.fault.weaker"   // not to be diluted to that
)

func (p Product) wrong(id finding.ID, args finding.Args) finding.Faults {
	return finding.Faults{{ID: id, Path: "acid.product", Args: args}}
}

func (p Product) check() finding.Faults {
	if p.sold == nil {
		return p.wrong(FaultReagent, nil)
	}
	switch s := p.strength(); {
	case s <= 0 && p.sold.solid == 0:
		return p.wrong(FaultStrength, nil)
	case !(s > 0 && s <= 1):
		return p.wrong(FaultShare, nil)
	case s > p.sold.solution && (p.sold.solid == 0 || s < p.sold.solid):
		return p.wrong(FaultSold, finding.Args{"Product": p.Word(), "Strength": p.Strength, "Most": p.sold.solution})
	}
	return nil
}

// strength fills in pure crystals where no strength was said.
func (p Product) strength() unit.Fraction {
	if p.Strength == 0 && p.sold != nil && p.sold.solid > 0 {
		return 1
	}
	return p.Strength
}

// Solid says whether the product is weighed as crystals.
func (p Product) Solid() bool {
	return p.sold != nil && p.sold.solid > 0 && p.strength() >= p.sold.solid
}

// Strong says whether the product is only for trained hands: it burns skin and
// eyes, and is not for homes with small children nor for schools.
func (p Product) Strong() bool { return p.sold != nil && p.strength() > p.sold.strong }

// Word gives the reagent's name to be printed.
func (p Product) Word() finding.Word { return reagents[p.Reagent].word }

// MolarMass gives the molar mass, g/mol.
func (r Reagent) MolarMass() float64 { return reagents[r].molar }

// Adds gives what a mmol/L of the reagent puts into a solution.
func (p Product) Adds() chem.Composition { return reagents[p.Reagent].adds }

// Density gives the density of a solution of the product, between the lines of
// its table; 0 for crystals.
func (p Product) Density() unit.Density {
	if p.Solid() || p.sold == nil {
		return 0
	}
	below, above := densityPoint{0, 0.9982}, densityPoint{}
	for _, d := range p.sold.densities {
		if d.strength > p.strength() {
			above = d
			break
		}
		below = d
	}
	if above.strength == 0 {
		return unit.Density(below.density) * unit.GramPerMillilitre
	}
	x := float64((p.strength() - below.strength) / (above.strength - below.strength))
	return unit.Density(below.density+x*(above.density-below.density)) * unit.GramPerMillilitre
}

// Molarity gives the moles in a litre of a solution; 0 for crystals.
func (p Product) Molarity() unit.MolarConcentration {
	return unit.MolarConcentration(float64(p.Density())*float64(p.strength())/p.Reagent.MolarMass()) * unit.MolePerLitre
}

// CitricSpoon is what a level teaspoon of citric acid weighs, 4.2 to 5.2 g (kitchen
// tables of weighed measures).
const CitricSpoon = 4.75 * unit.Gram

// BicarbonateSpoon is what a level teaspoon of potassium bicarbonate weighs (from memory).
const BicarbonateSpoon = 5 * unit.Gram

// MostPhosphorus is the most phosphorus that phosphoric acid may bring: 2.25 fl oz of
// 75 % in 100 US gal are the most that a leaflet allows, and it counts them as
// 58 mg/L of phosphorus.
const MostPhosphorus = 58 * unit.MilligramPerLitre

// Want is what an acid (or a base) is asked to do.
type Want struct {
	Product Product
	PH      float64
	Dose    unit.MolarConcentration // of pure reagent, that was given; 0: what reaches the PH
	Open    bool                    // reach it in balance with the air, the CO2 gone; else at once, nothing escaped
	Path    finding.Path            // of the product in a brief; "" acid.product
}

// check gives the faults of the product at the key that tells it.
func (w *Want) check() finding.Faults {
	faults := w.Product.check()
	if w.Path != "" && faults != nil {
		faults[0].Path = w.Path
	}
	return faults
}

// Dose is how much of a product a litre of water takes, and what that makes.
type Dose struct {
	Want       Want
	Amount     unit.MolarConcentration // of pure reagent
	Mass       unit.MassConcentration  // of product as sold, per litre of water
	Volume     unit.Fraction           // of product per water, litre a litre; 0 for crystals
	PH         float64
	Alkalinity unit.Equivalents // left; with citric acid the carbonate part only
	EC         unit.Conductivity
	Solution   chem.Solution           // with the dose, as asked for
	Aired      chem.Solution           // the same once its CO2 has left
	Again      unit.MolarConcentration // of reagent to bring Aired to the pH once more
	S, N, P    unit.MassConcentration  // added
	K          unit.MassConcentration  // added by a base
	Away       bool                    // the product moves the pH the other way: nothing was added
}

// Scaled gives the same product in another amount: for a mix, in which the feed
// does a part of the work. Only what is weighed, measured and added changes.
func (d *Dose) Scaled(amount unit.MolarConcentration) Dose {
	out := *d
	out.Amount, out.Volume = amount, 0
	out.measure()
	return out
}

// MillilitresPerLitre gives the dose of a solution; 0 for crystals.
func (d *Dose) MillilitresPerLitre() float64 { return float64(d.Volume) * 1e3 }

// DoseFor finds the dose for a water of the given composition. Where the pH is
// beyond the goal already nothing is added and Away is set; an error says that
// there is no such product or that no amount reaches the pH.
func DoseFor(k *chem.Equilibria, from chem.Composition, w Want) (Dose, error) {
	if faults := w.check(); faults != nil {
		return Dose{}, faults
	}
	d := Dose{Want: w}
	job := chem.Dosing{Into: from, Reagent: w.Product.Adds(), PH: w.PH}
	if w.Open {
		job.CO2 = chem.AirCO2
	}
	if w.Dose > 0 {
		return w.given(k, job)
	}
	amount, s, err := k.Dose(job)
	var no *chem.DoseError
	if errors.As(err, &no) && no.Away {
		d.Away = true
		if w.Open {
			s, err = k.Open(from, chem.AirCO2)
		} else {
			s, err = k.Closed(from)
		}
	}
	if err != nil {
		return Dose{}, err
	}
	d.reaches(amount, s)
	return d, d.air(k, job)
}

// given is a dose that was given: what it does is worked out.
func (w Want) given(k *chem.Equilibria, job chem.Dosing) (Dose, error) {
	d, into := Dose{Want: w}, job.Into.Add(job.Reagent.Times(float64(w.Dose)))
	s, err := k.Closed(into)
	if w.Open {
		s, err = k.Open(into, job.CO2)
	}
	if err != nil {
		return Dose{}, err
	}
	d.reaches(w.Dose, s)
	return d, d.air(k, job)
}

// reaches writes down what an amount does.
func (d *Dose) reaches(amount unit.MolarConcentration, s chem.Solution) {
	d.Amount, d.Solution, d.PH, d.EC = amount, s, s.PH, s.Conductivity
	d.Alkalinity = s.Alkalinity()
	if d.Want.Product.Reagent == Citric {
		d.Alkalinity = s.CarbonateAlkalinity()
	}
	d.measure()
}

// measure turns moles into what is weighed or measured, and into elements.
func (d *Dose) measure() {
	p := d.Want.Product
	pure := float64(d.Amount) * p.Reagent.MolarMass() * 1e-3 // g/L
	d.Mass = unit.MassConcentration(pure/float64(p.strength())) * unit.GramPerLitre
	if !p.Solid() {
		d.Volume = unit.Fraction(float64(d.Mass) / float64(p.Density()))
	}
	added := p.Adds().Times(float64(d.Amount))
	weight := func(c unit.MolarConcentration, e chem.Element) unit.MassConcentration {
		return unit.MassConcentration(float64(c)*e.Weight()) * unit.MilligramPerLitre
	}
	d.S, d.N = weight(added.SO4, chem.Sulfur), weight(added.NO3, chem.Nitrogen)
	d.P, d.K = weight(added.P, chem.Phosphorus), weight(added.K, chem.Potassium)
}

// air works out what is left when the CO2 has gone, and the second dose.
func (d *Dose) air(k *chem.Equilibria, job chem.Dosing) error {
	totals := d.Solution.Totals
	var err error
	if d.Aired, err = k.Open(totals, chem.AirCO2); err != nil {
		return err
	}
	if d.Away {
		return nil
	}
	job.Into, job.CO2 = totals, chem.AirCO2
	again, err := k.Amount(job)
	var no *chem.DoseError
	if err != nil && !errors.As(err, &no) {
		return err
	}
	d.Again = max(again, 0)
	return nil
}

// Diluted gives the parts of water to one part of product by volume that make a
// weaker solution (for careful hands: the product goes into the water). The
// volumes are taken to add up, right within 3 %.
func (p Product) Diluted(to unit.Fraction) (water float64, faults finding.Faults) {
	if faults := p.check(); faults != nil {
		return 0, faults
	}
	if p.Solid() || !(to > 0 && to < p.strength()) {
		return 0, p.wrong(FaultWeaker, finding.Args{"Strength": p.strength()})
	}
	weak := p
	weak.Strength = to
	return math.Max(0, float64(p.Molarity()/weak.Molarity())-1), nil
}
