package programme

import (
	"encoding/csv"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// Each threshold of the methods on both of its sides: what a person shows, says or withholds by it.
func TestThresholdsAtTheirEdges(t *testing.T) {
	yes := func(what string, got, want bool) {
		t.Helper()
		if got != want {
			t.Errorf("%s: %t", what, got)
		}
	}
	r := &Report{by: asUsual()}
	yes("a percent needs an interval under 0.30 not to be called wide", r.Wide(Interval{Low: 0.5, High: 0.8}), true)
	yes("0.2999 is not wide", r.Wide(Interval{Low: 0.5, High: 0.7999}), false)
	yes("79.9 % answered: silence is told", r.Silent(0.799), true)
	yes("80 % answered: it is not", r.Silent(0.8), false)
	yes("an interval that ends at zero is not clear of it", Interval{Low: 0, High: 2}.Clear() || Interval{Low: -2, High: 0}.Clear(), false)
	yes("a hair off it is", Interval{Low: 0.001, High: 2}.Clear() && Interval{Low: -2, High: -0.001}.Clear(), true)
	none, all := Exact(0, 20, Level), Exact(20, 20, Level) // 1 - 0.025^(1/20) = 0.16843 (Clopper and Pearson)
	yes("of 20 nobody: 0 to 0.1684", none.Low == 0 && math.Abs(none.High-0.16843) < 1e-5, true)
	yes("of 20 all: 0.8316 to 1", all.High == 1 && math.Abs(all.Low-0.83157) < 1e-5, true)
	yes("nobody is no small group", small(0, 11), false)
	yes("one is", small(1, 11), true)
	yes("ten are", small(10, 11), true)
	yes("eleven are not", small(11, 11), false)
	yes("four givers tell of each other", amount([]float64{10, 10, 10, 10}, 5), false)
	yes("five do not", amount([]float64{10, 10, 10, 10, 10}, 5), true)
	yes("what is left without two is a tenth of the largest", amount([]float64{100, 50, 4, 3, 3}, 5), true)
	yes("a hair less is too little", amount([]float64{100, 50, 4, 3, 2.9}, 5), false)
	small, own := Event{ID: "E", Date: on("2027-05-03"), Adults: LeastAdults - 1, County: "A"}, Event{ID: "E", Date: on("2027-05-03"), Adults: LeastAdults, County: "A"}
	yes("nine adults: the slip lies in the pool", Slip{Event: "E"}.Pooled(small).Event == "", true)
	yes("ten: at the event", Slip{Event: "E"}.Pooled(own).Event == "E", true)
	yes("hours of 0.25 are in quarters", Decimal{units: 25, places: 2, Given: true}.inQuarters(), true)
	yes("hours of 0.2 are not", Decimal{units: 2, places: 1, Given: true}.inQuarters(), false)
	for _, c := range []struct {
		right, pupils int
		want          string
	}{{5, 9, fewPupilsNames[0] + "10" + fewPupilsNames[1]}, {5, 10, "5 of 10"}, {19, 20, fewPupilsNames[2]}, {18, 20, "18 of 20"}, {1, 20, fewPupilsNames[3]}, {2, 20, "2 of 20"}, {2, 39, "2 of 39"}, {37, 39, "37 of 39"}} {
		if got := PupilsShown(c.right, c.pupils, 10); got != c.want {
			t.Errorf("%d of %d pupils: %q, not %q", c.right, c.pupils, got, c.want)
		}
	}
	// four fifths of the share of the audience: just reached is reached, also where 0.55 x 0.8 is 0.44000000000000006 in binary
	for _, c := range []struct {
		met, in, unknown int
		share            float64
		want             string
	}{{25, 11, 0, 0.55, parityNames[0]}, {25, 10, 0, 0.55, parityNames[1]}, {25, 10, 1, 0.55, parityNames[2]}, {10, 4, 3, 0.5, parityNames[0]}, {60, 9, 24, 0.25, parityNames[2]}} {
		if _, _, got := parityOf(c.met, c.in, c.unknown, c.share*r.by.part); got != c.want {
			t.Errorf("%d of %d, %d unknown, for %g: %q, not %q", c.in, c.met, c.unknown, c.share, got, c.want)
		}
	}
}

// The table that may go out: small groups join "several", which stays joined however large; where the joined are still few the least kept group joins too; counties are joined until no line is
// small, and no further (rule 9 of the practice year, METHODS section 8).
func TestGroupsAndCountiesAreJoined(t *testing.T) {
	columns := func(counts ...int) string {
		g := Grid{Rows: []string{"A"}, Columns: append(append([]string{}, groupNames...), severalNames, unknownName), Counts: [][]int{counts}}.join(11)
		out := ""
		for j, name := range g.Columns {
			out += fmt.Sprint(name[:1], g.Counts[0][j], " ")
		}
		return out
	}
	for _, c := range []struct {
		counts []int
		want   string
	}{
		{[]int{0, 11, 0, 0, 0, 0, 40, 12, 99}, "A11 W40 o12 u99 "}, // several groups are enough by themselves
		{[]int{0, 10, 0, 0, 0, 0, 40, 1, 99}, "W40 o11 u99 "},      // ten join, and are enough with one
		{[]int{0, 12, 15, 0, 0, 0, 40, 3, 99}, "B15 W40 o15 u99 "}, // three are few: the least kept, twelve, joins
		{[]int{0, 15, 12, 0, 0, 0, 40, 3, 99}, "A15 W40 o15 u99 "},
		{[]int{0, 0, 0, 0, 0, 0, 40, 3, 99}, "o43 u99 "}, // and if it is the last
		{[]int{0, 11, 0, 0, 0, 0, 40, 0, 99}, "A11 W40 o0 u99 "},
	} {
		if got := columns(c.counts...); got != c.want {
			t.Errorf("%v: %q, not %q", c.counts, got, c.want)
		}
	}
	lines := func(totals ...int) string {
		g := Grid{Columns: []string{"x"}}
		for i, n := range totals {
			g.Rows, g.Counts = append(g.Rows, string(rune('A'+i))), append(g.Counts, []int{n})
		}
		g, out := g.region(11), ""
		for i, name := range g.Rows {
			out += fmt.Sprint(name[:1], g.Counts[i][0], " ")
		}
		return out
	}
	for _, c := range []struct {
		totals []int
		want   string
	}{{[]int{11, 12, 13}, "A11 B12 C13 "}, {[]int{5, 6, 13, 14}, "C13 D14 o11 "}, {[]int{5, 5, 13, 14}, "D14 o23 "}, {[]int{0, 12, 13}, "A0 B12 C13 "}, {[]int{10, 12}, "o22 "}} {
		if got := lines(c.totals...); got != c.want {
			t.Errorf("%v: %q, not %q", c.totals, got, c.want)
		}
	}
}

// asUsual are the rules where nothing was entered.
func asUsual() rules {
	var s standing
	var held []Held
	for _, r := range SettingRules() {
		held = append(held, s.holds(r.Name, ""))
	}
	return rulesFrom(held)
}

// A day is read as the clock's own calendar reads it, and what is none is none.
func TestDaysOfTheCalendar(t *testing.T) {
	first, last := time.Date(1970, 12, 1, 0, 0, 0, 0, time.UTC), time.Date(2201, 2, 1, 0, 0, 0, 0, time.UTC)
	for at := first; at.Before(last); at = at.AddDate(0, 0, 1) {
		text := at.Format(time.DateOnly)
		day, ok := ParseDay(text)
		if in := at.Year() > 1970 && at.Year() < 2201; ok != in || ok && (!day.Time().Equal(at) || day.String() != text) {
			t.Fatal(text, day, ok)
		}
	}
	for year := 1971; year <= 2200; year++ { // every month with as many days as it may be thought to have
		for month := range 14 {
			for _, day := range []int{0, 28, 29, 30, 31, 32, 99} {
				text := fmt.Sprintf("%04d-%02d-%02d", year, month, day)
				_, err := time.Parse(time.DateOnly, text)
				if _, ok := ParseDay(text); ok != (err == nil) {
					t.Fatal(text, ok)
				}
			}
		}
	}
	for _, text := range []string{"", "2027-7-05", "2027/07/05", "2027-07-5", "2027-07-050", "+027-07-05", "2027-+7-05", "20270705", "2027-07-0x", "２０２７-07"} {
		if day, ok := ParseDay(text); ok {
			t.Error(text, day)
		}
	}
}

// Rows are written as encoding/csv writes them, with quotes where a field needs them.
func TestRowsAreWrittenAsCSV(t *testing.T) {
	var want strings.Builder
	out := csv.NewWriter(&want)
	out.Write([]string{"county", "name"})
	r := Records{}
	for i, text := range []string{"", "plain", " lead", "\tlead", "trail ", `say "so"`, "a,b", "two\nlines", "two\r\nlines", "\r", `\.`, `\`, "Ñandú", "\u00a0lead", "#", "'", ";"} {
		id := string(rune('a' + i))
		out.Write([]string{id, text})
		r.Counties = append(r.Counties, County{ID: id, Name: text})
	}
	out.Flush()
	if got := Write(r)["counties.csv"]; got != want.String() {
		t.Errorf("%q\n%q", got, want.String())
	}
}

// A table that is read beside others is named by none of them, nor by one that is read before.
func TestWideTablesAreNamedByNone(t *testing.T) {
	for _, s := range sheets {
		for _, c := range s.columns {
			if wide[c.of] {
				t.Error(s.name, c.name)
			}
		}
	}
	for name := range wide {
		if place(name) < 0 || restsOnWide[name] {
			t.Error(name)
		}
	}
}
