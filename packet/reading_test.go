package packet_test

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
)

// bar is what a kind of text must reach, for readers at grade 6 to 8 (own choice, after plain
// language guides; formulas see length, not sense).
type bar struct {
	grade                                float64 // Flesch–Kincaid, at most
	fernandezHuerta, szigriszt, crawford float64 // at least, at least, at most
	longest                              int     // words of a sentence
}

var (
	handout = bar{8, 65, 65, 6, 25}
	card    = bar{6, 80, 75, 5, 15}
	sums    = bar{9, 60, 55, 99, 30}
)

// running gives the running text of a document by section: paragraphs, lists and boxes; no
// tables, labels, headings, sources.
func running(d page.Document) map[string][]string {
	out := map[string][]string{}
	walk(d, func(s page.Section, b page.Block) {
		if s.ID == "source" || s.ID == "working" || s.ID == "calendar" { // the last is rows, of days
			return
		}
		see := func(t page.Text) {
			if text := t.Plain(); len(strings.Fields(text)) > 3 {
				out[s.ID] = append(out[s.ID], text)
			}
		}
		switch b := b.(type) {
		case page.Para:
			see(b.Text)
		case page.List:
			for _, i := range b.Items {
				see(i)
			}
		case page.Caution:
			for _, x := range b.Text {
				see(x)
			}
		}
	})
	return out
}

// reads holds a text to its bar; a text under 100 words is held to the length of its sentences
// alone, since one word moves the formulas by points.
func reads(t *testing.T, what, language string, pieces []string, least bar) measure {
	var m measure
	for _, p := range pieces {
		before := m.longest
		m.longest = 0
		m.add(language, p)
		if m.longest > least.longest {
			t.Errorf("%s: a sentence of %d words, at most %d: %q", what, m.longest, least.longest, p)
		}
		m.longest = max(m.longest, before)
	}
	if m.words < 100 {
		return m
	}
	hard := m.fleschKincaid() > least.grade
	if language == "es" {
		hard = m.fernandezHuerta() < least.fernandezHuerta || m.szigriszt() < least.szigriszt || m.crawford() > least.crawford
	}
	if hard {
		t.Errorf("%s is harder than %+v: %s\n%s", what, least, scores(language, m), strings.Join(hardest(language, pieces), "\n"))
	}
	return m
}

func scores(language string, m measure) string {
	if language == "es" {
		return fmt.Sprintf("Fernández-Huerta %.1f, Szigriszt-Pazos %.1f, Crawford %.1f, %d words", m.fernandezHuerta(), m.szigriszt(), m.crawford(), m.words)
	}
	return fmt.Sprintf("grade %.1f, ease %.1f, %d words", m.fleschKincaid(), m.ease(), m.words)
}

// hardest gives the five hardest pieces.
func hardest(language string, pieces []string) []string {
	list := slices.Clone(pieces)
	ease := func(s string) float64 {
		m := measured(language, s)
		if language == "es" {
			return m.szigriszt()
		}
		return m.ease()
	}
	slices.SortFunc(list, func(a, b string) int { return cmp.Compare(ease(a), ease(b)) })
	return list[:min(5, len(list))]
}

// What is printed reads at the grades of its kind, in both languages and both systems of units:
// the faces page by page and the working as a whole; Spanish is not more than a band harder
// than the English of the same text.
func TestReadingLevel(t *testing.T) {
	for i, name := range []string{"demo", "tank", "home", "hard-water"} {
		p := planOf(t, "../examples/"+name+".yaml")
		for k, u := range []lang.Units{lang.US, lang.Metric} {
			if testing.Short() && i%2 != k {
				continue // each in one system
			}
			whole := map[string]measure{}
			for _, language := range []string{"en", "es"} {
				said, err := lang.For(language, u)
				if err != nil {
					t.Fatal(err)
				}
				var faces []string
				for id, pieces := range running(packet.Faces(p.In(language), said, packet.Options{})) {
					least := handout
					if id == "mix" || id == "card" {
						least = card
					}
					reads(t, fmt.Sprintf("%s, units %d, %s, face %s", name, u, language, id), language, pieces, least)
					faces = append(faces, pieces...)
				}
				whole[language] = reads(t, fmt.Sprintf("%s, units %d, %s, all faces", name, u, language), language, faces, handout)
				t.Logf("%s, units %d, %s: %s", name, u, language, scores(language, whole[language]))
				if whole[language].words < 300 {
					t.Errorf("only %d words", whole[language].words)
				}
				var second []string
				for _, pieces := range running(accounts(p.In(language), said, packet.Options{})) {
					second = append(second, pieces...)
				}
				m := reads(t, fmt.Sprintf("%s, units %d, %s, working", name, u, language), language, second, sums)
				t.Logf("%s, units %d, %s, working: %s", name, u, language, scores(language, m))
			}
			if en, es := whole["en"], whole["es"]; en.ease()-es.szigriszt() > 15 {
				t.Errorf("%s: the Spanish (%s) is more than a band harder than the English (%s)", name, scores("es", es), scores("en", en))
			}
		}
	}
}
