package tend

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/plan"
)

// bedText is an invented bed of this house's own.
const bedText = `
raftwright: 1
title: An invented bed
site:
  {kind: community, children: none, latitude: 37, elevation: 100 m, cover: open, months: [
%s]}
bed: {length: 97 in, width: 49 in, depth: 5 in, side board: 2x8, end board: 2x8, liner: 6 mil}
raft: {sheet: [48 in, 96 in], thickness: 1-1/2 in, foam: xps, gap: 1/2 in, spacing: 8 in}
water: {ph: 7.4, alkalinity: 90 mg/L CaCO3, calcium: 30 mg/L, magnesium: 6 mg/L, sodium: 12 mg/L, potassium: 2 mg/L, chloride: 14 mg/L, sulfate: 20 mg/L, nitrate-n: 1 mg/L}
shelf:
  - {name: powder, label: 5-12-26, nitrate-n: 5 %%, ammonium-n: 0 %%, urea-n: 0 %%, magnesium: 6.3 %%, sulfur: 8.2 %%, iron: 0.3 %%, chelate: DTPA}
  - {name: calcium nitrate, formula: 5Ca(NO3)2.NH4NO3.10H2O}
target: {recipe: lettuce}
mix: {measure: scale 1 g, doses: {powder: 0.6 g/L, calcium nitrate: 0.6 g/L}}
acid: {product: citric, target ph: 5.8}
crop: {name: lettuce}
log:
%s
`

// invented makes the plan and the log of a bed with so many visits, two days apart.
func invented(tb testing.TB, visits int) (plan.Plan, bed.Log, time.Time) {
	var months, log strings.Builder
	for m := range 12 {
		high := []int{9, 10, 14, 19, 24, 28, 30, 29, 25, 20, 15, 11}[m]
		fmt.Fprintf(&months, "    {month: %d, tmax: %d C, tmin: %d C, solar: %d MJ/m2, wind: 2 m/s, rain: 70 mm},\n", m+1, high, high-11, []int{8, 11, 14, 18, 20, 21, 20, 18, 15, 12, 9, 8}[m])
	}
	start := time.Date(2027, 4, 10, 8, 0, 0, 0, time.UTC)
	log.WriteString("  - {at: 2027-04-10T08:00, filled: yes, planted: {heads: 60, crop: lettuce, age: 21 d}}\n")
	for i := 1; i < visits; i++ {
		at := start.AddDate(0, 0, 2*i)
		fmt.Fprintf(&log, "  - {at: %s, ec: %.2f mS/cm, ph: %.2f, depth: %d mm, rain: %d mm", at.Format("2006-01-02T15:04"), 1.45-0.012*float64(i%9), 6.1+0.06*float64(i%7), 127-5*(i%4), 3*(i%2))
		if i%4 == 3 {
			log.WriteString(", added solution: 12 gal")
		}
		log.WriteString("}\n")
	}
	b, faults := brief.Parse("bed.yaml", []byte(fmt.Sprintf(bedText, months.String(), log.String())))
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	visited, faults := bed.FromBrief(b)
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	return p, visited, start.AddDate(0, 0, 2*visits-1)
}

func BenchmarkState(b *testing.B) {
	for _, n := range []int{7, 30, 60} {
		p, log, now := invented(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				t, faults := Make(Job{p, log, now})
				if len(faults) > 0 {
					b.Fatal(faults)
				}
				b.ReportMetric(float64(len(t.estimate.stories)), "stories")
			}
		})
	}
}
