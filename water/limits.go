package water

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

//go:embed limits.csv
var limitsTable string

// Verdict grades a figure against the limits of a closed bed.
type Verdict int

// Verdicts.
const (
	Good Verdict = iota
	Watch
	Severe
)

// String gives the word used in the JSON.
func (v Verdict) String() string {
	return [...]string{"good", "caution", "severe"}[min(max(v, Good), Severe)]
}

// Limit is one line of the limits: EC where Conductivity is set, else Analyte.
type Limit struct {
	Analyte        Analyte
	IsConductivity bool
	Good, Severe   float64 // in mg/L of the analyte's first form, or mS/cm
	Source         source.ID
	Other          float64 // a limit published for another kind of growing, 0: none
	OtherFor       string
}

// Limits are the limits of source water by analyte.
type Limits []Limit

// PublishedLimits reads the table that comes with the program. Where sources
// differ the stricter one for closed systems was taken; the table names another.
func PublishedLimits() (Limits, error) { return ParseLimits(limitsTable) }

// ParseLimits reads a table of limits: lines that start with # are comments, the
// columns are analyte, unit, good, severe, source, other, other_for.
func ParseLimits(table string) (Limits, error) {
	r := csv.NewReader(strings.NewReader(table))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("limits: %w", err)
	}
	var out Limits
	for i, row := range rows {
		if i == 0 {
			continue
		}
		l, err := parseLimit(row)
		if err != nil {
			return nil, fmt.Errorf("limits, line %d: %w", i+1, err)
		}
		out = append(out, l)
	}
	return out, nil
}

func parseLimit(row []string) (Limit, error) {
	if len(row) != 7 {
		return Limit{}, fmt.Errorf("%d columns, 7 wanted", len(row))
	}
	l := Limit{Source: source.ID(row[4]), OtherFor: row[6], IsConductivity: row[0] == "ec"}
	if !l.IsConductivity {
		for l.Analyte < AnalyteCount && lines[l.Analyte].key != row[0] {
			l.Analyte++
		}
		if l.Analyte == AnalyteCount {
			return l, fmt.Errorf("analyte %q is not known", row[0])
		}
	}
	for _, cell := range []struct {
		column int
		to     *float64
	}{{2, &l.Good}, {3, &l.Severe}, {5, &l.Other}} {
		if row[cell.column] == "" && cell.column == 5 {
			continue
		}
		x, err := strconv.ParseFloat(row[cell.column], 64)
		if err != nil || !(x >= 0) {
			return l, fmt.Errorf("%q is not a limit", row[cell.column])
		}
		*cell.to = x
	}
	if l.Good > l.Severe {
		return l, fmt.Errorf("good %v above severe %v", l.Good, l.Severe)
	}
	return l, nil
}

// Judgement is an analyte beside its limits.
type Judgement struct {
	Limit   Limit
	Value   float64 // as the limit counts
	Verdict Verdict
	Share   unit.Fraction // of rain in a blend that brings it to good; 0 where it is
}

// judge grades every figure that is known. Rain is taken to hold none of it.
func (l Limits) judge(known func(Limit) (float64, bool)) []Judgement {
	var out []Judgement
	for _, limit := range l {
		x, ok := known(limit)
		if !ok {
			continue
		}
		j := Judgement{Limit: limit, Value: x}
		switch {
		case x > limit.Severe:
			j.Verdict = Severe
		case x > limit.Good:
			j.Verdict = Watch
		}
		if j.Verdict != Good {
			j.Share = unit.Fraction(1 - limit.Good/x)
		}
		out = append(out, j)
	}
	return out
}

// figure gives the judged value as a typed quantity for printing.
func (j *Judgement) figure() any {
	if j.Limit.IsConductivity {
		return unit.Conductivity(j.Value) * unit.MillisiemensPerCentimetre
	}
	return unit.MassConcentration(j.Value) * unit.MilligramPerLitre
}

// word names the analyte in print.
func (j *Judgement) word() finding.Word {
	if j.Limit.IsConductivity {
		return finding.Word("word.analyte.ec")
	}
	return j.Limit.Analyte.Word()
}

func (j *Judgement) good() any {
	k := Judgement{Limit: j.Limit, Value: j.Limit.Good}
	return k.figure()
}
