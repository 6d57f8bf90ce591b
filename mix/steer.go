package mix

import (
	"math"
	"slices"

	"raftwright/finding"
	"raftwright/unit"
)

// A crop has a range of EC, and a recipe for another crop is too weak or too strong for
// it. Two things steer the mix into the range: the recipe is taken at another strength,
// so that its elements keep their ratio, and the sum of doses pays for every EC outside
// the range, beside what it pays for each element. At a strength the sum stays convex:
// the EC is taken as it rises from the doses at hand, which after a round or two are
// those that come out.

const (
	ecWeight = 1.0 // of an EC off the range, of its end, beside an element's own (own choice)
	// ecWithin is how far inside the range the mix is steered, so that neither the
	// measure nor the straight line takes it out.
	ecWithin = 0.02
	// leastStrength and mostStrength bound the strength of the recipe: a twentieth above
	// the low end of its bands, and what no crop asks for (own choice).
	leastStrength = 0.85
	mostStrength  = 2.0
)

// FindSteered tells the strength that the recipe was taken at for the crop.
const FindSteered finding.ID = "mix.steered"

// rising is the EC, mS/cm, as it rises from doses at hand.
type rising struct {
	base      float64
	slopes    []float64 // for a g/L of each product
	low, high float64   // the range; an end moves to what the strengths of a recipe reach
}

// at gives the EC of doses.
func (r *rising) at(doses []float64) float64 {
	ec := r.base
	for j, d := range doses {
		ec += r.slopes[j] * d
	}
	return ec
}

// term is what an EC costs, as a term of a program.
func (r *rising) term() term {
	return term{at: r.base, bends: []bend{{r.low, ecWeight / sq(r.low), true}, {r.high, ecWeight / sq(r.high), false}}}
}

// cost is what the EC of doses costs, twice the program's.
func (r *rising) cost(doses []float64) float64 {
	if r == nil {
		return 0
	}
	t := r.term()
	return 2 * t.cost(r.at(doses))
}

// steers says whether the crop's range counts: where neither an EC nor figures nor a
// strength were asked for.
func (s *solver) steers() bool {
	t := s.job.Target
	return s.found == nil && s.job.Pinned == nil && s.job.Crop.EC.High > 0 && t.EC == 0 && t.Strength == 0 && len(t.Figures) == 0 && len(s.products) > 0
}

// rise finds how the EC rises from these doses.
func (s *solver) rise(doses []float64) error {
	at, err := s.milli(doses)
	if err != nil {
		return err
	}
	r := &rising{base: at, slopes: make([]float64, len(s.products)), low: s.wanted.Low, high: s.wanted.High}
	const step = 0.02 // g/L
	next := make([]float64, len(doses))
	for j := range r.slopes {
		copy(next, doses)
		next[j] += step
		ec, err := s.milli(next)
		if err != nil {
			return err
		}
		r.slopes[j] = (ec - at) / step
		r.base -= r.slopes[j] * doses[j]
	}
	s.ec = r
	return nil
}

// milli is the conductivity of doses, mS/cm.
func (s *solver) milli(doses []float64) (float64, error) {
	ec, err := s.conductivity(doses)
	return ec.MillisiemensPerCentimetre(), err
}

// relaxed gives the best amounts of all products, however many; none where no amounts
// keep the limits.
func (s *solver) relaxed() []float64 {
	x := make([]float64, s.blend.p.n)
	if !s.blend.p.minimise(make([]float64, s.blend.p.n), s.blend.upper, x) {
		clear(x)
	}
	return s.blend.doses(x)
}

// feeds says whether any amounts of the products feed the crop at the strength that
// stands.
func (s *solver) feeds() bool {
	return !slices.ContainsFunc(reached(s.blend.wishes, s.blend.achieved(s.relaxed())), Wish.lacks)
}

// steer finds the strength of the recipe, nearest to its own, at which the best mix of
// the shelf has an EC in the crop's range, and how the EC rises there. What no strength
// reaches moves the range: a salty water takes no element out of its band.
func (s *solver) steer() (float64, error) {
	off := func(strength, want float64) (float64, error) {
		if err := s.pose(strength); err != nil {
			return 0, err
		}
		ec, err := s.milli(s.relaxed())
		if err != nil {
			return beyondAny, nil // more salt than the chemistry reckons with
		}
		return ec - want, nil
	}
	if err := s.pose(1); err != nil {
		return 0, err
	}
	if _, err := s.settleAcid(s.relaxed()); err != nil {
		return 0, err
	}
	now, err := off(1, 0)
	if err != nil {
		return 0, err
	}
	const inside = 1 - ecWithin
	s.wanted = Band{s.job.Crop.EC.Low / inside, s.job.Crop.EC.High * inside}
	strength, want, low, high := 1.0, s.wanted.Low, 1.0, mostStrength
	if now > s.wanted.High {
		want, low, high = s.wanted.High, leastStrength, 1
	}
	outside := now > s.wanted.High || now < s.wanted.Low
	if outside && s.feeds() { // else more of it helps nobody
		guess := min(max(want/now, low), high)
		x, beyond, err := crossing{func(x float64) (float64, error) { return off(x, want) }, low, high, guess, 1.1, 1e-4}.find()
		if err != nil {
			return 0, err
		}
		if !beyond || want == s.wanted.High {
			strength = x
		}
		for range 6 { // a weaker one that still feeds
			if err := s.pose(strength); err != nil || strength >= 1 || s.feeds() {
				break
			}
			strength = (1 + strength) / 2
		}
	}
	if now, err = off(strength, 0); err != nil {
		return 0, err
	}
	s.wanted = Band{min(s.wanted.Low, now), max(s.wanted.High, now)}
	return strength, s.rise(s.relaxed())
}

// straight says whether the line of the EC still holds at the doses that came out, and
// draws it anew where it does not.
func (s *solver) straight() (bool, error) {
	if s.ec == nil {
		return true, nil
	}
	ec, err := s.milli(s.exact.doses)
	if err != nil {
		return false, err
	}
	const near = 0.003 // of the EC: a tenth of what a pen shows
	if math.Abs(s.ec.at(s.exact.doses)-ec) <= near*ec {
		return true, nil
	}
	return false, s.rise(s.exact.doses)
}

// judgeSteered says at what strength the recipe was taken for the crop.
func (s *solver) judgeSteered(m *Mix) []finding.Finding {
	if s.ec == nil || math.Abs(s.scale-1) < 0.02 {
		return nil
	}
	milli := func(x float64) unit.Conductivity { return unit.Conductivity(x) * unit.MillisiemensPerCentimetre }
	return []finding.Finding{{ID: FindSteered, Severity: finding.Note, Figure: unit.Fraction(s.scale), Source: ownRule,
		Args: finding.Args{"Share": unit.Fraction(s.scale), "Low": milli(s.job.Crop.EC.Low), "High": milli(s.job.Crop.EC.High), "EC": m.EC}}}
}
