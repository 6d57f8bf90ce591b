package programme

import (
	"cmp"
	"slices"
)

// Asking is a mailing of a wave whose day has come: 1 is the first, others remind those who did not answer.
type Asking struct {
	Wave    string
	Mailing int
	On      Day
	People  int // whom it may go to: for the first, all who let themselves be asked
}

// reminders are the days after the first mailing on which those who did not answer are reminded (about 1, 3 and 6 to 7 weeks, after
// Dillman); lastAsked is when nobody is any more.
var reminders = [...]int{7, 21, 45}

const lastAsked = 90

// Asks gives the question of a wave in a language; without one in Spanish it stands as it is.
func (w Wave) Asks(language string) string {
	if language == "es" && w.Spanish != "" {
		return w.Spanish
	}
	return w.Question
}

// MayBeAsked gives the codes of the public who let themselves be asked later, on a day, in their order. A wave of an event asks only who
// stands on its list, unless it asks before; the wave "" asks all.
func (r Records) MayBeAsked(day Day, wave string) []string {
	s := r.stand(day)
	of, listed := "", map[string]bool{}
	for _, w := range s.Waves {
		if items := s.FormOf(w.Form); w.ID == wave && (len(items) == 0 || items[0].Kind != "before") {
			of = w.Event
		}
	}
	for _, x := range s.SignIns {
		listed[x.Person] = listed[x.Person] || x.Event == of
	}
	public := map[string]bool{}
	for _, p := range s.People {
		public[p.ID] = p.Role == "public"
	}
	var out []string
	for _, c := range s.Consents {
		if c.Purpose == "ask" && public[c.Person] && s.agrees(c.Person, "ask") && (of == "" || listed[c.Person]) {
			out = append(out, c.Person)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// AskingsDue lists the mailings of waves whose day has come, the longest due first: the planned ones that were not sent, and the next
// reminder of those that were.
func (r Records) AskingsDue(day Day) (out []Asking) {
	s := r.stand(day)
	back, told := map[string]int{}, map[string]int{}
	for _, x := range s.Replies {
		if x.Returned <= day {
			back[x.Wave]++
			told[x.Wave] = max(told[x.Wave], x.Mailing-1)
		}
	}
	for _, w := range s.Waves {
		if w.Sent == 0 {
			if w.Planned <= day {
				out = append(out, Asking{w.ID, 1, w.Planned, len(r.MayBeAsked(day, w.ID))})
			}
			continue
		}
		sent := max(w.Reminders.N, told[w.ID])
		silent := w.Count - w.Undeliverable - back[w.ID]
		if sent < len(reminders) && silent > 0 && day < w.Sent+lastAsked {
			if on := w.Sent + Day(reminders[sent]); on <= day {
				out = append(out, Asking{w.ID, sent + 2, on, silent})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Asking) int { return cmp.Compare(a.On, b.On) })
	return out
}
