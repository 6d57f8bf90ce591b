package raft

import (
	"math"
	"slices"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// WorkingOf derives the place of one hole, by its number from 1, on a piece that was laid out at a spacing: which column
// and row it is, where the first of them stands, and how far its nearest neighbour and the rim are. A number that there is
// not gives nothing.
func (l Layout) WorkingOf(number int, spacing unit.Length) []finding.Step {
	if number < 1 || number > len(l.Positions) {
		return nil
	}
	w, p := &finding.Working{}, l.Positions[number-1]
	var xs, ys []unit.Length
	for _, q := range l.Positions {
		xs, ys = append(xs, q.X), append(ys, q.Y)
	}
	m := l.plot.margin
	across := course{of: "x", apart: "work.raft.columns_apart", count: "work.raft.columns", from: "e_left", to: "e_right", size: "X", place: "work.raft.hole_x", first: "work.raft.first_x"}
	up := course{of: "y", apart: "work.raft.rows_apart", count: "work.raft.rows", from: "e_low", to: "e_high", size: "Y", place: "work.raft.hole_y", first: "work.raft.first_y"}
	across.work(w, l, xs, p.X, spacing, [3]unit.Length{unit.Length(m.left), unit.Length(m.right), l.Size.X})
	up.work(w, l, ys, p.Y, spacing, [3]unit.Length{unit.Length(m.low), unit.Length(m.high), l.Size.Y})
	if near, ok := l.nearest(number - 1); ok {
		w.Add("s_near", "work.raft.near", "sqrt(dx^2 + dy^2) >= s", apartMM(p, near), "mm", source.OwnChoice, mm("dx", near.X-p.X), mm("dy", near.Y-p.Y), mm("s", spacing))
	}
	w.Add("e_near", "work.raft.rim_near", "work.raft.rim_near_how", unit.Length(l.plot.edgeAt(p.X.Metres(), p.Y.Metres())).Millimetres(), "mm", source.OwnChoice, mm("e", unit.Length(l.plot.edge)))
	return w.Steps
}

// course is one direction of a sheet: the words for its columns, or its rows.
type course struct{ of, apart, count, from, to, size, place, first string }

// work derives where one column or row stands. Of a lattice on a clear sheet it is so many steps from the first, and the
// lattice stands in the middle of its room; elsewhere a search set it.
func (c course) work(w *finding.Working, l Layout, all []unit.Length, at, spacing unit.Length, room [3]unit.Length) {
	lines := distinct(all)
	d, rule, even := stepOf(lines, spacing)
	used := lines[len(lines)-1] - lines[0]
	near, far, size := room[0], room[1], room[2]
	middle := near + (size-near-far-used)/2
	if !l.Regular || l.Round || len(l.plot.boxes) > 0 || !even || math.Abs(float64(lines[0]-middle)) > 1e-6 {
		w.Add(c.of, c.place, "work.raft.searched_how", at.Millimetres(), "mm", source.OwnChoice)
		return
	}
	n := float64(len(lines))
	k := slices.IndexFunc(lines, func(x unit.Length) bool { return math.Abs(float64(x-at)) < 1e-6 }) + 1
	first, step := mm(c.of+"_1", lines[0]), mm("d", d)
	if len(lines) > 1 {
		w.Add("d", c.apart, rule, step.Value, "mm", source.OwnChoice, mm("s", spacing))
		w.Add("u", c.count, "(n - 1) d", used.Millimetres(), "mm", source.OwnChoice, finding.In("n", n, ""), step)
	}
	w.Add(c.of+"_1", c.first, c.from+" + ("+c.size+" - "+c.from+" - "+c.to+" - u)/2", first.Value, "mm", source.OwnChoice, mm(c.from, near), mm(c.to, far), mm(c.size, size), mm("u", used))
	w.Add(c.of, c.place, c.of+"_1 + (k - 1) d", at.Millimetres(), "mm", source.OwnChoice, first, finding.In("k", float64(k), ""), step)
}

// distinct gives the lines on which holes stand, in order.
func distinct(all []unit.Length) []unit.Length {
	out := slices.Sorted(slices.Values(all))
	return slices.CompactFunc(out, func(a, b unit.Length) bool { return math.Abs(float64(a-b)) < 1e-6 })
}

// stepOf gives how far such lines are apart and the rule of it: a spacing in rows and columns, half of one along staggered
// rows, and the height of their triangle across them. Not even where they are not all as far apart.
func stepOf(lines []unit.Length, spacing unit.Length) (d unit.Length, rule string, even bool) {
	if len(lines) == 1 {
		return 0, "", true
	}
	d = (lines[len(lines)-1] - lines[0]) / unit.Length(len(lines)-1)
	for i := 1; i < len(lines); i++ {
		if math.Abs(float64(lines[i]-lines[i-1]-d)) > 1e-6 {
			return 0, "", false
		}
	}
	for _, x := range []struct {
		rule  string
		share float64
	}{{"s", 1}, {"s/2", 0.5}, {"s sqrt(3)/2", math.Sqrt(3) / 2}} {
		if math.Abs(float64(d)-x.share*float64(spacing)) < 1e-6 {
			return d, x.rule, true
		}
	}
	return 0, "", false
}

// nearest gives the hole that stands closest to one.
func (l Layout) nearest(i int) (best Point, ok bool) {
	least := math.Inf(1)
	for k, q := range l.Positions {
		if d := apart(l.Positions[i], q); k != i && d < least {
			best, least, ok = q, d, true
		}
	}
	return best, ok
}

func apartMM(a, b Point) float64 { return unit.Length(apart(a, b)).Millimetres() }
