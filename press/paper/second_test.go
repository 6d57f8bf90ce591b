package paper

import (
	"fmt"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
)

// mostWorking is how many pages the second document of an ordinary bed takes at most, 48 before its
// sums were set as tables; the demonstration, which says what can be said, fills 24 and three quarters.
const mostWorking = 25

// The second document and the exercises of an ordinary bed, on both papers and in both systems of
// units: nothing hangs over the foot of a page, no page before the last is less than a third full,
// and there are not too many.
func TestSecondDocuments(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, name := range []string{"home", "demo"} {
		p := planned(t, name)
		for i, u := range []lang.Units{lang.US, lang.Metric} {
			words, err := lang.For("en", u)
			if err != nil {
				t.Fatal(err)
			}
			for k, o := range []packet.Options{{}, {Paper: page.A4}} {
				if testing.Short() && i != k {
					continue // the check sets each in every way
				}
				for what, doc := range map[string]page.Document{"working": packet.Working(p, words, o), "class": packet.Class(p, words, o)} {
					at := fmt.Sprintf("%s of %s, units %d, %s", what, name, u, o.Paper)
					s, err := newSetter(doc)
					if err != nil {
						t.Fatal(err)
					}
					pages := s.pages()
					if most := map[string]int{"working": mostWorking, "class": 8}[what]; len(pages) > most {
						t.Errorf("%s: %d pages", at, len(pages))
					}
					for i, pg := range pages {
						if d := pg.depth() / s.style.usable(); d > 1.0001 || d < 0.33 && i < len(pages)-1 {
							t.Errorf("%s: page %d is full to %.2f", at, i+1, d)
						}
					}
				}
			}
		}
	}
}
