package raft

import (
	"math"
	"testing"

	"raftwright/unit"
)

// A disc of 95 in takes two sheets of 48 by 96 in, whose one joint runs through
// its middle; one of 47 in takes one sheet and has no joint.
func TestJointOfADisc(t *testing.T) {
	for _, pattern := range []Pattern{Square, Staggered, Best} {
		r := must(t, Job{Diameter: inches(95), Spacing: inches(8), Edge: inches(5), Hole: inches(2.5), Pattern: pattern})
		onX, onY := 0, 0
		for _, p := range r.Layouts[0].Positions {
			if math.Abs(p.X.Inches()-47.5) < 1.25-1e-6 {
				onX++
			}
			if math.Abs(p.Y.Inches()-47.5) < 1.25-1e-6 {
				onY++
			}
		}
		if r.SheetsToBuy != 2 || r.jointHoles() != min(onX, onY) || has(r, FindJointHoles) != (min(onX, onY) > 0) || !has(r, FindRoundJoined) {
			t.Errorf("%v: %d sheets, %d holes on the joint, want %d or %d", pattern, r.SheetsToBuy, r.jointHoles(), onX, onY)
		}
	}
	if r := must(t, Job{Diameter: inches(47), Spacing: inches(8), Edge: inches(5)}); r.jointHoles() != 0 || has(r, FindRoundJoined) || has(r, FindJointHoles) {
		t.Error("a disc out of one sheet has a joint")
	}
}

// The pages beside a disc are not printed: those that no foam touches, counted
// here by trying a fine grid of points of each page.
func TestPagesBesideADisc(t *testing.T) {
	r := must(t, Job{Diameter: inches(95), Spacing: inches(8), Edge: inches(5), Pattern: Square})
	l := r.Layouts[0]
	tmpl, err := l.Template(Letter, r.Job.Hole)
	if err != nil {
		t.Fatal(err)
	}
	outside := 0
	for _, p := range tmpl.Pages {
		foam := false
		for i := range 41 {
			for k := range 41 {
				x, y := p.From.X+tmpl.Window.X*unit.Length(i)/40, p.From.Y+tmpl.Window.Y*unit.Length(k)/40
				foam = foam || math.Hypot(x.Inches()-47.5, y.Inches()-47.5) < 47.4
			}
		}
		if p.Outside && foam || !p.Outside && !foam && p.Blank {
			t.Errorf("page %s: outside %v, foam %v", p.Name, p.Outside, foam)
		}
		if p.Outside {
			outside++
		}
	}
	if outside < 4 {
		t.Errorf("only %d pages lie outside", outside)
	}
}
