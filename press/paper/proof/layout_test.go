package proof

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/sky"
	"raftwright/sky/places"
)

// invented gives thirty briefs that differ in bed, crop, water, shelf, place and schedule. The
// lengths of the lists share no factor, so that what comes together differs.
func invented() []string {
	beds := []string{
		"bed: {depth: 5 in, length: 8 ft, width: 4 ft}\n",
		"bed: {depth: 8 in, length: 10 ft, width: 4 ft, side board: 2x12}\n",
		"bed: {vessel: round, diameter: 6 ft, depth: 8 in}\n",
		"bed: {depth: 6 in, length: 16 ft, width: 4 ft, hold with: stake}\nraft: {foam: eps, spacing: 8 in, hole: 2 in, pattern: staggered}\n",
		"bed: {vessel: tub, length: 34 in, width: 20 in, depth: 7 in, support: deck}\n",
		"bed: {depth: 6 in, length: 97 in, width: 49 in, support: floor, count: 2}\nraft: {spacing: 12 in, hole: 2-1/2 in}\n",
		"bed: {depth: 200 mm, length: 5 m, width: 1.2 m, side board: 2x10}\nraft: {spacing: 6 in, hole: 1-1/2 in}\n",
	}
	crops := []string{"", "crop: {name: basil}\n", "crop: {name: kale}\n", "crop: {name: lettuce, cultivar: romaine}\n", "crop: {name: pak choi}\n"}
	waters := []string{"", "water: {kind: hard}\n", "water: {kind: rain}\n",
		"water: {name: well, ph: 7.8, alkalinity: 180 mg/L CaCO3, calcium: 60 mg/L, magnesium: 14 mg/L, sodium: 30 mg/L, chloride: 40 mg/L, sulfate: 30 mg/L}\n"}
	sites := []string{"site: {kind: home, children: live here, place: 55401}\n", "site: {kind: school, children: visit, place: 87501}\n",
		"site: {kind: community, children: none, cover: tunnel, place: 70112}\n"}
	shelves := []string{"", "mix: {measure: spoons}\n", "shelf:\n  - {name: powder, label: 20-20-20}\n  - {name: calcium nitrate, label: 15.5-0-0, calcium: 19 %, nitrate-n: 14.4 %}\nmix: {measure: scale 1 g, stock: {volume: 5 gal, ratio: 100}}\n"}
	schedules := []string{"", "schedule: {people: 4}\n", "schedule: {heads per week: 12, first harvest: 2027-05-01, last harvest: 2027-10-31, harvest days: [Tue, Fri], breaks: [{from: 2027-07-01, to: 2027-07-10}]}\n"}
	var out []string
	for i := range 30 {
		out = append(out, sites[i%3]+beds[i%7]+crops[i%5]+waters[i%4]+shelves[i/3%3]+schedules[i/2%3])
	}
	return out
}

// languages are those in which the layout is proven.
var languages = []string{"en", "es"}

// Whatever is planned, on both papers and in both systems of units: no words cover others or
// leave the paper's margins, no word is broken, no face but the last is less than half full, a
// picture of a step stays with its words, the tags are sound, and all is as large as it must
// be. RAFTWRIGHT_LAYOUTS=all tries every combination; else each paper in one language and one system of units, which go
// through all combinations from brief to brief.
func TestLayout(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	all := os.Getenv("RAFTWRIGHT_LAYOUTS") == "all"
	atlas, err := sky.OpenAtlas(places.Packed)
	if err != nil {
		t.Fatal(err)
	}
	book, ordinary, n := plan.DefaultBook().With(atlas), 0, -1
	for i, text := range invented() {
		if !all && i%6 != 0 && i != 14 || testing.Short() && i%24 != 0 {
			continue
		}
		n++
		b, faults := brief.Parse(fmt.Sprintf("brief %d", i), []byte(text))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p, faults := plan.Make(b, book, plan.Files{}, plan.Everything)
		if len(faults) > 0 {
			t.Fatal(i, faults)
		}
		for k, language := range languages {
			for _, u := range []lang.Units{lang.US, lang.Metric} {
				for _, size := range []page.Paper{page.Letter, page.A4} {
					if !all && (k != (n+int(size))%2 || int(u) != (n/2+int(size))%2) {
						continue
					}
					words, err := lang.For(language, u)
					if err != nil {
						t.Fatal(err)
					}
					doc := packet.Faces(p, words, packet.Options{Paper: size})
					what := fmt.Sprintf("brief %d, %s, units %d, %s", i, language, u, size)
					bad, plain := unexplained(proven(t, what, doc, 12), p, doc)
					for _, b := range bad {
						t.Errorf("%s: %s", what, b)
					}
					if plain {
						ordinary++
					}
				}
			}
		}
	}
	if ordinary == 0 {
		t.Error("no brief is ordinary")
	}
}

// proven fails on what is wrong with the layout of a packet whose words are to be so large; labels of
// drawings may be 9 points in ordinary print.
func proven(t *testing.T, what string, doc page.Document, text float64) *checker {
	t.Helper()
	c := checked(opened(t, made(t, doc)))
	label := 9.0
	if doc.Large {
		label = text
	}
	bad := append(c.empty(doc, leastFull), small(c.top, text, label, text)...)
	for _, f := range c.faults {
		bad = append(bad, f.rule+": "+f.where+": "+f.what)
	}
	bad = append(bad, c.covered()...)
	bad = append(bad, c.outside(doc)...)
	bad = append(bad, c.torn(doc)...)
	for i, b := range bad {
		if i == 6 {
			t.Errorf("%s: and %d more", what, len(bad)-i)
			break
		}
		t.Errorf("%s: %s", what, b)
	}
	return c
}

// box gives the corners of a run of words: from its baseline up to the height of its capitals,
// which are 0.66 of the size in the embedded face.
func (w written) box() (x0, y0, x1, y1 float64) {
	long, up := w.long, 0.66*w.size
	if strings.HasSuffix(w.words, " ") { // a space between lines
		long -= 0.2 * w.size
	}
	x0, y0 = min(w.x, w.x+long*w.cos)-up*max(w.sin, 0), min(w.y, w.y+long*w.sin)
	x1, y1 = max(w.x, w.x+long*w.cos), max(w.y, w.y+long*w.sin)
	if w.cos > 0.5 {
		y1 += up
	}
	return x0, y0, x1, y1
}

// covered gives the words that lie on others.
func (c *checker) covered() []string {
	var out []string
	for i, a := range c.lines {
		if len(a.words) < 2 { // signs of warnings stand in their triangle
			continue
		}
		a0, b0, a1, b1 := a.box()
		for _, b := range c.lines[i+1:] {
			if b.page != a.page {
				break
			}
			c0, d0, c1, d1 := b.box()
			if math.Min(a1, c1)-math.Max(a0, c0) > 1.5 && math.Min(b1, d1)-math.Max(b0, d0) > 1 {
				out = append(out, fmt.Sprintf("page %d: %q lies on %q", a.page+1, b.words, a.words))
			}
		}
	}
	return out
}

// outside gives the words that leave the margins.
func (c *checker) outside(doc page.Document) []string {
	var out []string
	wide, high := doc.Paper.Size()
	margin := float64(doc.Margin)
	for _, w := range c.lines {
		x0, y0, x1, y1 := w.box()
		if x0 < margin-2 || x1 > float64(wide)-margin+3 || y0 < margin*0.5 || y1 > float64(high)-margin+2 {
			out = append(out, fmt.Sprintf("page %d: %q at %.0f, %.0f leaves the margins", w.page+1, w.words, w.x, w.y))
		}
	}
	return out
}

// leastFull is how full a page must be.
const leastFull = 0.5

// empty gives the pages, but for the last, that are too empty.
func (c *checker) empty(doc page.Document, least float64) []string {
	_, high := doc.Paper.Size()
	margin := float64(doc.Margin)
	lowest := make([]float64, len(c.pages))
	for i := range lowest {
		lowest[i] = float64(high)
	}
	look := func(page int, y float64) {
		if y > margin-2 { // the foot is under it
			lowest[page] = min(lowest[page], y)
		}
	}
	for _, w := range c.lines {
		look(w.page, w.y)
	}
	for _, p := range c.points {
		look(p.page, p.y)
	}
	var out []string
	for i, y := range lowest[:max(len(lowest)-1, 0)] {
		if full := (float64(high) - margin - y) / (float64(high) - 2*margin); full < least {
			out = append(out, fmt.Sprintf("page %d is full to %.2f", i+1, full))
		}
	}
	return out
}

// torn gives the pictures of steps whose words stand on another page.
func (c *checker) torn(doc page.Document) []string {
	steps := map[string]bool{}
	for _, s := range doc.Sections {
		each(s.Blocks, func(b page.Block) {
			if f, ok := b.(page.Figure); ok && strings.HasPrefix(f.Drawing.ID, "step-") {
				steps[strings.TrimSpace(f.Drawing.Alt)] = true
			}
		})
	}
	var out []string
	for i, k := range c.top.kids {
		if k.kind == "Document" {
			out = append(out, tornIn(k, steps)...)
		} else if i == len(c.top.kids)-1 && len(steps) > 0 && len(out) == 0 {
			out = append(out, tornIn(c.top, steps)...)
		}
	}
	return out
}

func tornIn(e *element, steps map[string]bool) []string {
	var out []string
	for i, k := range e.kids {
		if k.kind != "Figure" || !steps[k.alt] || i+1 == len(e.kids) || e.kids[i+1].kind != "P" {
			continue
		}
		for _, s := range append(k.own, e.kids[i+1].own...) {
			if s.page != k.own[0].page {
				out = append(out, fmt.Sprintf("the picture %q is torn from its words", k.alt))
				break
			}
		}
	}
	return out
}

// each goes through blocks and the blocks in them.
func each(blocks []page.Block, do func(page.Block)) {
	for _, b := range blocks {
		do(b)
		switch b := b.(type) {
		case page.Together:
			each(b.Blocks, do)
		case page.Beside:
			for _, c := range b.Columns {
				each(c, do)
			}
		}
	}
}
