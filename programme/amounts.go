package programme

import (
	"cmp"
	"slices"

	"raftwright/finding"
)

// givers numbers those who gave, in the order of their names: the site of each harvest, or where its bed is of none the bed, and the person of each entry
// of hours.
type givers struct {
	of    [2][]int32 // of the rows of harvests and of hours
	count int
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
	for i, giver := range sorted(number) {
		number[giver] = int32(i)
	}
	g := givers{count: len(number)}
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
func (p *publisher) parts(figures ...Figure) []float64 {
	s, g := &p.stood, p.whoGave()
	harvests, hours := int8(place("harvests")), int8(place("hours"))
	sums, gave := make([]float64, g.count), make([]bool, g.count)
	for _, f := range figures {
		for _, ref := range f.From {
			switch ref.Table {
			case harvests:
				h := &s.Harvests[ref.Row]
				v := float64(h.Heads)
				if f.Kind == Dollars && h.Receipts.Given {
					v = h.Receipts.Float()
				} else if f.Kind != Count {
					v = h.Pounds.Float()
				}
				giver := g.of[0][ref.Row]
				sums[giver], gave[giver] = sums[giver]+v, true
			case hours:
				giver := g.of[1][ref.Row]
				sums[giver], gave[giver] = sums[giver]+s.Hours[ref.Row].Hours.Float(), true
			}
		}
	}
	var parts []float64
	for i, sum := range sums {
		if gave[i] {
			parts = append(parts, sum)
		}
	}
	return parts
}

// amount puts an amount where no giver's own can be worked out from it.
func (p *publisher) amount(f Figure) {
	if f.Number != 0 && !amount(p.parts(f), p.by.sites) {
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
		county := f.County
		if !slices.Contains(p.e.Grid.Rows, county) {
			county = others
		}
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
		if lines[i].Number = d.Float(); lines[i].Number != 0 && !amount(p.parts(of[i]...), p.by.sites) {
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

// average puts the mean of a number where as many answered as must, and where from the sum that it gives nobody's own can be worked out.
func (p *publisher) average(of string, answered int) {
	i, ok := p.at[of+averageNames+"|"+All]
	if !ok {
		return
	}
	var values []float64
	sum := 0.0
	for _, ref := range p.Figures[i].From {
		if a := p.stood.Answers[ref.Row].After; a.Given {
			values, sum = append(values, float64(a.N)), sum+float64(a.N)
		}
	}
	few := p.Figures[i].Why == "" && sum > 0 && !amount(values, p.by.sites)
	for _, what := range []string{averageNames, averageLowNames, averageHighNames} {
		p.needs[of+what] = []int{answered}
		p.few[of+what] = few
	}
}
