package frame

import (
	"fmt"
	"math"

	"raftwright/finding"
	"raftwright/unit"
)

// steps gathers the working.
type steps []finding.Step

func in(symbol string, value float64, unitName string) finding.Input {
	return finding.Input{Symbol: symbol, Value: value, Unit: unitName}
}

func (s *steps) add(src sourceID, symbol, name, formula string, value float64, unitName string, inputs ...finding.Input) {
	*s = append(*s, finding.Step{Symbol: symbol, Name: name, Formula: formula, Inputs: inputs, Value: value, Unit: unitName, Source: src})
}

// Working gives the derivation of every figure of the bed, in the order in which
// it is computed, in SI, so that a reader can follow it by hand.
func (b Bed) Working() []finding.Step {
	var s steps
	b.workWater(&s)
	if b.Job.Vessel.Shape == FrameShape {
		for _, r := range []Row{b.Side, b.End} {
			b.workRow(&s, r)
		}
		b.workHold(&s, b.Side, b.SideHold)
		b.workHold(&s, b.End, b.EndHold)
		b.workCorner(&s)
		b.workSlide(&s)
	} else if b.Hoop > 0 {
		s.add("fluid-statics", "T", "pull in the wall at the floor, full", "rho g h D/2", float64(b.Hoop), "N/m",
			in("rho g", waterWeight, "N/m3"), in("h", float64(b.Brim), "m"), in("D", float64(b.Job.Vessel.Diameter), "m"))
	}
	b.workSite(&s)
	return s
}

func (b Bed) workWater(s *steps) {
	j, h := b.Job, float64(b.Job.Depth)
	a0, b0, ka, kb, share := j.Vessel.slopes()
	a1, b1 := a0+ka*h, b0+kb*h
	s.add("fluid-statics", "A", "water surface", "k a b", float64(b.Surface), "m2",
		in("k", share, ""), in("a", a1, "m"), in("b", b1, "m"))
	s.add("fluid-statics", "V", "water in the bed", "k h (2 a b + 2 a0 b0 + a b0 + a0 b)/6", float64(b.Volume), "m3",
		in("k", share, ""), in("h", h, "m"), in("a", a1, "m"), in("b", b1, "m"), in("a0", a0, "m"), in("b0", b0, "m"))
	s.add("fluid-statics", "m", "mass of the water", "rho V", float64(b.Mass), "kg",
		in("rho", float64(WaterDensity), "kg/m3"), in("V", float64(b.Volume), "m3"))
	s.add("fluid-statics", "p", "load of the water on the floor", "rho g h", float64(b.Floor.Water), "Pa",
		in("rho g", waterWeight, "N/m3"), in("h", h, "m"))
	s.add("fluid-statics", "w", "push on a metre of wall, at h/3", "rho g h^2/2", float64(b.Thrust), "N/m",
		in("rho g", waterWeight, "N/m3"), in("h", h, "m"))
	s.add(srcOwn, "H", "lowest wall top", "least of side and end", float64(b.Brim), "m")
}

// workRow derives the boards of a wall, at the water line and to the brim.
func (b Bed) workRow(s *steps, r Row) {
	name := r.Part.String()
	area, modulus, inertia := r.Section.flat()
	s.add("ps20", "b", name+" board, actual width of "+r.Size.String(), "PS 20", float64(r.Section.Wide), "m")
	s.add("awc-da6", "A, S, I", name+" board lying flat, section modulus", "b t^2/6", modulus, "m3",
		in("b", float64(r.Section.Wide), "m"), in("t", float64(r.Section.Thick), "m"), in("A", area, "m2"), in("I", inertia, "m4"))
	s.add(srcOwn, "l", name+", spacing of holds", "L/(n + 1)", float64(r.Spacing), "m",
		in("L", float64(r.Length), "m"), in("n", float64(r.Holds), ""))
	if r.rated {
		b.workAllowed(s, r)
	}
	for i := range b.Boards {
		if b.Boards[i].Part == r.Part {
			b.workBoard(s, r, b.Boards[i], "at the water line")
			b.workBoard(s, r, b.BrimBoards[i], "to the brim")
		}
	}
	c := r.beam()
	if r.Holds > 0 {
		s.add("awc-da6", "R", name+", force on a hold", "c w l", float64(r.HoldForce), "N",
			in("c", c.inner, ""), in("w", float64(b.Thrust), "N/m"), in("l", float64(r.Spacing), "m"))
		s.add("awc-da6", "R", name+", force on a hold, to the brim", "c w l", float64(r.HoldForceBrim), "N",
			in("c", c.inner, ""), in("w", float64(Thrust(b.Brim)), "N/m"), in("l", float64(r.Spacing), "m"))
	}
	s.add("awc-da6", "R0", name+", pull at a corner", "c w l", float64(r.EndForce), "N",
		in("c", c.end, ""), in("w", float64(b.Thrust), "N/m"), in("l", float64(r.Spacing), "m"))
	s.add("awc-da6", "R0", name+", pull at a corner, to the brim", "c w l", float64(r.EndForceBrim), "N",
		in("c", c.end, ""), in("w", float64(Thrust(b.Brim)), "N/m"), in("l", float64(r.Spacing), "m"))
}

func (b Bed) workAllowed(s *steps, r Row) {
	name, f, v := r.Part.String(), r.grade.Factors(r.Size, b.Job.service(true)), r.grade.Values
	s.add(r.grade.Source, "Fb'", name+" board, bending allowed", "Fb CD CM CF Cfu Ci", float64(r.allowed.Fb), "Pa",
		in("Fb", float64(v.Fb), "Pa"), in("CD", f.CD, ""), in("CM", f.CMb, ""), in("CF", f.CF, ""), in("Cfu", f.Cfu, ""), in("Ci", f.Ci, ""))
	s.add(r.grade.Source, "Fv'", name+" board, shear allowed", "Fv CD CM Ci", float64(r.allowed.Fv), "Pa",
		in("Fv", float64(v.Fv), "Pa"), in("CD", f.CD, ""), in("CM", f.CMv, ""), in("Ci", f.Ci, ""))
	s.add(r.grade.Source, "E'", name+" board, stiffness", "E CM Ci", float64(r.allowed.E), "Pa",
		in("E", float64(v.E), "Pa"), in("CM", f.CME, ""), in("Ci", f.CiE, ""))
}

func (b Bed) workBoard(s *steps, r Row, d Board, when string) {
	area, modulus, inertia := r.Section.flat()
	c, q, l := r.beam(), float64(d.Load), float64(d.Span)
	name := d.Name() + ", " + when + ": "
	from := float64(r.Section.Wide) * float64(d.Course)
	s.add("fluid-statics", "w", name+"push on this board", "rho g ((h - z0)^2 - (h - z1)^2)/2", q, "N/m",
		in("rho g", waterWeight, "N/m3"), in("h", float64(d.Depth), "m"), in("z0", from, "m"), in("z1", min(float64(d.Depth), from+float64(r.Section.Wide)), "m"))
	s.add("awc-da6", "fb", name+"bending stress", "c w l^2/S", float64(d.Bending), "Pa",
		in("c", c.moment, ""), in("w", q, "N/m"), in("l", l, "m"), in("S", modulus, "m3"))
	s.add("awc-da6", "fv", name+"shear stress", "1.5 c w l/A", float64(d.Shear), "Pa",
		in("c", c.shear, ""), in("w", q, "N/m"), in("l", l, "m"), in("A", area, "m2"))
	if !d.Rated {
		return
	}
	s.add("awc-da6", "d", name+"bulge when filled", "c w l^4/(E' I)", float64(d.DeflectionShort), "m",
		in("c", c.deflection, ""), in("w", q, "N/m"), in("l", l, "m"), in("E'", float64(r.allowed.E), "Pa"), in("I", inertia, "m4"))
	s.add("nds2018", "dL", name+"bulge of years", "Kcr d", float64(d.DeflectionLong), "m",
		in("Kcr", wetCreep, ""), in("d", float64(d.DeflectionShort), "m"))
	s.add(srcOwn, "u", name+"largest share of any limit", "greatest of fb/Fb', fv/Fv', dL/limit", float64(d.Use), "",
		in("fb/Fb'", float64(share(float64(d.Bending), float64(d.BendingAllow))), ""), in("fv/Fv'", float64(share(float64(d.Shear), float64(d.ShearAllow))), ""),
		in("dL/limit", float64(share(float64(d.DeflectionLong), float64(d.DeflectionLimit))), ""), in("limit", float64(d.DeflectionLimit), "m"))
}

func (b Bed) workHold(s *steps, r Row, m HoldMake) {
	if r.Holds == 0 || m.Wood == (Size{}) {
		return
	}
	name := r.Part.String() + ", "
	if m.Kind == Stake {
		sec := b.Job.section(m.Wood)
		s.add("ibc1807", "d", name+"depth of a stake", "A/2 (1 + sqrt(1 + 4.36 h/A)), A = 2.34 P/(S1 b), S1 = s d/3", float64(m.Embed), "m",
			in("P", float64(m.Force), "N"), in("h", float64(m.Arm), "m"), in("s", b.Job.Soil.lateralBearing(), "Pa/m"),
			in("b", math.Hypot(float64(sec.Thick), float64(sec.Wide)), "m"))
		s.add(srcOwn, "M", name+"moment in a stake", "P (h + 2x/3), x = sqrt(2P/(s b))", float64(m.Moment), "N m",
			in("P", float64(m.Force), "N"), in("h", float64(m.Arm), "m"))
		return
	}
	force := float64(m.Force) / float64(max(1, m.Uprights))
	sec := b.Job.section(m.Wood)
	half := float64(sec.Wide-2*unit.Inch) / 2
	moment := force * float64(m.Arm+sec.Wide/2)
	s.add("nds2018", "F", name+"worst screw in the lap of a floor tie", "sqrt((P/n + M a/J)^2 + (M a/J)^2), M = P (h + b/2)", lapForce(force, moment, half, m.Screws), "N",
		in("P", force, "N"), in("n", float64(m.Screws), ""), in("h", float64(m.Arm), "m"), in("b", float64(sec.Wide), "m"),
		in("a", half, "m"), in("J", 8*half*half+float64(m.Screws-4)*half*half, "m2"))
	s.add(srcOwn, "u", name+"largest share of a floor tie", "worst screw over its allowed load", float64(m.Use), "")
}

func (b Bed) workCorner(s *steps) {
	c := b.Corner
	if c.Block == (Size{}) {
		return
	}
	g, screw := min(b.Side.grade.Values.G, b.End.grade.Values.G), frameScrew()
	s.add("nds2018", "Z'", "screw across end grain", "least yield mode of 12.3.1 x CD CM Ceg", float64(c.PerButt), "N",
		in("G", g, ""), in("Dr", float64(screw.Root), "m"), in("Fyb", float64(screw.Yield), "Pa"), in("CD", PermanentLoad, ""), in("CM", wetScrew, ""), in("Ceg", endGrainLat, ""))
	s.add("nds2018", "Z'", "screw across side grain", "least yield mode of 12.3.1 x CD CM", float64(c.PerLateral), "N",
		in("G", g, ""), in("CD", PermanentLoad, ""), in("CM", wetScrew, ""))
	s.add("nds2018", "W'", "screw pulled from side grain", "2850 G^2 D lb/in x thread x CD CM", float64(c.PerPull), "N",
		in("G", g, ""), in("D", screw.Diameter.Inches(), "in"), in("CD", PermanentLoad, ""), in("CM", wetScrew, ""))
	for _, x := range []struct {
		name       string
		count      int
		force, per unit.Force
	}{{"through the end into the side", c.Butt, c.SidePull, c.PerButt}, {"through the end into the block", c.BlockToEnd, c.EndPull, c.PerPull},
		{"through the side into the block", c.BlockToSide, c.EndPull, c.PerLateral}} {
		s.add(srcPractice, "n", "screws "+x.name, "P/F' rounded up, one spare, at least 3 (4 in boards from 10 in)", float64(x.count), "",
			in("P", float64(x.force), "N"), in("F'", float64(x.per), "N"))
	}
}

func (b Bed) workSlide(s *steps) {
	lv := b.Level
	if lv.Error == 0 {
		return
	}
	s.add("fluid-statics", "F", "push of the water downhill", "rho g B (h1^2 - h0^2)/2", float64(lv.Unbalanced), "N",
		in("rho g", waterWeight, "N/m3"), in("B", float64(b.Job.Vessel.Width), "m"), in("h1", float64(lv.Greatest), "m"), in("h0", float64(lv.Least), "m"))
	s.add("ibc1806", "u", "share of the friction under the boards", "F/(f m g)", float64(lv.SlideUse), "",
		in("F", float64(lv.Unbalanced), "N"), in("f", friction, ""), in("m", float64(b.FrameMass), "kg"), in("g", unit.Gravity, "m/s2"))
}

func (b Bed) workSite(s *steps) {
	lv := b.Level
	s.add("fluid-statics", "h1", "greatest depth", "h + D/2", float64(lv.Greatest), "m", in("h", float64(b.Job.Depth), "m"), in("D", float64(lv.Error), "m"))
	s.add("fluid-statics", "h0", "least depth", "h - D/2", float64(lv.Least), "m", in("h", float64(b.Job.Depth), "m"), in("D", float64(lv.Error), "m"))
	s.add(srcOwn, "q", "load on what carries the bed, full to the brim", "m g/A + extra", float64(b.Floor.Full), "Pa",
		in("m", float64(WaterDensity.Of(b.BrimVolume)), "kg"), in("g", unit.Gravity, "m/s2"), in("A", float64(b.Job.Vessel.BaseArea()), "m2"), in("extra", float64(b.Floor.Extra), "Pa"))
	if b.Notch.Possible {
		s.add(srcOwn, "z", "bottom of the overflow", "h + the lesser of 1/2 in and half the room", float64(b.Notch.Sill), "m", in("h", float64(b.Job.Depth), "m"), in("H", float64(b.Brim), "m"))
	}
	for _, r := range b.Rain {
		if r.Fall > 0 {
			s.add("fluid-statics", "h", fmt.Sprintf("depth after %.0f in of rain", r.Fall.Inches()), "h + rain, to the rim at most", float64(r.Depth), "m",
				in("h", float64(b.Job.Depth), "m"), in("rain", float64(r.Fall), "m"))
		}
	}
	n := b.Liner
	s.add("pond-liner-rule", "", "liner length, flat", "L + 2 end wall + 2 turn", float64(n.Length), "m",
		in("L", b.linerLength(), "m"), in("end wall", b.linerWall(b.End.Height), "m"), in("turn", float64(n.Turn), "m"))
	s.add("pond-liner-rule", "", "liner width, flat", "W + 2 side wall + 2 turn", float64(n.Width), "m",
		in("W", b.linerWidth(), "m"), in("side wall", b.linerWall(b.Side.Height), "m"), in("turn", float64(n.Turn), "m"))
	s.add(srcPractice, "t", "time to fill by hose", "V/Q", float64(b.HoseTime), "s", in("V", float64(b.Volume), "m3"), in("Q", float64(b.Job.Hose), "m3/s"))
}

func (b Bed) linerLength() float64 { a0, _, _, _, _ := b.Job.Vessel.slopes(); return a0 }
func (b Bed) linerWidth() float64  { _, b0, _, _, _ := b.Job.Vessel.slopes(); return b0 }

// linerWall gives the wall that the liner climbs: a board wall, or that of a tub.
func (b Bed) linerWall(row unit.Length) float64 {
	if b.Job.Vessel.Shape == FrameShape {
		return float64(row)
	}
	return float64(b.Brim)
}
