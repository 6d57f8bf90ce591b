package paper

import (
	"fmt"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/programme"
)

// Sheets that are handed out one by one are one page, slips in large print both sides of one, in both languages and on both papers; nothing hangs over a foot.
func TestSheetsToHandOutAreOneSheet(t *testing.T) {
	items := []programme.Asked{}
	for i, text := range []string{"How sure are you that you can mix the feed?", "How sure are you that you can read a pH pen?", "Which of these needs a plant most from the feed?", "Is a bed with three inches of water a danger to a small child?"} {
		items = append(items, programme.Asked{Form: "A", Kind: "before", Item: fmt.Sprint("item ", i), English: text, Spanish: "¿" + text + "?", Answer: "yes"})
	}
	for _, language := range []string{"en", "es"} {
		for _, size := range []page.Paper{page.Letter, page.A4} {
			words, err := lang.For(language, lang.US)
			if err != nil {
				t.Fatal(err)
			}
			for _, large := range []bool{false, true} {
				o := packet.Options{Paper: size, Large: large}
				older := o
				older.Older = true
				most := map[bool]int{false: 1, true: 2}[large]
				for what, c := range map[string]struct {
					d     page.Document
					pages int
				}{
					"sign-in": {packet.SignIn("Taller de camas flotantes, condado de Alder", words, o), 1}, "slips": {packet.BlankSlips(words, o), most},
					"slips of 1997": {packet.BlankSlips(words, older), most}, "tally": {packet.Tally("Escuela inventada", items, words, o), most},
				} {
					s, err := newSetter(c.d)
					if err != nil {
						t.Fatal(err)
					}
					if n := len(s.pages()); n != c.pages {
						t.Errorf("%s, %s, paper %v, large %t: %d pages, not %d", what, language, size, large, n, c.pages)
					}
				}
			}
		}
	}
}

// A field leaves room to write however long its words are: by the weights, else by what the words leave, else on a line of its own.
func TestFieldsLeaveRoomToWrite(t *testing.T) {
	s, err := newSetter(page.Document{Large: true})
	if err != nil {
		t.Fatal(err)
	}
	width := s.style.column()
	for _, c := range []struct {
		first, second string
		weight        float64
		apart         bool
	}{{"Day", "By", 1, false}, {"Alumnos contados", "Contó", 2, false}, {"Adultos contados en total hoy", "Menores de 18 contados hoy", 1, true}} {
		line := []page.Field{{Label: c.first}, {Label: c.second, Weight: c.weight}}
		wide := s.fieldWidths(line, width)
		if (wide == nil) != c.apart {
			t.Errorf("%s, %s: %v", c.first, c.second, wide)
		}
		for i, w := range wide {
			if blank := w - (s.width(line[i].Label, false)+0.5)*s.style.body; blank < leastBlank*s.style.body {
				t.Errorf("%s: %.0f points to write in", line[i].Label, blank)
			}
		}
	}
}
