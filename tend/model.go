package tend

import "math"

// water is a vessel's water and what is dissolved in it.
type water struct {
	volume float64 // L
	in     amounts // mmol in all of it; inert in meq
}

func (w *water) litre() (out amounts) {
	x := 1 / max(1e-6, w.volume)
	for i := range out {
		out[i] = w.in[i] * x
	}
	return out
}

// ledger counts where everything went: what was in the bed, came and turned into it is what
// is in the bed with all that left.
type ledger struct {
	came, turned                                      amounts // turned: what became of it in the bed, in sum nothing but carbon
	eaten, leaked, spilled, dumped, settled, aired    amounts
	drunk, dried, rained, spill, leak, thrown, poured float64 // L
	grown                                             float64 // g dry, all plants
}

// pour adds a volume of solution of a strength (mmol/L).
func (w *water) pour(l *ledger, volume float64, strength amounts) {
	w.volume += volume
	w.in = w.in.plus(strength, volume)
	l.came = l.came.plus(strength, volume)
	l.poured += volume
}

// add dissolves something dry.
func (w *water) add(l *ledger, what amounts) {
	w.in = w.in.plus(what, 1)
	l.came = l.came.plus(what, 1)
}

// draw takes out mixed solution.
func (w *water) draw(volume float64) (taken amounts, drawn float64) {
	if volume <= 0 || w.volume <= 0 {
		return amounts{}, 0
	}
	drawn = min(volume, w.volume)
	taken = w.in.times(drawn / w.volume)
	w.volume -= drawn
	w.in = w.in.plus(taken, -1)
	return taken, drawn
}

// drift is what roots and microbes leave in the water that no balance reckons, meq/L: alkaline, or sour where it is
// negative.
func (w *water) drift(l *ledger, by float64) {
	w.in[inert] += by * w.volume
	l.turned[inert] += by * w.volume
}

func (w *water) dump(l *ledger, volume float64) {
	taken, drawn := w.draw(volume)
	l.dumped = l.dumped.plus(taken, 1)
	l.thrown += drawn
}

// spill lets run off what stands over the sill.
func (w *water) spill(l *ledger, brim float64) {
	taken, drawn := w.draw(w.volume - brim)
	l.spilled = l.spilled.plus(taken, 1)
	l.spill += drawn
}

// habits are how one bed and its plants behave: the slow unknowns.
type habits struct {
	thirst  float64 // factor on what plants and air take
	trend   float64 // its log change a week, about the middle of the log
	growth  float64
	size    float64 // log of the seedlings' size over the usual
	content amounts // mmol taken up for each gram of dry mass; of calcium half, the rest goes with the water drunk
	lime    float64 // factor on that rest
	urea    float64 // a day, at 22 °C, once it has begun
	lag     float64 // days from the filling until it has
	nitrify float64 // a day, the same
	begins  float64
	settle  float64 // share of phosphate a day and pH unit above settleFrom
	co2     float64 // pressure in the solution, atm
	breathe float64 // a day, towards it
}

// Uptake of what plants do not ask for (reference tables of uptake: judgement from closed
// crops) and of calcium with the water they drink.
const (
	passiveSodium   = 0.15
	passiveChloride = 0.35
	passiveCalcium  = 0.18
	ureaShare       = 0.02 // of nitrogen taken up as urea while there is some
	settleFrom      = 6.9  // pH above which calcium phosphate falls out
	mostOfIt        = 0.5  // of an ion that plants take in a step
	citrateHalf     = 4.0  // days in which half of it is eaten, at 22 °C
	doubling        = 10.0 // °C in which rates of life double
)

// half gives the strength (mmol/L) at which uptake is half of what plants ask for.
var half = amounts{nitrate: 0.05, phosphate: 0.006, potassium: 0.03, calcium: 0.1, magnesium: 0.02, sulfate: 0.02}

// ample gives the strength (mmol/L) at which plants that are offered more have taken half of what they take beyond need: four tenths
// of a content that begins at eight tenths, of nitrogen three from 0.85 (reference methods, section 2: judgement).
var ample = amounts{phosphate: 0.5, potassium: 2, magnesium: 0.8}

// day is the weather and growth of a step.
type day struct {
	days    float64
	drinks  float64 // L that leaves take, by the model: in a history under full leaf, in a step what there is
	dries   float64 // L that the open water loses
	rain    float64 // L on the frame
	leak    float64 // L
	grows   bySize  // g dry of all plants, by the model
	leaf    bySize  // leaf over the bed
	gains   float64 // g dry, of the size that there is
	airs    float64 // share of the way to the roots' breath that carbon goes, and
	rots    float64 // share of citrate that is eaten
	warmth  float64 // °C of the solution
	warm    float64 // how much faster life goes than at 22 °C
	since   float64 // days since the last filling of a bed without roots, at the middle of the step
	passing float64 // weeks from the middle of the log
}

// bySize is a figure for each size of seedling, and the parabola of its logarithm.
type bySize struct {
	of         [sizes]float64
	rise, bend float64
}

// bends works the parabola out.
func (b *bySize) bends() {
	if b.of[0] > 0 && b.of[1] > 0 && b.of[2] > 0 {
		up, down := math.Log(b.of[2]/b.of[1]), math.Log(b.of[1]/b.of[0])
		b.rise, b.bend = (up+down)/2, (up-down)/2
	}
}

// at gives the figure for a size that lies between; beyond them it goes straight on.
func (b *bySize) at(size float64) float64 {
	if size == 0 {
		return b.of[1]
	}
	x := max(-3, min(3, size/math.Log(startStep)))
	return b.of[1] * math.Exp(b.rise*x+b.bend*math.Abs(x)*min(1, math.Abs(x)))
}

// leafGain is the power of growth with which leaf rises (own judgement: leaves get thicker).
const leafGain = 0.8

// density gives the share of a full crop's thirst that one has which covers a share of the ground:
// plants that stand alone catch the light and wind of more than their shade (Allen & Pereira 2009,
// density coefficient with 1.5 to 2.0 for the first slope and a height of 0.3 m, from memory).
func density(cover float64) float64 {
	const slope = 1.75
	if cover < 0.08 { // below 0.0886 the slope is the less of the two
		return slope * max(0, cover)
	}
	return min(1, slope*cover, math.Exp(math.Log(cover)/1.3))
}

// lively gives a day what goes on in it where a bed has such habits.
func (d *day) lively(b *habits) {
	d.gains = d.grows.at(b.size) * b.growth
	d.drinks *= density(1 - math.Exp(-d.leaf.at(b.size)*math.Pow(b.growth, leafGain)))
	d.breathes(b)
}

// breathes gives it what goes on without plants.
func (d *day) breathes(b *habits) {
	d.airs = lost(b.breathe * d.days)
	d.rots = lost(math.Ln2 * d.warm * d.days / citrateHalf)
}

// lost gives the share that is lost at a rate times time.
func lost(x float64) float64 {
	if x < 0.25 { // the series is exact to 1e-10 there
		x2 := x * x
		return x * ((1 - x*(1./2)) + x2*((1./6-x*(1./24))+x2*((1./120-x*(1./720))+x2*(1./5040-x*(1./40320)))))
	}
	return 1 - math.Exp(-x)
}

// stays gives the share that is not.
func stays(x float64) float64 {
	if x < 0.25 {
		return 1 - lost(x)
	}
	return math.Exp(-x)
}

// bounded is a figure no more than one and no less than another.
func bounded(x, least, most float64) float64 {
	if x > most {
		x = most
	}
	if x < least {
		x = least
	}
	return x
}

// step lives through part of a day. h is the activity of H+ at its beginning, taken
// and given.
func (w *water) step(l *ledger, d *day, b *habits, brim float64, n *near, h float64, way *way) float64 {
	if w.volume < 1 {
		return h
	}
	c := w.litre()
	pH := way.acidity(h)
	thirst := b.thirst * max(0.1, 1+b.trend*d.passing)
	drinks, dries := min(d.drinks*thirst, 0.3*w.volume), min(d.dries*thirst, 0.2*w.volume)
	w.feed(l, d.gains, drinks, b, &c)
	w.turn(l, d, b, pH, n, &c)
	w.settleOut(l, d, b, pH)
	w.volume -= drinks + dries
	l.drunk += drinks
	l.dried += dries
	if d.leak > 0 {
		taken, drawn := w.draw(runsOut(d.leak, w.volume))
		l.leaked = l.leaked.plus(taken, 1)
		l.leak += drawn
	}
	if d.rain > 0 {
		w.volume += d.rain
		l.rained += d.rain
		if w.volume > brim {
			w.spill(l, brim)
		}
	}
	// carbon goes towards what the roots' breath holds
	c = w.litre()
	if way.near = way.near && way.h > 0; way.near { // where the other bed was empty there is no way
		way.open = n.once(&c, way.open, b.co2)
	} else {
		if way.h == 0 {
			way.open, way.h = h, h
		}
		way.open = n.hydrogen(&c, way.open, b.co2)
	}
	carbonNow := (c[carbon] + (n.held(way.open, b.co2)-c[carbon])*d.airs) * w.volume
	l.aired[carbon] += w.in[carbon] - carbonNow
	w.in[carbon] = carbonNow
	if c[carbon] = carbonNow / w.volume; way.near {
		way.h = n.once(&c, way.h, -1)
	} else {
		way.h = n.hydrogen(&c, way.h, -1)
	}
	return way.h
}

// runsOut gives what leaks in a step of what would leak of a full bed: what is nearly empty leaks slowly, and some of it stays.
func runsOut(leak, volume float64) float64 {
	half := volume / 2
	if leak <= half {
		return leak
	}
	return volume - half*max(0.01, math.Exp(1-leak/half))
}

// way is where the pH of a step went, open to the roots' breath and as it was; what stands there from before is where the search begins. A run that is
// near another goes its way with one step of a solver.
type way struct {
	open, h float64
	near    bool
	of, pH  float64 // the activity of which the pH was asked last, and it
}

// acidity gives the pH of an activity of H+.
func (y *way) acidity(h float64) float64 {
	if h != y.of {
		y.of, y.pH = h, pHof(h)
	}
	return y.pH
}

// feed takes out what plants eat while they grow so much and drink so much.
func (w *water) feed(l *ledger, grown, drinks float64, b *habits, c *amounts) {
	l.grown += grown
	take := func(i ion, asked float64) float64 {
		got := bounded(asked, 0, mostOfIt*w.in[i])
		w.in[i] -= got
		l.eaten[i] += got
		return got
	}
	met := func(i ion) float64 { return c[i] / (c[i] + half[i]) }
	asked := b.content[nitrate] * grown
	if c[urea] > 0.05 {
		asked -= take(urea, ureaShare*asked)
	}
	if n := c[nitrate] + c[ammonium]; n > 0 {
		asked *= (0.85 + 0.30*n/(n+4)) * n / (n + half[nitrate])
		reduced := 3 * c[ammonium] / (c[nitrate] + 3*c[ammonium])
		got := take(ammonium, asked*reduced)
		take(nitrate, asked-got)
	}
	for _, i := range [...]ion{phosphate, potassium, magnesium} {
		take(i, b.content[i]*grown*met(i)*(0.8+0.4*c[i]/(c[i]+ample[i])))
	}
	take(sulfate, b.content[sulfate]*grown*met(sulfate))
	take(calcium, b.content[calcium]*grown*met(calcium)+passiveCalcium*b.lime*c[calcium]*drinks)
	take(sodium, passiveSodium*c[sodium]*drinks)
	take(chloride, passiveChloride*c[chloride]*drinks)
}

// turn lets urea become ammonium, ammonium nitrate, and citrate carbon dioxide.
func (w *water) turn(l *ledger, d *day, b *habits, pH float64, n *near, c *amounts) {
	ramp := func(begins float64) float64 { return bounded((d.since-begins)*(1./3)+0.5, 0, 1) }
	if w.in[urea] > 0 {
		x := w.in[urea] * lost(b.urea*d.warm*ramp(b.lag)*d.days)
		w.in[urea] -= x
		w.in[ammonium] += x
		w.in[carbon] += x / 2
		l.turned[urea] -= x
		l.turned[ammonium] += x
		l.turned[carbon] += x / 2
	}
	if w.in[ammonium] > 0 {
		sour := bounded((pH-5)*(1/1.4), 0, 1)
		x := w.in[ammonium] * lost(b.nitrify*d.warm*sour*ramp(b.begins)*d.days)
		if x > 0 { // the acid that it makes stops it: no more than brings the water to where it rests, the nearer the slower
			left, _, _ := n.charge(c, c.strong(), restsAt, -1)
			most := max(1e-9, left*w.volume/2)
			x /= math.Sqrt(1 + x*x/(most*most))
		}
		w.in[ammonium] -= x
		w.in[nitrate] += x
		l.turned[ammonium] -= x
		l.turned[nitrate] += x
	}
	if w.in[citrate] > 0 {
		x := w.in[citrate] * d.rots
		w.in[citrate] -= x
		w.in[carbon] += 6 * x
		l.turned[citrate] -= x
		l.turned[carbon] += 6 * x
	}
}

// restsAt is the activity of H+ at which ammonium no longer turns (reference methods, section 5).
const restsAt = 1e-5

// settleOut lets calcium phosphate fall out of a solution that is not sour.
func (w *water) settleOut(l *ledger, d *day, b *habits, pH float64) {
	if pH <= settleFrom || w.in[calcium] <= 0 {
		return
	}
	x := min(w.in[phosphate]*lost(b.settle*(pH-settleFrom)*d.warm*d.days), mostOfIt*w.in[calcium])
	for _, i := range [...]ion{phosphate, calcium} {
		w.in[i] -= x
		l.settled[i] += x
	}
}
