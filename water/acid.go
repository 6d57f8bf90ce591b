package water

import (
	_ "embed"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

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

type reagentLine struct {
	key      string // in a brief, and in densities.csv
	word     finding.Word
	molar    float64 // g/mol
	adds     chem.Composition
	solid    unit.Fraction // sold as a solid from this strength up; 0: never
	solution unit.Fraction // the strongest solution sold
	strong   unit.Fraction // above this strength only for trained hands
}

// reagents: none that is strong is for a home with small children or a school
// (structure notes section 7 and the practice of extension leaflets: sulfuric
// above a tenth, nitric at any strength sold; phosphoric above 30 % burns skin).
var reagents = [ReagentCount]reagentLine{
	Sulfuric:             {"sulfuric", finding.Word("word.reagent.sulfuric"), mass("H2SO4"), chem.Composition{SO4: 1}, 0, 0.98, 0.10},
	Nitric:               {"nitric", finding.Word("word.reagent.nitric"), mass("HNO3"), chem.Composition{NO3: 1}, 0, 0.70, 0.05},
	Phosphoric:           {"phosphoric", finding.Word("word.reagent.phosphoric"), mass("H3PO4"), chem.Composition{P: 1}, 0, 0.85, 0.30},
	Citric:               {"citric", finding.Word("word.reagent.citric"), mass("C6H8O7"), chem.Composition{Citrate: 1}, 0.90, 0.60, 1},
	PotassiumBicarbonate: {"potassium bicarbonate", finding.Word("word.reagent.potassium_bicarbonate"), mass("KHCO3"), chem.Composition{K: 1, TIC: 1}, 0.90, 0, 1},
	PotassiumHydroxide:   {"potassium hydroxide", finding.Word("word.reagent.potassium_hydroxide"), mass("KOH"), chem.Composition{K: 1}, 0.85, 0.45, 0.02},
}

// String gives the reagent's key in a brief.
func (r Reagent) String() string {
	if r < 0 || r >= ReagentCount {
		return "unknown reagent"
	}
	return reagents[r].key
}

// Product is a reagent as sold: its strength by mass, 1 for pure crystals. A
// strength of 0 was not said, which only what is sold solid allows.
type Product struct {
	Reagent  Reagent
	Strength unit.Fraction
}

// ProductError says why there is no such product.
type ProductError struct {
	Product Product
	What    string
}

// Error says so, and what would be right.
func (e *ProductError) Error() string {
	return fmt.Sprintf("%s acid or base of %.3g %%: %s", e.Product.Reagent, e.Product.Strength.Percents(), e.What)
}

func (p Product) check() error {
	if p.Reagent < 0 || p.Reagent >= ReagentCount {
		return &ProductError{p, "no such reagent; write for example sulfuric 93 %"}
	}
	l := &reagents[p.Reagent]
	switch s := p.strength(); {
	case s <= 0 && l.solid == 0:
		return &ProductError{p, "the strength on the label is needed, for example sulfuric 93 %"}
	case !(s > 0 && s <= 1):
		return &ProductError{p, "a strength is a share of the mass, more than 0 and at most 100 %"}
	case s > l.solution && (l.solid == 0 || s < l.solid):
		return &ProductError{p, fmt.Sprintf("no such strength is sold; the strongest solution is %.3g %%", l.solution.Percents())}
	}
	return nil
}

// strength fills in pure crystals where no strength was said.
func (p Product) strength() unit.Fraction {
	if p.Strength == 0 && reagents[p.Reagent].solid > 0 {
		return 1
	}
	return p.Strength
}

// Solid says whether the product is weighed as crystals.
func (p Product) Solid() bool {
	solid := reagents[p.Reagent].solid
	return solid > 0 && p.strength() >= solid
}

// Strong says whether the product is only for trained hands: it burns skin and
// eyes, and is not for homes with small children nor for schools.
func (p Product) Strong() bool { return p.strength() > reagents[p.Reagent].strong }

// Word gives the reagent's name to be printed.
func (p Product) Word() finding.Word { return reagents[p.Reagent].word }

// MolarMass gives the molar mass of the pure reagent, g/mol.
func (p Product) MolarMass() float64 { return reagents[p.Reagent].molar }

// Adds gives what a mmol/L of the reagent puts into a solution.
func (p Product) Adds() chem.Composition { return reagents[p.Reagent].adds }

// Density gives the density of a solution of the product, between the lines of
// a handbook table; 0 for crystals.
func (p Product) Density() unit.Density {
	if p.Solid() {
		return 0
	}
	percent := p.strength().Percents()
	below, above := densityPoint{0, 0.9982}, densityPoint{}
	for _, d := range densityOf[p.Reagent] {
		if d.percent <= percent {
			below = d
		} else {
			above = d
			break
		}
	}
	if above.percent == 0 {
		return unit.Density(below.density) * unit.GramPerMillilitre
	}
	x := (percent - below.percent) / (above.percent - below.percent)
	return unit.Density(below.density+x*(above.density-below.density)) * unit.GramPerMillilitre
}

// Molarity gives the moles in a litre of a solution; 0 for crystals.
func (p Product) Molarity() unit.MolarConcentration {
	return unit.MolarConcentration(float64(p.Density())*float64(p.strength())/p.MolarMass()) * unit.MolePerLitre
}

//go:embed densities.csv
var densityTable string

type densityPoint struct{ percent, density float64 }

// densityOf is the table by reagent, rising strength. A broken table gives no
// points, which its test fails on.
var densityOf = parseDensities(densityTable)

func parseDensities(table string) (out [ReagentCount][]densityPoint) {
	for row := range strings.Lines(table) {
		cells := strings.Split(strings.TrimSpace(row), ",")
		for r := range reagents {
			if len(cells) != 4 || reagents[r].key != cells[0] {
				continue
			}
			percent, err1 := strconv.ParseFloat(cells[1], 64)
			density, err2 := strconv.ParseFloat(cells[2], 64)
			if err1 == nil && err2 == nil {
				out[r] = append(out[r], densityPoint{percent, density})
			}
		}
	}
	return out
}

// Want is what an acid (or a base) is asked to do.
type Want struct {
	Product Product
	PH      float64
	Open    bool // reach it in balance with the air, the CO2 gone; else at once, nothing escaped
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
	if err := w.Product.check(); err != nil {
		return Dose{}, err
	}
	d := Dose{Want: w}
	job := chem.Dosing{Into: from, Reagent: w.Product.Adds(), PH: w.PH}
	if w.Open {
		job.CO2 = chem.AirCO2
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
	d.Amount, d.Solution, d.PH, d.EC = amount, s, s.PH, s.Conductivity
	d.Alkalinity = s.Alkalinity()
	if w.Product.Reagent == Citric {
		d.Alkalinity = s.CarbonateAlkalinity()
	}
	d.measure()
	return d, d.air(k, job)
}

// measure turns moles into what is weighed or measured, and into elements.
func (d *Dose) measure() {
	p := d.Want.Product
	pure := float64(d.Amount) * p.MolarMass() * 1e-3 // g/L
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
	again, _, err := k.Dose(job)
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
func (p Product) Diluted(to unit.Fraction) (water float64, err error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	if p.Solid() || !(to > 0 && to < p.strength()) {
		return 0, &ProductError{p, "can only be diluted to a weaker solution"}
	}
	weak := Product{p.Reagent, to}
	return math.Max(0, float64(p.Molarity()/weak.Molarity())-1), nil
}
