package main

import (
	"fmt"
	"hash/fnv"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/press/dates"
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

// calendar writes the tasks as all-day events, named by the bed.
func calendar(p plan.Plan, words *lang.Printer) string {
	bed := fnv.New32a()
	fmt.Fprint(bed, p.Title(), p.Brief.Site.Latitude.Value, p.Brief.Site.Longitude.Value, p.Crop.ID)
	return dates.Calendar(dates.Of(p.Season.Tasks, words), fmt.Sprintf("%08x", bed.Sum32()), p.Title(), words.Language)
}
