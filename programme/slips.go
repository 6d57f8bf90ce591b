package programme

import (
	"slices"
	"strings"
)

// groupNames are the groups of the standard of 2024 (SPD 15, 89 FR 22182), in its order.
var groupNames = []string{"American Indian or Alaska Native", "Asian", "Black or African American", "Hispanic or Latino", "Middle Eastern or North African", "Native Hawaiian or Pacific Islander", "White"}

// olderNames are the answers of the standard of 1997 (62 FR 58782): two questions, of ethnicity and of race.
var olderNames = []string{"Hispanic or Latino", "Not Hispanic or Latino", "American Indian or Alaska Native", "Asian", "Black or African American", "Native Hawaiian or Other Pacific Islander", "Native Hawaiian or Pacific Islander", "White"}

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

// took counts the slips of the events in the range. Those of an event with more slips than adults are set aside.
func (r *Report) took(x *reach) {
	s := &r.stood
	bad := map[string]bool{}
	for _, e := range x.exceptions {
		bad[e.ID] = bad[e.ID] || e.What == "slips"
	}
	t := Took{Any: map[string]*tally{}, Older: map[string]*tally{}}
	returned, used, older, sexed := &tally{}, &tally{}, &tally{}, &tally{}
	single := ledger{}
	count := func(in map[string]*tally, what string, ref Ref) {
		if in[what] == nil {
			in[what] = &tally{}
		}
		in[what].add(1, ref)
	}
	ethnicity, race := &tally{}, &tally{}
	for _, i := range x.events {
		e := s.Events[i]
		for _, j := range x.slips[e.ID] {
			slip, ref := s.Slips[j], inSlips(j)
			returned.add(1, ref)
			if bad[e.ID] {
				continue
			}
			groups := ticked(slip.Groups)
			if slip.Standard != "2024" {
				older.add(1, ref)
				t.countOlder(groups, ref, count, ethnicity, race)
				continue
			}
			used.add(1, ref)
			for _, g := range groups {
				count(t.Any, g, ref)
			}
			if slip.Sex != "" {
				sexed.add(1, ref)
				count(t.Any, "sex "+slip.Sex, ref)
			}
			switch len(groups) {
			case 0:
			case 1:
				single.add(e.County, groups[0], 1, ref)
			default:
				single.add(e.County, severalNames, 1, ref)
			}
		}
	}
	r.tookFigures(x, &t, single, [...]*tally{returned, used, older, sexed, ethnicity, race}, bad)
	r.Took = t
}

// tookFigures puts the counts of slips into the report: returned, used, of the older standard, that told the sex, and of the
// older those that answered each of its questions.
func (r *Report) tookFigures(x *reach, t *Took, single ledger, n [6]*tally, bad map[string]bool) {
	s, returned, used, older, sexed, ethnicity, race := &r.stood, n[0], n[1], n[2], n[3], n[4], n[5]
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
func (t Took) countOlder(groups []string, ref Ref, count func(map[string]*tally, string, Ref), ethnicity, race *tally) {
	asked, told := false, false
	for _, g := range groups {
		count(t.Older, g, ref)
		if g == olderNames[0] || g == olderNames[1] {
			asked = true
		} else {
			told = true
		}
	}
	if asked {
		ethnicity.add(1, ref)
	}
	if told {
		race.add(1, ref)
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
	if heads == 0 {
		r.withheld("D", "unknown_share_where_slips", "", Share, notGivenNames, whyNoSlips, nil)
		return
	}
	r.real("D", "unknown_share_where_slips", "", Share, float64(heads-answered)/float64(heads), from)
}
