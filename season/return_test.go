package season

import (
	"maps"
	"slices"
	"testing"
	"time"

	"raftwright/finding"
	"raftwright/sky"
)

// A school in Maine comes back on 30 August and can set plants out until the middle of
// September: what is sown on the return finds the window closed, so seedlings are fetched,
// and only then.
func TestSchoolUsesTheWindowOfItsReturn(t *testing.T) {
	j := Job{Climate: typed(t, 44.9, 5.5, 14), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: Schedule{HeadsPerWeek: 6, First: date(2027, 5, 18), Last: date(2027, 11, 30),
		Days: []time.Weekday{time.Tuesday, time.Thursday}, Off: []time.Weekday{time.Saturday, time.Sunday}, Breaks: []Break{{date(2027, 6, 18), date(2027, 8, 27)}}}}
	s := Make(j)
	autumn, tasks := 0, 0
	for _, b := range s.Batches {
		if b.SetOut.After(date(2027, 8, 27)) {
			autumn++
		}
		late := b.SetOut.After(date(2027, 8, 27)) && b.SetOut.Before(date(2027, 9, 13)) // 14 days in the nursery, at least
		if b.Fetched != late || b.Fetched != b.Sow.Equal(b.SetOut) {
			t.Errorf("batch %d, sown %v, set out %v: fetched %v", b.Number, b.Sow, b.SetOut, b.Fetched)
		}
		if w := s.Windows[0]; !w.Holds(sky.DayOf(b.SetOut)) {
			t.Errorf("batch %d is set out on %v, outside %+v", b.Number, b.SetOut, w)
		}
	}
	for _, x := range s.Tasks {
		if x.Kind == TaskFetch {
			tasks++
		}
		if wd := x.Day.Weekday(); wd == time.Saturday || wd == time.Sunday || x.Day.After(date(2027, 6, 17)) && x.Day.Before(date(2027, 8, 28)) {
			t.Errorf("%s on %v", x.Kind, x.Day)
		}
	}
	if autumn < 2 || tasks == 0 {
		t.Errorf("%d batches in autumn, %d times seedlings are fetched", autumn, tasks)
	}
}

// The bed is filled, stands for a night, is fed, and then planted; a bed that was emptied for the
// holidays is filled and fed again, after the return and before its plants.
func TestFillingStandsInTheCalendar(t *testing.T) {
	j := Job{Climate: typed(t, 44.9, 5.5, 14), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: Schedule{HeadsPerWeek: 6, First: date(2027, 5, 18), Last: date(2027, 11, 30),
		Off: []time.Weekday{time.Saturday, time.Sunday}, Breaks: []Break{{date(2027, 6, 18), date(2027, 8, 27)}}}}
	s := Make(j)
	on := map[TaskKind][]time.Time{}
	for _, x := range s.Tasks {
		on[x.Kind] = append(on[x.Kind], x.Day)
	}
	first := s.Batches[0].SetOut
	if len(on[TaskFill]) != 1 || len(on[TaskFeed]) != 1+len(on[TaskRefill]) || len(on[TaskRefill]) != 1 {
		t.Fatalf("filled on %v, fed on %v, again on %v", on[TaskFill], on[TaskFeed], on[TaskRefill])
	}
	if fill, feed := on[TaskFill][0], on[TaskFeed][0]; !fill.Before(feed) || !feed.Before(first) {
		t.Errorf("filled on %v, fed on %v, planted on %v", fill, feed, first)
	}
	if fill, feed := on[TaskRefill][0], on[TaskFeed][1]; fill.Before(date(2027, 8, 28)) || feed.Before(fill) {
		t.Errorf("filled again on %v, fed on %v", fill, feed)
	}
	for i, x := range s.Tasks { // on one day, too, the feed comes before the plants
		for _, y := range s.Tasks[:i] {
			if x.Kind == TaskFeed && y.Kind == TaskSetOut && y.Day.Equal(x.Day) {
				t.Errorf("planted before it is fed on %v", x.Day)
			}
		}
	}
}

// An open window in which nothing is planned is told with a reason, where harvests of it
// were wanted.
func TestUnusedWindowsAreTold(t *testing.T) {
	said := func(j Job) (out []finding.Finding) {
		for _, f := range Make(j).Findings {
			if f.ID == FindUnused {
				out = append(out, f)
			}
		}
		return out
	}
	j := Job{Climate: station(t, 36.08, -115.17, 658), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: Schedule{First: date(2027, 4, 1), Last: date(2027, 12, 1), Whole: true,
		Breaks: []Break{{date(2027, 7, 1), date(2027, 12, 15)}}}}
	s := Make(j)
	open := 0
	for _, w := range s.Windows {
		if w.Open() {
			open++
		}
	}
	if list := said(j); open < 2 || len(list) == 0 || list[0].Args["Why"] != Away.Word() {
		t.Errorf("%d windows, told: %+v", open, list)
	}
	j.Schedule.Breaks = nil
	if list := said(j); len(list) != 0 {
		t.Errorf("all windows are used: %+v", list)
	}
}

// Shade is hung over plants: no cloth goes up, on any day, over a bed in which nothing stands within
// the week, as a school's does that is emptied for the summer.
func TestShadeIsHungOverPlants(t *testing.T) {
	hung := 0
	for _, lat := range []float64{30, 35, 40} {
		s := Make(Job{Climate: typed(t, lat, 14, 10), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: Schedule{HeadsPerWeek: 6, First: date(2027, 4, 12), Last: date(2027, 10, 29),
			Off: []time.Weekday{time.Saturday, time.Sunday}, Breaks: []Break{{date(2027, 7, 1), date(2027, 8, 8)}}}})
		for _, x := range s.Tasks {
			if x.Kind != TaskShade {
				continue
			}
			hung++
			if !slices.ContainsFunc(s.Batches, func(b Batch) bool {
				return !b.SetOut.After(addDays(x.Day, 7)) && b.Harvest.After(x.Day)
			}) {
				t.Errorf("latitude %v: cloth is hung over an empty bed on %v", lat, x.Day)
			}
		}
	}
	if hung < 2 {
		t.Errorf("cloth is hung %d times", hung)
	}
}

// Cloth is hung only where plants stand under it for a week, and a bed that was cleaned is not
// told to be cleaned again before an absence, nor to be emptied twice.
func TestNoWorkForNothing(t *testing.T) {
	for end := 1; end < 28; end += 3 {
		for _, breaks := range [][]Break{nil, {{date(2027, 6, end), date(2027, 7, 20)}}, {{date(2027, 5, 30), date(2027, 6, 20+end/4)}, {date(2027, 6, 30), date(2027, 8, 20)}}} {
			j := Job{Climate: typed(t, 35, 14, 12), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: Schedule{HeadsPerWeek: 6, First: date(2027, 4, 6), Last: date(2027, 10, end), Breaks: breaks}}
			if breaks == nil {
				j.Schedule.Last = date(2027, 6, end)
			}
			s := Make(j)
			told, hangs := map[any]bool{}, map[any]bool{} // what is told of a shade is what the calendar hangs
			for _, f := range s.Findings {
				if f.ID == FindShade {
					told[f.Args["Shade"]] = true
				}
			}
			for _, x := range s.Tasks {
				if x.Kind == TaskShade {
					hangs[x.Args["Shade"]] = true
				}
			}
			if !maps.Equal(told, hangs) {
				t.Errorf("to %d June: %v are told, %v are hung", end, told, hangs)
			}
			var hung time.Time
			emptied, clean := time.Time{}, time.Time{}
			for _, x := range s.Tasks {
				switch x.Kind {
				case TaskSetOut:
					emptied, clean = time.Time{}, time.Time{}
				case TaskClean:
					clean = x.Day
				case TaskEmpty:
					if !emptied.IsZero() {
						t.Errorf("to %d June: emptied on %v and on %v", end, emptied, x.Day)
					}
					if emptied = x.Day; x.Args["Clean"] != (!clean.IsZero() && clean.Before(x.Day)) {
						t.Errorf("to %d June: cleaned on %v, emptied on %v, clean %v", end, clean, x.Day, x.Args["Clean"])
					}
				case TaskShade:
					hung = x.Day
				case TaskUnshade:
					if x.Day.Sub(hung) < 7*24*time.Hour {
						t.Errorf("to %d June: hung on %v, down on %v", end, hung, x.Day)
					}
					hung = time.Time{}
				}
			}
			if last := s.Batches[len(s.Batches)-1].Harvest; !hung.IsZero() && last.Sub(hung) < 7*24*time.Hour {
				t.Errorf("to %d June: hung on %v for plants that are cut on %v", end, hung, last)
			}
		}
	}
}
