package tend

import (
	"math"
	"time"

	"raftwright/bed"
	"raftwright/chem"
	"raftwright/plan"
	"raftwright/sky"
	"raftwright/unit"
)

// What beds and their crops differ by (reference methods, section 11: judgement): the growth of one bed from another's, of one
// crop from the next on the same bed, and how well heads are weighed; spreads of the logarithm.
const (
	sdBetweenBeds  = 0.22
	sdBetweenCrops = 0.12
	sdWeighing     = 0.05
)

// enough is the share of the doubt at the start below which something was learned.
const enough = 0.7

// Learn tells what the log of a bed teaches of it, for its next crop: a plan's Learner. The plan's season must know of no log.
// Growth and thirst come from the fit of the whole log, growth from weighed harvests too; of a log that cannot be followed, or a
// bed that is not known, warmth and weights alone are heard.
func Learn(p *plan.Plan, log bed.Log) bed.Learned { return learn(p, log, nil) }

func learn(p *plan.Plan, log bed.Log, known *Followed) bed.Learned {
	weighed := harvests(p, nil, log)
	out := nothingLearned()
	out.warm(offsets(p, log, 0))
	if p.Frame != nil && p.Water != nil && p.Ground != nil {
		e, weights, ok := follow(p, log, known)
		if ok {
			return e.learned(weights)
		}
		out.Lost = true
	}
	out.grow(0, 0, weighed)
	return out.Learned
}

// follow fits a log up to its last visit.
func follow(p *plan.Plan, log bed.Log, known *Followed) (*estimate, []float64, bool) {
	now := log[len(log)-1].At
	left, _, faults := usable(p, log, now)
	if len(faults) > 0 {
		return nil, nil, false
	}
	k, err := chem.At(standard)
	if err != nil {
		return nil, nil, false
	}
	e, err := fit(k, p, left, known, nil)
	if err != nil {
		return nil, nil, false
	}
	return e, harvests(p, e.h, log), true
}

// fit follows a log up to its last visit, and remembers how. The moment that somebody asks for has no part in that: what a log tells is the same an hour later.
// grown are its plantings where they were grown before; nil: they were not.
func fit(k *chem.Equilibria, p *plan.Plan, log bed.Log, known *Followed, grown []planting) (*estimate, error) {
	short := shorten(log)
	h, pens := historyOf(p, short, short[len(short)-1].At, grown), penOf(p, short)
	h.alone = known.alone()
	e, err := h.estimate(k, pens, readingsOf(short, pens))
	if err == nil {
		known.keep(e, log)
	}
	return e, err
}

// fitTo follows a log to a moment: what it told up to its last visit, known or found now, is carried on from there.
func fitTo(p *plan.Plan, log bed.Log, now time.Time, known *Followed) (*estimate, *chem.Equilibria, error) {
	k, err := chem.At(standard)
	if err != nil {
		return nil, nil, err
	}
	short := shorten(log)
	h := newHistory(p, short, now)
	h.alone = known.alone()
	e := known.find(h, penOf(p, short), log)
	if e == nil {
		if e, err = fit(k, p, log, known, h.plantings); err != nil {
			return nil, nil, err
		}
	}
	return e.carried(k, h), k, nil
}

// taught is what is being learned.
type taught struct{ bed.Learned }

func nothingLearned() taught {
	return taught{bed.Learned{Growth: 1, Water: 1, GrowthSpread: math.Hypot(sdBetweenBeds, sdBetweenCrops), WaterSpread: sdThirst, WarmthSpread: sdWarmth}}
}

// learned tells growth, thirst and warmth against the model; 1 until something was learned.
func (e *estimate) learned(weighed []float64) bed.Learned {
	out := nothingLearned()
	out.warm(e.h.offsets)
	f := e.best
	mean, sd := 0.0, 0.0
	for i, u := range f.list {
		left := math.Sqrt(f.spread.row(i)[i])
		if left >= enough {
			continue
		}
		switch u.kind {
		case unGrowth: // without what was thought before
			precision := 1/(left*left*u.sd*u.sd) - 1/(u.sd*u.sd)
			mean, sd = math.Log(f.setting.growth)/(left*left*u.sd*u.sd)/precision, 1/math.Sqrt(precision)
		case unThirst:
			over, seen := e.h.overForecast(&f.run.ledger)
			out.drink(over, math.Hypot(left*u.sd, sdThirst*(1-seen)))
		}
	}
	out.grow(mean, sd, weighed)
	return out.Learned
}

// grow joins what a fit says of growth (logarithm and its spread; a spread of 0: nothing) with weighed harvests (logarithms
// over the model's): each is of one crop, and what they have in common is the bed's.
func (l *taught) grow(mean, sd float64, weighed []float64) {
	l.Weighed = len(weighed)
	precision, sum := 1/(sdBetweenBeds*sdBetweenBeds), 0.0
	hear := func(x, sd float64) {
		w := 1 / (sd*sd + sdBetweenCrops*sdBetweenCrops)
		precision, sum = precision+w, sum+w*x
	}
	if sd > 0 {
		hear(mean, sd)
	}
	for _, x := range weighed {
		hear(x, sdWeighing)
	}
	if sd > 0 || len(weighed) > 0 {
		l.Growth, l.GrowthSpread = math.Exp(sum/precision), math.Sqrt(1/precision+sdBetweenCrops*sdBetweenCrops)
	}
}

// drink takes the water that the bed took over the plan's forecast of it (0: there is none), and how far that may be off.
func (l *taught) drink(over, sd float64) {
	if over <= 0 {
		return
	}
	w := 1 / (sd*sd + sdBetweenCrops*sdBetweenCrops)
	precision := w + 1/(sdThirst*sdThirst)
	if left := 1 / math.Sqrt(precision); left < enough*sdThirst {
		l.Water, l.WaterSpread = math.Exp(w*math.Log(over)/precision), left
	}
}

// leafDays is the days under full leaf that a crop of lettuce comes to: of a log with fewer, the thirst of seedlings is held
// against the forecast, and says little of the crop's (own judgement).
const leafDays = 14

// overForecast gives what plants and air took over what the plan's forecast has for the same days and leaves, and how much of
// a crop that is. (The thirst of the fit is held against a model of its own, in which what is not covered takes nothing.)
func (h *history) overForecast(l *ledger) (over, seen float64) {
	sum := 0.0
	for i := range h.spans {
		s := &h.spans[i]
		at := s.from
		for k := range s.steps {
			d := &s.steps[k]
			mid := h.start.Add(time.Duration((at + d.days/2) * 24 * float64(time.Hour)))
			cover := 1 - math.Exp(-d.leaf.of[1])
			sum += h.plan.Ground.Drinks(h.plan.Crop, h.plan.Ground.Daily(sky.DayOf(mid)).ET0, cover).Litres() * d.days
			seen += cover * d.days / leafDays
			at += d.days
		}
	}
	return (l.drunk + l.dried) / math.Max(1, sum), math.Min(1, seen)
}

// warm takes the readings of the solution over the model.
func (l *taught) warm(offsets []float64) {
	l.Read = len(offsets)
	if sd := warmthSpread(len(offsets)); sd < enough*sdWarmth {
		l.Warmth, l.WarmthSpread = unit.TemperatureStep(warmer(offsets)), unit.TemperatureStep(sd)
	}
}

// Warmth of a bed against the model, °C: how far it may be off before anything was read, and one
// thermometer's reading of it (reference methods, section 11); a day's weather is on top (sdDayWarmth).
const sdWarmth, sdThermometer = 1.2, 0.6

// readWarmth is the variance of a reading around what a bed's solution is on the mean.
const readWarmth = sdThermometer*sdThermometer + sdDayWarmth*sdDayWarmth

func (e *estimate) warmth() float64 { return warmer(e.h.offsets) }

// warmer gives how much warmer the solution was read than the model had it, shrunk towards nothing.
func warmer(offsets []float64) float64 {
	sum := 0.0
	for _, x := range offsets {
		sum += x
	}
	return sum / (float64(len(offsets)) + readWarmth/(sdWarmth*sdWarmth))
}

func warmthSpread(readings int) float64 {
	return 1 / math.Sqrt(1/(sdWarmth*sdWarmth)+float64(readings)/readWarmth)
}

// noThermometer is how far a reading may be from the model, °C: beyond it something else was read.
const noThermometer = 15

// offsets gives by how much the solution was read over a season that was moved by so much already.
func offsets(p *plan.Plan, log bed.Log, moved unit.TemperatureStep) (out []float64) {
	if p.Season == nil {
		return nil
	}
	if b := p.Brief.Bed; b.HeatTo.Given || b.CoolTo.Given { // what is held does not move
		moved = 0
	}
	for _, v := range log {
		if f := v.Read.WaterTemperature; f.Given {
			if x := float64(f.Value-p.Season.Solution(v.At, v.At.Hour())) + float64(moved); math.Abs(x) < noThermometer {
				out = append(out, x)
			}
		}
	}
	return out
}

// nearBatch is how far the day of a harvest may lie from that of the batch that it is held against (own choice).
const nearBatch = 8 * 24 * time.Hour

// harvests gives the logarithm of what heads weighed over what the model has for them on that day: for the oldest planting of
// the log that stood, else for the batch of the season whose harvest lies nearest. The log is as it was written: heads whose planting
// nobody wrote down were weighed too.
func harvests(p *plan.Plan, h *history, log bed.Log) (out []float64) {
	gone := 0
	for _, v := range log {
		if h != nil && v.At.After(h.visits[len(h.visits)-1].at) {
			break
		}
		for _, d := range v.Done {
			if lost, is := d.(bed.Lost); is {
				gone += lost.Heads
			}
			cut, is := d.(bed.Harvested)
			if !is || cut.Heads <= 0 {
				continue
			}
			gone += cut.Heads
			if cut.Mass <= 0 {
				continue
			}
			model := 0.0
			if h != nil {
				model = h.cutAt(v.At, gone)
			}
			if model == 0 && p.Season != nil {
				best := nearBatch
				for _, b := range p.Season.Batches {
					if away := v.At.Truncate(24 * time.Hour).Sub(b.Harvest).Abs(); away < best {
						best, model = away, b.Fresh.Grams()/p.Season.Fit
					}
				}
			}
			if model > 0 {
				out = append(out, math.Log(cut.Mass.Grams()/float64(cut.Heads)/model))
			}
		}
	}
	return out
}

// cutAt gives what a head weighs on a day by the model, g, with so many heads gone of the oldest plantings; 0 where no planting
// was written down.
func (h *history) cutAt(at time.Time, gone int) float64 {
	for i := range h.plantings {
		q := &h.plantings[i]
		if gone -= q.set; gone <= 0 && len(q.grown[1]) > 0 {
			return q.dry(1, h.after(at)) * float64(q.crop.Growth.Shoot) / float64(q.crop.Growth.DryMatter)
		}
	}
	return 0
}
