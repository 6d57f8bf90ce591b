package web

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/programme"
	"raftwright/store"
)

// Faults of keying.
const (
	FaultSameKeyer finding.ID = "web.fault.same_keyer" // who keyed a pile first keys it again
	FaultSettled   finding.ID = "web.fault.settled"    // the pile stands in the book
	FaultUnsettled finding.ID = "web.fault.unsettled"  // something is wrong, or differs, and nobody said what holds
	FaultPile      finding.ID = "web.fault.pile"       // a pile of nothing that can be keyed
	FaultBack      finding.ID = "web.fault.back"       // a pile of a follow-up without the day on which it came back
)

// pilesLedger holds the piles. freshRows is how many blank rows the grid has, mostSheets how many sheets a pile. nowFirst is the
// order of the two ticks in a line of a slip.
const (
	pilesLedger = "piles"
	nowFirst    = "now"
	freshRows   = 20
	mostSheets  = 500
)

// piles lists what is being keyed in, and begins a pile.
func (v *visit) piles() error { return v.showPiles(http.StatusOK, nil) }

func (v *visit) showPiles(status int, told []wrong) error {
	return v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		r := v.House.year.records
		type event struct{ ID, Name string }
		type open struct{ Name, To, Says string }
		body := struct {
			ID            string
			Events        []event
			Kinds         []option
			Event, Back   string
			Twice, Waves  bool
			Older         bool // slips ask by the standard of 1997 here
			Open, Settled []open
			Told          []wrong
			Forms         []string // whose questions can stand on a tally sheet
			Tongues       []option // in which it is printed
		}{ID: store.NewIDIn(pilesLedger), Told: told, Event: v.FormValue("event"), Back: v.PostFormValue("back"), Twice: v.PostFormValue("twice") != ""}
		body.Older = v.olderAt(body.Event)
		for i := len(r.Events) - 1; i >= 0 && len(body.Events) < mostOffers; i-- { // the latest first
			e := r.Events[i]
			body.Events = append(body.Events, event{e.ID, strings.TrimSpace(v.words.Date(e.Date.Time()) + " " + e.Title)})
		}
		kind := v.FormValue("kind")
		if kind == slipSheet && body.Older {
			kind = olderSlips
		}
		body.Kinds = []option{{signInSheet, v.say("leader.sign.title"), kind == signInSheet}, {slipSheet, v.say("web.keying.slips"), kind == slipSheet}, {olderSlips, v.say("web.keying.slips_older"), kind == olderSlips}, {tallySheet, v.say("web.keying.tally"), kind == tallySheet}}
		var forms []string
		for _, q := range r.Questions {
			if q.Kind != "later" && !slices.Contains(forms, q.Form) {
				forms = append(forms, q.Form)
				body.Kinds = append(body.Kinds, option{formSheet + ":" + q.Form, v.say("web.keying.form", "Name", q.Form), kind == formSheet+":"+q.Form})
			}
		}
		for _, w := range r.Waves {
			body.Kinds = append(body.Kinds, option{waveSheet + ":" + w.ID, v.say("web.wave.title", "Name", w.ID), kind == waveSheet+":"+w.ID})
		}
		body.Waves, body.Forms, body.Tongues = len(r.Waves) > 0, forms, v.tongues()
		list, err := v.Store.LastRecords(v.context(), v.who, pilesLedger, 0, bookRows)
		if err != nil {
			return err
		}
		for _, x := range list {
			p := pileOf(x)
			o := open{v.pileName(p), "/keying/" + p.ID, v.say("web.keying.once")}
			if p.twice {
				o.Says = v.say("web.keying.twice")
			}
			if p.state == pileDone {
				body.Settled = append(body.Settled, o)
			} else {
				body.Open = append(body.Open, o)
			}
		}
		return v.showAs(status, "piles", sheet{Title: v.say("web.keying.title"), Of: v.say("web.keying.of"), Sheets: []link{{v.say("web.book.title"), "/program"}, {v.say("web.keying.title"), ""}}, Body: body})
	})
}

// pileName is how a pile is called on a page.
func (v *visit) pileName(p pile) string {
	name := v.say("web.keying.slips")
	switch p.kind {
	case slipSheet:
		if p.older() {
			name = v.say("web.keying.slips_older")
		}
	case signInSheet:
		name = v.say("leader.sign.title")
	case formSheet:
		name = v.say("web.keying.form", "Name", p.form)
	case tallySheet:
		name = v.say("web.keying.tally")
	case waveSheet:
		return v.say("web.wave.title", "Name", p.form)
	}
	return v.say("web.keying.pile", "Name", name, "Event", p.event)
}

// pileOf reads a pile.
func pileOf(r store.Record) pile {
	p := pile{Record: r}
	for _, x := range r.Row {
		switch x.Path {
		case "kind":
			p.kind, p.form, _ = strings.Cut(x.Text, ":")
		case "event":
			p.event = x.Text
		case "back":
			p.back = x.Text
		case "order":
			p.nowFirst = x.Text == nowFirst
		case "twice":
			p.twice = x.Text == "yes"
		case "state":
			p.state = x.Text
		}
	}
	return p
}

// beginPile makes a pile.
func (v *visit) beginPile() error {
	if err := v.filled(); err != nil {
		return err
	}
	if err := v.theBook(); err != nil {
		return err
	}
	id := v.PostFormValue("id")
	p := pile{event: strings.TrimSpace(v.PostFormValue("event"))}
	p.kind, p.form, _ = strings.Cut(v.PostFormValue("kind"), ":")
	known := slices.Contains([]string{signInSheet, slipSheet, olderSlips, tallySheet}, v.PostFormValue("kind"))
	if p.kind == formSheet {
		asked, err := v.askedBy(p.form)
		if err != nil {
			return err
		}
		known = len(asked) > 0
	}
	if p.kind == waveSheet { // of who was asked, wherever they learned
		known, p.event, p.back = v.stands("waves", p.form), "", strings.TrimSpace(v.PostFormValue("back"))
	}
	if uuid.Validate(id) != nil || !known || p.kind != waveSheet && !v.stands("events", p.event) {
		return v.retell(v.showPiles, finding.Fault{ID: FaultPile, Args: finding.Args{"Event": p.event}})
	}
	if p.kind == waveSheet {
		if err := v.cameBack(p); err != nil {
			return v.retell(v.showPiles, err)
		}
	}
	twice := "no"
	if v.PostFormValue("twice") != "" {
		twice = "yes"
	}
	r := store.Record{ID: id, Ledger: pilesLedger, Name: id, Row: []brief.Pair{{Path: "kind", Text: v.PostFormValue("kind")}, {Path: "event", Text: p.event}, {Path: "back", Text: p.back}, {Path: "twice", Text: twice}, {Path: "state", Text: "open"}, {Path: "order", Text: nowFirst}}}
	if _, err := v.Store.Record(v.context(), v.who, id); err != nil { // not sent before
		if _, err := v.Store.PutRecord(v.context(), v.who, id, 0, r); err != nil {
			return v.retell(v.showPiles, err)
		}
	}
	return v.to("/keying/" + id)
}

// cameBack refuses a pile of a follow-up without the day on which its forms came back: a reply is dated by that day, not by the one on which somebody had
// time to key it, since a report of a day holds what had come back by then.
func (v *visit) cameBack(p pile) error {
	list, err := v.Store.LastRecords(v.context(), v.who, "waves", 0, mostOffers)
	if err != nil {
		return err
	}
	from := programme.Day(0)
	for _, w := range list {
		if w.Name == p.form {
			from, _ = programme.ParseDay(cellOf(w, "sent_on"))
		}
	}
	if day, ok := programme.ParseDay(p.back); !ok || day < from || day > v.dayNow() {
		return finding.Fault{ID: FaultBack, Args: finding.Args{"Text": p.back, "Sent": from != 0, "From": v.words.Date(from.Time()), "To": v.words.Date(v.dayNow().Time())}}
	}
	return nil
}

// askedBy gives what a questionnaire asks.
func (v *visit) askedBy(name string) (out []programme.Asked, err error) {
	err = v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		out = v.House.year.records.FormOf(name)
		return nil
	})
	return out, err
}

// thePile finds the pile of an address, with its event and what its form asks.
func (v *visit) thePile() (p pile, err error) {
	if err := v.theBook(); err != nil {
		return p, err
	}
	id := v.PathValue("pile")
	r, err := v.Store.Record(v.context(), v.who, id)
	if err == nil && r.Ledger != pilesLedger {
		err = finding.Fault{ID: store.FaultNotFound, Args: finding.Args{"Thing": finding.Word("store.word.record"), "Name": id}}
	}
	if err != nil {
		return p, err
	}
	p = pileOf(r)
	if p.back == "" { // a pile that was begun before this was asked
		p.back = v.officeDay()
	}
	err = v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		for _, e := range v.House.year.records.Standing(v.dayNow()).Events {
			if e.ID == p.event {
				p.of = e
			}
		}
		p.asked = v.House.year.records.FormOf(p.form)
		for _, w := range v.House.year.records.Waves {
			if p.kind == waveSheet && w.ID == p.form {
				p.wave, p.asked = w, v.House.year.records.FormOf(w.Form)
			}
		}
		return nil
	})
	if p.kind == waveSheet {
		if err == nil && p.wave.ID == "" {
			err = finding.Fault{ID: FaultPile, Args: finding.Args{"Event": p.form}}
		}
		return p, err
	}
	if err == nil && (p.of.ID == "" || p.kind == formSheet && len(p.asked) == 0) {
		err = finding.Fault{ID: FaultPile, Args: finding.Args{"Event": p.event}}
	}
	return p, err
}

// draft is a sheet as somebody keyed it.
type draft struct {
	store.Record
	number string // its place in the pile
	cells  keyedCells
}

// drafts gives the sheets of a keying in their order, and who keyed them.
func (v *visit) drafts(p pile, turn int) (out []draft, by map[string]bool, err error) {
	list, err := v.Store.LastRecords(v.context(), v.who, p.ledgerOf(turn), 0, mostSheets)
	by = map[string]bool{}
	for _, r := range list {
		d := draft{Record: r, cells: keyedCells{}}
		by[r.Who] = true
		for _, x := range r.Row {
			if x.Path == "number" {
				d.number = x.Text
			} else if x.Text != "" {
				d.cells[string(x.Path)] = x.Text
			}
		}
		out = append(out, d)
	}
	slices.SortFunc(out, func(a, b draft) int { return number(a.number) - number(b.number) })
	return out, by, err
}

func number(text string) int {
	n, _ := strconv.Atoi(text)
	return n
}

// turnOf tells which keying somebody is at: the second where the first was another's, or where the address says so.
func (v *visit) turnOf(p pile) (turn int, err error) {
	turn, _ = strconv.Atoi(v.FormValue("turn"))
	if turn != 2 || !p.twice {
		turn = 1
	}
	if p.state == pileDone {
		return turn, finding.Fault{ID: FaultSettled}
	}
	for other := 1; other <= 2 && v.who.Account() != ""; other++ {
		if _, by, err := v.drafts(p, other); err != nil || other != turn && by[v.who.Account()] {
			if err == nil {
				err = finding.Fault{ID: FaultSameKeyer}
			}
			return turn, err
		}
	}
	return turn, nil
}

// keyPile shows the grid.
func (v *visit) keyPile() error {
	p, err := v.thePile()
	if err != nil {
		return err
	}
	turn, err := v.turnOf(p)
	if err != nil {
		return err
	}
	return v.showGrid(http.StatusOK, p, turn, nil, nil)
}

// gridRow is one sheet in the grid.
type gridRow struct {
	Number, ID string
	Saw        int
	Cells      []keyedCell
	Wrong      []wrong
}

// gridRow is a row of the grid with what is kept of its sheet; d is nil for a fresh one.
func (v *visit) gridRow(p pile, n int, columns []keyColumn, d *draft) gridRow {
	r := gridRow{Number: strconv.Itoa(n), ID: store.NewIDIn(store.Drafts)}
	if d != nil {
		r.ID, r.Saw = d.ID, d.Version
	}
	for _, c := range columns {
		x := keyedCell{Name: "row" + r.Number + ":" + c.name, Label: v.say("web.keyed.cell", "Column", c.Head, "Number", n), Plain: c.wide || c.name == "code" || c.name == "own"}
		if d != nil {
			x.Text = v.asKeyed(c.name, d.cells[c.name])
			if (c.name == "who" || c.name == "reach" && d.cells["reached"] != "") && d.cells["fresh"]+d.cells["held"] != "" {
				x.Text = v.say("web.keying.behind")
			}
		}
		r.Cells = append(r.Cells, x)
	}
	return r
}

// showGrid shows the sheets that are kept and blank rows under them; rows are those with something wrong.
func (v *visit) showGrid(status int, p pile, turn int, rows map[int]gridRow, told []wrong) error {
	list, _, err := v.drafts(p, turn)
	if err != nil {
		return err
	}
	columns := v.columns(p)
	body := struct {
		Pile, Turn, Apart string
		Heads             []keyColumn
		Rows              []gridRow
		Kept, Faults      int
		First             string
		Width             int
		Told              []wrong
		Twice             bool
		Hints             []string
		Head              []headField
		ID                string
	}{Pile: p.ID, Turn: strconv.Itoa(turn), Heads: columns, Kept: len(list), Width: len(columns), Told: told, Twice: p.twice, Apart: "/keying/" + p.ID + "/apart", ID: store.NewID()}
	last := 0
	body.Head = v.headFields(p, list)
	for _, f := range body.Head {
		if len(f.Wrong) > 0 {
			if body.Faults++; body.First == "" {
				body.First = f.ID
			}
		}
	}
	list = slices.DeleteFunc(list, isHead)
	body.Kept = len(list)
	for _, d := range list {
		body.Rows = append(body.Rows, v.gridRow(p, number(d.number), columns, &d))
		last = number(d.number)
	}
	for n := last + 1; n <= min(last+freshRows, mostSheets); n++ {
		body.Rows = append(body.Rows, v.gridRow(p, n, columns, nil))
	}
	for i, r := range body.Rows {
		if w, ok := rows[number(r.Number)]; ok {
			body.Rows[i] = w
		}
		for _, c := range body.Rows[i].Cells {
			if len(c.Wrong) > 0 {
				if body.Faults++; body.First == "" {
					body.First = c.Name
				}
			}
		}
	}
	pair := "pair"
	if p.nowFirst {
		pair = "pair_now"
	}
	groups := "groups"
	if p.older() {
		groups = "older"
	}
	for _, id := range map[string][]string{signInSheet: {"signin"}, slipSheet: {groups, pair}, formSheet: {"form"}, waveSheet: {"form", "wave"}, tallySheet: {"tally"}}[p.kind] {
		body.Hints = append(body.Hints, v.say("web.keying.hint."+id))
	}
	if p.kind == slipSheet && p.of.Adults < programme.LeastAdults {
		body.Hints = append(body.Hints, v.say("web.keying.pooled", "Count", programme.LeastAdults))
	}
	if body.Faults > 0 && status == http.StatusOK {
		status = http.StatusUnprocessableEntity
	}
	return v.showAs(status, "keying", sheet{Title: v.pileName(p), Of: v.say("web.keying.turn" + body.Turn), Wide: true, Sheets: []link{{v.say("web.book.title"), "/program"}, {v.say("web.keying.title"), "/keying"}, {v.pileName(p), ""}}, Body: body})
}

// keepPile keeps the sheets that were keyed in, each by itself; one with a fault comes back with what was typed.
func (v *visit) keepPile() error {
	if err := v.filled(); err != nil {
		return err
	}
	p, err := v.thePile()
	if err != nil {
		return err
	}
	turn, err := v.turnOf(p)
	if err != nil {
		return err
	}
	list, _, err := v.drafts(p, turn)
	if err != nil {
		return err
	}
	kept := map[string]*draft{}
	for i := range list {
		kept[list[i].ID] = &list[i]
	}
	columns := v.columns(p)
	bad, head, err := map[int]gridRow{}, false, error(nil)
	if head, err = v.keepHead(p, turn, kept); err != nil {
		return err
	}
	twice := map[string]int{} // a code that stands on two sheets joins nothing
	above := map[string]string{}
	for n := 1; n <= mostSheets; n++ {
		id, sent := v.PostForm["row"+strconv.Itoa(n)]
		if !sent {
			continue
		}
		if p.kind == tallySheet {
			v.fillTally(n, above)
		}
		row := v.gridRow(p, n, columns, kept[id[0]])
		row.ID = id[0]
		wrongs, err := v.keepKeyedSheet(p, turn, n, &row, columns, kept[id[0]], twice)
		if err != nil {
			return err
		}
		if wrongs {
			bad[n] = row
		}
	}
	if v.PostFormValue("do") == "settle" && len(bad) == 0 && !head && !p.twice {
		return v.settlePile(p, turn)
	}
	return v.showGrid(http.StatusOK, p, turn, bad, nil)
}

// keepKeyedSheet keeps one sheet. It tells whether something is wrong with it.
func (v *visit) keepKeyedSheet(p pile, turn, n int, row *gridRow, columns []keyColumn, old *draft, twice map[string]int) (bool, error) {
	cells, some, wrongs := keyedCells{}, false, false
	for k, c := range columns {
		x := &row.Cells[k]
		x.Text = strings.TrimSpace(v.PostFormValue(x.Name))
		if (c.name == "who" || c.name == "reach") && old != nil && isBehind(x.Text) {
			some = true
			continue
		}
		some = some || x.Text != ""
		text, faults := v.readCell(p, c.name, x.Text)
		if old != nil && c.name == "code" && old.cells["fresh"] != "" && strings.EqualFold(text, old.cells["code"]) { // made for this sheet
			faults = nil
		}
		if cells[c.name] = text; text != "" && text != leftOut && len(faults) == 0 && (c.name == "code" || c.name == "own") {
			if above := twice[text]; above > 0 {
				faults = append(faults, wrong{v.say("web.keying.bad.twice", "Text", text, "Number", above), v.say("web.keying.right.twice")})
			}
			twice[text] = n
		}
		x.Wrong = faults
		wrongs = wrongs || len(faults) > 0
	}
	if p.kind == tallySheet && some {
		wrongs = v.tallyWrongs(p, n, row, columns, cells, twice) || wrongs
	}
	if old != nil {
		if cells["fresh"] = old.cells["fresh"]; cells["code"] != old.cells["code"] {
			cells["fresh"] = ""
		}
	}
	if wrongs || !some && old == nil {
		return wrongs, nil
	}
	if !some {
		cells[takenAway] = "yes"
	}
	if err := v.keepName(p, row.ID, cells, old); err != nil {
		return false, err
	}
	r := store.Record{ID: row.ID, Ledger: p.ledgerOf(turn), Row: []brief.Pair{{Path: "number", Text: strconv.Itoa(n)}}}
	for _, name := range slices.Sorted(maps.Keys(cells)) {
		if cells[name] != "" {
			r.Row = append(r.Row, brief.Pair{Path: finding.Path(name), Text: cells[name]})
		}
	}
	saw := 0
	if old != nil {
		if saw = old.Version; slices.Equal(old.Row, r.Row) {
			return false, nil
		}
	}
	_, err := v.Store.PutRecord(v.context(), v.who, store.NewIDIn(r.Ledger), saw, r)
	return false, err
}

// settlePile writes a pile that is keyed once into the book.
func (v *visit) settlePile(p pile, turn int) error {
	list, _, err := v.drafts(p, turn)
	if err != nil {
		return err
	}
	var out []store.Record
	var gone []string
	for _, d := range list {
		if d.number == headNumber {
			out, gone = append(out, v.headCorrections(p, d.cells)...), append(gone, d.ID)
			continue
		}
		out, gone = append(out, p.bookRecords(d.cells)...), append(gone, d.ID)
	}
	return v.intoTheBook(p, out, gone, nil)
}

// intoTheBook adds the rows of a pile, takes its drafts away and shuts it, all or nothing; then the names of its keyings go.
func (v *visit) intoTheBook(p pile, out []store.Record, gone, names []string) error {
	if len(out) == 0 {
		return v.showGrid(http.StatusUnprocessableEntity, p, 1, nil, []wrong{{v.say("web.keying.nothing"), v.say("web.keying.nothing_right")}})
	}
	inShuffledOrder(out)
	done := p.Record
	for i, x := range done.Row {
		if x.Path == "state" {
			done.Row[i].Text = pileDone
		}
	}
	if err := v.Store.Settle(v.context(), v.who, append(out, done), gone); err != nil {
		return err
	}
	for _, code := range names { // who it is stands under the code of the person now
		if err := v.Store.ForgetContact(v.context(), store.Holder(), code); err != nil {
			return err
		}
	}
	return v.to("/program/" + url.PathEscape(p.kind))
}
