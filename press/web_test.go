package press

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
	"raftwright/press/testdata/gallery"
	"raftwright/unit"
)

var update = flag.Bool("update", false, "write the golden files anew; a person reads the difference")

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s has changed (-update writes it anew):\n%s", name, diff)
	}
}

// withoutFaces takes the letters out of a page, which are nothing but digits of base 64.
func withoutFaces(html string) string {
	const digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/="
	parts := strings.Split(html, "url(data:font/woff;base64,")
	for i, p := range parts[1:] {
		if face, rest, ok := strings.Cut(p, ")"); ok && strings.Trim(face, digits) == "" {
			parts[i+1] = "the letters" + rest
		} else {
			parts[i+1] = "url(" + p
		}
	}
	return strings.Join(parts, "")
}

// small is a short document with every block that HTML and text set their own way.
func small() page.Document {
	d := draw.Drawing{ID: "board", Title: "A board", Alt: "A board 8 ft long."}
	d.Add(draw.Rect(draw.At(0, 0), 8*unit.Foot, 7.25*unit.Inch).Filled(draw.Wood).Named("board", "Board <2×8>"),
		draw.Dimension{From: draw.At(0, 0), To: draw.At(8*unit.Foot, 0), Offset: -14, Label: "8 ft"})
	doc := gallery.Document()
	doc.Sections = []page.Section{
		{ID: "shop", Title: "Shop & saw", Blocks: []page.Block{
			page.KeyFigures{Items: []page.KeyFigure{{Label: "Water", Value: "99 gal", Note: "5 in deep"}, {Label: "Holes", Value: "32"}}},
			page.Para{Text: "Cut **two** sides of 97 in <exactly>."},
			page.List{Kind: page.Boxes, Items: []page.Text{"Saw", "Tape"}}, page.List{Kind: page.Numbered, Items: []page.Text{"Third", "Fourth"}},
			page.Table{Caption: "Boards", RowHead: true, Columns: []page.Column{{Title: "Board"}, {Title: "Pieces", Align: page.Right}},
				Rows: []page.Row{{Group: true, Cells: []page.Text{"Bought once"}}, {Cells: []page.Text{"2×8", "2"}}, {Strong: true, Cells: []page.Text{"All", "2"}}}, Note: "Prices vary."},
			page.Heading{Text: "Drawing"}, page.Figure{Drawing: d, Caption: "The **board**."}, page.Figure{Drawing: d},
			page.Caution{Severity: finding.Stop, Word: "Stop", Text: []page.Text{"Ask first."}}}},
		{Blocks: []page.Block{page.LogSheet{Columns: []page.LogColumn{{Title: "Date"}, {Title: "pH", Hint: "5.5–6.5"}}, Rows: 2},
			page.Fields{Lines: [][]page.Field{{{Label: "Name", Weight: 2}, {Label: "Date"}}}},
			page.Code{Text: "https://example.org/a", Caption: "Open"}, page.Notes{Items: []page.SourceNote{{Mark: "1", Text: "A source."}}}}},
	}
	return doc
}

func TestHTMLGolden(t *testing.T) {
	var b bytes.Buffer
	if err := HTML(small(), &b); err != nil {
		t.Fatal(err)
	}
	golden(t, "small.html", []byte(withoutFaces(b.String())))
}

func TestTextGolden(t *testing.T) {
	var b bytes.Buffer
	if err := Text(small(), &b, 60); err != nil {
		t.Fatal(err)
	}
	golden(t, "small.txt", b.Bytes())
}

func TestSVGGolden(t *testing.T) {
	var b bytes.Buffer
	if err := SVG(gallery.Section(), gallery.Fit(), &b); err != nil {
		t.Fatal(err)
	}
	golden(t, "section.svg", b.Bytes())
}

// wellFormed reads XML to its end and gives the elements with their attributes.
func wellFormed(t testing.TB, data []byte) []xml.StartElement {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(data))
	var out []xml.StartElement
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, data)
		}
		if e, ok := tok.(xml.StartElement); ok {
			out = append(out, e.Copy())
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func TestSVGNamesItsParts(t *testing.T) {
	var b bytes.Buffer
	if err := SVG(gallery.BedPlan(), gallery.Fit(), &b); err != nil {
		t.Fatal(err)
	}
	elements := wellFormed(t, b.Bytes())
	root := elements[0]
	if attribute(root, "role") != "img" || attribute(root, "aria-labelledby") != "bed-plan-title bed-plan-desc" {
		t.Errorf("the root is %v", root)
	}
	ids := map[string]bool{}
	for _, e := range elements {
		if id := attribute(e, "id"); id != "" {
			if ids[id] {
				t.Errorf("id %q is there twice", id)
			}
			ids[id] = true
		}
	}
	for _, want := range []string{"bed-plan-title", "bed-plan-desc", "bed-plan-frame", "bed-plan-raft", "bed-plan-holes"} {
		if !ids[want] {
			t.Errorf("no part %q", want)
		}
	}
	if !strings.Contains(b.String(), "32 holes in 4 rows of 8") {
		t.Error("the description in words is missing")
	}
}

// In a face that is missing, words keep the width that they were given, and that is inside the
// drawing: nothing is clipped.
func TestSVGWordsKeepTheirWidth(t *testing.T) {
	for _, d := range []draw.Drawing{gallery.BedPlan(), gallery.Section()} {
		sheet := draw.Lay(d, gallery.Fit())
		var b bytes.Buffer
		if err := SVG(d, gallery.Fit(), &b); err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, e := range wellFormed(t, b.Bytes()) {
			if e.Name.Local != "text" {
				continue
			}
			n++
			x, _ := strconv.ParseFloat(attribute(e, "x"), 64)
			long, err := strconv.ParseFloat(attribute(e, "textLength"), 64)
			if err != nil || attribute(e, "lengthAdjust") != "spacingAndGlyphs" {
				t.Fatalf("%s: words without a width", d.ID)
			}
			from := map[string]float64{"": 0, "middle": -long / 2, "end": -long}[attribute(e, "text-anchor")]
			if attribute(e, "transform") == "" && (x+from < -1 || x+from+long > float64(sheet.Width)+1) {
				t.Errorf("%s: words from %.1f to %.1f of %.1f", d.ID, x+from, x+from+long, sheet.Width)
			}
		}
		if n < 4 {
			t.Errorf("%s: %d words", d.ID, n)
		}
	}
}

// Every use of a pattern has its pattern.
func TestSVGPatternsAreDefined(t *testing.T) {
	d := draw.Drawing{ID: "all"}
	for f := draw.White; f <= draw.Dots; f++ {
		d.Add(draw.Rect(draw.At(unit.Length(f)*unit.Inch, 0), unit.Inch, unit.Inch).Filled(f))
	}
	var b bytes.Buffer
	if err := SVG(d, gallery.Fit(), &b); err != nil {
		t.Fatal(err)
	}
	defined, used := map[string]bool{}, 0
	for _, e := range wellFormed(t, b.Bytes()) {
		if e.Name.Local == "pattern" {
			defined[attribute(e, "id")] = true
		}
		if u, ok := strings.CutPrefix(attribute(e, "fill"), "url(#"); ok {
			used++
			if !defined[strings.TrimSuffix(u, ")")] {
				t.Errorf("pattern %q is not defined", u)
			}
		}
	}
	if used < 9 {
		t.Errorf("only %d patterns used", used)
	}
}

func TestHTMLIsAccessible(t *testing.T) {
	var b bytes.Buffer
	doc := gallery.Document()
	doc.Language = "es"
	if err := HTML(doc, &b); err != nil {
		t.Fatal(err)
	}
	html := b.String()
	for _, want := range []string{`<html lang="es">`, `<th scope="col"`, `<th scope="row"`, "<figcaption>", "<caption>", "<nav aria-labelledby", `role="img"`, `<svg viewBox="0 0 24 24" aria-hidden="true">`} {
		if !strings.Contains(html, want) {
			t.Errorf("no %s", want)
		}
	}
	for _, outside := range []string{"<script", "<link", "url(http", "src="} {
		if strings.Contains(html, outside) {
			t.Errorf("the page is not on its own: %s", outside)
		}
	}
	if strings.Count(html, "<h1>") != 1 {
		t.Error("one h1, no more")
	}
	level := 1
	for _, part := range strings.Split(html, "<h")[1:] {
		if n := int(part[0] - '0'); n >= 1 && n <= 6 && part[1] == '>' {
			if n > level+1 {
				t.Errorf("a heading of level %d follows one of %d", n, level)
			}
			level = n
		}
	}
}

// A full-size figure is a sheet of the paper, whatever is drawn on it.
func TestHTMLExactFigureIsASheet(t *testing.T) {
	d := draw.Drawing{ID: "bar", Title: "Bar", Items: []draw.Item{draw.Rect(draw.At(40*unit.Millimetre, 60*unit.Millimetre), 100*unit.Millimetre, 3*unit.Millimetre)}}
	for _, paper := range []page.Paper{page.Letter, page.A4} {
		var b bytes.Buffer
		if err := HTML(page.Document{Paper: paper, Sections: []page.Section{{Blocks: []page.Block{page.Figure{Drawing: d, Exact: true}}}}}, &b); err != nil {
			t.Fatal(err)
		}
		w, h := paper.Size()
		if want := `width="` + num(w) + `pt" height="` + num(h) + `pt"`; !strings.Contains(b.String(), want) {
			t.Errorf("no %s", want)
		}
		// 40 mm from the left and 60 mm over the foot; 140 mm at the right end
		if want := "M113.39 " + num(h-draw.OnPaper(60*unit.Millimetre)) + "L396.85 "; !strings.Contains(b.String(), want) {
			t.Errorf("no bar at %s", want)
		}
	}
}

func TestTextStaysInItsWidth(t *testing.T) {
	for _, width := range []int{40, 60, 80, 120} {
		var b bytes.Buffer
		if err := Text(gallery.Document(), &b, width); err != nil {
			t.Fatal(err)
		}
		for _, l := range strings.Split(b.String(), "\n") {
			if columns(l) > width {
				t.Errorf("%d columns in %d: %q", columns(l), width, l)
			}
		}
	}
}

func TestColumns(t *testing.T) {
	for s, want := range map[string]int{"abc": 3, "1½ in": 5, "漢字": 4, "n\u0303": 1, "": 0, "→": 1} {
		if got := columns(s); got != want {
			t.Errorf("%q takes %d columns, want %d", s, got, want)
		}
	}
}

// Wide letters do not push a table out of line.
func TestTextTableWithWideLetters(t *testing.T) {
	var b bytes.Buffer
	doc := page.Document{Sections: []page.Section{{Blocks: []page.Block{page.Table{Columns: []page.Column{{Title: "name"}, {Title: "n", Align: page.Right}},
		Rows: []page.Row{{Cells: []page.Text{"漢字", "1"}}, {Cells: []page.Text{"lettuce", "22"}}}}}}}}
	if err := Text(doc, &b, 40); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	if columns(lines[2]) != columns(lines[3]) {
		t.Errorf("%q and %q do not line up", lines[2], lines[3])
	}
}

// A fragment is what stands in the whole page, letter for letter, without the page
// around it, and is well formed by itself.
func TestFragment(t *testing.T) {
	doc := gallery.Document()
	var whole bytes.Buffer
	if err := HTML(doc, &whole); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ id, first, last string }{
		{"section-2", `<section id="section-2" class="new">`, "</section>\n"}, {"section-3", `<section id="section-3" class="new">`, "</section>\n"},
		{"bed-plan", "<figure>", "</figure>\n"}, {"season", "<figure>", "</figure>\n"},
	} {
		var b bytes.Buffer
		found, err := Fragment(doc, c.id, &b)
		if err != nil || !found {
			t.Fatalf("%s: %v %v", c.id, found, err)
		}
		got := b.String()
		if !strings.HasPrefix(got, c.first) || !strings.HasSuffix(got, c.last) || !strings.Contains(whole.String(), got) {
			t.Errorf("%s: not a piece of the page: %.80s ... %s", c.id, got, got[max(0, len(got)-40):])
		}
		if strings.Contains(got, "<html") || strings.Contains(got, "<style") {
			t.Errorf("%s: a page is around it", c.id)
		}
		wellFormed(t, []byte(strings.ReplaceAll(got, "<br>", "<br/>")))
	}
	if found, err := Fragment(doc, "nowhere", io.Discard); found || err != nil {
		t.Error(found, err)
	}
	inside := page.Document{Sections: []page.Section{{Blocks: []page.Block{page.Beside{Columns: [][]page.Block{{}, {page.Together{Blocks: []page.Block{page.Figure{Drawing: gallery.BedPlan()}}}}}}}}}}
	if found, err := Fragment(inside, "bed-plan", io.Discard); !found || err != nil {
		t.Error("a drawing inside other blocks is not found", err)
	}
	if !strings.Contains(whole.String(), Style()) {
		t.Error("the style sheet is not that of the page")
	}
}
