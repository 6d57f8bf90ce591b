package packet_test

import (
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
)

// Where no soil is, nobody is told to dig, to clear stones, to drive stakes or to let
// water run on a lawn; on the ground they are.
func TestNoGroundOnADeck(t *testing.T) {
	ofGround := []string{"Clear the ground", "stones and roots", "in a trench", "lawn", "Stakes", "stakes outside", "Call 811"}
	read := func(text string) string {
		b, faults := brief.Parse("bed.yaml", []byte(text))
		if faults != nil {
			t.Fatal(faults)
		}
		p, faults := plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Everything)
		if faults != nil {
			t.Fatal(faults)
		}
		w := words(t, lang.US)
		return told(t, packet.Faces(p, w, packet.Options{})) + told(t, accounts(p, w, packet.Options{}))
	}
	vessels := []string{"vessel: tub, length: 24 in, width: 16 in, depth: 6 in", "vessel: tub, length: 34 in, width: 22 in, depth: 7 in",
		"vessel: frame, length: 97 in, width: 49 in, depth: 6 in", "vessel: round, diameter: 5 ft, depth: 6 in"}
	for i, v := range vessels {
		for k, support := range []string{"deck", "floor", "roof"} {
			if testing.Short() && i%3 != k {
				continue // the check takes each on each
			}
			text := read("site: {kind: home, cover: open}\nbed: {" + v + ", support: " + support + "}\n")
			for _, w := range ofGround {
				if i := strings.Index(text, w); i >= 0 {
					t.Errorf("%s, %s: %q", v, support, text[max(0, i-60):min(len(text), i+60)])
				}
			}
		}
	}
	text := read("site: {kind: home, cover: open}\nbed: {" + vessels[2] + "}\n")
	for _, w := range ofGround[:4] {
		if w != "stones and roots" && !strings.Contains(text, w) {
			t.Errorf("on the ground %q is missing", w)
		}
	}
}
