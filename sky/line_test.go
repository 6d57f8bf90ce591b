package sky

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"raftwright/unit"
)

// What keeps the light off keeps only the part of the drying off that the sun does,
// taken as six tenths of it (own judgement; the radiation term of FAO-56's examples 17
// and 18 is about seven tenths of their ET0): half of the light, 0.7 of the thirst.
func TestLineDryingUnderShade(t *testing.T) {
	for light, want := range map[float64]float64{1: 1, 0.5: 0.7, 0.25: 0.55} {
		s, _ := Open.Screen(unit.Fraction(light))
		if math.Abs(float64(s.Thirst)-want) > 1e-9 {
			t.Errorf("%v of the light: %v of the thirst, want %v", light, float64(s.Thirst), want)
		}
	}
	if s, _ := Shade.Screen(0); math.Abs(float64(s.Thirst)-0.7) > 1e-9 {
		t.Errorf("a shade cloth nobody measured takes half of the light: %v of the thirst", float64(s.Thirst))
	}
}

// A station farther than 100 km is told as a caution (a degree of latitude is 111.2 km).
func TestLineNearStation(t *testing.T) {
	var rows strings.Builder
	rows.WriteString("station_id,month,tmax_c,tmin_c\n")
	for m := 1; m <= 12; m++ {
		fmt.Fprintf(&rows, "a,%d,20,10\n", m)
	}
	l, faults := ReadFiles(File{"n.csv", []byte(rows.String())}, File{"s.csv", []byte("station_id,name,lat_deg,lon_deg,elev_m\na,A,42,-76,100\n")})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for north, want := range map[float64]bool{0.89: false, 0.91: true} { // 99.0 and 101.2 km
		c, faults := l.At(at(42+north, -76, 100), false)
		if len(faults) > 0 || has(c.Fill().Findings, FindFarStation) != want {
			t.Errorf("%v degrees: told far %v, %v", north, !want, faults)
		}
	}
}

// A month of a daily file has rain, sun, dew and wind when half of its days have, over all years (own choice).
func TestLineDaysOfAMonth(t *testing.T) {
	for days, want := range map[int]bool{14: false, 15: true} {
		var rows strings.Builder
		rows.WriteString("date,tmax_c,tmin_c,rain_mm,solar_mj_m2,dewpoint_c,wind_m_s\n")
		for d := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() == 2026; d = d.AddDate(0, 0, 1) {
			rest := "2,5,8,2"
			if d.Month() == time.June && d.Day() > days {
				rest = ",,,"
			}
			fmt.Fprintf(&rows, "%s,20,10,%s\n", d.Format("2006-01-02"), rest)
		}
		l, faults := ReadFiles(File{"own.csv", []byte(rows.String())})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		c, faults := l.At(at(42, -76, 100), false)
		if m := c.Months[5]; len(faults) > 0 || (m.Rain != nil) != want || (m.Solar != nil) != want || (m.Dew != nil) != want || (m.Wind != nil) != want {
			t.Errorf("%d days: %+v, %v", days, m, faults)
		}
	}
}

// Where the sun sends less than 3 MJ/m² a day, no light at all may be what was measured;
// above, it is no figure (own choice).
func TestLineDarkMonth(t *testing.T) {
	seen := map[bool]int{}
	for lat := 55.0; lat < 66; lat += 0.25 {
		sun := SunOn(unit.Angle(lat)*unit.Degree, MidMonth(12)).Ra
		if math.Abs(sun.Megajoules()-3) > 0.3 {
			continue
		}
		_, faults := FromMonths(at(lat, 0, 100), months(func(m int, x *Month) {
			if m == 12 {
				x.Solar = new(unit.DailyRadiation)
			}
		}))
		dark := sun.Megajoules() > 3
		if seen[dark]++; (len(faults) > 0) != dark {
			t.Errorf("at %v degrees the sun sends %v: %v", lat, sun, faults)
		}
	}
	if seen[true] == 0 || seen[false] == 0 {
		t.Errorf("no latitude on either side: %v", seen)
	}
}

// A station is told as standing here within 50 m, and at about the same height within 5 m; a lower one is called lower (own choice: a
// brief's place is no more exact, and 5 m are 0.03 °C at the lapse of ISO 2533).
func TestLineWhereAStationStands(t *testing.T) {
	var rows strings.Builder
	rows.WriteString("station_id,month,tmax_c,tmin_c\n")
	for m := 1; m <= 12; m++ {
		fmt.Fprintf(&rows, "a,%d,20,10\n", m)
	}
	l, faults := ReadFiles(File{"n.csv", []byte(rows.String())}, File{"s.csv", []byte("station_id,name,lat_deg,lon_deg,elev_m\na,A,42,-76,100\n")})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, c := range []struct {
		north, high        float64 // degrees, of 111.2 km each; m
		here, level, below bool
	}{{0.0004, 100, true, true, false}, {0.0005, 104, false, true, true}, {0.1, 106, false, false, true}, {0.1, 94, false, false, false}} {
		got, faults := l.At(at(42+c.north, -76, c.high), false)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for _, f := range got.Fill().Findings {
			if f.ID == FindStation && (f.Args["Here"] != c.here || f.Args["Level"] != c.level || f.Args["Below"] != c.below) {
				t.Errorf("%v degrees away and %v m high: %v", c.north, c.high, f.Args)
			}
		}
		if !has(got.Fill().Findings, FindStation) {
			t.Error("no station is told")
		}
	}
}
