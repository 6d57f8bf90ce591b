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
	return finding.Input{Symbol: symbol, Value: l.Millimetres(), Unit: "mm"}
}

func num(symbol string, x float64, unitName string) finding.Input {
	return finding.Input{Symbol: symbol, Value: x, Unit: unitName}
}

// objective gives the unit of the least cost: minor units of money, or boards.
func (p Plan) objective() string {
	if p.Priced {
		return "minor units of money"
	}
	return "boards"
}

// Working gives the derivation of every figure of the plan in order.
func (p Plan) Working() []finding.Step {
	var out []finding.Step
	kerf := mm("k", p.Kerf)
	all := unit.Length(0)
	for i, b := range p.Boards {
		inputs := []finding.Input{mm("L", b.Stock), kerf}
		trim := unit.Length(0)
		if !b.OnHand {
			trim = p.Trim
		}
		inputs = append(inputs, mm("t", trim))
		for n, c := range b.Cuts {
			if n < mostInputs {
				inputs = append(inputs, mm(fmt.Sprintf("l_%d", n+1), c.Length))
			}
		}
		sum := b.Stock - b.Waste
		inputs = append(inputs, num("n", float64(len(b.Cuts)), ""), mm("sum l", sum))
		out = append(out,
			finding.Step{Symbol: fmt.Sprintf("need_%d", i+1), Name: "length of board that the cuts take; it must not pass L", Formula: "t + sum l + (n - 1) k",
				Inputs: inputs, Value: (trim + sum + unit.Length(len(b.Cuts)-1)*p.Kerf).Millimetres(), Unit: "mm", Source: source.OwnChoice},
			finding.Step{Symbol: fmt.Sprintf("waste_%d", i+1), Name: "length of board that becomes no piece", Formula: "L - sum l",
				Inputs: []finding.Input{mm("L", b.Stock), mm("sum l", sum)}, Value: b.Waste.Millimetres(), Unit: "mm", Source: source.OwnChoice},
			finding.Step{Symbol: fmt.Sprintf("offcut_%d", i+1), Name: "what is left in one piece after the last saw cut", Formula: "max(0, L - t - sum l - n k)",
				Inputs: []finding.Input{mm("L", b.Stock), mm("t", trim), mm("sum l", sum), num("n", float64(len(b.Cuts)), ""), kerf}, Value: b.Offcut.Millimetres(), Unit: "mm", Source: source.OwnChoice})
		all += b.Stock * unit.Length(b.Repeat)
	}
	return append(out, p.workSums(all)...)
}

// workSums gives the steps of the totals and of the bound.
func (p Plan) workSums(all unit.Length) []finding.Step {
	var price []finding.Input
	for _, b := range p.Purchase {
		price = append(price, num("n of "+b.Length.Tape(16, unit.Nearest), float64(b.Buy), ""), num("price", float64(b.Price), "minor units of money"))
	}
	out := []finding.Step{
		{Symbol: "N", Name: "boards to buy", Formula: "sum n", Inputs: price, Value: float64(p.Bought), Unit: "boards", Source: source.OwnChoice},
	}
	if p.Priced {
		out = append(out, finding.Step{Symbol: "C", Name: "price of all boards", Formula: "sum n price", Inputs: price, Value: float64(p.Price), Unit: p.objective(), Source: source.Given})
	}
	out = append(out, finding.Step{Symbol: "w", Name: "share of the boards' length that becomes no piece", Formula: "sum waste / sum L",
		Inputs: []finding.Input{mm("sum waste", p.Waste), mm("sum L", all)}, Value: p.WasteShare.Percents(), Unit: "%", Source: source.OwnChoice})
	var worth []finding.Input
	for i, w := range p.bounds.worth {
		if i < mostInputs {
			worth = append(worth, mm("l", w.length), num("n", float64(w.need), ""), num("worth", w.each, p.objective()))
		}
	}
	if len(worth) > 0 {
		out = append(out, finding.Step{Symbol: "z", Name: "no plan costs less: the pieces' worth in all, where no board holds more worth than it costs (boards that are limited can take off some)",
			Formula: "sum n worth", Inputs: worth, Value: p.bounds.total, Unit: p.objective(), Source: "gilmore1961"})
	}
	out = append(out, finding.Step{Symbol: "B", Name: "the same rounded up to a cost that can occur, raised by search where the proof needed it",
		Formula: "ceil z", Inputs: []finding.Input{num("z", p.bounds.total, p.objective())}, Value: float64(p.LowerBound), Unit: p.objective(), Source: "farley1990"})
	return out
}

// Working gives the derivation of the figures of a sheet plan.
func (p SheetPlan) Working() []finding.Step {
	sq := func(symbol string, a unit.Area) finding.Input { return num(symbol, a.SquareMetres(), "m2") }
	out := []finding.Step{
		{Symbol: "A_p", Name: "area of all panels", Formula: "sum n l w", Value: p.panels.SquareMetres(), Unit: "m2", Source: source.OwnChoice},
		{Symbol: "A_s", Name: "area of all sheets cut", Formula: "sum n L W", Value: p.bought.SquareMetres(), Unit: "m2", Source: source.OwnChoice},
		{Symbol: "w", Name: "share of the sheets that becomes no panel", Formula: "1 - A_p/A_s", Inputs: []finding.Input{sq("A_p", p.panels), sq("A_s", p.bought)}, Value: p.WasteShare.Percents(), Unit: "%", Source: source.OwnChoice},
		{Symbol: "N", Name: "sheets to buy", Formula: "count of sheets in the layouts", Value: float64(p.Bought), Unit: "sheets", Source: source.OwnChoice},
	}
	for i := range out[:2] {
		for _, l := range p.Layouts {
			if i == 0 && len(out[i].Inputs) < mostInputs {
				for _, q := range l.Parts {
					out[i].Inputs = append(out[i].Inputs, num("n", float64(l.Repeat), ""), mm("l", q.Length), mm("w", q.Width))
				}
			} else if i == 1 {
				out[i].Inputs = append(out[i].Inputs, num("n", float64(l.Repeat), ""), mm("L", l.Sheet.Length), mm("W", l.Sheet.Width))
			}
		}
	}
	return out
}
