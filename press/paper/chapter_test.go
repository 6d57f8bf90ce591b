package paper

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/page"
	"raftwright/press"
	"raftwright/press/testdata/gallery"
)

// paras gives n short paragraphs.
func paras(n int) []page.Block {
	out := make([]page.Block, n)
	for i := range out {
		out[i] = page.Para{Text: page.Text(fmt.Sprintf("Line %d.", i))}
	}
	return out
}

// sheets sets a document into pages.
func sheets(t *testing.T, d page.Document) []sheet {
	t.Helper()
	s, err := newSetter(d)
	if err != nil {
		t.Fatal(err)
	}
	return s.pages()
}

// A chapter that runs over by a few lines is set smaller and keeps its page;
// one that runs over by much is not, and large print never is.
func TestSpillIsSaved(t *testing.T) {
	full := 1
	for len(sheets(t, page.Document{Sections: []page.Section{{ID: "a", Blocks: paras(full + 1)}}})) == 1 {
		full++
	}
	// full is the most that fits, with the saving; without it fewer would
	for _, c := range []struct {
		n, pages int
		large    bool
	}{{full, 1, false}, {full + 1, 2, false}, {full * 3 / 2, 2, false}, {full, 2, true}} {
		d := page.Document{Large: c.large, Sections: []page.Section{{ID: "a", Blocks: paras(c.n)}}}
		if c.large {
			d.Sections[0].Blocks = paras(full * 12 / 18)
		}
		got := sheets(t, d)
		if c.large {
			if len(got) < 2 {
				t.Errorf("large print was shrunk to %d page", len(got))
			}
			continue
		}
		if len(got) != c.pages {
			t.Errorf("%d lines: %d pages, want %d", c.n, len(got), c.pages)
		}
	}
	s, err := newSetter(page.Document{})
	if err != nil {
		t.Fatal(err)
	}
	plain := 0.0
	for _, b := range s.blocks(paras(full), s.style.column()) {
		plain += b.before + b.height
	}
	if plain <= s.style.usable() {
		t.Errorf("%d lines fit without any saving: nothing was tested", full)
	}
	if c := s.style.closer(0.5); c.body != s.style.body || c.width != s.style.width || c.lead >= s.style.lead || c.air != 0.5 {
		t.Error("a page that is set closer keeps its words and loses white")
	}
}

// A short lead is not left alone at the foot of a page.
func TestLeadStays(t *testing.T) {
	for n := 20; n < 60; n++ {
		d := page.Document{Large: true, Sections: []page.Section{{ID: "a", Blocks: paras(n)},
			{ID: "b", Title: "Sources", Blocks: []page.Block{page.Para{Text: "Lead."}, page.List{Items: []page.Text{"one", "two"}}}}}}
		for _, p := range sheets(t, d) {
			last := p.strips[len(p.strips)-1]
			if last.keep && last.outline == nil {
				t.Fatalf("%d lines before: a page ends in a strip that should stay with the next", n)
			}
		}
	}
}

// The compact list names every section with its page, where it stands.
func TestCompactContents(t *testing.T) {
	d := page.Document{Title: "A bed", Words: gallery.Words(), Sections: []page.Section{{ID: "cover", Blocks: []page.Block{page.Contents{}}},
		{ID: "a", Title: "Shopping", NewPage: true, Blocks: paras(2)}, {ID: "b", Title: "Water", NewPage: true, Blocks: paras(2)}}}
	text := tool(t, "pdftotext", "-layout", file(t, "a.pdf", made(t, d)), "-")
	first, _, _ := strings.Cut(text, "\f")
	line := strings.Join(strings.Fields(first), " ")
	for _, want := range []string{"Shopping 2", "Water 3", "What is in this packet"} {
		if !strings.Contains(line, want) {
			t.Errorf("no %q in %s", want, line)
		}
	}
	var html, plain strings.Builder
	if err := press.HTML(d, &html); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(html.String(), `<a href="#a">Shopping</a>`) {
		t.Error("the web page has no contents")
	}
	if err := press.Text(d, &plain, 80); err != nil || strings.Count(plain.String(), "Water") != 1 {
		t.Errorf("the terminal lists contents: %s", plain.String())
	}
}
