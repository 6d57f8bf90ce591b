package main

import (
	"fmt"
	"math"
	"testing"
)

// Layouts of shared/reference/structure/raft_layouts.csv, counted there by two
// programs; the first is also common practice: 32 plants on 4 x 8 ft.
func TestRaftLayouts(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	searched := 0
	for _, row := range reference(t, "structure/raft_layouts.csv") {
		brief := func(pattern string) string {
			return fmt.Sprintf("raft: {sheet: [%s in, %s in], edge: %s in, spacing: %s in, hole: 1 in, pattern: %s}\n",
				row["sheet_width_in"], row["sheet_length_in"], row["edge_in"], row["spacing_in"], pattern)
		}
		name := fmt.Sprintf("%s x %s in, %s in from the edge, %s in apart", row["sheet_width_in"], row["sheet_length_in"], row["edge_in"], row["spacing_in"])
		if got, w := ask(t, brief("square"), "raft").number(t, "holes"), figure(t, row, "square_grid"); got != w {
			t.Errorf("%s: %g holes in squares, not %g", name, got, w)
		}
		staggered := math.Max(figure(t, row, "staggered_rows_along_length"), figure(t, row, "staggered_rows_along_width"))
		if got := ask(t, brief("staggered"), "raft").number(t, "holes"); got < staggered {
			t.Errorf("%s: %g staggered holes, %g are possible", name, got, staggered)
		}
		if row["most_found_here_by_search"] == "" || searched >= 2 {
			continue
		}
		searched++ // each takes most of a second
		d := ask(t, brief("best"), "raft")
		if got := d.number(t, "holes"); got < figure(t, row, "best_lattice") || got > figure(t, row, "oler_upper_bound") {
			t.Errorf("%s: the best has %g holes, not %s to %s", name, got, row["best_lattice"], row["oler_upper_bound"])
		}
		checkHoles(t, name+", best", d, figure(t, row, "spacing_in")*25.4, figure(t, row, "edge_in")*25.4)
	}
}

// The positions are those that the figures tell of: none nearer to another or to
// the rim than said, none than asked for, none off the raft.
func TestHolesKeepTheirDistances(t *testing.T) {
	for _, c := range []struct{ width, length, edge, spacing float64 }{{48, 96, 6, 12}, {24, 48, 4, 8}, {47, 95, 5.5, 12}, {40, 80, 3, 7}, {20, 31, 4, 6.5}} {
		for _, pattern := range []string{"square", "staggered"} {
			d := ask(t, fmt.Sprintf("raft: {sheet: [%g in, %g in], edge: %g in, spacing: %g in, hole: 2 in, pattern: %s}\n", c.width, c.length, c.edge, c.spacing, pattern), "raft")
			checkHoles(t, fmt.Sprint(c, pattern), d, c.spacing*25.4, c.edge*25.4)
		}
	}
	for _, pattern := range []string{"square", "staggered"} {
		d := ask(t, "raft: {diameter: 1.5 m, edge: 100 mm, spacing: 200 mm, pattern: "+pattern+"}\n", "raft")
		checkHoles(t, "round "+pattern, d, 200, 100)
	}
}

func checkHoles(t *testing.T, name string, d document, spacing, edge float64) {
	t.Helper()
	width, length := d.number(t, "width_mm"), d.number(t, "length_mm")
	round, _ := d.at("round")
	least, rim := math.Inf(1), math.Inf(1)
	var seen [][2]float64
	for _, x := range d.list(t, "positions_mm") {
		q := [2]float64{x.([]any)[0].(float64), x.([]any)[1].(float64)}
		for _, o := range seen {
			least = math.Min(least, math.Hypot(q[0]-o[0], q[1]-o[1]))
		}
		seen = append(seen, q)
		if round == true {
			rim = math.Min(rim, width/2-math.Hypot(q[0]-width/2, q[1]-length/2))
		} else {
			rim = math.Min(rim, math.Min(math.Min(q[0], width-q[0]), math.Min(q[1], length-q[1])))
		}
	}
	if float64(len(seen)) != d.number(t, "holes") || len(seen) == 0 {
		t.Errorf("%s: %d positions for %g holes", name, len(seen), d.number(t, "holes"))
	}
	const slack = 1e-6 // mm
	if least < spacing-slack || rim < edge-slack {
		t.Errorf("%s: holes are %.2f mm apart and %.2f mm from the rim, not %.2f and %.2f", name, least, rim, spacing, edge)
	}
	if got := d.number(t, "least_spacing_mm"); len(seen) > 1 && math.Abs(got-least) > 1e-3 {
		t.Errorf("%s: least spacing %.4f, by the positions %.4f", name, got, least)
	}
	if got := d.number(t, "least_edge_mm"); math.Abs(got-rim) > 1e-3 {
		t.Errorf("%s: least edge %.4f, by the positions %.4f", name, got, rim)
	}
}
