package paper

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	qr "github.com/piglig/go-qr"

	"raftwright/draw"
	"raftwright/page"
	"raftwright/press"
	"raftwright/press/paper/pdf"
	"raftwright/press/testdata/gallery"
	"raftwright/unit"
)

// variants are the gallery on both papers and in both sizes of print.
func variants() map[string]page.Document {
	out := map[string]page.Document{}
	for _, large := range []bool{false, true} {
		for _, paper := range []page.Paper{page.Letter, page.A4} {
			doc := gallery.Document()
			doc.Large, doc.Paper = large, paper
			out[fmt.Sprintf("%s large %v", paper, large)] = doc
		}
	}
	return out
}

func TestPDFIsValid(t *testing.T) {
	for name, doc := range variants() {
		t.Run(name, func(t *testing.T) {
			out := tool(t, "qpdf", "--check", file(t, "a.pdf", made(t, doc)))
			if !strings.Contains(out, "No syntax or stream encoding errors") || strings.Contains(strings.ToLower(out), "warning") {
				t.Error(out)
			}
		})
	}
}

func TestPDFIsTheSameTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for name, doc := range variants() {
		if !bytes.Equal(made(t, doc), made(t, doc)) {
			t.Errorf("%s: two runs differ", name)
		}
	}
}

// squash leaves out what a page adds between words, so that texts compare.
func squash(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\f' || r == '\u00a0' }), "")
}

func TestPDFTextComesBack(t *testing.T) {
	doc := page.Document{Title: "Título ñandú", Language: "es", Words: page.Words{Page: "Página {page} de {pages}"}, Date: "3 de marzo de 2027",
		Sections: []page.Section{{Title: "¿Cuánta agua?", Blocks: []page.Block{
			page.Para{Text: "Niño, pingüino, corazón: áéíóúüñ¿¡ ÁÉÍÓÚÜÑ."},
			page.Para{Text: "½ ¼ ¾ ⅛ ⅜ ⅝ ⅞ × ≈ ≤ ≥ ± ° ² ³ µ ′ ″ ☐ ☑ ✓ → ← P₂O₅ SO₄²⁻"},
			page.List{Items: []page.Text{"Corte **dos lados** de 97 in."}},
			page.Table{Columns: []page.Column{{Title: "Pieza"}, {Title: "Largo", Align: page.Right}}, Rows: []page.Row{{Cells: []page.Text{"lado", "8 ft 1 in"}}}},
			page.Figure{Drawing: gallery.BedPlan(), Caption: "La cama desde arriba."}}}}}
	doc.Words.Words = gallery.Words().Words
	got := squash(tool(t, "pdftotext", "-layout", file(t, "a.pdf", made(t, doc)), "-"))
	for _, want := range []string{"Título ñandú", "¿Cuánta agua?", "áéíóúüñ¿¡ ÁÉÍÓÚÜÑ", "½ ¼ ¾ ⅛ ⅜ ⅝ ⅞ × ≈ ≤ ≥ ± ° ² ³ µ ′ ″ ☐ ☑ ✓ → ←", "P₂O₅ SO₄²⁻",
		"Corte dos lados de 97 in.", "8 ft 1 in", "La cama desde arriba.", "100 in (8 ft 4 in) outside", "Scale 1/2 in = 1 ft", "Página 1 de 1", "3 de marzo de 2027"} {
		if !strings.Contains(got, squash(want)) {
			t.Errorf("the text %q does not come back", want)
		}
	}
}

// A search finds a figure with its unit though a no-break space holds them.
func TestPDFSpacesAreSpaces(t *testing.T) {
	out := tool(t, "pdftotext", file(t, "a.pdf", made(t, sections(page.Para{Text: "Fill to 5 in, then 6\u00a0in."}))), "-")
	if !strings.Contains(out, "Fill to 5 in, then 6 in.") {
		t.Errorf("%q", out)
	}
}

func TestTableRepeatsItsHead(t *testing.T) {
	table := page.Table{Columns: []page.Column{{Title: "Depth"}, {Title: "Gallons", Align: page.Right}}}
	for i := range 150 {
		table.Rows = append(table.Rows, page.Row{Cells: []page.Text{page.Text("row " + strconv.Itoa(i)), page.Text(strconv.Itoa(1000 + i))}})
	}
	out := tool(t, "pdftotext", "-layout", file(t, "a.pdf", made(t, sections(table))), "-")
	pages := strings.Split(strings.TrimSuffix(out, "\f"), "\f")
	if len(pages) < 4 {
		t.Fatalf("only %d pages", len(pages))
	}
	seen := 0
	for i, p := range pages {
		if strings.Count(p, "Gallons") != 1 {
			t.Errorf("page %d has %d heads", i+1, strings.Count(p, "Gallons"))
		}
		for strings.Contains(p, "row "+strconv.Itoa(seen)+" ") {
			seen++
		}
	}
	if seen != 150 {
		t.Errorf("row %d is missing or out of order", seen)
	}
}

func TestBookmarksAndContents(t *testing.T) {
	path := file(t, "a.pdf", made(t, gallery.Document()))
	json := tool(t, "qpdf", "--json", "--json-key=outlines", path)
	for _, want := range []string{`"title": "The plan at a glance"`, `"title": "Shopping"`, `"title": "Tools"`, `"title": "Template, sheet A1"`} {
		if !strings.Contains(json, want) {
			t.Errorf("no bookmark %s", want)
		}
	}
	first := strings.Split(tool(t, "pdftotext", "-layout", path, "-"), "\f")
	for i, p := range first {
		if strings.Contains(p, "Weekly log\n") && i > 0 {
			if !regexp.MustCompile(`Weekly log +` + strconv.Itoa(i+1) + `\b`).MatchString(first[0]) {
				t.Errorf("the contents do not say that the log is on page %d", i+1)
			}
			return
		}
	}
	t.Error("the log was not found")
}

// drawn gives the content of one page as its operators.
func drawn(t *testing.T, doc page.Document, n int) (string, *setter) {
	t.Helper()
	s, err := newSetter(doc)
	if err != nil {
		t.Fatal(err)
	}
	pages := s.pages()
	s.where = map[string]int{}
	on := pdf.New(s.style.width, s.style.height).Page()
	s.draw(on, pages[n], n, len(pages))
	return on.Ops(), s
}

// subpaths reads the corners of each subpath from page operators.
func subpaths(ops string) [][][2]float64 {
	var out [][][2]float64
	for _, l := range strings.Split(ops, "\n") {
		f := strings.Fields(l)
		if len(f) != 3 || f[2] != "m" && f[2] != "l" {
			continue
		}
		x, _ := strconv.ParseFloat(f[0], 64)
		y, _ := strconv.ParseFloat(f[1], 64)
		if f[2] == "m" {
			out = append(out, nil)
		}
		if len(out) > 0 {
			out[len(out)-1] = append(out[len(out)-1], [2]float64{x, y})
		}
	}
	return out
}

// The check bar of a full-size sheet is 100 mm long at its place on the paper, on
// both papers and in large print too: 100 mm / 25.4 mm x 72 points.
func TestExactFigureIsFullSize(t *testing.T) {
	for name, doc := range variants() {
		doc.Sections = []page.Section{{Blocks: []page.Block{page.Para{Text: "before"}, page.Figure{Drawing: gallery.Template(), Exact: true}, page.Para{Text: "after"}}}}
		ops, _ := drawn(t, doc, 1)
		if strings.Contains(ops, "cm\n") {
			t.Errorf("%s: the page is transformed", name)
		}
		found := false
		for _, p := range subpaths(ops) {
			if len(p) == 4 && math.Abs(p[0][0]-40/25.4*72) < 0.002 && math.Abs(p[0][1]-60/25.4*72) < 0.002 {
				found = true
				if w := p[1][0] - p[0][0]; math.Abs(w-100/25.4*72) > 0.002 {
					t.Errorf("%s: the bar is %.3f mm long", name, w/72*25.4)
				}
			}
		}
		if !found {
			t.Errorf("%s: no bar at (40 mm, 60 mm)", name)
		}
	}
}

// The same bar measured on the rendered page by another program.
func TestExactFigureRendered(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	doc := page.Document{Sections: []page.Section{{Blocks: []page.Block{page.Figure{Drawing: gallery.Template(), Exact: true}}}}}
	path := file(t, "a.pdf", made(t, doc))
	tool(t, "pdftoppm", "-r", "254", "-gray", "-png", "-singlefile", path, strings.TrimSuffix(path, ".pdf"))
	f, err := os.Open(strings.TrimSuffix(path, ".pdf") + ".png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	y := img.Bounds().Dy() - 615 // 61.5 mm over the foot, ten pixels a millimetre
	from, to := -1, -1
	for x := range img.Bounds().Dx() {
		if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
			if from < 0 {
				from = x
			}
			to = x
		}
	}
	if math.Abs(float64(from-400)) > 6 || math.Abs(float64(to-from-1000)) > 12 {
		t.Errorf("the bar runs from %d to %d tenths of a millimetre", from, to)
	}
}

func TestCodeCanBeRead(t *testing.T) {
	const text = "https://example.org/bed/17?log=1"
	doc := page.Document{Sections: []page.Section{{Blocks: []page.Block{page.Code{Text: text, Size: 200}}}}}
	path := file(t, "a.pdf", made(t, doc))
	tool(t, "pdftoppm", "-r", "150", "-x", "150", "-y", "150", "-W", "417", "-H", "417", "-gray", "-png", "-singlefile", path, strings.TrimSuffix(path, ".pdf"))
	f, err := os.Open(strings.TrimSuffix(path, ".pdf") + ".png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	got, err := qr.Decode(img)
	if err != nil || got != text {
		t.Errorf("read %q, %v", got, err)
	}
}

func TestLargePrintIsLargeAndNarrow(t *testing.T) {
	doc := sections(page.Para{Text: page.Text(strings.Repeat("water the lettuce in the morning ", 40))})
	doc.Large = true
	_, s := drawn(t, doc, 0)
	if s.style.body < 18 || s.style.lead < 1.5 || s.style.measure > 6*72 {
		t.Errorf("large print: %v point, %v lines, %v points wide", s.style.body, s.style.lead, s.style.measure)
	}
	normal, large := pageCount(t, gallery.Document()), 0
	g := gallery.Document()
	g.Large = true
	large = pageCount(t, g)
	if large <= normal {
		t.Errorf("large print has %d pages, normal print %d: it is not set anew", large, normal)
	}
}

// The foot of a page gives a title in whole words, or none: half of a word says nothing.
func TestFootHasWholeWords(t *testing.T) {
	const title, warning = "Cama hidropónica con balsa flotante", "No siga: todavía no mezcle ni plante. Página {page} de {pages}"
	for words, want := range map[string]string{"Página {page}": title, warning: "", strings.Repeat("w", 20): "Cama hidropónica con…"} {
		doc := sections(page.Para{Text: "Agua."}, page.PageBreak{}, page.Para{Text: "Sol."})
		doc.Title, doc.Date, doc.Large, doc.Margin, doc.Words.Page = title, "3 de marzo de 2027", true, 46, words
		foot := strings.TrimSpace(tool(t, "pdftotext", "-layout", "-f", "2", "-l", "2", file(t, "a.pdf", made(t, doc)), "-"))
		foot = strings.Join(strings.Fields(foot[strings.LastIndex(foot, "\n")+1:]), " ")
		if end := strings.NewReplacer("{page}", "2", "{pages}", "2").Replace(words); foot != strings.TrimSpace(want+" "+end) {
			t.Errorf("%q: the foot is %q", words, foot)
		}
	}
}

func TestOddDocuments(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	long := strings.Repeat("x", 5000)
	nan := unit.Length(math.NaN())
	for name, doc := range map[string]page.Document{
		"nothing":      {},
		"empty blocks": sections(page.Table{}, page.List{}, page.Caution{}, page.KeyFigures{}, page.Fields{}, page.LogSheet{}, page.Notes{}, page.Together{}, page.Beside{}, page.Figure{}, page.Code{}, page.Para{}, page.Heading{}, page.PageBreak{}, page.PageBreak{}),
		"a long word":  sections(page.Para{Text: page.Text(long)}, page.Table{Columns: []page.Column{{Title: "a"}, {Title: "b"}}, Rows: []page.Row{{Cells: []page.Text{page.Text(long), "b", "one too many"}}, {}}}),
		"a long title": {Title: long, Sections: []page.Section{{Title: long, Blocks: []page.Block{page.Contents{}}}}},
		"bad letters":  sections(page.Para{Text: "\xff\xfe \x00 \u202e 漢字 𝔘"}),
		"bad figure":   sections(page.Figure{Drawing: draw.Drawing{Items: []draw.Item{draw.Circle(draw.At(nan, 0), 1), draw.Rect(draw.At(0, 0), 1e9, 1)}}}),
		"huge exact":   sections(page.Figure{Exact: true, Drawing: draw.Drawing{Items: []draw.Item{draw.Rect(draw.At(-900, -900), 1000, 1000).Filled(draw.Liner)}}}),
		"a long code":  sections(page.Code{Text: long}),
		"a tall pair":  sections(page.Beside{Columns: [][]page.Block{{page.List{Items: make([]page.Text, 3)}, page.LogSheet{Columns: []page.LogColumn{{Title: "a"}}, Rows: 60}}, {page.Para{Text: "b"}}}}),
	} {
		t.Run(name, func(t *testing.T) {
			for _, write := range []func() error{
				func() error { return PDF(doc, io.Discard) }, func() error { return press.HTML(doc, io.Discard) }, func() error { return press.Text(doc, io.Discard, 0) },
			} {
				if err := write(); err != nil {
					t.Error(err)
				}
			}
			out := tool(t, "qpdf", "--check", file(t, "a.pdf", made(t, doc)))
			if strings.Contains(strings.ToLower(out), "error") && !strings.Contains(out, "No syntax") {
				t.Error(out)
			}
		})
	}
}

// failing is a writer that is full.
type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestWritersReportAFullDisk(t *testing.T) {
	doc := gallery.Document()
	for name, err := range map[string]error{"pdf": PDF(doc, failing{}), "html": press.HTML(doc, failing{}), "text": press.Text(doc, failing{}, 80), "svg": press.SVG(gallery.BedPlan(), gallery.Fit(), failing{})} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestMissing(t *testing.T) {
	const wanted = "áéíóúüñ¿¡ ½¼¾⅛⅜⅝⅞ × ≈ ≤ ≥ ± ° ² ³ µ ′ ″ ☐ ☑ ✓ → ← ₂₃₄ – — “” ‘’ … · • ⅓⅔\u00a0\n"
	if m := Missing(wanted); len(m) > 0 {
		t.Errorf("the faces lack %q", string(m))
	}
	if got := string(Missing("漢a漢字")); got != "漢字" {
		t.Errorf("%q", got)
	}
}

// The widths that room draw knows are those of the embedded face.
func TestDrawWidthsAreTheFaces(t *testing.T) {
	both, err := faces()
	if err != nil {
		t.Fatal(err)
	}
	for r := ' '; r <= '~'; r++ {
		want := float64(both[0].glyph(r).advance)
		if got := float64(draw.TextWidth(string(r), 1000, false)); math.Abs(got-want) > 0.5 {
			t.Errorf("%q: %v, the face has %v", r, got, want)
		}
	}
}
