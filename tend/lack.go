package tend

import (
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/unit"
)

// lack is an element that runs out and that neither the planned mix nor a product of the shelf brings.
type lack struct {
	limit Limit
	ion   ion
	good  string // of the trade, that brings it
	of    mix.Nutrient
}

// lackable are the elements that may run out, with the good of the trade that brings each (shared pantry of the mix).
var lackable = [...]lack{{LimitNitrate, nitrate, "calcium nitrate", mix.Nitrogen}, {LimitPotassium, potassium, "potassium nitrate", mix.Potassium},
	{LimitCalcium, calcium, "calcium nitrate", mix.Calcium}}

// leastBrought is the least share of a product by which it is taken to bring an element (own judgement: of less, a spoonful does nothing).
const leastBrought = 0.01

// brings says whether a full dose of the planned mix holds an element over its limit, or a product of the shelf brings it.
func (a *adviser) brings(l lack) bool {
	holds := func(x amounts) float64 {
		if l.ion == nitrate {
			return (x[nitrate] + x[ammonium] + x[urea]) * weight[nitrate]
		}
		return x[l.ion] * weight[l.ion]
	}
	if b := limits()[l.limit]; holds(a.h.planned) >= max(b.actBelow, b.stopBelow) {
		return true
	}
	for k, x := range a.h.portion {
		if !a.h.rots[k] && holds(x) >= 1000*leastBrought { // mg in a gram
			return true
		}
	}
	return false
}

// unmet takes away what nothing at hand answers: it is to be bought.
func (a *adviser) unmet() {
	p := a.middle.point(&a.middle.water, a.middle.h, pHof(a.middle.h))
	for _, l := range lackable {
		low := trouble{l.limit, -1}
		if b := limits()[l.limit]; (a.wanted[low] || b.side(a.figure(l.limit, &p, a.middle.near)) < 0) && !a.brings(l) {
			delete(a.wanted, low)
			if !a.noEC {
				a.lacks = append(a.lacks, l)
			}
		}
	}
}

// buys tells what to buy for what is lacking, and how much of it brings the bed at its mark to where it is good.
func (a *adviser) buys() (out []Action) {
	p := a.middle.point(&a.middle.water, a.middle.h, pHof(a.middle.h))
	for _, l := range a.lacks {
		m, ok := library().Material(l.good)
		if !ok {
			continue
		}
		c, _ := m.Contents()
		b := limits()[l.limit]
		now := a.figure(l.limit, &p, a.middle.near)
		grams := (b.goodFrom - now) / 1000 * a.full() / float64(c.Shares[l.of])
		out = append(out, Action{Do: DoCall, Product: l.good, Why: WhyBuy, Source: b.source, Args: finding.Args{"Element": l.of.Word(), "Now": a.h.typed(l.limit, now),
			"Amount": unit.Bought(unit.Mass(grams) * unit.Gram), "To": a.h.typed(l.limit, b.goodFrom), "End": a.h.typed(l.limit, max(b.actBelow, b.stopBelow))}})
	}
	return out
}
