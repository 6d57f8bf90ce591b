package frame

import (
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
	s.say(src, symbol, name, nil, formula, value, unitName, inputs...)
}

// say adds a step whose phrase holds names or figures.
func (s *steps) say(src sourceID, symbol, name string, args finding.Args, formula string, value float64, unitName string, inputs ...finding.Input) {
	*s = append(*s, finding.Step{Symbol: symbol, Name: name, Args: args, Formula: formula, Inputs: inputs, Value: value, Unit: unitName, Source: src})
}

// kilo turns newtons into kilonewtons, and pascals into kilopascals.
const kilo = 1000

// mega turns pascals into megapascals: newtons on a square millimetre.
const mega = 1e6

func mm(l unit.Length) float64      { return l.Millimetres() }
func mpa(p unit.Pressure) float64   { return float64(p) / mega }
func perMM(w unit.LineLoad) float64 { return float64(w) / kilo } // N/mm, the same number as kN/m
func cube(x float64) float64        { return x * 1e9 }           // m3 to mm3
func square(x float64) float64      { return x * 1e6 }           // m2 to mm2
func fourth(x float64) float64      { return x * 1e12 }          // m4 to mm4

// Working gives the derivation of every figure of the bed, in the order in which
// it is computed, so that a reader can follow it by hand. Water is worked in m and
// kN, wood in mm, N and MPa: 1 kN/m is 1 N/mm, and 1 MPa is 1 N/mm2.
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
		s.add("fluid-statics", "T", "pull in the wall at the floor, full", "rho g h D/2", float64(b.Hoop)/kilo, "kN/m",
			in("rho g", waterWeight/kilo, "kN/m3"), in("h", float64(b.Brim), "m"), in("D", float64(b.Job.Vessel.Diameter), "m"))
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
	s.add("fluid-statics", "p", "load of the water on the floor", "rho g h", float64(b.Floor.Water)/kilo, "kPa",
		in("rho g", waterWeight/kilo, "kN/m3"), in("h", h, "m"))
	s.add("fluid-statics", "w", "push on a metre of wall, at h/3", "rho g h^2/2", float64(b.Thrust)/kilo, "kN/m",
		in("rho g", waterWeight/kilo, "kN/m3"), in("h", h, "m"))
	s.add(srcOwn, "H", "lowest wall top", "least of side and end", float64(b.Brim), "m")
}

// workRow derives the boards of a wall, at the water line and to the brim.
func (b Bed) workRow(s *steps, r Row) {
	name := r.Part.String()
	area, modulus, inertia := r.Section.flat()
	s.add("ps20", "b", name+" board, actual width of "+r.Size.String(), "PS 20", mm(r.Section.Wide), "mm")
	flat := []finding.Input{in("b", mm(r.Section.Wide), "mm"), in("t", mm(r.Section.Thick), "mm")}
	s.add("awc-da6", "A", name+" board lying flat, area", "b t", square(area), "mm2", flat...)
	s.add("awc-da6", "S", name+" board lying flat, section modulus", "b t^2/6", cube(modulus), "mm3", flat...)
	s.add("awc-da6", "I", name+" board lying flat, second moment of area", "b t^3/12", fourth(inertia), "mm4", flat...)
	s.add(srcOwn, "l", name+", spacing of holds", "L/(n + 1)", mm(r.Spacing), "mm",
		in("L", mm(r.Length), "mm"), in("n", float64(r.Holds), ""))
	if r.rated {
		b.workAllowed(s, r)
	}
	for i := range b.Boards {
		if b.Boards[i].Part == r.Part {
			b.workBoard(s, r, b.Boards[i], "at the water line")
			b.workBoard(s, r, b.BrimBoards[i], "to the brim")
		}
	}
	b.workScab(s, r)
	c := r.beam()
	if r.Holds > 0 {
		s.add("awc-da6", "R", name+", force on a hold", "c w l", float64(r.HoldForce), "N",
			in("c", c.inner, ""), in("w", perMM(b.Thrust), "N/mm"), in("l", mm(r.Spacing), "mm"))
		s.add("awc-da6", "R", name+", force on a hold, to the brim", "c w l", float64(r.HoldForceBrim), "N",
			in("c", c.inner, ""), in("w", perMM(Thrust(b.Brim)), "N/mm"), in("l", mm(r.Spacing), "mm"))
	}
	s.add("awc-da6", "R0", name+", pull at a corner", "c w l", float64(r.EndForce), "N",
		in("c", c.end, ""), in("w", perMM(b.Thrust), "N/mm"), in("l", mm(r.Spacing), "mm"))
	s.add("awc-da6", "R0", name+", pull at a corner, to the brim", "c w l", float64(r.EndForceBrim), "N",
		in("c", c.end, ""), in("w", perMM(Thrust(b.Brim)), "N/mm"), in("l", mm(r.Spacing), "mm"))
}

func (b Bed) workAllowed(s *steps, r Row) {
	name, f, v := r.Part.String(), r.grade.Factors(r.Size, b.Job.service(true)), r.grade.Values
	s.add(r.grade.Source, "Fb'", name+" board, bending allowed", "Fb CD CM CF Cfu Ci", mpa(r.allowed.Fb), "MPa",
		in("Fb", mpa(v.Fb), "MPa"), in("CD", f.CD, ""), in("CM", f.CMb, ""), in("CF", f.CF, ""), in("Cfu", f.Cfu, ""), in("Ci", f.Ci, ""))
	s.add(r.grade.Source, "Fv'", name+" board, shear allowed", "Fv CD CM Ci", mpa(r.allowed.Fv), "MPa",
		in("Fv", mpa(v.Fv), "MPa"), in("CD", f.CD, ""), in("CM", f.CMv, ""), in("Ci", f.Ci, ""))
	s.add(r.grade.Source, "E'", name+" board, stiffness", "E CM Ci", mpa(r.allowed.E), "MPa",
		in("E", mpa(v.E), "MPa"), in("CM", f.CME, ""), in("Ci", f.CiE, ""))
}

func (b Bed) workBoard(s *steps, r Row, d Board, when string) {
	area, modulus, inertia := r.Section.flat()
	c, q, l := r.beam(), perMM(d.Load), mm(d.Span)
	name := d.Name() + ", " + when + ": "
	from := float64(r.Section.Wide) * float64(d.Course)
	s.add("fluid-statics", "w", name+"push on this board", "rho g ((h - z0)^2 - (h - z1)^2)/2", q, "N/mm",
		in("rho g", waterWeight/kilo, "kN/m3"), in("h", float64(d.Depth), "m"), in("z0", from, "m"), in("z1", min(float64(d.Depth), from+float64(r.Section.Wide)), "m"))
	s.add("awc-da6", "fb", name+"bending stress", "c w l^2/S", mpa(d.Bending), "MPa",
		in("c", c.moment, ""), in("w", q, "N/mm"), in("l", l, "mm"), in("S", cube(modulus), "mm3"))
	s.add("awc-da6", "fv", name+"shear stress", "1.5 c w l/A", mpa(d.Shear), "MPa",
		in("c", c.shear, ""), in("w", q, "N/mm"), in("l", l, "mm"), in("A", square(area), "mm2"))
	if !d.Rated {
		return
	}
	s.add("awc-da6", "d", name+"bulge when filled", "c w l^4/(E' I)", mm(d.DeflectionShort), "mm",
		in("c", c.deflection, ""), in("w", q, "N/mm"), in("l", l, "mm"), in("E'", mpa(r.allowed.E), "MPa"), in("I", fourth(inertia), "mm4"))
	s.add("nds2018", "dL", name+"bulge of years", "Kcr d", mm(d.DeflectionLong), "mm",
		in("Kcr", wetCreep, ""), in("d", mm(d.DeflectionShort), "mm"))
	s.add(srcOwn, "u", name+"largest share of any limit", "greatest of fb/Fb', fv/Fv', dL/limit", float64(d.Use), "",
		in("fb/Fb'", float64(share(float64(d.Bending), float64(d.BendingAllow))), ""), in("fv/Fv'", float64(share(float64(d.Shear), float64(d.ShearAllow))), ""),
		in("dL/limit", float64(share(float64(d.DeflectionLong), float64(d.DeflectionLimit))), ""), in("limit", mm(d.DeflectionLimit), "mm"))
}

func (b Bed) workHold(s *steps, r Row, m HoldMake) {
	if r.Holds == 0 || m.Wood == (Size{}) {
		return
	}
	name := r.Part.String() + ", "
	if m.Kind == Stake {
		sec := b.Job.section(m.Wood)
		s.add("ibc1807", "d", name+"depth of a stake", "A/2 (1 + sqrt(1 + 4.36 h/A)), A = 2.34 P/(S1 b), S1 = s d/3", float64(m.Embed), "m",
			in("P", float64(m.Force)/kilo, "kN"), in("h", float64(m.Arm), "m"), in("s", b.Job.Soil.lateralBearing()/kilo, "kPa/m"),
			in("b", math.Hypot(float64(sec.Thick), float64(sec.Wide)), "m"))
		s.add(srcOwn, "M", name+"moment in a stake", "P (h + 2x/3), x = sqrt(2P/(s b))", float64(m.Moment)/kilo, "kN m",
			in("P", float64(m.Force)/kilo, "kN"), in("h", float64(m.Arm), "m"), in("s", b.Job.Soil.lateralBearing()/kilo, "kPa/m"),
			in("b", math.Hypot(float64(sec.Thick), float64(sec.Wide)), "m"))
		return
	}
	force := float64(m.Force) / float64(max(1, m.Uprights))
	sec := b.Job.section(m.Wood)
	half := float64(sec.Wide-2*unit.Inch) / 2
	moment := force * float64(m.Arm+m.Under+sec.Wide/2)
	s.add("nds2018", "F", name+"worst screw in the lap of a floor tie", "sqrt((P/n + M a/J)^2 + (M a/J)^2), M = P (h + z + b/2)", lapForce(force, moment, half, m.Screws), "N",
		in("P", force, "N"), in("n", float64(m.Screws), ""), in("h", mm(m.Arm), "mm"), in("z", mm(m.Under), "mm"), in("b", mm(sec.Wide), "mm"),
		in("a", half*1000, "mm"), in("J", square(8*half*half+float64(m.Screws-4)*half*half), "mm2"))
	s.add(srcOwn, "u", name+"largest share of a floor tie", "greatest of screw, bending, pull and bearing", float64(m.Use), "")
}

func (b Bed) workCorner(s *steps) {
	c := b.Corner
	if c.Block == (Size{}) {
		return
	}
	g, screw := min(b.Side.grade.Values.G, b.End.grade.Values.G), frameScrew()
	b.workScrew(s, g, screw)
	s.add("nds2018", "W'", "screw pulled from side grain", "2850 G^2 D x thread x CD CM, x 4.448 N a lb", float64(c.PerPull), "N",
		in("G", g, ""), in("D", screw.Diameter.Inches(), "in"), in("thread", min(screw.Thread, screw.Length-b.End.Section.Thick, b.Job.section(c.Block).Thick).Inches(), "in"), in("CD", PermanentLoad, ""), in("CM", wetScrew, ""))
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

// workScrew derives what a screw may carry across its length. Mode IV, two bends
// in the screw, governs between boards of the usual thickness.
func (b Bed) workScrew(s *steps, g float64, screw Screw) {
	c, fe := b.Corner, 16600*math.Pow(g, 1.84)*float64(unit.PoundPerSquareInch)/mega
	s.add("nds2018", "Fe", "bearing strength of the wood under a screw", "16600 G^1.84 psi", fe, "MPa", in("G", g, ""))
	formula, values := "least of the six yield modes of 12.3.1", []finding.Input{in("G", g, "")}
	four := screw.Root.Millimetres() * screw.Root.Millimetres() / 2.2 * math.Sqrt(fe*mpa(screw.Yield)/3)
	if z := float64(c.PerLateral) / PermanentLoad / wetScrew; math.Abs(z-four) < four/1e6 {
		formula, values = "Dr^2/Kd sqrt(Fe Fyb/3)", []finding.Input{in("Dr", mm(screw.Root), "mm"), in("Kd", 2.2, ""), in("Fe", fe, "MPa"), in("Fyb", mpa(screw.Yield), "MPa")}
	}
	wet := []finding.Input{in("CD", PermanentLoad, ""), in("CM", wetScrew, "")}
	s.add("nds2018", "Z'", "screw across side grain", formula+" x CD CM", float64(c.PerLateral), "N", append(values, wet...)...)
	s.add("nds2018", "Z'", "screw across end grain", formula+" x CD CM Ceg", float64(c.PerButt), "N", append(append(values, wet...), in("Ceg", endGrainLat, ""))...)
}

func (b Bed) workSlide(s *steps) {
	lv := b.Level
	if lv.Error == 0 {
		return
	}
	s.add("fluid-statics", "F", "push of the water downhill", "rho g B (h1^2 - h0^2)/2 = rho g B h D", float64(lv.Unbalanced), "N",
		in("rho g", waterWeight, "N/m3"), in("B", float64(b.Job.Vessel.Width), "m"), in("h", float64(lv.Greatest+lv.Least)/2, "m"), in("D", float64(lv.Greatest-lv.Least), "m"))
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
			s.say("fluid-statics", "h", "work.frame.rain_depth", finding.Args{"Rain": r.Fall}, "h + rain, to the rim at most", float64(r.Depth), "m",
				in("h", float64(b.Job.Depth), "m"), in("rain", float64(r.Fall), "m"))
			s.say("fluid-statics", "", "work.frame.rain_push", finding.Args{"Rain": r.Fall}, "(h/H)^2", float64(r.Share), "",
				in("h", float64(r.Depth), "m"), in("H", float64(b.Brim), "m"))
		}
	}
	n := b.Liner
	s.add("pond-liner-rule", "l", "liner length, flat", "L + 2 end wall + 2 turn", float64(n.Length), "m",
		in("L", b.linerLength(), "m"), in("end wall", b.linerWall(b.End.Height), "m"), in("turn", float64(n.Turn), "m"))
	s.add("pond-liner-rule", "b", "liner width, flat", "W + 2 side wall + 2 turn", float64(n.Width), "m",
		in("W", b.linerWidth(), "m"), in("side wall", b.linerWall(b.Side.Height), "m"), in("turn", float64(n.Turn), "m"))
	s.add(srcPractice, "t", "time to fill by hose", "V/Q", float64(b.HoseTime/unit.Minute), "min", in("V", b.Volume.Litres(), "L"), in("Q", b.Job.Hose.LitresPerMinute(), "L/min"))
	s.add(srcPractice, "n", "buckets to fill by hand", "V/bucket, rounded up", float64(b.Buckets), "", in("V", b.Volume.Litres(), "L"), in("bucket", b.Job.Bucket.Litres(), "L"))
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
