package finding

import "raftwright/source"

// Working gathers the steps of a derivation. Of names which of several alike the next
// steps are about: a wall, a month.
type Working struct {
	Steps []Step
	Of    []any
}

// Add adds a step: its symbol, the ID of its phrase, its rule, what comes of it and
// where the rule is from.
func (w *Working) Add(symbol, name, formula string, value float64, unit string, from source.ID, inputs ...Input) {
	if w.Steps == nil {
		w.Steps = make([]Step, 0, 32) // a trade has some dozens
	}
	w.Steps = append(w.Steps, Step{Symbol: symbol, Of: w.Of, Name: name, Formula: formula, Inputs: inputs, Value: value, Unit: unit, Source: from})
}

// In names an input of a step.
func In(symbol string, value float64, unit string) Input {
	return Input{Symbol: symbol, Value: value, Unit: unit}
}
