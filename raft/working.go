package raft

import (
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Working gives the derivation of every figure of the raft, in order, so that a
// reader can follow it by hand.
func (r Raft) Working() []finding.Step {
	var steps []finding.Step
	steps = append(steps, r.workHoles()...)
	steps = append(steps, r.workFloat()...)
	steps = append(steps, r.workPots()...)
	return append(steps, r.workLoads()...)
}

// in names an input of a step.
func in(symbol string, value float64, unit string) finding.Input {
	return finding.Input{Symbol: symbol, Value: value, Unit: unit}
}

func mm(symbol string, l unit.Length) finding.Input { return in(symbol, l.Millimetres(), "mm") }

// workHoles counts the holes of the fullest sheet and bounds them.
func (r Raft) workHoles() []finding.Step {
	j, l := r.Job, r.fullest()
	s := j.Spacing
	var out []finding.Step
	if l.Round {
		rho := unit.Length(l.plot.rho())
		out = append(out,
			finding.Step{Symbol: "rho", Name: "radius in which hole centres may stand", Formula: "D/2 - e", Inputs: []finding.Input{mm("D", l.Size.X), mm("e", j.Edge)}, Value: rho.Millimetres(), Unit: "mm", Source: source.OwnChoice},
			finding.Step{Symbol: "R/r", Name: "ratio of container to circle in the tables of packings", Formula: "2 rho/s + 1", Inputs: []finding.Input{mm("rho", rho), mm("s", s)}, Value: 2*float64(rho/s) + 1, Unit: "", Source: "graham1998"},
			finding.Step{Symbol: "N_max", Name: "no layout holds more holes than this", Formula: "floor(2 pi rho^2/(sqrt(3) s^2) + pi rho/s + 1)", Inputs: []finding.Input{mm("rho", rho), mm("s", s)}, Value: float64(l.UpperBound), Unit: "", Source: "oler1961"})
	} else {
		w, h := l.plot.inner()
		a, b := unit.Length(w), unit.Length(h)
		out = append(out,
			finding.Step{Symbol: "a", Name: "width in which hole centres may stand", Formula: "X - e_left - e_right", Inputs: []finding.Input{mm("X", l.Size.X), mm("e_left", unit.Length(l.plot.margin.left)), mm("e_right", unit.Length(l.plot.margin.right))}, Value: a.Millimetres(), Unit: "mm", Source: source.OwnChoice},
			finding.Step{Symbol: "b", Name: "length in which hole centres may stand", Formula: "Y - e_low - e_high", Inputs: []finding.Input{mm("Y", l.Size.Y), mm("e_low", unit.Length(l.plot.margin.low)), mm("e_high", unit.Length(l.plot.margin.high))}, Value: b.Millimetres(), Unit: "mm", Source: source.OwnChoice},
			finding.Step{Symbol: "N_square", Name: "holes in rows and columns", Formula: "(floor(a/s) + 1)(floor(b/s) + 1), less those an obstacle takes", Inputs: []finding.Input{mm("a", a), mm("b", b), mm("s", s)}, Value: float64(l.SquareHoles), Unit: "", Source: source.OwnChoice},
			finding.Step{Symbol: "N_staggered", Name: "holes in staggered rows, better of two directions", Formula: "rows s sqrt(3)/2 apart: floor(b/(s sqrt(3)/2)) + 1 rows of floor(a/s) + 1 and floor((a - s/2)/s) + 1 by turns", Inputs: []finding.Input{mm("a", a), mm("b", b), mm("s", s)}, Value: float64(max(l.StaggeredAlongX, l.StaggeredAlongY)), Unit: "", Source: source.OwnChoice},
			finding.Step{Symbol: "N_max", Name: "no layout holds more holes than this", Formula: "floor(2 a b/(sqrt(3) s^2) + (a + b)/s + 1)", Inputs: []finding.Input{mm("a", a), mm("b", b), mm("s", s)}, Value: float64(l.UpperBound), Unit: "", Source: "oler1961"})
	}
	return append(out,
		finding.Step{Symbol: "N", Name: "holes in the whole raft", Formula: "holes a sheet x sheets, in the pattern asked for", Inputs: []finding.Input{in("sheet", float64(len(l.Positions)), ""), in("sheets", float64(len(r.Pieces)), "")}, Value: float64(r.Holes), Unit: "", Source: source.OwnChoice},
		finding.Step{Symbol: "s_least", Name: "least distance between two holes", Formula: "least of sqrt(dx^2 + dy^2)", Inputs: []finding.Input{in("N", float64(r.Holes), "")}, Value: r.LeastSpacing.Millimetres(), Unit: "mm", Source: source.OwnChoice},
		finding.Step{Symbol: "e_least", Name: "least distance from rim to a hole's centre", Formula: "least over all holes", Inputs: []finding.Input{in("N", float64(r.Holes), "")}, Value: r.LeastEdge.Millimetres(), Unit: "mm", Source: source.OwnChoice})
}

// workFloat derives masses, drafts and freeboard.
func (r Raft) workFloat() []finding.Step {
	j, f := r.Job, r.Float
	n := in("N", float64(r.Holes), "")
	gross := unit.Area(0)
	for _, p := range r.Pieces {
		gross += r.Layouts[p.Layout].plot.area() - unit.Area(r.Layouts[p.Layout].plot.blocked())
	}
	area := in("A", f.NetArea.SquareMetres(), "m2")
	depth := func(symbol, name, of string, m unit.Mass, d unit.Length) finding.Step {
		return finding.Step{Symbol: symbol, Name: name, Formula: of + "/(1000 kg/m3 x A)", Inputs: []finding.Input{in(of, m.Kilograms(), "kg"), area}, Value: d.Millimetres(), Unit: "mm", Source: "archimedes"}
	}
	return []finding.Step{
		{Symbol: "A", Name: "foam in the water", Formula: "A_sheets - N pi d^2/4", Inputs: []finding.Input{in("A_sheets", gross.SquareMetres(), "m2"), n, mm("d", j.Hole)}, Value: f.NetArea.SquareMetres(), Unit: "m2", Source: "archimedes"},
		{Symbol: "m_foam", Name: "mass of the foam", Formula: "density x A x t", Inputs: []finding.Input{in("density", float64(r.Foam.Density), "kg/m3"), area, mm("t", j.Thickness)}, Value: f.FoamMass.Kilograms(), Unit: "kg", Source: r.Foam.Source},
		{Symbol: "m_planted", Name: "mass with pots and plugs", Formula: "m_foam + N m_pot", Inputs: []finding.Input{in("m_foam", f.FoamMass.Kilograms(), "kg"), n, in("m_pot", j.PotMass.Kilograms(), "kg")}, Value: f.PlantedMass.Kilograms(), Unit: "kg", Source: source.OwnChoice},
		{Symbol: "m_grown", Name: "mass with grown heads", Formula: "m_planted + N m_head", Inputs: []finding.Input{in("m_planted", f.PlantedMass.Kilograms(), "kg"), n, in("m_head", j.HeadMass.Kilograms(), "kg")}, Value: f.GrownMass.Kilograms(), Unit: "kg", Source: source.OwnChoice},
		depth("d_new", "draft of the bare raft", "m_foam", f.FoamMass, f.DraftNew),
		depth("d", "draft when planted", "m_planted", f.PlantedMass, f.Draft),
		depth("d_grown", "draft with grown heads", "m_grown", f.GrownMass, f.DraftGrown),
		{Symbol: "f", Name: "foam above the water with grown heads", Formula: "t - d_grown", Inputs: []finding.Input{mm("t", j.Thickness), mm("d_grown", f.DraftGrown)}, Value: f.Freeboard.Millimetres(), Unit: "mm", Source: "archimedes"},
		{Symbol: "m_uptake", Name: "water that the foam may take up", Formula: "1000 kg/m3 x uptake x A x t", Inputs: []finding.Input{in("uptake", r.Foam.Uptake.Percents(), "%"), area, mm("t", j.Thickness)}, Value: f.Uptake.Kilograms(), Unit: "kg", Source: r.Foam.Source},
	}
}

// workPots derives the dip of the pots and the way down to the blocks.
func (r Raft) workPots() []finding.Step {
	j, d := r.Job, r.Dip
	out := []finding.Step{
		{Symbol: "p", Name: "pot's bottom below the raft's underside", Formula: "h_pot - t", Inputs: []finding.Input{mm("h_pot", j.Pot.Height), mm("t", j.Thickness)}, Value: d.Below.Millimetres(), Unit: "mm", Source: source.OwnChoice},
		{Symbol: "w", Name: "pot's bottom below the water when planted", Formula: "p + d", Inputs: []finding.Input{mm("p", d.Below), mm("d", r.Float.Draft)}, Value: d.WetPlanted.Millimetres(), Unit: "mm", Source: "archimedes"},
		{Symbol: "w_grown", Name: "pot's bottom below the water with grown heads", Formula: "p + d_grown", Inputs: []finding.Input{mm("p", d.Below), mm("d_grown", r.Float.DraftGrown)}, Value: d.WetGrown.Millimetres(), Unit: "mm", Source: "archimedes"},
	}
	if d.SpreadDeep > 0 {
		out = append(out, finding.Step{Symbol: "P_deep", Name: "weight laid evenly that dips the pots half their height, or sinks the raft", Formula: "1000 kg/m3 x A x min(h_pot/2 - w_grown, f)", Inputs: []finding.Input{in("A", r.Float.NetArea.SquareMetres(), "m2"), mm("h_pot", j.Pot.Height), mm("w_grown", d.WetGrown), mm("f", r.Float.Freeboard)}, Value: d.SpreadDeep.Kilograms(), Unit: "kg", Source: source.OwnChoice})
	}
	if b := r.Rest; b != nil {
		out = append(out,
			finding.Step{Symbol: "L_ground", Name: "water depth at which the grown raft comes to rest", Formula: "B + d_grown", Inputs: []finding.Input{mm("B", b.Block), mm("d_grown", r.Float.DraftGrown)}, Value: b.GroundsGrown.Millimetres(), Unit: "mm", Source: "airgap2009"},
			finding.Step{Symbol: "L_dry", Name: "water depth at which the pots hang free", Formula: "B - p", Inputs: []finding.Input{mm("B", b.Block), mm("p", d.Below)}, Value: b.PotsDry.Millimetres(), Unit: "mm", Source: "airgap2009"})
	}
	return out
}

// workLoads derives what sinks, tilts and bends the fullest sheet.
func (r Raft) workLoads() []finding.Step {
	l, j := r.fullest(), r.Job
	own := r.grownMass(l).Kilograms()
	full := freshWater.Of(l.netArea(j.Hole).Deep(j.Thickness)).Kilograms()
	t, width := j.Thickness.Metres(), l.weakestWidth(j.Hole)
	loads := []finding.Input{in("F", full, "kg"), in("W", own, "kg")}
	rim, corner := "sqrt(3/4 F W) - W where more than W/2, else (F - W)/4", "wedge under a loaded corner, by moments"
	if l.Round {
		rim, corner = "wedge under a loaded rim point, by moments", "the same"
	}
	return []finding.Step{
		{Symbol: "F", Name: "what one sheet displaces when level with the water", Formula: "1000 kg/m3 x A_sheet x t", Inputs: []finding.Input{in("A_sheet", l.netArea(j.Hole).SquareMetres(), "m2"), mm("t", j.Thickness)}, Value: full, Unit: "kg", Source: "archimedes"},
		{Symbol: "P_even", Name: "weight laid evenly that sinks a grown sheet", Formula: "F - W", Inputs: loads, Value: r.Sink.Evenly.Kilograms(), Unit: "kg", Source: "archimedes"},
		{Symbol: "P_rim", Name: "weight at the middle of a side that sinks that side", Formula: rim, Inputs: loads, Value: r.Sink.OnRim.Kilograms(), Unit: "kg", Source: "archimedes"},
		{Symbol: "P_corner", Name: "weight at a corner that sinks it", Formula: corner, Inputs: loads, Value: r.Sink.OnCorner.Kilograms(), Unit: "kg", Source: "archimedes"},
		{Symbol: "rise", Name: "high side over low side with one half grown and one half empty", Formula: "wedge of the waterplane, by moments", Inputs: []finding.Input{mm("low", r.List.LowDraft), mm("high", r.List.HighDraft)}, Value: r.List.Rise.Millimetres(), Unit: "mm", Source: "archimedes"},
		{Symbol: "sigma", Name: "bending stress when a wet grown sheet is carried by its ends", Formula: "(m g L/8)/(b t^2/6)", Inputs: []finding.Input{in("m", r.Lift.Mass.Kilograms(), "kg"), in("g", unit.Gravity, "m/s2"), in("L", r.Lift.Span.Metres(), "m"), in("b", width, "m"), in("t", t, "m")}, Value: r.Lift.Stress.Pascals(), Unit: "Pa", Source: r.Foam.Source},
		{Symbol: "use", Name: "share of the foam's flexural strength", Formula: "sigma/strength", Inputs: []finding.Input{in("sigma", r.Lift.Stress.Pascals(), "Pa"), in("strength", r.Lift.Strength.Pascals(), "Pa")}, Value: float64(r.Lift.Use), Unit: "", Source: r.Foam.Source},
		{Symbol: "m_one", Name: "most that one person should lift at arm's length", Formula: "51 lb x 10/25 x (1 - 0.0075 x 20) x (0.82 + 1.8/20)", Inputs: []finding.Input{}, Value: r.Lift.OneLimit.Kilograms(), Unit: "kg", Source: "niosh1994"},
	}
}
