package programme

import "slices"

// double is a row that says what one before it says.
type double struct {
	ref Ref
	id  string
}

// doubles finds encounters, harvests and items heard of that say in every column but their name what one before them says: a sheet that was keyed or
// brought in twice. They count as written, since two alike can have happened; only a correction takes one out. A question of which neither
// the person, the minutes nor a word was written down is like many others and says nothing; nor does a row that was emptied.
func (r *Report) doubles() []double {
	s, in := &r.stood, r.covers
	emptied := map[[2]string]bool{}
	for _, d := range s.Destroyed {
		emptied[[2]string{d.Table, d.Record}] = true
	}
	list := slices.Concat(
		doubled(in, s.Events, inEvents, func(x *Event) (*string, Day, [2]string) { return &x.ID, x.Date, [2]string{x.County, x.Title} }),
		doubled(in, s.Visits, inVisits, func(x *Visit) (*string, Day, [2]string) { return &x.ID, x.Date, [2]string{x.Site, x.Person} }),
		doubled(in, s.Inquiries, inInquiries, func(x *Inquiry) (*string, Day, [2]string) {
			if x.Person == "" && !x.Minutes.Given && x.Note == "" {
				return &x.ID, 0, [2]string{}
			}
			return &x.ID, x.Date, [2]string{x.Person, x.Note}
		}),
		doubled(in, s.Harvests, inHarvests, func(x *Harvest) (*string, Day, [2]string) { return &x.ID, x.Date, [2]string{x.Bed, x.Crop} }),
		doubled(in, s.Indirect, inIndirect, func(x *Indirect) (*string, Day, [2]string) { return &x.ID, x.Date, [2]string{x.Title, x.Unit} }))
	return slices.DeleteFunc(list, func(x double) bool { return emptied[[2]string{sheets[x.ref.Table()].name, x.id}] })
}

// tellDoubles puts them into the report.
func (r *Report) tellDoubles(list []double) {
	found := &tally{}
	for _, x := range list {
		found.add(1, x.ref)
		r.noticed("double", x.id, x.ref)
	}
	r.count("K", "possible_doubles", "", All, Count, found.n, found.from)
}

// doubled gives the rows of a table in the range that are like one before but for their name, in their order. Of gives where the name stands, the day (0 for a row that is
// not asked about) and two of the columns, by which most rows differ.
func doubled[T comparable](in Range, rows []T, to func(int) Ref, of func(*T) (id *string, day Day, two [2]string)) (out []double) {
	day := func(i int) Day { _, day, _ := of(&rows[i]); return day }
	two := func(i int) [2]string { _, _, two := of(&rows[i]); return two }
	bare := func(i int) T {
		x := rows[i]
		id, _, _ := of(&x)
		*id = ""
		return x
	}
	for _, i := range again(in, len(rows), day, two, bare) {
		id, _, _ := of(&rows[i])
		out = append(out, double{to(i), *id})
	}
	return out
}

// again gives which of so many rows are like one before them, in their order. Rows that are alike have the same day and key, so that the rest of a row is looked at only
// where a day has its key twice, and what was seen is little at a time, also of many years.
func again[K, T comparable](in Range, n int, day func(int) Day, key func(int) K, bare func(int) T) (out []int) {
	first, seen := map[K]int{}, map[T]bool{}
	for _, rows := range byDay(in, n, day) {
		clear(first)
		clear(seen)
		for _, at := range rows {
			i := int(at)
			k := key(i)
			j, known := first[k]
			if !known {
				first[k] = i
				continue
			}
			seen[bare(j)] = true
			x := bare(i)
			if seen[x] {
				out = append(out, i)
			}
			seen[x] = true
		}
	}
	slices.Sort(out)
	return out
}

// byDay gives the rows of each day of a range that has several, in their order.
func byDay(in Range, n int, day func(int) Day) (out [][]int32) {
	begins := make([]int32, in.Days()+1) // of each day among all rows
	at := make([]int32, n)               // the day of each row in the range, from 1
	for i := range n {
		if d := day(i); in.Has(d) {
			at[i] = int32(d-in.From) + 1
			begins[at[i]]++
		}
	}
	for d := 1; d < len(begins); d++ {
		begins[d] += begins[d-1]
	}
	all, next := make([]int32, begins[len(begins)-1]), slices.Clone(begins)
	for i, d := range at {
		if d > 0 {
			all[next[d-1]] = int32(i)
			next[d-1]++
		}
	}
	for d := 1; d < len(begins); d++ {
		if rows := all[begins[d-1]:begins[d]]; len(rows) > 1 {
			out = append(out, rows)
		}
	}
	return out
}
