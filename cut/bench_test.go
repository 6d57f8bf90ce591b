package cut

import (
	"testing"

	"raftwright/unit"
)

func workshop() Job {
	return Job{
		Stock: []Stock{
			{Length: 8 * unit.Foot, Price: 925}, {Length: 10 * unit.Foot, Price: 1190}, {Length: 16 * unit.Foot, Price: 1980},
		},
		Pieces: []Piece{
			{"side", 97 * unit.Inch, 100}, {"end", 52 * unit.Inch, 100}, {"batten", 48.5 * unit.Inch, 100},
			{"stake", 24 * unit.Inch, 200}, {"corner block", 7.25 * unit.Inch, 200}, {"tie", 50.25 * unit.Inch, 50},
		},
	}
}

func BenchmarkOneBed(b *testing.B) {
	j := lumberCases()[2].job(true)
	for b.Loop() {
		if p, err := Boards(j); err != nil || !p.Optimal {
			b.Fatal(err, p)
		}
	}
}

func BenchmarkWorkshop(b *testing.B) {
	for b.Loop() {
		p, err := Boards(workshop())
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(p.bounds.work)/1e6, "Mwork")
		if !p.Optimal {
			b.Log("not proven", p.Price, p.LowerBound)
		}
	}
}
