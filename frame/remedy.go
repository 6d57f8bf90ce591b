package frame

import (
	"cmp"

	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/unit"
)

// Remedies that Design offers when a frame does not hold.
const (
	FindRemedyHolds finding.ID = "frame.remedy_holds"
	FindRemedyBoard finding.ID = "frame.remedy_board"
	FindRemedyDepth finding.ID = "frame.remedy_depth"
	FindRemedyNone  finding.ID = "frame.remedy_none"
)

// Remedy is the smallest change of one kind that makes a frame hold. Job is the
// mended job; Design prices and draws it.
type Remedy struct {
	ID  finding.ID
	Job Job
	Bed Bed // not judged: its Findings are empty
}

// Remedies gives the changes that make a frame hold, one of each kind that can:
// the least number of holds with the same boards; the next board up with the
// same holds; the same boards with less water. Each is proven by computing it.
// Nil when the frame holds already, and for other vessels.
func (b Bed) Remedies(l Yard) []Remedy {
	if b.Job.Vessel.Shape != FrameShape || b.strong() {
		return nil
	}
	var out []Remedy
	for _, try := range []func(Yard) (Remedy, bool){b.moreHolds, b.nextBoard, b.lessWater} {
		if r, ok := try(l); ok {
			out = append(out, r)
		}
	}
	if len(out) == 0 {
		if r, ok := b.anyBoard(l); ok {
			out = append(out, r)
		}
	}
	return out
}

// prove gives the remedy when its job holds.
func prove(id finding.ID, j Job, l Yard) (Remedy, bool) {
	bed, err := design(j, l)
	if err != nil || !bed.strong() {
		return Remedy{}, false
	}
	return Remedy{ID: id, Job: j, Bed: bed}, true
}

func (b Bed) moreHolds(l Yard) (Remedy, bool) {
	j := b.Job
	j.Holds, j.PlainCorner = AutoHolds(), false
	if j.HoldBy == AnyHold || j.Support != Ground || j.Soil == SoftSoil {
		j.HoldBy = FloorTie
	}
	if r, ok := prove(FindRemedyHolds, j, l); ok {
		return r, true
	}
	j.HoldBy = FloorTie
	return prove(FindRemedyHolds, j, l)
}

// nextBoard tries larger boards, least wood first, with the holds as they are.
// A wall that is high enough and strong enough keeps its board.
func (b Bed) nextBoard(l Yard) (Remedy, bool) {
	sizes := BoardSizes()
	area := func(s Size) float64 { a, _, _ := b.Job.section(s).flat(); return a }
	inorder.Put(sizes, func(x, y Size) int { return cmp.Compare(area(x), area(y)) })
	for _, s := range sizes {
		j := b.Job
		j.PlainCorner = false
		if j.Holds == AutoHolds() && b.Side.Spacing < 30*unit.Inch { // stakes crowd: ties carry more
			j.HoldBy = FloorTie
		}
		if area(s) <= area(j.SideBoard) {
			continue
		}
		j.SideBoard, j.Longest = s, min(j.Longest, j.LongestElse)
		if r, ok := prove(FindRemedyBoard, j, l); ok {
			return r, true
		}
		if area(s) > area(j.EndBoard) {
			j.EndBoard = s
			if r, ok := prove(FindRemedyBoard, j, l); ok {
				return r, true
			}
		}
	}
	return Remedy{}, false
}

// lessWater lowers the water line to an inch and the level error below the rim.
func (b Bed) lessWater(l Yard) (Remedy, bool) {
	j := b.Job
	j.Depth = (b.Brim - unit.Inch - j.LevelError/2).ToMark(4, unit.Down)
	if j.Depth < leastDepth-unit.Inch/100 || j.Depth >= b.Job.Depth {
		return Remedy{}, false
	}
	return prove(FindRemedyDepth, j, l)
}

// anyBoard changes boards, courses and holds together, least wood first.
func (b Bed) anyBoard(l Yard) (Remedy, bool) {
	for courses := 1; courses <= 3; courses++ {
		for _, s := range BoardSizes()[:5] {
			j := b.Job
			j.Wall, j.PlainCorner, j.Holds, j.HoldBy = LumberWall, false, AutoHolds(), FloorTie
			j.SideBoard, j.EndBoard, j.Courses, j.Longest = s, s, courses, min(j.Longest, j.LongestElse)
			if r, ok := prove(FindRemedyBoard, j, l); ok && r.Bed.Brim >= j.Depth+unit.Inch {
				return r, true
			}
		}
	}
	return Remedy{}, false
}

// judgeRemedies turns the remedies into findings.
func (b *Bed) judgeRemedies(l Yard) (out report) {
	list := b.Remedies(l)
	for _, r := range list {
		args := finding.Args{"Holds": r.Bed.Side.Holds, "Ends": r.Bed.End.Holds, "Spacing": r.Bed.Side.Spacing,
			"Side": r.Job.SideBoard.String(), "End": r.Job.EndBoard.String(), "Courses": r.Job.Courses, "Depth": r.Job.Depth}
		if r.ID == FindRemedyHolds {
			args["Count"] = r.Bed.Side.Holds
		}
		out.add(r.ID, finding.Note, nil, srcOwn, args)
	}
	if len(list) == 0 && !b.strong() {
		out.add(FindRemedyNone, finding.Note, nil, srcOwn, nil)
	}
	return out
}
