package packet

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/unit"
	"raftwright/usual"
)

// found tells what a recipe as found really gives, and what mends it.
func (w writer) found() []page.Block {
	f := w.p.Found
	amounts := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.found.col.product", "+packet.found.col.amount", "+packet.found.col.liter")}
	for _, d := range f.Doses {
		amount, litre := page.Text("–"), page.Text("–")
		if w.p.ShowsAmount(d.Product) {
			amount, litre = page.Text(w.amount(d.PerBucket, d.Spoons)), page.Text(w.words.Number(d.Strength.GramsPerLitre())+" g")
		}
		amounts.Add(page.Literal(w.words.Product(d.Product)), amount, litre)
	}
	target := cmp.Or(f.Recipe.Name, w.say("packet.found.own_target", nil))
	out := []page.Block{w.para("packet.found.lead", finding.Args{"Where": cmp.Or(f.Where, w.say("packet.found.somewhere", nil)), "Per": f.Per}), amounts,
		w.elements(w.text("packet.found.table", finding.Args{"Target": target}), &f.Mix, true),
		w.para("packet.found.reads", finding.Args{"EC": f.EC, "Shown": w.onMeter(f.EC), "PH": w.phOf(&f.Mix)})}
	if len(f.Strong) > 0 && w.p.WithChildren() {
		out = append(out, w.box(finding.Stop, finding.Person, w.text(string(plan.FindStrongFound), finding.Args{"Products": w.words.Products(f.Strong)})))
	} else {
		out = append(out, w.mending(f)...)
	}
	out = append(out, w.ureaPath(&f.Mix)...)
	if !w.p.Asked.Has(plan.Found) { // in a whole plan these are said here only
		out = append(out, w.boxes(nil, slices.DeleteFunc(slices.Clone(f.Findings), func(x finding.Finding) bool { return x.Severity == finding.Note }))...)
	}
	return out
}

// phOf prints the pH of a mix, "" where no label tells it.
func (w writer) phOf(m *mix.Mix) string {
	if m.PHOpen {
		return ""
	}
	return w.words.Fixed(m.PH, 1)
}

// amount prints spoons, to the quarter that a kitchen has, beside the grams; grams alone
// where a quarter is too much.
func (w writer) amount(mass unit.Mass, spoons float64) string {
	q := math.Round(spoons*4) / 4
	if q <= 0 || spoons > 60 {
		return w.words.Grams(mass)
	}
	return w.spooned(q, w.words.Grams(mass))
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
	left := w.para("packet.found.mend.off_none", nil)
	if off := w.stillOff(*m); len(off) > 0 {
		left = w.para("packet.found.mend.off", finding.Args{"Symbols": strings.Join(off, ", ")})
	}
	others := page.Table{Caption: w.text("packet.found.others", nil), Compact: true, Columns: w.columns("packet.found.col.change", "+packet.found.col.off")}
	others.Weigh(4, 1)
	others.Add(w.text("packet.found.as_is", nil), w.value(unit.Fraction(f.Misfit)))
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
				all = append(all, w.say("packet.mix.of", finding.Args{"Amount": w.amount(d.Mass, d.Spoons), "Product": d.Product}))
			}
			change += " " + w.words.Join(all)
		}
		others.Add(page.Text(change), w.value(unit.Fraction(x.Misfit)))
	}
	return append(blocks, w.mended(f.Per, m.Doses), left, others)
}

// worthTelling is how much of the misfit a change must take away to be told.
const worthTelling = 0.01

// mended is the table of a recipe after a change. Pinches for a gallon are told
// for a bucket too, where they are spoons.
func (w writer) mended(per unit.Volume, doses []mix.Amount) page.Table {
	bucket := w.p.Brief.Mix.Bucket.Or(usual.Bucket)
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.found.col.product", "+packet.found.col.amount")}
	if per < bucket*0.75 {
		t.Columns = append(t.Columns, page.Column{Title: w.text("packet.found.col.bucket", finding.Args{"Volume": bucket}), Align: page.Right})
	}
	for _, d := range doses {
		cells := []page.Text{page.Literal(w.words.Product(d.Product)), page.Text(w.amount(d.Mass, d.Spoons))}
		if len(t.Columns) > 2 {
			times := float64(bucket / per)
			cells = append(cells, page.Text(w.amount(d.Mass*unit.Mass(times), d.Spoons*times)))
		}
		t.Add(cells...)
	}
	return t
}

// stillOff lists the main elements that a change leaves off.
func (w writer) stillOff(m mix.Mend) []string {
	var out []string
	for _, x := range m.After {
		if x.Main() && x.Verdict() != mix.Right {
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
func (w writer) amiss() []page.Block {
	a := w.p.Amiss
	out := []page.Block{w.para("packet.amiss.lead", finding.Args{"Volume": a.Volume, "EC": a.Now, "Shown": w.onMeter(a.Now)})}
	for _, f := range w.p.Findings { // before anything is done
		if f.ID == mix.FindAmissDoubt {
			out = append(out, w.box(f.Severity, f.Hurts, page.Text(w.words.Finding(f))))
		}
	}
	t := page.Table{Compact: true, RowHead: true, Columns: w.columns("packet.found.col.product", "+packet.found.col.amount")}
	for _, d := range a.Add {
		t.Add(page.Literal(w.words.Product(d.Product)), page.Text(w.amount(d.Mass, d.Spoons)))
	}
	var steps []page.Text
	add := "packet.amiss.add_only"
	if a.TakesOut() {
		steps, add = append(steps, w.text("packet.amiss.take", finding.Args{"Replace": a.Replace, "Share": a.Share, "Ground": w.onGround()})), "packet.amiss.add"
	}
	if len(t.Rows) > 0 {
		steps = append(steps, w.text(add, nil))
	}
	if len(steps) > 0 {
		out = append(out, page.List{Kind: page.Numbered, Items: steps})
	}
	if len(t.Rows) > 0 {
		out = append(out, t)
	}
	if len(steps) > 0 {
		ph := ""
		if a.RightPH > 0 {
			ph = w.words.Fixed(a.RightPH, 1)
		}
		out = append(out, w.para("packet.amiss.check", finding.Args{"EC": a.Right, "Shown": w.onMeter(a.Right), "PH": ph}))
	}
	if a.Known {
		out = append(out, w.bedHolds(a))
	}
	return out
}

// bedHolds is the table of what a bed holds before and after.
func (w writer) bedHolds(f *mix.BedFix) page.Table {
	t := page.Table{Caption: w.text("packet.amiss.table", nil), Compact: true, RowHead: true,
		Columns: w.columns("packet.mix.col.element", "+packet.mix.col.target", "+packet.amiss.col.now", "+packet.amiss.col.then")}
	for _, x := range f.Wishes {
		if !x.Nutrient.IsForm() {
			t.Add(w.text("word.nutrient."+x.Nutrient.Symbol(), nil), w.milligrams(x.Level), w.milligrams(f.Before[x.Nutrient]), w.milligrams(x.Achieved))
		}
	}
	return t
}
