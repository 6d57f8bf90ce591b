package plan_test

import (
	"math"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
)

// mountains is twelve months of a cool place, typed (invented).
const mountains = `raftwright: 1
site: {latitude: 45, elevation: 300 m, kind: home, months: [{month: 1, tmax: 0 C, tmin: -9 C}, {month: 2, tmax: 2 C, tmin: -8 C}, {month: 3, tmax: 8 C, tmin: -3 C}, {month: 4, tmax: 14 C, tmin: 2 C},
  {month: 5, tmax: 19 C, tmin: 7 C}, {month: 6, tmax: 24 C, tmin: 12 C}, {month: 7, tmax: 26 C, tmin: 14 C}, {month: 8, tmax: 25 C, tmin: 13 C}, {month: 9, tmax: 20 C, tmin: 9 C},
  {month: 10, tmax: 13 C, tmin: 3 C}, {month: 11, tmax: 7 C, tmin: 0 C}, {month: 12, tmax: 2 C, tmin: -6 C}]}
bed: {length: 97 in, width: 49 in}
crop: {name: lettuce, cultivar: romaine}
schedule: {first harvest: 2027-04-20, last harvest: 2027-11-20, heads per week: 12, harvest days: [Mon, Tue, Wed, Thu, Fri, Sat, Sun]}
`

// What would bring the rest of a harvest was computed to do so, and the brief that is changed
// so brings as many heads: where room is short, and where cold is.
func TestHelpsHelp(t *testing.T) {
	seen := map[plan.Way]plan.Help{}
	var area float64
	for heads, changes := range map[string]map[plan.Way]finding.Change{
		"12": {plan.OneMoreBed: {Path: "bed.count", Value: "2"}},
		"7":  {plan.UnderCover: {Path: "site.cover", Value: "tunnel"}},
	} {
		made := func(changes ...finding.Change) plan.Plan {
			b, faults := brief.Parse("short.yaml", []byte(mountains))
			for _, c := range append(changes, finding.Change{Path: "schedule.heads per week", Value: heads}) {
				b, faults = b.Set(c.Path, c.Value)
			}
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			return plan.Job{Brief: b, Book: book, Asked: plan.Season}.Make(nil)
		}
		p := made()
		short := p.Season.Short
		if short == nil || len(p.Helps) == 0 {
			t.Fatalf("%s heads: %+v, %+v", heads, short, p.Helps)
		}
		area = p.Season.Bed.Area.SquareFeet()
		told := map[finding.ID]bool{}
		for _, f := range p.Findings {
			told[f.ID] = true
		}
		for _, h := range p.Helps {
			seen[h.Way] = h
			if h.Got <= short.Got || h.PerWeek <= short.Had || h.Got > short.Wanted || !told[h.Way.Finding()] {
				t.Errorf("%s: %d heads, %v a week; without it %d, %v", h.Way, h.Got, h.PerWeek, short.Got, short.Had)
			}
			c, ok := changes[h.Way]
			if !ok {
				continue
			}
			got := short.Wanted
			if s := made(c).Season.Short; s != nil {
				got = s.Got
			}
			if got != h.Got {
				t.Errorf("%s promises %d heads, the changed brief has %d", h.Way, h.Got, got)
			}
		}
		for way := range changes {
			if _, ok := seen[way]; !ok {
				t.Errorf("%s heads: %s is not among %+v", heads, way, p.Helps)
			}
		}
	}
	// the guesses of prices.csv (from memory): 0.90 a square foot of tunnel, 0.55 a pot
	if c := seen[plan.UnderCover].Cost; c == nil || math.Abs(c.Float()-0.90*area) > 0.01 {
		t.Errorf("a tunnel over %v ft2 costs %v", area, c)
	}
	if h, ok := seen[plan.Closer]; !ok || h.Cost == nil || h.Cost.Float() < 0.55 {
		t.Errorf("closer: %+v", h)
	}
	if seen[plan.OneMoreBed].Cost != nil {
		t.Error("another bed is priced as this one is")
	}
}

// Where nothing is missing nothing is offered.
func TestNoHelpWithoutNeed(t *testing.T) {
	b, _ := brief.Parse("short.yaml", []byte(mountains))
	b, faults := b.Set("schedule", "{first harvest: 2027-07-01, last harvest: 2027-08-20, heads per week: 2}")
	p := plan.Job{Brief: b, Book: book, Asked: plan.Season}.Make(nil)
	if len(faults) > 0 || p.Season.Short != nil || len(p.Helps) > 0 {
		t.Errorf("%v: %+v, %+v", faults, p.Season.Short, p.Helps)
	}
}
