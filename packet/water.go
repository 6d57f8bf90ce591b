package packet

import (
	"cmp"
	"slices"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/unit"
	"raftwright/water"
)

// water tells what the fill water is, how it stands, and the acid it takes.
func (w writer) water() []page.Block {
	a := w.p.Water
	if !w.p.Brief.Water.Given {
		return slices.Concat([]page.Block{w.check(w.text("packet.water.none", finding.Args{"Kind": a.Kind().Word()}))}, w.acid())
	}
	name := cmp.Or(a.Name, w.say("word.your_water", nil))
	return slices.Concat([]page.Block{w.para("packet.water.lead", finding.Args{"Name": name, "Guess": a.Overlaid()}), w.judgements(a)}, w.ranges(a), w.acid())
}

// judgements is the table of what the water holds, beside the verdict on each.
func (w writer) judgements(a *water.Assessment) page.Table {
	t := page.Table{RowHead: true, Compact: true, Stack: true, Columns: w.columns("packet.water.col.what", "+packet.water.col.value", "packet.water.col.verdict", "packet.water.col.from")}
	from := func(s water.Standing) page.Text { return w.text("word.standing."+s.String(), nil) }
	if a.ECMeasured > 0 {
		t.Add(w.text("packet.water.row.ec", nil), w.value(a.ECMeasured), "", from(water.Measured))
	} else {
		t.Add(w.text("packet.water.row.ec", nil), w.value(a.EC), "", from(water.Filled))
	}
	t.Add(w.text("packet.water.row.ph", nil), w.fixed(a.PH, 1), "", from(a.PHFrom()))
	t.Add(w.text("packet.water.row.charge", nil), w.fixed(a.ChargeError.Percents(), 1)+" %", "", "")
	for _, j := range a.Judgements {
		if !j.Limit.IsConductivity {
			t.Add(w.capital(j.Limit.Analyte.Word()), w.value(unit.MassConcentration(j.Value)*unit.MilligramPerLitre), w.text("word.verdict."+j.Verdict.String(), nil)+w.cite(j.Limit.Source), from(j.From))
		}
	}
	return t
}

// ranges is the table of what the test leaves open.
func (w writer) ranges(a *water.Assessment) []page.Block {
	t := page.Table{RowHead: true, Compact: true, Caption: w.text("packet.water.ranges", nil),
		Columns: w.columns("packet.water.col.what", "+packet.water.col.low", "+packet.water.col.high")}
	for _, r := range a.Ranges {
		what, figure := w.capital(r.Analyte.Word()), func(x float64) page.Text { return w.value(unit.MassConcentration(x) * unit.MilligramPerLitre) }
		if r.IsConductivity {
			what = w.text("packet.water.row.ec", nil)
			figure = func(x float64) page.Text { return w.value(unit.Conductivity(x) * unit.MillisiemensPerCentimetre) }
		}
		if r.High > r.Low*1.02 {
			t.Add(what, figure(r.Low), figure(r.High))
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []page.Block{t}
}

// onWater is the step of the fill water, with how to handle its acid.
var onWater = at(finding.AtWater, finding.AtAcid)

// acid tells the dose that may be printed. Where there is a mix, the acid is
// part of its card, with its cautions.
func (w writer) acid() []page.Block {
	d := w.dosed()
	if d == nil {
		return w.of(onWater)
	}
	args := finding.Args{"Target": w.words.Fixed(d.Want.PH, 1), "Product": d.Want.Product.Word()}
	if m := w.p.Mix; m != nil && m.Acid.Dose > 0 {
		args["Stop"] = ""
		if w.byQuarters() {
			args["Stop"] = w.words.Fixed(plan.StopPH, 1)
		}
		return slices.Concat([]page.Block{w.para("packet.water.acid_on_card", args)}, w.of(onWater))
	}
	if m := w.p.Mix; m != nil && len(m.Doses) > 0 { // the feed did it
		args["PH"] = w.words.Fixed(m.PH, 1)
		return slices.Concat([]page.Block{w.para("packet.water.acid_none", args)}, w.of(onWater))
	}
	blocks := w.of(onWater.begins(w.each("packet.safety.acid", nil)...))
	id := "packet.water.acid"
	if f := w.p.Frame; f != nil {
		args["Dose"] = w.acidDose(d, f.Volume)
	} else {
		id, args["Dose"], args["Volume"] = "packet.water.acid_volume", w.acidDose(d, w.round()), w.round()
	}
	return append(blocks, w.para(id, args), w.para("packet.water.acid_again", finding.Args{"MostPH": mix.MostWellPH}))
}

// dosed gives the acid whose dose is printed, nil where none is.
func (w writer) dosed() *water.Dose {
	if d := w.p.PrintedAcid(); d != nil && !d.Away {
		return d
	}
	return nil
}

// round is a round volume of the reader's units for doses without a bed.
func (w writer) round() unit.Volume {
	if w.metric() {
		return 100 * unit.Litre
	}
	return 10 * unit.Gallon
}

// acidDose prints the acid for a volume of water: mL of a solution, crystals as the
// measure at hand gives them.
func (w writer) acidDose(d *water.Dose, v unit.Volume) page.Text {
	if d.Want.Product.Solid() {
		return page.Text(w.helping(w.p.Hand().Helping(d.Mass.In(v), water.CitricSpoon, w.p.Jug(), false)))
	}
	return page.Text(w.words.Number(d.MillilitresPerLitre()*v.Litres()) + " mL")
}

// acidName names the acid that is printed; a solution with its strength, by which its dose
// goes.
func (w writer) acidName() page.Text {
	p := w.dosed().Want.Product
	name := w.text(string(p.Word()), nil)
	if p.Solid() {
		return name
	}
	return w.text("packet.mix.acid_strength", finding.Args{"Acid": string(name), "Strength": p.Strength})
}

// acidRow names the acid in a table of amounts; where nobody measured the alkalinity, with
// how it is given.
func (w writer) acidRow() page.Text {
	if !w.byQuarters() {
		return w.acidName()
	}
	return w.text("packet.mix.acid_row", finding.Args{"Acid": string(w.acidName())})
}

// byQuarters says that the acid of the mix goes into the bed a quarter at a time: nobody
// measured the alkalinity.
func (w writer) byQuarters() bool {
	return w.p.Water.Guess() && w.p.Mix.Fill.Method != mix.OneBucket
}

// mixedAcid prints the acid that a bucket of the mix takes: the dose of the
// product, scaled from the plain water to the finished mix.
func (w writer) mixedAcid(v unit.Volume) (page.Text, bool) {
	d, m := w.dosed(), w.p.Mix
	if d == nil || m == nil || m.Acid.Dose <= 0 || d.Amount <= 0 {
		return "", false
	}
	scaled := d.Scaled(m.Acid.Dose)
	return w.acidDose(&scaled, v), true
}

// mixedPH tells the pH after mixing, unless it counts on acid that is left out, or
// no label tells it.
func (w writer) mixedPH(ph float64) string {
	switch m := w.p.Mix; {
	case m != nil && m.PHOpen:
		return w.say("packet.glance.ph_open", nil)
	case m != nil && m.Acid.Dose > 0 && w.dosed() == nil:
		return w.say("packet.glance.ph_without", nil)
	}
	return w.say("packet.glance.ph", finding.Args{"Value": w.words.Fixed(ph, 1)})
}
