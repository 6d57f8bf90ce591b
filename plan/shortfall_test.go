package plan_test

import (
	"fmt"
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
raft: {spacing: 12 in}
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

// Where no single thing brings the rest, two together are told that bring more than any alone,
// with the sum of what they cost; and the brief that has both brings as many.
func TestTwoTogetherBringMore(t *testing.T) {
	made := func(changes ...finding.Change) plan.Plan {
		b, faults := brief.Parse("short.yaml", []byte(mountains))
		for _, c := range append([]finding.Change{{Path: "schedule", Value: "{first harvest: 2027-10-01, last harvest: 2028-05-20, heads per week: 6}"}}, changes...) {
			b, faults = b.Set(c.Path, c.Value)
		}
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return plan.Job{Brief: b, Book: book, Asked: plan.Season}.Make(nil)
	}
	p := made()
	var two plan.Help
	best := p.Season.Short.Got
	for _, h := range p.Helps {
		if h.Way == plan.TwoTogether {
			if h.Crop != "" {
				two = h
			}
		} else {
			best = max(best, h.Got)
		}
	}
	if len(two.Of) != 2 || two.Got <= best || two.Got > p.Season.Short.Wanted {
		t.Fatalf("together %d of %d, alone %d: %+v", two.Got, p.Season.Short.Wanted, best, p.Helps)
	}
	area := p.Season.Bed.Area.SquareFeet()
	if two.Of[0].Way != plan.AnotherCrop || two.Of[1].Way != plan.UnderCover || two.Cost == nil || math.Abs(two.Cost.Float()-0.90*area) > 0.01 {
		t.Fatalf("%+v", two)
	}
	both := made(finding.Change{Path: "crop", Value: "{name: " + two.Crop + "}"}, finding.Change{Path: "site.cover", Value: "tunnel"},
		finding.Change{Path: "raft.spacing", Value: fmt.Sprintf("%.4f in", p.Raft.Job.Spacing.Inches())}, finding.Change{Path: "raft.head", Value: fmt.Sprintf("%.1f g", p.Raft.Job.HeadMass.Grams())})
	if s := both.Season.Short; s == nil || s.Got != two.Got {
		t.Errorf("together %d heads, the changed brief has %+v", two.Got, s)
	}
}

// A heater is offered under a cover only, with what it draws (film of 6.2 W/m2/K, one and a half
// times the bed, 5 °C: ASABE EP406 from memory), and brings what the season with warmer nights does.
func TestHeaterHelpsUnderCover(t *testing.T) {
	for _, cover := range []string{"open", "tunnel"} {
		b, _ := brief.Parse("short.yaml", []byte(mountains))
		b, _ = b.Set("schedule", "{first harvest: 2027-10-01, last harvest: 2028-05-20, heads per week: 6}")
		b, faults := b.Set("site.cover", cover)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p := plan.Job{Brief: b, Book: book, Asked: plan.Season}.Make(nil)
		alone, together := plan.Help{}, plan.Help{}
		for _, h := range p.Helps {
			switch {
			case h.Way == plan.WithHeater:
				alone = h
			case h.Way == plan.TwoTogether && h.Heater > 0:
				together = h
			}
		}
		draws := 6.2 * 1.5 * p.Season.Bed.Area.SquareMetres() * 5
		if cover == "open" && (alone.Way != "" || together.Of[0].Way != plan.UnderCover) {
			t.Errorf("in the open: %+v, %+v", alone, together)
		}
		if h := alone; cover == "tunnel" && (h.Got <= p.Season.Short.Got || h.Cost == nil || h.Cost.Float() != 45) {
			t.Errorf("under a tunnel: %+v", h)
		}
		for _, h := range []plan.Help{alone, together} {
			if h.Way != "" && math.Abs(float64(h.Heater)-draws) > 0.5 {
				t.Errorf("%v, want %v W", h.Heater, draws)
			}
		}
	}
}
