package web

import (
	"cmp"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/store"
)

// difference is a place where two keyings differ, on a page.
type difference struct {
	Name, Where, First, Second string
	Chosen                     string
	Closed                     bool // names, which the reader may not see
}

// both is a sheet as two people keyed it; nil where one of them has none.
type both struct {
	number string
	sides  [2]*draft
}

// sides gives the sheets of both keyings side by side: lines of a sign-in sheet by the code of the person where both have it, and those
// of a tally sheet by group and item, since one of them may have skipped a line, all others by their number.
func (v *visit) sides(p pile) (out []both, drafts []string, err error) {
	var lists [2][]draft
	for i := range lists {
		if lists[i], _, err = v.drafts(p, i+1); err != nil {
			return nil, nil, err
		}
		for _, d := range lists[i] {
			drafts = append(drafts, d.ID)
		}
		lists[i] = slices.DeleteFunc(lists[i], func(d draft) bool { return d.cells[takenAway] != "" })
	}
	partner := func(d draft, same func(a, b draft) bool) int {
		return slices.IndexFunc(lists[1], func(b draft) bool { return same(d, b) })
	}
	met := map[string]*draft{} // the other of a sheet, by its id
	taken := map[string]bool{}
	for _, same := range []func(a, b draft) bool{
		func(a, b draft) bool {
			return p.kind == signInSheet && a.cells["code"] == b.cells["code"] && ofBook(a.cells["code"])
		},
		func(a, b draft) bool {
			return p.kind == tallySheet && strings.EqualFold(a.cells["group"], b.cells["group"]) && a.cells["of"] == b.cells["of"] && a.cells["of"] != ""
		},
		func(a, b draft) bool { return a.number == b.number },
	} {
		for _, d := range lists[0] {
			if i := partner(d, func(a, b draft) bool { return !taken[b.ID] && same(a, b) }); met[d.ID] == nil && i >= 0 {
				met[d.ID], taken[lists[1][i].ID] = &lists[1][i], true
			}
		}
	}
	for i := range lists[0] {
		d := &lists[0][i]
		out = append(out, both{d.number, [2]*draft{d, met[d.ID]}})
	}
	for i := range lists[1] {
		if d := &lists[1][i]; !taken[d.ID] {
			out = append(out, both{d.number, [2]*draft{nil, d}})
		}
	}
	slices.SortStableFunc(out, func(a, b both) int { return cmp.Compare(number(a.number), number(b.number)) })
	return out, drafts, nil
}

// ofBook tells whether a cell names a person of the book.
func ofBook(code string) bool { return code != "" && code != leftOut }

// named is who a sheet says somebody is.
func (v *visit) named(d *draft) (store.Contact, error) {
	if d == nil || d.cells["held"] == "" {
		return store.Contact{}, nil
	}
	who := v.who
	if !who.Heads() {
		who = store.Holder() // compared, not shown
	}
	return v.Store.ContactOf(v.context(), who, d.cells["held"])
}

// comparedSheet is a sheet of two keyings with all its columns, and where they differ.
type comparedSheet struct {
	both
	texts [2]keyedCells
	apart []difference
}

// compared finds where the two keyings of a pile differ: every column of every sheet, its head and the names that stand apart too.
func (v *visit) compared(p pile, list []both) (out []comparedSheet, cells int, err error) {
	for _, b := range list {
		s := comparedSheet{both: b}
		columns := v.columns(p)
		if b.number == headNumber {
			columns = nil
			for _, c := range p.headColumns() {
				columns = append(columns, keyColumn{name: c, Head: v.columnName("events", c)})
			}
		}
		for i, d := range b.sides {
			s.texts[i] = keyedCells{}
			if d != nil {
				s.texts[i] = maps.Clone(d.cells)
			}
			who, err := v.named(d)
			if err != nil {
				return nil, 0, err
			}
			s.texts[i]["who"], s.texts[i]["reach"] = who.Name, who.Contact
		}
		sheet := "sheet " + b.number
		if b.sides[0] == nil {
			sheet += " of 2" // another stands on the first under this number
		}
		where := v.say("web.keying.head")
		if b.number != headNumber {
			where = v.say("web.keying.sheet", "Name", b.number)
		}
		if b.number != headNumber && (b.sides[0] == nil || b.sides[1] == nil) {
			d := difference{Name: sheet, Where: v.say("web.keying.row", "Name", b.number)}
			if b.sides[0] != nil {
				d.First = v.say("web.keying.there")
			} else {
				d.Second = v.say("web.keying.there")
			}
			s.apart = append(s.apart, d)
		} else {
			for _, c := range columns {
				first, second := s.texts[0][c.name], s.texts[1][c.name]
				if first+second != "" {
					cells++
				}
				if first == second {
					continue
				}
				d := difference{Name: sheet + " " + c.name, Where: v.say("web.keying.cell", "Name", where, "Column", c.Head), First: v.asTicked(c.name, first), Second: v.asTicked(c.name, second)}
				if c.name == "who" || c.name == "reach" {
					if d.Closed = !v.who.Heads(); d.Closed {
						d.First, d.Second = v.behind(first), v.behind(second)
					}
				}
				s.apart = append(s.apart, d)
			}
		}
		for i := range s.apart {
			d := &s.apart[i]
			if d.Chosen = v.PostFormValue(d.Name); d.Chosen != "1" && d.Chosen != "2" || d.Closed {
				d.Chosen = ""
			}
		}
		out = append(out, s)
	}
	return out, cells, nil
}

// asTicked writes the boxes of the groups as they are called.
func (v *visit) asTicked(column, text string) string {
	text = v.asKeyed(column, text)
	boxes, older := olderBoxes(column)
	if !older && column != "groups" || text == "" || text == leftOut {
		return text
	}
	var out []string
	for _, n := range text {
		box := "leader.slip.who_" + string(n)
		if older {
			box = boxes[n-'1']
		}
		out = append(out, v.say(box))
	}
	return strings.Join(out, "; ")
}

// isBehind tells whether a cell shows that something is written down, in whatever language its page was shown.
func isBehind(text string) bool {
	return slices.ContainsFunc(lang.Languages(), func(language string) bool {
		words, err := lang.For(language, lang.US)
		return err == nil && text == words.Say("web.keying.behind", nil)
	})
}

// behind says that something was written down, not what.
func (v *visit) behind(text string) string {
	if text == "" {
		return ""
	}
	return v.say("web.keying.behind")
}

// apart shows where the two keyings of a pile differ.
func (v *visit) apart() error { return v.showApart(http.StatusOK, nil) }

func (v *visit) showApart(status int, told []wrong) error {
	p, err := v.thePile()
	if err != nil {
		return err
	}
	if p.state == pileDone {
		return finding.Fault{ID: FaultSettled}
	}
	sides, _, err := v.sides(p)
	if err != nil {
		return err
	}
	list, cells, err := v.compared(p, sides)
	if err != nil {
		return err
	}
	body := struct {
		Pile, Says string
		Rows       []difference
		Told       []wrong
		Both       bool
		Closed     bool // someone else has to settle
		Count      int
		Book       []string // of the day, what will be corrected
	}{Pile: p.ID, Says: v.say("web.keying.compared", "Cells", v.words.Number(float64(cells))), Told: told}
	var there [2]bool
	for _, s := range list {
		for i := range there {
			there[i] = there[i] || s.sides[i] != nil
		}
		body.Rows = append(body.Rows, s.apart...)
		if s.number == headNumber {
			for _, c := range p.headColumns() {
				if now, was := s.texts[0][c], p.inBook(c); now != "" && now == s.texts[1][c] && now != was {
					body.Book = append(body.Book, v.say("web.keying.corrects", "Column", v.columnName("events", c), "Old", cmp.Or(was, v.say("web.keying.nothing_there")), "New", now))
				}
			}
		}
	}
	body.Both, body.Count = there[0] && there[1], len(body.Rows)
	body.Closed = slices.ContainsFunc(body.Rows, func(d difference) bool { return d.Closed })
	return v.showAs(status, "apart", sheet{Title: v.pileName(p), Of: v.say("web.keying.apart"), Sheets: []link{{v.say("web.keying.title"), "/keying"}, {v.say("web.keying.turn1"), "/keying/" + p.ID}, {v.say("web.keying.turn2"), "/keying/" + p.ID + "?turn=2"}, {v.say("web.keying.apart"), ""}}, Body: body})
}

// settle writes a pile that was keyed twice into the book, where of each difference it is said what the paper has.
func (v *visit) settle() error {
	if err := v.filled(); err != nil {
		return err
	}
	p, err := v.thePile()
	if err != nil {
		return err
	}
	if p.state == pileDone {
		return finding.Fault{ID: FaultSettled}
	}
	sides, gone, err := v.sides(p)
	if err != nil {
		return err
	}
	list, _, err := v.compared(p, sides)
	if err != nil {
		return err
	}
	open := slices.ContainsFunc(list, func(s comparedSheet) bool {
		return slices.ContainsFunc(s.apart, func(d difference) bool { return d.Chosen == "" })
	})
	if second, _, err := v.drafts(p, 2); err != nil || len(second) == 0 || !p.twice || open {
		if err != nil {
			return err
		}
		return v.retell(v.showApart, finding.Fault{ID: FaultUnsettled})
	}
	var out []store.Record
	for _, s := range list {
		cells, stays := s.settled()
		switch {
		case !stays:
		case s.number == headNumber:
			out = append(out, v.headCorrections(p, cells)...)
		default:
			key := s.number
			if s.sides[0] == nil {
				key += " of 2"
			}
			if err := v.settleName(p, cells, key); err != nil {
				return err
			}
			out = append(out, p.bookRecords(cells)...)
		}
	}
	var names []string
	for _, b := range sides {
		for _, d := range b.sides {
			if d != nil && d.cells["held"] != "" {
				names = append(names, d.cells["held"])
			}
		}
	}
	return v.intoTheBook(p, out, gone, names)
}

// settled gives a sheet as it was chosen; false where the paper has none.
func (s comparedSheet) settled() (keyedCells, bool) {
	if s.number != headNumber && (s.sides[0] == nil || s.sides[1] == nil) {
		side := 0
		if s.sides[0] == nil {
			side = 1
		}
		return s.texts[side], s.apart[0].Chosen == strconv.Itoa(side+1)
	}
	cells := maps.Clone(s.texts[0])
	for _, d := range s.apart {
		if d.Chosen == "2" {
			name := d.Name[strings.LastIndex(d.Name, " ")+1:]
			cells[name] = s.texts[1][name]
		}
	}
	return cells, true
}

// settleName writes who a settled line names under the code of the person, which is made where there was none.
func (v *visit) settleName(p pile, cells keyedCells, key string) error {
	who := store.Contact{Code: cells["code"], Name: cells["who"], Contact: cells["reach"]}
	for _, name := range []string{"who", "reach", "held", "reached"} {
		delete(cells, name)
	}
	if who.Name+who.Contact == "" {
		return nil
	}
	if !ofBook(who.Code) {
		who.Code = coded("P", uuid.NewSHA1(uuid.MustParse(p.ID), []byte("name "+key)).String())
		cells["code"], cells["fresh"] = who.Code, "yes"
	}
	return v.Store.PutContact(v.context(), v.who, who)
}
