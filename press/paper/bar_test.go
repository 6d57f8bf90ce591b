package paper_test

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/page"
	"raftwright/press/paper"
	"raftwright/unit"
)

// A scale bar that comes out of the printer is as long as it says, measured in dots at 100 an inch,
// on both papers and in both systems of units.
func TestScaleBarInDots(t *testing.T) {
	program, err := exec.LookPath("pdftoppm")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("pdftoppm is missing: ./check installs it")
		}
		t.Skip("pdftoppm is missing: ./check installs it")
	}
	d := draw.Drawing{ID: "bed", Title: "A bed", Alt: "A bed."}
	d.Add(draw.Rect(draw.At(0, 0), 97*unit.Inch, 49*unit.Inch))
	for _, size := range []page.Paper{page.Letter, page.A4} {
		for _, sys := range []draw.System{draw.US, draw.Metric} {
			if testing.Short() && (size == page.A4) != (sys == draw.Metric) {
				continue // the check prints each on each
			}
			doc := page.Document{Title: "Bar", Language: "en", Paper: size, Units: sys, Sections: []page.Section{{Blocks: []page.Block{page.Figure{Drawing: d, Height: 300}}}}}
			wide, _ := size.Size()
			laid := draw.Lay(d, draw.Fitting{Width: wide - 144, Height: 300, System: sys})
			var number float64
			var name string
			for _, m := range laid.Marks {
				if m.Kind == draw.Lettering {
					if _, err := fmt.Sscanf(m.Text, "%g %s", &number, &name); err == nil && !strings.Contains(m.Text, ":") {
						break
					}
				}
			}
			inch := map[string]float64{"in": 1, "ft": 12, "cm": 1 / 2.54, "m": 100 / 2.54}[name]
			want := number * inch * float64(laid.Scale) * 100
			var file bytes.Buffer
			if err := paper.PDF(doc, &file); err != nil {
				t.Fatal(err)
			}
			c := exec.Command(program, "-r", "100", "-gray", "-png", "-", filepath.Join(t.TempDir(), "bar"))
			c.Stdin = &file
			if out, err := c.CombinedOutput(); err != nil {
				t.Fatalf("pdftoppm: %v: %s", err, out)
			}
			if got := barIn(t, c.Args[len(c.Args)-1]); want < 40 || math.Abs(got-want) > 1.5 {
				t.Errorf("%s, units %d: the bar of %g %s is %.0f dots long, true are %.1f", size, sys, number, name, got, want)
			}
		}
	}
}

// barIn measures the bar on the page of a file by its first three quarters, dark, light and dark,
// all equally long: the edge of the last, light one can be too thin to be seen as dots.
func barIn(t *testing.T, path string) float64 {
	t.Helper()
	list, err := filepath.Glob(path + "-*.png")
	if err != nil || len(list) != 1 {
		t.Fatalf("%d pages, %v", len(list), err)
	}
	data, err := os.ReadFile(list[0])
	if err != nil {
		t.Fatal(err)
	}
	m, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	b := m.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		var ends []int // where the row turns from light to dark or back
		dark := false
		for x := b.Min.X; x < b.Max.X; x++ {
			if r, _, _, _ := m.At(x, y).RGBA(); (r < 0x8000) != dark {
				dark = !dark
				ends = append(ends, x)
			}
		}
		for i := 0; i+4 < len(ends); i += 2 {
			q := ends[i+1] - ends[i]
			if light, next, last := ends[i+2]-ends[i+1], ends[i+3]-ends[i+2], ends[i+4]-ends[i+3]; q > 8 && max(q-light, light-q) <= 4 && max(q-next, next-q) <= 1 && last >= light {
				const edge = 0.6 / 72 * 100 // of the line around the bar
				return (float64(ends[i+3]-ends[i]) - edge) * 4 / 3
			}
		}
	}
	return 0
}
