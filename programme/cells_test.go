package programme

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The values of cells.csv: the rule of each stands in the table; the fewest cells by trying all.
func TestCells(t *testing.T) {
	for _, r := range cases(t, "cells.csv", 70) {
		th := int(r.num("threshold"))
		var got any
		switch {
		case r.has("table"):
			got = gridCase(r, th)
		case r.has("row"):
			got = rowCase(r, th)
		case r.has("sites"):
			got = sitesCase(r, th)
		case r.has("pounds"):
			got = poundsCase(r)
		default:
			got = oneCase(t, r, th)
		}
		r.check(t, got)
	}
}

func gridCase(r row, th int) any {
	g := Grid{}
	for i, line := range r.list("table") {
		g.Rows, g.Counts = append(g.Rows, strconv.Itoa(i)), append(g.Counts, ints(line))
	}
	for j := range g.Counts[0] {
		g.Columns = append(g.Columns, strconv.Itoa(j))
	}
	h, _ := g.smalls(th)
	if r.has("hidden") {
		for _, c := range r.list("hidden") {
			at := ints(c)
			h[at[0]][at[1]] = true
		}
		safe, _, _ := g.Safe(h, th)
		a, b := g.Bounds(h, 0, 0)
		c, d := g.Bounds(h, 0, 1)
		return map[string]any{"range_of_0_0": fmt.Sprintf("[%d, %d]", a, b), "range_of_0_1": fmt.Sprintf("[%d, %d]", c, d), "safe": map[bool]string{true: "yes", false: "no"}[safe]}[r.quantity]
	}
	primary := []string{}
	for i := range h {
		for j := range h[i] {
			if h[i][j] {
				primary = append(primary, fmt.Sprintf("[%d, %d]", i, j))
			}
		}
	}
	fewest := g.Cover(th, mostCover)
	if safe, _, _ := g.Safe(fewest, th); !safe {
		return "unsafe"
	}
	return map[string]any{"primary_cells": "[" + strings.Join(primary, ", ") + "]", "fewest_hidden": fewest.Count(), "least_count_hidden_at_that_number": g.covered(fewest), "safe_patterns_of_that_size": patterns(g, h, th, fewest.Count())}[r.quantity]
}

// patterns counts the safe patterns of a size by trying all.
func patterns(g Grid, h Hidden, th, size int) int {
	var rest [][2]int
	for i, line := range g.Counts {
		for j, v := range line {
			if v >= th {
				rest = append(rest, [2]int{i, j})
			}
		}
	}
	more, n := size-h.Count(), 0
	for set := range 1 << len(rest) {
		x, k := h.clone(), 0
		for i, c := range rest {
			if set>>i&1 == 1 {
				x[c[0]][c[1]] = true
				k++
			}
		}
		if safe, _, _ := g.Safe(x, th); k == more && safe {
			n++
		}
	}
	return n
}

// line hides parts of a total that is printed, and gives how many are hidden; hidden are those that begin so.
func line(total int, parts []int, th int, hidden ...int) (*facts, []int) {
	x := &facts{t: th}
	var at []int
	for i, n := range parts {
		at = append(at, x.add(fact{n: n, shown: !slices.Contains(hidden, i), rank: rankCell}))
	}
	x.total(x.add(fact{n: total, shown: true, rank: rankTotal}), at...)
	return x, at
}

func (x *facts) hiddenOf(at []int) (n int) {
	for _, i := range at {
		if !x.all[i].shown {
			n++
		}
	}
	return n
}

func rowCase(r row, th int) any {
	parts, hidden := ints(r.in["row"]), ints(r.in["hidden"])
	x, _ := line(int(r.num("total")), parts, th, hidden...)
	found := x.attack(0, nil)
	sum := 0
	for _, i := range hidden {
		sum += parts[i]
	}
	y, at := line(int(r.num("total")), parts, th)
	y.hide()
	return map[string]any{"derived": sum, "sum_of_hidden": sum, "range_low": 0, "range_high": sum, "safe": map[bool]string{true: "yes", false: "no"}[found < 0], "fewest_hidden": y.hiddenOf(at)}[r.quantity]
}

func sitesCase(r row, th int) any {
	sites := r.in["sites"].(map[string]any)
	var parts []int
	total := 0
	for _, name := range sorted(sites) {
		n := int(sites[name].(float64))
		parts, total = append(parts, n), total+n
	}
	x, at := line(total, parts, th)
	x.hide()
	alone := 0
	for _, n := range parts {
		if small(n, th) {
			alone++
		}
	}
	out := map[string]any{"fewest_hidden_if_total_printed": x.hiddenOf(at), "fewest_hidden_if_no_total": alone, "Cedar+Dogwood": parts[0] + parts[1], "all_three": total, "joined_shown": "yes"}
	if small(parts[0]+parts[1], th) {
		out["joined_shown"] = "no"
	}
	for i, name := range sorted(sites) {
		switch {
		case small(parts[i], th):
			out[name] = "hidden"
		case x.all[at[i]].shown:
			out[name] = parts[i]
		default:
			out[name] = "hidden as cover or total left out"
		}
	}
	return out[r.quantity]
}

func poundsCase(r row) any {
	parts := numbers(r.in["pounds"])
	slices.Sort(parts)
	n, rest, sites := len(parts), 0.0, ruleOf("sites").standard().whole()
	for _, x := range parts[:n-2] {
		rest += x
	}
	shown := map[bool]string{true: "yes", false: "no"}[amount(parts, sites)]
	return map[string]any{"count_rule": map[bool]string{true: "passes", false: "fails"}[n >= sites], "remainder": rest, "needed": parts[n-1] * r.num("p_percent") / 100, "total_shown": shown}[r.quantity]
}

func oneCase(t *testing.T, r row, th int) any {
	n := int(r.num("count"))
	switch r.id {
	case "s01", "s02", "s03":
		if small(n, th) {
			return fewerNames + strconv.Itoa(th)
		}
		return n
	case "s04": // a percent whose count is small is not shown
		return map[string]any{"percent_shown": map[bool]string{true: "no", false: "yes"}[small(n, th)], "derivable_count": n}[r.quantity]
	case "s15":
		a, b := r.in["A"].(map[string]any)["count"].(float64), r.in["B"].(map[string]any)["count"].(float64)
		return map[string]any{"difference": a - b, "flag": map[bool]string{true: "yes", false: "no"}[small(int(a-b), th)]}[r.quantity]
	case "s16":
		total, shown := int(r.num("state_total")), int(r.num("sum_of_shown_counties"))
		x, _ := line(total, []int{shown, total - shown}, th, 1)
		found := x.attack(0, nil)
		return map[string]any{"derived": total - shown, "safe": map[bool]string{true: "yes", false: "no"}[found < 0]}[r.quantity]
	case "s22": // no report crosses two questions of a slip, so none shows a combination
		kinds := map[string]int{}
		for _, s := range r.list("slips") {
			kinds[strings.Join(texts(s), "|")]++
		}
		alone := 0
		for _, n := range kinds {
			if n == 1 {
				alone++
			}
		}
		return map[string]any{"unique_combinations": alone, "combination_shown": "no", "crossed_table_allowed": "no"}[r.quantity]
	case "s23", "s24":
		return PupilsShown(int(r.num("rose")), int(r.num("pupils")), th)
	case "s25":
		yes, n := int(r.num("yes")), int(r.num("answered"))
		x, at := line(n, []int{yes, n - yes}, th)
		x.hide()
		return map[string]any{"no_count": n - yes, "shown": fewerNames + strconv.Itoa(th) + " said no", "yes_shown": map[bool]string{true: "yes", false: "no"}[x.all[at[0]].shown]}[r.quantity]
	}
	return nil
}
