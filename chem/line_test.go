package chem

import "testing"

// The bounds of what is computed at all: a pH of 14, and 2 mol/L of anything, which no
// solution of a bed comes near (own choice).
func TestLineBounds(t *testing.T) {
	for _, c := range []struct {
		q    question
		want bool
	}{{question{fixed: true, pH: 13.9}, false}, {question{fixed: true, pH: 14.1}, true},
		{question{totals: Composition{Na: 1999, Cl: 1999}}, false}, {question{totals: Composition{Na: 2001, Cl: 2001}}, true}} {
		if err := c.q.check(); (err != nil) != c.want {
			t.Errorf("%+v: %v", c.q, err)
		}
	}
}
