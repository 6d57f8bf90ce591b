package brief

import (
	"fmt"
	"strings"

	"raftwright/unit"
)

// unitWords says in English what package unit complains of. It goes once faults
// are worded in lang, whose fault_unit.toml and fault_cost.toml hold the same.
func unitWords(p *unit.ParseError) string {
	words := map[string]string{
		"unit.fault.empty": "is empty; a {Kind} is wanted here", "unit.fault.empty_reading": "is empty; a figure with a unit is wanted here",
		"unit.fault.no_number": "does not start with a number", "unit.fault.not_number": "is not a plain number", "unit.fault.not_finite": "is too large to reckon with",
		"unit.fault.comma": "has commas that fit no number", "unit.fault.fraction": "has a fraction of one or more after a whole number",
		"unit.fault.no_unit": "has no unit", "unit.fault.no_unit_reading": "has no unit", "unit.fault.other_kind": "has a unit that is not a {Kind} ({Word} is a {Other})",
		"unit.fault.near_unit": "has a unit that is not a {Kind} (did you mean {Near}?)", "unit.fault.not_unit": "has a unit that is not a {Kind}",
		"unit.fault.near_reading": "has a unit that no water test uses (did you mean {Near}?)", "unit.fault.not_reading": "has a unit that no water test uses",
		"unit.fault.rest": "has something at its end that is not understood", "unit.fault.two_numbers": "has two numbers where one is wanted",
		"unit.fault.many_parts": "has too many parts", "unit.fault.minus_inside": "has a minus sign in the middle", "unit.fault.mixed": "mixes metric and US units",
		"unit.fault.order": "has {Unit} after {Before}", "unit.fault.over": "has a part in {Unit} that is one {Before} or more",
		"unit.fault.below_limit": "is below the detection limit; write 0 mg/L or leave the line out", "unit.fault.range_end": "has no second number after the dash",
		"unit.fault.range_falls": "is a range that does not rise", "unit.fault.two_ways": "can be read as {First} or as {Second}", "unit.fault.long": "is too long for a quantity",
		"cost.fault.empty": "is empty; an amount of money is wanted here", "cost.fault.no_amount": "does not start with an amount", "cost.fault.negative": "is negative", "cost.fault.large": "is out of all proportion",
		"cost.fault.no_currency": "has no currency", "cost.fault.not_currency": "has no currency of three letters",
	}[p.Code]
	for k, v := range p.Args {
		if kind, is := v.(*unit.Kind); is {
			v = strings.ReplaceAll(kind.Name, "_", " ")
		}
		words = strings.ReplaceAll(words, "{"+k+"}", fmt.Sprint(v))
	}
	return words
}

// oneSense chooses the sense of a text that lies in the key's range; where both
// do, the fault offers both.
func oneSense[V any](s *spec, text string, all []unit.Sense[V], err error, figure func(V) any) (v V, bad *wrong) {
	if err != nil {
		return v, unread(s, text, err)
	}
	if len(all) == 2 {
		first, second := outside(s, text, figure(all[0].Value)) == nil, outside(s, text, figure(all[1].Value)) == nil
		switch {
		case first && second:
			return v, wrongf("write "+all[0].Plain+" or "+all[1].Plain+", whichever is meant", "%s %q can be read in two ways", s.key, clip(text))
		case second:
			return all[1].Value, nil
		}
	}
	return all[0].Value, nil
}
