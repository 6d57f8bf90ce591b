package programme

import "slices"

// LeastAdults is how many adults an event needs for its slips to be its own. Of a smaller one they lie in the pool of its county and
// month, and the event keeps only its count.
const LeastAdults = 10

// Pooled gives a slip as it is kept: of an event with few adults without the event.
func (s Slip) Pooled(e Event) Slip {
	if s.Event == e.ID && e.Adults < LeastAdults {
		s.Event, s.County, s.Month = "", e.County, e.Date.Month()
	}
	return s
}

// pool is the slips of small events of a county in a month.
type pool struct {
	county string
	slips  []int // rows
	adults int   // at the events whose slips lie there
	bad    bool  // more slips than adults
}

// pools gives the pools of the range: those whose month ended in it, so that none counts twice. With more slips than adults at the
// small events of the month a pool is an exception.
func (x *reach) pools() (out []pool) {
	s := &x.r.stood
	type key struct{ county, month string }
	at := map[key]int{}
	for i, slip := range s.Slips {
		first, ok := ParseDay(slip.Month + "-01")
		if slip.Event != "" || !ok || !x.r.covers.Has(first.after(1)-1) {
			continue
		}
		k := key{slip.County, slip.Month}
		j, known := at[k]
		if !known {
			j = len(out)
			at[k] = j
			out = append(out, pool{county: slip.County})
		}
		out[j].slips = append(out[j].slips, i)
	}
	if len(out) == 0 {
		return nil
	}
	for _, e := range s.Events {
		if j, ok := at[key{e.County, e.Date.Month()}]; ok && e.Education && e.Adults < LeastAdults && e.Date <= s.day {
			out[j].adults += e.Adults
		}
	}
	for k, j := range at {
		if p := &out[j]; len(p.slips) > p.adults {
			p.bad = true
			x.exceptions = append(x.exceptions, Exception{"pool", inSlips(p.slips[0]), k.county + " " + k.month})
		}
	}
	return out
}

// notPooled tells of how many small events slips stand at the event, where they should lie in a pool.
func (r *Report) notPooled(x *reach) {
	n := &tally{}
	for _, i := range x.events {
		if e := r.stood.Events[i]; e.Adults < LeastAdults && len(x.slips[e.ID]) > 0 {
			n.add(1, inEvents(i))
		}
	}
	r.count("K", "slips_not_pooled", "", All, Count, n.n, n.from)
}

// Pool gives the records with the slips of small events in their pools.
func (r Records) Pool() (out Records, moved int) {
	out = r
	out.Slips = slices.Clone(r.Slips)
	at := map[string]Event{}
	for _, e := range r.Events {
		at[e.ID] = e
	}
	for i, s := range out.Slips {
		if s.Event == "" {
			continue
		}
		if out.Slips[i] = s.Pooled(at[s.Event]); out.Slips[i] != s {
			moved++
		}
	}
	return out, moved
}
