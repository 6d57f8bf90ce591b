package season

import (
	"fmt"
	"math"
	"testing"
	"time"

	"raftwright/unit"
)

// combinations runs over every choice of days on the raft, from a least to a most,
// for so many harvests.
func combinations(harvests, least, most int, try func(days []int)) {
	days := make([]int, harvests)
	for i := range days {
		days[i] = least
	}
	for {
		try(days)
		i := 0
		for i < harvests && days[i] == most {
			days[i], i = least, i+1
		}
		if i == harvests {
			return
		}
		days[i]++
	}
}

// crowd counts the plants that stand at once, day by day.
func crowd(cuts []time.Time, days []int, plants int) int {
	most := 0
	for back := range 80 {
		d, n := addDays(cuts[len(cuts)-1], -back), 0
		for i, cut := range cuts {
			if d.Before(cut) && !d.Before(addDays(cut, -days[i])) {
				n += plants
			}
		}
		most = max(most, n)
	}
	return most
}

// Every way to set out four small harvests is tried. None that reaches the weight
// stands in fewer holes than the plan says is the least; and where holes are short,
// none that fits has a heavier lightest head.
func TestSteadyAgainstEveryPlan(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for name, breaks := range map[string][]Break{"no breaks": nil, "a break": {{date(2027, 5, 24), date(2027, 5, 29)}}} {
		for _, holes := range []int{64, 12} {
			sch := Schedule{HeadsPerWeek: 3, First: date(2027, 6, 15), Last: date(2027, 7, 6), Breaks: breaks}
			j := Job{Climate: station(t, 42.4, -76.5, 250), Crop: get(t, "lettuce_leaf"), Holes: holes, Schedule: sch}
			// the density, and so the growth, must be the same for both
			j.Bed.Area, j.Bed.Depth, j.Bed.Rim = unit.Area(float64(holes)/10.8), 5*unit.Inch, 24*unit.Foot
			s := Make(j)
			if len(s.Batches) != 4 {
				t.Fatalf("%s: %d batches", name, len(s.Batches))
			}
			var cuts []time.Time
			for _, b := range s.Batches {
				cuts = append(cuts, b.Harvest)
			}
			m := remake(j)
			const least, most = 14, 36
			fresh := make([][]unit.Mass, len(cuts))
			for i, cut := range cuts {
				for n := range most + 1 {
					w := unit.Mass(math.Inf(-1))
					day := addDays(cut, -n)
					if n >= least && !away(sch, day) {
						w = last(m.ground.growth.standing(index(day), n)).Fresh
					}
					fresh[i] = append(fresh[i], w)
				}
			}
			lowest, heaviest := math.MaxInt, unit.Mass(0)
			combinations(len(cuts), least, most, func(days []int) {
				lightest := unit.Mass(math.Inf(1))
				for i, n := range days {
					lightest = min(lightest, fresh[i][n])
				}
				if lightest < m.wanted() && lightest <= heaviest {
					return
				}
				n := crowd(cuts, days, s.Batches[0].Plants)
				if lightest >= m.wanted() {
					lowest = min(lowest, n)
				}
				if n <= holes {
					heaviest = max(heaviest, lightest)
				}
			})
			what := fmt.Sprintf("%s, %d holes: %+v", name, holes, *s.Steady)
			if holes == 64 {
				if s.Steady.Bound > lowest || s.Steady.Proven && s.Steady.Peak != lowest || s.Steady.Peak < lowest && s.Batches[0].Ready {
					t.Errorf("%s: trying everything needs %d", what, lowest)
				}
				continue
			}
			if breaks == nil && (s.Steady.Beds != 1 || s.Steady.Least >= s.Target || s.Steady.Least < heaviest-unit.Gram/2 || s.Steady.Least > heaviest+1e-9) {
				t.Errorf("%s: the heaviest lightest head is %.2f g, not %.2f", what, heaviest.Grams(), s.Steady.Least.Grams())
			}
		}
	}
}

// Heads over ten places and six crops: days on the raft near the published ones,
// weights near the target, and water of an open bed below the 16 L a plant that
// FACTS section 7 gives for 2 to 6 mm a day. No absurd heads.
func TestGrowthIsSaneTheWorldOver(t *testing.T) {
	seen := 0
	for n, p := range [][3]float64{{42.4, -76.5, 250}, {25.8, -80.3, 3}, {33.4, -112, 330}, {45.6, -122.6, 10}, {64.8, -147.7, 140}, {39.8, -104.9, 1600},
		{-33.9, 151.2, 6}, {51.5, 0, 20}, {1.35, 103.8, 15}, {35.9, -79, 150}} {
		for i, id := range []string{"lettuce_leaf", "basil_sweet", "spinach", "kale", "pak_choi", "cilantro"} {
			if testing.Short() && (i+n)%2 != 0 {
				continue // the check grows each everywhere
			}
			k := get(t, id)
			l, faults := reference(t).At(place(p), false)
			if len(faults) > 0 {
				continue // not near a station
			}
			s := Make(Job{Climate: l, Crop: k, Holes: 32})
			for _, b := range s.Batches {
				seen++
				n := float64(daysBetween(b.SetOut, b.Harvest))
				if n < 0.7*k.Raft.Min.Days() || n > 1.6*k.Raft.Max.Days() {
					t.Errorf("%s at %v: %v days from %v", id, p, n, b.SetOut)
				}
				if b.Fresh < 0.999*s.Target || b.Fresh > 1.35*s.Target {
					t.Errorf("%s at %v: %.0f g for %.0f", id, p, b.Fresh.Grams(), s.Target.Grams())
				}
				if each := b.Water.PerHead.Litres(); each < 0.7 || each > 16 {
					t.Errorf("%s at %v: %.1f L a plant", id, p, each)
				}
			}
		}
	}
	if seen < 250 && !testing.Short() || seen < 100 {
		t.Errorf("only %d batches were seen", seen)
	}
}
