package programme

import (
	"cmp"
	"slices"
	"strings"
)

// contact is one contact of a known person.
type contact struct {
	person string
	day    Day
	in     Day // of the month in which it counts: of a series, its first session
	order  int // event, visit, inquiry
	id     string
	county string
	spoken string // the language it was had in
	ref    Ref
}

// Exception is something in the records that a person should look at. Nothing of it is repaired silently.
type Exception struct {
	What string // "slips", "staff", "signins"
	Ref  Ref
	ID   string
}

// reach is who was reached.
type reach struct {
	r          *Report
	by         ledger
	known      []contact
	months     map[string]*tally // contacts by month
	monthOf    map[Day]*tally    // that of a day
	events     []int             // rows of the teaching events in the range
	largest    int
	slips      map[string][]int // rows by event
	removed    []Removed
	met        met
	pooled     []pool
	spoken     spoken
	exceptions []Exception
}

// Removed is a contact that was not counted, because the same person was met on the same day by the record that stayed.
type Removed struct {
	Ref, Stayed Ref
	person      string
}

func newReach(r *Report) *reach {
	return &reach{r: r, by: ledger{}, slips: map[string][]int{}, months: map[string]*tally{}, monthOf: map[Day]*tally{}, spoken: spoken{by: map[string]*tally{}}}
}

// count counts contacts by the rules of the funder.
func (x *reach) count() {
	s, f := &x.r.stood, x.r.Funder
	staff := map[string]bool{goneStaff: true}
	for _, p := range s.People {
		staff[p.ID] = staff[p.ID] || p.Role == "staff"
	}
	signed, staffed := map[string][]string{}, map[string]bool{}
	for _, i := range s.SignIns {
		if staff[i.Person] {
			staffed[i.Event] = true
		} else {
			signed[i.Event] = append(signed[i.Event], i.Person)
		}
	}
	for i, slip := range s.Slips {
		if slip.Event == "" {
			continue
		}
		x.slips[slip.Event] = append(x.slips[slip.Event], i)
	}
	x.known = make([]contact, 0, s.withCode())
	series, order := map[string][]int{}, []string(nil)
	if len(s.Repeats) > 0 {
		x.met = met{}
	}
	for i, e := range s.Events {
		if !x.r.covers.Has(e.Date) || !e.Education {
			continue
		}
		ref := inEvents(i)
		x.events = append(x.events, i)
		x.spoken.wished(e.AskedIn, e.ServedIn, e.Interpreter, ref)
		x.by.add(e.County, "events", 1, ref)
		x.largest = max(x.largest, e.Adults+e.Youth)
		if len(x.slips[e.ID]) > e.Adults {
			x.exceptions = append(x.exceptions, Exception{"slips", ref, e.ID})
		}
		if staffed[e.ID] {
			x.exceptions = append(x.exceptions, Exception{"staff", ref, e.ID})
		}
		if len(signed[e.ID]) > e.Adults {
			x.exceptions = append(x.exceptions, Exception{"signins", ref, e.ID})
		}
		if e.Series != "" && f.Series == "once" {
			if series[e.Series] == nil {
				order = append(order, e.Series)
			}
			series[e.Series] = append(series[e.Series], i)
			continue
		}
		x.heads(e, e.Adults, e.Youth, ref)
		x.met.add("events", e.ID, contact{day: e.Date, in: e.Date, county: e.County, spoken: e.ServedIn, ref: ref})
		named := 0
		for _, p := range signed[e.ID] {
			if p != "" && !isGone(p) {
				named++
				x.known = append(x.known, contact{p, e.Date, e.Date, 0, e.ID, e.County, e.ServedIn, ref})
			}
		}
		x.by.add(e.County, "unnamed", e.Adults+e.Youth-named, ref)
	}
	for _, name := range order {
		x.series(series[name], signed)
	}
	x.pooled = x.pools()
	slices.SortFunc(x.exceptions, func(a, b Exception) int { return cmp.Or(cmp.Compare(a.ID, b.ID), cmp.Compare(a.What, b.What)) })
	x.visits()
	x.inquiries()
	x.sameDay()
}

// withCode counts the rows that name a person.
func (s *standing) withCode() (n int) {
	for i := range s.SignIns {
		if s.SignIns[i].Person != "" {
			n++
		}
	}
	for i := range s.Visits {
		if s.Visits[i].Person != "" {
			n++
		}
	}
	for i := range s.Inquiries {
		if s.Inquiries[i].Person != "" {
			n++
		}
	}
	return n
}

// in counts contacts of a day by its month.
func (x *reach) in(day Day, n int, from ...Ref) {
	t := x.monthOf[day]
	if t == nil {
		m := day.Month()
		if t = x.months[m]; t == nil {
			t = &tally{}
			x.months[m] = t
		}
		x.monthOf[day] = t
	}
	t.add(n, from...)
}

func (x *reach) heads(e Event, adults, youth int, from ...Ref) {
	x.in(e.Date, adults+youth, from...)
	x.spoken.add(e.ServedIn, adults+youth, from...)
	x.by.add(e.County, "contacts_events_adults", adults, from...)
	x.by.add(e.County, "contacts_events_youth", youth, from...)
}

// series counts a series as one activity: its codes, each on its first day, and the most that were unnamed at one session.
func (x *reach) series(rows []int, signed map[string][]string) {
	s := &x.r.stood
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(s.Events[a].Date, s.Events[b].Date) })
	begun, full := s.Events[rows[0]], 0
	first, codes := map[string]bool{}, []contact(nil)
	var from []Ref
	unnamed, youth, lost := 0, 0, 0
	for n, i := range rows {
		e := s.Events[i]
		x.met.add("events", e.ID, contact{day: e.Date, in: begun.Date, county: begun.County, spoken: begun.ServedIn, ref: inEvents(i)})
		named := 0
		for _, p := range signed[e.ID] {
			if p == "" {
				continue
			}
			named++
			switch {
			case first[p]:
			case isGone(p):
				first[p] = true
				lost++
			default:
				first[p] = true
				codes = append(codes, contact{p, e.Date, begun.Date, 0, e.ID, begun.County, begun.ServedIn, inEvents(i)})
			}
		}
		if n == 0 || e.Adults-named > unnamed {
			unnamed = e.Adults - named
		}
		youth = max(youth, e.Youth)
		full += e.Adults + e.Youth
		from = append(from, inEvents(i))
	}
	unnamed += lost
	x.heads(begun, len(codes)+unnamed, youth, from...)
	x.by.add(begun.County, "unnamed", unnamed+youth, from...)
	x.by.add(begun.County, "series_not_counted_again", full-len(codes)-unnamed-youth, from...)
	x.known = append(x.known, codes...)
}

func (x *reach) visits() {
	s := &x.r.stood
	county := map[string]string{}
	for _, p := range s.Sites {
		county[p.ID] = p.County
	}
	for i, v := range s.Visits {
		if !x.r.covers.Has(v.Date) {
			continue
		}
		c, ref := county[v.Site], inVisits(i)
		x.by.add(c, "visits", 1, ref)
		x.by.add(c, "visit_minutes", v.Minutes, ref)
		x.by.add(c, "visit_miles", v.Miles, ref)
		if !v.Education {
			x.by.add(c, "business_left_out", 1, ref)
			continue
		}
		met := 1 + v.OthersMet // a visit without a code still met somebody
		x.by.add(c, "contacts_visits", met, ref)
		x.in(v.Date, met, ref)
		x.spoken.add(v.ServedIn, met, ref)
		x.spoken.wished(v.AskedIn, v.ServedIn, v.Interpreter, ref)
		x.met.add("visits", v.ID, contact{day: v.Date, in: v.Date, county: c, spoken: v.ServedIn, ref: ref})
		if v.Person != "" {
			x.known = append(x.known, contact{v.Person, v.Date, v.Date, 1, v.ID, c, v.ServedIn, ref})
			met--
		}
		if met > 0 {
			x.by.add(c, "unnamed", met, ref)
		}
	}
}

func (x *reach) inquiries() {
	for i, q := range x.r.stood.Inquiries {
		if !x.r.covers.Has(q.Date) {
			continue
		}
		ref := inInquiries(i)
		x.by.add(q.County, "inquiries", 1, ref)
		if q.Status == "open" {
			x.by.add(q.County, "inquiries_open", 1, ref)
		}
		if q.Referred != "" {
			x.by.add(q.County, "inquiries_referred", 1, ref)
		}
		switch {
		case !q.Education:
			x.by.add(q.County, "business_left_out", 1, ref)
			continue
		case q.Person != "":
			x.known = append(x.known, contact{q.Person, q.Date, q.Date, 2, q.ID, q.County, q.ServedIn, ref})
		default:
			x.by.add(q.County, "unnamed", 1, ref)
		}
		x.by.add(q.County, "contacts_inquiries", 1, ref)
		x.in(q.Date, 1, ref)
		x.spoken.add(q.ServedIn, 1, ref)
		x.spoken.wished(q.AskedIn, q.ServedIn, q.Interpreter, ref)
		x.met.add("inquiries", q.ID, contact{day: q.Date, in: q.Date, county: q.County, spoken: q.ServedIn, ref: ref})
	}
}

// sameDay takes away what a person was counted more than once on a day, where the funder's rule says so.
func (x *reach) sameDay() {
	if x.r.Funder.SameDay != "once" {
		return
	}
	order := make([]int32, len(x.known))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, j int32) int {
		a, b := &x.known[i], &x.known[j]
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.order, b.order), strings.Compare(a.id, b.id), cmp.Compare(i, j))
	})
	stayed, day := map[string]Ref{}, Day(0) // of one day at a time
	for _, i := range order {
		c := x.known[i]
		if c.day != day {
			clear(stayed)
			day = c.day
		}
		if ref, ok := stayed[c.person]; ok {
			x.repeated(c, ref)
			continue
		}
		stayed[c.person] = c.ref
	}
	x.writtenRepeats()
}

// repeated takes a contact away that another of the same day stands for.
func (x *reach) repeated(c contact, stayed Ref) {
	x.by.add(c.county, "same_day_removed", 1, c.ref)
	x.removed = append(x.removed, Removed{c.ref, stayed, c.person})
	x.in(c.in, -1)
	x.spoken.add(c.spoken, -1)
}

// figures puts the counts into the report.
func (x *reach) figures() {
	r := x.r
	kinds := []string{"contacts_events_adults", "contacts_events_youth", "contacts_visits", "contacts_inquiries"}
	for _, c := range r.counties() {
		direct := x.by.at(c, "direct")
		for _, k := range kinds {
			direct.add(x.by.at(c, k).n, x.by.at(c, k).from...)
		}
		direct.n -= x.by.at(c, "same_day_removed").n
		direct.from = once(direct.from)
		r.count("B", "direct_contacts", "", c, People, direct.n, direct.from)
		for _, k := range append(slices.Clip(kinds), "same_day_removed", "series_not_counted_again") {
			r.count("B", k, "", c, People, x.by.at(c, k).n, x.by.at(c, k).from)
		}
		for _, k := range []string{"events", "visits", "inquiries", "business_left_out"} {
			r.count("B", k, "", c, Count, x.by.at(c, k).n, x.by.at(c, k).from)
		}
	}
	for _, k := range []string{"visit_minutes", "visit_miles", "inquiries_open", "inquiries_referred"} {
		r.count("B", k, "", All, Count, x.by.at(All, k).n, x.by.at(All, k).from)
	}
	for _, m := range sorted(x.months) {
		r.count("B", "month: ", m, All, People, x.months[m].n, x.months[m].from)
	}
	people := map[string]bool{}
	var from []Ref
	for _, c := range x.known {
		people[c.person] = true
		from = append(from, c.ref)
	}
	unnamed := x.by.at(All, "unnamed")
	known := once(from)
	r.count("B", "people_known", "", All, People, len(people), known)
	r.count("B", "contacts_unnamed", "", All, People, unnamed.n, unnamed.from)
	r.count("B", "people_at_least", "", All, People, max(len(people), x.largest), known)
	r.count("B", "people_at_most", "", All, People, len(people)+unnamed.n, once(append(from, unnamed.from...)))
	r.Removed, r.Exceptions = x.removed, x.exceptions
}

// once gives the records in their order, each once.
func once(from []Ref) []Ref {
	out := slices.Clone(from)
	slices.Sort(out)
	return slices.Compact(out)
}

// heard counts what was heard of, a line a unit.
func (r *Report) heard() {
	by := map[string]*tally{}
	for i, it := range r.stood.Indirect {
		if r.covers.Has(it.Date) {
			if by[it.Unit] == nil {
				by[it.Unit] = &tally{}
			}
			by[it.Unit].add(it.Count, inIndirect(i))
		}
	}
	for _, unit := range sorted(by) {
		r.count("C", "indirect: ", unit, All, Count, by[unit].n, by[unit].from)
	}
}
