package programme

import (
	"cmp"
	"slices"
	"strconv"

	"raftwright/finding"
)

// fates are where a harvest went.
var fates = []string{"kitchen", "cafeteria", "given", "sold", "lost"}

// valued tells whether what went there is given a value by a price.
func valued(fate string) bool { return fate == "kitchen" || fate == "cafeteria" || fate == "given" }

// retail gives the rows of the retail prices of each crop, the oldest first.
func (s *standing) retail() map[string][]int {
	out := map[string][]int{}
	for i, p := range s.Prices {
		if p.Basis == "retail" {
			out[p.Crop] = append(out[p.Crop], i)
		}
	}
	for _, rows := range out {
		slices.SortStableFunc(rows, func(a, b int) int {
			p, q := s.Prices[a], s.Prices[b]
			less := 0
			if p.Dollars.Less(q.Dollars) {
				less = -1
			} else if q.Dollars.Less(p.Dollars) {
				less = 1
			}
			return cmp.Or(cmp.Compare(p.Date, q.Date), less, cmp.Compare(p.ID, q.ID))
		})
	}
	return out
}

// weighed is pounds with the entries that they come from.
type weighed struct {
	pounds Decimal
	from   []Ref
}

// countiesOfBeds gives the county of each bed.
func (s *standing) countiesOfBeds() map[string]string {
	site, out := map[string]string{}, map[string]string{}
	for _, p := range s.Sites {
		site[p.ID] = p.County
	}
	for _, b := range s.Beds {
		out[b.ID] = site[b.Site]
	}
	return out
}

// grown counts what was harvested and where it went. Heads and pounds are both records, none is made from the other.
func (r *Report) grown() {
	s := &r.stood
	prices, counties := s.retail(), s.countiesOfBeds()
	type fate struct {
		heads         tally
		pounds, value Decimal
		weighed       []Ref
		county        map[string]*weighed
		priced        []Ref
	}
	by := map[string]*fate{}
	for _, f := range fates {
		by[f] = &fate{county: map[string]*weighed{}}
	}
	in := 0
	many := map[string]int{}
	for i := range s.Harvests { // so that no list grows, which of many years is copied time and again
		if h := &s.Harvests[i]; r.covers.Has(h.Date) {
			in++
			many[h.Fate]++
		}
	}
	for name, n := range many {
		by[name].heads.from, by[name].weighed = make([]Ref, 0, n), make([]Ref, 0, n)
	}
	all, unpriced, unweighed, sold := &tally{from: make([]Ref, 0, in)}, &tally{}, &tally{}, []Ref(nil)
	receipts := Decimal{}
	for i := range s.Harvests {
		h := &s.Harvests[i]
		if !r.covers.Has(h.Date) {
			continue
		}
		ref, f := inHarvests(i), by[h.Fate]
		all.add(1, ref)
		f.heads.add(h.Heads, ref)
		if h.Receipts.Given {
			receipts, sold = receipts.Add(h.Receipts), append(sold, ref)
		}
		if !h.Pounds.Given {
			if h.Fate != "lost" {
				unweighed.add(1, ref)
			}
			continue
		}
		f.pounds, f.weighed = f.pounds.Add(h.Pounds), append(f.weighed, ref)
		county := cmp.Or(counties[h.Bed], NoCounty)
		if f.county[county] == nil {
			f.county[county] = &weighed{}
		}
		w := f.county[county]
		w.pounds, w.from = w.pounds.Add(h.Pounds), append(w.from, ref)
		if !valued(h.Fate) {
			continue
		}
		of := prices[h.Crop]
		at, _ := slices.BinarySearchFunc(of, h.Date+1, func(i int, d Day) int { return cmp.Compare(s.Prices[i].Date, d) })
		if at == 0 || h.Date-s.Prices[of[at-1]].Date > Day(r.by.days) {
			unpriced.add(1, ref)
			continue
		}
		f.value = f.value.Add(h.Pounds.Times(s.Prices[of[at-1]].Dollars))
		f.priced = append(f.priced, ref, inPrices(of[at-1]))
	}
	r.count("G", "harvest_records", "", All, Count, all.n, all.from)
	for _, name := range fates {
		r.count("G", "heads_"+name, "", All, Count, by[name].heads.n, by[name].heads.from)
		for _, c := range append(r.counties()[:len(s.Counties)], NoCounty) {
			if w := by[name].county[c]; w != nil {
				r.exactAt("G", "pounds_"+name, "", c, Pounds, w.pounds, w.from)
			} else if c != NoCounty {
				r.exactAt("G", "pounds_"+name, "", c, Pounds, Decimal{}, nil)
			}
		}
		r.exact("G", "pounds_"+name, "", Pounds, by[name].pounds, by[name].weighed)
	}
	r.meals(by["given"].pounds, by["given"].weighed)
	r.exact("G", "receipts_sold", "", Dollars, receipts.Cents(), sold)
	for _, name := range fates {
		if valued(name) {
			r.exact("G", "value_"+name, "", Dollars, by[name].value.Cents(), once(by[name].priced))
		}
	}
	r.count("G", "harvests_without_valid_price", "", All, Count, unpriced.n, unpriced.from)
	r.count("G", "harvests_not_weighed", "", All, Count, unweighed.n, unweighed.from)
}

// meals tells how many meals the pounds that were given are by the office's own figure, rounded down; without a figure nothing.
func (r *Report) meals(given Decimal, from []Ref) {
	if r.by.meal.Given {
		n := strconv.FormatInt(given.over(r.by.meal), 10)
		d, _ := ParseDecimal(n)
		r.exact("G", "meals_given", "", Meals, d, from)
	}
}

// given counts the hours of volunteers: service, and apart from it the training they received.
func (r *Report) given() {
	s := &r.stood
	service, training := Decimal{}, Decimal{}
	var served, trained, twice []Ref
	people, tasks, entries := map[string]bool{}, map[string]Decimal{}, map[string][]Ref{}
	type entry struct {
		person, event, task string
		hours               Decimal
	}
	for i, h := range s.Hours {
		if !r.covers.Has(h.Date) {
			continue
		}
		if h.Kind == "service" {
			service, served = service.Add(h.Hours), append(served, inHours(i))
			people[h.Person] = true
			task := cmp.Or(h.Task, notRecordedNames)
			tasks[task], entries[task] = tasks[task].Add(h.Hours), append(entries[task], inHours(i))
		} else {
			training, trained = training.Add(h.Hours), append(trained, inHours(i))
		}
	}
	says := func(i int) entry {
		h := &s.Hours[i]
		return entry{h.Person, h.Event, h.Task, h.Hours}
	}
	for _, i := range again(r.covers, len(s.Hours), func(i int) Day { return s.Hours[i].Date }, says, says) {
		if s.Hours[i].Person != nobody { // of emptied entries nobody can tell
			twice = append(twice, inHours(i))
		}
	}
	r.exact("H", "hours_service", "", Hour, service, served)
	for _, task := range sorted(tasks) {
		r.exact("H", hoursTaskNames, task, Hour, tasks[task], entries[task])
	}
	r.exact("H", "hours_training", "", Hour, training, trained)
	r.count("H", "volunteers", "", All, People, len(people), served)
	r.count("H", "hours_possible_duplicates", "", All, Count, len(twice), twice)
	if r.Rates = r.worth("hours_value", r.Funder.Rate, served); r.Rates == nil {
		r.withheld("H", "hours_value", "", Dollars, notGivenNames, whyNoRate, nil)
	}
	r.Matched = r.worth("hours_match", r.Funder.Match, served)
}

// where counts beds, and the sites that may stand on the map.
func (r *Report) where() {
	s := &r.stood
	beds, feet := &tally{}, &tally{}
	for i, b := range s.Beds {
		if b.Planted <= r.covers.To && (b.Retired == 0 || b.Retired >= r.covers.From) {
			beds.add(1, inBeds(i))
			feet.add(b.Length*b.Width, inBeds(i))
		}
	}
	r.count("J", "beds_active", "", All, Count, beds.n, beds.from)
	r.count("J", "bed_square_feet", "", All, Count, feet.n, feet.from)
	type host struct{ person, site string }
	show := map[host]bool{}
	for _, c := range s.Consents {
		if c.Purpose == "show" && c.holds(s.day) {
			show[host{c.Person, c.Site}] = true
		}
	}
	for _, c := range s.Counties {
		n := &tally{}
		for i, p := range s.Sites {
			if p.County == c.ID && show[host{p.Host, p.ID}] && !s.gone[p.Host] && p.Opened <= r.covers.To && (p.Closed == 0 || p.Closed >= r.covers.From) {
				n.add(1, inSites(i))
			}
		}
		if n.n > 0 && n.n < r.by.sites {
			r.Figures = append(r.Figures, Figure{Section: "J", Measure: "map_sites", County: c.ID, Kind: Word, Text: fewerNames + strconv.Itoa(r.by.sites),
				Why: whyFewSites, Args: finding.Args{"Least": r.by.sites}})
			continue
		}
		r.count("J", "map_sites", "", c.ID, Count, n.n, n.from)
	}
}
