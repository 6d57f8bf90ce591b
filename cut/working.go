package cut

import (
	"fmt"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// mostInputs bounds the figures listed in one step; a large job has more, and its step says the sum only.
const mostInputs = 24

func mm(symbol string, l unit.Length) finding.Input {
	return finding.In(symbol, l.Millimetres(), "mm")
}

func num(symbol string, x float64) finding.Input { return finding.In(symbol, x, "") }

// minor is the unit of prices: cents, or what the caller counts them in.
const minor = "work.cut.minor"

// objective gives the unit of the least cost.
func (p Plan) objective() string {
	switch {
	case p.Priced:
		return minor
	case p.ByLength:
		return "mm"
	}
	return "boards"
}

// Working gives the derivation of every figure of the plan in order.
func (p Plan) Working() []finding.Step {
	w := &finding.Working{}
	kerf := mm("k", p.Kerf)
	all := unit.Length(0)
	for i, b := range p.Boards {
		trim := p.Trim
		if b.OnHand {
			trim = 0
		}
		sum, n := b.Stock-b.Waste, float64(len(b.Cuts))
		stock, taken, pieces, end := mm("L", b.Stock), mm("sum l", sum), num("n", n), mm("t", trim)
		need := []finding.Input{stock, kerf, end}
		for i, c := range b.Cuts[:min(len(b.Cuts), mostInputs)] {
			need = append(need, mm(fmt.Sprintf("l_%d", i+1), c.Length))
		}
		step := func(symbol, name, formula string, l unit.Length, inputs ...finding.Input) {
			w.Add(symbol, name, formula, l.Millimetres(), "mm", source.OwnChoice, inputs...)
		}
		w.Of = []any{i + 1}
		step("need", "work.cut.need", "t + sum l + (n - 1) k", trim+sum+unit.Length(n-1)*p.Kerf, append(need, pieces, taken)...)
		step("waste", "work.cut.waste", "L - sum l", b.Waste, stock, taken)
		step("offcut", "work.cut.offcut", "max(0, L - t - sum l - n k)", b.Offcut, stock, end, taken, pieces, kerf)
		all += b.Stock * unit.Length(b.Repeat)
	}
	p.workSums(w, all)
	return w.Steps
}

// workSums gives the steps of the totals and of the bound.
func (p Plan) workSums(w *finding.Working, all unit.Length) {
	w.Of = nil
	goal := p.objective()
	var price, worth []finding.Input
	for _, b := range p.Purchase {
		price = append(price, num("n "+b.Length.Tape(16, unit.Nearest), float64(b.Buy)), finding.In("price", float64(b.Price), minor))
	}
	w.Add("N", "work.cut.boards", "sum n", float64(p.Bought), "boards", source.OwnChoice, price...)
	if p.Priced {
		w.Add("C", "work.cut.price", "sum n price", float64(p.Price), goal, source.Given, price...)
	}
	w.Add("w", "work.cut.share", "waste_all/L_all", p.WasteShare.Percents(), "%", source.OwnChoice, mm("waste_all", p.Waste), mm("L_all", all))
	for _, x := range p.bounds.worth[:min(len(p.bounds.worth), mostInputs)] {
		worth = append(worth, mm("l", x.length), num("n", float64(x.need)), finding.In("worth", x.each, goal))
	}
	if len(worth) > 0 {
		w.Add("z", "work.cut.worth", "sum n worth", p.bounds.total, goal, "gilmore1961", worth...)
	}
	w.Add("B", "work.cut.bound", "ceil z", float64(p.LowerBound), goal, "farley1990", finding.In("z", p.bounds.total, goal))
}
