package packet

import (
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/tend"
	"raftwright/unit"
)

// ClassVisit makes the exercises for a class of a bed that is tended: where its water went, and where its potassium did, with the key on
// pages of its own.
func ClassVisit(p plan.Plan, t *tend.Tending, words *lang.Printer, o Options) page.Document {
	b, w := t.Balance(), onPaper(p, words, o)
	return w.levels(o, []level{
		{"young", w.agreed(func(w writer, decimals int) (exercise, bool) { return w.waterGone(b, decimals) })},
		{"older", w.agreed(func(w writer, decimals int) (exercise, bool) { return w.potassiumGone(b, decimals) })},
	})
}

// waterGone is what plants and air took: what there was and came, less what flowed out and what there is.
func (w writer) waterGone(b tend.Balance, decimals int) (exercise, bool) {
	c := tally{w, decimals}
	of, name := w.liquid()
	in := func(v unit.Volume) float64 { return float64(v / of) }
	shown := func(v unit.Volume) string { return c.show(c.round(in(v))) + " " + w.say("class.unit."+name, nil) }
	came, had := c.sum("class.visit_water.came", name, nil, in(b.Began), "+", in(b.Poured), "+", in(b.Rained))
	gone, out := c.sum("class.visit_water.gone", name, nil, in(b.Emptied), "+", in(b.Spilled), "+", in(b.Leaked))
	took, taken := c.sum("class.visit_water.taken", name, nil, had, "−", out, "−", in(b.Holds))
	days := c.round(b.Days)
	daily, _ := c.sum("class.visit_water.daily", name, finding.Args{"Days": c.show(days)}, taken, "÷", days)
	return exercise{"visit_water", finding.Args{"Days": c.show(days), "Began": shown(b.Began), "Poured": shown(b.Poured), "Rained": shown(b.Rained),
		"Emptied": shown(b.Emptied), "Spilled": shown(b.Spilled), "Leaked": shown(b.Leaked), "Holds": shown(b.Holds)},
		[]sum{came, gone, took, daily}, [][2]string{{w.label(of * unit.Volume(taken)), w.label(b.Taken)}}, ""}, days > 0 && taken > 0
}

// potassiumGone is what plants ate of potassium, and how strong what is left is in the water.
func (w writer) potassiumGone(b tend.Balance, decimals int) (exercise, bool) {
	c := tally{w, decimals}
	shown := func(m unit.Mass) string { return c.show(c.round(m.Grams())) + " g" }
	all, had := c.sum("class.visit_potassium.all", "g", nil, b.Potassium.Grams(), "+", b.Came.Grams())
	ate, eaten := c.sum("class.visit_potassium.eaten", "g", nil, had, "−", b.Lost.Grams(), "−", b.Left.Grams())
	milli, mg := c.sum("class.visit_potassium.milligrams", "mg", nil, b.Left.Grams(), "×", 1000.0)
	strong, _ := c.sum("class.visit_potassium.strength", "mg_l", nil, mg, "÷", b.Holds.Litres())
	return exercise{"visit_potassium", finding.Args{"Began": shown(b.Potassium), "Came": shown(b.Came), "Lost": shown(b.Lost), "Left": shown(b.Left), "Liters": c.show(c.round(b.Holds.Litres()))},
		[]sum{all, ate, milli, strong}, [][2]string{{w.words.Grams(unit.Mass(eaten) * unit.Gram), w.words.Grams(b.Eaten)}}, ""}, b.Left > 0 && b.Holds > 0 && b.Eaten >= unit.Gram // less is what rounding makes
}
