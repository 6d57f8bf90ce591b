package frame

import (
	"cmp"
	"slices"

	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/unit"
)

// BoardPrice is one board that can be bought: plain money, in one currency.
type BoardPrice struct {
	Size   Size
	Length unit.Length
	Price  float64
}

// Prices are what a search weighs designs by.
type Prices struct {
	Boards []BoardPrice
	Kerf   unit.Length // of the saw; 0: none
	Trim   unit.Length // off each board; 0: none
	Screw  float64     // each
	Tie    float64     // work and hardware of each floor tie, beyond wood and screws
	Stake  float64     // work of driving each stake, beyond the wood
}

// Of gives what the wood and screws of a bed cost, and whether every piece can
// be cut from a priced board. A piece costs its share of the cheapest board: the
// price over the pieces of its length that the board gives. Mixing pieces of
// different lengths on one board can only be cheaper.
func (p Prices) Of(b Bed) (float64, bool) {
	sum := 0.0
	for _, piece := range b.Pieces {
		one, ok := p.piece(piece)
		if !ok {
			return 0, false
		}
		sum += one * float64(piece.Count)
	}
	for _, f := range b.Fasteners {
		sum += p.Screw * float64(f.Count)
	}
	for _, m := range []struct {
		hold  HoldMake
		holds int
	}{{b.SideHold, b.Side.Holds}, {b.EndHold, b.End.Holds}} {
		if m.hold.Kind == Stake {
			sum += p.Stake * float64(2*m.holds)
		} else {
			sum += p.Tie * float64(m.holds)
		}
	}
	return sum, true
}

func (p Prices) piece(piece Piece) (best float64, ok bool) {
	for _, b := range p.Boards {
		if b.Size != piece.Size {
			continue
		}
		n := int(float64((b.Length-p.Trim+p.Kerf)/(piece.Length+p.Kerf)) + 1e-9)
		if n < 1 {
			continue
		}
		if each := b.Price / float64(n); !ok || each < best {
			best, ok = each, true
		}
	}
	return best, ok
}

// longest gives the longest priced board of a size; 0 when none is priced.
func (p Prices) longest(s Size) (l unit.Length) {
	for _, b := range p.Boards {
		if b.Size == s {
			l = max(l, b.Length-p.Trim)
		}
	}
	return l
}

// least keeps a length within the longest priced board of a size, if any is priced.
func (p Prices) least(l unit.Length, s Size) unit.Length {
	if most := p.longest(s); most > 0 && (l == 0 || l > most) {
		return most
	}
	return l
}

// Option is one design that holds, with its cost.
type Option struct {
	Job   Job
	Holds int // on each side
	Cost  float64
}

// Search designs the frame anew: over boards, courses, end boards and kinds of
// hold it finds the cheapest bed that stands without a caution on boards, holds
// or corners and keeps an inch of wall over the water at the low end. It gives
// that one and the two runners-up, cheapest first; none when nothing holds. The
// job's boards, courses and holds are ignored; HoldBy is kept when given.
// With faults nothing can be computed.
func Search(j Job, l Yard, p Prices) ([]Option, finding.Faults) {
	j.SideBoard, j.EndBoard, j.Courses, j.Holds, j.PlainCorner = Size{2, 8}, Size{2, 8}, 1, AutoHolds(), false
	if f := j.faults(l); f != nil {
		return nil, f
	}
	if j.Vessel.Shape != FrameShape {
		return nil, nil
	}
	t := &tried{lumber: l, prices: p}
	for _, c := range candidates(j) {
		c.Liner.Thickness = 0 // the same for all: left to the end
		c.Longest = p.least(c.Longest, c.SideBoard)
		c.LongestElse = p.least(p.least(c.LongestElse, c.EndBoard), twoByFour)
		least, ok := t.try(c)
		for more := 1; ok && more <= spareHolds; more++ {
			c.Holds = HoldsASide(least + more)
			t.try(c)
		}
	}
	for i := range t.found {
		o := &t.found[i]
		o.Job.Liner = j.Liner   // which takes battens
		b, _ := walls(o.Job, l) // worked out above without a fault
		o.Cost, _ = p.Of(b)
	}
	return t.found, nil
}

// spareHolds is how many holds more than the least are tried: another spacing
// may splice a long side from boards that cost less.
const spareHolds = 2

// tried keeps the three cheapest designs that hold.
type tried struct {
	lumber Yard
	prices Prices
	found  []Option
}

// try computes one candidate and gives the holds of its sides, and whether it
// can stand at all.
func (t *tried) try(c Job) (holds int, ok bool) {
	b, err := walls(c, t.lumber) // the rest decides nothing here
	if err != nil || b.Brim < b.Job.Depth+b.Job.LevelError/2+unit.Inch {
		return 0, false
	}
	cost, ok := t.prices.Of(b)
	if !ok || len(t.found) == 3 && cost >= t.found[2].Cost || !b.strong() {
		return b.Side.Holds, true
	}
	same := func(o Option) bool {
		return o.Job.SideBoard == c.SideBoard && o.Job.EndBoard == c.EndBoard && o.Job.Courses == c.Courses && o.Job.HoldBy == c.HoldBy
	}
	if i := slices.IndexFunc(t.found, same); i >= 0 { // the same frame with other holds: keep the cheaper
		if t.found[i].Cost <= cost {
			return b.Side.Holds, true
		}
		t.found = slices.Delete(t.found, i, i+1)
	}
	t.found = append(t.found, Option{Job: c, Holds: b.Side.Holds, Cost: cost})
	inorder.Put(t.found, func(a, b Option) int { return cmp.Compare(a.Cost, b.Cost) })
	t.found = t.found[:min(3, len(t.found))]
	return b.Side.Holds, true
}

// candidates lists the frames worth trying: every usual 2 in board in as many
// courses as reach the height, ends alike or one size wider, held by a floor tie
// or, on the ground, by stakes.
func candidates(j Job) []Job {
	kinds := []HoldKind{j.HoldBy}
	if j.HoldBy == AnyHold {
		kinds = []HoldKind{FloorTie}
		if (j.Support == Ground || j.Support == UnknownSupport) && j.Soil != SoftSoil {
			kinds = append(kinds, Stake)
		}
	}
	sizes := BoardSizes()[:5]
	need := j.Depth + j.LevelError/2 + unit.Inch
	var out []Job
	for i, side := range sizes {
		wide := j.section(side).Wide
		courses := 1
		for courses < 3 && wide*unit.Length(courses) < need {
			courses++
		}
		for _, end := range sizes[i:min(i+2, len(sizes))] {
			for _, k := range kinds {
				c := j
				c.SideBoard, c.EndBoard, c.Courses, c.HoldBy = side, end, courses, k
				out = append(out, c)
			}
		}
	}
	return out
}
