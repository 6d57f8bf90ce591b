package programme

import (
	"cmp"
	"slices"

	"raftwright/finding"
)

// parts gives what each giver has in an amount: each site, or for hours each person.
func (p *publisher) parts(figures ...Figure) []float64 {
	by := map[string]float64{}
	s := &p.stood
	for _, f := range figures {
		for _, ref := range f.From {
			switch sheets[ref.Table].name {
			case "harvests":
				h := s.Harvests[ref.Row]
				v := float64(h.Heads)
				if f.Kind == Dollars && h.Receipts.Given {
					v = h.Receipts.Float()
				} else if f.Kind != Count {
					v = h.Pounds.Float()
				}
				by[cmp.Or(p.sites[h.Bed], h.Bed)] += v
			case "hours":
				by[s.Hours[ref.Row].Person] += s.Hours[ref.Row].Hours.Float()
			}
		}
	}
	parts := make([]float64, 0, len(by))
	for _, giver := range sorted(by) {
		parts = append(parts, by[giver])
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
