package raft

import (
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// Findings of this room.
const (
	FindSinks         finding.ID = "raft.sinks"
	FindLowFreeboard  finding.ID = "raft.low_freeboard"
	FindTooBig        finding.ID = "raft.too_big"
	FindPotFalls      finding.ID = "raft.pot_falls"
	FindPotDry        finding.ID = "raft.pot_dry"
	FindPotDryFoam    finding.ID = "raft.pot_dry_foam"
	FindPotShallow    finding.ID = "raft.pot_shallow"
	FindPotDeep       finding.ID = "raft.pot_deep"
	FindPotDeeper     finding.ID = "raft.pot_deeper"
	FindWeb           finding.ID = "raft.web"
	FindRim           finding.ID = "raft.rim"
	FindThinFoam      finding.ID = "raft.thin_foam"
	FindLift          finding.ID = "raft.lift"
	FindLiftBreaks    finding.ID = "raft.lift_breaks"
	FindUptake        finding.ID = "raft.uptake"
	FindList          finding.ID = "raft.list"
	FindListDrowns    finding.ID = "raft.list_drowns"
	FindRimLoad       finding.ID = "raft.rim_load"
	FindPlayOpen      finding.ID = "raft.play_open"
	FindTrimmed       finding.ID = "raft.trimmed"
	FindTrimEdge      finding.ID = "raft.trim_edge"
	FindCover         finding.ID = "raft.cover_strip"
	FindSeam          finding.ID = "raft.seam"
	FindRoundJoined   finding.ID = "raft.round_joined"
	FindJointHoles    finding.ID = "raft.joint_holes"
	FindOtherPattern  finding.ID = "raft.other_pattern"
	FindUnsearched    finding.ID = "raft.best_unsearched"
	FindSpent         finding.ID = "raft.search_spent"
	FindSparse        finding.ID = "raft.sparse"
	FindCrowded       finding.ID = "raft.crowded"
	FindCloser        finding.ID = "raft.closer"
	FindNoAirGap      finding.ID = "raft.no_air_gap"
	FindGrounds       finding.ID = "raft.grounds"
	FindNeverFloats   finding.ID = "raft.never_floats"
	FindTape          finding.ID = "raft.tape"
	FindMarkFirst     finding.ID = "raft.mark_before_cutting"
	FindDust          finding.ID = "raft.foam_dust"
	FindFood          finding.ID = "raft.foam_food"
	FindNurserySparse finding.ID = "raft.nursery_gain"
)

// Limits of this room (our choice unless a source stands beside the finding).
const (
	leastFreeboard = unit.Inch / 4
	tellList       = unit.Inch / 2
	openPlay       = unit.Inch / 4
	breakingUse    = 0.5
	deeperThan     = unit.Inch / 4
)

// tell adds a finding.
func (r *Raft) tell(id finding.ID, s finding.Severity, src source.ID, figure any, args finding.Args) *finding.Finding {
	r.Findings = append(r.Findings, finding.Finding{ID: id, Severity: s, Args: args, Figure: figure, Source: src})
	return &r.Findings[len(r.Findings)-1]
}

// lifting tells a caution about lifting, which every raft has.
func (r *Raft) lifting(id finding.ID, src source.ID, figure any, args finding.Args) {
	f := r.tell(id, finding.Caution, src, figure, args)
	f.Act, f.Usual = finding.AtLift, true
}

// find looks the finished raft over.
func (r *Raft) find() {
	r.findFloat()
	r.findPots()
	r.findFoam()
	r.findRoom()
	r.findHoles()
	r.findRest()
	finding.Hurting(r.Findings, finding.Person, FindLift, FindLiftBreaks, FindRimLoad, FindDust)
	finding.Hurting(r.Findings, finding.Harvest, FindSinks, FindPotDry, FindPotDryFoam)
	finding.Sort(r.Findings)
}

func (r *Raft) findFloat() {
	f := r.Float
	switch {
	case f.Freeboard <= 0:
		r.tell(FindSinks, finding.Stop, "archimedes", f.DraftGrown, finding.Args{"Draft": f.DraftGrown, "Thickness": r.Job.Thickness})
		return
	case r.Job.Thickness-f.DraftOld < leastFreeboard:
		r.tell(FindLowFreeboard, finding.Caution, source.OwnChoice, f.Freeboard, finding.Args{"Freeboard": r.Job.Thickness - f.DraftOld})
	}
	if add := f.DraftOld - f.DraftGrown; add > unit.Millimetre {
		r.tell(FindUptake, finding.Note, r.Foam.Source, add, finding.Args{"Kind": r.Foam.Kind, "Mass": f.Uptake, "Deeper": add})
	}
	switch l := r.List; {
	case l.LowDraft >= r.Job.Thickness:
		r.tell(FindListDrowns, finding.Caution, "archimedes", l.LowDraft, finding.Args{"Rise": l.Rise})
	case l.Rise > tellList:
		r.tell(FindList, finding.Note, "archimedes", l.Rise, finding.Args{"Rise": l.Rise})
	}
	r.lifting(FindRimLoad, "archimedes", r.Sink.OnCorner, finding.Args{"Corner": r.Sink.OnCorner, "Rim": r.Sink.OnRim, "Round": r.Round})
}

func (r *Raft) findPots() {
	d, j := r.Dip, r.Job
	if d.FallsThrough {
		r.tell(FindPotFalls, finding.Caution, source.CommonPractice, j.Pot.Rim, finding.Args{"Rim": j.Pot.Rim, "Hole": j.Hole})
	}
	args := finding.Args{"Short": d.Remedy.Short, "Height": d.Remedy.PotHeight, "Foam": d.Remedy.Foam, "Wet": d.WetGrown, "Limit": d.Deepest,
		"Over": d.Below - d.Asked, "Asked": d.Asked}
	switch {
	case d.WetPlanted <= 0 && d.Remedy.Foam > 0:
		r.tell(FindPotDryFoam, finding.Caution, source.CommonPractice, d.WetPlanted, args)
	case d.WetPlanted <= 0:
		r.tell(FindPotDry, finding.Caution, source.CommonPractice, d.WetPlanted, args)
	case d.Remedy.Short > 0:
		r.tell(FindPotShallow, finding.Note, source.CommonPractice, d.Below, args)
	case d.WetGrown > d.Deepest:
		r.tell(FindPotDeep, finding.Caution, source.OwnChoice, d.WetGrown, args)
	case d.Below-d.Asked > deeperThan:
		r.tell(FindPotDeeper, finding.Note, source.CommonPractice, d.Below, args)
	}
}

func (r *Raft) findFoam() {
	j := r.Job
	if web := r.LeastSpacing - j.Hole; r.LeastSpacing > 0 && web < j.Thickness*(1-tolerance) {
		r.tell(FindWeb, finding.Caution, source.CommonPractice, web, finding.Args{"Web": web, "Thickness": j.Thickness})
	}
	if rim := r.LeastEdge - j.Hole/2; rim < j.Thickness*(1-tolerance) {
		r.tell(FindRim, finding.Caution, source.CommonPractice, rim, finding.Args{"Rim": rim, "Thickness": j.Thickness})
	}
	longest := r.fullest().Size
	if side := max(longest.X, longest.Y); j.Thickness < usual.Thickness-unit.Millimetre && side > 1.3*unit.Metre {
		r.tell(FindThinFoam, finding.Caution, source.CommonPractice, j.Thickness, finding.Args{"Thickness": j.Thickness, "Length": side})
	}
	if r.Lift.Use > breakingUse {
		r.lifting(FindLiftBreaks, r.Foam.Source, r.Lift.Use, finding.Args{"Use": r.Lift.Use, "Mass": r.Lift.Mass, "Breaks": r.Lift.Use >= 1})
	}
	if r.Lift.Mass > r.Lift.OneLimit {
		r.lifting(FindLift, "niosh1994", r.Lift.Mass, finding.Args{"Mass": r.Lift.Mass, "Limit": r.Lift.OneLimit})
	}
	r.tell(FindDust, finding.Caution, "foam.safety", nil, finding.Args{}).Usual = true
	r.tell(FindFood, finding.Note, "cfr177.1640", nil, finding.Args{})
}

func (r *Raft) findRoom() {
	j := r.Job
	play := min(r.Play.X, r.Play.Y)
	if play < 0 {
		r.tell(FindTooBig, finding.Stop, source.CommonPractice, -play, finding.Args{"Over": -2 * play})
	} else if wide := max(r.Play.X, r.Play.Y); wide > openPlay*(1+tolerance) {
		r.tell(FindPlayOpen, finding.Note, source.CommonPractice, wide, finding.Args{"Play": wide})
	}
	if trim := max(r.fit.Trimmed.X, r.fit.Trimmed.Y); trim > tolerance {
		size := r.fullest().Size
		r.tell(FindTrimmed, finding.Note, source.CommonPractice, trim, finding.Args{"Width": size.X, "Length": size.Y})
		if edge, holes := r.smallerEdge(max(r.fit.Short.X, r.fit.Short.Y) / 2); holes > r.Holes && !r.crowded() {
			r.tell(FindTrimEdge, finding.Note, source.OwnChoice, edge, finding.Args{"Edge": edge, "Holes": holes, "Now": r.Holes})
		}
	}
	for _, l := range r.Layouts {
		if len(l.Positions) == 0 {
			r.tell(FindCover, finding.Note, source.CommonPractice, l.Size.X, finding.Args{"Width": min(l.Size.X, l.Size.Y)})
		}
	}
	if (r.columns() > 1 || r.rows() > 1) && j.Edge < j.Spacing/2*(1-tolerance) {
		r.tell(FindSeam, finding.Note, source.OwnChoice, j.Spacing/2, finding.Args{"Half": j.Spacing / 2})
	}
	if r.Round {
		r.tell(FindMarkFirst, finding.Note, source.CommonPractice, nil, finding.Args{})
		if r.SheetsToBuy > 1 {
			r.tell(FindRoundJoined, finding.Note, source.CommonPractice, j.Diameter, finding.Args{"Diameter": j.Diameter, "Count": r.SheetsToBuy})
			if n := r.jointHoles(); n > 0 {
				r.tell(FindJointHoles, finding.Note, source.OwnChoice, n, finding.Args{"Count": n})
			}
		}
	}
}

// smallerEdge counts the holes if the edge gave way by so much, in the better
// lattice of the same pattern.
func (r *Raft) smallerEdge(by unit.Length) (unit.Length, int) {
	edge := r.Job.Edge - by
	if edge < r.Job.Hole/2+r.Job.Thickness/2 {
		return edge, 0
	}
	holes := 0
	for _, piece := range r.Pieces {
		p := r.Layouts[piece.Layout].plot.spaced(edge.Metres(), r.Job.Spacing.Metres())
		n := p.square(r.Job.Spacing)
		if r.Job.Pattern != Square {
			n = max(n, p.staggered(r.Job.Spacing))
		}
		holes += n
	}
	return edge, holes
}

func (r *Raft) findHoles() {
	j := r.Job
	squares, staggered, unsearched, spent := 0, 0, false, false
	for _, p := range r.Pieces {
		l := r.Layouts[p.Layout]
		squares += l.SquareHoles
		staggered += max(l.StaggeredAlongX, l.StaggeredAlongY)
		spent = spent || l.Spent
		unsearched = unsearched || j.Pattern == Best && !l.Searched && len(l.Positions) < l.UpperBound
	}
	switch {
	case j.Pattern == Square && staggered > r.Holes:
		r.tell(FindOtherPattern, finding.Note, source.OwnChoice, staggered, finding.Args{"Pattern": finding.Word("word.pattern_staggered"), "Count": staggered, "Now": r.Holes})
	case j.Pattern == Staggered && squares > r.Holes:
		r.tell(FindOtherPattern, finding.Note, source.OwnChoice, squares, finding.Args{"Pattern": finding.Word("word.pattern_square"), "Count": squares, "Now": r.Holes})
	case unsearched:
		r.tell(FindUnsearched, finding.Note, source.OwnChoice, r.Holes, finding.Args{"Count": r.Holes})
	case spent && j.Steps > 0: // fewer steps than usual, perhaps
		r.tell(FindSpent, finding.Note, source.OwnChoice, r.Holes, finding.Args{"Count": r.Holes, "Steps": j.Steps})
	}
	if d := j.Published; d.Most > 0 {
		args := finding.Args{"Density": unit.PlantDensity(r.PerSquareMetre), "Least": unit.PlantDensity(d.Least), "Most": unit.PlantDensity(d.Most)}
		switch {
		case r.PerSquareMetre < d.Least:
			r.tell(FindSparse, finding.Note, d.Source, unit.PlantDensity(r.PerSquareMetre), args)
			r.findCloser()
		case r.crowded():
			r.tell(FindCrowded, finding.Caution, d.Source, unit.PlantDensity(r.PerSquareMetre), args)
		}
	}
	worst := unit.Length(0)
	for _, l := range r.Layouts {
		a := l.accuracy(l.round(unit.Inch/tapeParts, j.Spacing, j.Edge), j.Spacing, j.Edge)
		worst = max(worst, a.SpacingShort, a.EdgeShort)
	}
	if worst > 0 {
		r.tell(FindTape, finding.Note, source.OwnChoice, worst, finding.Args{"Short": worst})
	}
	if n := r.Nursery; n != nil {
		r.tell(FindNurserySparse, finding.Note, source.OwnChoice, n.Fills, finding.Args{"Count": len(n.Layout.Positions), "Fills": n.Fills, "Spacing": j.NurserySpacing})
	}
}

// crowded says whether more plants stand on the raft than was published for the crop.
func (r *Raft) crowded() bool {
	return r.Job.Published.Most > 0 && r.PerSquareMetre > r.Job.Published.Most
}

// findCloser names the widest spacing that reaches the published range, where
// whole inches do.
func (r *Raft) findCloser() {
	for _, a := range r.Alternatives() {
		if a.Spacing < r.Job.Spacing && a.PerSquareMetre >= r.Job.Published.Least {
			pattern, holes := finding.Word("word.pattern_square"), a.Square
			if a.Staggered > a.Square {
				pattern, holes = "word.pattern_staggered", a.Staggered
			}
			r.tell(FindCloser, finding.Note, r.Job.Published.Source, a.Spacing, finding.Args{"Spacing": a.Spacing, "Holes": holes, "Pattern": pattern, "Density": unit.PlantDensity(a.PerSquareMetre)})
			return
		}
	}
}

func (r *Raft) findRest() {
	b := r.Rest
	switch {
	case b == nil:
		r.tell(FindNoAirGap, finding.Note, "airgap2009", nil, finding.Args{})
	case r.Job.Depth > 0 && b.FallToGround < 0:
		r.tell(FindNeverFloats, finding.Caution, "airgap2009", b.GroundsGrown, finding.Args{"Depth": r.Job.Depth, "Level": b.GroundsGrown})
	default:
		r.tell(FindGrounds, finding.Note, "airgap2009", b.GroundsGrown, finding.Args{"Level": b.GroundsGrown, "Dry": b.PotsDry})
	}
}
