package packet

import (
	"math"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/unit"
)

// found tells what a recipe as found really gives, and what mends it.
func (w writer) found() (page.Section, bool) {
	f := w.p.Found
	if f == nil {
		return page.Section{}, false
	}
	where := f.Where
	if where == "" {
		where = w.say("packet.found.somewhere", nil)
	}
	s := w.section("found", w.para("packet.found.lead", finding.Args{"Where": where, "Per": f.Per}))
	strong := len(f.Strong) > 0 && w.p.WithChildren()
	amounts := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.found.col.product", "+packet.found.col.amount", "+packet.found.col.liter")}
	for _, d := range f.Doses {
		row := page.Row{Cells: []page.Text{page.Literal(d.Product), "–", "–"}}
		if w.p.ShowsAmount(d.Product) {
			row.Cells[1], row.Cells[2] = page.Text(w.amount(d.PerBucket, d.Spoons)), page.Text(w.words.Number(d.Strength.GramsPerLitre())+" g")
		}
		amounts.Rows = append(amounts.Rows, row)
	}
	s.Blocks = append(s.Blocks, amounts, w.judged(f.Check))
	s.Blocks = append(s.Blocks, w.para("packet.found.reads", finding.Args{"EC": f.EC, "Shown": w.onMeter(f.EC), "PH": w.words.Fixed(f.PH, 1)}))
	if strong {
		s.Blocks = append(s.Blocks, w.caution(finding.Stop, w.text(string(plan.FindStrongFound), finding.Args{"Products": w.words.Join(f.Strong)})))
	} else {
		s.Blocks = append(s.Blocks, w.mending(f)...)
	}
	s.Blocks = append(s.Blocks, w.ureaPath(f.Urea)...)
	if !w.p.Asked.Has(plan.Found) { // in a whole plan these are said here only
		var cautions []page.Text
		for _, x := range f.Findings {
			switch x.Severity {
			case finding.Stop:
				s.Blocks = append(s.Blocks, w.caution(x.Severity, page.Text(w.words.Finding(x))))
			case finding.Caution:
				cautions = append(cautions, page.Text(w.words.Finding(x)))
			}
		}
		if len(cautions) > 0 {
			s.Blocks = append(s.Blocks, w.caution(finding.Caution, cautions...))
		}
	}
	s.NewPage = w.onPaper
	return s, true
}

// amount prints spoons and grams, or grams alone.
func (w writer) amount(mass unit.Mass, spoons float64) string {
	if spoons <= 0 || spoons > 60 {
		return w.words.Grams(mass)
	}
	if q := math.Round(spoons*4) / 4; q > 0 && math.Abs(q-spoons) < 0.02 {
		return w.say("packet.mix.teaspoons", finding.Args{"Spoons": quarters(q), "Grams": w.words.Grams(mass)})
	}
	return w.say("packet.mix.teaspoons", finding.Args{"Spoons": w.words.Fixed(spoons, 1), "Grams": w.words.Grams(mass)})
}

// judged is the table of every element beside the target.
func (w writer) judged(c mix.Check) page.Table {
	target := c.Recipe.Name
	if target == "" {
		target = w.say("packet.found.own_target", nil)
	}
	t := page.Table{Caption: w.text("packet.found.table", finding.Args{"Target": target}), Compact: true, RowHead: true,
		Columns: w.columns("packet.mix.col.element", "+packet.mix.col.target", "+packet.mix.col.water", "+packet.mix.col.reached", "+packet.mix.col.share", "packet.found.col.verdict")}
	mg := func(x unit.MassConcentration) page.Text { return page.Text(w.words.Number(x.MilligramsPerLitre())) }
	for _, n := range mix.Elements() {
		i := slices.IndexFunc(c.Wishes, func(x mix.Wish) bool { return x.Nutrient == n })
		if i < 0 && c.Achieved[n] < 1e-9 {
			continue
		}
		row := page.Row{Cells: []page.Text{w.text("word.nutrient."+n.Symbol(), nil), "–", mg(c.Water[n]), mg(c.Achieved[n]), "–", "–"}}
		if i >= 0 {
			x := c.Wishes[i]
			row.Cells[1], row.Cells[4], row.Cells[5] = mg(x.Level), page.Text(w.words.Percent(unit.Fraction(x.Achieved/x.Level))), w.text(string(x.Verdict().Word()), nil)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// mending tells the smallest change that mends the recipe, and the others.
func (w writer) mending(f *plan.FoundRecipe) []page.Block {
	m := f.Mend
	if m == nil {
		return []page.Block{w.para("packet.found.fine", nil)}
	}
	head := "packet.found.mend.title"
	if !m.Mends {
		head = "packet.found.mend.near"
	}
	blocks := []page.Block{w.heading(head), page.Para{Text: page.Text(w.change(f, *m))}}
	if m.Kind != mix.MendAll {
		blocks = append(blocks, w.para("packet.found.mend.after", finding.Args{"Per": f.Per}))
	}
	blocks = append(blocks, w.mended(f.Per, m.Doses))
	if off := w.stillOff(*m); len(off) > 0 {
		blocks = append(blocks, w.para("packet.found.mend.off", finding.Args{"Symbols": strings.Join(off, ", ")}))
	} else {
		blocks = append(blocks, w.para("packet.found.mend.off_none", nil))
	}
	others := page.Table{Caption: w.text("packet.found.others", nil), Compact: true, Columns: w.columns("packet.found.col.change", "+packet.found.col.off")}
	others.Columns[0].Weight, others.Columns[1].Weight = 4, 1
	others.Rows = append(others.Rows, page.Row{Cells: []page.Text{w.text("packet.found.as_is", nil), page.Text(w.words.Percent(unit.Fraction(f.Misfit)))}})
	told := map[mix.MendKind]bool{m.Kind: true}
	for _, x := range f.Mends { // the best of each kind
		if told[x.Kind] || x.Misfit > f.Misfit-worthTelling {
			continue
		}
		told[x.Kind] = true
		change := w.change(f, x)
		if x.Kind == mix.MendAll {
			var all []string
			for _, d := range x.Doses {
				all = append(all, w.amount(d.Mass, d.Spoons)+" "+d.Product)
			}
			change += " " + w.words.Join(all)
		}
		others.Rows = append(others.Rows, page.Row{Cells: []page.Text{page.Text(change), page.Text(w.words.Percent(unit.Fraction(x.Misfit)))}})
	}
	return append(blocks, others)
}

// worthTelling is how much of the misfit a change must take away to be told.
const worthTelling = 0.01

// mended is the table of a recipe after a change. Pinches for a gallon are told
// for a bucket too, where they are spoons.
func (w writer) mended(per unit.Volume, doses []mix.Amount) page.Table {
	const bucket = 5 * unit.Gallon
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.found.col.product", "+packet.found.col.amount")}
	if per < bucket*0.75 {
		t.Columns = append(t.Columns, page.Column{Title: w.text("packet.found.col.bucket", finding.Args{"Volume": unit.Volume(bucket)}), Align: page.Right})
	}
	for _, d := range doses {
		cells := []page.Text{page.Literal(d.Product), page.Text(w.amount(d.Mass, d.Spoons))}
		if len(t.Columns) > 2 {
			times := float64(bucket / per)
			cells = append(cells, page.Text(w.amount(d.Mass*unit.Mass(times), d.Spoons*times)))
		}
		t.Rows = append(t.Rows, page.Row{Cells: cells})
	}
	return t
}

// stillOff lists the main elements that are off by more than a third.
func (w writer) stillOff(m mix.Mend) []string {
	var out []string
	for _, x := range m.After {
		if !x.Nutrient.IsMicro() && math.Abs(x.Miss()) > 1./3 {
			out = append(out, w.say("word.nutrient."+x.Nutrient.Symbol(), nil))
		}
	}
	return out
}

// change says a change in a sentence.
func (w writer) change(f *plan.FoundRecipe, m mix.Mend) string {
	args := finding.Args{"Product": m.Product, "Per": f.Per, "Share": unit.Fraction(m.Factor)}
	for _, d := range m.Doses {
		if d.Product == m.Product {
			args["Amount"] = w.amount(d.Mass, d.Spoons)
		}
	}
	id := map[mix.MendKind]string{mix.MendStrength: "strength", mix.MendOne: "change", mix.MendAdd: "add", mix.MendAll: "all"}[m.Kind]
	if m.Kind == mix.MendOne && m.Factor == 0 {
		id = "leave"
	}
	return w.say("packet.found.mend."+id, args)
}

// amiss tells how to put a bed right.
func (w writer) amiss() (page.Section, bool) {
	a := w.p.Amiss
	if a == nil {
		return page.Section{}, false
	}
	s := w.section("amiss", w.para("packet.amiss.lead", finding.Args{"Volume": a.Volume, "EC": a.Before, "Shown": w.onMeter(a.Before)}))
	for _, f := range w.p.Findings { // before anything is done
		if f.ID == plan.FindAmissDoubt {
			s.Blocks = append(s.Blocks, w.caution(f.Severity, page.Text(w.words.Finding(f))))
		}
	}
	var steps []page.Text
	if a.TakesOut() {
		steps = append(steps, w.text("packet.amiss.take", finding.Args{"Replace": a.Replace, "Share": a.Share}))
	}
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.found.col.product", "+packet.found.col.amount")}
	for _, d := range a.Add {
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{page.Literal(d.Product), page.Text(w.amount(d.Mass, d.Spoons))}})
	}
	switch {
	case len(t.Rows) > 0 && a.TakesOut():
		steps = append(steps, w.text("packet.amiss.add", nil))
	case len(t.Rows) > 0:
		steps = append(steps, w.text("packet.amiss.add_only", nil))
	}
	if len(steps) > 0 {
		s.Blocks = append(s.Blocks, page.List{Kind: page.Numbered, Items: steps})
	}
	if len(t.Rows) > 0 {
		s.Blocks = append(s.Blocks, t)
	}
	ph := ""
	if a.PH > 0 {
		ph = w.words.Fixed(a.PH, 1)
	}
	if len(steps) > 0 {
		s.Blocks = append(s.Blocks, w.para("packet.amiss.check", finding.Args{"EC": a.Reads, "Shown": w.onMeter(a.Reads), "PH": ph}))
	}
	if a.Fix != nil {
		s.Blocks = append(s.Blocks, w.bedHolds(a.Fix))
	}
	return s, true
}

// bedHolds is the table of what a bed holds before and after.
func (w writer) bedHolds(f *mix.BedFix) page.Table {
	t := page.Table{Caption: w.text("packet.amiss.table", nil), Compact: true, RowHead: true,
		Columns: w.columns("packet.mix.col.element", "+packet.mix.col.target", "+packet.amiss.col.now", "+packet.amiss.col.then")}
	mg := func(x unit.MassConcentration) page.Text { return page.Text(w.words.Number(x.MilligramsPerLitre())) }
	for _, x := range f.Wishes {
		if x.Nutrient.IsForm() {
			continue
		}
		t.Rows = append(t.Rows, page.Row{Cells: []page.Text{w.text("word.nutrient."+x.Nutrient.Symbol(), nil), mg(x.Level), mg(f.Before[x.Nutrient]), mg(x.Achieved)}})
	}
	return t
}
