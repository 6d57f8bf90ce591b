package chem

import (
	"fmt"
	"math"

	"raftwright/unit"
)

// Dosing asks how much of a reagent brings a solution to a pH.
type Dosing struct {
	Into    Composition   // with its carbon and inert charge
	Reagent Composition   // what one mmol/L of the reagent adds: sulfuric acid {SO4: 1}, potassium hydroxide {K: 1}
	PH      float64       // to be reached
	CO2     unit.Pressure // of the air it stays in balance with; 0: closed, nothing escapes
}

// DoseError says why no amount of a reagent reaches the pH.
type DoseError struct {
	PH, Now float64
	Away    bool // the reagent moves the pH the other way (or not at all)
}

// Error says so in words.
func (e *DoseError) Error() string {
	if e.Away {
		return fmt.Sprintf("this reagent does not move the pH from %.2f towards %.2f", e.Now, e.PH)
	}
	return fmt.Sprintf("no sensible amount of this reagent brings the pH from %.2f to %.2f", e.Now, e.PH)
}

// mostDose is the largest dose searched, mmol/L.
const mostDose = 500.

// Dose gives the amount of reagent that brings the solution to the pH, and the
// solution that it makes. The amount is exact within 1e-9 mmol/L; 0 where the
// pH is already there. The error is a *DoseError or a *RangeError.
func (k *Equilibria) Dose(d Dosing) (unit.MolarConcentration, Solution, error) {
	if d.CO2 == 0 {
		if err := (&question{totals: d.Into, fixed: true, pH: d.PH}).check(); err != nil {
			return 0, Solution{}, err
		}
	}
	start, err := k.excess(&d, 0)
	if err != nil {
		return 0, Solution{}, err
	}
	amount := 0.0
	if math.Abs(start) > 1e-10 {
		if amount, err = k.search(&d, start); err != nil {
			return 0, Solution{}, err
		}
	}
	q := d.question(amount)
	q.plain = false
	s, err := k.speciate(q)
	s.Totals.Inert = q.totals.Inert // the charge balance holds within the search's tolerance
	return unit.MolarConcentration(amount), s, err
}

func (d *Dosing) question(amount float64) question {
	return question{totals: d.Into.Add(d.Reagent.Times(amount)), fixed: true, pH: d.PH, open: d.CO2 != 0, co2: d.CO2, plain: true}
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

// search brackets the amount by doubling and closes in by false position with
// the Illinois halving, which needs no derivative and cannot leave the bracket.
func (k *Equilibria) search(d *Dosing, start float64) (float64, error) {
	low, atLow := 0.0, start
	high := min(max(math.Abs(start)/2, 1e-6), mostDose)
	atHigh, err := k.excess(d, high)
	for {
		if err != nil {
			return 0, err
		}
		if atHigh*start <= 0 {
			break
		}
		if math.Abs(atHigh) >= math.Abs(atLow) || high >= mostDose {
			return 0, k.hopeless(d, math.Abs(atHigh) >= math.Abs(atLow) && low == 0)
		}
		low, atLow = high, atHigh
		high = min(2*high, mostDose)
		atHigh, err = k.excess(d, high)
	}
	for range 60 {
		x := high - atHigh*(high-low)/(atHigh-atLow)
		y, err := k.excess(d, x)
		if err != nil {
			return 0, err
		}
		if math.Abs(y) < 1e-10 || high-low < 1e-10 {
			return x, nil
		}
		if y*atHigh < 0 {
			low, atLow = high, atHigh
		} else {
			atLow /= 2
		}
		high, atHigh = x, y
	}
	return high, nil
}

func (k *Equilibria) hopeless(d *Dosing, away bool) error {
	q := question{totals: d.Into, open: d.CO2 != 0, co2: d.CO2, plain: true}
	s, err := k.speciate(q)
	if err != nil {
		return err
	}
	return &DoseError{PH: d.PH, Now: s.PH, Away: away}
}
