package plan

import (
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/unit"
	"raftwright/usual"
)

// Parts that are asked for by themselves; a whole plan has them where the brief
// says something of them.
const (
	Found Part = 1 << 20 // a recipe as found, judged in this water
	Amiss Part = 1 << 21 // a bed with a wrong dose, put right
)

// FoundRecipe is a recipe as found, judged in this water. Its findings are its
// own: they are about that recipe, not about the plan.
type FoundRecipe struct {
	mix.Check
	Where  string
	Per    unit.Volume
	Strong []string // products of it that are a strong acid or base

	quiet bool // on paper where children come: no working, which has every amount
}

// Working gives the derivation of every figure; none on paper where a strong acid
// or base is in it and children come.
func (f *FoundRecipe) Working() []finding.Step {
	if f.quiet {
		return nil
	}
	return f.Check.Working()
}

// judgeFound judges a recipe as found.
func (m *maker) judgeFound() {
	b := m.Brief.Found
	r := mix.RecipeJob{Path: "found", Water: m.mixWater(), Portions: m.portions("found.amounts", b.Amounts), Per: b.Per.Value}
	if m.Brief.Target.Given {
		r.Target = m.target
	}
	r.Bed, r.Crop = m.volume, m.feedCrop()
	if len(m.faults) > 0 {
		return
	}
	c, faults := r.Judge(m.book.Library)
	if faults != nil {
		m.wrong(faults...)
		return
	}
	out := FoundRecipe{Check: c, Where: b.Where.Value, Per: b.Per.Value, Strong: strongOf(c.Handling)}
	out.quiet = len(out.Strong) > 0 && m.WithChildren()
	m.Found = &out
	m.find(c.Findings...)
	m.find(c.JudgeAmmonia(usual.Warmth)...)
	m.assume(c.Assumptions...)
}

// strongOf lists the products that burn.
func strongOf(list []mix.Handling) []string {
	var out []string
	for _, h := range list {
		if h.Hazard == mix.StrongAcid || h.Hazard == mix.StrongBase {
			out = append(out, h.Product)
		}
	}
	return out
}

// ShowsAmount says whether the amount of a product of the found recipe may be printed:
// the amount of a strong acid or base is left out where children come.
func (p Plan) ShowsAmount(product string) bool {
	if p.Found == nil || !p.WithChildren() {
		return true
	}
	for _, s := range p.Found.Strong {
		if s == product {
			return false
		}
	}
	return true
}

// FindStrongFound is raised where a recipe as found holds a strong acid or base
// and children come near.
const FindStrongFound finding.ID = "plan.strong_found"
