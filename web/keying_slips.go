package web

import (
	"slices"
	"strings"

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

// olderHere tells whether slips ask by the standard of 1997 today, by the rule of the office or of a funder. The book is read.
func (v *visit) olderHere() bool {
	r, today := &v.House.year.records, v.dayNow()
	is := func(funder string) bool { return r.Rule("slips", funder, today).Value == olderStandard }
	return is("") || slices.ContainsFunc(r.Funders, func(f programme.Funder) bool { return is(f.ID) })
}

// slipsAsk tells the same where the book is not read yet; who may not see it gets the usual slips.
func (v *visit) slipsAsk() (older bool, err error) {
	if !v.who.Accounts() {
		return false, nil
	}
	err = v.withBook(func() error {
		if err := v.readBook(); err != nil || len(v.House.year.faults) > 0 {
			return err
		}
		older = v.olderHere()
		return nil
	})
	return older, err
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
