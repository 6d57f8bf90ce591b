package raft

import (
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Working gives the derivation of every figure of the raft, in order, so that a
// reader can follow it by hand.
func (r Raft) Working() []finding.Step {
	w := &finding.Working{}
	r.workHoles(w)
	r.workFloat(w)
	r.workPots(w)
	r.workLoads(w)
	return w.Steps
}

func mm(symbol string, l unit.Length) finding.Input {
	return finding.In(symbol, l.Millimetres(), "mm")
}
func kg(symbol string, m unit.Mass) finding.Input { return finding.In(symbol, m.Kilograms(), "kg") }
func m2(symbol string, a unit.Area) finding.Input { return finding.In(symbol, a.SquareMetres(), "m2") }

// workHoles counts the holes of the fullest sheet and bounds them.
func (r Raft) workHoles(w *finding.Working) {
	j, l := r.Job, r.fullest()
	spacing := mm("s", j.Spacing)
	if l.Round {
		wide := unit.Length(l.plot.rho())
		rho := mm("rho", wide)
		w.Add("rho", "work.raft.radius", "D/2 - e", rho.Value, "mm", source.OwnChoice, mm("D", l.Size.X), mm("e", j.Edge))
		w.Add("R/r", "work.raft.ratio", "2 rho/s + 1", 2*float64(wide/j.Spacing)+1, "", "graham1998", rho, spacing)
		w.Add("N_max", "work.raft.bound", "floor(2 pi*rho^2/(sqrt(3) s^2) + pi*rho/s + 1)", float64(l.UpperBound), "", "oler1961", rho, spacing)
	} else {
		x, y := l.plot.inner()
		a, b, edge := mm("a", unit.Length(x)), mm("b", unit.Length(y)), l.plot.margin
		w.Add("a", "work.raft.width", "X - e_left - e_right", a.Value, "mm", source.OwnChoice, mm("X", l.Size.X), mm("e_left", unit.Length(edge.left)), mm("e_right", unit.Length(edge.right)))
		w.Add("b", "work.raft.length", "Y - e_low - e_high", b.Value, "mm", source.OwnChoice, mm("Y", l.Size.Y), mm("e_low", unit.Length(edge.low)), mm("e_high", unit.Length(edge.high)))
		w.Add("N_square", "work.raft.square", "work.raft.square_how", float64(l.SquareHoles), "", source.OwnChoice, a, b, spacing)
		w.Add("N_staggered", "work.raft.staggered", "work.raft.staggered_how", float64(max(l.StaggeredAlongX, l.StaggeredAlongY)), "", source.OwnChoice, a, b, spacing)
		w.Add("N_max", "work.raft.bound", "floor(2 a b/(sqrt(3) s^2) + (a + b)/s + 1)", float64(l.UpperBound), "", "oler1961", a, b, spacing)
	}
	holes := finding.In("N", float64(r.Holes), "")
	w.Add("N", "work.raft.holes", "work.raft.holes_how", holes.Value, "", source.OwnChoice, finding.In("sheet", float64(len(l.Positions)), ""), finding.In("sheets", float64(len(r.Pieces)), ""))
	w.Add("s_least", "work.raft.spacing", "work.raft.spacing_how", r.LeastSpacing.Millimetres(), "mm", source.OwnChoice, holes)
	w.Add("e_least", "work.raft.edge", "work.raft.edge_how", r.LeastEdge.Millimetres(), "mm", source.OwnChoice, holes)
}

// workFloat derives masses, drafts and freeboard.
func (r Raft) workFloat(w *finding.Working) {
	j, f := r.Job, r.Float
	holes := finding.In("N", float64(r.Holes), "")
	gross := unit.Area(0)
	for _, p := range r.Pieces {
		gross += r.Layouts[p.Layout].plot.area() - unit.Area(r.Layouts[p.Layout].plot.blocked())
	}
	area, thick := m2("A", f.NetArea), mm("t", j.Thickness)
	bare, planted, grown := kg("m_foam", f.FoamMass), kg("m_planted", f.PlantedMass), kg("m_grown", f.GrownMass)
	w.Add("A", "work.raft.area", "A_sheets - N pi d^2/4", area.Value, "m2", "archimedes", m2("A_sheets", gross), holes, mm("d", j.Hole))
	w.Add("m_foam", "work.raft.foam", "density x A x t", bare.Value, "kg", r.Foam.Source, finding.In("density", float64(r.Foam.Density), "kg/m3"), area, thick)
	w.Add("m_planted", "work.raft.planted", "m_foam + N m_pot", planted.Value, "kg", source.OwnChoice, bare, holes, kg("m_pot", j.PotMass))
	w.Add("m_grown", "work.raft.grown", "m_planted + N m_head", grown.Value, "kg", source.OwnChoice, planted, holes, kg("m_head", j.HeadMass))
	depth := func(symbol, name string, m finding.Input, d unit.Length) {
		w.Add(symbol, name, m.Symbol+"/(1000 kg/m3 x A)", d.Millimetres(), "mm", "archimedes", m, area)
	}
	depth("d_new", "work.raft.draft_new", bare, f.DraftNew)
	depth("d", "work.raft.draft", planted, f.Draft)
	depth("d_grown", "work.raft.draft_grown", grown, f.DraftGrown)
	w.Add("f", "work.raft.freeboard", "t - d_grown", f.Freeboard.Millimetres(), "mm", "archimedes", thick, mm("d_grown", f.DraftGrown))
	w.Add("m_uptake", "work.raft.uptake", "1000 kg/m3 x uptake x A x t", f.Uptake.Kilograms(), "kg", r.Foam.Source, finding.In("uptake", r.Foam.Uptake.Percents(), "%"), area, thick)
}

// workPots derives the dip of the pots and the way down to the blocks.
func (r Raft) workPots(w *finding.Working) {
	j, d := r.Job, r.Dip
	tall, below, draft := mm("h_pot", j.Pot.Height), mm("p", d.Below), mm("d_grown", r.Float.DraftGrown)
	w.Add("p", "work.raft.below", "h_pot - t", below.Value, "mm", source.OwnChoice, tall, mm("t", j.Thickness))
	w.Add("w", "work.raft.wet", "p + d", d.WetPlanted.Millimetres(), "mm", "archimedes", below, mm("d", r.Float.Draft))
	w.Add("w_grown", "work.raft.wet_grown", "p + d_grown", d.WetGrown.Millimetres(), "mm", "archimedes", below, draft)
	if d.SpreadDeep > 0 {
		w.Add("P_deep", "work.raft.deep", "1000 kg/m3 x A x min(0.6 h_pot - w_grown, f)", d.SpreadDeep.Kilograms(), "kg", source.OwnChoice,
			m2("A", r.Float.NetArea), tall, mm("w_grown", d.WetGrown), mm("f", r.Float.Freeboard))
	}
	if b := r.Rest; b != nil {
		block := mm("B", b.Block)
		w.Add("L_ground", "work.raft.ground", "B + d_grown", b.GroundsGrown.Millimetres(), "mm", "airgap2009", block, draft)
		w.Add("L_dry", "work.raft.dry", "B - p", b.PotsDry.Millimetres(), "mm", "airgap2009", block, below)
	}
}

// workLoads derives what sinks, tilts and bends the fullest sheet.
func (r Raft) workLoads(w *finding.Working) {
	l, j := r.fullest(), r.Job
	area := l.netArea(j.Hole)
	full := kg("F", freshWater.Of(area.Deep(j.Thickness)))
	loads := []finding.Input{full, kg("W", r.grownMass(l))}
	rim, corner := "work.raft.rim_how", "work.raft.corner_how"
	if l.Round {
		rim, corner = "work.raft.round_how", "work.raft.round_corner_how"
	}
	w.Add("F", "work.raft.full", "1000 kg/m3 x A_sheet x t", full.Value, "kg", "archimedes", m2("A_sheet", area), mm("t", j.Thickness))
	w.Add("P_even", "work.raft.evenly", "F - W", r.Sink.Evenly.Kilograms(), "kg", "archimedes", loads...)
	w.Add("P_rim", "work.raft.rim", rim, r.Sink.OnRim.Kilograms(), "kg", "archimedes", loads...)
	w.Add("P_corner", "work.raft.corner", corner, r.Sink.OnCorner.Kilograms(), "kg", "archimedes", loads...)
	w.Add("rise", "work.raft.rise", "work.raft.rise_how", r.List.Rise.Millimetres(), "mm", "archimedes", mm("low", r.List.LowDraft), mm("high", r.List.HighDraft))
	w.Add("sigma", "work.raft.stress", "(m g L/8)/(b t^2/6)", r.Lift.Stress.Pascals(), "Pa", r.Foam.Source, kg("m", r.Lift.Mass), finding.In("g", unit.Gravity, "m/s2"),
		finding.In("L", r.Lift.Span.Metres(), "m"), finding.In("b", l.weakestWidth(j.Hole), "m"), finding.In("t", j.Thickness.Metres(), "m"))
	w.Add("use", "work.raft.use", "sigma/strength", float64(r.Lift.Use), "", r.Foam.Source, finding.In("sigma", r.Lift.Stress.Pascals(), "Pa"), finding.In("strength", r.Lift.Strength.Pascals(), "Pa"))
	w.Add("m_one", "work.raft.lift", "51 lb x 10/25 x (1 - 0.0075 x 20) x (0.82 + 1.8/20)", r.Lift.OneLimit.Kilograms(), "kg", "niosh1994")
}
