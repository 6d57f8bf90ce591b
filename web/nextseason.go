package web

import (
	"cmp"
	"strconv"
	"strings"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// next shows the bed's brief for the next season: its dates a year on, its mix free again. The log stays, so that the plan goes on from
// what it taught.
func (v *visit) next() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	if err := v.mayChange(b); err != nil {
		return err
	}
	before, err := v.Store.Versions(v.context(), v.who, b.ID)
	if err != nil {
		return err
	}
	o := offered{Text: string(nextSeason(v.unnamed(b.brief(), before)).Encode()), From: v.say("web.next.from"), Do: v.say("web.next.take")}
	whole, _, err := v.logged(b)
	if err != nil {
		return err
	}
	p, words, err := v.planned(whole)
	if err != nil {
		return err
	}
	for _, f := range p.Findings {
		switch f.ID {
		case plan.FindFitted, plan.FindThirst, plan.FindLearned, plan.FindLost:
			o.Learned = append(o.Learned, words.Finding(f))
		}
	}
	return v.offer(b, "next", o)
}

// unnamed gives a brief with the acid that it named before its mix was pinned, where the pin named the one that the plan had
// proposed: next season's plan chooses again. Whoever named an acid since has it still.
func (v *visit) unnamed(b *brief.Brief, before []store.Version) *brief.Brief {
	at := len(before)
	for at > 0 && len(v.memory.parse(before[at-1].Text).brief().Mix.Doses) > 0 {
		at--
	}
	if at == 0 || at == len(before) { // it was never pinned, or was pinned when it came
		return b
	}
	free, pin := v.memory.parse(before[at-1].Text).texts(), v.memory.parse(before[at].Text).texts()
	for _, path := range []finding.Path{"acid.product", "acid.label"} {
		if now := textsOf(b.Values())[string(path)]; now == pin[string(path)] && now != free[string(path)] {
			if next, _ := b.Set(path, free[string(path)]); next != nil {
				b = next
			}
		}
	}
	return b
}

// nextSeason gives a brief with its dates a year on and nothing pinned.
func nextSeason(b *brief.Brief) *brief.Brief {
	set := func(path finding.Path, text string) {
		if next, _ := b.Set(path, text); next != nil {
			b = next
		}
	}
	for _, x := range b.Values() {
		on, err := time.Parse(time.DateOnly, strings.TrimSpace(x.Text))
		if path := string(x.Path); err == nil && (strings.HasPrefix(path, "schedule.")) {
			set(x.Path, yearOn(on).Format(time.DateOnly))
		}
	}
	set("mix.doses", "")
	set("acid.dose", "")
	return b
}

// yearOn is the same day of the next year; of the 29th of February the 28th.
func yearOn(day time.Time) time.Time {
	on := day.AddDate(1, 0, 0)
	if on.Day() != day.Day() {
		on = on.AddDate(0, 0, -on.Day())
	}
	return on
}

// fillPage is what the page of the day of filling shows.
type fillPage struct {
	Bed, ID, At string
	Card        []piece // the mixing card, with its order and its cautions
	Pinned      bool
	Told        []wrong
	Edition     string
}

// fill shows the mix with which the bed is filled today.
func (v *visit) fill() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	if err := v.mayChange(b); err != nil {
		return err
	}
	p, words, err := v.planned(b)
	if err != nil {
		return err
	}
	body := fillPage{Bed: b.ID, ID: store.NewID(), At: v.Now().Local().Format(clock), Pinned: len(b.brief().Mix.Doses) > 0, Edition: p.Edition.String()}
	if told := v.cannotFill(p); told != nil {
		what, right := words.Fault(*told)
		body.Told = []wrong{{what, right}}
	} else if body.Card, err = v.pieces(p, words, workingsOf(b.ID), "mix"); err != nil {
		return err
	}
	s := v.of(b, "fill")
	s.Body = body
	return v.show("fill", s)
}

// cannotFill is the fault of filling by a plan that has no mix, or that cannot stand.
func (v *visit) cannotFill(p plan.Plan) *finding.Fault {
	switch {
	case p.Mix == nil || len(p.Mix.Doses) == 0:
		return &finding.Fault{ID: FaultNoMix}
	case p.Worst() == finding.Stop:
		return &finding.Fault{ID: FaultStops}
	}
	return nil
}

// FaultNoMix and FaultStops are filling by a plan that has no mix, and by one that cannot stand.
const (
	FaultNoMix finding.ID = "web.fault.no_mix"
	FaultStops finding.ID = "web.fault.stops"
)

// keepFill pins the mix in the brief, with the edition that made it, and writes the filling into the log where it is not kept there. Sent again it does nothing.
func (v *visit) keepFill() error {
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
	if err := v.mayChange(b); err != nil {
		return err
	}
	at, err := time.Parse(clock, v.PostFormValue("at"))
	if err != nil {
		return finding.Fault{ID: FaultForm}
	}
	p, _, err := v.planned(b)
	if err != nil {
		return err
	}
	if told := v.cannotFill(p); told != nil {
		return *told
	}
	next := pinned(b.brief(), p)
	if text := string(next.Encode()); text != b.Brief {
		if _, err := v.Store.PutBrief(v.context(), v.who, store.NewID(), b.ID, b.Version, text, p.Edition.String()); err != nil {
			return err
		}
	}
	if v.PostFormValue("kept") != "" { // the filling is in the log already
		return v.to("/beds/" + b.ID + "/today")
	}
	pairs := []store.Pair{{Path: "filled", Text: "yes"}}
	if _, err := v.Store.Keep(v.context(), v.who, cmp.Or(v.PostFormValue("id"), store.NewID()), b.ID, at, pairs); err != nil {
		return err
	}
	return v.to("/beds/" + b.ID + "/today?kept=yes")
}

// pinned gives a brief with the doses of its plan, and with the acid that is poured with them: the one that it names, that the
// plan proposes, or that stands in place of a strong one.
func pinned(b *brief.Brief, p plan.Plan) *brief.Brief {
	set := func(path finding.Path, text string) {
		if next, _ := b.Set(path, text); next != nil {
			b = next
		}
	}
	set("mix.doses", "")
	for _, d := range p.Mix.Doses {
		set(finding.Path("mix.doses").Key(d.Product), strconv.FormatFloat(d.Strength.GramsPerLitre(), 'g', 6, 64)+" g/L")
	}
	if product, dose := p.PouredAcid(); dose > 0 {
		if product != "" {
			set("acid.label", "")
			set("acid.product", product)
		}
		set("acid.dose", strconv.FormatFloat(dose.MillimolesPerLitre(), 'g', 6, 64)+" mmol/L")
	}
	return b
}

// taughtBed finds the bed of an address with its log in its brief, so that the plan goes on from what the log taught.
func (v *visit) taughtBed() (aBed, error) {
	b, err := v.theBed()
	if err != nil || b.ID == demonstration {
		return b, err
	}
	list, err := v.Store.LastEntries(v.context(), v.who, b.ID, 1)
	if err != nil || len(list) == 0 {
		return b, err
	}
	whole, _, err := v.logged(b)
	return whole, err
}
