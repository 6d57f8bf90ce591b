package web

import (
	"bytes"
	"cmp"
	"html/template"
	"slices"
	"strings"
	"time"
	"unicode"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/store"
	"raftwright/tend"
)

// readings are the blanks of a visit, in the order in which one stands at the bed, each with
// the unit that a bare number is in: US, then metric.
var readings = []struct{ key, us, metric string }{
	{"depth", " in", " cm"}, {"ec", " mS/cm", " mS/cm"}, {"ph", "", ""}, {"water temperature", " F", " C"},
	{"added water", " gal", " L"}, {"rain", " in", " mm"}, {"note", "", ""},
}

// mostVisits bounds the visits that a page shows; all of them are reckoned with.
const mostVisits = 28

// clock is how a moment is sent by a browser and kept in a log.
const clock = store.Clock

// blank is a reading to fill in.
type blank struct {
	Key, ID, Label, Unit string
	Text, Last           string
	Plain                bool // words, not a number
	Wrong                []wrong
}

// visited is a visit in the list.
type visited struct {
	When string
	What []cell
}

// today shows the bed now: what to do, what it holds, and blanks for this visit.
func (v *visit) today() error { return v.showToday(nil) }

// keep keeps a visit. It is on the disk before the page says so; the id is of the form, so
// that sending it twice keeps it once. A reading that cannot be meant stands at its blank.
func (v *visit) keep() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	at, err := time.Parse(clock, v.PostFormValue("at"))
	if err != nil {
		return v.showToday(map[string][]wrong{"at": {{What: v.say("web.visit.no_time"), Right: v.say("web.visit.no_time_right")}}})
	}
	var pairs, whole []brief.Pair
	for _, r := range readings {
		text := strings.TrimSpace(v.PostFormValue(r.key))
		if text == "" {
			continue
		}
		unit := r.us
		if b.brief.Units.Value == brief.Metric {
			unit = r.metric
		}
		if strings.IndexFunc(text, func(c rune) bool { return unicode.IsLetter(c) || c == '"' || c == '%' || c == '°' }) < 0 && r.key != "note" {
			text += unit
		}
		pairs = append(pairs, brief.Pair{Path: finding.Path(r.key), Text: text})
		whole = append(whole, brief.Pair{Path: finding.Path("log[0]." + r.key), Text: text})
	}
	if len(pairs) == 0 {
		return v.showToday(map[string][]wrong{"depth": {{What: v.say("web.visit.nothing"), Right: v.say("web.visit.nothing_right")}}})
	}
	_, faults := brief.FromPairs(briefName, append(whole, brief.Pair{Path: "log[0].at", Text: at.Format(clock)}))
	bad := map[string][]wrong{}
	for _, f := range faults {
		what, right := v.words.Fault(f)
		key := strings.TrimPrefix(string(f.Path), "log[0].")
		bad[key] = append(bad[key], wrong{what, right})
	}
	if len(bad) > 0 {
		return v.showToday(bad)
	}
	id := cmp.Or(v.PostFormValue("id"), store.NewID())
	if _, err := v.Store.Keep(v.context(), v.who, id, b.ID, at, pairs); err != nil {
		return err
	}
	return v.to("/beds/" + b.ID + "/today?kept=yes")
}

// logged gives a bed with the visits that are kept for it in its brief, the oldest first.
func (v *visit) logged(b aBed) (aBed, []store.Entry, error) {
	if b.ID == demonstration {
		return b, nil, nil
	}
	all, err := v.Store.Log(v.context(), v.who, b.ID)
	if len(all) > 0 {
		b.brief, b.wrong = store.WithLog(b.brief, all)
	}
	return b, all, err
}

// showToday shows the page of a bed at work; with faults it shows what was typed again.
func (v *visit) showToday(bad map[string][]wrong) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	b, entries, err := v.logged(b)
	if err != nil {
		return err
	}
	words, err := v.wordsFor(b.brief)
	if err != nil {
		return err
	}
	now := v.Now().Local()
	body := struct {
		Bed, ID, At string
		Kept, Demo  bool
		Blanks      []blank
		WrongAt     []wrong
		Do          []template.HTML
		Cannot      []wrong
		Visits      []visited
	}{Bed: b.ID, ID: store.NewID(), At: now.Format(clock), Kept: v.FormValue("kept") != "" && bad == nil, Demo: b.ID == demonstration, WrongAt: bad["at"]}
	if at := v.PostFormValue("at"); at != "" {
		body.At = at
	}
	last := map[string]string{}
	for _, e := range entries {
		for _, p := range e.Pairs {
			last[string(p.Path)] = p.Text
		}
	}
	for _, r := range readings {
		unit := r.us
		if words.Units == lang.Metric {
			unit = r.metric
		}
		x := blank{Key: r.key, ID: "read-" + strings.ReplaceAll(r.key, " ", "-"), Label: labelOf(words, finding.Path("log[0]."+r.key)), Unit: unitOf(words, strings.TrimSpace(unit)), Last: last[r.key], Plain: r.key == "note", Wrong: bad[r.key]}
		if bad != nil {
			x.Text = v.PostFormValue(r.key)
		}
		if x.Plain {
			x.Last = ""
		}
		body.Blanks = append(body.Blanks, x)
	}
	for _, e := range entries[max(0, len(entries)-mostVisits):] {
		row := visited{When: words.Day(e.At) + " " + e.At.Format("15:04")}
		for _, p := range e.Pairs {
			row.What = append(row.What, cell{labelOf(words, "log[0]."+p.Path), p.Text})
		}
		body.Visits = append(body.Visits, row)
	}
	slices.Reverse(body.Visits)
	if body.Do, body.Cannot, err = v.advised(b, words, now); err != nil {
		return err
	}
	s := v.of(b, "today")
	s.AtBed, s.Body = true, body
	return v.show("today", s)
}

// advised works out from plan and log what to do now and what the bed holds. What stands in
// the way is told: a plan that waits for a key, or a log that says nothing yet.
func (v *visit) advised(b aBed, words *lang.Printer, now time.Time) (out []template.HTML, cannot []wrong, err error) {
	log, faults := bed.FromBrief(b.brief)
	if len(log) == 0 && len(faults) == 0 {
		return nil, []wrong{{What: v.say("web.visit.no_log"), Right: v.say("web.visit.no_log_right")}}, nil
	}
	p := v.job(b.brief, b.wrong).Make(v.memory.of(b.ID, v.Now())).In(words.Language)
	t, more := tend.Make(tend.Job{Plan: p, Log: log, Now: tend.AtBed(now), Troubles: v.Book.Trouble})
	for _, f := range append(faults, more...) {
		what, right := words.Fault(f)
		cannot = append(cannot, wrong{what, right})
	}
	if t == nil || len(more) > 0 {
		return nil, cannot, nil
	}
	doc := packet.Tending(p, t, words)
	doc.Paper = page.Letter
	for i, s := range doc.Sections {
		if len(s.Blocks) == 0 {
			continue
		}
		var one bytes.Buffer
		if _, err := press.Fragment(doc, s.Anchor(i), &one); err != nil {
			return nil, nil, err
		}
		out = append(out, template.HTML(one.String()))
	}
	return out, cannot, nil
}

// unitOf gives the name of a unit in the reader's language.
func unitOf(words *lang.Printer, unit string) string {
	if id := "web.unit." + strings.ToLower(unit); words.Can(id) {
		return words.Say(id, nil)
	}
	return unit
}
