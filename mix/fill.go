package mix

import (
	"math"
	"slices"

	"raftwright/unit"
)

// Filling is how the bed gets its feed: in how many batches, each of the same
// doses, and how large the last one is. Full and Last times the doses of a batch
// are the doses of the bed.
type Filling struct {
	Method Method
	Vessel unit.Volume   // of water in which a batch is dissolved
	Makes  unit.Volume   // of solution in the bed that a batch makes
	Full   int           // batches
	Last   unit.Fraction // of one more batch; 0: none
}

// Method is a way to bring feed and water together.
type Method int

// Methods. Which one follows from the size of the bed and from the measure.
const (
	// OneBucket: the bed is not known; what a bucket of solution takes.
	OneBucket Method = iota
	// Carried: bucket by bucket at full strength into an empty bed.
	Carried
	// Stirred: the bed is full of water; feed is dissolved in buckets dipped out of
	// it, which are poured back.
	Stirred
	// Injected: an injector adds concentrates to the water that fills the bed.
	Injected
)

// String gives the plain name.
func (m Method) String() string {
	return [...]string{"one bucket", "bucket by bucket", "stir into the full bed", "injector"}[min(max(m, 0), Injected)]
}

// Batches gives Full and Last together.
func (f Filling) Batches() float64 { return float64(f.Full) + float64(f.Last) }

// Measured gives what the last batch takes of a mass measured out in steps of
// the measure; 0 where there is none, or less than a step.
func (f Filling) Measured(batch, step unit.Mass) unit.Mass {
	last := batch * unit.Mass(f.Last)
	if step > 0 {
		last = step * unit.Mass(math.Round(float64(last/step)))
	}
	return last
}

const (
	// mostCarried is how many buckets are carried to a bed; more, and a hose fills
	// it (own choice: five of 5 gal are 200 lb).
	mostCarried = 5
	// mostBatches bounds the strong batches; two buckets each where calcium has one
	// of its own, so at most ten buckets for any bed (own choice).
	mostBatches = 5
	// strongest is the share of what dissolves at 10 °C that a strong bucket may
	// hold: half, so that stirring clears it in minutes (own choice; tanks, which
	// stand overnight, take 70 to 80 % by common practice).
	strongest = 0.5
	// mostSpoons is how many level teaspoons are counted into a bucket without
	// losing count (own choice).
	mostSpoons = 24
	// tickedWithin is how far what is ticked may be from what the bed shall get.
	tickedWithin = 0.01
)

// Jug is a stock solution for what is too little to measure: the mass dissolved
// in the water, and how much of that the batch takes. The zero value is none.
type Jug struct {
	Water  unit.Volume
	Mass   unit.Mass
	Spoons float64 // of Mass, level; 0: weighed
	Take   unit.Volume
}

// usualJug is the stock jug where the job names none.
const usualJug = unit.Litre

// jugSteps is how many steps of a scale go into a jug, so that its weight is
// right within 3 %; with spoons it is a whole teaspoon.
const jugSteps = 10

// jugOf gives the stock jug of a material: how strong, before anything is taken.
// False where it is a liquid, or so little soluble that a jug cannot hold it.
func (b Measure) jugOf(m Material, spoon unit.Mass, water unit.Volume) (Jug, bool) {
	if water <= 0 {
		water = usualJug
	}
	j := Jug{Water: water, Mass: jugSteps * b.Step}
	if b.Kind == Spoons {
		j.Mass, j.Spoons = spoon, 1
	}
	_, cold := m.dissolves()
	fits := cold == 0 || j.Mass.Per(water) <= strongest*cold
	return j, fits && m.Density == 0 && (b.Kind == Scale || b.Kind == Spoons)
}

// step is the least of a jug that is measured: a level teaspoon (5 mL).
func (j Jug) step() unit.Mass { return j.Mass * unit.Mass(unit.Teaspoon/j.Water) }

// taking gives the jug with what a batch of this mass takes of it.
func (j Jug) taking(m unit.Mass) Jug {
	j.Take = j.Water * unit.Volume(m/j.Mass)
	return j
}

// startFilling is the filling before any dose is known: the bed as one batch.
func (j Job) startFilling(bucket unit.Volume, found bool) Filling {
	f := Filling{Method: OneBucket, Vessel: bucket, Makes: bucket, Full: 1}
	switch {
	case found || j.Bed <= 0:
	case j.Stock.Volume > 0 && j.Measure.Kind != Packs:
		f = Filling{Method: Injected, Vessel: j.Stock.Volume, Makes: j.Stock.Volume * unit.Volume(j.Stock.Ratio)}
		f.share(j.Bed)
	default:
		f.Method, f.Makes = Stirred, j.Bed
	}
	return f
}

// share divides a bed into batches.
func (f *Filling) share(bed unit.Volume) {
	n := float64(bed / f.Makes)
	f.Full = int(math.Floor(n + 1e-9))
	f.Last = unit.Fraction(max(0, n-float64(f.Full)))
	if f.Last < 1e-9 {
		f.Last = 0
	}
}

// refill sets the steps in which each product is measured by the filling.
func (s *solver) refill(f Filling) {
	s.fill = f
	if s.job.Measure.Kind == Packs {
		return
	}
	s.sets = map[int]answer{}
	for j, q := range s.products {
		s.grid[j], s.jugs[j] = s.job.Measure.gridOf(q.material, f.Makes, s.spoons[j].Mass), Jug{}
	}
}

// fillFor settles how the bed is filled, by the doses that any amount allows, and
// rounds to what can then be measured.
func (s *solver) fillFor(free []float64) {
	if s.carries(free) {
		f := Filling{Method: Carried, Vessel: s.bucket, Makes: s.bucket}
		f.share(s.job.Bed)
		s.refill(f)
		if s.measureIn(free, true); s.ticksAddUp() {
			return
		}
	}
	f, anew := s.startFilling(), s.fill.Method == Carried
	if f.Method == Stirred {
		f = s.stirred(f, free)
	}
	anew = anew || f.Full > 1 && f.Method == Stirred
	s.refill(f)
	s.measureIn(free, s.useJugs(free) || anew)
}

func (s *solver) startFilling() Filling { return s.job.startFilling(s.bucket, s.found != nil) }

// measureIn finds the best doses in the steps of the measure: the exact ones anew
// where the steps are others than those they were found with.
func (s *solver) measureIn(free []float64, anew bool) {
	if anew {
		s.exact = s.best(s.most(), free)
	}
	s.rounded = s.round(s.exact, s.most(), mostGridWork)
	if s.rounded.misfit < s.exact.misfit { // only where the search for the exact doses was cut short
		s.exact = s.rounded
	}
}

// carries says whether the bed may be filled bucket by bucket: a few buckets,
// nothing to be given to the water before the feed, and of each product enough
// for a bucket.
func (s *solver) carries(free []float64) bool {
	j := s.job
	if s.startFilling().Method != Stirred || j.Measure.Kind == Packs || j.Acid != nil || j.Chlorine || j.Bed > mostCarried*s.bucket || j.Bed < s.bucket {
		return false
	}
	for i, d := range free {
		if step := j.Measure.gridOf(s.products[i].material, s.bucket, s.spoons[i].Mass); d > 0 && d < float64(step) {
			return false
		}
	}
	return true
}

// ticksAddUp says whether the measured buckets, the last with its part, hold what
// the bed shall get.
func (s *solver) ticksAddUp() bool {
	for i, d := range s.rounded.doses {
		batch := unit.MassConcentration(d).In(s.fill.Makes)
		ticked := batch*unit.Mass(s.fill.Full) + s.fill.Measured(batch, s.stepOf(i))
		if whole := batch * unit.Mass(s.fill.Batches()); math.Abs(float64(ticked-whole)) > tickedWithin*float64(whole) {
			return false
		}
	}
	return true
}

// stepOf gives the least mass that the measure can tell of a product, in a batch.
func (s *solver) stepOf(i int) unit.Mass { return s.grid[i].In(s.fill.Makes) }

// stirred finds the fewest strong batches that dissolve in their buckets and can
// be counted; where five are not enough the vessel grows.
func (s *solver) stirred(f Filling, free []float64) Filling {
	calcium, rest, spoons := 0.0, 0.0, 0.0
	for i, d := range free {
		q, mass := s.products[i], unit.MassConcentration(d).In(s.job.Bed)
		spoons = max(spoons, float64(mass/s.spoons[i].Mass))
		full := 0.0
		if _, cold := q.material.dissolves(); cold > 0 {
			full = float64(mass.Per(s.bucket) / cold)
		}
		if apart(q.contents.Shares.At(unit.GramPerLitre)) {
			calcium += full
		} else {
			rest += full
		}
	}
	need := max(calcium, rest) / strongest
	n := max(1, math.Ceil(need-1e-9))
	if s.job.Measure.Kind == Spoons {
		n = max(n, math.Ceil(spoons/mostSpoons))
	}
	f.Full = int(min(n, mostBatches))
	f.Makes = s.job.Bed / unit.Volume(f.Full)
	f.Vessel = s.bucket * unit.Volume(max(1, need/mostBatches))
	return f
}

// useJugs gives a stock jug to each trace source of which a batch needs less than
// the measure can tell, and says whether any does.
func (s *solver) useJugs(free []float64) (any bool) {
	if s.fill.Method == OneBucket {
		return false
	}
	for i, d := range free {
		q := s.products[i]
		if d <= 0 || d >= float64(s.grid[i]) || !q.isTraceSource() {
			continue
		}
		jug, ok := s.job.Measure.jugOf(q.material, s.spoons[i].Mass, s.job.Jug)
		if step := jug.step().Per(s.fill.Makes); ok && d >= float64(step)/2 {
			s.grid[i], s.jugs[i], any = step, jug, true
			s.sets = map[int]answer{}
		}
	}
	return any
}

// apart says that a product is dissolved by itself: it brings calcium, and
// neither phosphate nor sulfate.
func apart(l Levels) bool { return l[Calcium] > 0 && l[Phosphorus]+l[Sulfur] == 0 }

// dissolves gives the solubility at 20 and 10 °C; 0 where it is no bound.
func (m Material) dissolves() (at20, at10 unit.MassConcentration) {
	at20, at10 = m.Solubility, m.Solubility*0.8 // most salts lose about a fifth from 20 to 10 °C
	if e := m.kin; e != nil {
		if at20 == 0 {
			at20 = e.solubility20
		}
		if e.solubility20 > 0 {
			at10 = at20 * e.solubility10 / e.solubility20
		}
	}
	if at20 == 0 && m.Label != nil {
		at20, at10 = 300, 240 // complete powders: 250 to 400 g/L on usual labels, from memory
	}
	return at20, at10
}

// order puts calcium last and apart: in the strength of a bucket nothing falls
// out, in the splash where two powders meet it can. What has to be in the water
// before the feed comes first: chlorine goes above all before ammonium and urea,
// since roots browned only where the two met (Date et al. 2002).
func (s *solver) order(doses []Dose) []OrderStep {
	water, acid := []OrderStep{{Do: FillMost}}, []OrderStep(nil)
	if s.acidDose > 0 {
		acid = []OrderStep{{Do: AddAcid, Product: s.job.Acid.Name}}
	}
	if s.fill.Method == Stirred || s.fill.Method == Injected {
		water = []OrderStep{{Do: FillBed}}
		if s.job.Chlorine {
			water = append(water, OrderStep{Do: CureChlorine})
		}
	}
	var last, powders []OrderStep
	for _, d := range doses {
		step := OrderStep{Dissolve, d.Product}
		switch {
		case d.Jug.Take > 0:
			step.Do = FromJug
		case apart(d.Brings):
			last = append(last, OrderStep{DissolveApart, d.Product})
			continue
		}
		powders = append(powders, step)
	}
	powders = append(powders, last...)
	read := OrderStep{Do: ReadMeters}
	switch s.fill.Method {
	case Injected: // the concentrates come with the water: the acid goes into the first of it
		return slices.Concat(water[1:], []OrderStep{{Do: FillTanks}}, acid, []OrderStep{{Do: Inject}, read})
	case Stirred:
		return slices.Concat(water, acid, powders, []OrderStep{read})
	}
	return slices.Concat(water, acid, powders, []OrderStep{{Do: FillUp}, read})
}
