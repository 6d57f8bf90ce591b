package raft_test

import (
	"context"
	"fmt"

	"raftwright/raft"
	"raftwright/unit"
)

// The trade's raft: a 4 x 8 ft sheet, holes 12 in apart and 6 in from the edge.
func Example() {
	r, err := raft.Plan(context.Background(), raft.Job{
		Sheet:     raft.Size{X: 4 * unit.Foot, Y: 8 * unit.Foot},
		Thickness: 1.5 * unit.Inch, Foam: "xps X", Gap: unit.Inch / 2,
		Spacing: 12 * unit.Inch, Edge: 6 * unit.Inch, Hole: 2.5 * unit.Inch, Pattern: raft.Square,
		PotMass: 60 * unit.Gram, HeadMass: 250 * unit.Gram,
	}, raft.DefaultBook())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Holes, "holes, at most", r.UpperBound)
	fmt.Printf("inside of the frame %s x %s\n", r.Inside.Y.Tape(16, unit.Nearest), r.Inside.X.Tape(16, unit.Nearest))
	fmt.Printf("draft %.1f mm planted, %.1f mm grown, %.0f mm above the water\n",
		r.Float.Draft.Millimetres(), r.Float.DraftGrown.Millimetres(), r.Float.Freeboard.Millimetres())
	fmt.Printf("%.0f lb on a corner or %.0f lb on a side sinks it there\n", r.Sink.OnCorner.Pounds(), r.Sink.OnRim.Pounds())
	// Output:
	// 32 holes, at most 35
	// inside of the frame 97 in x 49 in
	// draft 1.5 mm planted, 4.3 mm grown, 34 mm above the water
	// 22 lb on a corner or 43 lb on a side sinks it there
}

// Marks are read from the left and the bottom edge, never from hole to hole.
func ExampleLayout_Guide() {
	r, err := raft.Plan(context.Background(), raft.Job{Sheet: raft.Size{X: 4 * unit.Foot, Y: 4 * unit.Foot}, Spacing: 8 * unit.Inch, Edge: 6 * unit.Inch, Pattern: raft.Staggered}, raft.DefaultBook())
	if err != nil {
		fmt.Println(err)
		return
	}
	g := r.Layouts[0].Guide(r.Job.Spacing, r.Job.Edge)
	for i, marks := range g.Settings {
		fmt.Print("setting ", i+1, ":")
		for _, m := range marks {
			fmt.Print(" ", m.Tape.Tape(16, unit.Nearest))
		}
		fmt.Println()
	}
	for _, row := range g.Rows {
		fmt.Println(row.Y.Tape.Tape(16, unit.Nearest), "up: setting", row.Setting+1)
	}
	// Output:
	// setting 1: 6 in 14 in 22 in 30 in 38 in
	// setting 2: 10 in 18 in 26 in 34 in 42 in
	// 6-11/16 in up: setting 1
	// 13-5/8 in up: setting 2
	// 20-9/16 in up: setting 1
	// 27-1/2 in up: setting 2
	// 34-7/16 in up: setting 1
	// 41-3/8 in up: setting 2
}

// Eight heads a week that stand four weeks on the raft, one plant in ten lost.
func ExampleHolesFor() {
	holes := raft.HolesFor(8, 4*unit.Week, 10*unit.Percent)
	fmt.Println(holes, "holes,", raft.SheetsFor(holes, 32), "sheets of 32")
	// Output: 36 holes, 2 sheets of 32
}
