package packet

import (
	"raftwright/finding"
	"raftwright/page"
	"raftwright/unit"
	"raftwright/water"
)

// water tells what the fill water is, how it stands, and the acid it takes.
func (w writer) water() (page.Section, bool) {
	a := w.p.Water
	if a == nil {
		return page.Section{}, false
	}
	s := w.section("water")
	s.NewPage = w.p.Brief.Water.Given && (w.p.Raft == nil || w.p.Raft.Nursery == nil)
	if !w.p.Brief.Water.Given {
		s.Blocks = append(s.Blocks, w.caution(finding.Caution, w.text("packet.water.none", nil)))
		s.Blocks = append(s.Blocks, w.of(onWater)...)
		return s, true
	}
	name := a.Name
	if name == "" {
		name = w.say("word.your_water", nil)
	}
	s.Blocks = append(s.Blocks, w.para("packet.water.lead", finding.Args{"Name": name}), w.judgements(a))
	s.Blocks = append(s.Blocks, w.ranges(a)...)
	s.Blocks = append(s.Blocks, w.acid()...)
	return s, true
}

// judgements is the table of what the water holds, beside the verdict on each.
func (w writer) judgements(a *water.Assessment) page.Table {
	t := page.Table{RowHead: true, Compact: true, Columns: w.columns("packet.water.col.what", "+packet.water.col.value", "packet.water.col.verdict")}
	row := func(id string, v page.Text) {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.text("packet.water.row."+id, nil), v, ""}})
	}
	row("ec", w.value(a.EC))
	row("ph", page.Text(w.words.Fixed(a.PH, 1)))
	row("charge", page.Text(w.words.Fixed(a.ChargeError.Percents(), 1)+" %"))
	for _, j := range a.Judgements {
		if j.Limit.IsConductivity {
			continue
		}
		what, value := w.capital(j.Limit.Analyte.Word()), w.value(unit.MassConcentration(j.Value)*unit.MilligramPerLitre)
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Text(what), value, w.text("word.verdict."+j.Verdict.String(), nil)}})
	}
	return t
}

// ranges is the table of what the test leaves open.
func (w writer) ranges(a *water.Assessment) []page.Block {
	t := page.Table{RowHead: true, Compact: true, Caption: w.text("packet.water.ranges", nil),
		Columns: w.columns("packet.water.col.what", "+packet.water.col.low", "+packet.water.col.high")}
	for _, r := range a.Ranges {
		what, figure := page.Text(w.capital(r.Analyte.Word())), func(x float64) page.Text { return w.value(unit.MassConcentration(x) * unit.MilligramPerLitre) }
		if r.IsConductivity {
			what = w.text("packet.water.row.ec", nil)
			figure = func(x float64) page.Text { return w.value(unit.Conductivity(x) * unit.MillisiemensPerCentimetre) }
		}
		if r.High > r.Low*1.02 {
			t.Rows = append(t.Rows, page.Row{Cells: []page.Text{what, figure(r.Low), figure(r.High)}})
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
	a := w.p.Water.Acid
	d := w.p.PrintedAcid()
	if a == nil || a.Away || d == nil || d.Away {
		return w.of(onWater)
	}
	args := finding.Args{"Target": w.words.Fixed(d.Want.PH, 1), "Product": d.Want.Product.Word()}
	if m := w.p.Mix; m != nil && m.Acid.Dose > 0 {
		return append([]page.Block{w.para("packet.water.acid_on_card", args)}, w.of(onWater)...)
	}
	blocks := w.of(onWater.begins(w.each("packet.safety.acid", nil)...))
	id := "packet.water.acid"
	if f := w.p.Frame; f != nil {
		args["Dose"] = w.acidDose(d, f.Volume)
	} else {
		id, args["Dose"], args["Volume"] = "packet.water.acid_volume", w.acidDose(d, w.round()), w.round()
	}
	return append(blocks, w.para(id, args), w.para("packet.water.acid_again", nil))
}

// round is a round volume of the reader's units for doses without a bed.
func (w writer) round() unit.Volume {
	if w.p.Metric() {
		return 100 * unit.Litre
	}
	return 10 * unit.Gallon
}

// acidDose prints the acid for a volume of water: mL of a solution, g of crystals.
func (w writer) acidDose(d *water.Dose, v unit.Volume) page.Text {
	if d.Want.Product.Solid() {
		return w.grams(d.Mass.In(v))
	}
	return page.Text(w.words.Number(d.MillilitresPerLitre()*v.Litres()) + " mL")
}

// acidName names the acid that is printed.
func (w writer) acidName() page.Text {
	return page.Text(w.words.Say(string(w.p.PrintedAcid().Want.Product.Word()), nil))
}

// mixedAcid prints the acid that a bucket of the mix takes: the dose of the
// product, scaled from the plain water to the finished mix.
func (w writer) mixedAcid(v unit.Volume) (page.Text, bool) {
	d, m := w.p.PrintedAcid(), w.p.Mix
	if d == nil || d.Away || m == nil || m.Acid.Dose <= 0 || d.Amount <= 0 {
		return "", false
	}
	scaled := *d
	share := float64(m.Acid.Dose / d.Amount)
	scaled.Mass *= unit.MassConcentration(share)
	scaled.Volume *= unit.Fraction(share)
	return w.acidDose(&scaled, v), true
}

// mixedPH tells the pH after mixing, unless it counts on acid that is left out.
func (w writer) mixedPH(ph float64) string {
	if m := w.p.Mix; m != nil && m.Acid.Dose > 0 && w.p.PrintedAcid() == nil {
		return w.say("packet.glance.ph_without", nil)
	}
	return w.say("packet.glance.ph", finding.Args{"Value": w.words.Fixed(ph, 1)})
}
