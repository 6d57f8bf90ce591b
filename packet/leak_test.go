package packet_test

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/tend"
	"raftwright/unit"
)

// Before a leak is looked for the depth is measured again: as long as that is to be done, nobody is told to float a pail (own judgment: one page says one thing first).
func TestNoPailBeforeTheSecondDepth(t *testing.T) {
	p, got := tendedDemo(t)
	got.Leak = tend.Leak{Probability: 0.8, Rate: tend.Range{Value: 7, Low: 5, High: 9}}
	for _, c := range []struct {
		language string
		pail     string
	}{{"en", "pail"}, {"es", "cubeta con agua"}} {
		words, err := lang.For(c.language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for _, open := range [...]bool{true, false} {
			got.Actions = []tend.Action{{Do: tend.DoLook, Why: tend.WhyLeak, Args: map[string]any{"Rate": p.Frame.Volume, "Share": unit.Fraction(0.8)}}}
			if open {
				got.Actions[0].Do, got.Actions[0].Product, got.Actions[0].Why = tend.DoRead, "depth", tend.WhyMayLeak
			}
			if told := strings.Contains(fmt.Sprint(packet.Tending(p, got, words)), c.pail); told == open {
				t.Errorf("%s: the depth is to be measured again %v, a pail to be floated %v", c.language, open, told)
			}
		}
	}
}
