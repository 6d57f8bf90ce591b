package programme

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// groupNames are the groups of the standard of 2024 (SPD 15, 89 FR 22182), in its order.
var groupNames = []string{"American Indian or Alaska Native", "Asian", "Black or African American", "Hispanic or Latino", "Middle Eastern or North African", "Native Hawaiian or Pacific Islander", "White"}

// olderNames are the answers of the standard of 1997 (62 FR 58782): two questions, of ethnicity and of race.
var olderNames = []string{"Hispanic or Latino", "Not Hispanic or Latino", "American Indian or Alaska Native", "Asian", "Black or African American", "Native Hawaiian or Other Pacific Islander", "Native Hawaiian or Pacific Islander", "White"}

// OlderAnswers gives the answers to the two questions of the standard of 1997, ethnicity before race, in the order in which they are printed.
func OlderAnswers() (ethnicity, race []string) {
	return slices.Clone(olderNames[:2]), slices.Delete(slices.Clone(olderNames[2:]), 4, 5) // without a name that some forms shortened
}

// groupsOf gives what a slip of a standard may say.
func groupsOf(standard string) []string {
	if standard == "1997" { // a slip of then that says a group of now is kept as it stands, and set apart
		return slices.Concat(olderNames, groupNames)
	}
	return groupNames
}

// Took is who took part, as slips said: Single by county and column (the groups alone, more than one, unknown), which adds up
// to the contacts.
type Took struct {
	Counties []string
	Columns  []string
	Single   [][]int
	Any      map[string]*tally
	Older    map[string]*tally // answers of the standard of 1997, apart
}

// counting counts slips.
type counting struct {
	Took
	single                                              ledger // by county and column
	returned, used, older, sexed, aged, ethnicity, race tally
	two                                                 bool // an answer that is neither F nor M counts as unknown
}

// took counts the slips of the events in the range, and of the pools. Those of an event with more slips than adults are set aside.
func (r *Report) took(x *reach) {
	s := &r.stood
	bad := map[string]bool{}
	for _, e := range x.exceptions {
		bad[e.ID] = bad[e.ID] || e.What == "slips"
	}
	c := counting{two: r.by.two, Took: Took{Any: map[string]*tally{}, Older: map[string]*tally{}}, single: ledger{}}
	for _, i := range x.events {
		e := s.Events[i]
		for _, j := range x.slips[e.ID] {
			c.slip(s.Slips[j], e.County, bad[e.ID], inSlips(j))
		}
	}
	for _, p := range x.pooled {
		for _, j := range p.slips {
			c.slip(s.Slips[j], p.county, p.bad, inSlips(j))
		}
	}
	r.tookFigures(x, &c, bad)
	r.Took = c.Took
	r.notPooled(x)
}

func (t Took) count(in map[string]*tally, what string, ref Ref) {
	if in[what] == nil {
		in[what] = &tally{}
	}
	in[what].add(1, ref)
}

// slip counts a slip of a county; one that is set aside only as returned.
func (c *counting) slip(slip Slip, county string, aside bool, ref Ref) {
	c.returned.add(1, ref)
	if aside {
		return
	}
	groups := ticked(slip.Groups)
	if slip.Standard != "2024" {
		c.older.add(1, ref)
		c.countOlder(groups, ref)
		return
	}
	c.used.add(1, ref)
	for _, g := range groups {
		c.count(c.Any, g, ref)
	}
	if slip.Sex != "" && (!c.two || slip.Sex == "F" || slip.Sex == "M") {
		c.sexed.add(1, ref)
		c.count(c.Any, "sex "+slip.Sex, ref)
	}
	if slip.AgeBand != "" {
		c.aged.add(1, ref)
		c.count(c.Any, "age "+slip.AgeBand, ref)
	}
	switch len(groups) {
	case 0:
	case 1:
		c.single.add(county, groups[0], 1, ref)
	default:
		c.single.add(county, severalNames, 1, ref)
	}
}

// tookFigures puts the counts of slips into the report.
func (r *Report) tookFigures(x *reach, c *counting, bad map[string]bool) {
	s, t, single := &r.stood, &c.Took, c.single
	returned, used, older, sexed, ethnicity, race := &c.returned, &c.used, &c.older, &c.sexed, &c.ethnicity, &c.race
	r.count("D", "slips_returned", "", All, People, returned.n, returned.from)
	r.count("D", "slips_used", "", All, People, used.n, used.from)
	r.count("D", "slips_older_standard", "", All, People, older.n, older.from)
	var looked []Ref
	for _, e := range x.exceptions {
		looked = append(looked, e.Ref)
	}
	r.count("K", "exceptions", "", All, Count, len(x.exceptions), looked)
	for _, g := range groupNames {
		r.count("D", "any: ", g, All, People, t.any(g).n, t.any(g).from)
	}
	direct := x.by.at(All, "direct").n
	t.Columns = append(append(t.Columns, groupNames...), severalNames, unknownName)
	for _, c := range s.Counties {
		t.Counties = append(t.Counties, c.ID)
		var row []int
		known := 0
		for _, g := range t.Columns[:len(t.Columns)-1] {
			n := single.at(c.ID, g)
			row = append(row, n.n)
			known += n.n
			r.count("D", "alone: ", g, c.ID, People, n.n, n.from)
		}
		row = append(row, x.by.at(c.ID, "direct").n-known)
		r.count("D", "alone: ", unknownName, c.ID, People, row[len(row)-1], x.by.at(c.ID, "direct").from)
		t.Single = append(t.Single, row)
	}
	for j, g := range t.Columns {
		n := 0
		for _, row := range t.Single {
			n += row[j]
		}
		from := single.at(All, g).from
		if g == unknownName {
			from = x.by.at(All, "direct").from
			if direct > 0 {
				r.real("D", "unknown_share_race", "", Share, float64(n)/float64(direct), from)
			} else {
				r.withheld("D", "unknown_share_race", "", Share, notGivenNames, whyNoContact, nil)
			}
			r.atSlips(x, bad, named(t.Single))
		}
		r.count("D", "alone: ", g, All, People, n, from)
	}
	for _, sex := range []string{"F", "M"} {
		r.count("D", "sex ", sex, All, People, t.any("sex "+sex).n, t.any("sex "+sex).from)
	}
	if other := sexed.n - t.any("sex F").n - t.any("sex M").n; other > 0 {
		r.count("D", "sex_another_answer", "", All, People, other, sexed.from)
	}
	r.count("D", "sex_unknown", "", All, People, direct-sexed.n, x.by.at(All, "direct").from)
	if c.aged.n > 0 {
		for _, what := range sorted(t.Any) {
			if age, ok := strings.CutPrefix(what, "age "); ok {
				r.count("D", "age: ", age, All, People, t.any(what).n, t.any(what).from)
			}
		}
		r.count("D", "age_unknown", "", All, People, direct-c.aged.n, x.by.at(All, "direct").from)
	}
	if older.n > 0 {
		for _, g := range sorted(t.Older) {
			r.count("D", "older: ", g, All, People, t.Older[g].n, t.Older[g].from)
		}
		r.count("D", "older_ethnicity_unknown", "", All, People, older.n-ethnicity.n, older.from)
		r.count("D", "older_race_unknown", "", All, People, older.n-race.n, older.from)
	}
}

// ticked gives the groups of a slip, each once.
func ticked(groups string) []string {
	out := strings.FieldsFunc(groups, func(r rune) bool { return r == '|' })
	slices.Sort(out)
	return slices.Compact(out)
}

func (t Took) any(what string) tally {
	if n := t.Any[what]; n != nil {
		return *n
	}
	return tally{}
}

// named sums the slips that named a group.
func named(single [][]int) (n int) {
	for _, row := range single {
		for _, v := range row[:len(row)-1] {
			n += v
		}
	}
	return n
}

// countOlder counts a slip of the standard of 1997: its two questions, each with its own unknown.
func (c *counting) countOlder(groups []string, ref Ref) {
	asked, told := false, false
	for _, g := range groups {
		c.count(c.Older, g, ref)
		if g == olderNames[0] || g == olderNames[1] {
			asked = true
		} else {
			told = true
		}
	}
	if asked {
		c.ethnicity.add(1, ref)
	}
	if told {
		c.race.add(1, ref)
	}
}

// atSlips tells how many were unknown where slips were handed out at all: visits, calls and classes have none.
func (r *Report) atSlips(x *reach, bad map[string]bool, answered int) {
	heads, from := 0, []Ref(nil)
	for _, i := range x.events {
		e := r.stood.Events[i]
		if len(x.slips[e.ID]) > 0 && !bad[e.ID] {
			heads += e.Adults
			from = append(from, inEvents(i))
		}
	}
	for _, p := range x.pooled {
		if !p.bad {
			heads += p.adults
		}
	}
	if heads == 0 {
		r.withheld("D", "unknown_share_where_slips", "", Share, notGivenNames, whyNoSlips, nil)
		return
	}
	r.real("D", "unknown_share_where_slips", "", Share, float64(heads-answered)/float64(heads), from)
}

// besideSlips gives the records of a figure without its slips, and in place of these how many there are, a line a county. A slip is of an event and not of
// a person, but opened one by one it could tell of one: so counties with few are taken together.
func (r *Report) besideSlips(f Figure) (rest []Ref, counts []Line) {
	s := &r.stood
	at := place("slips")
	if !slices.ContainsFunc(f.From, func(x Ref) bool { return x.Table() == at }) {
		return f.From, nil
	}
	if r.slipCounty == nil {
		of := map[string]string{}
		for _, e := range s.Events {
			of[e.ID] = e.County
		}
		r.slipCounty = make([]string, len(s.Slips))
		for i, slip := range s.Slips {
			r.slipCounty[i] = cmp.Or(slip.County, of[slip.Event])
		}
	}
	n := map[string]int{}
	for _, x := range f.From {
		if x.Table() == at {
			n[r.slipCounty[x.Row()]]++
		} else {
			rest = append(rest, x)
		}
	}
	g := Grid{Columns: []string{""}}
	for _, c := range s.Counties {
		if n[c.ID] > 0 {
			g.Rows, g.Counts = append(g.Rows, c.ID), append(g.Counts, []int{n[c.ID]})
		}
	}
	g = g.region(r.Funder.Threshold)
	for i, county := range g.Rows {
		counts = append(counts, Line{Table: sheets[at].name, ID: county, Columns: []string{"county", "count"}, Values: []string{county, strconv.Itoa(g.Counts[i][0])}})
	}
	return rest, counts
}
