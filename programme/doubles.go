package programme

// doubles tells of encounters, harvests and items heard of that say in every column but their name what one before them says: a sheet that was keyed or
// brought in twice. They count as written, since two alike can have happened; only a correction takes one out. A question of which neither
// the person, the minutes nor a word was written down is like many others and says nothing.
func (r *Report) doubles() {
	s, found := &r.stood, &tally{}
	doubled(r, found, s.Events, inEvents, func(x Event) (Event, string, Day) { id := x.ID; x.ID = ""; return x, id, x.Date })
	doubled(r, found, s.Visits, inVisits, func(x Visit) (Visit, string, Day) { id := x.ID; x.ID = ""; return x, id, x.Date })
	doubled(r, found, s.Inquiries, inInquiries, func(x Inquiry) (Inquiry, string, Day) {
		id := x.ID
		if x.ID = ""; x.Person == "" && !x.Minutes.Given && x.Note == "" {
			return x, "", 0
		}
		return x, id, x.Date
	})
	doubled(r, found, s.Harvests, inHarvests, func(x Harvest) (Harvest, string, Day) { id := x.ID; x.ID = ""; return x, id, x.Date })
	doubled(r, found, s.Indirect, inIndirect, func(x Indirect) (Indirect, string, Day) { id := x.ID; x.ID = ""; return x, id, x.Date })
	r.count("K", "possible_doubles", "", All, Count, found.n, found.from)
}

// doubled tells of the rows of a table in the range that are like one before; bare gives a row without its name, the name and the day, "" for one that is not asked about.
func doubled[T comparable](r *Report, found *tally, rows []T, in func(int) Ref, bare func(T) (row T, id string, day Day)) {
	seen := make(map[T]bool, len(rows))
	for i, x := range rows {
		row, id, day := bare(x)
		if id == "" || !r.covers.Has(day) {
			continue
		}
		if seen[row] {
			found.add(1, in(i))
			r.Noticed = append(r.Noticed, Exception{"double", in(i), id})
		}
		seen[row] = true
	}
}
