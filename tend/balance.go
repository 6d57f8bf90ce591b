package tend

import (
	"slices"

	"raftwright/unit"
)

// Balance is where the water of a bed and its potassium, which nothing turns into anything else, went from the first visit of the log to now:
// what there was and came is what went and is there.
type Balance struct {
	Days                               float64
	Began, Poured, Rained              unit.Volume
	Emptied, Spilled, Leaked           unit.Volume
	Taken, Holds                       unit.Volume // Taken by plants and air
	Potassium, Came, Lost, Eaten, Left unit.Mass   // at the first visit, after it, with what flowed out, by plants, and now
}

// Balance adds up the likeliest story of the log.
func (t *Tending) Balance() Balance {
	h, f := t.estimate.h, t.estimate.best
	of := run{moments: slices.Clone(f.run.moments)}
	h.live(&f.setting, f.nears, &of, 1, nil)
	first, last, l := &of.moments[0].after, &of.moments[len(of.moments)-1].after, &of.ledger
	litres := func(x float64) unit.Volume { return unit.Volume(x) * unit.Litre }
	grams := func(mmol float64) unit.Mass { return unit.Mass(mmol*weight[potassium]/1000) * unit.Gram }
	return Balance{Days: h.after(t.State.At), Began: litres(first.volume), Poured: litres(l.poured), Rained: litres(l.rained),
		Emptied: litres(l.thrown), Spilled: litres(l.spill), Leaked: litres(l.leak), Taken: litres(l.drunk + l.dried), Holds: litres(last.volume),
		Potassium: grams(first.in[potassium]), Came: grams(l.came[potassium]), Lost: grams(l.dumped[potassium] + l.spilled[potassium] + l.leaked[potassium]),
		Eaten: grams(l.eaten[potassium]), Left: grams(last.in[potassium])}
}
