package tend_test

import (
	"slices"
	"testing"

	"raftwright/finding"
	"raftwright/tend"
)

// A mix with 20 mg/L of nitrogen as ammonium and 36 as urea brings a bed of 33 mg/L no lower for long: its pH is turned, and it is said what to buy. One that
// holds far more is filled anew with the same mix.
func TestNothingIsEmptiedForWhatTheMixBrings(t *testing.T) {
	does := func(got *tend.Tending, d tend.Deed) bool {
		return slices.ContainsFunc(got.Actions, func(a tend.Action) bool { return a.Do == d })
	}
	for _, c := range []struct {
		bed    int
		refill bool
	}{{610051, false}, {610078, true}} {
		g := invent(t, c.bed, false)
		g.until(14, nil)
		got := g.ask(t)
		told := slices.ContainsFunc(got.Findings, func(f finding.Finding) bool { return f.ID == tend.FindMixed })
		if does(got, tend.DoRefill) != c.refill || told == c.refill || !c.refill && (!does(got, tend.DoAcid) || got.DumpReason != "") {
			t.Errorf("bed %d holds %.0f mg/L of ammonium: %+v, emptied for %q, told %v", c.bed, got.State.Holds["ammonium"].Value, got.Actions, got.DumpReason, told)
		}
	}
}
