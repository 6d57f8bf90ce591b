package chem

import (
	"math"
	"unicode/utf8"

	"raftwright/finding"
	"raftwright/unit"
)

// Faults with which nothing can be computed.
const (
	FaultBalance finding.ID = "chem.fault.balance" // Newton's steps do not settle: no analysis tried in the tests does so
	FaultTotal   finding.ID = "chem.fault.total"   // more than dissolves, less than nothing, or no number
	FaultFormula finding.ID = "chem.fault.formula" // makes no sense; what is right depends on why
)

// What is right in place of a formula that makes no sense.
const (
	rightLong     finding.ID = "right.chem.fault.formula_long"
	rightEmpty    finding.ID = "right.chem.fault.formula_empty"
	rightTimes    finding.ID = "right.chem.fault.formula_times"
	rightDeep     finding.ID = "right.chem.fault.formula_deep"
	rightOpen     finding.ID = "right.chem.fault.formula_open"
	rightClosing  finding.ID = "right.chem.fault.formula_closing"
	rightTwo      finding.ID = "right.chem.fault.formula_two"
	rightSmall    finding.ID = "right.chem.fault.formula_small"
	rightElement  finding.ID = "right.chem.fault.formula_element"
	rightNothing  finding.ID = "right.chem.fault.formula_nothing"
	rightMany     finding.ID = "right.chem.fault.formula_many"
	rightEnd      finding.ID = "right.chem.fault.formula_end"
	rightCharge   finding.ID = "right.chem.fault.formula_charge"
	rightCapital  finding.ID = "right.chem.fault.formula_capital"
	rightDot      finding.ID = "right.chem.fault.formula_dot"
	rightReadable finding.ID = "right.chem.fault.formula_readable"
	rightStray    finding.ID = "right.chem.fault.formula_stray"
)

// fail gives the fault of a formula at the place to which it is read. Its figures
// are the formula, the character (from 1), and what the right sentence needs.
func (p *formulaParser) fail(right finding.ID, args finding.Args) error {
	if args == nil {
		args = finding.Args{}
	}
	read := p.text[:len(p.text)-len(p.rest)]
	args["Formula"], args["Column"] = clip(p.text), utf8.RuneCountInString(read)+1
	return finding.Faults{{ID: FaultFormula, Args: args, Right: right}}
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}

// AlkalinityError says that a pH and an alkalinity exclude each other.
type AlkalinityError struct {
	PH         float64
	Alkalinity unit.Equivalents
	Without    unit.Equivalents // alkalinity that the rest has at this pH, with no carbon at all
	CO2        unit.Pressure    // that they would take, where that is beyond reason; else 0
}

// Error gives a code; the rooms that ask say it in their own words.
func (e *AlkalinityError) Error() string { return "chem.no_carbon" }

// DoseError says why no amount of a reagent reaches the pH.
type DoseError struct {
	PH, Now float64
	Away    bool // the reagent moves the pH the other way (or not at all)
}

// Error gives a code; the rooms that ask say it in their own words.
func (e *DoseError) Error() string { return "chem.no_dose" }

// Bounds of what is computed: beyond 2 mol/L no activity model here holds.
const (
	mostTotal = 2000. // mmol/L
	leastPH   = 0.
	mostPH    = 14.
	traceless = 1e-12 // mmol/L; less is none
)

func (q *question) check() error {
	within := math.Abs(float64(q.totals.Inert)) <= 2*mostTotal
	for _, x := range q.totals.totals() {
		within = within && x >= 0 && x <= mostTotal // which no NaN is
	}
	if q.open {
		within = within && q.co2 > 0 && q.co2 <= 2*unit.Atmosphere
	}
	switch {
	case !within:
		return finding.Faults{{ID: FaultTotal, Args: finding.Args{"Most": unit.MolarConcentration(mostTotal)}}}
	case q.fixed:
		return finding.Within(q.key, q.pH, leastPH, mostPH, 6).Or()
	}
	return nil
}

func (c *Composition) totals() [15]float64 {
	return [15]float64{float64(c.Ca), float64(c.Mg), float64(c.Na), float64(c.K), float64(c.NH4), float64(c.Fe), float64(c.NO3), float64(c.Cl),
		float64(c.SO4), float64(c.P), float64(c.B), float64(c.Si), float64(c.F), float64(c.TIC), float64(c.Citrate)}
}
