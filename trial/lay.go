package trial

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"slices"

	"raftwright/finding"
)

// Faults of a layout.
const (
	FaultShared finding.ID = "trial.fault.shared" // plants of one raft share their water
	FaultHoles  finding.ID = "trial.fault.holes"  // too few holes inside the rim
	FaultStrips finding.ID = "trial.fault.strips" // more strips than lines of holes
	FaultBeds   finding.ID = "trial.fault.beds"   // too few beds, or too many
)

// Subject is what two treatments differ in.
type Subject string

// Subjects. The first three may stand side by side in a raft; of the others each bed has one.
const (
	Variety Subject = "variety"
	Cup     Subject = "cup"
	Plug    Subject = "plug"
	Spacing Subject = "spacing"
	Feed    Subject = "feed"
	Depth   Subject = "depth"
	Air     Subject = "air"
	Site    Subject = "site"
)

// Inside tells whether plots inside one raft can show it: what is in the water, or how far plants stand apart, is
// the same for a whole raft.
func (s Subject) Inside() bool { return s == Variety || s == Cup || s == Plug }

// Spot is where a plant stands: its place in the raft, and the treatment that the lot gave it.
type Spot struct {
	X, Y  float64 // from the lower left corner, in any unit
	Strip int     // 1 is the first; 0: grown and not weighed
	Hole  int     // in its strip, from 1; 0: grown and not weighed
	First bool    // it gets the first treatment
}

// Weighed tells whether the spot counts.
func (s Spot) Weighed() bool { return s.Strip > 0 }

// Name is what the paper calls the hole: "2-5" is the fifth of the second strip; "" where it is not weighed.
func (s Spot) Name() string {
	if !s.Weighed() {
		return ""
	}
	return fmt.Sprintf("%d-%d", s.Strip, s.Hole)
}

// Layout is a trial inside a raft.
type Layout struct {
	Seed   uint64
	Strips int
	Along  bool // strips follow each other along Y; else along X
	Spots  []Spot
	Each   []int    // of each treatment in each strip
	Plans  *big.Int // how many layouts the lot could have drawn
}

// leastHoles is how many holes a strip has at least, one of each treatment; fewest how many a trial has (our choice).
// mostStrips keeps them readable on a page.
const leastHoles, fewest, mostStrips = 2, 8, 12

// Lay lays two treatments out in the holes of a raft. Plants at the rim grow and are not weighed. The raft is cut into
// strips across its longer side, as many as asked, 0 for as many as show the least difference; in each a lot of its
// own gives each treatment to half of the holes. Of an odd number the last hole is not weighed.
func Lay(holes [][2]float64, seed uint64, strips int) (Layout, finding.Faults) {
	l := Layout{Seed: seed, Plans: big.NewInt(1)}
	inner := inside(holes)
	l.Along = longer(holes)
	along := func(s Spot) (float64, float64) {
		if l.Along {
			return s.Y, s.X
		}
		return s.X, s.Y
	}
	var weighed []int
	for i, h := range holes {
		l.Spots = append(l.Spots, Spot{X: h[0], Y: h[1]})
		if inner[i] {
			weighed = append(weighed, i)
		}
	}
	if len(weighed) < fewest {
		return Layout{}, finding.Faults{{ID: FaultHoles, Args: finding.Args{"Holes": len(weighed), "Least": fewest}}}
	}
	slices.SortFunc(weighed, func(i, j int) int {
		a, b := l.Spots[i], l.Spots[j]
		ax, ay := along(a)
		bx, by := along(b)
		return cmp.Or(cmp.Compare(math.Round(ax*1e6), math.Round(bx*1e6)), cmp.Compare(ay, by))
	})
	var lines [][]int
	last := math.Inf(-1)
	for _, i := range weighed {
		x, _ := along(l.Spots[i])
		if x > last+1e-6*math.Max(1, math.Abs(x)) {
			lines, last = append(lines, nil), x
		}
		lines[len(lines)-1] = append(lines[len(lines)-1], i)
	}
	cuts, ok := cut(lines, strips)
	if !ok {
		return Layout{}, finding.Faults{{ID: FaultStrips, Args: finding.Args{"Strips": strips, "Most": mostOf(lines)}}}
	}
	draw := lot{seed}
	l.Strips = len(cuts)
	for s, strip := range cuts {
		n := len(strip) &^ 1
		for k, first := range draw.half(n) {
			at := &l.Spots[strip[k]]
			at.Strip, at.Hole, at.First = s+1, k+1, first
		}
		l.Each = append(l.Each, n/2)
		l.Plans.Mul(l.Plans, new(big.Int).Binomial(int64(n), int64(n/2)))
	}
	return l, nil
}

// cut joins lines of holes to strips of nearly equal numbers; 0 strips: as many as show the least difference.
func cut(lines [][]int, strips int) ([][]int, bool) {
	if strips == 0 {
		least := math.Inf(1)
		for n := 2; n <= min(mostStrips, len(lines)); n++ {
			if some, ok := cut(lines, n); ok {
				var each []int
				for _, s := range some {
					each = append(each, len(s)/2)
				}
				if d := shows(each, 1); d < least {
					least, strips = d, n
				}
			}
		}
	}
	all, done := 0, 0
	for _, l := range lines {
		all += len(l)
	}
	if strips < 2 || strips > all/leastHoles {
		return nil, false
	}
	out := make([][]int, strips)
	for _, l := range lines {
		at := min(strips-1, (2*done+len(l))*strips/(2*all)) // by the middle of the line
		out[at] = append(out[at], l...)
		done += len(l)
	}
	return out, !slices.ContainsFunc(out, func(s []int) bool { return len(s) < leastHoles })
}

// mostOf gives the most strips that lines of holes can be joined to; 0 where not even two.
func mostOf(lines [][]int) int {
	for n := min(mostStrips, len(lines)); n > 1; n-- {
		if _, ok := cut(lines, n); ok {
			return n
		}
	}
	return 0
}

// shows is the least difference that strips with so many plants of each treatment show, with this spread of plants.
func shows(each []int, sd float64) float64 {
	sum, n := 0.0, float64(len(each))
	for _, k := range each {
		sum += 2 * sd * sd / float64(k)
	}
	return Detectable(math.Sqrt(sum)/n, n-1, Power)
}

// longer tells whether holes lie longer along Y than along X.
func longer(holes [][2]float64) bool {
	lowX, lowY, highX, highY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, h := range holes {
		lowX, highX = math.Min(lowX, h[0]), math.Max(highX, h[0])
		lowY, highY = math.Min(lowY, h[1]), math.Max(highY, h[1])
	}
	return highY-lowY > highX-lowX
}

// near is how far the neighbor of a hole may stand, in nearest distances of the raft: wider than where two sheets meet.
const near = 1.9

// inside tells of each hole whether it has a neighbor on each of its four sides: else it stands at the rim, where
// plants have more light (guard rows: common practice).
func inside(holes [][2]float64) []bool {
	least := math.Inf(1)
	for i, a := range holes {
		for _, b := range holes[:i] {
			least = math.Min(least, math.Hypot(a[0]-b[0], a[1]-b[1]))
		}
	}
	out := make([]bool, len(holes))
	for i, a := range holes {
		var sides [4]bool
		for k, b := range holes {
			dx, dy := b[0]-a[0], b[1]-a[1]
			if k == i || math.Hypot(dx, dy) > near*least {
				continue
			}
			switch {
			case math.Abs(dx) > math.Abs(dy):
				sides[0], sides[1] = sides[0] || dx > 0, sides[1] || dx < 0
			default:
				sides[2], sides[3] = sides[2] || dy > 0, sides[3] || dy < 0
			}
		}
		out[i] = sides == [4]bool{true, true, true, true}
	}
	return out
}

// Beds is a trial over beds: in each block of two neighbors one gets the first treatment.
type Beds struct {
	Seed  uint64
	First []bool // by bed, in their order; neighbors 1 and 2 are a block, 3 and 4, and so on
	Plans *big.Int
}

// mostBeds is how many beds a trial may have.
const mostBeds = 200

// Over draws which of the two beds of each block gets the first treatment. Beds stand in their order, so that
// neighbors are alike.
func Over(beds int, seed uint64) (Beds, finding.Faults) {
	if beds < 4 || beds > mostBeds || beds%2 == 1 {
		return Beds{}, finding.Faults{{ID: FaultBeds, Args: finding.Args{"Beds": beds, "Most": mostBeds}}}
	}
	b := Beds{Seed: seed, Plans: new(big.Int).Exp(big.NewInt(2), big.NewInt(int64(beds/2)), nil)}
	draw := lot{seed}
	for range beds / 2 {
		b.First = append(b.First, draw.half(2)...)
	}
	return b, nil
}

// Trial is a trial as it is laid out and, later, weighed.
type Trial struct {
	Of           Subject
	First, Other string // the treatments, in the words of who asks
	Layout       *Layout
	Beds         *Beds
	Result       *Result
	Spread       float64 // standard deviation of heads of one treatment, g, as expected; 0: not told
}

// Expected is the difference in g that the trial as laid out can show four times in five, with the spread that is expected of
// heads; in beds, of the means of beds. ok is false where none is told or nothing is laid out.
func (t Trial) Expected() (g float64, ok bool) {
	switch {
	case t.Spread <= 0:
	case t.Layout != nil:
		return shows(t.Layout.Each, t.Spread), true
	case t.Beds != nil:
		n := float64(len(t.Beds.First) / 2)
		return Detectable(t.Spread*math.Sqrt(2/n), n-1, Power), true
	}
	return 0, false
}
