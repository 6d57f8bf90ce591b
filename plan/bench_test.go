package plan_test

import (
	"testing"

	"raftwright/brief"
	"raftwright/examples"
	"raftwright/plan"
)

// usual is the 4 x 8 ft bed with everything said but a climate and a schedule.
const usual = `raftwright: 1
bed: {vessel: frame, length: 97 in, width: 49 in, depth: 6 in, side board: 2x8, end board: 2x10, lumber: southern-pine-2, liner: 6 mil}
raft: {sheet: [4 ft, 8 ft], thickness: 1-1/2 in, foam: xps, gap: 1/2 in, spacing: 12 in, edge: 6 in, hole: 2-1/2 in, pattern: square}
water: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L, sodium: 9 mg/L, chloride: 14 mg/L, sulfate: 20 mg/L, ec: 0.50 mS/cm}
acid: {product: sulfuric 93 %, target ph: 5.8, air: closed}
shelf:
  - {name: complete fertiliser, label: 20-20-20, nitrate-n: 6.0 %, ammonium-n: 3.9 %, urea-n: 10.1 %, iron: 0.10 %}
  - {name: calcium nitrate, label: 15.5-0-0, nitrate-n: 14.4 %, ammonium-n: 1.1 %, calcium: 19 %}
  - {name: potassium nitrate, formula: KNO3}
  - {name: Epsom salt, formula: MgSO4.7H2O, purity: 98 %}
target: {recipe: lettuce}
mix: {bucket: 5 gal, measure: scale 1 g, most products: 4}
crop: {name: lettuce}
`

func benchmark(b *testing.B, text string, part plan.Part) {
	parsed, faults := brief.Parse("bench.yaml", []byte(text))
	if len(faults) > 0 {
		b.Fatal(faults[0])
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := plan.Make(parsed, book, plan.Files{}, part); len(faults) > 0 {
			b.Fatal(faults[0])
		}
	}
}

// BenchmarkPlan makes the whole plan of one 4 x 8 ft bed without a schedule.
func BenchmarkPlan(b *testing.B) { benchmark(b, usual, plan.Everything) }

// BenchmarkPlanAssumed makes the plan of a brief that says next to nothing.
func BenchmarkPlanAssumed(b *testing.B) { benchmark(b, "bed: {}\n", plan.Everything) }

// BenchmarkPlanScheduled makes the plan of the demonstration: a year of weather,
// and a season of weekly harvests.
func BenchmarkPlanScheduled(b *testing.B) { benchmark(b, string(examples.Demo), plan.Everything) }

// The parts one by one, on the same bed.
func BenchmarkParts(b *testing.B) {
	for name, part := range map[string]plan.Part{"frame": plan.Frame, "raft": plan.Raft, "cut": plan.Cut, "water": plan.Water, "mix": plan.Mix, "cost": plan.Cost} {
		b.Run(name, func(b *testing.B) { benchmark(b, usual, part) })
	}
}

// BenchmarkParse reads the demonstration's brief.
func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := brief.Parse("demo.yaml", examples.Demo); len(faults) > 0 {
			b.Fatal(faults[0])
		}
	}
}
