package paper

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/page"
)

// No strip is lost, none is printed twice or out of order, and none hangs over
// the foot of a page unless it is taller than a page.
func TestPaginate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const height = 100.0
		n := rapid.IntRange(0, 60).Draw(t, "n")
		strips := make([]strip, n)
		for i := range strips {
			strips[i] = strip{height: rapid.Float64Range(1, 60).Draw(t, "height"), before: rapid.Float64Range(0, 20).Draw(t, "before"),
				keep: rapid.Bool().Draw(t, "keep"), fresh: rapid.IntRange(0, 9).Draw(t, "fresh") == 0, draw: func(*pen, float64, float64) {},
				outline: &outline{level: i}}
		}
		next := 0
		for k, p := range paginate(strips, height) {
			y := 0.0
			for j, s := range p.strips {
				if s.outline.level != next {
					t.Fatalf("page %d: strip %d where %d should be", k, s.outline.level, next)
				}
				if j == 0 && s.y != 0 {
					t.Fatalf("page %d starts at %v", k, s.y)
				}
				if j > 0 && s.fresh {
					t.Fatalf("strip %d does not start a page", next)
				}
				if s.y < y-1e-9 || s.y+s.height > height+0.02 {
					t.Fatalf("strip %d from %v to %v", next, s.y, s.y+s.height)
				}
				y = s.y + s.height
				next++
			}
		}
		if next != n {
			t.Fatalf("%d of %d strips printed", next, n)
		}
	})
}

func TestPaginateKeepsTogether(t *testing.T) {
	ink := func(*pen, float64, float64) {}
	strips := []strip{{height: 70, draw: ink}, {height: 20, keep: true, draw: ink}, {height: 20, draw: ink}}
	pages := paginate(strips, 100)
	if len(pages) != 2 || len(pages[1].strips) != 2 {
		t.Errorf("the heading does not go with its text: %d pages", len(pages))
	}
}

func TestPaginateLeavesNoWhiteAtTheTop(t *testing.T) {
	ink := func(*pen, float64, float64) {}
	pages := paginate([]strip{{height: 95, draw: ink}, {height: 10}, {height: 10}, {height: 50, before: 12, draw: ink}, {height: 60}}, 100)
	if len(pages) != 2 || len(pages[1].strips) != 1 || pages[1].strips[0].y != 0 {
		t.Errorf("%d pages, %+v", len(pages), pages[1].strips)
	}
}

func TestPaginateRepeatsTheHead(t *testing.T) {
	ink := func(*pen, float64, float64) {}
	head := strip{height: 10, keep: true, draw: ink}
	strips := []strip{head}
	for i := range 30 {
		row := strip{height: 10, draw: ink}
		if i > 0 {
			row.head = []strip{head}
		}
		strips = append(strips, row)
	}
	rows := 0
	for _, p := range paginate(strips, 100) {
		rows += len(p.strips) - 1
		if len(p.strips) > 10 {
			t.Errorf("a page with %d strips", len(p.strips))
		}
	}
	if rows != 30 {
		t.Errorf("%d rows", rows)
	}
}

func testSetter(t testing.TB) *setter {
	s, err := newSetter(page.Document{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func spoken(lines []line) string {
	var b strings.Builder
	for _, l := range lines {
		for _, w := range l.words {
			for _, p := range w.pieces {
				b.WriteString(p.text)
			}
		}
	}
	return squash(b.String())
}

// Wrapping loses no letter and no line is wider than asked.
func TestWrap(t *testing.T) {
	s := testSetter(t)
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		for _, w := range rapid.SliceOfN(rapid.StringMatching(`[a-zA-Z0-9½,.*]{1,30}`), 0, 30).Draw(t, "words") {
			b.WriteString(w + rapid.SampledFrom([]string{" ", "  ", "\n", " in ", "\u00a0"}).Draw(t, "gap"))
		}
		text := b.String()
		most := rapid.Float64Range(2, 60).Draw(t, "most")
		lines := s.wrap(s.words(page.Text(text), false), most)
		if got, want := spoken(lines), squash(page.Text(text).Plain()); got != want {
			t.Fatalf("%q became %q", want, got)
		}
		for _, l := range lines {
			sum := 0.0
			for i, w := range l.words {
				if i > 0 {
					sum += s.gap(l.words[i-1])
				}
				sum += w.width
			}
			if math.Abs(sum-l.width) > 1e-6 || sum > most+1e-6 && (len(l.words) > 1 || len(spoken([]line{l})) > 4) {
				t.Fatalf("a line of %v (said %v) in %v: %q", sum, l.width, most, spoken([]line{l}))
			}
		}
	})
}

func TestFiguresStayWithTheirUnits(t *testing.T) {
	s := testSetter(t)
	for _, text := range []string{"of 6 in", "of 1½ in", "of 100 gal.", "of 30 %,", "of **5** ft"} {
		if w := s.words(page.Text(text), false); len(w) != 2 {
			t.Errorf("%q has %d words, want 2", text, len(w))
		}
	}
	for _, text := range []string{"put in", "of 6 boards", "6\nin"} {
		if w := s.words(page.Text(text), false); len(w) < 2 {
			t.Errorf("%q has %d words", text, len(w))
		}
	}
	if got := page.Bind("fill 5 in of the 8 ft, 3 times"); got != "fill 5\u00a0in of the 8\u00a0ft, 3 times" {
		t.Errorf("%q", got)
	}
}

func TestShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "n")
		cols := make([]page.Column, n)
		natural, least := make([]float64, n), make([]float64, n)
		for i := range cols {
			natural[i] = rapid.Float64Range(0, 400).Draw(t, "natural")
			least[i] = natural[i] * rapid.Float64Range(0, 1).Draw(t, "least")
			cols[i].Weight = float64(rapid.IntRange(0, 2).Draw(t, "weight"))
		}
		const room = 300
		w := share(cols, natural, least, room)
		sum, floor := 0.0, 0.0
		for i := range w {
			if w[i] < -1e-9 {
				t.Fatalf("a column of %v", w[i])
			}
			sum += w[i]
			floor += least[i]
		}
		if sum > room+0.1 {
			t.Fatalf("columns of %v in %v", sum, room)
		}
		for i := range w {
			if floor < room && w[i] < least[i]-0.01 {
				t.Fatalf("column %d of %v, its longest word needs %v", i, w[i], least[i])
			}
		}
	})
}

func TestSqueezeSparesShortColumns(t *testing.T) {
	w := page.Squeeze([]float64{300, 30, 200}, []float64{40, 20, 40}, 260)
	if w[1] != 30 {
		t.Errorf("the short column became %v", w[1])
	}
	if math.Abs(w[0]-w[2]) > 0.1 {
		t.Errorf("the wide columns are %v and %v", w[0], w[2])
	}
}

func TestFoldKeepsEveryRow(t *testing.T) {
	var rows []page.Row
	for _, c := range "abcdefg" {
		rows = append(rows, page.Row{Cells: []page.Text{page.Text(c), page.Text(c) + "1"}})
	}
	got := fold(page.Table{Columns: []page.Column{{Title: "x"}, {Title: "y"}}, Rows: rows, Fold: 3})
	if len(got.Columns) != 8 || len(got.Rows) != 3 {
		t.Fatalf("%d columns, %d rows", len(got.Columns), len(got.Rows))
	}
	var read []string
	for k := range 3 {
		for _, r := range got.Rows {
			if c := r.Cells[k*3]; c != "" {
				read = append(read, string(c))
			}
		}
	}
	if strings.Join(read, "") != "abcdefg" {
		t.Errorf("%v", read)
	}
}
