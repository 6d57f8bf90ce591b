package packet_test

import (
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
)

var ends = regexp.MustCompile(`[.!?](\s|$)`)

// grade is the school grade of a text by Flesch and Kincaid (Kincaid et al.
// 1975, Navy Training Command Report 8-75: 0.39 words a sentence + 11.8
// syllables a word - 15.59; the formula from memory). Syllables are runs of
// vowels, without a silent e.
func grade(text string) (float64, bool) {
	sentences, count, syllables := 0, 0, 0
	for _, s := range ends.Split(text, -1) {
		n := 0
		for _, w := range strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) }) {
			if len(w) < 2 && w != "a" && w != "A" && w != "I" {
				continue
			}
			n++
			syllables += vowels(strings.ToLower(w))
		}
		if n > 1 {
			sentences++
			count += n
		}
	}
	if count < 5 {
		return 0, false
	}
	return 0.39*float64(count)/float64(sentences) + 11.8*float64(syllables)/float64(count) - 15.59, true
}

func vowels(w string) int {
	n, in := 0, false
	for _, r := range w {
		v := strings.ContainsRune("aeiouy", r)
		if v && !in {
			n++
		}
		in = v
	}
	if strings.HasSuffix(w, "e") && !strings.HasSuffix(w, "le") && n > 1 {
		n--
	}
	return max(n, 1)
}

func TestGradeOfKnownTexts(t *testing.T) {
	for _, c := range []struct {
		text     string
		from, to float64
	}{
		{"The cat sat on the mat. The dog ran to the cat.", -3, 2},
		{"Institutional considerations notwithstanding, the administration characterised the implementation as unsatisfactory.", 20, 40},
	} {
		if g, ok := grade(c.text); !ok || g < c.from || g > c.to {
			t.Errorf("%q reads at grade %.1f", c.text, g)
		}
	}
}

// The packet is for people who read at grade 6 to 8.
func TestReadingLevel(t *testing.T) {
	for _, path := range []string{"../examples/demo.yaml", "../examples/tank.yaml", "../examples/home.yaml"} {
		var grades []float64
		see := func(s page.Text) {
			if g, ok := grade(s.Plain()); ok {
				grades = append(grades, g)
			}
		}
		walk(accounts(planOf(t, path), words(t, lang.US), packet.Options{}), func(s page.Section, b page.Block) {
			if s.ID == "source" {
				return
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
		slices.Sort(grades)
		n := len(grades)
		if n < 60 {
			t.Fatalf("%s: only %d pieces of text", path, n)
		}
		median, p90 := grades[n/2], grades[n*9/10]
		t.Logf("%s: %d pieces, median grade %.1f, nine in ten below %.1f", filepath.Base(path), n, median, p90)
		if median > 8 {
			t.Errorf("%s reads at grade %.1f", path, median)
		}
	}
}
