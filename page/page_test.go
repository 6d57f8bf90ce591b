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
		{"plain", []Run{{"plain", false}}},
		{"**5** in", []Run{{"5", true}, {" in", false}}},
		{"a **b** c **d**", []Run{{"a ", false}, {"b", true}, {" c ", false}, {"d", true}}},
		{"never **closed", []Run{{"never ", false}, {"closed", true}}},
		{"2 * 3", []Run{{"2 * 3", false}}},
		{`\*\*stars\*\*`, []Run{{"**stars**", false}}},
		{"****", nil},
		{`ends with \`, []Run{{`ends with \`, false}}},
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
			if r.Bold {
				t.Fatalf("%q has become bold", s)
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
