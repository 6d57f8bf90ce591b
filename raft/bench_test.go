package raft

import "testing"

func bench(b *testing.B, j Job) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := planned(j); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlanSquare(b *testing.B) {
	bench(b, Job{Sheet: sheet(48, 96), Spacing: inches(12), Edge: inches(6)})
}

func BenchmarkPlanStaggered(b *testing.B) {
	bench(b, Job{Sheet: sheet(48, 96), Spacing: inches(6), Edge: inches(4), Pattern: Staggered})
}

func BenchmarkPlanRoundObstacle(b *testing.B) {
	bench(b, Job{Diameter: inches(94), Spacing: inches(6), Edge: inches(4), Pattern: Staggered, Obstacles: []Obstacle{{Point{inches(10), inches(10)}, sheet(8, 8)}}})
}

func BenchmarkPlanMostHoles(b *testing.B) {
	bench(b, Job{Sheet: Size{8, 7}, Spacing: 0.057, Edge: 0.05, Hole: 0.03, Pattern: Square})
}

func BenchmarkPlanBest(b *testing.B) {
	bench(b, Job{Sheet: sheet(48, 96), Spacing: inches(8), Edge: inches(4), Pattern: Best})
}

func BenchmarkPlanBestLargest(b *testing.B) {
	bench(b, Job{Sheet: sheet(96, 96), Spacing: inches(4), Edge: inches(2), Hole: inches(2), Pattern: Best})
}

func BenchmarkTemplate(b *testing.B) {
	r, err := planned(Job{Sheet: sheet(48, 96), Spacing: inches(8), Edge: inches(4)})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Layouts[0].Template(Letter, r.Job.Hole); err != nil {
			b.Fatal(err)
		}
	}
}
