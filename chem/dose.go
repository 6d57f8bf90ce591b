package chem

import (
	"math"

	"raftwright/unit"
)

// Dosing asks how much of a reagent brings a solution to a pH.
type Dosing struct {
	Into    Composition   // with its carbon and inert charge
	Reagent Composition   // what one mmol/L of the reagent adds: sulfuric acid {SO4: 1}, potassium hydroxide {K: 1}
	PH      float64       // to be reached
	CO2     unit.Pressure // of the air it stays in balance with; 0: closed, nothing escapes

	Most unit.MolarConcentration // the largest amount that is tried; 0: mostDose
}

// doseKey is where the pH of a dose stands in a brief.
const doseKey = "acid.target ph"

// mostDose is the largest dose searched, mmol/L.
const mostDose = 500.

// Dose gives the amount of reagent that brings the solution to the pH, and the
// solution that it makes. The amount is exact within 1e-9 mmol/L; 0 where the
// pH is already there. The error is a *DoseError, or
// faults.
func (k *Equilibria) Dose(d Dosing) (unit.MolarConcentration, Solution, error) {
	amount, err := k.Amount(d)
	if err != nil {
		return 0, Solution{}, err
	}
	s, err := k.dosed(&d, float64(amount))
	return amount, s, err
}

// Amount is Dose where only the amount is wanted, without the solution that it makes.
func (k *Equilibria) Amount(d Dosing) (unit.MolarConcentration, error) {
	if d.CO2 == 0 {
		if err := (&question{totals: d.Into, fixed: true, pH: d.PH, key: doseKey}).check(); err != nil {
			return 0, err
		}
	}
	most := mostDose
	if d.Most > 0 {
		most = float64(d.Most)
	}
	amount, err := k.amount(&d, most)
	return unit.MolarConcentration(amount), err
}

func (k *Equilibria) amount(d *Dosing, most float64) (float64, error) {
	start, err := k.excess(d, 0)
	if err != nil || math.Abs(start) <= 1e-10 {
		return 0, err
	}
	return k.search(d, start, most)
}

// dosed gives the solution that an amount makes.
func (k *Equilibria) dosed(d *Dosing, amount float64) (Solution, error) {
	q := d.question(amount)
	q.plain = false
	s, err := k.speciate(q)
	s.Totals.Inert = q.totals.Inert // the charge balance holds within the search's tolerance
	return s, err
}

func (d *Dosing) question(amount float64) question {
	return question{totals: d.Into.Add(d.Reagent.Times(amount)), fixed: true, pH: d.PH, key: doseKey, open: d.CO2 != 0, co2: d.CO2, plain: true}
}

// excess gives the charge that lacks at the target with an amount of reagent:
// negative while acid lacks where acid is added.
func (k *Equilibria) excess(d *Dosing, amount float64) (float64, error) {
	q := d.question(amount)
	s, err := k.speciate(q)
	if err != nil {
		return 0, err
	}
	return float64(s.Totals.Inert - q.totals.Inert), nil
}

// search follows the secant of the last two amounts, which the charge runs along
// almost straight, and halves the bracket where that leaves it or gains too
// little. It ends where the charge is lost in rounding.
func (k *Equilibria) search(d *Dosing, start, high float64) (float64, error) {
	low, bracketed := 0.0, false
	last, atLast := 0.0, start
	x := min(max(math.Abs(start)/2, 1e-6), high)
	for range 100 {
		y, err := k.excess(d, x)
		switch {
		case err != nil:
			return 0, err
		case math.Abs(y) < 1e-11*max(1, math.Abs(start)):
			return x, nil
		case y*start < 0:
			high, bracketed = x, true
		case !bracketed && (x >= high || math.Abs(y) >= math.Abs(atLast)):
			return 0, k.hopeless(d, last == 0 && math.Abs(y) >= math.Abs(atLast))
		default:
			low = x
		}
		next := x - y*(x-last)/(y-atLast)
		switch {
		case !bracketed:
			next = min(next+(next-x)/10, high)
		case !(low < next && next < high) || math.Abs(y) > math.Abs(atLast)/2:
			next = (low + high) / 2
		}
		if next == x {
			return x, nil
		}
		last, atLast, x = x, y, next
	}
	return x, nil
}

func (k *Equilibria) hopeless(d *Dosing, away bool) error {
	q := question{totals: d.Into, open: d.CO2 != 0, co2: d.CO2, plain: true}
	s, err := k.speciate(q)
	if err != nil {
		return err
	}
	return &DoseError{PH: d.PH, Now: s.PH, Away: away}
}
