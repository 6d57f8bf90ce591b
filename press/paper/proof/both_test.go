package proof

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
)

// A packet in two languages has each face twice, the English first; what is Spanish is
// marked so in the tags and in the web page, and nothing else is.
func TestPacketInTwoLanguages(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	p := planned(t, "../../../examples/demo.yaml")
	var docs [2]page.Document
	for i, tag := range []string{"en", "es"} {
		words, err := lang.For(tag, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		docs[i] = packet.Faces(p.In(tag), words, packet.Options{})
	}
	both := page.Both(docs[0], docs[1])
	if n := len(docs[0].Sections); len(docs[1].Sections) != n || len(both.Sections) != 2*n {
		t.Fatalf("%d English faces, %d Spanish, %d in all", n, len(docs[1].Sections), len(both.Sections))
	}
	titles := map[string]string{}
	for i, s := range both.Sections {
		want := docs[i%2].Sections[i/2]
		if s.Title != want.Title || i > 0 && !s.NewPage || (s.Speaks.Language == "es") != (i%2 == 1) {
			t.Errorf("section %d is %q in %q, want %q", i, s.Title, s.Speaks.Language, want.Title)
		}
		titles[want.Title] = []string{"", "es"}[i%2]
	}
	found := 0
	var walk func(e *element, speaks string)
	walk = func(e *element, speaks string) {
		if e.language != "" {
			speaks = e.language
		}
		if language, ours := titles[strings.TrimSpace(e.text)]; ours && strings.HasPrefix(e.kind, "H") {
			found++
			if speaks != language {
				t.Errorf("%q is tagged as %q, want %q", e.text, speaks, language)
			}
		}
		for _, k := range e.kids {
			walk(k, speaks)
		}
	}
	walk(sound(t, "a packet in two languages", both), "")
	if found < len(both.Sections) {
		t.Errorf("only %d of %d headings were found", found, len(both.Sections))
	}
	var web bytes.Buffer
	if err := press.HTML(both, &web); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(web.String(), `<section id="`); strings.Count(web.String(), ` lang="es"`) != n/2 {
		t.Errorf("%d of %d sections are marked as Spanish", strings.Count(web.String(), ` lang="es"`), n)
	}
	if !slices.ContainsFunc(both.Sections, func(s page.Section) bool { return s.Speaks.Words.Feet == "pies" }) || !strings.Contains(both.Words.Page, "Página") {
		t.Error("the words of press are not in both languages")
	}
}

// Front and back of a sheet say the same in two languages, also where one of them takes more pages:
// the other side then stays empty.
func TestFrontAndBackStayPaired(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	doc := func(language string, lines ...int) page.Document {
		d := page.Document{Title: "T", Language: language, Margin: packet.FaceMargin}
		for i, n := range lines {
			s := page.Section{Title: fmt.Sprintf("%s%d", language, i), NewPage: i > 0}
			for range n {
				s.Blocks = append(s.Blocks, page.Para{Text: page.Text(fmt.Sprintf("word%s%d", language, i))})
			}
			d.Sections = append(d.Sections, s)
		}
		return d
	}
	for _, x := range []struct {
		en, es []int
		want   string // the face of each page
	}{
		{[]int{3, 3}, []int{3, 3}, "en0 es0 en1 es1"},
		{[]int{70, 3}, []int{3, 3}, "en0 es0 en0 - en1 es1"},
		{[]int{3, 3}, []int{3, 110}, "en0 es0 en1 es1 - es1 - es1"},
		{[]int{70, 70}, []int{70, 70}, "en0 es0 en0 es0 en1 es1 en1 es1"},
		{[]int{3}, []int{70}, "en0 es0 - es0"},
	} {
		got := onPages(t, page.Both(doc("en", x.en...), doc("es", x.es...)))
		if strings.Join(got, " ") != x.want {
			t.Errorf("%v and %v: %v, want %s", x.en, x.es, got, x.want)
		}
	}
}

// onPages gives of each page the last word that stands on it, but for the foot.
func onPages(t *testing.T, doc page.Document) []string {
	c := checked(opened(t, made(t, doc)))
	for _, f := range c.faults {
		t.Errorf("%s: %s: %s", f.rule, f.where, f.what)
	}
	out := slices.Repeat([]string{"-"}, len(c.pages))
	for _, l := range c.lines {
		if l.of != nil && strings.HasPrefix(l.words, "word") {
			out[l.page] = strings.TrimSpace(strings.TrimPrefix(l.words, "word"))
		}
	}
	return out
}

func BenchmarkPacketInTwoLanguages(b *testing.B) {
	p := planned(b, "../../../examples/demo.yaml")
	en, err := lang.For("en", lang.US)
	if err != nil {
		b.Fatal(err)
	}
	es, err := lang.For("es", lang.US)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		made(b, page.Both(packet.Faces(p, en, packet.Options{}), packet.Faces(p.In("es"), es, packet.Options{})))
	}
}
