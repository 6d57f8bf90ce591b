package water

import (
	_ "embed"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/unit"
)

//go:embed limits.csv
var limitsText string

//go:embed typical.csv
var watersText string

//go:embed reagents.csv
var reagentsText string

//go:embed densities.csv
var densitiesText string

// Handbook is what a water is held against: limits, typical waters, and acids and
// bases as sold.
type Handbook struct {
	Limits   Limits
	Waters   Waters
	Reagents Reagents
}

// Tables are the embedded tables.
func Tables() table.Texts {
	return table.Texts{{File: "limits.csv", Text: limitsText, Key: []string{"analyte"}}, {File: "typical.csv", Text: watersText, Key: []string{"kind", "figure"}},
		{File: "reagents.csv", Text: reagentsText, Key: []string{"product"}}, {File: "densities.csv", Text: densitiesText, Key: []string{"product"}}}
}

// ReadHandbook reads tables with the columns of the embedded ones.
func ReadHandbook(t table.Texts) (h Handbook, faults finding.Faults) {
	var waters, reagents finding.Faults
	h.Limits, faults = ReadLimits("limits.csv", t.Of("limits.csv").Text)
	h.Waters, waters = ReadWaters("typical.csv", t.Of("typical.csv").Text)
	h.Reagents, reagents = ReadReagents("reagents.csv", t.Of("reagents.csv").Text, "densities.csv", t.Of("densities.csv").Text)
	return h, append(append(faults, waters...), reagents...)
}

// DefaultHandbook gives the embedded tables.
func DefaultHandbook() Handbook { return table.Must(ReadHandbook(Tables())) }

// Product gives a reagent as sold.
func (h Handbook) Product(r Reagent, strength unit.Fraction) Product {
	p := Product{Reagent: r, Strength: strength}
	if r >= 0 && int(r) < len(h.Reagents.sold) {
		p.sold = &h.Reagents.sold[r]
	}
	return p
}

// figures names what the tables may speak of: the analytes, EC and pH.
func figures() []string {
	var out []string
	for _, l := range lines {
		out = append(out, l.key)
	}
	return append(out, "ec", "ph")
}

// Limits are the limits of source water by analyte, in the order of their table.
type Limits struct{ list []Limit }

// FaultGood is a limit of good water above that of water that is not to be used.
const FaultGood finding.ID = "water.fault.good"

// ReadLimits reads a table with the columns of limits.csv. Where sources differ ours
// takes the stricter one for closed systems; the table names another.
func ReadLimits(file, text string) (l Limits, _ finding.Faults) {
	known := figures()[:AnalyteCount+1]
	faults := table.Read(file, text, func(r *table.Row) {
		a := Analyte(r.Word("analyte", known...))
		limit := Limit{Analyte: a, Good: r.Number("good", 0, 1e5), Severe: r.Number("severe", 0, 1e5), Source: r.Source("source"),
			Other: r.Maybe("other", 0, 1e5), OtherFor: r.Text("other_for")}
		if a == AnalyteCount {
			limit.Analyte, limit.IsConductivity = 0, true
		}
		if limit.Good > limit.Severe {
			r.Wrong(FaultGood, "good", finding.Args{"Good": limit.Good, "Severe": limit.Severe})
		}
		l.list = append(l.list, limit)
	})
	return l, faults
}

// Waters are the typical waters.
type Waters struct{ of [kindCount]typical }

type typical struct {
	pH       float64
	readings []reading
	bands    []Range
}

type reading struct {
	analyte Analyte
	value   float64 // mg/L of the first form
}

// ReadWaters reads a table with the columns of typical.csv.
func ReadWaters(file, text string) (w Waters, _ finding.Faults) {
	known := figures()
	faults := table.Read(file, text, func(r *table.Row) {
		of := &w.of[r.Word("kind", "hard", "soft", "rain")]
		a := Analyte(r.Word("figure", known...))
		usual := r.Maybe("usual", 0, 5000)
		band := Range{Analyte: a, Low: r.Maybe("low", 0, 5000), High: r.Maybe("high", 0, 5000)}
		switch {
		case a == AnalyteCount+1:
			of.pH = usual
		case a == AnalyteCount:
			band.Analyte, band.IsConductivity = 0, true
		default:
			of.readings = append(of.readings, reading{a, usual})
		}
		if band.High > 0 {
			of.bands = append(of.bands, band)
		}
	})
	return w, faults
}

// Reagents are acids and bases as sold.
type Reagents struct{ sold []sold } // by reagent

// sold is how a reagent is sold.
type sold struct {
	solid     unit.Fraction // as a solid from this strength up; 0: never
	solution  unit.Fraction // the strongest solution
	strong    unit.Fraction // above this strength only for trained hands
	densities []densityPoint
}

type densityPoint struct {
	strength unit.Fraction
	density  float64 // g/mL
}

// ReadReagents reads two tables, with the columns of reagents.csv and of
// densities.csv, whose strengths rise.
func ReadReagents(file, text, densityFile, densityText string) (Reagents, finding.Faults) {
	t := Reagents{make([]sold, ReagentCount)}
	var known []string
	for _, l := range reagents {
		known = append(known, l.key)
	}
	faults := table.Read(file, text, func(r *table.Row) {
		s := &t.sold[r.Word("product", known...)]
		share := func(column string) unit.Fraction { return unit.Fraction(r.Maybe(column, 0, 100)) / 100 }
		s.solid, s.solution, s.strong = share("solid"), share("solution"), share("strong")
	})
	return t, append(faults, table.Read(densityFile, densityText, func(r *table.Row) {
		s := &t.sold[r.Word("product", known...)]
		s.densities = append(s.densities, densityPoint{unit.Fraction(r.Number("percent", 0, 100)) / 100, r.Number("density", 0.5, 3)})
	})...)
}
