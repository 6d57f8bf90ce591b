package water

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

// townTest is a report as towns print it: ranges, and no lime named.
func townTest(r map[Analyte][2]float64) Test {
	t := Test{Name: "town", PH: 7.6, Readings: map[Analyte]unit.Reading{}}
	for x, ends := range r {
		t.Readings[x] = unit.Reading{Value: (ends[0] + ends[1]) / 2, Low: ends[0], High: ends[1]}
	}
	return t
}

func assessed(t rapidOrTest, test Test) Assessment {
	t.Helper()
	a, faults := Assess(Job{Test: test, Book: book})
	if faults != nil {
		t.Fatal(faults)
	}
	return a
}

type rapidOrTest interface {
	Helper()
	Fatal(...any)
}

func rangeOf(a Assessment, x Analyte) (Range, bool) {
	for _, r := range a.Ranges {
		if r.Analyte == x && !r.IsConductivity {
			return r, true
		}
	}
	return Range{}, false
}

// A water whose every figure lies at one end of its printed range lies in the
// ranges that are told, and the middle is what a test of the middles is.
func TestRangesHoldTheirEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ends := map[Analyte][2]float64{}
		for _, x := range []Analyte{Alkalinity, Calcium, Magnesium, Sodium, Chloride, Sulfate} {
			low := rapid.Float64Range(1, 100).Draw(t, x.String())
			ends[x] = [2]float64{low, low * rapid.Float64Range(1.02, 3).Draw(t, "times")}
		}
		a := assessed(t, townTest(ends))
		end := rapid.IntRange(0, 1).Draw(t, "end")
		at, middle := Test{PH: 7.6, Readings: map[Analyte]unit.Reading{}}, Test{PH: 7.6, Readings: map[Analyte]unit.Reading{}}
		for x, e := range ends {
			at.Readings[x] = unit.Reading{Value: e[end]}
			middle.Readings[x] = unit.Reading{Value: (e[0] + e[1]) / 2}
		}
		if m := assessed(t, middle); m.EC != a.EC || m.Alkalinity != a.Alkalinity {
			t.Fatal("a range is not taken by its middle")
		}
		b := assessed(t, at)
		for x, got := range map[Analyte]float64{Alkalinity: b.Alkalinity.AsCaCO3(), Calcium: Calcium.Mass(b.Solution.Totals.Ca).MilligramsPerLitre(),
			Magnesium: Magnesium.Mass(b.Solution.Totals.Mg).MilligramsPerLitre(), Sodium: Sodium.Mass(b.Solution.Totals.Na).MilligramsPerLitre()} {
			if r, ok := rangeOf(a, x); !ok || got < r.Low-1e-6 || got > r.High+1e-6 {
				t.Errorf("%v of %v lies outside %v to %v", x, got, r.Low, r.High)
			}
		}
	})
}

// The one test that is asked for is the one whose range moves the water most.
func TestRangeAsksForTheWidest(t *testing.T) {
	base := map[Analyte][2]float64{Alkalinity: {95, 105}, Calcium: {38, 42}, Magnesium: {9, 11}, Sodium: {9, 11}, Chloride: {18, 20}, Sulfate: {19, 21}}
	for x, wide := range map[Analyte][2]float64{Alkalinity: {40, 200}, Calcium: {10, 120}, Sodium: {2, 150}} {
		ends := map[Analyte][2]float64{}
		for y, e := range base {
			ends[y] = e
		}
		ends[x] = wide
		a := assessed(t, townTest(ends))
		i := slices.IndexFunc(a.Findings, func(f finding.Finding) bool { return f.ID == FindNextTest })
		if i < 0 || a.Findings[i].Args["Test"] != x.Word() {
			t.Errorf("%v is %v, but what is asked for is %v", x, wide, a.Findings)
		}
	}
}

// Sodium of 10 to 60 mg/L: the middle, 35, is good (up to 50), the end is not.
func TestHighEndIsToldOf(t *testing.T) {
	for high, want := range map[float64]bool{60: true, 49: false} {
		a := assessed(t, townTest(map[Analyte][2]float64{Alkalinity: {50, 50.5}, Calcium: {20, 21}, Sodium: {10, high}, Chloride: {5, 6}}))
		if got := slices.ContainsFunc(a.Findings, func(f finding.Finding) bool { return f.ID == FindRangeOver }); got != want {
			t.Errorf("sodium up to %v mg/L is told of: %v", high, got)
		}
		n := 0
		for _, x := range a.Assumptions {
			if x.ID == AssumeMiddle {
				n++
			}
		}
		if n != 4 {
			t.Errorf("%d middles are listed, want 4", n)
		}
	}
}

// A whole test of single figures leaves no range.
func TestSingleFiguresLeaveNoRange(t *testing.T) {
	single := Test{PH: 7.6, Readings: map[Analyte]unit.Reading{}}
	for _, x := range []Analyte{Alkalinity, Calcium, Magnesium, Sodium, Chloride, Sulfate} {
		single.Readings[x] = unit.Reading{Value: 20}
	}
	if a := assessed(t, single); len(a.Ranges) != 0 || math.IsNaN(float64(a.EC)) {
		t.Errorf("ranges %v", a.Ranges)
	}
}
