package raft

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
)

// infinite gives the path of the first float in a value that is NaN or infinite,
// "" where there is none. It looks into fields that are not exported too.
func infinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64, reflect.Float32:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Sprintf("%s is %v", path, x)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return infinite(v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if bad := infinite(v.Field(i), path+"."+v.Type().Field(i).Name); bad != "" {
				return bad
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if bad := infinite(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); bad != "" {
				return bad
			}
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			if bad := infinite(v.MapIndex(k), fmt.Sprintf("%s[%v]", path, k)); bad != "" {
				return bad
			}
		}
	}
	return ""
}

// The walk itself sees what it looks for.
func TestInfiniteSees(t *testing.T) {
	r := Raft{Layouts: []Layout{{plot: plot{boxes: []box{{x0: math.NaN()}}}}}}
	if infinite(reflect.ValueOf(r), "raft") != "raft.Layouts[0].plot.boxes[0].x0 is NaN" {
		t.Error("a NaN in a hidden field is not seen")
	}
	if infinite(reflect.ValueOf(map[string]any{"a": unit.Length(math.Inf(1))}), "m") == "" {
		t.Error("an infinite figure in a map is not seen")
	}
}

// A vessel that leaves one place for a hole, and an obstacle on it: a start of
// the search divided by the radius of that place.
func TestObstacleOnTheOnlyPlace(t *testing.T) {
	r, err := planned(Job{InsideDiameter: inches(12), Spacing: inches(12), Pattern: Best, Obstacles: []Obstacle{{Point{inches(5), inches(5)}, sheet(1, 1)}}})
	if err == nil {
		t.Errorf("%d holes at %v on a raft without a place for one", r.Holes, r.Positions)
	}
}

// A place that is no number does not stand, whatever search comes to it; the same place as numbers does.
func TestWhatIsNoNumberDoesNotStand(t *testing.T) {
	p := discOf(3)
	g := groundOf(p, 0.3)
	for _, c := range []struct {
		at    []xy
		stand bool
	}{
		{[]xy{{g.cx, g.cy}}, true}, {[]xy{{math.NaN(), g.cy}}, false}, {[]xy{{g.cx, math.NaN()}}, false}, {[]xy{{math.Inf(1), g.cy}}, false},
		{[]xy{{g.cx - 0.5, g.cy}, {g.cx + 0.5, g.cy}}, true}, {[]xy{{g.cx, g.cy}, {g.cx + 0.5, g.cy}}, false},
	} {
		w := newSwarm(&g, len(c.at))
		w.n = copy(w.v, c.at)
		if w.stands() != c.stand {
			t.Errorf("%v stands: %v", c.at, !c.stand)
		}
	}
}

// Whatever is asked, no figure of the answer is NaN or infinite: round rafts and
// sheets from tiny to large, obstacles anywhere, every pattern, with and without
// a nursery, pots, blocks and a depth.
func TestEveryFigureIsFinite(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	rafts := 0
	rapid.Check(t, func(t *rapid.T) {
		length := func(name string, least, most float64) unit.Length {
			return unit.Length(rapid.Float64Range(least, most).Draw(t, name))
		}
		now := func(name string) bool { return rapid.Bool().Draw(t, name) }
		j := Job{Pattern: rapid.SampledFrom([]Pattern{Square, Staggered, Best}).Draw(t, "pattern"), Hole: length("hole", 0.005, 0.1)}
		j.Spacing = j.Hole + length("spacing", 0.001, 0.4)
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			j.InsideDiameter = length("inside diameter", 0.1, 1)
		case 1:
			j.Diameter = length("diameter", 0.05, 1)
		case 2:
			j.Sheet = Size{length("x", 0.05, 1), length("y", 0.05, 1)}
			j.Across, j.Along = rapid.IntRange(0, 2).Draw(t, "across"), rapid.IntRange(0, 2).Draw(t, "along")
		case 3:
			j.Sheet, j.Inside = Size{length("x", 0.05, 1), length("y", 0.05, 1)}, Size{length("inside x", 0.1, 1.5), length("inside y", 0.1, 1.5)}
		}
		if now("edge given") {
			j.Edge = j.Hole/2 + length("edge", 0.001, 0.3)
		}
		if now("obstacle") {
			for range rapid.IntRange(1, 3).Draw(t, "obstacles") {
				j.Obstacles = append(j.Obstacles, Obstacle{Point{length("at x", -0.1, 1), length("at y", -0.1, 1)}, Size{length("wide", 0, 0.5), length("high", 0, 0.5)}})
			}
		}
		if now("nursery") {
			j.NurserySpacing = j.Hole + (j.Spacing-j.Hole)*0.6
		}
		if now("rest") {
			j.Depth, j.Block = length("depth", 0, 0.3), length("block", 0, 0.2)
			j.Pot = Pot{Height: length("pot", 0.01, 0.1), Rim: length("rim", 0.01, 0.1)}
			j.Published = Range{Least: 10, Most: 40}
		}
		j.Steps = 100_000
		r, err := planned(j)
		if err != nil {
			return
		}
		rafts++
		if bad := infinite(reflect.ValueOf(r), "raft"); bad != "" {
			t.Fatal(bad)
		}
		if bad := infinite(reflect.ValueOf(r.Working()), "working"); bad != "" {
			t.Fatal(bad)
		}
		if bad := infinite(reflect.ValueOf(r.Alternatives()), "alternatives"); bad != "" {
			t.Fatal(bad)
		}
	})
	if rafts < 20 {
		t.Errorf("only %d rafts were planned", rafts)
	}
}
