package season

import (
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/pool"
	"raftwright/sky"
	"raftwright/unit"
)

func TestCalendar(t *testing.T) {
	j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 64, Nursery: 81, Schedule: schoolYear()}
	s := Make(j)
	count := map[TaskKind]int{}
	for i, x := range s.Tasks {
		count[x.Kind]++
		if i > 0 && x.Day.Before(s.Tasks[i-1].Day) {
			t.Errorf("%v stands after %v", x.Day, s.Tasks[i-1].Day)
		}
		if x.Kind == TaskCheck {
			if away(j.Schedule, x.Day) {
				t.Errorf("a check on %v, when nobody comes", x.Day)
			}
		}
	}
	n := len(s.Batches)
	for _, k := range []TaskKind{TaskSow, TaskSetOut, TaskHarvest} {
		if k == TaskSow {
			count[k] += count[TaskFetch] // of plants that nobody was there to sow
		}
		if count[k] != n {
			t.Errorf("%d tasks to %s for %d batches", count[k], k, n)
		}
	}
	moved := 0
	for _, b := range s.Batches {
		if b.Move.After(b.SetOut) {
			moved++
		}
	}
	if count[TaskMove] != moved || moved == 0 {
		t.Errorf("%d moves, %d batches that move", count[TaskMove], moved)
	}
	// plants stand from May to October: a check a week, but of those that fall into a break one
	if c := count[TaskCheck]; c < 17 || c > 30 {
		t.Errorf("%d checks", c)
	}
	if count[TaskFrost] != 1 || count[TaskShade] != 1 || count[TaskClean] == 0 {
		t.Errorf("%v", count)
	}
}

// Between two crops of the whole raft the bed is cleaned; among batches that
// overlap it is not.
func TestCleaning(t *testing.T) {
	s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 32})
	cleanings := 0
	for _, x := range s.Tasks {
		if x.Kind == TaskClean {
			cleanings++
			if !slices.ContainsFunc(s.Batches, func(b Batch) bool { return b.Harvest.Equal(addDays(x.Day, -1)) }) {
				t.Errorf("the bed is cleaned on %v, not after a harvest", x.Day)
			}
		}
	}
	if cleanings != len(s.Batches) {
		t.Errorf("%d cleanings after %d crops", cleanings, len(s.Batches))
	}
}

// No bed is cleaned while plants stand in it, however its batches follow each other (a bed is cleaned between crops: common
// practice, no source). A batch that is set out on the day of a harvest, or before the day on which somebody comes to clean, stands in it.
func TestNoBedIsCleanedUnderPlants(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	days := []time.Weekday{time.Monday, time.Wednesday, time.Friday}
	cleaned := 0
	for _, crop := range []string{"spinach", "lettuce_leaf", "basil_sweet", "kale"} {
		for _, week := range []float64{0, 4, 20, 60} {
			for _, on := range [][]time.Weekday{nil, days, days[:1]} {
				j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, crop), Holes: 63}
				if week > 0 {
					j.Schedule = Schedule{HeadsPerWeek: week, First: date(2027, 4, 1), Last: date(2027, 11, 1), Days: on, Off: []time.Weekday{time.Saturday, time.Sunday}, Breaks: []Break{{date(2027, 5, 20), date(2027, 6, 1)}}}
				}
				s := Make(j)
				for _, x := range s.Tasks {
					if x.Kind != TaskClean {
						continue
					}
					cleaned++
					for _, b := range s.Batches {
						if b.SetOut.Before(x.Day) && b.Harvest.After(x.Day) {
							t.Errorf("%s, %v a week, on %v: cleaned on %v with batch %d in it, from %v to %v", crop, week, on, x.Day, b.Number, b.SetOut, b.Harvest)
						}
					}
				}
			}
		}
	}
	if cleaned == 0 {
		t.Error("nothing was cleaned")
	}
}

// Everything that a season may say can be said: each finding, assumption, limit
// and task has its words, and no placeholder stays empty.
func TestSeasonsSpeak(t *testing.T) {
	p, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	say := func(id string, args finding.Args) {
		t.Helper()
		if got := p.Say(id, args); got == "" || got[0] == '[' || strings.Contains(got, "<no value>") || strings.Contains(got, "<nil>") {
			t.Errorf("%s says %q", id, got)
		}
	}
	jobs := []Job{
		{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: Schedule{HeadsPerWeek: 8, First: date(2027, 3, 1), Last: date(2027, 11, 1), Breaks: []Break{{date(2027, 7, 1), date(2027, 7, 20)}}}},
		{Climate: station(t, 33.4, -112, 330), Crop: get(t, "spinach"), Cover: sky.Greenhouse},
		{Climate: typed(t, 1, 28, 1), Crop: get(t, "water_spinach"), Cover: sky.Shade},
		{Climate: typed(t, 80, -10, 12), Crop: get(t, "tomato"), Cover: sky.Tunnel},
		{Climate: typed(t, 40, 12, 9), Crop: get(t, "basil_sweet"), Holes: 20, Schedule: Schedule{HeadsPerWeek: 3, First: date(2027, 7, 1), Last: date(2027, 9, 1)}},
	}
	for _, j := range jobs {
		j.Others = catalogue(t).Crops()
		s := Make(j)
		for _, f := range s.Findings {
			say(string(f.ID), f.Args)
		}
		for _, a := range s.Assumptions {
			say(string(a.ID), a.Args)
			say("replace."+string(a.ID), a.Args)
		}
		for _, w := range s.Windows {
			say(string(w.Limit.Word()), nil)
		}
		for _, x := range s.Tasks {
			say(string(x.Kind.Word()), x.Args)
		}
		for _, c := range s.Changes {
			say(string(c.Way), nil)
		}
	}
}

func TestBreaksOfASchedule(t *testing.T) {
	m := &maker{}
	m.Crop, m.Bed = get(t, "lettuce_leaf"), pool.Bed{Area: 3, Depth: 6 * unit.Inch}
	m.job.Schedule = Schedule{Off: []time.Weekday{time.Sunday}, Breaks: []Break{{date(2027, 6, 20), date(2027, 7, 5)}, {date(2027, 6, 15), date(2027, 6, 19)}}}
	m.fill(date(2027, 5, 1), date(2027, 9, 1))
	for _, c := range []struct {
		day, before, after time.Time
		away               bool
	}{
		{date(2027, 6, 25), date(2027, 6, 14), date(2027, 7, 6), true}, // two breaks that touch are one
		{date(2027, 7, 5), date(2027, 6, 14), date(2027, 7, 6), true},
		{date(2027, 7, 6), date(2027, 7, 6), date(2027, 7, 6), false},
		{date(2027, 7, 11), date(2027, 7, 10), date(2027, 7, 12), true}, // a Sunday
	} {
		r := &m.roster
		if r.open[r.day(c.day)] == c.away || away(m.job.Schedule, c.day) != c.away || !r.last(c.day).Equal(c.before) || !r.next(c.day).Equal(c.after) {
			t.Errorf("%v: %v to %v", c.day, r.last(c.day), r.next(c.day))
		}
	}
}

// The risks that a batch is told are those of its own days.
func TestRisksFollowTheWeather(t *testing.T) {
	hot := Make(Job{Climate: typed(t, 35, 21, 6), Crop: get(t, "lettuce_butterhead"), Cover: sky.Greenhouse, Light: 0.9, Holes: 32, Schedule: Schedule{HeadsPerWeek: 4, First: date(2027, 8, 1), Last: date(2027, 8, 20)}})
	if !has(hot.Findings, FindShort) && !has(hot.Findings, crop.FindTipburn) {
		t.Errorf("nothing is said of August: %+v", hot.Findings)
	}
	cool := Make(Job{Climate: typed(t, 50, 12, 4), Crop: get(t, "lettuce_batavia"), Cover: sky.Shade, Light: 0.35, Holes: 32})
	if has(cool.Findings, crop.FindBolt) || has(cool.Findings, crop.FindTipburn) {
		t.Errorf("a cool, shaded place is warned: %+v", cool.Findings)
	}
}

func TestWaterIsComparedWithGrowth(t *testing.T) {
	w := Water{Volume: 100 * unit.Litre, Growth: 55 * unit.Litre}
	if !w.differs() {
		t.Error("45 % apart is over 40 %")
	}
	w.Growth = 65 * unit.Litre
	if w.differs() {
		t.Error("35 % apart is not over 40 %")
	}
	if (Water{}).differs() {
		t.Error("nothing differs from nothing")
	}
}

// The cover is made ready in the cold season that has plants: in the south a
// season that runs from spring to fall ends in the next year. No work falls into
// a break, the cleaning neither.
func TestFrostTaskInItsSeason(t *testing.T) {
	for _, c := range []struct {
		latitude, longitude, elevation float64
		first, last                    time.Time
		frost                          int
	}{
		{-41.57, 147.13, 157, date(2027, 11, 2), date(2028, 4, 20), 1},
		{-41.57, 147.13, 157, date(2027, 11, 2), date(2028, 2, 20), 0},
		{42.45, -76.45, 290, date(2027, 5, 25), date(2027, 10, 12), 1},
		{42.45, -76.45, 290, date(2027, 5, 25), date(2027, 8, 12), 0},
	} {
		plan := Schedule{HeadsPerWeek: 3, First: c.first, Last: c.last,
			Breaks: []Break{{date(2027, 12, 21), date(2028, 1, 3)}, {addDays(c.last, 1), addDays(c.last, 5)}}}
		s := Make(Job{Climate: station(t, c.latitude, c.longitude, c.elevation), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: plan})
		frost := 0
		for _, x := range s.Tasks {
			if x.Day.Before(s.Batches[0].Sow) || x.Day.After(addDays(c.last, 10)) {
				t.Errorf("%v: %s on %v, out of the season", c.first, x.Kind, x.Day)
			}
			if away(plan, x.Day) {
				t.Errorf("%s on %v, in a break", x.Kind, x.Day)
			}
			if x.Kind == TaskFrost {
				frost++
			}
		}
		if frost != c.frost {
			t.Errorf("%v to %v: %d frost tasks, want %d", c.first, c.last, frost, c.frost)
		}
	}
}

// Of several checks that fall into a break one is left, on the day before it, and no day has two.
func TestABreakLeavesOneCheckBeforeIt(t *testing.T) {
	for _, end := range []int{11, 12, 13} {
		s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 32,
			Schedule: Schedule{HeadsPerWeek: 6, First: date(2027, 5, 18), Last: date(2027, 10, 14), Days: []time.Weekday{time.Tuesday, time.Thursday}, Breaks: []Break{{date(2027, 7, 3), date(2027, 7, end)}}}})
		days := map[time.Time]int{}
		for _, x := range s.Tasks {
			if x.Kind == TaskCheck {
				if days[x.Day]++; days[x.Day] > 1 {
					t.Errorf("to July %d: %d checks on %v", end, days[x.Day], x.Day)
				}
			}
		}
		if days[date(2027, 7, 2)] != 1 {
			t.Errorf("to July %d: %d checks on the day before the break", end, days[date(2027, 7, 2)])
		}
	}
}
