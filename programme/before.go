package programme

import (
	"slices"
	"strings"
)

// before links what is shown to what went out before: the difference is a count that anybody can work out. A wave, an item or a county has the name by which the
// public knows it, or knew it before its own could be read.
func (p *publisher) before() {
	told := map[string]string{} // what the public knows a count by -> its key
	for key, needs := range p.needs {
		if len(needs) != 1 {
			continue
		}
		for now, names := range []map[string]string{p.once, p.named} { // as it is called now holds
			name, county := key, All
			if of, at, ok := strings.Cut(key, "|"); ok && (of == "direct_contacts" || strings.HasPrefix(of, "table: ")) {
				name, county = of, names["county"+at]
			}
			if i, ok := p.at[key+"|"+All]; ok {
				name = p.calledBy(names, p.Figures[i]).Name()
			}
			if at := name + "|" + county; told[at] == "" || now == 1 {
				told[at] = key
			}
		}
	}
	for _, old := range p.stood.Published {
		key, known := told[old.Measure+"|"+old.County]
		if old.Hidden || !known {
			continue
		}
		i := p.needs[key][0]
		if !p.x.all[i].shown || p.n(i) == old.Count {
			continue
		}
		p.apart(old, old.Count, i)
	}
	p.joinedBefore(told)
}

// apart says that what is shown in these counts went out before as another number; the difference is a count of its own.
func (p *publisher) apart(old Published, was int, facts ...int) {
	s, d := sum{is: float64(was)}, -was
	for _, i := range facts {
		s.terms, d = append(s.terms, term{i, 1}), d+p.n(i)
	}
	by := 1.0
	if d < 0 {
		d, by = -d, -1
	}
	if small(d, p.x.t) {
		p.e.Near = append(p.e.Near, Near{County: old.County, Measure: old.Measure, AsOf: old.AsOf})
	}
	// what is shown - the difference = what was shown
	s.terms = append(s.terms, term{p.x.latent(d), -by})
	p.x.link(s)
}

// joinedBefore links counties that were joined in an edition that went out, and stand apart now, or the other way round: those that both do not show by
// themselves are added up on either side, and then subtracted.
func (p *publisher) joinedBefore(told map[string]string) {
	type edition struct {
		Funder         string
		From, To, AsOf Day
		Measure        string
	}
	var order []edition
	lines := map[edition][]Published{}
	for _, old := range p.stood.Published {
		if old.County == All || old.Measure != "direct_contacts" && !strings.HasPrefix(old.Measure, "table: ") {
			continue
		}
		e := edition{old.Funder, old.From, old.To, old.AsOf, old.Measure}
		if lines[e] == nil {
			order = append(order, e)
		}
		lines[e] = append(lines[e], old)
	}
	for _, e := range order {
		var now []int
		was, joined, open := 0, false, true
		var rest []Published
		for _, old := range lines[e] {
			if _, alike := told[old.Measure+"|"+old.County]; old.County == others || !alike {
				rest, was, joined = append(rest, old), was+old.Count, joined || old.County == others
				open = open && !old.Hidden
			}
		}
		for _, county := range p.e.Grid.Rows {
			needs := p.needs[e.Measure+"|"+county]
			listed := slices.ContainsFunc(lines[e], func(old Published) bool {
				return old.County != others && (old.County == p.named["county"+county] || old.County == p.once["county"+county])
			})
			if len(needs) == 1 && !listed {
				now, joined = append(now, needs[0]), joined || county == others
				open = open && p.x.all[needs[0]].shown
			}
		}
		same := len(rest) == 1 && len(now) == 1 // compared already, by their name
		if joined && open && len(rest) > 0 && len(now) > 0 && !same {
			p.apart(rest[0], was, now...)
		}
	}
}
