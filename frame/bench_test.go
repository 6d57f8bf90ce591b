package frame

import (
	"testing"

	"raftwright/unit"
)

// yard prices boards as a yard might; invented figures.
func yard() Prices {
	p := Prices{Kerf: unit.Inch / 8, Screw: 0.15}
	for _, s := range []struct {
		size Size
		foot float64
	}{{Size{1, 2}, 0.25}, {Size{2, 2}, 0.40}, {Size{4, 4}, 1.60}, {Size{2, 4}, 0.55}, {Size{2, 6}, 0.90}, {Size{2, 8}, 1.25}, {Size{2, 10}, 1.75}, {Size{2, 12}, 2.40}} {
		for _, feet := range []float64{8, 10, 12, 16} {
			p.Boards = append(p.Boards, BoardPrice{s.size, unit.Length(feet) * unit.Foot, feet * s.foot})
		}
	}
	return p
}

func full() Job {
	j := pine()
	j.Vessel = Vessel{Length: 97 * unit.Inch, Width: 49 * unit.Inch}
	j.Holds, j.Liner.Thickness, j.LevelError, j.OpenToRain = AutoHolds(), 6*unit.Mil, unit.Inch/4, true
	j.Raft = Raft{Gap: unit.Inch / 2, Thickness: 1.5 * unit.Inch, Draft: 4 * unit.Millimetre, Hang: unit.Inch}
	return j
}

func BenchmarkDesign(b *testing.B) {
	l, j := DefaultYard(), full()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Design(j, l); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSearch(b *testing.B) {
	l, j, p := DefaultYard(), full(), yard()
	b.ReportAllocs()
	for b.Loop() {
		if o, err := Search(j, l, p); err != nil || len(o) != 3 {
			b.Fatal(err, len(o))
		}
	}
}

// A long bed with remedies is the slowest that Design does.
func BenchmarkDesignLargest(b *testing.B) {
	l, j := DefaultYard(), full()
	j.Vessel, j.Depth, j.Holds = Vessel{Length: 481 * unit.Inch, Width: 97 * unit.Inch}, 14*unit.Inch, NoHolds()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Design(j, l); err != nil {
			b.Fatal(err)
		}
	}
}

// The widest and longest bed, as deep as the methods reach.
func BenchmarkSearchLargest(b *testing.B) {
	l, j, p := DefaultYard(), full(), yard()
	j.Vessel, j.Depth = Vessel{Length: 481 * unit.Inch, Width: 97 * unit.Inch}, 14*unit.Inch
	b.ReportAllocs()
	for b.Loop() {
		if o, err := Search(j, l, p); err != nil || len(o) == 0 {
			b.Fatal(err, len(o))
		}
	}
}
