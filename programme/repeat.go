package programme

import (
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/table"
)

// Repeat says that of one contact of a record it was known that the person was met elsewhere on the same day. It is written when a row
// is emptied of the code that told so. It names nobody, nor the other record, and keeps the count as it was.
type Repeat struct {
	Table  string `key:"table" words:"events|visits|inquiries"`
	Record string `key:"record" need:"yes"`
	Series string `key:"series" words:"|each|once"` // the rule by which it is one; blank: by both
}

// met are the records at which somebody was met, by table and name, with the day and the place where they count. It is kept only
// where repeats were written down.
type met map[[2]string]contact

func (m met) add(table, id string, c contact) {
	if m != nil {
		m[[2]string{table, id}] = c
	}
}

// writtenRepeats takes away the contacts that are repeats by what was written down.
func (x *reach) writtenRepeats() {
	for _, a := range x.r.stood.Repeats {
		if c, there := x.met[[2]string{a.Table, a.Record}]; there && (a.Series == "" || a.Series == x.r.Funder.Series) {
			x.repeated(c, c.ref)
		}
	}
}

// toldRepeat names a contact that the same day's rule takes away.
type toldRepeat struct{ table, record, person string }

// repeats gives every contact that the same day's rule takes away, at any time, under a rule for series; those written down are
// not among them.
func (r Records) repeats(day Day, series string) (out []toldRepeat) {
	r.Repeats = nil
	x := newReach(&Report{Funder: Funder{Series: series, SameDay: "once"}, stood: r.stand(day), covers: Range{1, 1 << 30}})
	x.count()
	for _, m := range x.removed {
		out = append(out, toldRepeat{sheets[m.Ref.Table].name, x.r.ID(m.Ref), m.person})
	}
	return out
}

// kept gives the repeats that emptied records can no longer tell.
func (r Records) kept(emptied Records, day Day) (out []Repeat) {
	var lost [2][]toldRepeat
	for i, series := range []string{"each", "once"} {
		still := map[toldRepeat]int{} // who signed a list twice is a repeat twice
		for _, a := range emptied.repeats(day, series) {
			still[a]++
		}
		for _, a := range r.repeats(day, series) {
			if still[a]--; still[a] < 0 {
				lost[i] = append(lost[i], a)
			}
		}
	}
	for _, a := range lost[0] {
		if j := slices.Index(lost[1], a); j >= 0 {
			lost[1] = slices.Delete(lost[1], j, j+1)
			out = append(out, Repeat{a.table, a.record, ""})
		} else {
			out = append(out, Repeat{a.table, a.record, "each"})
		}
	}
	for _, a := range lost[1] {
		out = append(out, Repeat{a.table, a.record, "once"})
	}
	return out
}

// gonePrefix begins what stands for a code on the lists of one series, so that who came twice counts once; it is nobody's code.
const gonePrefix = nobody + "-"

func isGone(code string) bool { return strings.HasPrefix(code, gonePrefix) }

// unlist takes codes off the lists of events. The lines stay, so that lists count as before; those of staff, who never count, go.
// Who withdrew was unnamed already.
func (r Records) unlist(gone map[string]bool, day Day) (out []SignIn) {
	left := Records{Consents: r.Consents}.stand(day).gone
	staff, series := map[string]bool{}, map[string]string{}
	for _, p := range r.People {
		staff[p.ID] = staff[p.ID] || p.Role == "staff"
	}
	for _, e := range r.Events {
		series[e.ID] = e.Series
	}
	names, used := map[[2]string]string{}, 0
	for _, i := range r.SignIns {
		if n, err := strconv.Atoi(strings.TrimPrefix(i.Person, gonePrefix)); err == nil && isGone(i.Person) {
			used = max(used, n)
		}
	}
	for _, i := range r.SignIns {
		if gone[i.Person] {
			if staff[i.Person] {
				continue
			}
			key, name := [2]string{series[i.Event], i.Person}, ""
			if key[0] != "" && !left[i.Person] {
				if name = names[key]; name == "" {
					name = gonePrefix + strconv.Itoa(used+len(names)+1)
					names[key] = name
				}
			}
			i.Person = name
		}
		out = append(out, i)
	}
	return out
}

// check tells what of a repeat names no record.
func (a *Repeat) check(at *table.Row, all known) {
	if a.Table != "" && a.Record != "" && !all[a.Table][a.Record] {
		at.Wrong(FaultUnknown, "record", finding.Args{"Text": a.Record, "File": a.Table + ".csv"})
	}
}
