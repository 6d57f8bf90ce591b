package frame

import (
	"math"

	"raftwright/finding"
	"raftwright/unit"
)

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
	w := &finding.Working{}
	b.workWater(w)
	if b.Job.Vessel.Shape == FrameShape {
		for _, r := range []Row{b.Side, b.End} {
			b.workRow(w, r)
		}
		b.workHold(w, b.Side, b.SideHold)
		b.workHold(w, b.End, b.EndHold)
		w.Of = nil
		b.workCorner(w)
		b.workSlide(w)
	} else if b.Hoop > 0 {
		w.Add("T", "work.frame.hoop", "rho g h D/2", float64(b.Hoop)/kilo, "kN/m", "fluid-statics",
			finding.In("rho g", waterWeight/kilo, "kN/m3"), finding.In("h", float64(b.Brim), "m"), finding.In("D", float64(b.Job.Vessel.Diameter), "m"))
	}
	b.workSite(w)
	return w.Steps
}

func (b Bed) workWater(w *finding.Working) {
	j, h := b.Job, float64(b.Job.Depth)
	a0, b0, ka, kb, share := j.Vessel.slopes()
	a1, b1 := a0+ka*h, b0+kb*h
	w.Add("A", "work.frame.surface", "k a b", float64(b.Surface), "m2", "fluid-statics",
		finding.In("k", share, ""), finding.In("a", a1, "m"), finding.In("b", b1, "m"))
	w.Add("V", "work.frame.volume", "k h (2 a b + 2 a0 b0 + a b0 + a0 b)/6", float64(b.Volume), "m3", "fluid-statics",
		finding.In("k", share, ""), finding.In("h", h, "m"), finding.In("a", a1, "m"), finding.In("b", b1, "m"), finding.In("a0", a0, "m"), finding.In("b0", b0, "m"))
	w.Add("m", "work.frame.mass", "rho V", float64(b.Mass), "kg", "fluid-statics",
		finding.In("rho", float64(WaterDensity), "kg/m3"), finding.In("V", float64(b.Volume), "m3"))
	w.Add("p", "work.frame.floor", "rho g h", float64(b.Floor.Water)/kilo, "kPa", "fluid-statics",
		finding.In("rho g", waterWeight/kilo, "kN/m3"), finding.In("h", h, "m"))
	w.Add("w", "work.frame.thrust", "rho g h^2/2", float64(b.Thrust)/kilo, "kN/m", "fluid-statics",
		finding.In("rho g", waterWeight/kilo, "kN/m3"), finding.In("h", h, "m"))
	w.Add("H", "work.frame.brim", "work.frame.brim_how", float64(b.Brim), "m", srcOwn)
}

// workRow derives the boards of a wall, at the water line and to the brim.
func (b Bed) workRow(w *finding.Working, r Row) {
	w.Of = []any{finding.Word("word.wall_" + r.Part.String()), r.Size.String()}
	area, modulus, inertia := r.Section.flat()
	w.Add("b", "work.frame.width", "PS 20", mm(r.Section.Wide), "mm", "ps20")
	flat := []finding.Input{finding.In("b", mm(r.Section.Wide), "mm"), finding.In("t", mm(r.Section.Thick), "mm")}
	w.Add("A", "work.frame.area", "b t", square(area), "mm2", "awc-da6", flat...)
	w.Add("S", "work.frame.modulus", "b t^2/6", cube(modulus), "mm3", "awc-da6", flat...)
	w.Add("I", "work.frame.inertia", "b t^3/12", fourth(inertia), "mm4", "awc-da6", flat...)
	w.Add("l", "work.frame.spacing", "L/(n + 1)", mm(r.Spacing), "mm", srcOwn,
		finding.In("L", mm(r.Length), "mm"), finding.In("n", float64(r.Holds), ""))
	if r.rated {
		b.workAllowed(w, r)
	}
	for i := range b.Boards {
		if b.Boards[i].Part == r.Part {
			b.workBoard(w, r, b.Boards[i], finding.Word("word.at_line"))
			b.workBoard(w, r, b.BrimBoards[i], finding.Word("word.to_brim"))
		}
	}
	b.workScab(w, r)
	c := r.beam()
	force := func(symbol, name string, share float64, thrust unit.LineLoad, f unit.Force) {
		w.Add(symbol, name, "c w l", float64(f), "N", "awc-da6", finding.In("c", share, ""), finding.In("w", perMM(thrust), "N/mm"), finding.In("l", mm(r.Spacing), "mm"))
	}
	if r.Holds > 0 {
		force("R", "work.frame.hold_force", c.inner, b.Thrust, r.HoldForce)
		force("R", "work.frame.hold_force_brim", c.inner, Thrust(b.Brim), r.HoldForceBrim)
	}
	force("R0", "work.frame.corner_pull", c.end, b.Thrust, r.EndForce)
	force("R0", "work.frame.corner_pull_brim", c.end, Thrust(b.Brim), r.EndForceBrim)
}

func (b Bed) workAllowed(w *finding.Working, r Row) {
	f, v := r.grade.Factors(r.Size, b.Job.service(true)), r.grade.Values
	w.Add("Fb'", "work.frame.allowed_bending", "Fb CD CM CF Cfu Ci", mpa(r.allowed.Fb), "MPa", r.grade.Source,
		finding.In("Fb", mpa(v.Fb), "MPa"), finding.In("CD", f.CD, ""), finding.In("CM", f.CMb, ""), finding.In("CF", f.CF, ""), finding.In("Cfu", f.Cfu, ""), finding.In("Ci", f.Ci, ""))
	w.Add("Fv'", "work.frame.allowed_shear", "Fv CD CM Ci", mpa(r.allowed.Fv), "MPa", r.grade.Source,
		finding.In("Fv", mpa(v.Fv), "MPa"), finding.In("CD", f.CD, ""), finding.In("CM", f.CMv, ""), finding.In("Ci", f.Ci, ""))
	w.Add("E'", "work.frame.stiffness", "E CM Ci", mpa(r.allowed.E), "MPa", r.grade.Source,
		finding.In("E", mpa(v.E), "MPa"), finding.In("CM", f.CME, ""), finding.In("Ci", f.CiE, ""))
}

func (b Bed) workBoard(w *finding.Working, r Row, d Board, when finding.Word) {
	area, modulus, inertia := r.Section.flat()
	c, q, l := r.beam(), perMM(d.Load), mm(d.Span)
	wall := w.Of
	w.Of = []any{finding.Word("word.wall_" + d.Part.String() + d.suffix()), when}
	defer func() { w.Of = wall }()
	from := float64(r.Section.Wide) * float64(d.Course)
	w.Add("w", "work.frame.push", "rho g ((h - z0)^2 - (h - z1)^2)/2", q, "N/mm", "fluid-statics",
		finding.In("rho g", waterWeight/kilo, "kN/m3"), finding.In("h", float64(d.Depth), "m"), finding.In("z0", from, "m"), finding.In("z1", min(float64(d.Depth), from+float64(r.Section.Wide)), "m"))
	w.Add("fb", "work.frame.bending", "c w l^2/S", mpa(d.Bending), "MPa", "awc-da6",
		finding.In("c", c.moment, ""), finding.In("w", q, "N/mm"), finding.In("l", l, "mm"), finding.In("S", cube(modulus), "mm3"))
	w.Add("fv", "work.frame.shear", "1.5 c w l/A", mpa(d.Shear), "MPa", "awc-da6",
		finding.In("c", c.shear, ""), finding.In("w", q, "N/mm"), finding.In("l", l, "mm"), finding.In("A", square(area), "mm2"))
	if !d.Rated {
		return
	}
	w.Add("d", "work.frame.bulge", "c w l^4/(E' I)", mm(d.DeflectionShort), "mm", "awc-da6",
		finding.In("c", c.deflection, ""), finding.In("w", q, "N/mm"), finding.In("l", l, "mm"), finding.In("E'", mpa(r.allowed.E), "MPa"), finding.In("I", fourth(inertia), "mm4"))
	w.Add("dL", "work.frame.bulge_years", "Kcr d", mm(d.DeflectionLong), "mm", "nds2018",
		finding.In("Kcr", wetCreep, ""), finding.In("d", mm(d.DeflectionShort), "mm"))
	w.Add("u", "work.frame.use", "work.frame.use_how", float64(d.Use), "", srcOwn,
		finding.In("fb/Fb'", float64(share(float64(d.Bending), float64(d.BendingAllow))), ""), finding.In("fv/Fv'", float64(share(float64(d.Shear), float64(d.ShearAllow))), ""),
		finding.In("dL/limit", float64(share(float64(d.DeflectionLong), float64(d.DeflectionLimit))), ""), finding.In("limit", mm(d.DeflectionLimit), "mm"))
}

func (b Bed) workHold(w *finding.Working, r Row, m HoldMake) {
	if r.Holds == 0 || m.Wood == (Size{}) {
		return
	}
	w.Of = []any{finding.Word("word.wall_" + r.Part.String())}
	if m.Kind == Stake {
		sec := b.Job.section(m.Wood)
		w.Add("d", "work.frame.stake_depth", "A/2 (1 + sqrt(1 + 4.36 h/A)), A = 2.34 P/(S1 b), S1 = s d/3", float64(m.Embed), "m", "ibc1807",
			finding.In("P", float64(m.Force)/kilo, "kN"), finding.In("h", float64(m.Arm), "m"), finding.In("s", m.Soil/kilo, "kPa/m"),
			finding.In("b", math.Hypot(float64(sec.Thick), float64(sec.Wide)), "m"))
		w.Add("M", "work.frame.stake_moment", "P (h + 2x/3), x = sqrt(2P/(s b))", float64(m.Moment)/kilo, "kN m", srcOwn,
			finding.In("P", float64(m.Force)/kilo, "kN"), finding.In("h", float64(m.Arm), "m"), finding.In("s", m.Soil/kilo, "kPa/m"),
			finding.In("b", math.Hypot(float64(sec.Thick), float64(sec.Wide)), "m"))
		return
	}
	force := float64(m.Force) / float64(max(1, m.Uprights))
	sec := b.Job.section(m.Wood)
	half := float64(sec.Wide-2*unit.Inch) / 2
	moment := force * float64(m.Arm+m.Under+sec.Wide/2)
	w.Add("F", "work.frame.tie_screw", "sqrt((P/n + M a/J)^2 + (M a/J)^2), M = P (h + z + b/2)", lapForce(force, moment, half, m.Screws), "N", "nds2018",
		finding.In("P", force, "N"), finding.In("n", float64(m.Screws), ""), finding.In("h", mm(m.Arm), "mm"), finding.In("z", mm(m.Under), "mm"), finding.In("b", mm(sec.Wide), "mm"),
		finding.In("a", half*1000, "mm"), finding.In("J", square(8*half*half+float64(m.Screws-4)*half*half), "mm2"))
	w.Add("u", "work.frame.tie_use", "work.frame.tie_use_how", float64(m.Use), "", srcOwn)
}

func (b Bed) workCorner(w *finding.Working) {
	c := b.Corner
	if c.Block == (Size{}) {
		return
	}
	g, screw := min(b.Side.grade.Values.G, b.End.grade.Values.G), c.Screw
	b.workScrew(w, g, screw)
	w.Add("W'", "work.frame.screw_pull", "2850 G^2 D x thread x CD CM, x 4.448 N/lb", float64(c.PerPull), "N", "nds2018",
		finding.In("G", g, ""), finding.In("D", screw.Diameter.Inches(), "in"), finding.In("thread", min(threaded*screw.Length, screw.Length-b.End.Section.Thick).Inches(), "in"), finding.In("CD", PermanentLoad, ""), finding.In("CM", wetScrew, ""))
	for _, x := range []struct {
		phrase     string
		count      int
		force, per unit.Force
	}{{"work.frame.screws_butt", c.Butt, c.SidePull, c.PerButt}, {"work.frame.screws_end", c.BlockToEnd, c.EndPull, c.PerPull},
		{"work.frame.screws_side", c.BlockToSide, c.EndPull, c.PerLateral}} {
		w.Add("n", x.phrase, "work.frame.screws_how", float64(x.count), "", srcPractice,
			finding.In("P", float64(x.force), "N"), finding.In("F'", float64(x.per), "N"))
	}
}

// workScrew derives what a screw may carry across its length. Mode IV, two bends
// in the screw, governs between boards of the usual thickness.
func (b Bed) workScrew(w *finding.Working, g float64, screw Screw) {
	c, fe := b.Corner, 16600*math.Pow(g, 1.84)*float64(unit.PoundPerSquareInch)/mega
	w.Add("Fe", "work.frame.screw_bearing", "16600 G^1.84 psi", fe, "MPa", "nds2018", finding.In("G", g, ""))
	side, end, values := "work.frame.yield_how", "work.frame.yield_end_how", []finding.Input{finding.In("G", g, "")}
	four := screw.Root.Millimetres() * screw.Root.Millimetres() / 2.2 * math.Sqrt(fe*mpa(screw.Yield)/3)
	if z := float64(c.PerLateral) / PermanentLoad / wetScrew; math.Abs(z-four) < four/1e6 {
		side, end = "Dr^2/Kd sqrt(Fe Fyb/3) x CD CM", "Dr^2/Kd sqrt(Fe Fyb/3) x CD CM Ceg"
		values = []finding.Input{finding.In("Dr", mm(screw.Root), "mm"), finding.In("Kd", 2.2, ""), finding.In("Fe", fe, "MPa"), finding.In("Fyb", mpa(screw.Yield), "MPa")}
	}
	wet := []finding.Input{finding.In("CD", PermanentLoad, ""), finding.In("CM", wetScrew, "")}
	w.Add("Z'", "work.frame.screw_side", side, float64(c.PerLateral), "N", "nds2018", append(values, wet...)...)
	w.Add("Z'", "work.frame.screw_end", end, float64(c.PerButt), "N", "nds2018", append(append(values, wet...), finding.In("Ceg", endGrainLat, ""))...)
}

func (b Bed) workSlide(w *finding.Working) {
	lv := b.Level
	if lv.Error == 0 {
		return
	}
	w.Add("F", "work.frame.downhill", "rho g B (h1^2 - h0^2)/2 = rho g B h D", float64(lv.Unbalanced), "N", "fluid-statics",
		finding.In("rho g", waterWeight, "N/m3"), finding.In("B", float64(b.Job.Vessel.Width), "m"), finding.In("h", float64(lv.Greatest+lv.Least)/2, "m"), finding.In("D", float64(lv.Greatest-lv.Least), "m"))
	w.Add("u", "work.frame.slide", "F/(f m g)", float64(lv.SlideUse), "", "ibc1806",
		finding.In("F", float64(lv.Unbalanced), "N"), finding.In("f", b.Level.Friction, ""), finding.In("m", float64(b.FrameMass), "kg"), finding.In("g", unit.Gravity, "m/s2"))
}

func (b Bed) workSite(w *finding.Working) {
	lv := b.Level
	w.Add("h1", "work.frame.deep_end", "h + D/2", float64(lv.Greatest), "m", "fluid-statics", finding.In("h", float64(b.Job.Depth), "m"), finding.In("D", float64(lv.Error), "m"))
	w.Add("h0", "work.frame.shallow_end", "h - D/2", float64(lv.Least), "m", "fluid-statics", finding.In("h", float64(b.Job.Depth), "m"), finding.In("D", float64(lv.Error), "m"))
	w.Add("q", "work.frame.load", "m g/A + extra", float64(b.Floor.Full), "Pa", srcOwn,
		finding.In("m", float64(WaterDensity.Of(b.BrimVolume)), "kg"), finding.In("g", unit.Gravity, "m/s2"), finding.In("A", float64(b.Job.Vessel.BaseArea()), "m2"), finding.In("extra", float64(b.Floor.Extra), "Pa"))
	if b.Notch.Possible {
		w.Add("z", "work.frame.sill", "work.frame.sill_how", float64(b.Notch.Sill), "m", srcOwn, finding.In("h", float64(b.Job.Depth), "m"), finding.In("H", float64(b.Brim), "m"))
	}
	for _, r := range b.Rain {
		if w.Of = []any{r.Fall}; r.Fall > 0 {
			w.Add("h", "work.frame.rain_depth", "work.frame.rain_how", float64(r.Depth), "m", "fluid-statics",
				finding.In("h", float64(b.Job.Depth), "m"), finding.In("rain", float64(r.Fall), "m"))
			w.Add("", "work.frame.rain_push", "(h/H)^2", float64(r.Share), "", "fluid-statics",
				finding.In("h", float64(r.Depth), "m"), finding.In("H", float64(b.Brim), "m"))
		}
	}
	w.Of = nil
	n := b.Liner
	w.Add("l", "work.frame.liner_length", "work.frame.liner_length_how", float64(n.Length), "m", "pond-liner-rule",
		finding.In("L", b.linerLength(), "m"), finding.In("work.frame.end_wall", b.linerWall(b.End.Height), "m"), finding.In("turn", float64(n.Turn), "m"))
	w.Add("b", "work.frame.liner_width", "work.frame.liner_width_how", float64(n.Width), "m", "pond-liner-rule",
		finding.In("W", b.linerWidth(), "m"), finding.In("work.frame.side_wall", b.linerWall(b.Side.Height), "m"), finding.In("turn", float64(n.Turn), "m"))
	w.Add("t", "work.frame.hose", "V/Q", float64(b.HoseTime/unit.Minute), "min", srcPractice, finding.In("V", b.Volume.Litres(), "L"), finding.In("Q", b.Job.Hose.LitresPerMinute(), "L/min"))
	w.Add("n", "work.frame.buckets", "work.frame.buckets_how", float64(b.Buckets), "", srcPractice, finding.In("V", b.Volume.Litres(), "L"), finding.In("bucket", b.Job.Bucket.Litres(), "L"))
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
