package proof

import (
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
)

// A sheet that somebody signs or fills in stands on one page, on either paper and in either language: what is copied and handed round may not
// end in a second page with a row and the foot. The plan of a garden has its signatures on the page of its logs.
func TestSheetsToSignAreOnePage(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, language := range languages {
		for _, size := range []page.Paper{page.Letter, page.A4} {
			words, err := lang.For(language, lang.US)
			if err != nil {
				t.Fatal(err)
			}
			o := packet.Options{Paper: size}
			p := planned(t, "../../../examples/school.yaml").In(language)
			for what, doc := range map[string]page.Document{"sign-in": packet.SignIn("Raft bed workshop, spring", words, o), "slips": packet.BlankSlips(words, o), "slips of 1997": packet.BlankSlips(words, packet.Options{Paper: size, Older: true}), "garden": packet.GardenSafety(p, words, o)} {
				c, most := checked(opened(t, made(t, doc))), map[string]int{"garden": 4}[what] // the rules on two, the weeks on one, the logs with who signs on one
				if len(c.pages) != max(1, most) {
					t.Errorf("%s, %s, %s: %d pages", what, language, size, len(c.pages))
				}
				for _, bad := range append(c.covered(), c.outside(doc)...) {
					t.Errorf("%s, %s, %s: %s", what, language, size, bad)
				}
			}
		}
	}
}
