package tend

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/plan"
)

// vessel is an invented bed, tub or tank: what a brief has of it, the heads on it, and its depth (mm) and water (m2).
type vessel struct {
	name, bed, raft string
	heads           int
	full, area      float64
}

var vessels = []vessel{
	{"bed", "length: 97 in, width: 49 in, depth: 5 in, side board: 2x8, end board: 2x8, liner: 6 mil", "sheet: [48 in, 96 in]", 60, 127, 3.07},
	{"tub", "vessel: tub, length: 24 in, width: 16 in, depth: 8 in, wall height: 11 in", "sheet: [16 in, 24 in]", 6, 203, 0.247},
	{"tank", "vessel: round, diameter: 96 in, depth: 14 in, wall height: 24 in", "sheet: [48 in, 96 in]", 50, 356, 4.67},
}

// Soft and hard water, and the EC of what is mixed with it.
var hardness = map[string]struct {
	water string
	ec    float64
}{
	"soft": {"ph: 7.0, alkalinity: 20 mg/L CaCO3, calcium: 6 mg/L, magnesium: 2 mg/L, sodium: 6 mg/L, potassium: 1 mg/L, chloride: 6 mg/L, sulfate: 6 mg/L, nitrate-n: 0.4 mg/L", 1.4},
	"hard": {"ph: 7.6, alkalinity: 220 mg/L CaCO3, calcium: 85 mg/L, magnesium: 18 mg/L, sodium: 20 mg/L, potassium: 2 mg/L, chloride: 40 mg/L, sulfate: 40 mg/L, nitrate-n: 2 mg/L", 1.9},
}

// fallen is a bed that loses so many mm a day beside one that is drunk, from a day on; read every so many days, and filled up with water each time or left.
type fallen struct {
	vessel
	water    string
	mm, from float64
	every    int
	tops     bool
}

func (x fallen) String() string {
	return fmt.Sprintf("%s, %s water, %.1f mm a day from day %g on, read every %d days, filled up %v", x.name, x.water, x.mm, x.from, x.every, x.tops)
}

// log writes the log as a grower would whose ruler is right: EC stays, since a leak takes salt with the water, and what is filled up thins it.
func (x fallen) log(t *testing.T, days int) (plan.Plan, bed.Log) {
	t.Helper()
	var log strings.Builder
	at := time.Date(2027, 4, 10, 8, 0, 0, 0, time.UTC)
	fmt.Fprintf(&log, "  - {at: 2027-04-10T08:00, filled: yes, planted: {heads: %d, crop: lettuce, age: 21 d}}\n", x.heads)
	w := hardness[x.water]
	depth := x.full
	for day := x.every; day <= days; day += x.every {
		depth = math.Max(0, depth-float64(x.every)-x.mm*math.Max(0, math.Min(float64(x.every), float64(day)-x.from)))
		fmt.Fprintf(&log, "  - {at: %s, depth: %.0f mm", at.AddDate(0, 0, day).Format("2006-01-02T15:04"), depth)
		if depth > 5 {
			fmt.Fprintf(&log, ", ec: %.2f mS/cm, ph: 6.3", w.ec)
		}
		if x.tops && depth < 0.95*x.full {
			fmt.Fprintf(&log, ", added water: %.0f L", math.Floor((x.full-depth)*x.area))
			w.ec = (w.ec*depth + 0.3*(x.full-depth)) / x.full
			depth = x.full
		}
		log.WriteString("}\n")
	}
	return x.made(t, log.String())
}

// made makes the plan and the log of a vessel.
func (x fallen) made(t *testing.T, log string) (plan.Plan, bed.Log) {
	t.Helper()
	var months strings.Builder
	for m := range 12 {
		high := []int{9, 10, 14, 19, 24, 28, 30, 29, 25, 20, 15, 11}[m]
		fmt.Fprintf(&months, "    {month: %d, tmax: %d C, tmin: %d C, solar: %d MJ/m2, wind: 2 m/s, rain: 70 mm},\n", m+1, high, high-11, []int{8, 11, 14, 18, 20, 21, 20, 18, 15, 12, 9, 8}[m])
	}
	text := fmt.Sprintf(bedText, months.String(), log)
	for _, y := range [...][2]string{
		{"cover: open", "cover: tunnel"}, {"length: 97 in, width: 49 in, depth: 5 in, side board: 2x8, end board: 2x8, liner: 6 mil", x.bed}, {"sheet: [48 in, 96 in]", x.raft},
		{text[strings.Index(text, "water: {")+8 : strings.Index(text, "}\nshelf")], hardness[x.water].water},
	} {
		text = strings.Replace(text, y[0], y[1], 1)
	}
	b, faults := brief.Parse("bed.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults, text)
	}
	visits, faults := bed.FromBrief(b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p, visits
}

// A bed of 4 x 8 ft that stood an inch lower every second day was told as full, each lower depth a slip of its own. A hole is believed by the second reading that lies
// half an inch or more lower, and the volume that is told is the one that was read; in soft and in hard water, in a tub as in a tank, filled up in
// between or not. A bed that loses nothing has none.
func TestAHoleIsFound(t *testing.T) {
	n := 0
	for _, v := range vessels {
		for _, water := range [...]string{"soft", "hard"} {
			for _, mm := range [...]float64{0, 6.35, 9.5, 12.7, 15.9, 25.4} {
				n++
				if testing.Short() && n%4 > 0 {
					continue
				}
				x := fallen{v, water, mm, []float64{3, 6.5}[n/2%2], 1 + n%3, n%2 == 0}
				x.told(t)
			}
		}
	}
}

func (x fallen) told(t *testing.T) {
	t.Helper()
	p, log := x.log(t, 16)
	low := 0
	for i := range log {
		v := &log[i]
		if lost := x.mm * (v.At.Sub(log[0].At).Hours()/24 - x.from); lost >= 12 {
			low++
		}
		if i < len(log)-1 && low < 2 {
			continue
		}
		got, faults := Make(Job{Plan: p, Log: log[: i+1 : i+1], Now: v.At})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if x.mm == 0 {
			if got.Leak.Probability >= lookAt {
				t.Errorf("%s: a leak %.2f, of %.1f L a day", x, got.Leak.Probability, got.Leak.Rate.Value)
			}
			return
		}
		depth := v.Read.Depth.Value.Millimetres()
		if x.tops && depth < 0.95*x.full {
			depth = x.full
		}
		if rate := x.mm * x.area; got.Leak.Probability < 0.8 || got.Leak.Rate.Low > 1.1*rate || got.Leak.Rate.High < 0.9*rate || math.Abs(got.State.Depth.Value-depth) > 0.05*x.full {
			t.Errorf("%s: at %.0f mm a leak %.2f, of %.1f L a day (%.1f to %.1f; is %.1f), and it stands at %.0f mm", x, v.Read.Depth.Value.Millimetres(), got.Leak.Probability,
				got.Leak.Rate.Value, got.Leak.Rate.Low, got.Leak.Rate.High, rate, got.State.Depth.Value)
		}
		return
	}
}

// What leaks in a step is what would leak of a full bed as long as half is left, then less, and never all of it.
func TestRunsOut(t *testing.T) {
	before := 0.0
	for leak := 0.0; leak < 5000; leak += 7 {
		x := runsOut(leak, 400)
		if leak <= 200 {
			close(t, "up to half", x, leak, 1e-12)
		}
		if x < before || x >= 400 || x > leak {
			t.Fatalf("of %.0f L that would leak %.1f do, of less %.1f", leak, x, before)
		}
		before = x
	}
	if before < 390 {
		t.Errorf("of 400 L %.0f leak", before)
	}
}
