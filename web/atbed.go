package web

import (
	"bytes"
	"html/template"
	"slices"
	"strings"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/store"
	"raftwright/tend"
)

// blank is a key of the log to fill in.
type blank struct {
	Key, ID, Label string
	Text, Last     string
	Unit           string   // of a number alone, in words
	Units          []option // to choose from
	Words          []option // of a key that takes a word
	Plain          bool     // words, not a number
	Wrong          []wrong
}

// large are the readings that one takes at every visit, by thumb; small those that are folded away.
var (
	large = []string{"depth", "ec", "ph", "water temperature"}
	small = []string{"added water", "rain", "air high", "air low", "note"}
)

// today shows the bed now: what to do, and blanks for this visit.
func (v *visit) today() error { return v.showToday(nil) }

// tended is a bed with its log as it stands, what follows from both, and what stands in the way.
type tended struct {
	aBed
	entries []store.Entry
	written int // visits that stand in the brief itself
	words   *lang.Printer
	plan    plan.Plan
	log     bed.Log
	now     time.Time
	*tend.Tending
	faults finding.Faults           // what stands in the way of following the log
	aside  map[finding.Path]float64 // readings that were set aside, of a log that is not followed now
}

// logbook gives a bed with its log and its plan, if it ever had one, without following the log. What was just seen may be
// given beside its log.
func (v *visit) logbook(b aBed, just ...bed.Visit) (tended, error) {
	out := tended{}
	var err error
	if out.aBed, out.entries, err = v.logged(b); err != nil {
		return out, err
	}
	if out.words, err = v.wordsFor(b.reading); err != nil {
		return out, err
	}
	out.written, out.now = len(b.brief().Log), tend.AtBed(v.Now().Local())
	out.log, out.faults = bed.FromBrief(out.brief())
	if b.ID == demonstration && len(out.log) > 0 { // its days are invented
		out.now = out.log[len(out.log)-1].At
	}
	for _, x := range just {
		x.At = out.now
		out.log = append(out.log, x)
	}
	if len(out.log) == 0 && len(out.faults) == 0 && len(out.entries) == 0 { // of struck entries a plan is made: that of a log that is empty
		return out, nil
	}
	out.plan, err = v.made(out.aBed)
	out.plan = out.plan.In(out.words.Language)
	return out, err
}

// tend works out from plan and log how a bed does at this moment. What stands in the way is told: a plan that waits for a key, or a
// log that says nothing yet.
func (v *visit) tend(b aBed, just ...bed.Visit) (tended, error) {
	out, err := v.untended(b, just...)
	if err != nil || len(out.log) == 0 && len(out.faults) == 0 {
		return out, err
	}
	return v.tendOn(out), nil
}

// untended gives a bed with its log and its plan, whose log can be followed on from what it taught the plan.
func (v *visit) untended(b aBed, just ...bed.Visit) (tended, error) {
	v.followed = &tend.Followed{Alone: v.yields}
	return v.logbook(b, just...)
}

// tendOn follows the log of a bed.
func (v *visit) tendOn(out tended) tended {
	var t *tend.Tending
	var more finding.Faults
	v.giveWay(func() {
		t, more = tend.Make(tend.Job{Plan: out.plan, Log: out.log, Now: out.now, Troubles: v.Book.Trouble, Followed: v.followed})
	})
	out.faults = append(out.faults, more...)
	if len(more) == 0 {
		out.Tending = t
	}
	return out
}

// cannot tells what stands in the way of following the log of a bed.
func (v *visit) cannot(t tended) (out []wrong) {
	if len(t.log) == 0 && len(t.faults) == 0 {
		return []wrong{{What: t.words.Say("web.visit.no_log", nil), Right: t.words.Say("web.visit.no_log_right", nil)}}
	}
	for _, f := range t.faults {
		what, right := t.words.Fault(f)
		out = append(out, wrong{what, right})
	}
	return out
}

// pressed are pieces of a document as the press makes them, those that have something in them.
func (v *visit) pressed(doc page.Document) (out []template.HTML, err error) {
	doc.Paper = page.Letter
	for i, s := range doc.Sections {
		if len(s.Blocks) == 0 {
			continue
		}
		var one bytes.Buffer
		if _, err := v.memory.drawn.Fragment(doc, s.Anchor(i), &one); err != nil {
			return nil, err
		}
		out = append(out, template.HTML(one.String()))
	}
	return out, nil
}

// nowForm is what to do now: in buckets and spoons, what the meters read after it, when to
// look again and why; then all that it rests on.
type nowForm struct {
	Now, Rest []template.HTML
	State     []template.HTML // of Rest, what the bed holds: nothing to do
	Figures   []figure        // of the plan, on which it rests
	Done      *doneForm       // what one touch writes down; nil where nothing is poured
}

// doneForm is what was advised, as an entry of the log.
type doneForm struct {
	Bed, ID, At string
	Pairs       []brief.Pair
}

// restsOn are the figures of a plan on which every advice rests: how much water there is, and what the mix reads.
var restsOn = []string{"frame.volume", "mix.ec"}

// answered presses what a tended bed comes to.
func (v *visit) answered(t tended) (*nowForm, error) {
	if t.Tending == nil {
		return nil, nil
	}
	now, rest := packet.AtBed(t.plan, t.Tending, t.words, workingsOf(t.ID))
	out := &nowForm{}
	var err error
	if out.Now, err = v.pressed(now); err != nil {
		return nil, err
	}
	if out.Rest, err = v.pressed(rest); err != nil {
		return nil, err
	}
	rest.Sections = slices.DeleteFunc(slices.Clone(rest.Sections), func(s page.Section) bool { return s.ID != "state" })
	if out.State, err = v.pressed(rest); err != nil {
		return nil, err
	}
	out.Figures, _ = glance(t.ID, t.plan, t.words)
	out.Figures = slices.DeleteFunc(out.Figures, func(f figure) bool { return f.How == nil || !slices.Contains(restsOn, f.How.ID) })
	if pairs := tend.Done(t.Actions, t.brief().Units.Value == brief.Metric); len(pairs) > 0 && t.ID != demonstration {
		out.Done = &doneForm{t.ID, store.NewID(), t.now.Format(clock), pairs}
	}
	return out, nil
}

// kept is an entry that was kept a moment ago.
type kept struct {
	When  string // the time, with the day where it is another than today
	What  []cell
	Mend  string // the page on which it is corrected
	Ahead bool   // of a day that is still to come: nothing is worked out of it
}

// keptNow finds the entry that an address names.
func (v *visit) keptNow(b aBed, words *lang.Printer) (*kept, error) {
	id := v.URL.Query().Get("kept")
	if id == "" || b.ID == demonstration {
		return nil, nil
	}
	list, err := v.Store.Log(v.context(), v.who, b.ID)
	for _, e := range list {
		if e.ID == id && len(e.Pairs) > 0 {
			when := e.At.Format("15:04")
			if e.At.Format(time.DateOnly) != v.officeDay() { // a day or a year that was mistyped is seen at once
				when = words.Date(e.At) + ", " + when
			}
			ahead := e.At.Format(clock) > v.Now().Local().Add(aheadOfUs).Format(clock)
			return &kept{When: when, What: v.told(words, e.Pairs), Mend: "/beds/" + b.ID + "/log/" + e.ID, Ahead: ahead}, nil
		}
	}
	return &kept{}, err
}

// toldToday gives what stands on the page of a bed at work.
func (v *visit) toldToday(b aBed) (found[worked], error) {
	return told(v, b, knownToday, func() (worked, error) {
		t, err := v.tend(b)
		if err != nil {
			return worked{}, err
		}
		return v.pressedNow(t)
	})
}

// showToday shows the page of a bed at work; with faults it shows what was typed again.
func (v *visit) showToday(bad map[string][]wrong) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	words, err := v.wordsFor(b.reading)
	if err != nil {
		return err
	}
	k, err := v.toldToday(b)
	if err != nil {
		return err
	}
	w := k.What
	body := struct {
		Bed, ID, At string
		Kept        *kept
		Demo        bool
		Large       []blank
		Small       []blank
		Open        bool
		WrongAt     []wrong
		Answer      *nowForm
		Cannot      []wrong
		Doors       []link
		Unpinned    *unpinned
		Late        *late
		DoneDue     bool            // what is due is to do what is advised, not to read: a page has one main button
		Former      []template.HTML // of what is late: what the bed was thought to hold, and nothing to pour
	}{Bed: b.ID, ID: store.NewID(), At: v.nowAt(b).Format(clock), Demo: b.ID == demonstration, WrongAt: bad["at"], Cannot: w.Cannot, Doors: v.doors(b), Answer: w.Answer}
	if k.Late {
		if body.Late, err = v.lateToday(b, words, k); err != nil {
			return err
		}
		body.Answer = nil
		if w.Answer != nil {
			body.Former = w.Answer.State
		}
	} else if body.Answer != nil && body.Answer.Done != nil {
		done := *body.Answer.Done
		done.ID = store.NewID() // each page is another touch
		body.Answer = &nowForm{body.Answer.Now, body.Answer.Rest, body.Answer.State, body.Answer.Figures, &done}
	}
	if bad == nil {
		if body.Kept, err = v.keptNow(b, words); err != nil {
			return err
		}
		body.DoneDue = body.Kept != nil && (k.Late || body.Answer != nil && body.Answer.Done != nil)
	}
	if at := v.PostFormValue("at"); at != "" {
		body.At = at
	}
	if id := v.PostFormValue("id"); id != "" {
		body.ID = id
	}
	t := tended{aBed: b, words: words}
	last := w.Last
	if body.Late != nil {
		last = body.Late.last
	}
	body.Large = v.blanksAfter(t, last, bad, large)
	body.Small = v.blanksAfter(t, last, bad, small)
	body.Open = slices.ContainsFunc(body.Small, func(x blank) bool { return len(x.Wrong) > 0 || x.Text != "" })
	if w.Filled != "" {
		body.Unpinned = &unpinned{store.NewID(), w.Filled, v.who.Changes(b.Bed)}
	}
	s := v.of(b, "today")
	s.AtBed, s.Late, s.Body = true, k.Late, body
	return v.showAs(statusWith(bad), "today", s)
}

// nowAt is this moment by the clock at a bed; at the invented one, whose days are invented, that of its last visit.
func (v *visit) nowAt(b aBed) time.Time {
	if b.ID == demonstration {
		if log, _ := bed.FromBrief(b.brief()); len(log) > 0 {
			return log[len(log)-1].At
		}
	}
	return tend.AtBed(v.Now().Local())
}

// unpinned is a filling with the planned mix that the brief does not hold: whoever filled may only log the bed.
type unpinned struct {
	ID, At string // of the form that holds it
	Yours  bool   // whether whoever reads may hold it
}

// unheld tells when the planned mix was poured that the brief does not hold; "": it was not.
func unheld(t tended) string {
	if len(t.brief().Mix.Doses) > 0 || t.plan.Mix == nil || t.ID == demonstration {
		return ""
	}
	for _, e := range slices.Backward(t.entries) {
		if slices.Contains(e.Pairs, brief.Pair{Path: "filled", Text: string(brief.FilledMix)}) {
			return e.At.Format(clock)
		}
	}
	return ""
}

// statusWith is the status of a page that shows a form again: with faults nothing was kept.
func statusWith(bad map[string][]wrong) int {
	if len(bad) > 0 {
		return 422
	}
	return 200
}

// doors are the pages of a bed beside its sheets.
func (v *visit) doors(b aBed) (out []link) {
	for _, n := range []string{"did", "seen", "history", "dates", "photos", "paper", "labels"} {
		out = append(out, link{v.say("web.bed.door." + n), "/beds/" + b.ID + "/" + n})
	}
	return out
}

// aheadOfUs is how far the clock at a bed may be ahead of that of the server.
const aheadOfUs = 24 * time.Hour

// lastOf gives what was read last by the log of a brief, by the keys of the log, however its visits are ordered. A visit that is dated
// more than a day after now was not yet; a server in another zone may be behind the clock at the bed by less.
func lastOf(b *brief.Brief, now time.Time) map[string]string {
	at, last, since := map[string]string{}, map[string]string{}, map[string]string{}
	until := now.Add(aheadOfUs).Format(clock)
	for _, x := range b.Values() {
		if visit, key, is := strings.Cut(string(x.Path), "]."); is && key == "at" && strings.HasPrefix(visit, "log[") {
			at[visit] = x.Text
		}
	}
	for _, x := range b.Values() {
		visit, key, is := strings.Cut(string(x.Path), "].")
		if !is || !strings.HasPrefix(visit, "log[") || at[visit] < since[key] || at[visit] > until { // days are written so that they stand in order
			continue
		}
		last[key], since[key] = x.Text, at[visit]
	}
	return last
}

// asRead gives a reading as it was typed, its unit as the reader's language writes it.
func asRead(words *lang.Printer, text string) string {
	number, unit, _ := strings.Cut(text, " ")
	switch unit {
	case "F", "C":
		return number + " °" + unit
	case "in":
		return number + " " + words.Say("word.unit.inch", nil)
	}
	return text
}

// blanks makes blanks for keys of the log. With faults they show what was typed.
func (v *visit) blanks(t tended, bad map[string][]wrong, keys []string) []blank {
	return v.blanksAfter(t, lastOf(t.brief(), v.nowAt(t.aBed)), bad, keys)
}

func (v *visit) blanksAfter(t tended, last map[string]string, bad map[string][]wrong, keys []string) (out []blank) {
	for _, key := range keys {
		x := blank{Key: key, ID: "log-" + idOf(finding.Path(key)), Label: v.entryLabel(t.words, finding.Path(key)), Last: asRead(t.words, last[key]), Plain: tend.NoUnit(key) && key != "ph", Wrong: bad[key], Units: v.unitsOf(t, key)}
		if u := strings.TrimSpace(tend.Bare(key, t.words.Units == lang.Metric)); u != "" && len(x.Units) == 0 {
			x.Unit = unitOf(t.words, u)
		} else if strings.HasPrefix(key, "added") && u == "" { // a product, or the acid
			if x.Unit = unitOf(t.words, "g"); key == "added acid" && t.brief().Acid.Product.Value.Name != brief.Citric {
				x.Unit = unitOf(t.words, "mL")
			}
		}
		if x.Plain {
			x.Last = ""
		}
		if bad != nil {
			x.Text = v.PostFormValue(key)
		}
		out = append(out, x)
	}
	return out
}

// unitsOf are the units in which a large reading can be meant: what the meter of this bed
// shows stands first.
func (v *visit) unitsOf(t tended, key string) (out []option) {
	metric := t.words.Units == lang.Metric
	var list []string
	switch key {
	case "depth":
		list = []string{"in", "rim-in", "cm", "rim-cm"}
		if metric {
			list = []string{"cm", "rim-cm", "in", "rim-in"}
		}
	case "ec":
		list = []string{"mS/cm", "ppm (500)", "ppm (640)", "ppm (700)"}
		for _, x := range t.facts().beside {
			if x.Path == "meter.shows" {
				if n, ok := strings.CutPrefix(x.Text, "ppm "); ok {
					at := "ppm (" + n + ")"
					list = append([]string{at}, slices.DeleteFunc(list, func(s string) bool { return s == at })...)
				}
			}
		}
	case "water temperature":
		list = []string{"F", "C"}
		if metric {
			list = []string{"C", "F"}
		}
	}
	chosen := v.PostFormValue("unit:" + key)
	for _, u := range list {
		id := "web.bed.as." + strings.NewReplacer("-", "_", " ", "_", "/", "", "(", "", ")", "").Replace(strings.ToLower(u))
		out = append(out, option{Value: u, Name: v.say(id), Chosen: u == chosen})
	}
	return out
}

// unitOf gives the name of a unit in the reader's language.
func unitOf(words *lang.Printer, unit string) string {
	if id := "web.unit." + strings.ToLower(unit); words.Can(id) {
		return words.Say(id, nil)
	}
	return unit
}
