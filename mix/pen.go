package mix

import (
	"math"

	"raftwright/unit"
)

// Pen is the scale on which a meter shows conductivity.
type Pen int

// Scales of meters. The zero value is unknown: it is asked for or inferred,
// never guessed.
const (
	UnknownPen Pen = iota
	MilliSiemens
	MicroSiemens
	ConductivityFactor // ten times mS/cm
	TDS500             // ppm, half of uS/cm (as sodium chloride)
	TDS640             // ppm, 0.64 of uS/cm
	TDS700             // ppm, 0.70 of uS/cm (442: 40 % sulfate, 40 % bicarbonate, 20 % chloride)
)

type penEntry struct {
	name string
	per  float64 // shown for 1 mS/cm
}

var pens = [...]penEntry{
	UnknownPen: {"unknown", 0}, MilliSiemens: {"mS/cm", 1}, MicroSiemens: {"uS/cm", 1000}, ConductivityFactor: {"CF", 10},
	TDS500: {"ppm (500)", 500}, TDS640: {"ppm (640)", 640}, TDS700: {"ppm (700)", 700},
}

// String gives the scale as meters print it.
func (p Pen) String() string {
	if p < 0 || int(p) >= len(pens) {
		return pens[UnknownPen].name
	}
	return pens[p].name
}

// Shows gives what a meter of this scale shows, 0 for an unknown scale.
func (p Pen) Shows(k unit.Conductivity) float64 {
	if p <= UnknownPen || int(p) >= len(pens) {
		return 0
	}
	return k.MillisiemensPerCentimetre() * pens[p].per
}

// PenGuess is a scale that a reading in a known solution fits.
type PenGuess struct {
	Pen Pen
	Off unit.Fraction // how far the meter then is from the truth
}

// InferPen finds the scales that explain what a meter shows in a solution of
// known conductivity (a bought standard, or a mix whose EC is computed), nearest
// first. All scales within the tolerance come back: 640 and 700 are only 9 %
// apart, and then the meter has to be read more closely. None means that the
// meter is off or the solution is not what it is said to be.
func InferPen(known unit.Conductivity, shown float64, tolerance unit.Fraction) []PenGuess {
	if tolerance <= 0 {
		tolerance = 0.1
	}
	var out []PenGuess
	for p := MilliSiemens; p <= TDS700; p++ {
		off := unit.Fraction(shown/p.Shows(known) - 1)
		if !(math.Abs(float64(off)) <= float64(tolerance)) {
			continue
		}
		at := len(out)
		for at > 0 && math.Abs(float64(out[at-1].Off)) > math.Abs(float64(off)) {
			at--
		}
		out = append(out[:at], append([]PenGuess{{p, off}}, out[at:]...)...)
	}
	return out
}
