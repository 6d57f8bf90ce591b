package cut

import (
	"context"
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
		if p, err := Boards(context.Background(), j); err != nil || !p.Optimal {
			b.Fatal(err, p)
		}
	}
}

func BenchmarkWorkshop(b *testing.B) {
	for b.Loop() {
		p, err := Boards(context.Background(), workshop())
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(p.bounds.work)/1e6, "Mwork")
		if !p.Optimal {
			b.Log("not proven", p.Price, p.LowerBound)
		}
	}
}

func BenchmarkSheets(b *testing.B) {
	j := SheetJob{Kerf: unit.Inch / 8, Length: 8 * unit.Foot, Width: 4 * unit.Foot,
		Panels: []Panel{{"raft", 47 * unit.Inch, 23.5 * unit.Inch, 4}, {"lid", 20 * unit.Inch, 20 * unit.Inch, 2}}}
	for b.Loop() {
		if p, err := Sheets(context.Background(), j); err != nil || !p.Optimal {
			b.Fatal(err, p.Optimal)
		}
	}
}

// BenchmarkPublished times the hardest of the shared instances of each family.
func BenchmarkPublished(b *testing.B) {
	for _, name := range []string{"Falkenauer_u250_07", "Falkenauer_t120_03", "Waescher_TEST0005", "Hard28_BPP144", "Hard28_BPP419", "N3W2B3R7", "Schwerin2_BPP71", "HARD0"} {
		k := readBins(b, name+".txt")
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				a := k.solve(&effort{ctx: context.Background(), limit: jobWork})
				b.ReportMetric(float64(a.cost-a.bound), "boards-over-bound")
			}
		})
	}
}
