package main

import (
	"fmt"
	"hash/fnv"
	"strings"

	ics "github.com/arran4/golang-ical"

	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/season"
)

type seasonCmd struct {
	reading
	ICS   string `name:"ics" placeholder:"FILE"`
	Force bool
}

// Run prints the season, and writes its tasks as a calendar where asked to.
func (c seasonCmd) Run(s streams) error {
	p, err := c.think(s, plan.Season)
	if err != nil {
		return err
	}
	if c.ICS != "" {
		if p.Season == nil || len(p.Season.Tasks) == 0 {
			return finding.Fault{ID: FaultNoDates, Args: finding.Args{"File": c.Brief}}
		}
		words, err := printer(p)
		if err != nil {
			return err
		}
		if err := s.write(c.ICS, []byte(calendar(p, words)), c.inputs(p.Brief.Named()...), c.Force); err != nil {
			return err
		}
		if c.ICS == "-" {
			tellStops(s.err, p, words)
			return stopped(p)
		}
	}
	return c.print(s, p, plan.Season)
}

// calendar writes the tasks as all-day events. The stamp of each is its own
// day, since a plan has no clock; its name holds the bed's, so that the calendars
// of two beds can stand in one, and a plan made anew takes the place of the old. The
// library escapes text (RFC 5545, 3.3.11) but for what no text may hold.
func calendar(p plan.Plan, words *lang.Printer) string {
	cal := ics.NewCalendarFor("Raftwright")
	cal.SetProductId("-//Raftwright//Raftwright " + plan.Code + "//" + strings.ToUpper(words.Language))
	cal.SetMethod(ics.MethodPublish)
	if p.Title() != "" {
		cal.SetName(gate.Clean(p.Title()))
	}
	bed := fnv.New32a()
	fmt.Fprint(bed, p.Title(), p.Brief.Site.Latitude.Value, p.Brief.Site.Longitude.Value, p.Crop.ID)
	seen := map[string]int{}
	for _, t := range p.Season.Tasks {
		id := fmt.Sprintf("%s-%s-%d", t.Day.Format("20060102"), t.Kind, t.Batch)
		if seen[id]++; seen[id] > 1 {
			id = fmt.Sprintf("%s-%d", id, seen[id])
		}
		e := cal.AddEvent(fmt.Sprintf("%s-%08x@raftwright.invalid", id, bed.Sum32()))
		e.SetDtStampTime(t.Day)
		e.SetAllDayStartAt(t.Day)
		e.SetAllDayEndAt(t.Day.AddDate(0, 0, 1))
		e.SetTimeTransparency(ics.TransparencyTransparent)
		e.SetSummary(gate.Clean(words.Say(string(t.Kind.Word()), t.Args)))
		if t.Kind == season.TaskHarvest {
			e.SetDescription(gate.Clean(words.Say("season.task.harvest_band", t.Args)))
		}
	}
	return cal.Serialize(ics.WithNewLineWindows)
}
