package packet_test

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
)

// box gives the corners of a line of words that stands upright or is turned by a quarter; false
// for any other.
func box(m draw.Mark) (x0, y0, x1, y1 draw.Points, ok bool) {
	w, up := draw.TextWidth(m.Text, m.Size, m.Bold), 0.7*m.Size
	from := map[draw.Anchor]draw.Points{draw.Start: 0, draw.Middle: -w / 2, draw.End: -w}[m.Anchor]
	switch m.Turn {
	case 0:
		return m.At.X + from, m.At.Y, m.At.X + from + w, m.At.Y + up, true
	case 90:
		return m.At.X - up, m.At.Y + from, m.At.X, m.At.Y + from + w, true
	}
	return 0, 0, 0, 0, false
}

// On the faces no words of a drawing cover others or leave the drawing, and none is smaller
// than 9 points.
func TestWordsOfDrawingsCoverNothing(t *testing.T) {
	for k, path := range someExamples(t) {
		p := planOf(t, path)
		for i := range 4 {
			if testing.Short() && (i+k)%4 != 0 {
				continue // each in one language and system
			}
			tag, u := []string{"en", "es"}[i/2], []lang.Units{lang.US, lang.Metric}[i%2]
			name := fmt.Sprintf("%s, units %d, %s", filepath.Base(path), u, tag)
			w, err := lang.For(tag, u)
			if err != nil {
				t.Fatal(err)
			}
			walk(packet.Faces(p.In(tag), w, packet.Options{}), func(s page.Section, b page.Block) {
				f, ok := b.(page.Figure)
				if !ok {
					return
				}
				width := draw.Points(516)
				if f.Drawing.ID == "exploded" || s.ID == "frame" || s.ID == "liner" && f.Drawing.ID != "step-children" {
					width = 247
				}
				coversNothing(t, name, f, width)
			})
		}
	}
}

// coversNothing lays a figure out and looks at its words.
func coversNothing(t *testing.T, name string, f page.Figure, width draw.Points) {
	t.Helper()
	if f.Drawing.ID == "nomogram" { // beside the dipstick
		width = 363
	}
	laid := draw.Lay(f.Drawing, draw.Fitting{Width: width, Height: f.Height})
	var seen []draw.Mark
	for _, m := range laid.Marks {
		if m.Kind != draw.Lettering || m.Text == "" {
			continue
		}
		if m.Size < 8.99 {
			t.Errorf("%s: %s has %q in %.1f points", name, f.Drawing.ID, m.Text, m.Size)
		}
		a0, b0, a1, b1, ok := box(m)
		if !ok {
			continue
		}
		if a0 < -1 || b0 < -1 || a1 > laid.Width+1 || b1 > laid.Height+1 {
			t.Errorf("%s: %q leaves %s", name, m.Text, f.Drawing.ID)
		}
		for _, o := range seen {
			c0, d0, c1, d1, _ := box(o)
			if math.Min(float64(a1), float64(c1))-math.Max(float64(a0), float64(c0)) > 0.8 && math.Min(float64(b1), float64(d1))-math.Max(float64(b0), float64(d0)) > 0.8 {
				t.Errorf("%s: %q lies on %q in %s", name, m.Text, o.Text, f.Drawing.ID)
			}
		}
		seen = append(seen, m)
	}
}

// A scale bar is as long as it says at the scale that stands beside it, on both papers and in
// both systems of units: 3/8 in = 1 ft makes 4 ft into 108 points, 1 : 20 makes 1 m into 141.7.
func TestScaleBarsAreTrue(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	p := planOf(t, "../examples/demo.yaml")
	for _, u := range []lang.Units{lang.US, lang.Metric} {
		for _, size := range []page.Paper{page.Letter, page.A4} {
			bars := 0
			doc := packet.Faces(p, words(t, u), packet.Options{Paper: size})
			wide, _ := size.Size()
			walk(doc, func(s page.Section, b page.Block) {
				f, ok := b.(page.Figure)
				if !ok {
					return
				}
				laid := draw.Lay(f.Drawing, draw.Fitting{Width: (wide - 2*doc.Margin - 22) / 2, Height: f.Height, System: doc.Units, Words: doc.Words.Words})
				for i, m := range laid.Marks {
					if i == 0 || m.Kind != draw.Lettering || !strings.HasPrefix(m.Text, doc.Words.Scale) {
						continue
					}
					bars++
					var number float64
					var name string
					if _, err := fmt.Sscanf(laid.Marks[i-1].Text, "%g %s", &number, &name); err != nil {
						t.Fatalf("%s: %q is no length", f.Drawing.ID, laid.Marks[i-1].Text)
					}
					from, to := laid.Width, draw.Points(0)
					for _, o := range laid.Marks[max(0, i-5) : i-1] { // its four boxes
						a, b := o.Box()
						from, to = min(from, a.X), max(to, b.X)
					}
					inch := map[string]float64{"in": 1, "ft": 12, "mm": 1 / 25.4, "cm": 1 / 2.54, "m": 100 / 2.54}[name]
					if want := number * inch * 72 * float64(laid.Scale); math.Abs(float64(to-from)-want) > 0.7 || want < 20 {
						t.Errorf("%s on %s: the bar of %s takes %.1f points at 1 : %.1f, true are %.1f", f.Drawing.ID, size, laid.Marks[i-1].Text, to-from, 1/float64(laid.Scale), want)
					}
				}
			})
			if bars < 2 {
				t.Errorf("%s: %d scale bars", size, bars)
			}
		}
	}
}
