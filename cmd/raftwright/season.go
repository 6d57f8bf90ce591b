package main

import (
	"fmt"
	"os"
	"strings"

	ics "github.com/arran4/golang-ical"

	"raftwright/lang"
	"raftwright/plan"
)

type seasonCmd struct {
	reading
	ICS string `name:"ics" placeholder:"FILE" help:"Also write the tasks as a calendar file (RFC 5545)."`
}

// Run prints the season, and writes its tasks as a calendar where asked to.
func (c seasonCmd) Run(s streams) error {
	p, err := think(c.Brief, s, plan.Season)
	if err != nil {
		return err
	}
	if c.ICS != "" {
		words, err := printer(p)
		if err != nil {
			return err
		}
		if err := os.WriteFile(c.ICS, []byte(calendar(p, words)), 0o644); err != nil {
			return userError{fmt.Errorf("the calendar cannot be written to %s (%s)", c.ICS, reason(err))}
		}
	}
	return c.print(s, p, plan.Season)
}

// calendar writes the tasks as all-day events. The stamp of each is its own
// day, since a plan has no clock.
func calendar(p plan.Plan, words *lang.Printer) string {
	cal := ics.NewCalendarFor("Raftwright")
	cal.SetMethod(ics.MethodPublish)
	if p.Title() != "" {
		cal.SetName(p.Title())
	}
	if p.Season == nil {
		return cal.Serialize(ics.WithNewLineWindows)
	}
	for i, t := range p.Season.Tasks {
		e := cal.AddEvent(fmt.Sprintf("%s-%s-%d-%d@raftwright.invalid", t.Day.Format("20060102"), t.Kind, t.Batch, i))
		e.SetDtStampTime(t.Day)
		e.SetAllDayStartAt(t.Day)
		e.SetAllDayEndAt(t.Day.AddDate(0, 0, 1))
		e.SetSummary(strings.TrimSpace(words.Say(string(t.Kind.Word()), t.Args)))
	}
	return cal.Serialize(ics.WithNewLineWindows)
}
