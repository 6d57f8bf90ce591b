package water

import (
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

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

// Judgement is an analyte beside its limits.
type Judgement struct {
	Limit   Limit
	Value   float64 // as the limit counts
	Verdict Verdict
	From    Standing      // of Value
	Share   unit.Fraction // of rain in a blend that brings it to good; 0 where it is
}

// judge grades every figure that is known. Rain is taken to hold none of it.
func (l Limits) judge(known func(Limit) (float64, bool)) []Judgement {
	var out []Judgement
	for _, limit := range l.list {
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
