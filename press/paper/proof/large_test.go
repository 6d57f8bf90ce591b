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
	"raftwright/sky"
	"raftwright/sky/places"
)

// In large print too no words cover others or leave the margins, none is broken, no page but the
// last is less than half full, and every word is 18 point, in drawings too. Four briefs, two in each language;
// RAFTWRIGHT_LAYOUTS=all tries every brief in both.
func TestLargePrintLayout(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	all := os.Getenv("RAFTWRIGHT_LAYOUTS") == "all"
	atlas, err := sky.OpenAtlas(places.Packed)
	if err != nil {
		t.Fatal(err)
	}
	book := plan.DefaultBook().With(atlas)
	for i, text := range invented() {
		if !all && i%9 != 0 {
			continue
		}
		b, faults := brief.Parse(fmt.Sprintf("brief %d", i), []byte(text))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p, faults := plan.Make(b, book, plan.Files{}, plan.Everything)
		if len(faults) > 0 {
			t.Fatal(i, faults)
		}
		for k, language := range languages {
			if !all && (i+k)%2 != 0 {
				continue
			}
			u, size := lang.Units((i/18+k)%2), page.Paper(i/2%2)
			words, err := lang.For(language, u)
			if err != nil {
				t.Fatal(err)
			}
			doc := packet.Faces(p.In(language), words, packet.Options{Paper: size, Large: true})
			proven(t, fmt.Sprintf("large print, brief %d, %s, units %d, %s", i, language, u, size), doc, 18)
		}
	}
}
