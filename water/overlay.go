package water

import (
	"math"

	"raftwright/chem"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Standing says where a figure of a water comes from.
type Standing int

// Standings.
const (
	NotKnown Standing = iota
	Measured          // on the test
	Guessed           // of a typical water
	Filled            // worked out from other figures of the test
)

// String gives the word used in the JSON.
func (s Standing) String() string {
	return [...]string{"", "measured", "typical", "filled"}[min(max(s, 0), Filled)]
}

// nothing stands where there is no word to tell.
const nothing = ""

// sparseBelow is how many of the ions that make a water a test has to name, so that
// what it leaves out is told by the charge balance and not by a typical water (own
// choice: half of them).
const sparseBelow = 4

// Sparse says that a test tells too little to be read by itself: what it leaves out
// is taken from a typical water. Below the end of an alkalinity titration no typical
// water is like it.
func (t *Test) Sparse() bool {
	named := 0
	for _, x := range append([]Analyte{Alkalinity}, majors...) {
		_, is := t.Readings[x]
		if x == Alkalinity {
			_, bicarbonate := t.Readings[Bicarbonate]
			is = is || bicarbonate
		}
		if is {
			named++
		}
	}
	return named < sparseBelow && (t.PH == 0 || t.PH > titrationEnd)
}

// conducts is the EC of the test, or what its dissolved solids make of it: 650 mg/L
// for each mS/cm, the middle of what is usual (Standard Methods 1030 E: 0.55 to 0.7).
func (t *Test) conducts() unit.Conductivity {
	if t.EC > 0 {
		return t.EC
	}
	return unit.Conductivity(t.TDS.MilligramsPerLitre()/650) * unit.MillisiemensPerCentimetre
}

// overlay is a sparse test laid over a typical water.
type overlay struct {
	kind  Kind
	times float64      // as strong as the typical water
	by    finding.Word // the figure that says how strong; "" none
}

func (o overlay) told() any {
	if o.by == "" {
		return nothing
	}
	return o.by
}

// mostTimes bounds how much stronger than its typical water a water is made.
const mostTimes = 10

// lay fills a sparse test from a typical water: of the kind that was named, as strong
// as the measured alkalinity says, else the hardness, else the EC. What was measured
// stands. The charge is closed on chloride, sulfate and sodium, where they are
// guesses.
func (a *analysis) lay(w Waters, k25 *chem.Equilibria) overlay {
	a.fillHardness()
	o := a.liken(w)
	if o.kind.differs(a.test.Kind) {
		a.find(FindKindUnused, finding.Note, finding.Args{"Kind": a.test.Kind.Word(), "Other": o.kind.Word()}, ownSource)
	}
	goal := a.test.conducts()
	if o.by == "" && goal > 0 {
		o.by = finding.Word("word.analyte.ec")
		if a.test.EC == 0 {
			o.by = finding.Word("word.analyte.tds")
		}
		lime := goal
		if goal > 1.05*saltyFrom*unit.MillisiemensPerCentimetre {
			lime = saltyFrom * unit.MillisiemensPerCentimetre
		}
		o.times = halve(mostTimes*10, func(x float64) bool {
			b := a.like(w, o.kind, x)
			b.closeCharge(w, o.kind)
			return b.conductivity(k25) < lime
		})
	}
	*a = a.like(w, o.kind, o.times)
	a.tellTypical(o)
	guess := *a
	for _, x := range a.closeCharge(w, o.kind) {
		before := *a
		before.value[x] = guess.value[x]
		a.assume(AssumeBalance, finding.Args{"Analyte": x.Word(), "Amount": x.Mass(a.value[x]), "Effect": a.conductivity(k25) - before.conductivity(k25), "Other": nothing}, labSource)
	}
	a.fillSalt(k25, goal)
	return o
}

// halve finds where a falling answer turns to false, between 0 and high.
func halve(high float64, below func(float64) bool) float64 {
	low := 0.0
	for range 40 {
		if x := (low + high) / 2; below(x) {
			low = x
		} else {
			high = x
		}
	}
	return (low + high) / 2
}

// differs says that a kind was named and this is another.
func (k Kind) differs(named *Kind) bool { return named != nil && k != min(max(*named, Hard), Rain) }

// anchored says that the test tells how strong the lime of the water is.
func (a *analysis) anchored() bool {
	return a.given[Alkalinity] || a.given[Hardness] || a.given[Calcium]
}

// liken chooses the typical water and how strong it is: the one that was named, but
// not where the test is more than fourfold off; else the one whose alkalinity, or
// hardness, is nearest.
func (a *analysis) liken(w Waters) overlay {
	o := overlay{kind: a.test.kind(), times: 1}
	figure, of := 0.0, Alkalinity
	switch {
	case a.known[Alkalinity]:
		figure = float64(a.value[Alkalinity])
	case a.known[Calcium] && a.known[Magnesium]:
		figure, of = float64(a.value[Calcium]+a.value[Magnesium]), Hardness
	case a.known[Calcium]:
		figure, of = float64(a.value[Calcium]), Calcium
	default:
		return o
	}
	o.by = of.Word()
	named := a.test.Kind != nil || KindOf(a.test.Name) != Hard
	if times := figure / w.mmol(o.kind, of); !named || times < 0.25 || times > 4 {
		least := math.Inf(1)
		for k := range kindCount {
			if off := math.Abs(math.Log(max(figure, 1e-9) / w.mmol(k, of))); off < least {
				o.kind, least = k, off
			}
		}
	}
	o.times = min(figure/w.mmol(o.kind, of), mostTimes)
	return o
}

// mmol gives a figure of a typical water, mmol/L.
func (w Waters) mmol(k Kind, x Analyte) float64 {
	sum := 0.0
	for _, r := range w.of[k].readings {
		if r.analyte == x || x == Hardness && (r.analyte == Calcium || r.analyte == Magnesium) {
			c, _ := Convert(r.analyte, unit.Reading{Value: r.value, Scale: unit.MassScale})
			sum += float64(c)
		}
	}
	return sum
}

// heldCarbon is the dissolved carbon dioxide of the deepest ground waters, mmol/L: at
// a low pH a guessed alkalinity goes no higher than it lets it (0.03 atm; first
// dissociation of carbonic acid at 25 °C, pK 6.35).
const heldCarbon, firstCarbonic = 1.0, 6.35

// like gives the test with what it leaves out from a typical water, so many times as
// strong.
func (a *analysis) like(w Waters, k Kind, times float64) analysis {
	b := *a
	for _, r := range w.of[k].readings {
		if b.known[r.analyte] {
			continue
		}
		c := unit.MolarConcentration(w.mmol(k, r.analyte) * times)
		if r.analyte == Alkalinity && a.pH > 0 {
			c = min(c, unit.MolarConcentration(heldCarbon*math.Pow(10, a.pH-firstCarbonic)))
		}
		b.set(r.analyte, c)
		b.guessed[r.analyte] = true
	}
	if !b.known[Hardness] {
		b.set(Hardness, b.value[Calcium]+b.value[Magnesium])
		b.guessed[Hardness] = b.guessed[Calcium] || b.guessed[Magnesium]
	}
	if b.pH == 0 && b.value[Alkalinity] > 0 {
		b.pH, b.guessedPH = w.of[k].pH, true
	}
	return b
}

// tellTypical lists what was taken from where.
func (a *analysis) tellTypical(o overlay) {
	switch t := a.test; {
	case t.empty():
		a.assume(AssumeTypical, finding.Args{"Kind": o.kind.Word()}, source.FromMemory)
	case len(t.Readings) == 0 && o.by != "":
		a.assume(AssumeTypicalEC, finding.Args{"Kind": o.kind.Word(), "EC": t.conducts()}, source.FromMemory)
	default:
		a.assume(AssumeRestTypical, finding.Args{"Kind": o.kind.Word(), "By": o.told()}, source.FromMemory)
		a.assume(AssumeOthers, nil, ownSource)
	}
	if !a.given[Alkalinity] && (o.by == Hardness.Word() || o.by == Calcium.Word()) {
		a.find(FindAskAlkalinity, finding.Caution, nil, leafSource)
	}
}

// closeCharge changes guesses until cations and anions agree, and gives those it
// changed: chloride and sulfate grow for cations, sodium for anions; where these were
// measured the other side shrinks. Less than a twentieth is within the errors of a test.
func (a *analysis) closeCharge(w Waters, k Kind) (changed []Analyte) {
	net, all := a.surplus()
	if math.Abs(net) < 0.05*all || math.Abs(net) < 0.1 {
		return nil
	}
	change := func(x Analyte, by float64) {
		a.set(x, max(0, a.value[x]+unit.MolarConcentration(by)))
		a.guessed[x] = false
		changed = append(changed, x)
	}
	chloride, sulfate := 0.0, 0.0 // meq/L, by which they share
	if a.guessed[Chloride] {
		chloride = w.mmol(k, Chloride)
	}
	if a.guessed[Sulfate] {
		sulfate = 2 * w.mmol(k, Sulfate)
	}
	if both := chloride + sulfate; a.guessed[Sodium] && (net < 0 || both == 0) {
		change(Sodium, -net)
	} else if both > 0 {
		if chloride > 0 {
			change(Chloride, net*chloride/both)
		}
		if sulfate > 0 {
			change(Sulfate, net*sulfate/both/2)
		}
	}
	return changed
}

// isRain says that the water is known not to be a town's: rain, by its kind or name.
func (t *Test) isRain() bool {
	if t.Kind != nil {
		return *t.Kind == Rain
	}
	return KindOf(t.Name) == Rain
}

// phStanding says where the pH comes from.
func (a *analysis) phStanding() Standing {
	switch {
	case a.guessedPH:
		return Guessed
	case a.pH > 0 && a.refused == nil:
		return Measured
	}
	return Filled
}

// standings gives where each figure comes from.
func (a *analysis) standings() (out [AnalyteCount]Standing) {
	for x := range out {
		out[x] = a.standing(Analyte(x))
	}
	return out
}

// standing says where the figure of an analyte comes from.
func (a *analysis) standing(x Analyte) Standing {
	switch {
	case a.given[x]:
		return Measured
	case a.guessed[x]:
		return Guessed
	case a.known[x]:
		return Filled
	}
	return NotKnown
}
