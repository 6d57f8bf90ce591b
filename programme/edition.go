package programme

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
)

// publisher makes the public edition: what it does not name is not shown.
type publisher struct {
	*Report
	e     *Edition
	x     facts
	at    map[string]int    // figure by name and county
	needs map[string][]int  // the facts that a figure shows
	rows  []int             // facts of the counties of the grid
	opens int               // the fact of how many records the contacts open to
	named map[string]string // texts of the records as the public may read them, by kind and text
	once  map[string]string // as they may have been called in an edition before
	few   map[string]bool   // figures of which a giver's own could be worked out
	sites map[string]string // of beds
	gave  *givers           // made when first asked for

	told    map[string]bool        // amounts that with what went out before would show few givers
	earlier map[edition]*publisher // what editions before rested on
}

// Places in the order in which figures are hidden as cover: the least first.
const (
	rankAny = iota
	rankRemoved
	rankMonth
	rankSex
	rankCell
	rankAnswer
	rankKind
	rankSlip
	rankCounty
	rankColumn
	rankTotal
)

// Public gives the public edition. What stands in published.csv went out before: no figure may differ from it by a
// small group.
func (r *Report) Public() *Edition {
	if r.public != nil {
		return r.public
	}
	p := &publisher{Report: r, e: &Edition{Report: r, Public: true}, x: facts{t: r.Funder.Threshold}, at: map[string]int{}, needs: map[string][]int{}, named: map[string]string{}, once: map[string]string{}, few: map[string]bool{}, sites: sitesOf(r.stood.Beds), told: map[string]bool{}, earlier: map[edition]*publisher{}}
	for i, f := range r.Figures {
		p.at[f.Name()+"|"+f.County] = i
	}
	p.names()
	direct := p.reached()
	p.table(direct)
	p.learned()
	p.adopted()
	for _, name := range []string{"volunteers", "series_not_counted_again", "people_at_least"} {
		p.fact(name, rankAny)
	}
	p.before()
	p.e.Secrets = p.x.hide()
	p.show()
	r.public = p.e
	return p.e
}

// names gives what the records name a name that the public may read.
func (p *publisher) names() {
	ever, now := &p.stood.ever, p.stood.everWritten() // a corrected item may be a new one
	var units, ages []string
	for _, f := range p.Figures {
		if f.Measure == "indirect: " {
			units = append(units, f.Of)
		}
		if f.Measure == "age: " {
			ages = append(ages, f.Of)
		}
	}
	join := func(kind, word string, texts []string, isCode func(string) bool) {
		for text, name := range p.Report.named(word, texts, isCode) {
			p.named[kind+text], p.once[kind+text] = name, text
		}
		for text, number := range numbered(word, texts) {
			if p.named[kind+text] != number {
				p.once[kind+text] = number
			}
		}
	}
	none := func(string) bool { return false }
	join("wave", "W-", ever.waves, func(s string) bool { return code(s, 3, 1) })
	join("item", "item-", slices.Concat(ever.items, now.items), none)
	join("unit", "unit-", units, none)
	join("age", "age-", ages, band)
	join("county", "C-", ever.counties, func(s string) bool { return code(s, 4, 0) })
	for _, names := range []map[string]string{p.named, p.once} {
		names["county"+others], names["county"+All] = others, All
	}
}

// ofItem tells whether a figure is of an item of a form.
func (f Figure) ofItem() bool { return f.Measure == "" && strings.Contains(f.Of, "/") }

// itemOf gives the item of such a figure: "before and after/mix: pairs" is of mix.
func itemOf(of string) string {
	_, item, _ := strings.Cut(of, "/")
	if i := strings.LastIndex(item, ": "); i >= 0 {
		item = item[:i]
	}
	return item
}

// value gives the count of a figure, false where the report has none.
func (p *publisher) value(name, county string) (int, bool) {
	i, ok := p.at[name+"|"+county]
	if !ok || p.Figures[i].Kind != People && p.Figures[i].Kind != Count {
		return 0, false
	}
	return int(p.Figures[i].Number), true
}

// fact is a count of all counties that the public edition shows where it may.
func (p *publisher) fact(name string, rank int) int {
	n, ok := p.value(name, All)
	i := p.x.add(fact{n: n, shown: ok, rank: rank})
	if ok {
		p.needs[name] = []int{i}
	}
	return i
}

func (p *publisher) n(i int) int { return p.x.all[i].n }

// reached are the counts of section B.
func (p *publisher) reached() int {
	x := &p.x
	direct := p.fact("direct_contacts", rankTotal)
	var kinds []int
	for _, k := range []string{"contacts_events_adults", "contacts_events_youth", "contacts_visits", "contacts_inquiries"} {
		kinds = append(kinds, p.fact(k, rankKind))
	}
	removed := p.fact("same_day_removed", rankRemoved)
	s := sum{terms: []term{{direct, -1}, {removed, -1}}}
	for _, k := range kinds {
		s.terms = append(s.terms, term{k, 1})
	}
	x.link(s)
	var months []int
	for _, f := range p.Figures {
		if f.Measure == "month: " {
			months = append(months, p.fact(f.Name(), rankMonth))
		}
	}
	x.total(direct, months...)
	known, unnamed, most := p.fact("people_known", rankKind), p.fact("contacts_unnamed", rankKind), p.fact("people_at_most", rankKind)
	x.total(most, known, unnamed)

	inquiries, business := p.fact("inquiries", rankSlip), p.fact("business_left_out", rankAny)
	asked, visited := p.n(inquiries)-p.n(kinds[3]), 0
	visited = p.n(business) - asked
	aside, away := x.latent(asked), x.latent(visited)
	x.total(inquiries, kinds[3], aside)
	x.total(business, aside, away)
	for _, name := range []string{"inquiries_open", "inquiries_referred"} {
		part := p.fact(name, rankAny)
		x.total(inquiries, part, x.latent(p.n(inquiries)-p.n(part)))
	}
	visits := p.fact("visits", rankSlip)
	taught := x.slack(p.n(visits) - visited)
	x.total(visits, taught, away)
	events, _ := p.value("events", All)
	p.opens = x.add(fact{n: events + p.n(taught) + p.n(kinds[3]), shown: true, rank: rankAny})
	x.total(p.opens, x.add(fact{n: events, shown: true, rank: rankTotal}), taught, kinds[3]) // how many records stand behind the contacts
	x.total(kinds[2], taught, x.latent(p.n(kinds[2])-(p.n(visits)-visited)))
	return direct
}

// table makes the table of single groups, and what the slips said beside it.
func (p *publisher) table(direct int) {
	x, t := &p.x, p.x.t
	g := p.region()
	g = g.join(t)
	g = g.merge(t)
	hidden := g.Protect(t)
	if g.negative() || len(g.Columns) < 2 {
		hidden = nil
	}
	p.e.Grid, p.e.Hidden = g, hidden
	var columns []int
	for j, name := range g.Columns {
		n := 0
		for _, row := range g.Counts {
			n += row[j]
		}
		f := x.add(fact{n: n, shown: hidden != nil, rank: rankColumn})
		columns = append(columns, f)
		p.needs["table: "+name+"|"+All] = []int{f}
	}
	x.total(direct, columns...)
	cells := make([][]int, len(g.Columns))
	for i, county := range g.Rows {
		whole := 0
		var row []int
		for j, v := range g.Counts[i] {
			whole += v
			f := x.add(fact{n: v, shown: hidden != nil && !hidden[i][j], rank: rankCell})
			row, cells[j] = append(row, f), append(cells[j], f)
			p.needs["table: "+g.Columns[j]+"|"+county] = []int{f}
		}
		f := x.add(fact{n: whole, shown: true, rank: rankCounty})
		p.rows = append(p.rows, f)
		p.needs["direct_contacts|"+county] = []int{f}
		x.total(f, row...)
	}
	x.total(direct, p.rows...)
	for j, c := range columns {
		x.total(c, cells[j]...)
	}
	p.slips(direct, columns)
}

// slips are the counts of slips, and of each group alone or with others.
func (p *publisher) slips(direct int, columns []int) {
	x, g := &p.x, p.e.Grid
	returned, used, older := p.fact("slips_returned", rankSlip), p.fact("slips_used", rankSlip), p.fact("slips_older_standard", rankSlip)
	x.total(returned, used, older, x.latent(p.n(returned)-p.n(used)-p.n(older)))
	told, _ := p.value("alone: "+severalNames, All)
	several := x.latent(told)
	parts := []int{several}
	alone := map[string]int{}
	for _, name := range groupNames {
		n, _ := p.value("alone: "+name, All)
		told += n
		if j := slices.Index(g.Columns, name); j >= 0 {
			alone[name] = columns[j]
		} else {
			alone[name] = x.latent(n)
			parts = append(parts, alone[name])
		}
	}
	blank := p.n(used) - told
	closed := slices.Index(g.Columns, joinedNames)
	if unknown, _ := p.value("alone: "+unknownName, All); closed < 0 && len(columns) > 0 {
		closed = len(columns) - 1
		parts = append(parts, x.latent(unknown)) // unknown is joined too
	}
	if closed >= 0 {
		x.total(columns[closed], parts...)
	}
	all := []int{several, x.latent(blank)}
	for _, name := range groupNames {
		all = append(all, alone[name])
	}
	x.total(used, all...)
	for _, name := range groupNames {
		any := p.fact("any: "+name, rankAny)
		with := p.n(any) - x.all[alone[name]].n
		mixed := x.latent(with)
		x.total(any, alone[name], mixed)
		x.total(several, mixed, x.slack(p.n(several)-with))
	}
	other, _ := p.value("sex_another_answer", All)
	f, m, unknown := p.fact("sex F", rankSex), p.fact("sex M", rankSex), p.fact("sex_unknown", rankSex)
	another := x.latent(other)
	if other > 0 {
		another = p.fact("sex_another_answer", rankAny)
	}
	x.total(direct, f, m, another, unknown)
	x.total(used, f, m, another, x.latent(p.n(used)-p.n(f)-p.n(m)-other))
	p.served(direct, used)
	for _, fig := range p.Figures {
		if strings.HasPrefix(fig.Measure, "older") {
			part := p.fact(fig.Name(), rankAny)
			x.total(older, part, x.latent(p.n(older)-p.n(part)))
		}
	}
	if j := slices.Index(g.Columns, unknownName); j >= 0 {
		p.needs["unknown_share_race"] = []int{columns[j], direct}
	}
}

// region joins the counties with the fewest contacts until each line stands for the threshold or more.
func (p *publisher) region() Grid { return p.Cells.Before.region(p.x.t) }

// merge joins the last columns until none of their totals is small.
func (g Grid) merge(t int) Grid {
	for len(g.Columns) > 1 {
		last := len(g.Columns) - 1
		a, b := 0, 0
		for _, row := range g.Counts {
			a, b = a+row[last-1], b+row[last]
		}
		if !small(a, t) && !small(b, t) {
			break
		}
		out := Grid{Rows: g.Rows, Columns: append(slices.Clone(g.Columns[:last-1]), restNames)}
		for _, row := range g.Counts {
			out.Counts = append(out.Counts, append(slices.Clone(row[:last-1]), row[last-1]+row[last]))
		}
		g = out
	}
	return g
}

func (g Grid) negative() bool {
	return slices.ContainsFunc(g.Counts, func(row []int) bool { return slices.ContainsFunc(row, func(v int) bool { return v < 0 }) })
}

// learned are the counts of section E.
func (p *publisher) learned() {
	for _, f := range p.Figures {
		of, pairs := strings.CutSuffix(f.Of, ": pairs")
		if f.Section != "E" || !pairs {
			continue
		}
		n := p.fact(f.Name(), rankAnswer)
		p.fact(of+leftOutNames, rankAny)
		p.needs[of+meanNames] = []int{n}
		if _, ok := p.value(of+": rose", All); !ok {
			continue
		}
		rose := p.fact(of+": rose", rankAny)
		p.x.total(n, rose, p.x.latent(p.n(n)-p.n(rose)))
		p.needs[of+": low"], p.needs[of+": high"] = []int{n, rose}, []int{n, rose} // with the mean they give the squares, and these bound who rose
		if p.meanTells(of, p.n(n), p.n(rose)) {
			p.needs[of+meanNames] = []int{n, rose}
		}
		p.needs[of+roseLowNames], p.needs[of+roseHighNames] = []int{n, rose}, []int{n, rose}
	}
}

// meanTells tells whether the mean change shows that fewer than the threshold rose, or did not, where so few did. A step goes no further than the answers do, so
// the sum of the changes bounds both counts.
func (p *publisher) meanTells(of string, n, rose int) bool {
	i := p.at[of+meanNames+"|"+All]
	sum := int(math.Round(p.Figures[i].Number * float64(n)))
	least, most := math.MaxInt, 0
	for _, ref := range p.Figures[i].From {
		a := p.stood.Answers[ref.Row()]
		for _, v := range []Maybe{a.Before, a.After} {
			if v.Given {
				least, most = min(least, v.N), max(most, v.N)
			}
		}
	}
	span := most - least
	mostRose := min(n, (sum+n*span)/(1+span))        // each by one, the others down by all
	mostNot := n - max(0, (sum+span-1)/max(1, span)) // the others by all, these by nothing
	return small(rose, p.x.t) && mostRose < p.x.t || small(n-rose, p.x.t) && mostNot < p.x.t
}

// adopted are the counts of section F.
func (p *publisher) adopted() {
	x := &p.x
	for _, w := range p.stood.Waves {
		of := "wave " + w.ID
		if _, ok := p.value(of+": sent", All); !ok {
			continue
		}
		sent, returned, answered, yes := p.fact(of+": sent", rankTotal), p.fact(of+": returned", rankAnswer), p.fact(of+": answered", rankSlip), p.fact(of+": yes", rankKind)
		no := x.latent(p.n(answered) - p.n(yes))
		x.total(sent, returned, x.latent(p.n(sent)-p.n(returned)))
		x.total(returned, answered, x.latent(p.n(returned)-p.n(answered)))
		x.total(answered, yes, no)
		p.needs[of+": response_rate"], p.needs[of+": response_of_delivered"] = []int{sent, returned}, []int{sent, returned}
		for _, what := range []string{": share", ": low", ": high", ": print", exactLowNames, exactHighNames, atMostNames, wholeLowNames, wholeHighNames} {
			p.needs[of+what] = []int{answered, yes}
		}
		p.needs[of+": answer_rate"] = []int{sent, answered}
		p.needs[of+silentNoneNames], p.needs[of+silentAllNames] = []int{sent, yes}, []int{sent, answered, yes}
		p.turns(of, yes, no)
		for _, item := range sorted(p.ofWave) {
			if p.ofWave[item] == w.ID {
				p.asked(item, sent, returned)
			}
		}
	}
}

// asked links what came back to an item with how many forms of its wave did.
func (p *publisher) asked(of string, sent, returned int) {
	x := &p.x
	p.needs[of+responseNames] = []int{sent, returned}
	if list := p.needs[of+": pairs"]; list != nil {
		x.total(returned, list[0], x.latent(p.n(returned)-p.n(list[0])))
		return
	}
	answered := p.fact(of+": answered", rankAnswer)
	x.total(returned, answered, x.latent(p.n(returned)-p.n(answered)))
	p.average(of, answered)
	if _, ok := p.value(of+": yes", All); !ok {
		return
	}
	yes := p.fact(of+": yes", rankAny)
	x.total(answered, yes, x.latent(p.n(answered)-p.n(yes)))
	for _, what := range []string{": share", ": low", ": high", ": print", exactLowNames, exactHighNames, atMostNames, wholeLowNames, wholeHighNames} {
		p.needs[of+what] = []int{answered, yes}
	}
	p.needs[of+silentNoneNames], p.needs[of+silentAllNames] = []int{sent, yes}, []int{sent, answered, yes}
}

// turns are the early and the late answers of a wave.
func (p *publisher) turns(of string, yes, no int) {
	x := &p.x
	var both []int
	parts := [2][]int{}
	for _, when := range []string{": early", ": late"} {
		i, ok := p.at[of+when+"|"+All]
		if !ok {
			return
		}
		k, n, _ := strings.Cut(p.Figures[i].Text, " of ")
		said, _ := strconv.Atoi(k)
		asked, _ := strconv.Atoi(n)
		a := x.add(fact{n: said, shown: true, rank: rankAny})
		b := x.add(fact{n: asked - said, shown: true, rank: rankAny})
		p.needs[of+when] = []int{a, b}
		both = append(both, a, b)
		parts[0], parts[1] = append(parts[0], a), append(parts[1], b)
	}
	x.total(yes, parts[0]...)
	x.total(no, parts[1]...)
	for _, what := range []string{earlyLateNames, earlyLateLowNames, earlyLateHighNames} {
		p.needs[of+what] = both
	}
}

// counts are the figures that are of no people.
var counts = []string{"events", "visit_minutes", "visit_miles", "indirect: ", "exceptions", "harvest_records", "harvests_without_valid_price", "harvests_not_weighed", "beds_active", "bed_square_feet"}

// show puts the figures into the edition, each as it may be shown.
func (p *publisher) show() {
	for _, f := range p.Figures {
		f.From = slices.Clip(f.From)
		switch {
		case f.County != All && f.Measure == "map_sites":
			f.County = p.named["county"+f.County]
			p.e.Figures = append(p.e.Figures, f)
			continue
		case f.County != All:
			continue
		}
		needs, counted := p.needs[f.Name()]
		switch {
		case f.ofClass():
			p.pupils(f)
		case counted && p.few[f.Name()]:
			f = p.renamed(f)
			p.withhold(&f)
			p.e.Figures = append(p.e.Figures, f)
		case counted:
			p.put(f, needs)
		case f.Why != "" && (f.Kind == Change || f.Kind == Share || f.Measure == "hours_value" || f.Measure == "served_in"):
			p.e.Figures = append(p.e.Figures, p.renamed(f))
		case f.Measure == hoursTaskNames: // tasks are somebody's words
		case f.Section == "G" && f.Kind != Count, f.Section == "G" && strings.HasPrefix(f.Measure, "heads_"), f.Section == "H" && f.Kind != People && f.Kind != Count:
			p.amount(f)
			p.amounts(f)
		case f.Kind == Count && slices.Contains(counts, f.Measure):
			p.e.Figures = append(p.e.Figures, p.renamed(f))
		}
		if f.Measure == "direct_contacts" {
			p.lines(p.e.Grid.Rows, "direct_contacts", "B", p.rows)
		}
		if f.Measure == "any: " && f.Of == groupNames[len(groupNames)-1] {
			p.grid()
		}
	}
}

// lines puts a figure for each line of the grid.
func (p *publisher) lines(rows []string, measure, section string, facts []int) {
	for i, county := range rows {
		n := p.n(facts[i])
		p.put(Figure{Section: section, Measure: measure, County: p.named["county"+county], Kind: People, Text: strconv.Itoa(n), Number: float64(n)}, facts[i:i+1])
	}
}

// grid puts the cells of the table and their totals.
func (p *publisher) grid() {
	if p.e.Hidden == nil {
		return
	}
	g := p.e.Grid
	for j, name := range g.Columns {
		for i, county := range append(slices.Clone(g.Rows), All) {
			needs := p.needs["table: "+name+"|"+county]
			n := p.n(needs[0])
			f := Figure{Section: "D", Measure: "table: ", Of: name, County: p.named["county"+county], Kind: People, Text: strconv.Itoa(n), Number: float64(n)}
			p.put(f, needs)
			if i < len(g.Rows) {
				p.e.Hidden[i][j] = !p.x.all[needs[0]].shown
			}
		}
	}
}

// put puts a figure that shows these counts, or why it cannot be shown.
func (p *publisher) put(f Figure, needs []int) {
	f = p.renamed(f)
	if f.County != All || f.Measure != "direct_contacts" || !p.x.all[p.opens].shown {
		f.From = nil // how many records there are can tell of few people too
	}
	for _, i := range needs {
		if x := p.x.all[i]; !x.shown {
			f.Text, f.Number, f.Why, f.Args, f.From = withheldNames, 0, Covered, finding.Args{"Least": p.x.t}, nil
			if !x.linked && small(x.n, p.x.t) {
				f.Text, f.Why = fewerNames+strconv.Itoa(p.x.t), whySmall
			}
			p.e.Held++
			break
		}
	}
	p.e.Figures = append(p.e.Figures, f)
}

// renamed gives a figure whose names the public may read.
func (p *publisher) renamed(f Figure) Figure { return p.calledBy(p.named, f) }

// calledBy gives a figure whose texts of the records are written by these names.
func (p *publisher) calledBy(names map[string]string, f Figure) Figure {
	switch {
	case f.Measure == "indirect: ":
		f.Of = names["unit"+f.Of]
	case f.Measure == "age: ":
		f.Of = names["age"+f.Of]
	case f.Measure == "wave ":
		for _, w := range p.stood.Waves {
			if what, ok := strings.CutPrefix(f.Of, w.ID+": "); ok {
				f.Of = names["wave"+w.ID] + ": " + what
				break
			}
		}
	case f.ofItem():
		item := itemOf(f.Of)
		kind, what, _ := strings.Cut(f.Of, "/")
		f.Of = kind + "/" + names["item"+item] + strings.TrimPrefix(what, item)
	}
	return f
}

// Remember gives what the edition shows, to be kept beside what went out before.
func (e *Edition) Remember() []Published {
	var out []Published
	for _, f := range e.Figures {
		switch {
		case f.Kind == People || f.Kind == Count:
			out = append(out, Published{e.Funder.ID, e.Funder.From, e.Funder.To, e.AsOf, f.County, f.Name(), int(f.Number), f.Why != ""})
		case f.Section == "G" && (f.Kind == Pounds || f.Kind == Dollars), f.Section == "H" && (f.Kind == Hour || f.Kind == Dollars):
			out = append(out, Published{e.Funder.ID, e.Funder.From, e.Funder.To, e.AsOf, f.County, f.Name() + hundredthsNames, int(math.Round(100 * f.Number)), f.Why != ""})
		}
	}
	return out
}

// ToRemember gives what of it is not kept yet: an edition may go out twice.
func (e *Edition) ToRemember() (out []Published) {
	there := map[Published]bool{}
	for _, p := range e.stood.Published {
		there[p] = true
	}
	for _, p := range e.Remember() {
		if !there[p] {
			out = append(out, p)
		}
	}
	return out
}

// WithRemembered gives the text of published.csv with what this edition shows at its end, each line once.
func (e *Edition) WithRemembered() string {
	return Write(Records{Published: slices.Concat(e.stood.Published, e.ToRemember())})["published.csv"]
}
