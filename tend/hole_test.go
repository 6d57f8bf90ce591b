package tend_test

import (
	"fmt"
	"math"
	"testing"

	"raftwright/bed"
	"raftwright/unit"
)

// hole is a bed that loses so many mm a day from a day on, visited every so many days, by a grower who fills it up with water or does not.
type hole struct {
	number         int
	kin            bool
	mm, from, gaps float64
	tops           bool
}

func (x hole) bed(t *testing.T) *grower {
	g := invent(t, x.number, false)
	if x.kin {
		g = inventKin(t, x.number, false)
	}
	g.leak, g.leakFrom, g.notes = x.mm*g.area, x.from, true
	return g
}

func (x hole) String() string {
	return fmt.Sprintf("bed %d (kin %v), %.1f mm a day from day %g on, seen every %g days, filled up %v", x.number, x.kin, x.mm, x.from, x.gaps, x.tops)
}

// look reads the bed; what is nearly dry no pen reads.
func (g *grower) look() *bed.Visit {
	v := g.visit()
	v.Read.Depth.Value = max(0, v.Read.Depth.Value)
	if g.v < 5*g.area {
		v.Read.EC.Given, v.Read.PH.Given = false, false
	}
	return v
}

// topUp fills up to the mark with water where it is low.
func (g *grower) topUp(v *bed.Visit) {
	depth := v.Read.Depth.Value.Millimetres()
	if depth > 0.95*g.mark {
		return
	}
	litres := math.Floor((g.mark - depth) * g.nominal)
	g.pour(litres*g.lognormal(0.03), g.tap)
	v.Done = append(v.Done, bed.AddedWater{Volume: unit.Volume(litres) * unit.Litre})
}

// A hole that lowers a bed by half an inch to two inches in two days, beside what is drunk, is believed by the second or third reading after it took half an inch, and what the
// bed holds is then told within a tenth of what it should hold: with pens and rulers that err and slip, of strangers and kin, whatever their water and size.
// Of 240 others 96 % were found at the second and 99.6 % at the third. Before holes were thought of, 61 and 78 % of these were, and 53 % of the volumes were near.
func TestHolesAreFound(t *testing.T) {
	n := 36
	if testing.Short() {
		n = 9
	}
	var second, third, near tally
	for i := range n {
		x := hole{number: 2000 + i, kin: i%2 == 0, mm: []float64{6.35, 9.5, 12.7, 19, 25.4}[i%5], from: []float64{2, 4, 5.5, 8}[i/2%4], gaps: []float64{1, 2, 3}[i/3%3], tops: i%7 < 3}
		g := x.bed(t)
		line := x.String()
		for seen := 0; seen < 3 && g.v > 5 && g.day < 25; {
			g.wait(x.gaps)
			v := g.look()
			if x.mm*(g.day-x.from) >= 12 {
				if seen++; seen > 1 {
					p := g.ask(t)
					found, ok := p.Leak.Probability >= 0.5, math.Abs(p.State.Volume.Value-g.v) < 0.1*g.planned
					if seen == 2 {
						second.add(found)
					} else {
						third.add(found)
						near.add(ok)
					}
					if !found || !ok {
						t.Logf("%s: day %.1f, %.0f mm: a leak %.2f of %.0f L a day (is %.0f), %.0f L (are %.0f)", line, g.day, v.Read.Depth.Value.Millimetres(), p.Leak.Probability, p.Leak.Rate.Value, g.leak, p.State.Volume.Value, g.v)
					}
				}
			}
			if x.tops {
				g.topUp(v)
			}
		}
	}
	t.Logf("found at the second reading %.2f of %d, at the third %.2f of %d, with a volume that is near %.2f", second.share(), second.of, third.share(), third.of, near.share())
	if second.share() < 0.85 || third.share() < 0.95 || near.share() < 0.9 {
		t.Errorf("found at the second reading %.2f of %d, at the third %.2f of %d, with a volume that is near %.2f", second.share(), second.of, third.share(), third.of, near.share())
	}
}

// The same of beds that were tended for three weeks before. Of sixty 90 % were found at the second reading and 98 % at the third.
func TestHolesOfOldBedsAreFound(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	const n = 16
	var second, third tally
	for i := range n {
		x := hole{number: 2400 + i, mm: []float64{9.5, 12.7, 19, 25.4}[i%4], from: []float64{20, 22, 25}[i%3], tops: true}
		g := x.bed(t)
		g.until(x.from, nil)
		g.habits(&g.log[len(g.log)-1])
		for seen := 0; seen < 3 && g.v > 5 && g.day < 40; {
			g.wait(2)
			g.look()
			if x.mm*(g.day-x.from) >= 12 {
				seen++
				found := seen > 1 && g.ask(t).Leak.Probability >= 0.5
				switch seen {
				case 2:
					second.add(found)
				case 3:
					third.add(found)
				}
			}
		}
	}
	t.Logf("found at the second reading %.2f of %d, at the third %.2f of %d", second.share(), second.of, third.share(), third.of)
	if second.share() < 0.7 || third.share() < 0.9 {
		t.Errorf("found at the second reading %.2f of %d, at the third %.2f of %d", second.share(), second.of, third.share(), third.of)
	}
}
