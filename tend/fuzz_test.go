package tend

import (
	"math"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/unit"
)

// visitsOf makes a log of bytes, four to an entry: what it is, how long after the one before, and how much. The figures
// go well beyond what a bed can have, within what a brief lets through.
func visitsOf(data []byte, start time.Time) bed.Log {
	log := bed.Log{{At: start, Path: "log[0]", Done: []bed.Happening{bed.Filled{}, bed.Planted{Heads: 60}}}}
	at := start
	for ; len(data) >= 4 && len(log) < 12; data = data[4:] {
		at = at.Add(time.Duration(data[1]) * time.Hour)
		x := math.Pow(10, float64(data[3])/64-2) * (1 + float64(data[2])/256) // 0.01 to 200
		v := bed.Visit{At: at, Path: "log[1]"}
		litres := unit.Volume(x) * 10 * unit.Litre
		switch data[0] % 16 {
		case 0:
			v.Read.EC = brief.Field[unit.Conductivity]{Given: true, Value: unit.Conductivity(x) * unit.MillisiemensPerCentimetre}
		case 1:
			v.Read.PH = brief.Field[float64]{Given: true, Value: math.Min(14, x)}
		case 2:
			v.Read.Depth = brief.Field[unit.Length]{Given: true, Value: unit.Length(7*x) * unit.Millimetre}
		case 3:
			v.Read.Rain = brief.Field[unit.Length]{Given: true, Value: unit.Length(x) * unit.Millimetre}
		case 4:
			v.Done = []bed.Happening{bed.Dumped{Volume: litres}}
		case 5:
			v.Done = []bed.Happening{bed.AddedWater{Volume: litres}}
		case 6:
			v.Done = []bed.Happening{bed.AddedSolution{Volume: litres, Strength: unit.Fraction(data[2]) / 64}}
		case 7, 8:
			name := map[byte]string{7: "powder", 8: "calcium nitrate"}[data[0]%16]
			v.Done = []bed.Happening{bed.AddedProduct{Product: name, Amount: brief.Amount{Mass: unit.Mass(10*x) * unit.Gram}}}
		case 9:
			v.Done = []bed.Happening{bed.AddedAcid{Amount: brief.Amount{Mass: unit.Mass(10*x) * unit.Gram}}}
		case 10:
			v.Done = []bed.Happening{bed.Planted{Heads: int(data[3])}}
		case 11:
			v.Done = []bed.Happening{bed.Harvested{Heads: int(data[3])}}
		case 12:
			v.Done = []bed.Happening{bed.Filled{Water: data[3]%2 == 0}}
		case 13:
			v.Read.WaterTemperature = brief.Field[unit.Temperature]{Given: true, Value: unit.Temperature(data[3])/5 - 2}
		case 14:
			v.Done = []bed.Happening{bed.Lost{Heads: int(data[3])}}
		default:
			at = at.Add(time.Duration(data[3]) * 24 * time.Hour)
			v.At = at
		}
		log = append(log, v)
	}
	return log
}

// Whatever is written in a log, it is tended or a fault: never a panic, never a figure that is none.
func FuzzLog(f *testing.F) {
	p, _, start := invented(f, 2)
	start = start.AddDate(0, 0, -3)
	for _, seed := range []string{"", "\x00\x30\x40\x8c\x01\x00\x00\xb3\x02\x00\x20\xd0", "\x04\x30\x00\xff\x05\x30\x00\xc0", "\x09\x20\x00\xff\x00\x01\x00\xff",
		"\x0c\x20\x00\x00\x0b\xff\x00\xff\x0f\x00\x00\x80", "\x07\x20\x00\xff\x08\x20\x00\xff\x06\x40\xff\xff",
		"$00\xff"} { // the last: all of it was dumped, which once told no pH
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		log := visitsOf(data, start)
		got, faults := Make(Job{Plan: p, Log: log, Now: log[len(log)-1].At.Add(24 * time.Hour)})
		if len(faults) > 0 {
			return
		}
		allFigures(t, got)
	})
}

// allFigures wants figures, each within its band.
func allFigures(t *testing.T, got *Tending) {
	t.Helper()
	s := got.State
	all := []Range{s.Volume, s.Depth, s.EC, s.PH, got.Leak.Rate, just(float64(s.Fresh)), just(float64(s.Oxygen))}
	for _, r := range s.Holds {
		all = append(all, r)
	}
	for _, r := range got.Readings {
		all = append(all, r.Range)
	}
	for _, f := range got.Forecast {
		all = append(all, f.Volume, f.EC, f.PH, f.Warmth)
	}
	for _, r := range all {
		for _, x := range []float64{r.Value, r.Low, r.High} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("no figure: %+v in %+v", r, s)
			}
		}
		if r.Low > r.Value || r.Value > r.High {
			t.Errorf("a band that does not hold its figure: %+v", r)
		}
	}
	if len(s.Holds) != len(Substances()) {
		t.Errorf("%d substances told", len(s.Holds))
	}
}

func just(x float64) Range { return Range{x, x, x} }
