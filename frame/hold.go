package frame

import (
	"math"

	"raftwright/unit"
)

// mostHolds bounds the holds of a wall: a hold every 2 in of a 40 ft side.
const mostHolds = 240

// Spacing of holds. Four feet is the rule of thumb, five the limit; a wall of
// stacked boards wants four, with an inch for the raft's play.
const (
	mostSpacing      = 5 * unit.Foot
	mostSpacingStack = 4*unit.Foot + unit.Inch
	leastSpacing     = 6 * unit.Inch
)

// spacingLimit gives the spacing that holds must stay below.
func spacingLimit(courses int) unit.Length {
	if courses > 1 {
		return mostSpacingStack
	}
	return mostSpacing
}

// tooWide tells whether a spacing is over its limit. A spacing that lands on
// five feet counts as over: the tape's error is on either side.
func tooWide(spacing unit.Length, courses int) bool {
	return spacing > spacingLimit(courses)-unit.Inch/64
}

// HoldMake is what one hold is made of and how far it is used, to the brim.
type HoldMake struct {
	Kind     HoldKind
	Force    unit.Force  // to the brim
	Arm      unit.Length // of the force above the floor
	Possible bool
	Use      unit.Fraction // the largest share of any limit
	Governs  HoldLimit

	// Floor tie: a 2x on edge under the liner from side to side, an upright or
	// two lapped on each of its ends and standing against the boards.
	Wood     Size
	Uprights int         // at each end of the tie
	Screws   int         // in each lap
	Under    unit.Length // floor to the top of a tie that passes below those of the other walls

	// Stake: driven outside the board.
	Embed       unit.Length // IBC 1807.3.2.1
	StakeLength unit.Length
	Moment      unit.Moment // the most in the stake, below the ground
	Soil        float64     // lateral bearing of the ground, Pa for each metre of depth
}

// HoldLimit names what limits a hold.
type HoldLimit int

// Limits of a hold.
const (
	HoldByScrews HoldLimit = iota
	HoldByBending
	HoldByTension
	HoldByBearing // the board's face on the hold's edge
	HoldByDepth   // a stake would have to go deeper than anybody drives it
)

// holdOf makes one hold for a row: the first of a few makes that passes, or the
// strongest with Possible false.
func holdOf(j Job, l Yard, r Row, brim unit.Length) HoldMake {
	if r.Holds == 0 || !r.rated {
		return HoldMake{Kind: j.HoldBy, Possible: r.Holds == 0, Force: r.HoldForceBrim, Arm: brim / 3}
	}
	if j.HoldBy == Stake {
		return stakeOf(j, l, r, brim)
	}
	var best HoldMake
	for _, try := range []struct {
		wood     Size
		uprights int
	}{{Size{2, 4}, 1}, {Size{2, 4}, 2}, {Size{2, 6}, 1}, {Size{2, 6}, 2}, {Size{2, 8}, 2}} {
		m := tieOf(j, l, r, brim, try.wood, try.uprights)
		if m.Use <= nearLimit {
			return m
		}
		if !best.Possible {
			best = m
		}
	}
	return best
}

// lapScrews lists the patterns of a square lap: screws at the corners, then at
// mid of the edges.
var lapScrews = [...]int{4, 6, 8}

// tieOf checks one make of a floor tie: the lap carries the force and its moment
// about the middle of the tie; upright in bending; tie in tension.
func tieOf(j Job, l Yard, r Row, brim unit.Length, wood Size, uprights int) HoldMake {
	m := HoldMake{Kind: FloorTie, Force: r.HoldForceBrim, Arm: brim / 3, Under: r.under, Wood: wood, Uprights: uprights}
	g, ok := l.Grade(j.Species, wood)
	if !ok {
		return m
	}
	sec := j.section(wood)
	allowed := g.Allowed(wood, j.service(false))
	force := float64(m.Force) / float64(uprights)
	moment := force * float64(m.Arm+r.under+sec.Wide/2)
	half := float64(sec.Wide-2*unit.Inch) / 2 // screws an inch from the edges
	per := float64(screwingOf(r.screw.through(sec.Thick, sec.Thick), g.Values.G, sec.Thick).lateral)
	for _, n := range lapScrews {
		m.Screws = n
		if m.Use = share(lapForce(force, moment, half, n), per); m.Use <= nearLimit {
			break
		}
	}
	area, _, _ := sec.flat()
	for i, u := range []unit.Fraction{m.Use, share(force*float64(m.Arm+r.under)/sec.edge(), float64(allowed.Fb)),
		share(float64(m.Force)/area, float64(allowed.Ft)), bearingUse(r, m, brim)} {
		if u > m.Use {
			m.Use, m.Governs = u, HoldLimit(i)
		}
	}
	m.Possible = m.Use <= 1
	return m
}

// bearingUse gives the share of the board's bearing across the grain on the
// edges of a hold's uprights or stake (NDS 2018 3.10.2).
func bearingUse(r Row, m HoldMake, brim unit.Length) unit.Fraction {
	edge, _ := m.Wood.Dry()
	area := edge.Thick.By(min(brim, r.Height))
	return share(float64(m.Force), float64(r.allowed.FcPerp)*float64(area)*float64(max(1, m.Uprights)))
}

// lapForce gives the force on the worst screw of a square lap: n screws on the
// edge of a square of half side a, under a force and a moment (elastic method).
func lapForce(force, moment, a float64, n int) float64 {
	polar := 4*2*a*a + float64(n-4)*a*a
	x := moment * a / polar
	return math.Hypot(force/float64(n)+x, x)
}

// deepestStake is the most that anybody drives a stake by hand.
const deepestStake = 4 * unit.Foot

// StakeDepth gives how deep a post must stand in soil to take a force at a
// height above the ground, not held at the ground: IBC 1807.3.2.1, d = A/2 (1 +
// sqrt(1 + 4.36 h/A)), A = 2.34 P/(S1 b), S1 the lateral bearing at d/3, b the
// diagonal of the post. factor is 1, or 2 where half an inch of movement is
// tolerated (1806.3.4). ok is false for soil without credit.
func (n Bears) StakeDepth(force unit.Force, height, diagonal unit.Length, factor float64) (d unit.Length, ok bool) {
	k := n.Lateral * factor
	if k <= 0 || !(diagonal > 0) || force < 0 {
		return 0, false
	}
	// With A = c/d the equation is the cubic d3 - c d - 1.09 h c = 0; Newton from
	// above its one positive root, where it is convex.
	c, h := 3*2.34*float64(force)/(k*float64(diagonal)), float64(height)
	x := math.Sqrt(c) + 1.09*h
	for range 20 {
		next := x - (x*x*x-c*x-1.09*h*c)/(3*x*x-c)
		if !(next < x) {
			break
		}
		x = next
	}
	return unit.Length(x), true
}

// stakeOf sizes a stake: a 2x4 with its narrow edge to the board, else a 4x4.
func stakeOf(j Job, l Yard, r Row, brim unit.Length) HoldMake {
	var m HoldMake
	soil := l.Of(j.Soil)
	for _, wood := range []Size{twoByFour, fourByFour} {
		m = HoldMake{Kind: Stake, Force: r.HoldForceBrim, Arm: brim / 3, Wood: wood, Soil: soil.Lateral, Screws: 2 * j.Courses, Use: MostUse, Governs: HoldByDepth}
		g, ok := l.Grade(j.Species, wood)
		sec := j.section(wood)
		diagonal := unit.Length(math.Hypot(float64(sec.Thick), float64(sec.Wide)))
		d, firm := soil.StakeDepth(m.Force, m.Arm, diagonal, 1)
		if !ok || !firm {
			m.Wood = Size{} // nothing to cut: a stop says so
			continue
		}
		m.Embed = d
		m.StakeLength = (m.Embed + r.Height).ToMark(1, unit.Up)
		m.Moment = soil.stakeMoment(m.Force, m.Arm, diagonal)
		allowed := g.Allowed(wood, j.service(false))
		m.Use = share(float64(m.Embed), float64(deepestStake))
		if u := share(float64(m.Moment)/sec.edge(), float64(allowed.Fb)); u > m.Use {
			m.Use, m.Governs = u, HoldByBending
		}
		if u := bearingUse(r, m, brim); u > m.Use {
			m.Use, m.Governs = u, HoldByBearing
		}
		if m.Possible = m.Use <= 1; m.Possible {
			break
		}
	}
	return m
}

// stakeMoment gives the most in a stake whose soil resists in proportion to
// depth, where the shear is nil: x = sqrt(2P/(k b)), M = P (h + 2x/3).
func (n Bears) stakeMoment(force unit.Force, height, diagonal unit.Length) unit.Moment {
	x := math.Sqrt(2 * float64(force) / (n.Lateral * float64(diagonal)))
	return unit.Moment(float64(force) * (float64(height) + 2*x/3))
}

// passes tells whether a wall holds without a caution: strength and hold to the
// brim, bulge at the water line, spacing, and boards that exist.
func (r Row) passes(j Job, l Yard, brim unit.Length) bool {
	if r.Segments == nil || tooWide(r.Spacing, j.Courses) {
		return false
	}
	if !r.rated {
		return true
	}
	for c := range j.Courses {
		if r.board(j, c, brim).StrengthUse() > nearLimit {
			return false
		}
		if b := r.board(j, c, j.Depth); b.DeflectionLong > b.DeflectionLimit {
			return false
		}
	}
	return holdOf(j, l, r, brim).Possible
}

// chooseHolds gives the row with the holds of the job, or with the least number
// that passes. When none passes it is the closest spacing tried; the findings
// say what fails.
func (r Row) chooseHolds(j Job, l Yard, brim unit.Length) Row {
	switch {
	case j.Holds.mode == 1:
		return r.held(j, 0, brim)
	case j.Holds.mode == 2 && r.Part == Side:
		return r.held(j, j.Holds.count, brim)
	}
	first := int(float64(r.Length / spacingLimit(j.Courses)))
	last := max(first, min(mostHolds, int(float64(r.Length/leastSpacing))-1))
	for n := max(0, first-1); n <= last; n++ {
		if h := r.held(j, n, brim); h.passes(j, l, brim) {
			return h
		}
	}
	return r.held(j, min(mostHolds, first+1), brim)
}
