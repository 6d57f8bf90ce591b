package frame

import (
	"math"
	"slices"

	"raftwright/finding"
	"raftwright/unit"
)

// Verdict sums up a bed.
type Verdict int

// Verdicts.
const (
	Holding Verdict = iota
	HoldingWithCare
	NotHolding
)

// String gives the word of the JSON.
func (v Verdict) String() string {
	return [...]string{"holds", "holds with care", "does not hold"}[v]
}

// Check is one limit state of the bed with its share of what is allowed. All but
// the bulge are taken with the bed filled to the brim.
type Check struct {
	Name finding.Word
	Use  unit.Fraction
}

// Bed is a designed vessel: everything that follows from a Job.
type Bed struct {
	Job         Job // completed: nothing left at "not given"
	Volume      unit.Volume
	Mass        unit.Mass // of the water at its line
	Brim        unit.Length
	BrimVolume  unit.Volume
	Surface     unit.Area
	PerInch     unit.Volume // water in an inch at the water line
	Thrust      unit.LineLoad
	Hoop        unit.LineLoad // round vessels: pull in the wall at the floor, full
	Floor       FloorLoad
	Level       Level
	Side, End   Row // frames only, as the next six
	SideHold    HoldMake
	EndHold     HoldMake
	Boards      []Board // at the water line, level
	BrimBoards  []Board
	Corner      Corner
	FrameMass   unit.Mass
	BulgeVolume unit.Volume // extra room that the bulge of years makes
	Notch       Notch
	Rain        [2]Rain // after 1 and 2 in on the water line
	Liner       Liner
	Pieces      []Piece
	Fasteners   []Fastener
	HoseTime    unit.Duration // to fill
	Buckets     int           // full ones, to fill by hand
	Checks      []Check
	Verdict     Verdict
	Findings    []finding.Finding
	Assumptions []finding.Assumption
}

// woodMoisture is the moisture content at which a frame is weighed, percent.
const woodMoisture = 19

// Design computes a bed. With faults nothing can be said: a measure is missing or
// impossible. A bed that cannot stand is a Bed whose
// Findings hold a stop with the reason and the nearest design that works.
func Design(j Job, l Yard) (Bed, finding.Faults) {
	b, faults := design(j, l)
	if faults != nil {
		return Bed{}, faults
	}
	b.Findings = b.judge(l)
	finding.Sort(b.Findings)
	b.Verdict = Verdict(finding.Worst(b.Findings))
	return b, nil
}

// design computes a bed without judging it.
func design(j Job, l Yard) (Bed, finding.Faults) {
	b, faults := walls(j, l)
	if faults != nil {
		return Bed{}, faults
	}
	j = b.Job
	if j.Vessel.Shape == RoundShape {
		b.Hoop = HoopTension(b.Brim, j.Vessel.Diameter)
	}
	b.BrimVolume = j.Vessel.VolumeAt(b.Brim)
	b.Level = levelOf(j, l.Soils, b.FrameMass)
	b.Floor = floorOf(j, l.Soils, b.Brim, b.FrameMass)
	if b.Brim > j.Depth {
		b.rain()
	}
	b.Checks = b.checks()
	return b, nil
}

// walls computes the water and what holds it.
func walls(j Job, l Yard) (Bed, finding.Faults) {
	kind := j.HoldBy
	j, assumed, faults := j.complete(l)
	if faults != nil {
		return Bed{}, faults
	}
	b := Bed{Job: j, Assumptions: assumed}
	b.fill()
	if j.Vessel.Shape == FrameShape {
		b.build(l)
		if kind == AnyHold && b.Side.Holds+b.End.Holds > 0 {
			b.Assumptions = append(b.Assumptions, finding.Assumption{ID: AssumeHoldKind, Source: srcOwn})
		}
	} else {
		b.Brim = j.Vessel.Wall
		b.Liner = linerOf(j, l.Liners, b.Brim, b.Brim)
	}
	return b, nil
}

// fill computes the water.
func (b *Bed) fill() {
	v, h := b.Job.Vessel, b.Job.Depth
	b.Volume = v.VolumeAt(h)
	b.Mass = WaterDensity.Of(b.Volume)
	b.Surface = v.SurfaceAt(h)
	b.PerInch = v.PerDepth(h, unit.Inch)
	b.Thrust = Thrust(h)
	b.HoseTime = FillTime(b.Volume, b.Job.Hose)
	b.Buckets = Buckets(b.Volume, b.Job.Bucket)
}

// build computes the frame.
func (b *Bed) build(l Yard) {
	j := b.Job
	b.Side, b.End = newRow(j, l, Side), newRow(j, l, End)
	b.Brim = min(b.Side.Height, b.End.Height)
	b.Side = b.Side.chooseHolds(j, l, b.Brim)
	b.SideHold = holdOf(j, l, b.Side, b.Brim)
	if b.Side.Holds > 0 && b.SideHold.Kind == FloorTie {
		b.End.under = j.section(b.SideHold.Wood).Wide // where ties cross, those of the ends pass below
	}
	b.End = b.End.chooseHolds(j, l, b.Brim)
	b.EndHold = holdOf(j, l, b.End, b.Brim)
	for _, r := range []Row{b.Side, b.End} {
		for c := range j.Courses {
			b.Boards = append(b.Boards, r.board(j, c, j.Depth))
			b.BrimBoards = append(b.BrimBoards, r.board(j, c, b.Brim))
		}
	}
	b.Corner = cornerOf(j, b.Side, b.End, b.Brim)
	b.Liner = linerOf(j, l.Liners, b.Side.Height, b.End.Height)
	c := cuttingOf(b)
	b.Pieces, b.Fasteners = c.pieces, c.fasteners
	b.FrameMass = b.weighFrame()
	b.BulgeVolume = b.bulgeVolume()
}

// weighFrame gives the mass of sides and ends. Wood without a grade is taken at
// the specific gravity of the lightest listed, which is the safe side in sliding.
func (b *Bed) weighFrame() unit.Mass {
	var m unit.Mass
	for _, p := range b.Pieces {
		if p.Role != SideBoard && p.Role != EndBoard {
			continue
		}
		g := b.Side.grade
		if p.Role == EndBoard {
			g = b.End.grade
		}
		if g.Values.G == 0 {
			g.Values.G = 0.31
		}
		s := b.Job.section(p.Size)
		volume := s.Thick.By(s.Wide).Deep(p.Length * unit.Length(p.Count))
		m += g.Density(woodMoisture).Of(volume)
	}
	return m
}

// bulgeVolume gives the water that long-term bulges let in: the mean deflection
// of a span is 0.64 of its largest (simple span, exactly 384/600; less over
// holds, so this is a bound).
func (b *Bed) bulgeVolume() unit.Volume {
	var v unit.Volume
	for _, d := range b.Boards {
		r := b.Side
		if d.Part == End {
			r = b.End
		}
		wet := min(r.Section.Wide, max(0, b.Job.Depth-r.Section.Wide*unit.Length(d.Course)))
		v += (0.64 * d.DeflectionLong).By(r.Length).Deep(wet) * 2
	}
	return v
}

// rain computes the overflow and the rain on an open bed. Without a notch the
// lowest rim at the low end spills.
func (b *Bed) rain() {
	b.Notch = notchOf(b.Job, b.Brim)
	spill := max(b.Job.Depth, b.Brim-b.Job.LevelError/2)
	for i := range b.Rain {
		b.Rain[i] = rainOf(b.Job, unit.Length(i+1)*unit.Inch, spill, b.Brim)
		for _, r := range []Row{b.Side, b.End} {
			for c := range len(b.Boards) / 2 {
				b.Rain[i].Use = max(b.Rain[i].Use, r.board(b.Job, c, b.Rain[i].Depth).StrengthUse())
			}
		}
	}
}

// HoldsPerSide gives the stakes or ties of one long side, their spacing and the
// most that one carries at the water line; for a vessel without boards, zeros.
func (b Bed) HoldsPerSide() (n int, spacing unit.Length, force unit.Force) {
	return b.Side.Holds, b.Side.Spacing, b.Side.HoldForce
}

// Reckoned says whether every board has published values: else there is no strength, no
// screw and no hold to tell of.
func (b Bed) Reckoned() bool {
	return !slices.ContainsFunc(b.Boards, func(d Board) bool { return !d.Rated })
}

// Dipstick lists the water at every inch (or centimetre) up to the brim.
func (b Bed) Dipstick(step unit.Length) ([]Mark, finding.Faults) {
	return b.Job.Vessel.Dipstick(step, b.Brim)
}

// checks gathers the shares of every limit state.
func (b *Bed) checks() []Check {
	var out []Check
	add := func(w finding.Word, u unit.Fraction) {
		if !math.IsNaN(float64(u)) {
			out = append(out, Check{w, u})
		}
	}
	if b.Job.Vessel.Shape == FrameShape {
		for _, p := range []Part{Side, End} {
			var bend, shear, bulge unit.Fraction
			for i, d := range b.BrimBoards {
				if d.Part == p {
					bend = max(bend, share(float64(d.Bending), float64(d.BendingAllow)))
					shear = max(shear, share(float64(d.Shear), float64(d.ShearAllow)))
					bulge = max(bulge, share(float64(b.Boards[i].DeflectionLong), float64(d.DeflectionLimit)))
				}
			}
			add(finding.Word("word.check_bending_"+p.String()), bend)
			add(finding.Word("word.check_shear_"+p.String()), shear)
			add(finding.Word("word.check_bulge_"+p.String()), bulge)
		}
		add("word.check_corner", b.Corner.Use)
		add("word.check_corner_bearing", b.Corner.Bearing)
		if b.Side.Holds > 0 {
			add("word.check_hold_side", b.SideHold.Use)
		}
		if b.End.Holds > 0 {
			add("word.check_hold_end", b.EndHold.Use)
		}
		add("word.check_slide", b.Level.SlideUse)
		add("word.check_tip", b.Level.TipUse)
	}
	add("word.check_soil", b.Floor.SoilUse)
	return out
}
