package proof

import (
	"fmt"
	"os"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/workshop"
)

// The document of who leads a workshop is tagged as any other, on both papers, in large print and in Spanish.
func TestTheLeadersDocumentIsSound(t *testing.T) {
	for name, n := range map[string]int{"home": 11, "tub": 2} {
		if testing.Short() && name == "home" {
			continue // the check makes each in every way
		}
		text, err := os.ReadFile("../../../examples/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		b, faults := brief.Parse(name, text)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		families, faults := workshop.Alike(b, n)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		ws, faults := workshop.Make(plan.Job{Brief: b, Book: plan.DefaultBook()}, families)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for i, o := range []packet.Options{{}, {Paper: page.A4}, {Large: true}, {Paper: page.A4, Large: true}} {
			if testing.Short() && i%3 != 0 {
				continue
			}
			for _, language := range []string{"en", "es"} {
				words, err := lang.For(language, lang.US)
				if err != nil {
					t.Fatal(err)
				}
				sound(t, fmt.Sprintf("%s, %s, %+v", name, language, o), packet.Leader(ws, words, o))
			}
		}
	}
}
