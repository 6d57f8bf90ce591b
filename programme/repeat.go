package programme

import (
	"cmp"
	"reflect"
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
	Only   string `key:"only_for" of:"funders"`     // in whose range alone it is one: a series may have begun before
	Except string `key:"not_for"`                   // funders, parted by |, in whose range it is none
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
		if c, there := x.met[[2]string{a.Table, a.Record}]; there && a.in(x.r.Funder) {
			x.repeated(c, c.ref)
		}
	}
}

// in tells whether it is a repeat in the report of a funder.
func (a Repeat) in(f Funder) bool {
	return (a.Series == "" || a.Series == f.Series) && (a.Only == "" || a.Only == f.ID) && !slices.Contains(strings.Split(a.Except, "|"), f.ID)
}

// toldRepeat names a contact that the same day's rule takes away.
type toldRepeat struct{ table, record, person string }

// always is all the time that there is.
var always = Range{1, 1 << 30}

// repeats gives every contact that the same day's rule takes away in a range, under a rule for series; those written down are
// not among them.
func (r Records) repeats(day Day, series string, in Range) (out []toldRepeat) {
	r.Repeats = nil
	x := newReach(&Report{Funder: Funder{Series: series, SameDay: "once"}, stood: r.stand(day), covers: in})
	x.count()
	for _, m := range x.removed {
		out = append(out, toldRepeat{sheets[m.Ref.Table()].name, x.r.ID(m.Ref), m.person})
	}
	return out
}

// lost gives the repeats that emptied records can no longer tell, in a range under a rule for series.
func (r Records) lost(emptied Records, day Day, series string, in Range) (out []toldRepeat) {
	still := map[toldRepeat]int{} // who signed a list twice is a repeat twice
	for _, a := range emptied.repeats(day, series, in) {
		still[a]++
	}
	for _, a := range r.repeats(day, series, in) {
		if still[a]--; still[a] < 0 {
			out = append(out, a)
		}
	}
	return out
}

// kept gives the repeats that emptied records can no longer tell, under every rule and in the range of every funder.
func (r Records) kept(emptied Records, day Day) (out []Repeat) {
	each, once := r.lost(emptied, day, "each", always), r.lost(emptied, day, "once", always)
	var told []toldRepeat // of the rows of out
	keep := func(a toldRepeat, series, only string) {
		out, told = append(out, Repeat{Table: a.table, Record: a.record, Series: series, Only: only}), append(told, a)
	}
	for _, a := range each {
		keep(a, "each", "")
	}
	for _, a := range once {
		keep(a, "once", "")
	}
	stood := r.stand(day)
	for _, f := range stood.Funders {
		if f.Series != "once" || f.SameDay != "once" {
			continue
		}
		own := map[toldRepeat]int{}
		for _, a := range r.lost(emptied, day, "once", Range{f.From, f.To}) {
			own[a]++
		}
		for i, a := range told {
			if out[i].Series != "once" || out[i].Only != "" {
				continue
			}
			if own[a]--; own[a] < 0 { // outside its range it does no harm
				out[i].Except = strings.TrimPrefix(out[i].Except+"|"+f.ID, "|")
			}
		}
		for a, n := range own {
			for range n {
				keep(a, "once", f.ID)
			}
		}
	}
	slices.SortFunc(out, func(a, b Repeat) int {
		return cmp.Or(cmp.Compare(a.Table, b.Table), cmp.Compare(a.Record, b.Record), cmp.Compare(a.Series, b.Series), cmp.Compare(a.Only, b.Only))
	})
	for i := 0; i+1 < len(out); { // by both rules alike
		if a, b := out[i], out[i+1]; a.Table == b.Table && a.Record == b.Record && a.Series == "each" && b.Series == "once" && b.Only == "" && b.Except == "" {
			out[i].Series = ""
			out = slices.Delete(out, i+1, i+2)
		}
		i++
	}
	return out
}

// gonePrefix begins what stands for a code on the lists of one series, so that who came twice counts once; it is nobody's code.
const gonePrefix = nobody + "-"

// goneStaff stands for the code of staff on a list.
const goneStaff = nobody + "*"

func isGone(code string) bool { return strings.HasPrefix(code, gonePrefix) }

// heldLists gives the lists that a hold stops, by their events: a hold of the event or of all, on signins or on events. The lists of one series are
// stopped together, since who came twice counts once.
func (r Records) heldLists(day Day) map[string]string {
	held, series := map[string]string{}, map[string]string{}
	if len(r.Holds) == 0 {
		return held
	}
	for _, e := range r.Events {
		if h := cmp.Or(r.heldBy("signins", e.ID, day), r.heldBy("events", e.ID, day)); h != "" {
			held[e.ID] = h
			if e.Series != "" {
				series[e.Series] = h
			}
		}
	}
	for _, e := range r.Events {
		if h := series[e.Series]; h != "" && held[e.ID] == "" {
			held[e.ID] = h
		}
	}
	return held
}

// listedAlone gives the rows of people, and behind them the codes that stand on lists and have none: held since the last of those lists where nothing else tells since when. Of a code without
// a row whose lists are all stopped it gives the hold.
func (r Records) listedAlone(now amended, day Day) (out []Person, held map[string]string) {
	out, held = slices.Clone(r.People), map[string]string{}
	known, last, at := map[string]bool{"": true, nobody: true, goneStaff: true}, map[string]Day{}, map[string]int{}
	for i, p := range r.People {
		known[p.ID] = true
		if p.Since == 0 {
			at[p.ID] = i
		}
	}
	events, stopped := sheets[place("events")], r.heldLists(day)
	for i, e := range r.Events {
		last[e.ID] = now.row(events, reflect.ValueOf(r.Events[i])).Interface().(Event).Date
	}
	for _, i := range r.SignIns {
		n, there := at[i.Person]
		if !there && (known[i.Person] || isGone(i.Person)) {
			continue
		}
		if !there {
			n = len(out)
			at[i.Person], held[i.Person] = n, stopped[i.Event]
			out = append(out, Person{ID: i.Person})
		}
		out[n].Since = max(out[n].Since, last[i.Event])
		if stopped[i.Event] == "" || known[i.Person] {
			held[i.Person] = ""
		}
	}
	return out, held
}

// unlist takes codes off the lists of events. The lines stay, so that lists count as before; those of staff, who never count, say so.
// A list that a hold stops stays as it is.
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
	names, used, held := map[[2]string]string{}, 0, r.heldLists(day)
	for _, i := range r.SignIns {
		if n, err := strconv.Atoi(strings.TrimPrefix(i.Person, gonePrefix)); err == nil && isGone(i.Person) {
			used = max(used, n)
		}
	}
	for _, i := range r.SignIns {
		if gone[i.Person] && held[i.Event] == "" {
			if staff[i.Person] {
				i.Person = goneStaff
				out = append(out, i)
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
