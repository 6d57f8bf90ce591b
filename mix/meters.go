package mix

import (
	"math"

	"raftwright/chem"
	"raftwright/unit"
)

// Meters says what EC and pH meters will show, with bands that hold nine times
// in ten for a cheap meter that was checked against a standard.
type Meters struct {
	Fresh MeterReading // ten minutes after mixing: nothing has left or come in
	Day   MeterReading // after a day in open air: carbon dioxide has found its balance
	// Well is the range of EC, mS/cm, in which all is well, fresh or after a day:
	// what the fertilisers add may be a fifth less or a quarter more. Of a mix that does
	// not feed the crop it is the crop's own. WellPH is the range of pH.
	Well, WellPH Band
}

// MeterReading is one reading to expect.
type MeterReading struct {
	EC     unit.Conductivity
	ECBand Band // mS/cm
	PH     float64
	PHBand Band
}

// Doubts, as the half width that holds nine times in ten. The model's are the
// tolerances that its checks are held to; the meters' are common practice for
// pocket pens (2 % of the reading and as much again for temperature and age).
const (
	modelEC = 0.03
	penEC   = 0.04
	modelPH = 0.1
	penPH   = 0.2
)

// LeastWellPH and MostWellPH bound the pH in which all is well: outside these
// something has to be done (own choice around the 5.8 that gave most, well short of the 7.0
// that cost a quarter of the head: anderson2017; 5.8 to 6.4 cost nothing: samarakoon2020).
const (
	LeastWellPH = 5.5
	MostWellPH  = 6.5
)

// driftsBeyond is how far past the range a day in the air takes the pH before acid
// or base is told for the next day too (our choice: twice what a pen is off).
const driftsBeyond = 0.5

// Drift tells whether a day in the air takes the pH out of the range: 1 above it, -1
// below, 0 not by much.
func (m Meters) Drift() int {
	switch {
	case m.Day.PH > m.WellPH.High+driftsBeyond: // alkalinity is left in, and lifts the pH as the gas leaves
		return 1
	case m.Day.PH < m.WellPH.Low-driftsBeyond:
		return -1
	}
	return 0
}

// meters works out the readings and how the doubt of each dose adds to them.
func (s *solver) meters(m *Mix, closed, open chem.Solution) (Meters, error) {
	var doseEC, doseN float64 // variances, mS/cm and mg/L
	const nudge = 0.01
	for _, d := range m.Doses {
		if d.Spread == 0 {
			continue
		}
		q := s.contentsOf(d)
		more, err := s.ions.Closed(m.ions.Add(q.Ions.Times(float64(d.Strength) * nudge)))
		if err != nil {
			return Meters{}, err
		}
		slope := (more.Conductivity - closed.Conductivity).MillisiemensPerCentimetre() / nudge
		doseEC += sq(slope * float64(d.Spread))
		doseN += sq(d.Brings[Nitrogen].MilligramsPerLitre() * float64(d.Spread))
	}
	read := func(sol chem.Solution) MeterReading {
		ec := sol.Conductivity.MillisiemensPerCentimetre()
		half := math.Sqrt(sq(ec*modelEC) + sq(ec*penEC) + doseEC*sq(ninetyPercent))
		acid := math.Hypot(modelPH, penPH)
		return MeterReading{EC: sol.Conductivity, ECBand: Band{ec - half, ec + half}, PH: sol.PH, PHBand: Band{sol.PH - acid, sol.PH + acid}}
	}
	n, half := m.Achieved[Nitrogen].MilligramsPerLitre(), ninetyPercent*math.Sqrt(doseN)
	m.NBand = Band{max(0, n-half), n + half}
	out := Meters{Fresh: read(closed), Day: read(open), WellPH: Band{LeastWellPH, MostWellPH}}
	bare, err := s.ions.Closed(s.job.Water.Ions)
	if err != nil {
		return Meters{}, err
	}
	added := math.Abs((closed.Conductivity - bare.Conductivity).MillisiemensPerCentimetre())
	fresh, day := closed.Conductivity.MillisiemensPerCentimetre(), open.Conductivity.MillisiemensPerCentimetre()
	out.Well = Band{min(fresh, day) - added*0.2, max(fresh, day) + added*0.25}
	if crop := s.job.Crop.EC; crop.High > 0 && s.found == nil && !m.Works() {
		out.Well = crop
	}
	return out, nil
}

func sq(x float64) float64 { return x * x }

func (s *solver) contentsOf(d Dose) Contents {
	for _, q := range s.products {
		if q.index == d.Shelf {
			return q.contents
		}
	}
	return Contents{}
}
