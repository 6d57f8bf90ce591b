package page

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestRuns(t *testing.T) {
	for _, c := range []struct {
		text Text
		want []Run
	}{
		{"", nil},
		{"plain", []Run{{Text: "plain", Bold: false}}},
		{"**5** in", []Run{{Text: "5", Bold: true}, {Text: " in", Bold: false}}},
		{"a **b** c **d**", []Run{{Text: "a ", Bold: false}, {Text: "b", Bold: true}, {Text: " c ", Bold: false}, {Text: "d", Bold: true}}},
		{"never **closed", []Run{{Text: "never ", Bold: false}, {Text: "closed", Bold: true}}},
		{"2 * 3", []Run{{Text: "2 * 3", Bold: false}}},
		{`\*\*stars\*\*`, []Run{{Text: "**stars**", Bold: false}}},
		{"****", nil},
		{`ends with \`, []Run{{Text: `ends with \`, Bold: false}}},
		{"say [[es|**dos** tablas]] twice", []Run{{Text: "say "}, {Text: "dos", Bold: true, Language: "es"}, {Text: " tablas", Language: "es"}, {Text: " twice"}}},
		{"[[no]] [[x|y]] [[", []Run{{Text: "[[no]] [[x|y]] [["}}},
		{`\[\[es|a\]\]`, []Run{{Text: "[[es|a]]"}}},
		{In("es-US", "a ") + In("!", "b"), []Run{{Text: "a ", Language: "es-US"}, {Text: "b"}}},
	} {
		if diff := cmp.Diff(c.want, c.text.Runs()); diff != "" {
			t.Errorf("%q: %s", c.text, diff)
		}
	}
}

func TestPlainDropsMarks(t *testing.T) {
	if got := Text("**Bold** and plain").Plain(); got != "Bold and plain" {
		t.Errorf("%q", got)
	}
	if got := Bold("4*8").Plain(); got != "4*8" {
		t.Errorf("%q", got)
	}
	if r := Bold("4*8").Runs(); len(r) != 1 || !r[0].Bold {
		t.Errorf("%v", r)
	}
}

// Literal words come back as they were, whatever they hold.
func FuzzLiteral(f *testing.F) {
	for _, s := range []string{"", "*", "**", `\*`, `\\**`, "a**b**c", "ñ½☐", "***", "\\"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		runs := Literal(s).Runs()
		var b strings.Builder
		for _, r := range runs {
			if r.Bold || r.Language != "" {
				t.Fatalf("%q has become bold or foreign", s)
			}
			b.WriteString(r.Text)
		}
		if b.String() != s {
			t.Fatalf("%q came back as %q", s, b.String())
		}
		if got := Bold(s).Plain(); got != s {
			t.Fatalf("bold %q came back as %q", s, got)
		}
	})
}

// ISO 216 A4 and the 8.5 by 11 in sheet, in points.
func TestPaperSizes(t *testing.T) {
	w, h := A4.Size()
	if math.Abs(w.Length().Millimetres()-210) > 0.01 || math.Abs(h.Length().Millimetres()-297) > 0.01 {
		t.Errorf("A4 is %v by %v mm", w.Length().Millimetres(), h.Length().Millimetres())
	}
	w, h = Letter.Size()
	if w != 8.5*72 || h != 11*72 {
		t.Errorf("Letter is %v by %v", w, h)
	}
	if Letter.String() != "letter" || A4.String() != "a4" {
		t.Error("names")
	}
}
