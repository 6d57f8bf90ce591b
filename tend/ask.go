package tend

import (
	"math"
	"slices"

	"raftwright/finding"
)

// Ask is the one reading that would change the advice most; "" where none would.
type Ask struct {
	Reading string // the key of the log
	Why     finding.ID
	Value   float64 // by how much it lowers the expected loss
}

// Nodes and weights of Gauss and Hermite for the standard normal law, seven points (Abramowitz & Stegun,
// table 25.10, turned to unit spread; from memory, and checked in a test against its moments).
var (
	hermiteAt     = [...]float64{-3.750439717725742, -2.366759410734541, -1.154405394739968, 0, 1.154405394739968, 2.366759410734541, 3.750439717725742}
	hermiteWeight = [...]float64{0.000548268855972, 0.030757123967586, 0.240123178605013, 0.457142857142857, 0.240123178605013, 0.030757123967586, 0.000548268855972}
)

// askFrom is the value from which on a reading is asked for (reference methods, section 13).
const askFrom = 0.05

// Strips and kits, one standard deviation of the logarithm (shared reference, meter errors: bias and noise together).
const (
	sdNitrateStrip = 0.32
	sdAmmoniumKit  = 0.29
)

// question is a reading that could be taken.
type question struct {
	key string
	sd  float64
	of  func(*lived, *point) float64
}

func (a *adviser) questions() []question {
	p := a.e.pens
	out := []question{
		{"depth", math.Hypot(p.rule, p.ruleStep/root12), func(b *lived, x *point) float64 { return x.volume / (b.of.area * b.area) }},
	}
	if a.has(readEC) {
		out = append(out, question{"ec", math.Hypot(p.ecGain, p.ecNoise), func(_ *lived, x *point) float64 { return math.Log(x.ec) }})
	}
	if a.has(readPH) {
		out = append(out, question{"ph", math.Hypot(p.phBias, math.Hypot(p.phNoise, sdBreathing)), func(_ *lived, x *point) float64 { return x.pH }})
	}
	return append(out,
		question{"ammonium-n", sdAmmoniumKit, func(_ *lived, x *point) float64 { return math.Log(math.Max(0.01, x.in[ammonium])) }},
		question{"nitrate-n", sdNitrateStrip, func(_ *lived, x *point) float64 { return math.Log(math.Max(0.01, x.in[nitrate])) }})
}

// has says whether the grower has ever taken a kind of reading.
func (a *adviser) has(kind readingKind) bool {
	for _, r := range a.e.best.reads {
		if r.kind == kind {
			return true
		}
	}
	return false
}

// read says whether a kind was read at this moment, and the reading stands.
func (a *adviser) read(key string) bool {
	now := a.future.at
	for _, r := range a.e.best.reads {
		if keyOf[r.kind] == key && r.good >= 0.5 && now.Sub(a.h.visits[r.visit].at).Hours() < 12 {
			return true
		}
	}
	return false
}

// ask finds the reading with the greatest value: the loss of the best action now less the mean loss of the best one
// once it is read. The drawn beds are weighed by how well each explains the reading.
func (a *adviser) ask(chosen trial, tried []trial) Ask {
	var best Ask
	for _, q := range a.questions() {
		if a.read(q.key) {
			continue
		}
		if v := a.worth(q, chosen, tried); v > askFrom && v > best.Value {
			best = Ask{Reading: q.key, Why: WhyAskValue, Value: v}
		}
	}
	if best.Reading == "" && !a.read("depth") {
		return Ask{Reading: "depth", Why: WhyAskMissing}
	}
	return best
}

// shows gives what a question would find in each drawn bed.
func (a *adviser) shows(q question) []float64 {
	out := make([]float64, len(a.beds))
	for i := range a.beds {
		b := &a.beds[i]
		p := b.point(&b.water, b.h, pHof(b.h))
		out[i] = q.of(b, &p)
	}
	return out
}

// worth gives the value of one reading.
func (a *adviser) worth(q question, chosen trial, tried []trial) float64 {
	shows := a.shows(q)
	mean, square := 0.0, 0.0
	for _, x := range shows {
		mean += x / float64(len(shows))
		square += x * x / float64(len(shows))
	}
	spread := math.Sqrt(math.Max(0, square-mean*mean) + q.sd*q.sd)
	value := 0.0
	for k, z := range hermiteAt {
		value += hermiteWeight[k] * a.gain(q, shows, mean+spread*z, chosen, tried)
	}
	return value
}

// gain gives by how much the best action then is better than the chosen one, once a reading is y; shows is what each
// drawn bed would show.
func (a *adviser) gain(q question, shows []float64, y float64, chosen trial, tried []trial) float64 {
	weights, sum := make([]float64, len(shows)), 0.0
	for i, x := range shows {
		d := (y - x) / q.sd
		weights[i] = math.Exp(-d * d / 2)
		sum += weights[i]
	}
	if sum < 1e-9 { // none of the beds would show that
		return 0
	}
	loss := func(t *trial) float64 {
		x := t.cost
		for i, w := range weights {
			x += w / sum * t.losses[i]
		}
		return x
	}
	now := loss(&chosen)
	least := now
	for i := range tried {
		least = math.Min(least, loss(&tried[i]))
	}
	return now - least
}

// Setting a pen in known solutions takes as much of a grower as a dose (own judgement), and is thought of where so many of the beds are out
// by the next visit.
const (
	costSet = 0.2
	mayPass = 0.1
)

// settingPays says whether the pH is to be read with a pen just set before it is decided: what that reading is worth is more than it costs. A pen
// that was set within a month has no more to tell.
func (a *adviser) settingPays(chosen trial, tried []trial) bool {
	if age, given := a.penAge(); given && math.Floor(age) <= penFresh || chosen.refill || a.noPH || a.ending() || !a.read("ph") {
		return false
	}
	if chosen.acid == 0 && chosen.base == 0 {
		var side trouble
		for _, t := range [...]trouble{{LimitPH, 1}, {LimitPH, -1}} {
			if a.mayPass(t.side) > mayPass {
				side = t
			}
		}
		list := []remedy{{}}
		switch side.side {
		case 1:
			list = append(list, a.soured(remedy{}, side)...)
		case -1:
			list = append(list, a.sweetened(remedy{}, side)...)
		}
		if len(list) == 1 {
			return false
		}
		tried = append(slices.Clone(tried), a.screen(list)[1:]...)
	}
	p := a.e.pens
	q := question{"ph", math.Hypot(p.phSet, math.Hypot(p.phNoise, sdBreathing)), func(_ *lived, x *point) float64 { return x.pH }}
	return a.worth(q, chosen, tried) > costSet
}

// mayPass gives the most of the beds whose pH, left alone, is over its limit (side 1) or under it (-1) on a day to the next visit.
func (a *adviser) mayPass(side int) (most float64) {
	for d := range a.rest + 1 {
		n := 0
		for i := range a.idle {
			if a.bounds[onPH].side(a.idle[i][d].pH) == side {
				n++
			}
		}
		most = max(most, float64(n)/float64(len(a.idle)))
	}
	return most
}
