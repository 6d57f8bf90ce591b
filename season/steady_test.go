package season

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"raftwright/crop"
	"raftwright/sky"
	"raftwright/unit"
)

// away says whether nobody comes on a day.
func away(s Schedule, d time.Time) bool {
	return slices.Contains(s.Off, d.Weekday()) ||
		slices.ContainsFunc(s.Breaks, func(b Break) bool { return !d.Before(b.From) && !d.After(b.To) })
}

// The least n with P(X >= k) >= 0.9 for p = 0.9, by adding up the binomial
// distribution by hand: 1 of 1 (0.9), 4 of 5 (0.9185), 8 of 10 (0.9298).
func TestPlantsFor(t *testing.T) {
	for _, c := range []struct{ heads, plants int }{{0, 0}, {1, 1}, {4, 5}, {8, 10}} {
		if got := PlantsFor(c.heads, 0.9, 0.9); got != c.plants {
			t.Errorf("%d heads: %d plants, want %d", c.heads, got, c.plants)
		}
	}
	if p := tail(5, 4, 0.9); math.Abs(p-0.91854) > 1e-5 {
		t.Errorf("P(at least 4 of 5) = %v", p)
	}
	if n := PlantsFor(100000, 0.9, 0.9); n < 111111 || n > 112000 {
		t.Errorf("%d for 100000", n)
	}
}

func schoolYear() Schedule {
	return Schedule{HeadsPerWeek: 8, First: date(2027, 6, 1), Last: date(2027, 10, 14), Days: []time.Weekday{time.Tuesday, time.Thursday},
		Breaks: []Break{{date(2027, 7, 4), date(2027, 7, 18)}}}
}

func TestSteadyHarvest(t *testing.T) {
	j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 64, Schedule: schoolYear()}
	s := Make(j)
	if s.Steady == nil || len(s.Batches) < 25 {
		t.Fatalf("%+v", s.Steady)
	}
	heads := map[int]int{}
	for _, b := range s.Batches {
		if d := b.Harvest.Weekday(); d != time.Tuesday && d != time.Thursday {
			t.Errorf("harvest on a %v", d)
		}
		for _, d := range []time.Time{b.Sow, b.SetOut, b.Harvest} {
			if away(j.Schedule, d) {
				t.Errorf("work on %v, when nobody comes", d)
			}
		}
		if b.Harvest.Before(j.Schedule.First) || b.Harvest.After(j.Schedule.Last) {
			t.Errorf("harvest on %v", b.Harvest)
		}
		if PlantsFor(b.Heads, plantChance, promiseChance) != b.Plants {
			t.Errorf("%d plants for %d heads", b.Plants, b.Heads)
		}
		_, w := b.Harvest.ISOWeek()
		heads[w] += b.Heads
	}
	full := 0
	for _, n := range heads {
		if n == 8 {
			full++
		}
	}
	if full < len(heads)-3 {
		t.Errorf("only %d of %d weeks bring eight heads: %v", full, len(heads), heads)
	}
	checkSeats(t, s)
}

// seated is the day from which a batch holds its last holes.
func seated(b Batch) time.Time {
	if b.Move.IsZero() {
		return b.SetOut
	}
	return b.Move
}

type fataler interface{ Errorf(string, ...any) }

// checkSeats holds the holes to their rules: as many as plants, never two batches
// in one hole on a day, and no more holes in all than stand at once at the peak. On a
// raft with fewer holes than that, as many as there are.
func checkSeats(t fataler, s Season) {
	most := 0
	for i, b := range s.Batches {
		n := 0
		for _, h := range b.Holes {
			n += h.To - h.From + 1
			most = max(most, h.To)
		}
		if n != b.Plants && (s.Steady.Peak <= s.Holes || n > b.Plants) {
			t.Errorf("batch %d: %d holes for %d plants", b.Number, n, b.Plants)
		}
		for _, c := range s.Batches[:i] {
			if !seated(b).Before(c.Harvest) || !seated(c).Before(b.Harvest) {
				continue
			}
			for _, x := range b.Holes {
				for _, y := range c.Holes {
					if x.From <= y.To && y.From <= x.To {
						t.Errorf("batches %d and %d share holes %v %v", b.Number, c.Number, x, y)
					}
				}
			}
		}
	}
	if want := min(s.Steady.Peak, s.Holes); most != want && len(s.Batches) > 0 {
		t.Errorf("holes up to %d for a peak of %d", most, s.Steady.Peak)
	}
}

// Where the raft cannot bear the heads of every week it bears those of some: any hole brings heads, and one more hole no fewer.
func TestAFewHolesBringAFewHeads(t *testing.T) {
	last := 0
	for holes := 1; holes <= 24; holes++ {
		s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: holes, Schedule: schoolYear()})
		got := 0
		for _, b := range s.Batches {
			got += b.Heads
		}
		if got == 0 || got < last || s.Steady.Peak > holes || s.Short == nil || s.Short.Got != got {
			t.Errorf("%d holes: %d heads, told as %+v; with one hole less %d", holes, got, s.Short, last)
		}
		last = got
	}
}

func TestTooFewHolesIsSaid(t *testing.T) {
	j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 20, Schedule: schoolYear()}
	s := Make(j)
	if !has(s.Findings, FindShort) || s.Steady.Beds != (s.Steady.Needs+19)/20 || s.Steady.Beds < 2 || s.Steady.Peak > 20 || s.Short.Reason != Room {
		t.Errorf("%+v %+v", s.Steady, s.Short)
	}
	for _, b := range s.Batches { // what has no hole is given none
		for _, x := range b.Holes {
			if x.From < 1 || x.To > 20 || x.From > x.To {
				t.Errorf("batch %d stands in holes %v of 20", b.Number, x)
			}
		}
	}
}

func TestHarvestsOutOfReachAreSaid(t *testing.T) {
	j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 64,
		Schedule: Schedule{HeadsPerWeek: 8, First: date(2027, 2, 1), Last: date(2027, 6, 30)}}
	s := Make(j)
	if !has(s.Findings, FindShort) || s.Steady.Missed < 10 || s.Short.Reason != TooCold || s.Short.Months[0].Got != 0 || s.Short.Months[0].Reason != TooCold {
		t.Errorf("%+v %+v", s.Steady, s.Short)
	}
	for _, b := range s.Batches {
		if b.Harvest.Month() < time.April {
			t.Errorf("a harvest in %v", b.Harvest)
		}
	}
}

// Without breaks every batch is set out on its latest day, so the peak is proven:
// a brute count of the plants that must stand on each day gives the same.
func TestPeakIsProven(t *testing.T) {
	sch := schoolYear()
	sch.Breaks = nil
	s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 64, Schedule: sch})
	most := 0
	for d := date(2027, 1, 1); d.Year() == 2027; d = addDays(d, 1) {
		n := 0
		for _, b := range s.Batches {
			if !d.Before(b.SetOut) && d.Before(b.Harvest) {
				n += b.Plants
			}
		}
		most = max(most, n)
	}
	if !s.Steady.Proven || s.Steady.Peak != most || s.Steady.Bound != most {
		t.Errorf("%+v, counted %d", s.Steady, most)
	}
	// a day later none of them would be ready
	m := remake(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 64})
	for _, b := range s.Batches {
		if n, ok := m.ground.growth.until(index(addDays(b.SetOut, 1)), m.wanted()); ok && !addDays(b.SetOut, 1+n).After(b.Harvest) {
			t.Errorf("batch %d, set out on %v, could be set out later", b.Number, b.SetOut)
		}
	}
}

// Stepping from a guess finds the same day as trying every day, back from the cut.
func TestLatestIsTheLatest(t *testing.T) {
	for _, id := range []string{"lettuce_leaf", "kale", "basil_sweet"} {
		m := remake(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, id), Holes: 32})
		for d := 0; d < 365; d += 9 {
			cut, want := m.roster.day(date(2027, 1, 1))+d, 0
			for n := 1; n <= m.mostDays() && want == 0; n++ {
				if m.limit[m.roster.year[cut-n]] == None && m.fresh(cut, n) >= m.wanted() && m.fresh(cut, n) <= m.heaviest() && m.may(cut-n, cut, false) {
					want = n
				}
			}
			for _, guess := range []int{1, 30, 500} {
				if _, got := m.daysFor(cut, m.wanted(), guess); got != want && (want > 0 || m.fresh(cut, max(1, got)) < m.lightest()) {
					t.Errorf("%s on day %d from %d: %d, by trying %d", id, d, guess, got, want)
				}
			}
		}
	}
}

func TestCarries(t *testing.T) {
	k := get(t, "lettuce_leaf")
	k.Mass = crop.Range[unit.Mass]{Min: 220 * unit.Gram, Max: 220 * unit.Gram}
	j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: k, Holes: 32, Head: 300 * unit.Gram, Schedule: schoolYear()}
	s := Make(j)
	if s.Steady.Beds < 2 || s.Steady.Carries >= 8 || s.Steady.Carries < 2 {
		t.Fatalf("%+v", s.Steady)
	}
	j.Schedule.HeadsPerWeek = s.Steady.Carries
	if fits := Make(j); fits.Steady.Beds != 1 || fits.Steady.Peak > 32 {
		t.Errorf("what it carries takes %d beds", fits.Steady.Beds)
	}
	j.Schedule.HeadsPerWeek = s.Steady.Carries + 1
	if over := Make(j); over.Steady.Beds < 2 {
		t.Errorf("a head more a week still fits: %+v", over.Steady)
	}
	// without a wish the raft carries what it can
	j.Schedule.HeadsPerWeek = 0
	if free := Make(j); free.Steady.HeadsPerWeek != s.Steady.Carries || free.Steady.Beds != 1 {
		t.Errorf("%+v", free.Steady)
	}
}

// Where the wanted weight does not fit, heads are cut lighter so that the harvest
// does, and the lightest as heavy as can be: half a gram more would not fit.
func TestLighterHeadsFit(t *testing.T) {
	sch := schoolYear()
	sch.Breaks, sch.HeadsPerWeek = nil, 5
	j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: sch}
	s := Make(j)
	if s.Steady.Beds != 1 || s.Steady.Peak > 32 || !has(s.Findings, FindLighter) || s.Steady.Least >= s.Target || s.Steady.Least < j.Crop.Mass.Min {
		t.Fatalf("%+v, target %v", s.Steady, s.Target)
	}
	checkSeats(t, s)
	for _, b := range s.Batches {
		if b.Fresh < s.Steady.Least-0.001*unit.Gram || !b.Ready {
			t.Errorf("batch %d weighs %v g, the least is %v", b.Number, b.Fresh.Grams(), s.Steady.Least.Grams())
		}
	}
	m := remake(j)
	for _, more := range []unit.Mass{0.002, 0.005, 0.02} {
		f := m.newFit(dayed(sch))
		f.at(s.Steady.Least + more)
		if f.share(5); f.fits() {
			t.Errorf("%v g more for each would fit", more.Grams())
		}
	}
	// no head is cut under the least of the crop's range
	j.Crop.Mass, j.Head = crop.Range[unit.Mass]{Min: 220 * unit.Gram, Max: 220 * unit.Gram}, 300*unit.Gram
	if own := Make(j); own.Steady.Least < 220*unit.Gram || own.Steady.Beds < 2 {
		t.Errorf("%+v", own.Steady)
	}
}

func dayed(s Schedule) Schedule {
	if len(s.Days) == 0 {
		s.Days = []time.Weekday{s.First.Weekday()}
	}
	return s
}

// remake gives a maker at the point where it plans batches.
func remake(j Job) *maker {
	m := NewGround(j).open(j)
	if f := m.plant(); f != nil {
		m.sumUp(f)
	}
	return m
}

// A nursery part at 81 plants a m2 (Rutgers ponds) lets the same raft carry more.
func TestNurserySpacingSavesRaft(t *testing.T) {
	j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: schoolYear()}
	plain := Make(j)
	j.Nursery = 81
	with := Make(j)
	if with.Steady.Area >= plain.Steady.Area || with.Steady.Carries < plain.Steady.Carries || with.Steady.NurseryPeak == 0 {
		t.Errorf("%+v beside %+v", with.Steady, plain.Steady)
	}
	moved := 0
	for _, b := range with.Batches {
		if b.Move.IsZero() {
			continue
		}
		moved++
		if b.Move.Before(b.SetOut) || b.Move.After(b.Harvest) {
			t.Errorf("moved on %v: %+v", b.Move, b)
		}
	}
	if moved < len(with.Batches)/2 {
		t.Errorf("%d of %d batches are moved", moved, len(with.Batches))
	}
	checkSeats(t, with)
}

func TestWholeRaft(t *testing.T) {
	sch := schoolYear()
	sch.Whole = true
	s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: 32, Schedule: sch})
	if len(s.Batches) < 3 || s.Steady.Peak != 32 {
		t.Errorf("%d batches, peak %d", len(s.Batches), s.Steady.Peak)
	}
	for i, b := range s.Batches {
		if b.Plants != 32 || i > 0 && b.SetOut.Before(addDays(s.Batches[i-1].Harvest, turnaroundDays)) {
			t.Errorf("%+v", b)
		}
	}
}

func TestScheduleEnds(t *testing.T) {
	c, k := station(t, 42.4, -76.5, 250), get(t, "lettuce_leaf")
	// only heads a week: the windows give the ends
	s := Make(Job{Climate: c, Crop: k, Holes: 64, Schedule: Schedule{HeadsPerWeek: 6}})
	if len(s.Batches) < 10 || !assumed(s.Assumptions, AssumeDay) || !assumed(s.Assumptions, AssumeLosses) {
		t.Errorf("%d batches", len(s.Batches))
	}
	// the last before the first
	s = Make(Job{Climate: c, Crop: k, Holes: 64, Schedule: Schedule{HeadsPerWeek: 6, First: date(2027, 8, 1), Last: date(2027, 7, 1)}})
	if !has(s.Findings, FindNoDays) || len(s.Batches) != 0 {
		t.Errorf("%+v", s.Steady)
	}
	// a break that covers all of it
	s = Make(Job{Climate: c, Crop: k, Holes: 64, Schedule: Schedule{HeadsPerWeek: 6, First: date(2027, 7, 1), Last: date(2027, 8, 1), Breaks: []Break{{date(2027, 1, 1), date(2027, 12, 31)}}}})
	if !has(s.Findings, FindNoDays) || s.Steady.Skipped == 0 {
		t.Errorf("%+v", s.Steady)
	}
}

func TestRandomSchedules(t *testing.T) {
	c := typed(t, 40, 12, 9)
	k := get(t, "lettuce_butterhead")
	rapid.Check(t, func(r *rapid.T) {
		first := addDays(date(2027, 1, 1), rapid.IntRange(0, 500).Draw(r, "first"))
		sch := Schedule{HeadsPerWeek: rapid.Float64Range(0, 60).Draw(r, "heads"), First: first, Last: addDays(first, rapid.IntRange(-5, 200).Draw(r, "length")), Whole: rapid.Bool().Draw(r, "whole")}
		for d := range 7 {
			if rapid.Bool().Draw(r, "day") {
				sch.Days = append(sch.Days, time.Weekday(d))
			}
		}
		for range rapid.IntRange(0, 3).Draw(r, "breaks") {
			from := addDays(first, rapid.IntRange(-60, 200).Draw(r, "from"))
			sch.Breaks = append(sch.Breaks, Break{from, addDays(from, rapid.IntRange(0, 20).Draw(r, "long"))})
		}
		j := Job{Climate: c, Crop: k, Holes: rapid.IntRange(1, 120).Draw(r, "holes"), Schedule: sch}
		s := Make(j)
		checkBrought(r, j, s)
		for _, b := range s.Batches {
			if b.Sow.After(b.SetOut) || b.SetOut.After(b.Harvest) {
				r.Fatalf("%+v", b)
			}
			for _, d := range []time.Time{b.Sow, b.SetOut, b.Harvest} {
				if away(sch, d) {
					r.Fatalf("work on %v in a break", d)
				}
			}
		}
		checkSeats(r, s)
	})
}

// checkBrought holds what a way to more heads is judged by against the whole season.
func checkBrought(t interface{ Errorf(string, ...any) }, j Job, s Season) {
	if j.Schedule.HeadsPerWeek <= 0 {
		return
	}
	wanted, got := NewGround(j).Brought(j)
	if s.Short == nil && got < wanted || s.Short != nil && (wanted != s.Short.Wanted || got != s.Short.Got) {
		t.Errorf("%d of %d heads, the season has %+v", got, wanted, s.Short)
	}
}

// In the heat of the desert, the cold of the north and the dark of the coast, under covers, at
// other spacings and for other crops, the season is judged by what it brings.
func TestBrought(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, id := range []string{"lettuce_leaf", "lettuce_romaine", "kale", "basil_sweet", "spinach"} {
		for i, at := range [][3]float64{{33.4, -112.0, 340}, {64.8, -147.9, 134}, {47.4, -122.3, 110}} {
			for _, cover := range []sky.Cover{sky.Open, sky.Tunnel, sky.Shade} {
				for _, heads := range []float64{3, 14, 60} {
					j := Job{Climate: station(t, at[0], at[1], at[2]), Crop: get(t, id), Cover: cover, Holes: 24 + 20*i, Schedule: schoolYear()}
					j.Schedule.HeadsPerWeek, j.Schedule.Whole = heads, heads == 14
					if i == 1 {
						j.Nursery = 60
					}
					checkBrought(t, j, Make(j))
				}
			}
		}
	}
}

// A stand can be slower than the days that its window rests on. Where the first
// freeze of -2 °C comes in September (Fairbanks, station file), no batch stands until
// October: the harvests there are not promised, and the cold is the reason.
func TestNoBatchIntoFrost(t *testing.T) {
	j := Job{Climate: station(t, 64.82, -147.87, 134), Crop: get(t, "lettuce_leaf"), Holes: 64}
	for _, own := range []Schedule{{}, {HeadsPerWeek: 2}, {HeadsPerWeek: 6, First: date(2027, 6, 8), Last: date(2027, 10, 14)}} {
		j.Schedule = own
		s := Make(j)
		kill, chance := s.Crop.Killing()
		freeze := s.Sky.FreezeTable(kill)
		for _, b := range s.Batches {
			if freeze.Chance(sky.DayOf(b.SetOut), daysBetween(b.SetOut, b.Harvest)) > chance && b.Harvest.After(date(2027, 9, 20)) {
				t.Errorf("%v: set out %v, cut %v in the freeze", own.HeadsPerWeek, b.SetOut, b.Harvest)
			}
		}
		if len(s.Batches) == 0 {
			t.Errorf("%v: nothing can be had", own.HeadsPerWeek)
		}
		if short := !own.Last.IsZero(); short && (s.Short == nil || s.Short.Months[len(s.Short.Months)-1].Reason != TooCold) {
			t.Errorf("%v: %+v", own.HeadsPerWeek, s.Short)
		}
	}
	// the first planting of spring, which the window lets go on with the freeze of
	// one year in two still to come, is none of these, however slow it is
	dim := Make(Job{Climate: station(t, 42.45, -76.45, 290), Cover: sky.Greenhouse, Light: 0.6, Crop: j.Crop, Holes: 32})
	if len(dim.Batches) == 0 {
		t.Errorf("dim house: %d batches", len(dim.Batches))
	}
}

// No head is forecast heavier than the raft floats in each hole, by whatever way its days are
// found: the weight of harvest, calendar and float is one (own rule).
func TestNoHeadOutgrowsTheRaft(t *testing.T) {
	for _, id := range []string{"lettuce_butterhead", "kale", "basil_sweet"} {
		for _, head := range []unit.Mass{0, 120 * unit.Gram, 250 * unit.Gram} {
			for _, sch := range []Schedule{{}, schoolYear(), {HeadsPerWeek: 3, Whole: true, First: date(2027, 6, 1), Last: date(2027, 9, 30)}} {
				k := get(t, id)
				s := Make(Job{Climate: station(t, 42.4, -76.5, 250), Crop: k, Holes: 32, Head: head, Schedule: sch})
				most := head
				if most == 0 {
					most = k.Mass.Max
				}
				if s.Target > most {
					t.Errorf("%s is grown to %.0f g on a raft for %.0f", id, s.Target.Grams(), most.Grams())
				}
				for _, b := range s.Batches {
					if b.Fresh > most {
						t.Errorf("%s, %v: %.0f g on a raft for %.0f", id, b.Harvest, b.Fresh.Grams(), most.Grams())
					}
				}
			}
		}
	}
}
