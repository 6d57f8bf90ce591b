package frame

import (
	"math"

	"raftwright/finding"
	"raftwright/unit"
)

// steps gathers the working. What its phrases name, a wall or a board, is set before
// the steps that are about it.
type steps struct {
	list  []finding.Step
	about finding.Args
}

func in(symbol string, value float64, unitName string) finding.Input {
	return finding.Input{Symbol: symbol, Value: value, Unit: unitName}
}

func (s *steps) add(src sourceID, symbol, name, formula string, value float64, unitName string, inputs ...finding.Input) {
	s.list = append(s.list, finding.Step{Symbol: symbol, Name: name, Args: s.about, Formula: formula, Inputs: inputs, Value: value, Unit: unitName, Source: src})
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
		s.add("fluid-statics", "T", "work.frame.hoop", "rho g h D/2", float64(b.Hoop)/kilo, "kN/m",
			in("rho g", waterWeight/kilo, "kN/m3"), in("h", float64(b.Brim), "m"), in("D", float64(b.Job.Vessel.Diameter), "m"))
	}
	b.workSite(&s)
	return s.list
}

func (b Bed) workWater(s *steps) {
	j, h := b.Job, float64(b.Job.Depth)
	a0, b0, ka, kb, share := j.Vessel.slopes()
	a1, b1 := a0+ka*h, b0+kb*h
	s.add("fluid-statics", "A", "work.frame.surface", "k a b", float64(b.Surface), "m2",
		in("k", share, ""), in("a", a1, "m"), in("b", b1, "m"))
	s.add("fluid-statics", "V", "work.frame.volume", "k h (2 a b + 2 a0 b0 + a b0 + a0 b)/6", float64(b.Volume), "m3",
		in("k", share, ""), in("h", h, "m"), in("a", a1, "m"), in("b", b1, "m"), in("a0", a0, "m"), in("b0", b0, "m"))
	s.add("fluid-statics", "m", "work.frame.mass", "rho V", float64(b.Mass), "kg",
		in("rho", float64(WaterDensity), "kg/m3"), in("V", float64(b.Volume), "m3"))
	s.add("fluid-statics", "p", "work.frame.floor", "rho g h", float64(b.Floor.Water)/kilo, "kPa",
		in("rho g", waterWeight/kilo, "kN/m3"), in("h", h, "m"))
	s.add("fluid-statics", "w", "work.frame.thrust", "rho g h^2/2", float64(b.Thrust)/kilo, "kN/m",
		in("rho g", waterWeight/kilo, "kN/m3"), in("h", h, "m"))
	s.add(srcOwn, "H", "work.frame.brim", "work.frame.brim_how", float64(b.Brim), "m")
}

// workRow derives the boards of a wall, at the water line and to the brim.
func (b Bed) workRow(s *steps, r Row) {
	s.about = finding.Args{"Wall": finding.Word("word.wall_" + r.Part.String()), "Size": r.Size.String()}
	area, modulus, inertia := r.Section.flat()
	s.add("ps20", "b", "work.frame.width", "PS 20", mm(r.Section.Wide), "mm")
	flat := []finding.Input{in("b", mm(r.Section.Wide), "mm"), in("t", mm(r.Section.Thick), "mm")}
	s.add("awc-da6", "A", "work.frame.area", "b t", square(area), "mm2", flat...)
	s.add("awc-da6", "S", "work.frame.modulus", "b t^2/6", cube(modulus), "mm3", flat...)
	s.add("awc-da6", "I", "work.frame.inertia", "b t^3/12", fourth(inertia), "mm4", flat...)
	s.add(srcOwn, "l", "work.frame.spacing", "L/(n + 1)", mm(r.Spacing), "mm",
		in("L", mm(r.Length), "mm"), in("n", float64(r.Holds), ""))
	if r.rated {
		b.workAllowed(s, r)
	}
	for i := range b.Boards {
		if b.Boards[i].Part == r.Part {
			b.workBoard(s, r, b.Boards[i], finding.Word("word.at_line"))
			b.workBoard(s, r, b.BrimBoards[i], finding.Word("word.to_brim"))
		}
	}
	b.workScab(s, r)
	c := r.beam()
	if r.Holds > 0 {
		s.add("awc-da6", "R", "work.frame.hold_force", "c w l", float64(r.HoldForce), "N",
			in("c", c.inner, ""), in("w", perMM(b.Thrust), "N/mm"), in("l", mm(r.Spacing), "mm"))
		s.add("awc-da6", "R", "work.frame.hold_force_brim", "c w l", float64(r.HoldForceBrim), "N",
			in("c", c.inner, ""), in("w", perMM(Thrust(b.Brim)), "N/mm"), in("l", mm(r.Spacing), "mm"))
	}
	s.add("awc-da6", "R0", "work.frame.corner_pull", "c w l", float64(r.EndForce), "N",
		in("c", c.end, ""), in("w", perMM(b.Thrust), "N/mm"), in("l", mm(r.Spacing), "mm"))
	s.add("awc-da6", "R0", "work.frame.corner_pull_brim", "c w l", float64(r.EndForceBrim), "N",
		in("c", c.end, ""), in("w", perMM(Thrust(b.Brim)), "N/mm"), in("l", mm(r.Spacing), "mm"))
}

func (b Bed) workAllowed(s *steps, r Row) {
	f, v := r.grade.Factors(r.Size, b.Job.service(true)), r.grade.Values
	s.add(r.grade.Source, "Fb'", "work.frame.allowed_bending", "Fb CD CM CF Cfu Ci", mpa(r.allowed.Fb), "MPa",
		in("Fb", mpa(v.Fb), "MPa"), in("CD", f.CD, ""), in("CM", f.CMb, ""), in("CF", f.CF, ""), in("Cfu", f.Cfu, ""), in("Ci", f.Ci, ""))
	s.add(r.grade.Source, "Fv'", "work.frame.allowed_shear", "Fv CD CM Ci", mpa(r.allowed.Fv), "MPa",
		in("Fv", mpa(v.Fv), "MPa"), in("CD", f.CD, ""), in("CM", f.CMv, ""), in("Ci", f.Ci, ""))
	s.add(r.grade.Source, "E'", "work.frame.stiffness", "E CM Ci", mpa(r.allowed.E), "MPa",
		in("E", mpa(v.E), "MPa"), in("CM", f.CME, ""), in("Ci", f.CiE, ""))
}

func (b Bed) workBoard(s *steps, r Row, d Board, when finding.Word) {
	area, modulus, inertia := r.Section.flat()
	c, q, l := r.beam(), perMM(d.Load), mm(d.Span)
	wall := s.about
	s.about = finding.Args{"Board": finding.Word("word.wall_" + d.Part.String() + d.suffix()), "When": when}
	defer func() { s.about = wall }()
	from := float64(r.Section.Wide) * float64(d.Course)
	s.add("fluid-statics", "w", "work.frame.push", "rho g ((h - z0)^2 - (h - z1)^2)/2", q, "N/mm",
		in("rho g", waterWeight/kilo, "kN/m3"), in("h", float64(d.Depth), "m"), in("z0", from, "m"), in("z1", min(float64(d.Depth), from+float64(r.Section.Wide)), "m"))
	s.add("awc-da6", "fb", "work.frame.bending", "c w l^2/S", mpa(d.Bending), "MPa",
		in("c", c.moment, ""), in("w", q, "N/mm"), in("l", l, "mm"), in("S", cube(modulus), "mm3"))
	s.add("awc-da6", "fv", "work.frame.shear", "1.5 c w l/A", mpa(d.Shear), "MPa",
		in("c", c.shear, ""), in("w", q, "N/mm"), in("l", l, "mm"), in("A", square(area), "mm2"))
	if !d.Rated {
		return
	}
	s.add("awc-da6", "d", "work.frame.bulge", "c w l^4/(E' I)", mm(d.DeflectionShort), "mm",
		in("c", c.deflection, ""), in("w", q, "N/mm"), in("l", l, "mm"), in("E'", mpa(r.allowed.E), "MPa"), in("I", fourth(inertia), "mm4"))
	s.add("nds2018", "dL", "work.frame.bulge_years", "Kcr d", mm(d.DeflectionLong), "mm",
		in("Kcr", wetCreep, ""), in("d", mm(d.DeflectionShort), "mm"))
	s.add(srcOwn, "u", "work.frame.use", "work.frame.use_how", float64(d.Use), "",
		in("fb/Fb'", float64(share(float64(d.Bending), float64(d.BendingAllow))), ""), in("fv/Fv'", float64(share(float64(d.Shear), float64(d.ShearAllow))), ""),
		in("dL/limit", float64(share(float64(d.DeflectionLong), float64(d.DeflectionLimit))), ""), in("limit", mm(d.DeflectionLimit), "mm"))
}

func (b Bed) workHold(s *steps, r Row, m HoldMake) {
	if r.Holds == 0 || m.Wood == (Size{}) {
		return
	}
	s.about = finding.Args{"Wall": finding.Word("word.wall_" + r.Part.String())}
	if m.Kind == Stake {
		sec := b.Job.section(m.Wood)
		s.add("ibc1807", "d", "work.frame.stake_depth", "A/2 (1 + sqrt(1 + 4.36 h/A)), A = 2.34 P/(S1 b), S1 = s d/3", float64(m.Embed), "m",
			in("P", float64(m.Force)/kilo, "kN"), in("h", float64(m.Arm), "m"), in("s", b.Job.Soil.lateralBearing()/kilo, "kPa/m"),
			in("b", math.Hypot(float64(sec.Thick), float64(sec.Wide)), "m"))
		s.add(srcOwn, "M", "work.frame.stake_moment", "P (h + 2x/3), x = sqrt(2P/(s b))", float64(m.Moment)/kilo, "kN m",
			in("P", float64(m.Force)/kilo, "kN"), in("h", float64(m.Arm), "m"), in("s", b.Job.Soil.lateralBearing()/kilo, "kPa/m"),
			in("b", math.Hypot(float64(sec.Thick), float64(sec.Wide)), "m"))
		return
	}
	force := float64(m.Force) / float64(max(1, m.Uprights))
	sec := b.Job.section(m.Wood)
	half := float64(sec.Wide-2*unit.Inch) / 2
	moment := force * float64(m.Arm+m.Under+sec.Wide/2)
	s.add("nds2018", "F", "work.frame.tie_screw", "sqrt((P/n + M a/J)^2 + (M a/J)^2), M = P (h + z + b/2)", lapForce(force, moment, half, m.Screws), "N",
		in("P", force, "N"), in("n", float64(m.Screws), ""), in("h", mm(m.Arm), "mm"), in("z", mm(m.Under), "mm"), in("b", mm(sec.Wide), "mm"),
		in("a", half*1000, "mm"), in("J", square(8*half*half+float64(m.Screws-4)*half*half), "mm2"))
	s.add(srcOwn, "u", "work.frame.tie_use", "work.frame.tie_use_how", float64(m.Use), "")
}

func (b Bed) workCorner(s *steps) {
	c := b.Corner
	if c.Block == (Size{}) {
		return
	}
	g, screw := min(b.Side.grade.Values.G, b.End.grade.Values.G), frameScrew()
	b.workScrew(s, g, screw)
	s.add("nds2018", "W'", "work.frame.screw_pull", "2850 G^2 D x thread x CD CM, x 4.448 N a lb", float64(c.PerPull), "N",
		in("G", g, ""), in("D", screw.Diameter.Inches(), "in"), in("thread", min(screw.Thread, screw.Length-b.End.Section.Thick, b.Job.section(c.Block).Thick).Inches(), "in"), in("CD", PermanentLoad, ""), in("CM", wetScrew, ""))
	for _, x := range []struct {
		phrase     string
		count      int
		force, per unit.Force
	}{{"work.frame.screws_butt", c.Butt, c.SidePull, c.PerButt}, {"work.frame.screws_end", c.BlockToEnd, c.EndPull, c.PerPull},
		{"work.frame.screws_side", c.BlockToSide, c.EndPull, c.PerLateral}} {
		s.add(srcPractice, "n", x.phrase, "work.frame.screws_how", float64(x.count), "",
			in("P", float64(x.force), "N"), in("F'", float64(x.per), "N"))
	}
}

// workScrew derives what a screw may carry across its length. Mode IV, two bends
// in the screw, governs between boards of the usual thickness.
func (b Bed) workScrew(s *steps, g float64, screw Screw) {
	c, fe := b.Corner, 16600*math.Pow(g, 1.84)*float64(unit.PoundPerSquareInch)/mega
	s.add("nds2018", "Fe", "work.frame.screw_bearing", "16600 G^1.84 psi", fe, "MPa", in("G", g, ""))
	side, end, values := "work.frame.yield_how", "work.frame.yield_end_how", []finding.Input{in("G", g, "")}
	four := screw.Root.Millimetres() * screw.Root.Millimetres() / 2.2 * math.Sqrt(fe*mpa(screw.Yield)/3)
	if z := float64(c.PerLateral) / PermanentLoad / wetScrew; math.Abs(z-four) < four/1e6 {
		side, end = "Dr^2/Kd sqrt(Fe Fyb/3) x CD CM", "Dr^2/Kd sqrt(Fe Fyb/3) x CD CM Ceg"
		values = []finding.Input{in("Dr", mm(screw.Root), "mm"), in("Kd", 2.2, ""), in("Fe", fe, "MPa"), in("Fyb", mpa(screw.Yield), "MPa")}
	}
	wet := []finding.Input{in("CD", PermanentLoad, ""), in("CM", wetScrew, "")}
	s.add("nds2018", "Z'", "work.frame.screw_side", side, float64(c.PerLateral), "N", append(values, wet...)...)
	s.add("nds2018", "Z'", "work.frame.screw_end", end, float64(c.PerButt), "N", append(append(values, wet...), in("Ceg", endGrainLat, ""))...)
}

func (b Bed) workSlide(s *steps) {
	lv := b.Level
	if lv.Error == 0 {
		return
	}
	s.add("fluid-statics", "F", "work.frame.downhill", "rho g B (h1^2 - h0^2)/2 = rho g B h D", float64(lv.Unbalanced), "N",
		in("rho g", waterWeight, "N/m3"), in("B", float64(b.Job.Vessel.Width), "m"), in("h", float64(lv.Greatest+lv.Least)/2, "m"), in("D", float64(lv.Greatest-lv.Least), "m"))
	s.add("ibc1806", "u", "work.frame.slide", "F/(f m g)", float64(lv.SlideUse), "",
		in("F", float64(lv.Unbalanced), "N"), in("f", friction, ""), in("m", float64(b.FrameMass), "kg"), in("g", unit.Gravity, "m/s2"))
}

func (b Bed) workSite(s *steps) {
	lv := b.Level
	s.add("fluid-statics", "h1", "work.frame.deep_end", "h + D/2", float64(lv.Greatest), "m", in("h", float64(b.Job.Depth), "m"), in("D", float64(lv.Error), "m"))
	s.add("fluid-statics", "h0", "work.frame.shallow_end", "h - D/2", float64(lv.Least), "m", in("h", float64(b.Job.Depth), "m"), in("D", float64(lv.Error), "m"))
	s.add(srcOwn, "q", "work.frame.load", "m g/A + extra", float64(b.Floor.Full), "Pa",
		in("m", float64(WaterDensity.Of(b.BrimVolume)), "kg"), in("g", unit.Gravity, "m/s2"), in("A", float64(b.Job.Vessel.BaseArea()), "m2"), in("extra", float64(b.Floor.Extra), "Pa"))
	if b.Notch.Possible {
		s.add(srcOwn, "z", "work.frame.sill", "work.frame.sill_how", float64(b.Notch.Sill), "m", in("h", float64(b.Job.Depth), "m"), in("H", float64(b.Brim), "m"))
	}
	for _, r := range b.Rain {
		if s.about = (finding.Args{"Rain": r.Fall}); r.Fall > 0 {
			s.add("fluid-statics", "h", "work.frame.rain_depth", "work.frame.rain_how", float64(r.Depth), "m",
				in("h", float64(b.Job.Depth), "m"), in("rain", float64(r.Fall), "m"))
			s.add("fluid-statics", "", "work.frame.rain_push", "(h/H)^2", float64(r.Share), "",
				in("h", float64(r.Depth), "m"), in("H", float64(b.Brim), "m"))
		}
	}
	n := b.Liner
	s.add("pond-liner-rule", "l", "work.frame.liner_length", "L + 2 end wall + 2 turn", float64(n.Length), "m",
		in("L", b.linerLength(), "m"), in("end wall", b.linerWall(b.End.Height), "m"), in("turn", float64(n.Turn), "m"))
	s.add("pond-liner-rule", "b", "work.frame.liner_width", "W + 2 side wall + 2 turn", float64(n.Width), "m",
		in("W", b.linerWidth(), "m"), in("side wall", b.linerWall(b.Side.Height), "m"), in("turn", float64(n.Turn), "m"))
	s.add(srcPractice, "t", "work.frame.hose", "V/Q", float64(b.HoseTime/unit.Minute), "min", in("V", b.Volume.Litres(), "L"), in("Q", b.Job.Hose.LitresPerMinute(), "L/min"))
	s.add(srcPractice, "n", "work.frame.buckets", "work.frame.buckets_how", float64(b.Buckets), "", in("V", b.Volume.Litres(), "L"), in("bucket", b.Job.Bucket.Litres(), "L"))
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
