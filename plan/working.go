package plan

import "raftwright/finding"

// Working gives the derivation of every figure of the asked parts, in the order
// of the work.
func (p Plan) Working(asked Part) []finding.Step {
	var out []finding.Step
	if p.Frame != nil && asked.Has(Frame) {
		out = append(out, p.Frame.Working()...)
	}
	if p.Boards != nil && asked.Has(Cut) {
		for _, j := range p.Boards.Jobs {
			for _, step := range j.Plan.Working() {
				step.Of = append([]any{j.Size}, step.Of...)
				out = append(out, step)
			}
		}
	}
	if p.Raft != nil && asked.Has(Raft) {
		out = append(out, p.Raft.Working()...)
	}
	if p.Water != nil && asked.Has(Water) {
		out = append(out, p.Water.Working()...)
	}
	if p.Mix != nil && asked.Has(Mix) {
		out = append(out, p.Mix.Working()...)
	}
	if p.Found != nil && asked.Has(Found) {
		out = append(out, p.Found.Working()...)
	}
	if p.Amiss != nil && asked.Has(Amiss) {
		out = append(out, p.Amiss.Working()...)
	}
	if p.Season != nil && asked.Has(Season) {
		out = append(out, p.Season.Working()...)
		if p.Warmth != nil {
			out = append(out, p.Warmth.Working()...)
		}
	}
	if p.Cost != nil && asked.Has(Cost) {
		out = append(out, p.Cost.Working()...)
	}
	return out
}
