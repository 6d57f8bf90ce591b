package trouble

import (
	"cmp"
	"math"
	"slices"

	"raftwright/internal/inorder"
	"raftwright/source"
)

// Evidence is what is known of a bed in trouble.
type Evidence struct {
	Seen  []string           // signs of the group Seen; where there is one, what is not among them was not seen
	Facts map[string]float64 // of any other group how likely each member is, together 1; left out: not known
	Not   []string           // signs of the group Seen that somebody looked for and did not see
	Skip  []string           // signs and groups that Next does not ask for: nobody knows
	Reach int                // the most effort that Next asks for; 0: any
}

// Cause is a trouble with its share.
type Cause struct {
	Trouble      string
	Share        float64  // of 1; what all of them leave is "do not know"
	For, Against []string // signs, the weightiest first
	Refer        Refer
	Adds         []Addition // what is added against a want
	Source       source.ID
}

// Question is the sign or the group of facts that would tell most.
type Question struct {
	Group string   // Seen, or the group of facts
	Signs []string // what to tell apart: one sign of Seen, or all of the group
	Fall  float64  // of the doubt that is expected, in bits
}

// How evidence weighs (reference methods, section 14: judgement, held to the cases of the test).
const (
	brake    = 0.75 // on every sign, because signs overlap
	unknown  = 0.10 // mass of "do not know", on the scale of the priors
	hallmark = 0.6  // how often a trouble shows a sign from which on its absence tells
	absent   = 0.6  // weight of a hallmark that nobody named: it may be overlooked
	missed   = 0.05 // how often a hallmark that is there is not recognized
	telling  = 0.15 // logarithm of a ratio from which on a sign is listed for or against
)

// Rank gives the troubles, the likeliest first.
func (b Book) Rank(e Evidence) []Cause {
	scores, total := b.scores(e)
	out := make([]Cause, len(b.troubles))
	seen, told := b.sees(e), b.told(e)
	for i := range b.troubles {
		x := &b.troubles[i]
		out[i] = Cause{Trouble: x.key, Share: scores[i] / total, Refer: x.refer, Adds: x.adds, Source: x.source}
		out[i].For, out[i].Against = b.reasons(x, e, seen, told)
	}
	inorder.Put(out, func(a, c Cause) int { return cmp.Compare(c.Share, a.Share) })
	return out
}

// scores gives the mass of each trouble, and the sum with that of "do not know".
func (b Book) scores(e Evidence) ([]float64, float64) {
	out, total := make([]float64, len(b.troubles)), unknown
	seen, told := b.sees(e), b.told(e)
	for i := range b.troubles {
		x, sum := &b.troubles[i], 0.0
		for _, k := range b.groups[Seen] {
			sum += b.shown(x, k, seen)
		}
		for _, g := range told {
			sum += b.fact(x, g, e)
		}
		out[i] = x.prior * math.Exp(brake*sum)
		total += out[i]
	}
	return out, total
}

// sight is what somebody looked for: true where it was seen.
type sight struct {
	looked map[int]bool
	some   bool // anything was seen
}

// sees gives what was looked for.
func (b Book) sees(e Evidence) sight {
	out := sight{looked: map[int]bool{}}
	for _, key := range e.Not {
		if k, ok := b.place[key]; ok && b.signs[k].group == Seen {
			out.looked[k] = false
		}
	}
	for _, key := range e.Seen {
		if k, ok := b.place[key]; ok && b.signs[k].group == Seen {
			out.looked[k], out.some = true, true
		}
	}
	return out
}

// told lists the groups of which something is known, in the order of the table.
func (b Book) told(e Evidence) (out []string) {
	for _, s := range b.signs {
		if _, known := e.Facts[s.key]; known && !slices.Contains(out, s.group) {
			out = append(out, s.group)
		}
	}
	return out
}

// shown gives the logarithm of the ratio that a sign, seen or not, has for a trouble.
func (b Book) shown(x *entry, k int, seen sight) float64 {
	base, p := b.signs[k].base, x.shows[k]
	yes, looked := seen.looked[k]
	switch {
	case yes:
		return math.Log(p / base)
	case looked:
		return math.Log((1 - p + missed) / (1 - base + missed))
	case seen.some && p > hallmark:
		return absent * math.Log((1-p+missed)/(1-base))
	}
	return 0
}

// fact gives the logarithm of the ratio of a group of facts: where it is not sure which of them holds,
// each as likely as it is.
func (b Book) fact(x *entry, group string, e Evidence) float64 {
	sum := 0.0
	for _, k := range b.groups[group] {
		sum += e.Facts[b.signs[k].key] * x.shows[k] / b.signs[k].base
	}
	return math.Log(max(sum, 1e-9))
}

// reasons lists what speaks for a trouble and what against it.
func (b Book) reasons(x *entry, e Evidence, seen sight, told []string) (pro, con []string) {
	type reason struct {
		key    string
		weight float64
	}
	var list []reason
	for _, k := range b.groups[Seen] {
		list = append(list, reason{b.signs[k].key, b.shown(x, k, seen)})
	}
	for _, g := range told {
		best := slices.MaxFunc(b.groups[g], func(i, j int) int { return cmp.Compare(e.Facts[b.signs[i].key], e.Facts[b.signs[j].key]) })
		list = append(list, reason{b.signs[best].key, b.fact(x, g, e)})
	}
	inorder.Put(list, func(a, c reason) int { return cmp.Compare(math.Abs(c.weight), math.Abs(a.weight)) })
	for _, r := range list {
		switch {
		case r.weight > telling:
			pro = append(pro, r.key)
		case r.weight < -telling:
			con = append(con, r.key)
		}
	}
	return pro, con
}

// even is how near two questions' falls must be to count as even: then the cheaper is asked.
const even = 0.1

// Next gives the question whose answer is expected to tell most; ok is false where none tells anything.
func (b Book) Next(e Evidence) (q Question, ok bool) {
	scores, total := b.scores(e)
	now := doubt(scores, unknown)
	best, effort := 0.0, 0
	ask := func(c Question, cost int) {
		switch {
		case c.Fall <= 0.005, e.Reach > 0 && cost > e.Reach, slices.Contains(e.Skip, c.Group), len(c.Signs) == 1 && slices.Contains(e.Skip, c.Signs[0]):
		case !ok, c.Fall > best*(1+even), c.Fall > best*(1-even) && cost < effort:
			q, ok, best, effort = c, true, c.Fall, cost
		}
	}
	seen := b.sees(e)
	for _, k := range b.groups[Seen] {
		if _, looked := seen.looked[k]; !looked {
			ask(Question{Seen, []string{b.signs[k].key}, now - b.either(scores, total, k, seen)}, b.signs[k].effort)
		}
	}
	told := b.told(e)
	done := map[string]bool{}
	for _, s := range b.signs {
		if s.group == Seen || done[s.group] || slices.Contains(told, s.group) {
			continue
		}
		done[s.group] = true
		c := Question{Group: s.group}
		left := 0.0
		for _, k := range b.groups[s.group] {
			c.Signs = append(c.Signs, b.signs[k].key)
			p, after := b.holds(scores, total, k, func(x *entry) float64 { return math.Log(x.shows[k] / b.signs[k].base) })
			left += p * after
		}
		c.Fall = now - left
		ask(c, s.effort)
	}
	return q, ok
}

// either gives the doubt that is expected once somebody looked for a sign.
func (b Book) either(scores []float64, total float64, k int, seen sight) float64 {
	base := b.signs[k].base
	before := func(x *entry) float64 { return b.shown(x, k, seen) }
	p, yes := b.holds(scores, total, k, func(x *entry) float64 { return math.Log(x.shows[k]/base) - before(x) })
	_, no := b.holds(scores, total, k, func(x *entry) float64 { return math.Log((1-x.shows[k]+missed)/(1-base+missed)) - before(x) })
	return p*yes + (1-p)*no
}

// holds gives how likely a sign is, and the doubt that is left once it changed each score.
func (b Book) holds(scores []float64, total float64, k int, change func(*entry) float64) (p, left float64) {
	after := make([]float64, len(scores))
	p = unknown / total * b.signs[k].base
	for i := range b.troubles {
		x := &b.troubles[i]
		p += scores[i] / total * x.shows[k]
		after[i] = scores[i] * math.Exp(brake*change(x))
	}
	return p, doubt(after, unknown)
}

// doubt is the entropy of masses, in bits.
func doubt(list []float64, more float64) float64 {
	total, sum := more, 0.0
	for _, x := range list {
		total += x
	}
	for _, x := range append(slices.Clone(list), more) {
		if x > 0 {
			sum -= x / total * math.Log2(x/total)
		}
	}
	return sum
}
