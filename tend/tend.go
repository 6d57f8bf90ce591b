// Package tend says what a bed holds now, ion by ion and how sure, from the plan of it and
// the log of what was read and done; what would go wrong next; and the smallest thing to do about it.
//
// The bed is followed from visit to visit by balances of water and of each ion (model.go). What nobody
// measured (how fast it grows, how thirsty it is, how far the pens and the first doses
// were off) is estimated together with the state from the whole log at once: the most
// likely story by damped Gauss-Newton, with its spread from the curvature there (search.go, fit.go). That the
// bed leaks, or that the first dose was not what was written, are other stories, weighed by
// their evidence (estimate.go). A reading that no story bears is set aside as a slip.
//
// All of it is worked out, not measured: no series of laboratory readings of such beds was found to hold
// it against; forty simulated beds of another model are (world_test.go). The methods and start values are those of the
// reference this house was given, marked there as read, from memory or judgement.
//
// Nothing here knows a clock: the moment is an argument.
package tend

import (
	"math"
	"time"

	"raftwright/bed"
	"raftwright/chem"
	"raftwright/finding"
	"raftwright/plan"
	ills "raftwright/trouble"
	"raftwright/unit"
)

// Job is the question: this plan, this log, at this moment.
type Job struct {
	Plan plan.Plan
	Log  bed.Log
	Now  time.Time // by the clock at the bed, as if it showed UTC
	If   If        // what may come

	Troubles ills.Book // what may be wrong is told by it; none: nothing is told
	Followed *Followed // how the log was followed before, and where this time is kept; may be nil
}

// Range is a figure with its band: nine times in ten the truth lies in it.
type Range struct{ Value, Low, High float64 }

// State is the bed at a moment. Concentrations are mg/L: nitrogen in all its forms, sulfur and phosphorus
// as the element, nitrate, ammonium and urea as nitrogen.
type State struct {
	At          time.Time
	Volume      Range // L
	Depth       Range // mm, as a ruler in the bed would show it
	EC          Range // mS/cm at 25 °C, true: without the pen's own error
	PH          Range
	Temperature unit.Temperature // of the solution, mean of the day
	Plants      int
	Fresh       unit.Mass              // of one plant
	Oxygen      unit.MassConcentration // that the roots of the plants that stand leave in it; 0 without a season
	Holds       map[Substance]Range
}

// Substance is what State tells the strength of.
type Substance string

// The substances.
const (
	Nitrogen   Substance = "N"
	Nitrate    Substance = "nitrate"
	Ammonium   Substance = "ammonium"
	Urea       Substance = "urea"
	Phosphorus Substance = "P"
	Potassium  Substance = "K"
	Calcium    Substance = "Ca"
	Magnesium  Substance = "Mg"
	Sulfur     Substance = "S"
	Sodium     Substance = "Na"
	Chloride   Substance = "Cl"
)

// Substances lists them in the order of print.
func Substances() []Substance {
	return []Substance{Nitrogen, Nitrate, Ammonium, Urea, Phosphorus, Potassium, Calcium, Magnesium, Sulfur, Sodium, Chloride}
}

var ionOf = map[Substance]ion{Nitrogen: nitrogen, Nitrate: nitrate, Ammonium: ammonium, Urea: urea, Phosphorus: phosphate, Potassium: potassium,
	Calcium: calcium, Magnesium: magnesium, Sulfur: sulfate, Sodium: sodium, Chloride: chloride}

// Reading is one reading of the log beside what the bed should have shown.
type Reading struct {
	At    time.Time
	Path  finding.Path
	Kind  string  // the key of the log
	Read  float64 // in the unit of the key: mS/cm, mm, pH, mg/L
	Range         // expected
	Used  bool    // false where it was set aside as a slip
	Good  float64 // how likely it is no slip
	Meant float64 // of one that was set aside: what it becomes by the one slip that makes it fit; 0: none does
}

// Leak is how likely the bed leaks, and how much.
type Leak struct {
	Probability float64
	Rate        Range   // L a day, where it does
	Worth       float64 // how likely it leaks and loses leastWorth or more
}

// Tending is the answer.
type Tending struct {
	Visit    bed.Visit // the last one
	State    State
	Readings []Reading
	Leak     Leak
	Learned  bed.Learned // of this bed, for its next crop
	Wrong    Wrong

	Actions    []Action // in the order in which they are done
	After      After
	IfNothing  IfNothing
	NextCheck  time.Time
	DumpBy     time.Time // no time where it is not in sight
	DumpFrom   time.Time // nine of ten beds that the log allows have to be emptied between this day
	DumpTo     time.Time // and this
	DumpReason DumpReason
	Ask        Ask
	Forecast   []Forecast // if nothing is done

	Findings    []finding.Finding
	Assumptions []finding.Assumption

	estimate *estimate
	solver   *chem.Equilibria
}

// Make estimates the state of a bed. The plan must have a frame and a water, the log a visit; else, or
// where the chemistry of what was poured has no solution, there is an error for the one who calls.
func Make(j Job) (*Tending, finding.Faults) {
	if faults := j.check(); len(faults) > 0 {
		return nil, faults
	}
	log, found, faults := usable(&j.Plan, j.Log, j.Now)
	if len(faults) > 0 {
		return nil, faults
	}
	e, k, err := fitTo(&j.Plan, log, j.Now, j.Followed)
	if err != nil {
		return nil, finding.Faults{{ID: FaultChemistry, Path: "log"}}
	}
	e.h.again, e.h.apart = readAgain(found, log, j.Now), apartIn(j.Log, j.Now, e.pens)
	t := &Tending{Visit: log[len(log)-1], estimate: e, solver: k, Findings: found}
	t.State = e.state()
	t.rots(e.rotting())
	t.placed(e)
	t.salty(e.h)
	t.Readings = e.readings()
	t.Leak = e.leaks()
	t.Learned = e.until.learned(harvests(&j.Plan, e.until.h, j.Log))
	t.diagnose(j)
	t.advise(j.If)
	return t, nil
}

// Suppose gives the same bed with other days ahead: what is to be done and what comes are worked out anew, what it holds is kept. It
// is not to be asked by several goroutines at once of what one Make gave.
func (t *Tending) Suppose(f If) *Tending {
	out := *t
	out.advise(f)
	return &out
}

// Faults of what a bed is to be tended from.
const (
	FaultNoLog     finding.ID = "tend.fault.no_log"
	FaultNoBed     finding.ID = "tend.fault.no_bed"
	FaultChemistry finding.ID = "tend.fault.chemistry"
)

func (j Job) check() finding.Faults {
	switch {
	case j.Plan.Frame == nil || j.Plan.Water == nil:
		return finding.Faults{{ID: FaultNoBed, Path: "bed"}}
	case len(j.Log) == 0:
		return finding.Faults{{ID: FaultNoLog, Path: "log"}}
	}
	return CheckSigns(j.Log, j.Troubles)
}

// ninety is half the width of a band that holds nine times in ten, in standard deviations.
const ninety = 1.645

func ofLog(mean, variance, times float64) Range {
	sd := ninety * math.Sqrt(variance)
	return Range{times * math.Exp(mean), times * math.Exp(mean-sd), times * math.Exp(mean+sd)}
}

// state tells the end of the log.
func (e *estimate) state() State {
	mean, spread := e.told()
	h := e.h
	at := len(h.visits) - 1
	s := State{At: h.visits[at].at, Volume: ofLog(mean.volume, spread.volume, 1), EC: ofLog(mean.ec, spread.ec, 1), Plants: h.visits[at].heads}
	s.Volume.High = min(s.Volume.High, max(s.Volume.Value, h.brim*h.area)) // over the sill it runs off
	sd := ninety * math.Sqrt(spread.pH)
	s.PH = Range{mean.pH, math.Max(0, mean.pH-sd), math.Min(highestPH, mean.pH+sd)}
	if dry := film * h.area; s.Volume.Low < dry { // that cannot be told from none
		s.Volume.Low, s.Volume.High = 0, math.Max(s.Volume.High, dry)
	}
	s.Depth = Range{s.Volume.Value / h.area, s.Volume.Low / h.area, s.Volume.High / h.area}
	s.Holds = map[Substance]Range{}
	for name, i := range ionOf {
		of := weight[i]
		if i == nitrogen {
			of = chem.Nitrogen.Weight()
		}
		r := ofLog(mean.in[i], spread.in[i], of)
		if most := e.poured(i) * of / s.Volume.Low; r.High > most { // no more than ever went in
			r.High = math.Max(r.Value, most)
		}
		if r.Low < trace { // that cannot be told from none
			r.Low, r.High = 0, math.Max(r.High, trace)
		}
		s.Holds[name] = r
	}
	e.doubts(&s)
	s.dries()
	s.Temperature = e.warmthNow()
	s.Fresh = e.fresh(h.after(s.At))
	s.Oxygen = h.breath(s.Plants, s.Fresh, s.Temperature.Celsius(), If{})
	return s
}

// dries widens what is told of a bed that may be all but dry: what is left in its folds has been eaten, or stands there as it dried. Nobody knows which.
func (s *State) dries() {
	if s.Volume.Low > 0 || s.Depth.Value >= shallow {
		return
	}
	s.EC.reaches(0)
	s.PH.reaches(lowestLived)
	s.PH.reaches(highestLived)
	for name, r := range s.Holds {
		r.reaches(0)
		s.Holds[name] = r
	}
}

// film is how little water is not told from none, mm (own judgement).
const film = 1.0

// highestPH is the end of the scale: where nothing is known of a bed, nothing beyond it is told.
const highestPH = 14

// trace is how little of a substance is not told from none, mg/L (own judgement).
const trace = 1.0

// poured gives what ever went in of an ion, mmol, with a margin for doses that were larger than written.
func (e *estimate) poured(i ion) float64 {
	const margin = 1.2
	f := e.best
	in := f.run.ledger.came.plus(f.run.ledger.turned, 1)
	first := e.h.before(&f.setting).in
	if i == nitrogen {
		return margin * (in[nitrate] + in[ammonium] + in[urea] + first[nitrate] + first[ammonium] + first[urea])
	}
	return margin * math.Max(0, in[i]+first[i])
}

// warmth gives the mean of the solution on a day.
func (h *history) warmth(at time.Time) unit.Temperature {
	d := h.ahead(at, 1, If{}).days
	return unit.Temperature(d[0].warmth)
}

// fresh gives what a plant of the oldest planting that stands weighs.
func (e *estimate) fresh(at float64) unit.Mass {
	for i := range e.h.plantings {
		p := &e.h.plantings[i]
		if p.heads <= 0 || len(p.grown[0]) == 0 {
			continue
		}
		return e.weighs(p, at)
	}
	return 0
}

// allFull says whether plants stand, and each of them weighs at least a mass at the end of the log.
func (e *estimate) allFull(full unit.Mass) bool {
	at, stand := e.h.after(e.h.visits[len(e.h.visits)-1].at), false
	for i := range e.h.plantings {
		p := &e.h.plantings[i]
		if p.heads <= 0 {
			continue
		}
		if len(p.grown[0]) == 0 || e.weighs(p, at) < full {
			return false
		}
		stand = true
	}
	return stand
}

// weighs gives what a plant of a planting weighs.
func (e *estimate) weighs(p *planting, at float64) unit.Mass {
	b := &e.best.setting
	var grown, began bySize
	for z := range sizes {
		grown.of[z], began.of[z] = p.dry(z, at), p.dry(z, p.at)
	}
	grown.bends()
	began.bends()
	start := began.at(b.size)
	dry := start + b.growth*math.Max(0, grown.at(b.size)-start)
	return unit.Mass(dry*float64(p.crop.Growth.Shoot)/float64(p.crop.Growth.DryMatter)) * unit.Gram
}

var keyOf = map[readingKind]string{readEC: "ec", readPH: "ph", readDepth: "depth", readNitrate: "nitrate-n", readAmmonium: "ammonium-n"}

// readings tells each reading beside what was expected.
func (e *estimate) readings() []Reading {
	f := e.until.best
	var out []Reading
	by := make([]float64, len(f.list))
	for k := range f.reads {
		r := &f.reads[k]
		told := e.until.h.tell(r, &f.setting, &f.run, f.nears)
		v := r.sd*r.sd + f.variance(append(by[:0], f.jac[k]...))
		x := Reading{At: e.h.visits[r.visit].at, Path: e.h.visits[r.visit].from.Path.Key(keyOf[r.kind]), Kind: keyOf[r.kind], Used: r.good >= 0.5, Good: r.good}
		switch r.kind {
		case readPH, readDepth:
			sd := ninety * math.Sqrt(v)
			x.Read, x.Range = r.value, Range{told, told - sd, told + sd}
		case readEC:
			x.Read, x.Range = math.Exp(r.value), ofLog(told, v, 1)
		default:
			x.Read, x.Range = math.Exp(r.value)*chem.Nitrogen.Weight(), ofLog(told, v, chem.Nitrogen.Weight())
		}
		x.mend()
		out = append(out, x)
	}
	return out
}

// slips are what a figure is multiplied by where a likely mistake is undone: of EC the decimal point, a scale of ppm for another or for
// mS/cm, a half or a double dilution; of a depth centimeters for inches.
var slips = map[string][]float64{"ec": {10, 0.1, 0.5, 2, 1.4, 1 / 1.4, 1.28, 1 / 1.28}, "depth": {2.54, 1 / 2.54}}

// rulerSlips is by how much a depth is off that was read at the wrong inch, mm.
var rulerSlips = []float64{-slipInch, slipInch}

// mend finds the one slip that makes a reading fit which was set aside: the nearest to what was expected.
func (r *Reading) mend() {
	if r.Used {
		return
	}
	try := func(x float64) {
		if x >= r.Low && x <= r.High && (r.Meant == 0 || math.Abs(x-r.Value) < math.Abs(r.Meant-r.Value)) {
			r.Meant = x
		}
	}
	for _, f := range slips[r.Kind] {
		try(r.Read * f)
	}
	if r.Kind == "depth" {
		for _, d := range rulerSlips {
			try(r.Read + d)
		}
	}
}

// leaks tells how likely a leak is, and its rate where there is one.
func (e *estimate) leaks() Leak {
	var l Leak
	var sum, most float64
	var told []draining
	for i, f := range e.stories {
		if f.leakFrom < 0 || e.h.patchedAfter(f.setting.leakFrom) {
			continue
		}
		l.Probability += e.shares[i]
		at := len(f.list) - 1 // the last unknown of such a story
		x := draining{share: e.shares[i], rate: f.setting.leak, sd: sdLeak * math.Sqrt(f.spread.row(at)[at])}
		if f.hole {
			x.sd, x.byLog = sdHole*math.Sqrt(f.spread.row(at)[at]), true
			most = max(most, x.rate*math.Exp(4*x.sd))
		}
		told = append(told, x)
		sum += x.share * x.rate
		most = max(most, x.rate+4*x.sd)
	}
	if l.Probability > 0 {
		mean := sum / l.Probability
		low, high := within(told, 0.05*l.Probability, most), within(told, 0.95*l.Probability, most)
		l.Rate = Range{mean, min(low, mean), max(high, mean)}
		l.Worth = l.Probability - below(told, leastWorth)
	}
	return l
}

// leastWorth is the least leak that is looked for, L a day: a gallon, half of the least that is to be found, which is the threshold that the law has for tanks (40 CFR 280.43).
// What loses less is filled up as thirst is, and habits of plants that no prior foresaw look like it.
const leastWorth = 3.785412

// draining is what a story of a leak loses, L a day, with its share and spread: of a hole that of its logarithm.
type draining struct {
	share, rate, sd float64
	byLog           bool
}

// below gives the share of stories that lose less than a rate.
func below(told []draining, rate float64) (sum float64) {
	for _, x := range told {
		off := rate - x.rate
		if x.byLog {
			off = math.Log(rate / x.rate)
		}
		sum += x.share * evenly(off/max(x.sd, 1e-9))
	}
	return sum
}

// within gives the rate, at most that, below which stories of a share lose.
func within(told []draining, share, most float64) float64 {
	low, high := 0.0, most
	for range 50 {
		rate := (low + high) / 2
		if below(told, rate) < share {
			low = rate
		} else {
			high = rate
		}
	}
	return low
}
