package programme

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"raftwright/finding"
)

// givers numbers those who gave, in the order of their names: the site of each harvest, or where its bed is of none the bed, and the person of each entry
// of hours.
type givers struct {
	of    [2][]int32 // of the rows of harvests and of hours
	names []string
}

// whoGave makes the numbers once: a report asks for the parts of many figures.
func (p *publisher) whoGave() givers {
	if p.gave != nil {
		return *p.gave
	}
	s, number := &p.stood, map[string]int32{}
	name := [2]func(int) string{
		func(i int) string { return cmp.Or(p.sites[s.Harvests[i].Bed], s.Harvests[i].Bed) },
		func(i int) string { return s.Hours[i].Person },
	}
	rows := [2]int{len(s.Harvests), len(s.Hours)}
	for k := range rows {
		for i := range rows[k] {
			number[name[k](i)] = 0
		}
	}
	g := givers{names: sorted(number)}
	for i, giver := range g.names {
		number[giver] = int32(i)
	}
	for k := range rows {
		g.of[k] = make([]int32, rows[k])
		for i := range rows[k] {
			g.of[k][i] = number[name[k](i)]
		}
	}
	p.gave = &g
	return g
}

// parts gives what each giver has in an amount: each site, or for hours each person.
func (p *publisher) parts(figures ...Figure) (parts []float64) {
	sums, gave := p.each(figures...)
	for i, sum := range sums {
		if gave[i] {
			parts = append(parts, sum)
		}
	}
	return parts
}

// each gives what every giver has in an amount, by number, and who has a part in it.
func (p *publisher) each(figures ...Figure) (sums []float64, gave []bool) {
	s, g := &p.stood, p.whoGave()
	harvests, hours := place("harvests"), place("hours")
	sums, gave = make([]float64, len(g.names)), make([]bool, len(g.names))
	for _, f := range figures {
		for _, ref := range f.From {
			switch ref.Table() {
			case harvests:
				h := &s.Harvests[ref.Row()]
				v := float64(h.Heads)
				if f.Kind == Dollars && h.Receipts.Given {
					v = h.Receipts.Float()
				} else if f.Kind != Count {
					v = h.Pounds.Float()
				}
				giver := g.of[0][ref.Row()]
				sums[giver], gave[giver] = sums[giver]+v, true
			case hours:
				giver := g.of[1][ref.Row()]
				sums[giver], gave[giver] = sums[giver]+s.Hours[ref.Row()].Hours.Float(), true
			}
		}
	}
	return sums, gave
}

// amount puts an amount where no giver's own can be worked out from it.
func (p *publisher) amount(f Figure) {
	if f.Number != 0 && !amount(p.parts(f), p.by.sites) || p.subtracts(f) {
		p.withhold(&f)
	}
	p.e.Figures = append(p.e.Figures, f)
}

func (p *publisher) withhold(f *Figure) {
	f.Text, f.Number, f.Why, f.Args, f.From = withheldNames, 0, whyFewOf, finding.Args{"Least": p.by.sites}, nil
	p.e.Held++
}

// amounts puts pounds by county, as the contacts have them, before their total; with what is hidden taken together, no giver's own
// can be worked out either.
func (p *publisher) amounts(total Figure) {
	var lines []Figure
	var of [][]Figure
	for _, f := range p.Figures {
		if f.Measure != total.Measure || f.Of != total.Of || f.County == All || f.Kind != Pounds {
			continue
		}
		county := p.lineOf(f.County)
		at := slices.IndexFunc(lines, func(l Figure) bool { return l.County == county })
		if at < 0 {
			lines, of = append(lines, Figure{Section: f.Section, Measure: f.Measure, Of: f.Of, County: county, Kind: f.Kind, Text: f.Text}), append(of, []Figure{f})
			continue
		}
		have, _ := ParseDecimal(lines[at].Text)
		more, _ := ParseDecimal(f.Text)
		lines[at].Text, of[at] = have.Add(more).String(), append(of[at], f)
	}
	hidden := make([]bool, len(lines))
	var away []Figure // all that is hidden
	hide := func(i int) { hidden[i], away = true, append(away, of[i]...) }
	for i := range lines {
		d, _ := ParseDecimal(lines[i].Text)
		if lines[i].Number = d.Float(); lines[i].Number != 0 && !amount(p.parts(of[i]...), p.by.sites) || p.told[total.Name()] {
			hide(i)
		}
	}
	for len(away) > 0 && !amount(p.parts(away...), p.by.sites) {
		least := -1
		for i, l := range lines {
			if !hidden[i] && l.Number != 0 && (least < 0 || l.Number < lines[least].Number) {
				least = i
			}
		}
		if least < 0 {
			break // with the total, which is hidden too
		}
		hide(least)
	}
	for i, l := range lines {
		if hidden[i] {
			p.withhold(&l)
			l.Why, l.Args = Covered, finding.Args{"Least": p.x.t} // short, in the column of a county
		}
		l.County = p.named["county"+l.County]
		p.e.Figures = append(p.e.Figures, l)
	}
}

// lineOf gives the line of the public tables in which a county stands.
func (p *publisher) lineOf(county string) string {
	if county == All || slices.Contains(p.e.Grid.Rows, county) {
		return county
	}
	return others
}

// subtracts tells whether the harvests or hours by which an amount, or that of a county, differs from what went out before are of too few givers: who subtracts the two would
// have theirs. Then neither the amount nor a county of it is shown.
func (p *publisher) subtracts(total Figure) bool {
	if total.Section != "G" && total.Section != "H" {
		return false
	}
	if of := p.priced(total); of != "" && p.told[of] {
		return true // its price or rate would tell the other
	}
	byCounty := func(figures []Figure) map[string][]Figure {
		out := map[string][]Figure{}
		for _, f := range figures {
			if f.Measure == total.Measure && f.Of == total.Of {
				county := p.named["county"+p.lineOf(f.County)]
				out[county] = append(out[county], f)
			}
		}
		return out
	}
	now, out := byCounty(p.Figures), map[string][]wentOut{}
	for _, old := range p.stood.Published {
		hundredths := old.Measure == total.Name()+hundredthsNames
		if old.Hidden || old.Measure != total.Name() && !hundredths || now[old.County] == nil {
			continue
		}
		e := edition{Range{old.From, min(old.To, old.AsOf)}, old.AsOf}
		before := p.then(e)
		then := byCounty(before.Figures)[old.County]
		w := wentOut{edition: e, gave: before.gives(then)}
		if p.priced(total) == "" && old.County != others { // other counties may have been joined
			sum := 0.0
			for _, f := range then {
				sum += f.Number
			}
			if hundredths {
				w.late = (math.Round(100*sum) - float64(old.Count)) / 100
			} else {
				w.late = math.Round(sum) - float64(old.Count)
			}
		}
		out[old.County] = append(out[old.County], w)
	}
	for _, county := range sorted(out) {
		if asOf, found := apart(p.covers, p.gives(now[county]), out[county], p.by.sites); found {
			p.e.Near = append(p.e.Near, Near{County: county, Measure: total.Name(), AsOf: asOf, Amount: true})
			p.told[total.Name()] = true
			return true
		}
	}
	return false
}

// gives gives what every giver has in an amount.
func (p *publisher) gives(figures []Figure) map[string]float64 {
	out, names := map[string]float64{}, p.whoGave().names
	sums, gave := p.each(figures...)
	for i, v := range sums {
		if gave[i] {
			out[names[i]] = v
		}
	}
	return out
}

// priced gives the amount to which prices or rates were put to make another, "" for one that is entered itself.
func (p *publisher) priced(f Figure) string {
	switch fate, is := strings.CutPrefix(f.Measure, "value_"); {
	case is:
		return "pounds_" + fate
	case f.Measure == "hours_value", f.Measure == "hours_match":
		return "hours_service"
	}
	return ""
}

// edition is one that went out: its time, and the day of which it was.
type edition struct {
	in   Range
	asOf Day
}

// then gives what was harvested and served for an edition before, by the corrections that were made by its day.
func (p *publisher) then(e edition) *publisher {
	if p.earlier[e] == nil {
		r := &Report{Funder: p.Funder, AsOf: e.asOf, by: p.by, stood: p.whole.stand(e.asOf), covers: e.in}
		r.grown()
		r.given()
		p.earlier[e] = &publisher{Report: r, sites: sitesOf(r.stood.Beds)}
	}
	return p.earlier[e]
}

// sitesOf gives the site of each bed.
func sitesOf(beds []Bed) map[string]string {
	out := map[string]string{}
	for _, b := range beds {
		out[b.ID] = b.Site
	}
	return out
}

// average puts the mean of a number where as many answered as must, and where from the sum that it gives nobody's own can be worked out.
func (p *publisher) average(of string, answered int) {
	i, ok := p.at[of+averageNames+"|"+All]
	if !ok {
		return
	}
	var values []float64
	sum := 0.0
	for _, ref := range p.Figures[i].From {
		if a := p.stood.Answers[ref.Row()].After; a.Given {
			values, sum = append(values, float64(a.N)), sum+float64(a.N)
		}
	}
	few := p.Figures[i].Why == "" && sum > 0 && !amount(values, p.by.sites)
	for _, what := range []string{averageNames, averageLowNames, averageHighNames} {
		p.needs[of+what] = []int{answered}
		p.few[of+what] = few
	}
}
