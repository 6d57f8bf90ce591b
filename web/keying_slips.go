package web

import (
	"cmp"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/programme"
)

// olderStandard is that of 1997, olderSlips a pile of slips that ask by it: ethnicity, then race. Its slips stand in a table of their own in a report.
const olderStandard, olderSlips = "1997", slipSheet + ":1997"

// older tells whether the slips of a pile ask the two questions of 1997.
func (p pile) older() bool { return p.kind == slipSheet && p.form == olderStandard }

// olderBoxes names the boxes of one of the two questions of 1997, the last of them "rather not say".
func olderBoxes(column string) (boxes []string, is bool) {
	ethnicity, race := packet.OlderBoxes()
	boxes, is = map[string][]string{"ethnicity": ethnicity, "race": race}[column]
	return boxes, is
}

// readOlder reads the ticks of one of the two questions: one box of ethnicity, one or more of race.
func readOlder(column, plain, text string, bad func(string, ...any) []wrong) (string, []wrong) {
	boxes, _ := olderBoxes(column)
	var picked []rune
	for _, c := range strings.Map(digitsAlone, plain) {
		if c < '1' || int(c-'0') > len(boxes) {
			return text, bad("groups", "Most", len(boxes))
		}
		picked = append(picked, c)
	}
	slices.Sort(picked)
	if picked = slices.Compact(picked); column == "ethnicity" && len(picked) > 1 {
		return text, bad("ethnicity")
	}
	return string(picked), nil
}

// olderAnswers gives the answers of 1997 that are ticked on a slip.
func (c keyedCells) olderAnswers() (out []string) {
	ethnicity, race := programme.OlderAnswers()
	for _, q := range []struct {
		ticks   string
		answers []string
	}{{c["ethnicity"], ethnicity}, {c["race"], race}} {
		for _, n := range q.ticks {
			if i := int(n - '1'); i < len(q.answers) { // the last box is "rather not say"
				out = append(out, q.answers[i])
			}
		}
	}
	return out
}

// olderAt tells whether slips of an event ask by the standard of 1997, or of none those of today. The book is read.
func (v *visit) olderAt(event string) bool {
	r, day := &v.House.year.records, v.dayNow()
	if i := slices.IndexFunc(r.Events, func(e programme.Event) bool { return e.ID == event }); i >= 0 {
		day = r.Events[i].Date
	}
	return r.SlipsOn(day, "").Standard == olderStandard
}

// slipsOfDay is by which questions the slips of a workshop ask.
type slipsOfDay struct {
	programme.SlipsAsk
	Day     string
	Funders []option // to choose from; none where all ask as the office does
	Told    string
}

// options give the paper of it.
func (s slipsOfDay) options(o packet.Options) packet.Options {
	o.Older = s.Standard == olderStandard
	if !s.Apart {
		o.For = strings.Join(s.SlipsAsk.Funders, ", ")
	}
	return o
}

// slipsOfDay tells how the slips ask of the workshop of a day or, where one was chosen, for a funder. Who may not see the book gets the usual slips.
func (v *visit) slipsOfDay() (out slipsOfDay, err error) {
	out.Day = cmp.Or(strings.TrimSpace(v.FormValue("day")), v.dayNow().String())
	day, ok := programme.ParseDay(out.Day)
	if !ok {
		return out, finding.Fault{ID: FaultDay, Args: finding.Args{"Text": out.Day}}
	}
	if !v.who.Accounts() {
		return out, nil
	}
	return out, v.withBook(func() error {
		if err := v.readBook(); err != nil || len(v.House.year.faults) > 0 {
			return err
		}
		r, chosen := &v.House.year.records, v.FormValue("slips")
		out.SlipsAsk = r.SlipsOn(day, chosen)
		if !slices.ContainsFunc(r.Settings, func(x programme.Setting) bool { return x.Name == "slips" && x.Funder != "" }) {
			return nil
		}
		for _, f := range r.Funders {
			out.Funders = append(out.Funders, option{f.ID, cmp.Or(f.Label, f.ID), f.ID == chosen})
		}
		id := "web.workshop.slips_for"
		switch {
		case out.Apart:
			id = "web.workshop.slips_apart"
		case len(out.SlipsAsk.Funders) == 0:
			id = "web.workshop.slips_say"
		}
		out.Told = v.say(id, "Standard", out.Standard, "Names", strings.Join(out.SlipsAsk.Funders, ", "))
		return nil
	})
}

// printSlips prints slips to copy, by the standard of 2024 or, for a funder whose form still asks it, that of 1997.
func (v *visit) printSlips() error {
	if err := v.theBook(); err != nil {
		return err
	}
	return v.printForm("slips.pdf", func(w words) page.Document {
		return packet.BlankSlips(w, packet.Options{Paper: page.Letter, Older: v.FormValue("standard") == olderStandard})
	})
}
