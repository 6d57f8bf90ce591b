// Package dates writes days with something to do as a calendar of RFC 5545.
package dates

import (
	"fmt"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"raftwright/internal/gate"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/season"
)

// Event is something to do on a day.
type Event struct {
	ID         string // among those of its bed; kept when the plan is made anew
	Day        time.Time
	Text, More string
}

// Of gives tasks in the words of its reader.
func Of(tasks []season.Task, words *lang.Printer) (out []Event) {
	seen := map[string]int{}
	for _, t := range tasks {
		id := fmt.Sprintf("%s-%s-%d", t.Day.Format("20060102"), t.Kind, t.Batch)
		if seen[id]++; seen[id] > 1 {
			id = fmt.Sprintf("%s-%d", id, seen[id])
		}
		e := Event{ID: id, Day: t.Day, Text: words.Say(string(t.Kind.Word()), t.Args)}
		if t.Kind == season.TaskHarvest {
			e.More = words.Say("season.task.harvest_band", t.Args)
		}
		out = append(out, e)
	}
	return out
}

// Calendar writes all-day events. The stamp of each is its own day, since a plan has no
// clock; its name ends in that of its bed, so that the calendars of two beds can stand in
// one, and a plan made anew takes the place of the old. The library escapes text
// (RFC 5545, 3.3.11) but for what no text may hold. Without an event it holds a time zone: some component there must be (3.6), and
// that one shows nobody anything.
func Calendar(list []Event, bed, title, language string) string {
	cal := ics.NewCalendarFor("Raftwright")
	cal.SetProductId("-//Raftwright//Raftwright " + plan.Code + "//" + strings.ToUpper(language))
	if len(list) > 0 { // what is published has an event (RFC 5546, 3.2.1)
		cal.SetMethod(ics.MethodPublish)
	} else {
		of := cal.AddTimezone("Etc/UTC").AddStandard()
		of.AddProperty(ics.ComponentPropertyDtStart, "19700101T000000")
		of.AddProperty(ics.ComponentProperty(ics.PropertyTzoffsetfrom), "+0000")
		of.AddProperty(ics.ComponentProperty(ics.PropertyTzoffsetto), "+0000")
	}
	if title != "" {
		cal.SetName(gate.Clean(title))
	}
	for _, x := range list {
		e := cal.AddEvent(x.ID + "-" + bed + "@raftwright.invalid")
		e.SetDtStampTime(x.Day)
		e.SetAllDayStartAt(x.Day)
		e.SetAllDayEndAt(x.Day.AddDate(0, 0, 1))
		e.SetTimeTransparency(ics.TransparencyTransparent)
		e.SetSummary(gate.Clean(x.Text))
		if x.More != "" {
			e.SetDescription(gate.Clean(x.More))
		}
	}
	return cal.Serialize(ics.WithNewLineWindows)
}
