package tend

import (
	"math"
	"time"

	"raftwright/bed"
	"raftwright/plan"
	"raftwright/unit"
)

// Card is what hangs at a bed: what a reading calls for with the bed at its mark, worked out from the bed as its log left it.
type Card struct {
	Day unit.Volume // that it takes a day in the days ahead, rain left out
	EC  []CardRow   // from the weakest up
	PH  []CardRow
}

// CardRow is a reading and what it calls for: nothing where there are no actions.
type CardRow struct {
	Reads   float64 // mS/cm, or pH
	Actions []Action
}

// How far from the ends of what is good a card goes, and in which steps: EC, mS/cm, and pH.
const cardEC, cardPH, cardRows = 0.2, 0.3, 3

// halfWay is the share of an acid or a base that a card has: the bed may have changed since, and a look a day later costs little.
const halfWay = 0.5

// leastOnCard is the least of a product that a card asks for, g: less is a trace of the pinned mix.
const leastOnCard = 0.5

// Span is the ends between which nothing is done.
type Span struct{ Low, High float64 }

// Card works out the card of a bed with what is good of EC (mS/cm) and of pH.
func (t *Tending) Card(ec, ph Span) Card {
	a := newAdviser(t.estimate, If{}, 1)
	var c Card
	// what leaves and air take: the volume of the days ahead without rain
	days := a.h.ahead(a.future.at, len(a.future.days), If{RainKnown: true})
	dry := a.h.prepare(t.estimate.middle(), &days, 0, nil)
	course := dry.through(dry.water, dry.h, nil, len(days.days))
	if n := len(course) - 1; n > 0 {
		c.Day = unit.Volume(math.Max(0, course[0].volume-course[n].volume)/float64(n)) * unit.Litre
	}
	middle := (ec.Low + ec.High) / 2
	for i := -cardRows; i <= cardRows; i++ {
		switch step := float64(i); {
		case i < 0:
			if x := ec.Low + cardEC*step; x > 0.1 {
				c.EC = append(c.EC, CardRow{x, a.strengthen(x, middle)})
			}
			c.PH = append(c.PH, CardRow{ph.Low + cardPH*step, a.settlePH(ph.Low + cardPH*step)})
		case i > 0:
			c.EC = append(c.EC, CardRow{ec.High + cardEC*step, a.thin(ec.High+cardEC*step, middle)})
			c.PH = append(c.PH, CardRow{ph.High + cardPH*step, a.settlePH(ph.High + cardPH*step)})
		}
	}
	return c
}

// full gives the volume of the bed at its mark.
func (a *adviser) full() float64 { return a.h.area * a.h.depth }

// strengthen gives the planned products that bring a full bed from an EC to another.
func (a *adviser) strengthen(from, to float64) []Action {
	n := a.middle.near
	var whole amounts
	for k, g := range a.h.pinned {
		if !a.h.rots[k] {
			whole = whole.plus(a.h.portion[k], g)
		}
	}
	gain := 0.0
	for i := range ions {
		gain += n.slope[i] * whole[i]
	}
	if gain <= 0 {
		return nil
	}
	var r remedy
	for k, g := range a.h.pinned {
		if x := a.grams(k, g*(to-from)/gain*a.full()); x >= leastOnCard && !a.h.rots[k] {
			r.products = append(r.products, weighed{k, x})
		}
	}
	return a.actions(r)
}

// thin gives what is taken out of a full bed, in whole buckets, and filled up with plain water, to bring an EC down.
func (a *adviser) thin(from, to float64) []Action {
	source := a.middle.near.conducts(&a.h.source)
	if from <= source || to <= source {
		return a.actions(a.refill(trouble{LimitBand, 1}))
	}
	out := math.Ceil((from-to)/(from-source)*a.full()/a.bucket()-0.1) * a.bucket()
	if out > mostDumped*a.full() {
		return a.actions(a.refill(trouble{LimitBand, 1}))
	}
	return a.actions(remedy{dump: out, water: out, volumes: trouble{LimitBand, 1}})
}

// settlePH gives half of the acid or the base that brings a full bed from a pH to the middle of what is good; nothing where there is
// no acid that may be used here.
func (a *adviser) settlePH(from float64) []Action {
	n := a.middle.near
	w := water{volume: a.full(), in: a.middle.water.in.times(a.full() / a.middle.water.volume)}
	c := w.litre()
	off, _, _ := n.charge(&c, c.strong(), math.Pow(10, a.middle.tilt-from), -1)
	w.in[inert] -= off * w.volume // alkaline or sour enough to read so
	if from < goalPH {
		base := halfWay * titrate(n, w, bicarbonate, false, goalPH-a.middle.tilt, -1)
		return a.actions(remedy{base: math.Round(base*gramsOfBicarbonate) / gramsOfBicarbonate})
	}
	b, ok := a.h.bottle()
	if !ok {
		return nil
	}
	return a.actions(remedy{acid: a.measured(b, halfWay*titrate(n, w, a.h.sours, true, goalPH-a.middle.tilt, -1))})
}

// Sours gives the acid that a pH above what is good calls for, from the lowest up, in the bed of a plan on the day it is filled to its
// mark with the planned mix: half of what brings it to the middle of what is good. None where the plan has no acid that may be used there.
func Sours(p plan.Plan, good Span) []CardRow {
	day := time.Date(2027, time.June, 1, 8, 0, 0, 0, time.UTC) // the sums hold for any
	filled := bed.Visit{At: day, Done: []bed.Happening{bed.Filled{}}}
	t, faults := Make(Job{Plan: p, Log: bed.Log{filled}, Now: day})
	if faults != nil {
		return nil
	}
	a := newAdviser(t.estimate, If{}, 1)
	var out []CardRow
	for i := 1; i <= cardRows; i++ {
		reads := good.High + cardPH*float64(i)
		if to := a.settlePH(reads); len(to) == 1 && to[0].Do == DoAcid {
			out = append(out, CardRow{reads, to})
		}
	}
	return out
}
