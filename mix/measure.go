package mix

import (
	"math"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Measure is what a person measures powders with. The zero value measures
// exactly: doses are not rounded.
type Measure struct {
	Kind MeasureKind
	Step unit.Mass // of the scale
}

// MeasureKind is a way to measure a powder.
type MeasureKind int

// Ways to measure.
const (
	Exact  MeasureKind = iota // no rounding
	Scale                     // a scale that shows steps
	Spoons                    // level teaspoons, down to a quarter
	Packs                     // whole packs into the bed
)

// quarter is the smallest spoon in a kitchen drawer.
const quarter = 0.25

// Assumptions about measuring.
const (
	AssumeTeaspoon      finding.ID = "mix.assume_teaspoon"
	AssumeTeaspoonOfKin finding.ID = "mix.assume_teaspoon_kin"
	AssumeExact         finding.ID = "mix.assume_exact"
	AssumeBucket        finding.ID = "mix.assume_bucket"
)

// SpoonMass is what a level teaspoon of a material weighs, and how sure that is.
type SpoonMass struct {
	Mass unit.Mass
	// Lot is the doubt, one standard deviation as a share, that all spoons of
	// this powder have in common: grain, damp, packing of the lot.
	Lot unit.Fraction
	// Each is the doubt of every single spoon: how level it is.
	Each   unit.Fraction
	Own    bool // the grower weighed it
	Count  int  // how many were weighed; 0: the weight of one was stated
	Source source.ID
}

// Doubt of spoons that nobody weighed: fill varies by 10 to 20 % with packing,
// grain and damp (common practice); 15 % is taken as nine times in ten.
const (
	spoonLot  = 0.15 / ninetyPercent
	spoonEach = 0.04
	// ninetyPercent is how many standard deviations hold nine times in ten.
	ninetyPercent = 1.6449
)

// Spoon gives the mass of a level teaspoon: as weighed or stated, from the bulk
// density, from the library's entry for the same salt, or of a powder in
// general; what was not stated is returned as an assumption.
func (m Material) Spoon() (SpoonMass, []finding.Assumption) {
	if m.LevelTeaspoon > 0 {
		s := SpoonMass{Mass: m.LevelTeaspoon, Lot: 0.05, Each: spoonEach, Own: true, Source: source.Given}
		if m.SpoonsWeighed > 1 {
			s.Count = m.SpoonsWeighed
			s.Each = m.SpoonSpread
			s.Lot = m.SpoonSpread / unit.Fraction(math.Sqrt(float64(m.SpoonsWeighed)))
		}
		return s, nil
	}
	assume := func(id finding.ID, s SpoonMass) (SpoonMass, []finding.Assumption) {
		return s, []finding.Assumption{{ID: id, Args: finding.Args{"Product": m.Name, "Mass": s.Mass}, Source: s.Source}}
	}
	if d := m.Density; d > 0 {
		return SpoonMass{Mass: d.Of(unit.Teaspoon), Lot: 0.02, Each: 0.03, Source: source.Given}, nil
	}
	if d := m.BulkDensity; d > 0 {
		return assume(AssumeTeaspoon, SpoonMass{Mass: d.Of(unit.Teaspoon), Lot: spoonLot / 2, Each: spoonEach, Source: source.Given})
	}
	if e := m.kin; e != nil {
		lot := unit.Fraction(float64(e.highSpoon-e.lowSpoon) / 2 / ninetyPercent / float64(e.spoon))
		return assume(AssumeTeaspoonOfKin, SpoonMass{Mass: e.spoon, Lot: lot, Each: spoonEach, Source: e.spoonSource})
	}
	return assume(AssumeTeaspoon, SpoonMass{Mass: loosePowder.Of(unit.Teaspoon), Lot: spoonLot, Each: spoonEach, Source: "spoon_memory"})
}

// loosePowder is the bulk density of a complete water-soluble fertiliser, 850 to
// 1150 kg/m3: 4.2 to 5.7 g a teaspoon.
const loosePowder unit.Density = 1000

// WeighSpoons turns the weights of level teaspoons, each by itself or all in one
// heap, into what the material says of its spoon. each holds one weight a
// spoon; where only the sum is known, give count and total and no each: the
// spread then stays the usual one. path is the key of those weights.
func (m Material) WeighSpoons(path finding.Path, count int, total unit.Mass, each []unit.Mass) (Material, finding.Faults) {
	if len(each) > 0 {
		count, total = len(each), 0
		for _, w := range each {
			total += w
		}
	}
	m.LevelTeaspoon, m.SpoonsWeighed, m.SpoonSpread = total/unit.Mass(max(1, count)), count, spoonEach
	faults := append(finding.Within(path, count, 1, 1000, 10), finding.Within(path, m.LevelTeaspoon, 0.01*unit.Gram, 50*unit.Gram, 4.7*unit.Gram)...)
	sum := 0.0
	for _, w := range each {
		faults = append(faults, finding.Within(path, w, 0.001*unit.Gram, unit.Kilogram, 4.7*unit.Gram)...)
		d := float64(w/m.LevelTeaspoon) - 1
		sum += d * d
	}
	if len(each) > 1 {
		m.SpoonSpread = unit.Fraction(math.Sqrt(sum / float64(len(each)-1)))
	}
	return m, faults
}

// gridOf gives the dose that one step of the measure makes in a batch.
func (b Measure) gridOf(m Material, batch unit.Volume, spoon unit.Mass) unit.MassConcentration {
	switch b.Kind {
	case Scale:
		return b.Step.Per(batch)
	case Spoons:
		return (spoon * quarter).Per(batch)
	case Packs:
		return m.packMass().Per(batch)
	}
	return 0
}

// packMass gives the mass of a pack sold by mass or, a liquid, by volume.
func (m Material) packMass() unit.Mass {
	if m.Pack > 0 {
		return m.Pack
	}
	return m.Density.Of(m.PackVolume)
}

// costOfGram gives the price of a gram, 0 where price or pack is not known.
func (m Material) costOfGram() float64 {
	if p := m.packMass().Grams(); p > 0 {
		return m.Price / p
	}
	return 0
}

// spread gives the relative standard deviation of a measured dose.
func (b Measure) spread(dose unit.Mass, spoon SpoonMass) float64 {
	if dose <= 0 {
		return 0
	}
	switch b.Kind {
	case Scale:
		return float64(b.Step/dose) / math.Sqrt(12)
	case Spoons:
		n := max(1, float64(dose/spoon.Mass))
		return math.Hypot(float64(spoon.Lot), float64(spoon.Each)/math.Sqrt(n))
	}
	return 0
}

// Helping is an amount as the measure at hand gives it.
type Helping struct {
	Mass   unit.Mass
	Spoons float64 // level teaspoons; 0: weighed
	Jug    Jug     // that it is taken from, where it is too little to measure
}

// Helping gives a mass of a powder, whose level teaspoon weighs so much, in the
// steps of the measure: the nearest, or never less. Below a step it comes out of
// a stock jug.
func (b Measure) Helping(m, spoon unit.Mass, jug unit.Volume, atLeast bool) Helping {
	step := b.Step
	switch b.Kind {
	case Spoons:
		step = spoon * quarter
	case Scale:
	default:
		return Helping{Mass: m}
	}
	j := Jug{}
	if m < step {
		j, _ = b.jugOf(Material{}, spoon, jug)
		step = j.step()
	}
	n := float64(m / step)
	if n = math.Round(n); atLeast {
		n = math.Ceil(float64(m/step) - 1e-9)
	}
	h := Helping{Mass: step * unit.Mass(max(1, n))}
	switch {
	case j.Mass > 0:
		h.Jug = j.taking(h.Mass)
	case b.Kind == Spoons:
		h.Spoons = math.Round(float64(h.Mass/spoon)/quarter) * quarter
	}
	return h
}
