package tend

import (
	"math"
	"time"

	"raftwright/chem"
	"raftwright/unit"
)

// unknown is one thing that nobody measured: how far it may be off (one standard
// deviation, of its logarithm where it is a factor), and the span from which on it counts.
type unknown struct {
	kind  unknownKind
	index int
	sd    float64
	from  int
}

type unknownKind int

const (
	unGrowth unknownKind = iota
	unThirst
	unTrend
	unArea
	unDatum
	unGain
	unBias
	unLevel
	unDose
	unAct
	unTissue
	unUrea
	unNitrify
	unSettle
	unCarbon
	unBreath
	unSource
	unAir
	unRain
	unBurst
	unOnset
	unLeak
	unFirst
	unBrim
	unSize
	unLag
	unBegins
	unSour
	unTilt
	unHole
)

// How far the unknowns may be off (judgement of the reference methods, section 9, from
// tissue tables, meter leaflets and lumber; the same for every bed).
const (
	sdGrowth  = 0.30
	sdThirst  = 0.30
	sdSize    = 0.40 // of seedlings: their age and light
	sdTrend   = 0.22 // a week
	sdArea    = 0.02
	sdDatum   = 3.0 // mm
	sdLevel   = 4.0 // mm
	sdUrea    = 0.5
	sdNitrify = 0.7
	sdSettle  = 0.6
	sdCarbon  = 0.45
	sdBreath  = 0.35
	sdTested  = 0.03
	sdGuessed = 0.25
	sdAir     = 0.16 // of a day, once the bed's thirst is known
	sdGauge   = 0.10 // of rain that was written
	sdModelEC = 0.015
	sdWrong   = 0.45 // of a first dose that is not what was written
	sdTilt    = 0.20 // of a pH reckoned from a charge balance: which pairs and constants are counted (own judgement)
	sdBrim    = 4.0  // mm, of the sill: the saw's cut, and the bed out of level
	sdLag     = 1.5  // days until urea turns
	sdBegins  = 3.0  // days until ammonium does
	sdSour    = 0.07 // meq/L in a day's time, of what roots and microbes leave in it over what is reckoned (own judgement)
)

// Start values (reference methods, sections 2 and 5: judgement).
const (
	usualUrea    = 0.19
	usualLag     = 6.0
	usualNitrify = 0.06
	usualBegins  = 11.5
	usualSettle  = 0.05
	usualCarbon  = 3 * float64(chem.AirCO2/unit.Atmosphere)
	usualBreath  = 0.7
)

var sdTissue = map[ion]float64{nitrate: 0.09, phosphate: 0.18, potassium: 0.15, calcium: 0.18, magnesium: 0.18, sulfate: 0.18}

// pens is how far the grower's instruments may be off.
type pens struct {
	ecGain, ecNoise, ecStep float64 // of the logarithm, of the logarithm, mS/cm
	phBias, phNoise, phStep float64
	rule, ruleStep          float64   // mm
	set                     time.Time // the day, where it lies within the log: readings from then on are those of other pens
	ecSet, phSet            float64   // how far off these are
}

// How far off a pen is within a month of being set in a known solution (shared reference, meter errors).
const (
	sdSetEC = 0.03
	sdSetPH = 0.10
)

// supposal is one reading of a log: that the bed leaks from a moment on, that the first
// dose was not what was written, or neither.
type supposal struct {
	leakFrom float64 // days from the start, the middle of the span in which it begins; < 0: no leak
	wrong    int     // the first dose of this product, allProducts, or noProduct
	hole     bool    // it loses far more than drips
}

// Which dose was wrong.
const (
	noProduct   = -1
	allProducts = -2
)

// unknowns lists what a log leaves open.
func (h *history) unknowns(p pens, s supposal, reads readings) []unknown {
	u := []unknown{{kind: unGrowth, sd: sdGrowth}, {kind: unThirst, sd: sdThirst}, {kind: unSize, sd: sdSize}, {kind: unTrend, sd: sdTrend}, {kind: unArea, sd: sdArea},
		{kind: unDatum, sd: sdDatum, from: math.MaxInt32}, {kind: unLevel, sd: sdLevel}}
	if reads.ec {
		u = append(u, unknown{kind: unGain, sd: math.Hypot(p.ecGain, sdModelEC), from: math.MaxInt32})
		if !p.set.IsZero() {
			u = append(u, unknown{kind: unGain, index: 1, sd: math.Hypot(p.ecSet, sdModelEC), from: math.MaxInt32})
		}
	}
	if reads.ph {
		u = append(u, unknown{kind: unBias, sd: p.phBias, from: math.MaxInt32})
		if !p.set.IsZero() {
			u = append(u, unknown{kind: unBias, index: 1, sd: p.phSet, from: math.MaxInt32})
		}
		u = append(u, unknown{kind: unTilt, sd: sdTilt, from: math.MaxInt32}, unknown{kind: unCarbon, sd: sdCarbon}, unknown{kind: unBreath, sd: sdBreath})
	}
	source := sdTested
	if h.guessed {
		source = sdGuessed
	}
	u = append(u, unknown{kind: unSource, sd: source})
	if s.wrong != noProduct {
		u = append(u, unknown{kind: unFirst, sd: sdWrong})
	}
	if h.rains() {
		u = append(u, unknown{kind: unBrim, sd: sdBrim})
	}
	u = append(u, h.dosed()...)
	for i := range ions {
		if sd := sdTissue[i]; sd > 0 {
			u = append(u, unknown{kind: unTissue, index: int(i), sd: math.Hypot(sd, h.crop.other)})
		}
	}
	if h.hasUrea() {
		u = append(u, unknown{kind: unUrea, sd: sdUrea}, unknown{kind: unLag, sd: sdLag})
	}
	u = append(u, unknown{kind: unNitrify, sd: sdNitrify}, unknown{kind: unBegins, sd: sdBegins})
	if reads.ph {
		u = append(u, unknown{kind: unSettle, sd: sdSettle})
	}
	for i, s := range h.spans {
		if i <= h.emptied || s.days <= 0 {
			continue
		}
		u = append(u, unknown{kind: unAir, index: i, sd: sdAir / math.Sqrt(max(0.25, s.days)), from: i})
		if reads.ph && i >= len(h.spans)-soured {
			u = append(u, unknown{kind: unSour, index: i, sd: sdSour * math.Sqrt(s.days), from: i})
		}
		switch {
		case s.rain.noted && s.rain.litres > 0:
			u = append(u, unknown{kind: unRain, index: i, sd: sdGauge, from: i})
			if s.days > 1.25 && s.days < longBurst && s.rain.litres > leastBurst*h.area {
				u = append(u, unknown{kind: unBurst, index: i, sd: 1, from: i})
			}
		case !s.rain.noted && s.rain.usual > 0:
			u = append(u, unknown{kind: unRain, index: i, sd: sdUnnoted, from: i})
		}
	}
	if s.leakFrom >= 0 {
		if i := h.spanOf(s.leakFrom); i > h.emptied {
			u = append(u, unknown{kind: unOnset, index: i, sd: 1, from: i})
		}
		kind := unLeak
		if s.hole {
			kind = unHole
		}
		u = append(u, unknown{kind: kind, sd: 1, from: h.spanOf(s.leakFrom)}) // the last of such a story
	}
	for i := range u {
		u[i].from = max(u[i].from, h.emptied)
	}
	return u
}

// dosed lists what is open of doses and of what was poured, from the last filling before anything was read.
func (h *history) dosed() (u []unknown) {
	used := map[int]bool{}
	for i := h.emptied; i < len(h.visits); i++ {
		v := &h.visits[i]
		from := max(0, v.filledBy())
		for k, a := range v.acts[from:] {
			for _, b := range a.by {
				if !used[b.product] {
					used[b.product] = true
					u = append(u, unknown{kind: unDose, index: b.product, sd: h.spread[b.product], from: i})
				}
			}
			if a.free > 0 {
				u = append(u, unknown{kind: unAct, index: v.first + from + k, sd: a.free, from: i})
			}
		}
	}
	return u
}

// soured is how many of the last spans may each have left something sour in the water: what did so before them is long in the readings.
const soured = 12

// rains says whether rain may fall into the bed.
func (h *history) rains() bool {
	for _, s := range h.spans {
		if s.rain.litres > 0 || s.rain.usual > 0 {
			return true
		}
	}
	return false
}

// Rain that was written for a few days fell mostly on one of them, and which is not known: it matters where it ran over, since what is drunk
// after it is missing then. Less than so many mm, or in more days than that, is taken to have fallen evenly.
const (
	leastBurst = 4.0
	longBurst  = 4.5
)

// sdUnnoted is the log spread of rain that nobody wrote down: as wide as its mean.
const sdUnnoted = 0.83

// readings says what kinds of readings a log has.
type readings struct{ ec, ph bool }

func (h *history) hasUrea() bool {
	for _, v := range h.visits {
		for _, a := range v.acts {
			if a.what[urea] > 0 {
				return true
			}
		}
	}
	return false
}

func (h *history) spanOf(at float64) int {
	for i, v := range h.visits {
		if h.after(v.at) > at {
			return i
		}
	}
	return len(h.visits)
}

// usualLeak is the leak that a supposal begins with, and its spread: L a day (reference methods, section 8).
const usualLeak, sdLeak = 6.0, 4.0

// usualHole is what a hole loses that a supposal begins with, L a day, and the spread of its logarithm: nine of ten lose 9 to 180 L, half an inch to nine inches a
// day of a bed of 4 x 8 ft (own judgement).
const usualHole, sdHole = 40.0, 0.9

// setting is all unknowns given values: what a run of the bed needs.
type setting struct {
	habits
	area, datum, level         float64
	gain, bias                 [2]float64 // of the pens as they were, and as they were set within the log
	tilt                       float64    // of the true pH over that of the sums
	source                     float64
	dose, act, air, rain, sour []float64
	burst                      []float64 // days from the beginning of a span to the middle of the day of its rain; 0: it fell evenly
	leak, leakFrom             float64
	first                      float64
	wrong                      int
	lively                     [][]alive // nil: worked out on the way
	brim                       float64   // mm
}

// set gives values to the unknowns: x is each in standard deviations.
func (h *history) set(list []unknown, x []float64, s supposal, at *setting) {
	*at = setting{area: 1, source: 1, dose: at.dose, act: at.act, air: at.air, rain: at.rain, sour: at.sour, burst: at.burst, leakFrom: s.leakFrom, first: 1, wrong: s.wrong}
	if at.dose == nil {
		last := &h.visits[len(h.visits)-1]
		at.dose, at.act = make([]float64, len(h.portion)), make([]float64, last.first+len(last.acts))
		at.air, at.rain, at.sour, at.burst = make([]float64, len(h.spans)), make([]float64, len(h.spans)), make([]float64, len(h.spans)), make([]float64, len(h.spans))
	}
	for _, list := range [...][]float64{at.dose, at.act, at.air, at.rain} {
		for i := range list {
			list[i] = 1
		}
	}
	clear(at.sour)
	clear(at.burst)
	at.habits = h.usualHabits()
	for k, u := range list {
		h.give(at, u, x[k])
	}
}

// usualHabits are those of a bed of which nothing is known.
func (h *history) usualHabits() habits {
	return habits{thirst: 1, growth: 1, content: h.crop.content, lime: h.crop.lime, urea: usualUrea, lag: usualLag, nitrify: usualNitrify, begins: usualBegins,
		settle: usualSettle, co2: usualCarbon, breathe: usualBreath}
}

// give gives a value to one of them.
func (h *history) give(at *setting, u unknown, x float64) {
	v := x * u.sd
	factor := math.Exp(v)
	switch u.kind {
	case unGrowth:
		at.growth = factor
	case unSize:
		at.size = v
	case unThirst:
		at.thirst = factor
	case unTrend:
		at.trend = v
	case unArea:
		at.area = factor
	case unDatum:
		at.datum = v
	case unGain:
		at.gain[u.index] = v
	case unBias:
		at.bias[u.index] = v
	case unTilt:
		at.tilt = v
	case unLevel:
		at.level = v
	case unDose:
		at.dose[u.index] = factor
	case unAct:
		at.act[u.index] = factor
	case unTissue:
		at.content[u.index] = h.crop.content[u.index] * factor
		if ion(u.index) == calcium {
			at.lime = h.crop.lime * factor
		}
	case unUrea:
		at.urea = usualUrea * factor
	case unLag:
		at.lag = max(0, usualLag+v)
	case unBegins:
		at.begins = max(0, usualBegins+v)
	case unSour:
		at.sour[u.index] = v
	case unNitrify:
		at.nitrify = usualNitrify * factor
	case unSettle:
		at.settle = usualSettle * factor
	case unCarbon:
		at.co2 = usualCarbon * factor
	case unBreath:
		at.breathe = usualBreath * factor
	case unSource:
		at.source = factor
	case unAir:
		at.air[u.index] = factor
	case unRain:
		if u.sd == sdUnnoted {
			factor *= math.Exp(-sdUnnoted * sdUnnoted / 2)
		}
		at.rain[u.index] = factor
	case unBurst:
		at.burst[u.index] = 0.5 + (h.spans[u.index].days-1)*evenly(x)
	case unOnset: // at any moment of its span alike
		span := &h.spans[u.index]
		at.leakFrom = span.from + span.days*evenly(x)
	case unLeak:
		at.leak = max(0, usualLeak+sdLeak*x)
	case unHole:
		at.leak = usualHole * math.Exp(sdHole*x)
	case unBrim:
		at.brim = v
	case unFirst:
		at.first = factor
	}
}

// evenly makes of a normal figure one that may lie anywhere from 0 to 1 alike.
func evenly(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
