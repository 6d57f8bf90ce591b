package packet

import (
	"math"
	"slices"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/tend"
	"raftwright/unit"
	"raftwright/water"
)

// deed tells one thing to do, in the measures at hand.
func (w writer) deed(a tend.Action) page.Text {
	args := finding.Args{"Product": w.words.Product(a.Product), "Mass": w.handed(a), "Volume": w.inBuckets(a.Volume), "Liquid": a.Liquid, "Strength": a.Strength}
	id := "tend.do." + string(a.Do)
	switch {
	case a.Do == tend.DoFeed && a.Product != "":
		id = "tend.do.add_product"
	case a.Why == tend.WhyHole || a.Why == tend.WhyDrained:
		id = "tend.do.look_for_hole"
	case a.Why == tend.WhyDryDays:
		id = "tend.do.write_rain"
	case a.Do == tend.DoRead && a.Product == "depth": // a ruler is not rinsed
		id = "tend.do.read_depth"
	case a.Do == tend.DoRead || a.Do == tend.DoSetMeter:
		args["Product"] = finding.Word("tend.kind." + a.Product)
		if a.Product == "" {
			id = "tend.do.set_meters"
		} else if a.Why == tend.WhySums || a.First { // a grower who never read it may have no meter
			id, args["Strip"] = "tend.do.read_first", a.Product != "ec" // which no strip tells
		}
	case a.Do == tend.DoRefill && a.Why == tend.WhyRoots:
		id = "tend.do.refill_rot"
	case a.Do == tend.DoRefill && a.Strength == 0:
		id = "tend.do.refill_water"
	case a.Why == tend.WhyNewMix:
		id = "tend.do.new_mix"
	case a.Why == tend.WhyBuyFeed:
		id = "tend.do.buy_feed"
		args = a.Args
	case a.Do == tend.DoCall && a.Why == tend.WhyBuy:
		id = "tend.do.buy"
	case a.Do == tend.DoCall:
		id = "tend.do.call_for_ph"
	case a.Do == tend.DoAcid:
		args["Product"] = finding.Word("word.reagent." + a.Product)
		if a.Mass > 0 {
			id = "tend.do.add_acid_powder"
		}
	}
	return w.text(id, args)
}

// handed prints the mass of a dose: in level spoons too, where this grower measures with them.
func (w writer) handed(a tend.Action) string {
	if w.p.Measure().Kind != mix.Spoons {
		return w.words.Grams(a.Mass)
	}
	spoon := unit.Mass(0)
	if a.Product == water.Citric.String() {
		spoon = water.CitricSpoon
	} else if a.Product == water.PotassiumBicarbonate.String() {
		spoon = water.BicarbonateSpoon
	} else if at := slices.IndexFunc(w.p.Shelf, func(m mix.Material) bool { return m.Name == a.Product }); at >= 0 {
		s, _ := w.p.Shelf[at].Spoon()
		spoon = s.Mass
	}
	if spoon <= 0 {
		return w.words.Grams(a.Mass)
	}
	if q := math.Round(float64(a.Mass/spoon)*4) / 4; q >= mostTeaspoons {
		return w.spooned(q, w.words.Grams(a.Mass)) // here also where it is many
	}
	return w.amount(a.Mass, float64(a.Mass/spoon))
}

// mostTeaspoons is how many of them are counted before larger spoons are (own choice), teaspoonsOfCup how many a cup holds.
const mostTeaspoons, teaspoonsOfSpoon, teaspoonsOfCup = 9, 3, 48

// spooned prints level teaspoons, to the quarter, and in brackets what they weigh or hold.
func (w writer) spooned(teaspoons float64, is string) string {
	return w.say("tend.kitchen.level", finding.Args{"Spoons": w.inKitchen(teaspoons), "Grams": is})
}

// inKitchen prints level teaspoons, to the quarter. From mostTeaspoons on they are counted by cups, tablespoons and teaspoons;
// where it is metric a cup is another, and none is told.
func (w writer) inKitchen(teaspoons float64) string {
	var parts []string
	part := func(id string, of float64) {
		n := math.Floor(teaspoons / of)
		if of == 1 {
			n = teaspoons
		}
		if teaspoons -= n * of; n > 0 {
			parts = append(parts, w.say(id, finding.Args{"Count": quarters(n), "One": n == 1}))
		}
	}
	if teaspoons >= mostTeaspoons {
		if !w.p.Metric() {
			part("tend.kitchen.cups", teaspoonsOfCup)
		}
		part("tend.kitchen.tablespoons", teaspoonsOfSpoon)
	}
	part("tend.kitchen.teaspoons", 1)
	return w.words.Join(parts)
}

// inBuckets prints a volume, and how many of the grower's buckets that is where it is one or more.
func (w writer) inBuckets(v unit.Volume) string {
	n := float64(v / w.bucket())
	switch {
	case n < 0.9:
		return w.label(v)
	case n < 1.1:
		return w.say("tend.buckets_whole", finding.Args{"Volume": v})
	}
	return w.say("tend.buckets", finding.Args{"Volume": v, "Buckets": quarters(n)})
}

// bucket is the grower's bucket.
func (w writer) bucket() unit.Volume {
	if m := w.p.Mix; m != nil && m.Bucket > 0 {
		return m.Bucket
	}
	return 5 * unit.Gallon
}

// pours says whether something goes into the bed, or out of it.
func pours(a tend.Action) bool { return a.Mass > 0 || a.Volume > 0 || a.Liquid > 0 }

// deeds lists what to do now, each with its reason or else in short, and says whether something is poured.
func (w writer) deeds(t *tend.Tending, reasons bool) (list page.List, poured bool) {
	list.Kind = page.Numbered
	told := page.Text("")
	for _, a := range t.Actions {
		text := w.deed(a)
		switch why := w.text(string(a.Why), a.Args); {
		case reasons && why == told: // of what is done for one reason it stands with the first
		case reasons:
			text, told = text+" "+why, why
		case !pours(a):
			text = page.Text(briefly(string(text)))
		}
		poured = poured || pours(a)
		list.Items = append(list.Items, text)
	}
	return list, poured
}

// hurts gives what can hurt whoever does it: what an entry of the log warns of, before anybody reaches into the water,
// and what acid asks for.
func (w writer) hurts(t *tend.Tending) []page.Block {
	var out []page.Block
	for _, f := range t.Findings {
		if f.ID == tend.FindAcid || f.ID == tend.FindBase {
			out = append(out, w.warning(w.text(string(f.ID), f.Args)))
		}
	}
	if slices.ContainsFunc(t.Actions, func(a tend.Action) bool { return a.Do == tend.DoAcid }) {
		out = append(out, w.warning(w.text("tend.care.acid", nil)))
	}
	return out
}

// lawn tells where what is emptied goes.
func (w writer) lawn(t *tend.Tending) []page.Block {
	var out []page.Block
	for _, a := range t.Actions {
		if a.Do != tend.DoDump && a.Do != tend.DoRefill {
			continue
		}
		if planned, lawn, ok := w.p.Spent(); ok && planned > 0 {
			taken := unit.Volume(t.State.Volume.Value) * unit.Litre
			if a.Do == tend.DoDump {
				taken = a.Volume
			}
			holds := unit.MassConcentration(t.State.Holds[tend.Nitrogen].Value) * unit.MilligramPerLitre // what it holds now, not what was planned: a bed overfed by far feeds far more
			if fed := lawn * unit.Area(holds.In(taken)/planned); fed >= unit.SquareFoot {
				out = append(out, w.para("tend.dump.lawn", finding.Args{"Lawn": fed}))
			} else {
				out = append(out, w.para("tend.dump.away", nil))
			}
		}
	}
	return out
}
