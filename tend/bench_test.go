package tend

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/chem"
	"raftwright/plan"
	"raftwright/unit"
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
		fmt.Fprintf(&log, "  - {at: %s, rain: %d mm", at.Format("2006-01-02T15:04"), 3*(i%2))
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
	now := start.AddDate(0, 0, 2*visits-1)
	read(tb, &p, visited, now)
	return p, visited, now
}

// read gives the visits of a log the readings of a bed that lives by this room's model, with habits and pens of its
// own and noise that is always the same.
func read(tb testing.TB, p *plan.Plan, log bed.Log, now time.Time) {
	readAs(tb, p, log, now, supposal{leakFrom: -1, wrong: noProduct})
}

// readAs does the same of a bed that leaks, or whose first dose was nearly twice what was written.
func readAs(tb testing.TB, p *plan.Plan, log bed.Log, now time.Time, is supposal) {
	k, err := chem.At(standard)
	if err != nil {
		tb.Fatal(err)
	}
	h := newHistory(p, log, now)
	list := h.unknowns(pens{ecGain: 0.05, phBias: 0.2}, is, readings{true, true})
	x := make([]float64, len(list))
	noise := func(n int) float64 {
		_, u := math.Modf(float64(n+1) * 0.6180339887)
		return math.Sqrt2 * math.Erfinv(2*u-1)
	}
	for i := range x {
		switch list[i].kind {
		case unLeak:
			x[i] = 1 // 10 L a day
		case unHole:
			x[i] = 0.6 // 69 L a day
		case unFirst:
			x[i] = math.Log(1.9) / sdWrong
		default:
			x[i] = 0.7 * noise(i)
		}
	}
	f := &fitted{list: list, x: x, nears: make([]near, len(h.visits))}
	if err := f.beginPlanned(h, k); err != nil {
		tb.Fatal(err)
	}
	h.set(list, x, is, &f.setting)
	for range 3 {
		h.live(&f.setting, f.nears, &f.run, 0, nil)
		h.about(k, &f.run, f.nears, true)
	}
	h.live(&f.setting, f.nears, &f.run, 0, nil)
	for i := 1; i < len(log); i++ {
		told := func(kind readingKind) float64 {
			return h.tell(&reading{visit: i, kind: kind}, &f.setting, &f.run, f.nears)
		}
		r := &log[i].Read
		r.EC = brief.Field[unit.Conductivity]{Value: unit.Conductivity(math.Exp(told(readEC)+0.02*noise(3*i))) * unit.MillisiemensPerCentimetre, Given: true}
		r.PH = brief.Field[float64]{Value: told(readPH) + 0.1*noise(3*i+1), Given: true}
		r.Depth = brief.Field[unit.Length]{Value: unit.Length(told(readDepth)+2*noise(3*i+2)) * unit.Millimetre, Given: true}
	}
}

func BenchmarkState(b *testing.B) {
	for _, n := range []int{7, 30, 60} {
		p, log, now := invented(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				t, faults := Make(Job{Plan: p, Log: log, Now: now})
				if len(faults) > 0 {
					b.Fatal(faults)
				}
				b.ReportMetric(float64(len(t.estimate.stories)), "stories")
			}
		})
	}
}

// BenchmarkLeaking does the same of beds that leak: two to three gallons a day from the middle of the log on, and an inch a day at its end.
func BenchmarkLeaking(b *testing.B) {
	const visits = 30
	for _, x := range []struct {
		name string
		is   supposal
	}{{"drip", supposal{leakFrom: visits, wrong: noProduct}}, {"hole", supposal{leakFrom: 2*visits - 7, wrong: noProduct, hole: true}}} {
		p, log, now := invented(b, visits)
		readAs(b, &p, log, now, x.is)
		b.Run(x.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				t, faults := Make(Job{Plan: p, Log: log, Now: now})
				if len(faults) > 0 {
					b.Fatal(faults)
				}
				b.ReportMetric(t.Leak.Probability, "chance")
				b.ReportMetric(float64(len(t.estimate.stories)), "stories")
			}
		})
	}
}

// BenchmarkContradicting follows 200 invented visits whose readings do not change, whatever is poured.
func BenchmarkContradicting(b *testing.B) {
	p, log, _ := invented(b, 200)
	at := log[0].At
	for i := range log {
		v := &log[i]
		v.At, v.Read, v.Done = at.Add(time.Duration(22*i)*time.Hour), bed.Readings{}, nil
		if i%60 == 0 {
			v.Done = []bed.Happening{bed.Filled{}, bed.Planted{Heads: 28}}
			continue
		}
		ec, ph, depth := 1.6, 5.9, 5.5
		if i%3 == 0 {
			ec, ph, depth = 1.7, 6.1, 5
			v.Done = []bed.Happening{bed.AddedWater{Volume: 2 * unit.Gallon}}
		}
		v.Read.EC = brief.Field[unit.Conductivity]{Value: unit.Conductivity(ec) * unit.MillisiemensPerCentimetre, Given: true}
		v.Read.PH = brief.Field[float64]{Value: ph, Given: true}
		v.Read.Depth = brief.Field[unit.Length]{Value: unit.Length(depth) * unit.Inch, Given: true}
	}
	now := log[len(log)-1].At.Add(3 * time.Hour)
	b.ReportAllocs()
	for b.Loop() {
		if _, faults := Make(Job{Plan: p, Log: log, Now: now}); len(faults) > 0 {
			b.Fatal(faults)
		}
	}
}

// BenchmarkOnward tells the state of a bed whose plan has learned from the same log.
func BenchmarkOnward(b *testing.B) {
	for _, n := range []int{30, 60} {
		p, log, now := invented(b, n)
		var known Followed
		known.Learn(&p, log)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, faults := Make(Job{Plan: p, Log: log, Now: now, Followed: &known}); len(faults) > 0 {
					b.Fatal(faults)
				}
			}
		})
	}
}

// A bed that was let go for months, with hardly anything left in it, is told in figures all the same.
func TestBedThatWasLetGo(t *testing.T) {
	p, log, now := invented(t, 60)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	allFigures(t, got)
}
