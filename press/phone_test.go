package press

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/page"
	"raftwright/press/testdata/gallery"
	"raftwright/unit"
)

// wideOne is a document with a drawing that a telephone cannot show as it is, twice, and one that it can.
func wideOne() page.Document {
	board := draw.Drawing{ID: "board", Title: "A board", Alt: "A board 8 ft long."}
	board.Add(draw.Rect(draw.At(0, 0), 8*unit.Foot, 7.25*unit.Inch).Filled(draw.Wood).Named("wood", "Board"),
		draw.Dimension{From: draw.At(0, 0), To: draw.At(8*unit.Foot, 0), Offset: -14, Label: "8 ft"})
	short := board
	short.Items = append(short.Items[:1:1], draw.Text{At: draw.At(0, 0), Text: "broken off"})
	small := draw.Drawing{ID: "leaf", Title: "A leaf", Alt: "A pale leaf.", Bare: true, Plate: true}
	small.Add(draw.Rect(draw.At(0, 0), unit.Inch, unit.Inch).Filled(draw.Powder))
	doc := gallery.Document()
	doc.Sections = []page.Section{{ID: "all", Blocks: []page.Block{page.Figure{Drawing: board, Narrow: func() draw.Drawing { return short }}, page.Figure{Drawing: board}, page.Figure{Drawing: small}}}}
	return doc
}

// A figure that a telephone cannot show as it is has a second drawing: no id is there twice, its
// words stand once, and both drawings are named by them.
func TestNarrowDrawings(t *testing.T) {
	var b bytes.Buffer
	if _, err := Fragment(wideOne(), "all", &b); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	for part, want := range map[string]int{`class="wide"`: 2, `class="narrow"`: 2, `class="plate"`: 1, "<desc id=": 3, `aria-labelledby="board-title board-desc"`: 2,
		`aria-labelledby="board-2-title board-2-desc"`: 2, ">broken off<": 1, `role="img"`: 5} {
		if got := strings.Count(text, part); got != want {
			t.Errorf("%s: %d, want %d", part, got, want)
		}
	}
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(text, -1) {
		if ids[m[1]] {
			t.Errorf("id %q is there twice", m[1])
		}
		ids[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`aria-labelledby="([^"]*)"`).FindAllStringSubmatch(text, -1) {
		for _, id := range strings.Fields(m[1]) {
			if !ids[id] {
				t.Errorf("a drawing is named by %q, which is nowhere", id)
			}
		}
	}
}

// On a page a drawing is written in the ink and on the ground of the page, in a file of its own in
// black and white, which any program knows.
func TestDrawingsTakeTheInkOfThePage(t *testing.T) {
	d := draw.Drawing{ID: "gray"}
	d.Add(draw.Rect(draw.At(0, 0), unit.Inch, unit.Inch).Filled(draw.MidGray), draw.Rect(draw.At(0, 0), unit.Inch, unit.Inch).Filled(draw.Wood))
	doc := gallery.Document()
	doc.Sections = []page.Section{{ID: "all", Blocks: []page.Block{page.Figure{Drawing: d}}}}
	var live, file bytes.Buffer
	if _, err := Fragment(doc, "gray", &live); err != nil {
		t.Fatal(err)
	}
	if err := SVG(d, gallery.Fit(), &file); err != nil {
		t.Fatal(err)
	}
	if s := live.String(); strings.Contains(s, "#000") || strings.Contains(s, `="#fff`) || !strings.Contains(s, `fill="currentColor" fill-opacity="0.4"`) || !strings.Contains(s, `fill="var(--paper, #fff)"`) {
		t.Errorf("on a page:\n%s", s)
	}
	if s := file.String(); strings.Contains(s, "currentColor") || strings.Contains(s, "var(") || !strings.Contains(s, `fill="#fff"`) || !strings.Contains(s, `stroke="#000"`) {
		t.Errorf("in a file:\n%s", s)
	}
}

// The size at which a drawing can be read on a telephone: 9 pt.
func TestFitsPhone(t *testing.T) {
	sheet := func(wide, size draw.Points) draw.Sheet {
		return draw.Sheet{Width: wide, Marks: []draw.Mark{{Kind: draw.Lettering, Text: "A", Size: size}}}
	}
	for _, c := range []struct {
		sheet draw.Sheet
		want  bool
	}{
		{sheet(222, 9), true}, {sheet(223, 9), false}, {sheet(246, 10), true}, {sheet(248, 10), false}, {sheet(296, 12), true}, {draw.Sheet{Width: 223}, false},
	} {
		if got := fitsPhone(c.sheet); got != c.want {
			t.Errorf("%v: %v", c.sheet, got)
		}
	}
}

// A document without a title of its own, such as one face, has its first section's as the title of
// the page; the contents are listed once, in two languages too.
func TestPageHasOneTitleAndOneList(t *testing.T) {
	doc := gallery.Document()
	doc.Title = ""
	doc.Sections = []page.Section{{ID: "mix", Title: "Mix <it>", Blocks: []page.Block{page.Contents{}, page.Heading{Text: "First"}}}, {ID: "mix-es", Title: "Mezcle", Blocks: []page.Block{page.Contents{}}}}
	var b bytes.Buffer
	if err := HTML(doc, &b); err != nil {
		t.Fatal(err)
	}
	for part, want := range map[string]int{"<h1>Mix &lt;it&gt;</h1>": 1, "<title>Mix &lt;it&gt;</title>": 1, "<h1>": 1, "<h2>Mezcle</h2>": 1, "<h2>First</h2>": 1, "<nav ": 1, `id="contents"`: 1} {
		if got := strings.Count(b.String(), part); got != want {
			t.Errorf("%s: %d, want %d", part, got, want)
		}
	}
}
