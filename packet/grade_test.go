package packet_test

import (
	"bufio"
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

// How hard a text is, by formulas. W words, S sentences, Y syllables. A word is what stands
// between spaces and holds a letter or a digit; one with a digit, or without a vowel, counts
// one syllable. A sentence ends at . ! ? … before a space, and at the end of a piece of text.
type measure struct{ words, sentences, syllables, longest int }

// fleschKincaid is the school grade of an English text: Kincaid, Fishburne, Rogers and
// Chissom 1975, Navy Research Branch Report 8-75 (constants read second-hand).
func (m measure) fleschKincaid() float64 { return 0.39*m.length() + 11.8*m.sound() - 15.59 }

// ease is the reading ease of an English text: Flesch 1948, J. Applied Psychology 32 (constants
// read second-hand).
func (m measure) ease() float64 { return 206.835 - 1.015*m.length() - 84.6*m.sound() }

// fernandezHuerta is the ease of a Spanish text, 0 hard to 100 easy: Fernández Huerta 1959, as
// Law 2011 (LINGUIST List 22.2332) corrects it: words a sentence, not sentences.
func (m measure) fernandezHuerta() float64 { return 206.84 - 60*m.sound() - 1.02*m.length() }

// szigriszt is the ease of a Spanish text on the INFLESZ scale: Szigriszt Pazos 1993;
// Barrio-Cantalejo and others 2008 (read second-hand).
func (m measure) szigriszt() float64 { return 206.835 - 62.3*m.sound() - m.length() }

// crawford is the school grade of a Spanish text, made for grades 1 to 6: Crawford 1985,
// Lectura y Vida 6(4) (from memory; constants read second-hand).
func (m measure) crawford() float64 { return -20.5/m.length() + 4.9*m.sound() - 3.407 }

func (m measure) length() float64 { return float64(m.words) / float64(max(m.sentences, 1)) }
func (m measure) sound() float64  { return float64(m.syllables) / float64(max(m.words, 1)) }

// add counts a piece of text: a paragraph, an item, a cell.
func (m *measure) add(language, text string) {
	in := 0
	end := func() {
		if in > 0 {
			m.sentences++
			m.longest = max(m.longest, in)
		}
		in = 0
	}
	words := strings.Fields(text)
	for i, w := range words {
		if strings.ContainsFunc(w, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
			in++
			m.words++
			m.syllables += syllables(language, w)
		}
		plain := strings.TrimRight(w, `"')”*`)
		if !strings.ContainsAny(plain[max(0, len(plain)-3):], ".!?…") || abbreviated.MatchString(plain) {
			continue
		}
		if last := plain[len(plain)-1]; last != '.' && last != '!' && last != '?' && !strings.HasSuffix(plain, "…") {
			continue
		}
		if i+1 == len(words) || !unicode.IsLower([]rune(strings.TrimLeft(words[i+1], `"'(“*`) + "A")[0]) {
			end()
		}
	}
	end()
}

var abbreviated = regexp.MustCompile(`(?i)^\(?(n\.º|no\.|p\.|pág\.|dr\.|ee\.|a\.|p\.|e\.g\.|st\.)$`)

func syllables(language, word string) int {
	if strings.ContainsFunc(word, unicode.IsDigit) {
		return 1
	}
	n := 0
	for part := range strings.SplitSeq(strings.ToLower(word), "-") {
		part = strings.TrimFunc(part, func(r rune) bool { return !unicode.IsLetter(r) })
		switch {
		case part == "":
		case strings.ContainsRune(part, '/'), part == "ph":
			n++
		case language == "es":
			n += spanish(part)
		default:
			n += english(part)
		}
	}
	return max(n, 1)
}

// spanish counts by the rules of the Ortografía of RAE and ASALE (2010): a syllable for each
// run of vowels, and one more for each break: two strong ones, a strong and an accented weak
// one, the same weak one twice.
func spanish(w string) int {
	w = silentU.ReplaceAllString(w, "$1$2")
	w = strings.NewReplacer("gü", "gw", "ch", "c", "h", "").Replace(w)
	r := []rune(w)
	n := 0
	var before rune
	for i, c := range r {
		if c == 'y' && (i+1 < len(r) && strings.ContainsRune("aeiouáéíóú", r[i+1]) || i > 0 && !strings.ContainsRune("aeiouáéíóú", r[i-1])) {
			before = 0
			continue
		}
		if c == 'y' {
			c = 'i'
		}
		if c == 'w' {
			c = 'u'
		}
		if !strings.ContainsRune("aeiouáéíóúü", c) {
			before = 0
			continue
		}
		strong := func(v rune) bool { return strings.ContainsRune("aeoáéó", v) }
		accented := func(v rune) bool { return v == 'í' || v == 'ú' }
		between := strong(before) && !strong(c) && !accented(c) && i+1 < len(r) && strong(r[i+1]) // goes with the second
		if between || before == 0 || strong(before) && (strong(c) || accented(c)) || accented(before) && strong(c) || before == c || before == 'i' && c == 'í' {
			n++
		}
		before = c
	}
	return n
}

var silentU = regexp.MustCompile(`([qg])u([eiéí])`)

// english counts runs of vowels, with the exceptions of English spelling.
func english(w string) int {
	w = strings.TrimSuffix(strings.TrimSuffix(strings.ReplaceAll(w, "’", "'"), "'s"), "'")
	if n, ok := odd[w]; ok {
		return n
	}
	n := 0
	in := false
	for _, c := range w {
		v := strings.ContainsRune("aeiouy", c)
		if v && !in {
			n++
		}
		in = v
	}
	switch vowel := func(b byte) bool { return strings.IndexByte("aeiouy", b) >= 0 }; {
	case len(w) < 4:
	case strings.HasSuffix(w, "le") && !vowel(w[len(w)-3]), strings.HasSuffix(w, "les") && !vowel(w[len(w)-4]):
	case strings.HasSuffix(w, "e") && !vowel(w[len(w)-2]):
		n--
	case strings.HasSuffix(w, "ed") && !vowel(w[len(w)-3]) && !strings.ContainsRune("td", rune(w[len(w)-3])):
		n--
	case strings.HasSuffix(w, "es") && !vowel(w[len(w)-3]) && !strings.ContainsRune("sxzcg", rune(w[len(w)-3])) && !strings.HasSuffix(w, "ches") && !strings.HasSuffix(w, "shes"):
		n--
	}
	if len(w) == 3 && w[2] == 'e' && strings.IndexByte("aeiouy", w[1]) < 0 && n > 1 { // use
		n--
	}
	if k := len(w) - 3; k > 1 && w[k:] == "ely" && strings.IndexByte("aeiouy", w[k-1]) < 0 {
		n--
	}
	n += len(apart.FindAllString(w, -1))
	return max(n, 1)
}

// apart finds vowels that are said apart.
var apart = regexp.MustCompile(`i(um|a$|al|an|o[^nu]|ent|et)|eo[^u]|ua[lt]|[aeiouy]ing$|ism$`)

// odd are words whose spelling tells nothing.
var odd = map[string]int{"fire": 1, "hour": 1, "hours": 1, "our": 1, "iron": 2, "every": 2, "everything": 3, "lettuce": 2, "science": 2, "being": 2, "people": 2, "quiet": 2, "goes": 1,
	"uses": 2, "used": 1, "children": 2, "sometimes": 2, "something": 2, "themselves": 2, "therefore": 2, "ammonia": 3, "real": 1, "special": 2, "tied": 1, "ties": 1, "lies": 1,
	"piece": 1, "pieces": 2, "alkalinity": 5, "area": 3, "idea": 3, "create": 2, "each": 1, "area's": 3, "carefully": 3, "evenly": 3, "somebody": 3, "measurement": 3,
	"deionized": 4, "flies": 1, "dries": 1, "seaweed": 2, "material": 4, "materials": 4, "coolest": 2, "initials": 3, "partial": 2, "potassium": 4, "crucial": 2, "social": 2, "trial": 2, "dial": 2}

// measured counts a text of paragraphs.
func measured(language, text string) measure {
	var m measure
	for p := range strings.SplitSeq(text, "\n") {
		m.add(language, p)
	}
	return m
}

// grade is the school grade of an English text, false where it is too short to tell.
func grade(text string) (float64, bool) {
	m := measured("en", text)
	return m.fleschKincaid(), m.words >= 5
}

func TestSyllables(t *testing.T) {
	in, err := os.Open("testdata/syllables.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	r := csv.NewReader(in)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) < 121 {
		t.Fatal(len(rows), err)
	}
	for _, row := range rows[1:] {
		if got := strconv.Itoa(syllables(row[0], row[1])); got != row[2] {
			t.Errorf("%s %s has %s syllables, not %s", row[0], row[1], row[2], got)
		}
	}
}

// The formulas on worked values, and on sixteen paragraphs of easy and of hard text.
func TestFormulas(t *testing.T) {
	near := func(what string, got, want, by float64) {
		if math.Abs(got-want) > by {
			t.Errorf("%s is %.4f, not %.4f", what, got, want)
		}
	}
	a, b, c, d := measure{100, 8, 140, 0}, measure{120, 6, 180, 0}, measure{100, 8, 190, 0}, measure{120, 6, 252, 0}
	near("grade", a.fleschKincaid(), 5.805, 0.005)
	near("ease", a.ease(), 75.7075, 0.005)
	near("grade", b.fleschKincaid(), 9.91, 0.005)
	near("ease", b.ease(), 59.635, 0.005)
	near("Fernández-Huerta", c.fernandezHuerta(), 80.09, 0.005)
	near("Szigriszt-Pazos", c.szigriszt(), 75.965, 0.005)
	near("Crawford", c.crawford(), 4.263, 0.005)
	near("Fernández-Huerta", d.fernandezHuerta(), 60.44, 0.005)
	near("Szigriszt-Pazos", d.szigriszt(), 56.005, 0.005)
	near("Crawford", d.crawford(), 5.858, 0.005)
	in, err := os.Open("testdata/paragraphs.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	seen := 0
	for lines := bufio.NewScanner(in); lines.Scan(); {
		parts := strings.SplitN(lines.Text(), "|", 6)
		if len(parts) < 6 {
			continue
		}
		seen++
		language := map[byte]string{'E': "en", 'S': "es"}[parts[0][0]]
		m := measured(language, parts[5])
		if strconv.Itoa(m.words) != parts[1] || strconv.Itoa(m.sentences) != parts[2] || strconv.Itoa(m.syllables) != parts[3] {
			t.Errorf("%s has %s words, %s sentences, %s syllables, not %+v", parts[0], parts[1], parts[2], parts[3], m)
		}
		formulas := []float64{m.fleschKincaid(), m.ease()}
		if language == "es" {
			formulas = []float64{m.fernandezHuerta(), m.szigriszt(), m.crawford()}
		}
		for i, text := range strings.Fields(parts[4]) {
			want, _ := strconv.ParseFloat(text, 64)
			near(parts[0], formulas[i], want, 0.01)
		}
	}
	if seen != 16 {
		t.Errorf("%d paragraphs", seen)
	}
}

// To cut a sentence in two never makes a text harder.
func TestShorterSentencesAreEasier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := measure{words: rapid.IntRange(10, 400).Draw(t, "words"), sentences: rapid.IntRange(1, 9).Draw(t, "sentences")}
		m.syllables = m.words + rapid.IntRange(0, 2*m.words).Draw(t, "more")
		cut := m
		cut.sentences++
		if cut.fleschKincaid() > m.fleschKincaid() || cut.ease() < m.ease() || cut.fernandezHuerta() < m.fernandezHuerta() || cut.szigriszt() < m.szigriszt() || cut.crawford() > m.crawford() {
			t.Fatalf("%+v: %+v", m, cut)
		}
	})
}
