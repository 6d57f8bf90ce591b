package frame

import (
	"maps"

	"raftwright/finding"
	"raftwright/unit"
	"raftwright/usual"
)

// Findings about the frame itself. They decide whether a design holds.
const (
	FindOvertop      finding.ID = "frame.overtop"
	FindOvertopLevel finding.ID = "frame.overtop_level"
	FindFreeboard    finding.ID = "frame.freeboard"
	FindUngraded     finding.ID = "frame.ungraded"
	FindNoMethod     finding.ID = "frame.no_method"
	FindBending      finding.ID = "frame.bending"
	FindShear        finding.ID = "frame.shear"
	FindNearLimit    finding.ID = "frame.near_limit"
	FindBulgeStop    finding.ID = "frame.bulge_stop"
	FindBulge        finding.ID = "frame.bulge"
	FindBulgeGap     finding.ID = "frame.bulge_gap"
	FindBulgeWater   finding.ID = "frame.bulge_water"
	FindSpacing      finding.ID = "frame.spacing"
	FindSpliceFree   finding.ID = "frame.splice_free"
	FindSplice       finding.ID = "frame.splice"
	FindSpliceWeak   finding.ID = "frame.splice_weak"
	FindLongBoard    finding.ID = "frame.long_board"
	FindHoldFails    finding.ID = "frame.hold_fails"
	FindHoldNear     finding.ID = "frame.hold_near"
	FindStakeSoft    finding.ID = "frame.stake_soft"
	FindStakeGround  finding.ID = "frame.stake_ground"
	FindStakeDeep    finding.ID = "frame.stake_deep"
	FindStake        finding.ID = "frame.stake"
	FindTie          finding.ID = "frame.tie"
	FindTieFloor     finding.ID = "frame.tie_floor"
	FindTieUnder     finding.ID = "frame.tie_under"
	FindDig          finding.ID = "frame.dig"
	FindCleats       finding.ID = "frame.cleats"
	FindEndGrain     finding.ID = "frame.end_grain"
	FindCorner       finding.ID = "frame.corner"
	FindCornerNear   finding.ID = "frame.corner_near"
	FindCornerBuild  finding.ID = "frame.corner_build"
	FindRange        finding.ID = "frame.range"
	FindDeep         finding.ID = "frame.deep"
	FindDepthRange   finding.ID = "frame.depth_range"
)

// easyStake is how deep a stake is driven without much trouble.
const easyStake = 24 * unit.Inch

// nearLimit is the share of a strength above which a caution stands.
const nearLimit = 0.75

// boardWord names a board of a wall in a sentence.
func (b Board) boardWord() finding.Word {
	return finding.Word("word.board_" + b.Part.String() + b.suffix())
}

func (r Row) word() finding.Word { return finding.Word("word.board_" + r.Part.String()) }

// report gathers findings.
type report []finding.Finding

func (r *report) add(id finding.ID, s finding.Severity, figure any, src sourceID, args finding.Args) *finding.Finding {
	*r = append(*r, finding.Finding{ID: id, Severity: s, Figure: figure, Source: src, Args: args})
	return &(*r)[len(*r)-1]
}

// judge says everything there is to say about a bed.
func (b *Bed) judge(l Yard) []finding.Finding {
	out := b.judgeSize()
	if b.Job.Vessel.Shape == FrameShape {
		frame := b.judgeFrame()
		out = append(out, frame...)
		if !frame.strong() {
			out = append(out, b.judgeRemedies(l)...)
		}
	}
	out = append(out, b.judgeSite()...)
	finding.Hurting(out, finding.Person, hurtPeople...)
	finding.Hurting(out, finding.Purse, FindLinerThick)
	return out
}

// hurtPeople are what walls that give way, a load that nothing carries, deep water and
// buried lines can do.
var hurtPeople = []finding.ID{FindUngraded, FindNoMethod, FindBending, FindShear, FindNearLimit, FindBulgeStop, FindSpacing, FindSpliceFree, FindSpliceWeak,
	FindHoldFails, FindHoldNear, FindStakeSoft, FindStakeGround, FindTieFloor, FindDig, FindEndGrain, FindCorner, FindCornerNear, FindRange, FindDeep,
	FindRoundWall, FindRoof, FindSoil, FindDeckStop, FindDeck, FindDeckLight, FindSlide, FindRainBoards}

// Range of inside measures and depth for which the methods were tried.
const (
	mostLength = 40 * unit.Foot
	mostWidth  = 8 * unit.Foot
	mostDepth  = 14 * unit.Inch
	leastDepth = 3 * unit.Inch
	poolDepth  = 24 * unit.Inch
	rangePlay  = 2 * unit.Inch // a raft's play on top of whole feet
)

// judgeSize refuses what is larger than the methods reach.
func (b *Bed) judgeSize() (out report) {
	v, h := b.Job.Vessel, b.Job.Depth
	l, w := max(v.Length, v.Width), min(v.Length, v.Width)
	if v.Shape == RoundShape {
		l, w = v.Diameter, v.Diameter
	}
	tooLong := l > mostLength+rangePlay
	tooWide := v.Shape != RoundShape && w > mostWidth+rangePlay
	if tooLong || tooWide {
		out.add(FindRange, finding.Stop, l, srcOwn, finding.Args{"Length": l, "Width": w,
			"NearLength": min(l, mostLength), "NearWidth": min(w, mostWidth)})
	}
	switch {
	case h >= poolDepth:
		out.add(FindDeep, finding.Stop, h, "pool-code", finding.Args{"Depth": h, "Limit": poolDepth, "Nearest": mostDepth})
	case h > mostDepth+unit.Inch/100 || h < leastDepth-unit.Inch/100:
		out.add(FindDepthRange, finding.Caution, h, srcOwn, finding.Args{"Depth": h, "Least": leastDepth, "Most": mostDepth})
	}
	return out
}

// judgeFrame gives the findings on boards, holds, corners and wall tops.
func (b *Bed) judgeFrame() (out report) {
	b.judgeWalls(&out)
	for _, r := range []struct {
		row  Row
		hold HoldMake
	}{{b.Side, b.SideHold}, {b.End, b.EndHold}} {
		if !r.row.rated {
			b.judgeUnrated(&out, r.row)
		}
		b.judgeSpan(&out, r.row)
		b.judgeHold(&out, r.row, r.hold)
	}
	for i := range b.Boards {
		if b.Boards[i].Rated {
			b.judgeBoard(&out, b.Boards[i], b.BrimBoards[i])
		}
	}
	if b.BulgeVolume > b.Volume/50 {
		out.add(FindBulgeWater, finding.Note, b.BulgeVolume, srcOwn, finding.Args{"Volume": b.BulgeVolume,
			"Drop": unit.Length(float64(b.BulgeVolume) / float64(b.Surface))})
	}
	if b.Job.Courses > 1 {
		out.add(FindCleats, finding.Note, nil, srcPractice, finding.Args{"Every": cleatEvery}).Act = finding.AtCorner
	}
	b.judgeCorner(&out)
	return out
}

// judgeWalls compares the water line with the lowest wall top.
func (b *Bed) judgeWalls(out *report) {
	h, half := b.Job.Depth, b.Job.LevelError/2
	free := b.Brim - h - half
	switch {
	case h > b.Brim:
		out.add(FindOvertop, finding.Stop, b.Brim, srcOwn, finding.Args{"Depth": h, "Wall": b.Brim})
	case free < 0:
		out.add(FindOvertopLevel, finding.Stop, b.Level.Greatest, srcOwn, finding.Args{"Greatest": b.Level.Greatest, "Wall": b.Brim, "Error": b.Job.LevelError}).Act = finding.AtFill
	case free < unit.Inch/2:
		out.add(FindFreeboard, finding.Caution, free, srcOwn, finding.Args{"Free": free})
	}
}

func (b *Bed) judgeUnrated(out *report, r Row) {
	if b.Job.Wall != LumberWall {
		if r.Part == Side { // once is enough
			word := [...]finding.Word{"", "word.wall_plywood", "word.wall_block", "word.wall_salvage"}[b.Job.Wall]
			out.add(FindNoMethod, finding.Stop, nil, srcOwn, finding.Args{"Wall": word})
		}
		return
	}
	out.add(FindUngraded, finding.Stop, nil, "nds2018", finding.Args{"Board": r.word(), "Size": r.Size.String()})
}

// judgeBoard gives the findings on one board: d at the water line, full to the brim.
func (b *Bed) judgeBoard(out *report, d, full Board) {
	args := func(u unit.Fraction) finding.Args {
		return finding.Args{"Board": d.boardWord(), "Size": d.Size.String(), "Use": u, "Span": d.Span}
	}
	bend, shear := full.Bending/full.BendingAllow, full.Shear/full.ShearAllow
	switch {
	case bend > 1:
		out.add(FindBending, finding.Stop, full.Bending, "nds2018", args(unit.Fraction(bend)))
	case shear > 1:
		out.add(FindShear, finding.Stop, full.Shear, "nds2018", args(unit.Fraction(shear)))
	case max(bend, shear) > nearLimit:
		out.add(FindNearLimit, finding.Caution, full.Bending, srcOwn, args(unit.Fraction(max(bend, shear))))
	}
	bulge := d.DeflectionLong
	a := args(d.Use)
	a["Bulge"], a["Limit"] = bulge, mostBulge
	switch {
	case bulge > d.Span/stopOfSpan:
		out.add(FindBulgeStop, finding.Stop, bulge, srcOwn, a)
	case bulge > mostBulge:
		out.add(FindBulge, finding.Caution, bulge, srcOwn, a)
	}
	if gap := b.Job.Raft.Gap; gap > 0 && bulge > gap/2 {
		a := args(d.Use)
		a["Bulge"], a["Gap"] = bulge, gap
		out.add(FindBulgeGap, finding.Caution, bulge, srcOwn, a)
	}
}

// judgeSpan gives the findings on spacing and splices.
func (b *Bed) judgeSpan(out *report, r Row) {
	args := finding.Args{"Board": r.word(), "Spacing": r.Spacing, "Length": r.Length, "Longest": b.Job.Longest, "Limit": spacingLimit(b.Job.Courses)}
	if tooWide(r.Spacing, b.Job.Courses) {
		out.add(FindSpacing, finding.Caution, r.Spacing, srcOwn, args)
	}
	piece := unit.Length(0)
	for _, m := range r.Segments {
		piece = max(piece, r.Spacing*unit.Length(m)+r.caps/2)
	}
	args["Longest"] = b.Job.longest(r.Size)
	switch {
	case r.Segments == nil:
		out.add(FindSpliceFree, finding.Stop, r.Spacing, srcPractice, args)
	case len(r.Segments) > 1:
		args["Boards"] = len(r.Segments)
		args["Scab"], args["Screws"] = scabLength, r.Scab.Screws
		out.add(FindSplice, finding.Note, r.Length, srcPractice, args)
		if r.Scab.Use > 1 {
			args["Use"] = r.Scab.Use
			out.add(FindSpliceWeak, finding.Stop, r.Scab.Use, "nds2018", args)
		}
	}
	if piece > usual.Everywhere {
		out.add(FindLongBoard, finding.Note, piece, srcPractice, finding.Args{"Board": r.word(), "Piece": piece, "Usual": usual.Everywhere})
	}
}

// judgeHold gives the findings on the holds of a wall.
func (b *Bed) judgeHold(out *report, r Row, m HoldMake) {
	if r.Holds == 0 || !r.rated {
		return
	}
	args := finding.Args{"Board": r.word(), "Spacing": r.Spacing, "Force": m.Force, "Use": m.Use,
		"Size": m.Wood.String(), "Screws": m.Screws, "Uprights": m.Uprights, "Embed": m.Embed.ToMark(1, unit.Up), "Length": m.StakeLength, "Ground": b.Job.Support == Ground}
	counted := maps.Clone(args)
	counted["Count"] = r.Holds
	stake := m.Kind == Stake
	if m.Possible && m.Governs != HoldByDepth && m.Use > nearLimit {
		out.add(FindHoldNear, finding.Caution, m.Use, srcOwn, args)
	}
	switch {
	case stake && b.Job.Support != Ground:
		out.add(FindStakeGround, finding.Stop, nil, srcOwn, args)
	case stake && b.Job.Soil == SoftSoil:
		out.add(FindStakeSoft, finding.Stop, nil, "ibc1806", args)
	case !m.Possible:
		out.add(FindHoldFails, finding.Stop, m.Force, "nds2018", args)
	case stake:
		out.add(FindStake, finding.Note, m.Embed, "ibc1807", counted).Act = finding.AtCorner
		if m.Embed > easyStake {
			out.add(FindStakeDeep, finding.Note, m.Embed, srcPractice, args)
		}
		if r.Part == Side || b.Side.Holds == 0 { // once is enough
			out.add(FindDig, finding.Caution, nil, srcPractice, nil).Usual = true
		}
	default:
		out.add(FindTie, finding.Note, m.Force, "nds2018", counted).Act = finding.AtCorner
		wood, known := m.Wood.Dry()
		if known && b.Job.Support != Ground && b.carried() && (r.Part == Side || b.Side.Holds == 0) { // once is enough
			out.add(FindTieFloor, finding.Caution, wood.Wide, srcOwn, finding.Args{"Tie": wood.Wide + max(b.SideHold.Under, b.EndHold.Under)}).Act = finding.AtCorner
		}
		if m.Under > 0 {
			out.add(FindTieUnder, finding.Note, m.Under, srcOwn, finding.Args{"Board": r.word(), "Under": m.Under})
		}
	}
}

func (b *Bed) judgeCorner(out *report) {
	c := b.Corner
	args := finding.Args{"Pull": c.EndPull, "Screws": c.Screws, "Butt": c.Butt, "BlockToEnd": c.BlockToEnd,
		"BlockToSide": c.BlockToSide, "Block": c.Block.String(), "Needed": c.Needed, "Use": c.Use, "Length": c.BlockLength, "Long": c.Screw.Length}
	switch {
	case c.Plain:
		out.add(FindEndGrain, finding.Stop, c.EndPull, "nds2018", args)
	case c.Block == (Size{}):
	case c.Use > 1:
		out.add(FindCorner, finding.Stop, c.EndPull, "nds2018", args)
	default:
		if c.Use > nearLimit {
			out.add(FindCornerNear, finding.Caution, c.Use, srcOwn, args)
		}
		out.add(FindCornerBuild, finding.Note, c.EndPull, "nds2018", args).Act = finding.AtCorner
	}
}

// strong tells whether boards, holds and corners stand without a caution, other
// than on the ground that holds need and on screws past three quarters of their limit.
func (b *Bed) strong() bool { return b.judgeFrame().strong() }

// strong tells it of what was said of a frame.
func (r report) strong() bool {
	for _, f := range r {
		if f.Severity >= finding.Caution && f.ID != FindDig && f.ID != FindTieFloor && f.ID != FindHoldNear && f.ID != FindCornerNear {
			return false
		}
	}
	return true
}
