package raft

import (
	"slices"
	"testing"
)

// What a second hand relaxes ahead changes no raft: each hole stands where one hand alone
// puts it, to the last digit, and as many steps are counted.
func TestTwoHandsLayTheSameRaft(t *testing.T) {
	for _, c := range []struct {
		p plot
		s float64
		n int
	}{
		{discOf(8.1), 0.3, 53},
		{plot{w: 1.2, h: 1.5}.spaced(0.05, 0.2), 0.2, 50},
		{plot{w: 1.2, h: 1.5, boxes: []box{{0.3, 0.3, 0.5, 0.6}}}.spaced(0.05, 0.2), 0.2, 48},
	} {
		lay := func(hands int) *hunt {
			g := groundOf(c.p, c.s)
			h := newHunt(&g, c.n+1, usualSearch)
			h.crew = newCrew(&g, c.n+1, hands)
			h.steps = 2_000_000
			for n := c.n - 4; n <= c.n && h.find(n); n++ {
			}
			return h
		}
		one, two := lay(1), lay(2)
		if one.bestN == 0 || one.bestN != two.bestN || one.work != two.work || one.dice != two.dice || !slices.Equal(one.best, two.best) {
			t.Errorf("%d holes and %d steps by one, %d and %d by two", one.bestN, one.work, two.bestN, two.work)
		}
	}
}
