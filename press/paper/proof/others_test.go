package proof

import (
	"os"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/sky"
	"raftwright/sky/places"
	"raftwright/workshop"
)

// fullEnough is how much of a page of these is to be full: their parts are longer than those of a face, which is full to a half.
const fullEnough = 0.45

// The document of a leader, the second document and the exercises of a class are proven as the faces
// are: nothing covers words or leaves the margins, no word is broken, no page but the last is less than
// 0.45 full. Some of the thirty invented briefs, each paper in one language, the next brief in the other; with RAFTWRIGHT_LAYOUTS=all every brief, both papers in
// both languages. Both units.
func TestOtherDocuments(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	atlas, err := sky.OpenAtlas(places.Packed)
	if err != nil {
		t.Fatal(err)
	}
	book := plan.DefaultBook().With(atlas)
	some, all := []int{0, 4, 6, 21, 28}, os.Getenv("RAFTWRIGHT_LAYOUTS") == "all"
	if all {
		some = nil
		for i := range invented() {
			some = append(some, i)
		}
	}
	for n, i := range some {
		if testing.Short() && n > 0 {
			break
		}
		b, faults := brief.Parse("brief", []byte(invented()[i]))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p, faults := plan.Make(b, book, plan.Files{}, plan.Everything)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		families, faults := workshop.Alike(b, 6+n%12)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		ws, faults := workshop.Make(plan.Job{Brief: b, Book: book}, families)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for k, language := range languages {
			for u, size := range []page.Paper{page.Letter, page.A4} {
				if !all && (k+u+n)%2 != 0 {
					continue
				}
				words, err := lang.For(language, lang.Units((u+n/2)%2))
				if err != nil {
					t.Fatal(err)
				}
				o := packet.Options{Paper: size}
				for kind, doc := range map[string]page.Document{"leader": packet.Leader(ws, words, o), "working": packet.Working(p.In(language), words, o), "class": packet.Class(p.In(language), words, o), "tally": packet.Tally("", nil, words, o)} {
					c := checked(opened(t, made(t, doc)))
					if doc.Margin == 0 { // as the style of a document for who checks figures has it
						doc.Margin = 45
					}
					for _, bad := range append(append(c.covered(), c.outside(doc)...), c.empty(doc, fullEnough)...) {
						t.Errorf("%s of brief %d, %s, %s: %s", kind, i, language, size, bad)
					}
				}
			}
		}
	}
}
