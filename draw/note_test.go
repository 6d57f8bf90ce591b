package draw

import (
	"math"
	"testing"
)

// words gives the words of a sheet by their text.
func wordsOf(s Sheet) map[string]Mark {
	out := map[string]Mark{}
	for _, m := range s.Marks {
		if m.Kind == Lettering {
			out[m.Text] = m
		}
	}
	return out
}

// A callout stands where it was wished if nothing is in its way; else beside it, and its leader runs
// through no words.
func TestCalloutGivesWay(t *testing.T) {
	free := Drawing{Bare: true, Scale: Full}
	free.Add(Rect(At(0, 0), 4*in, 2*in), Callout{Tip: At(in, in), Dx: 30, Dy: 10, Text: "tie"})
	if m := wordsOf(Lay(free, Fitting{}))["tie"]; math.Abs(float64(m.At.X-102)) > 0.01 {
		t.Errorf("a free callout stands at %v, wished at 102", m.At.X)
	}
	full := free
	full.Items = append(full.Items[:2:2], Text{At: At(in, in), Dx: 28, Dy: 5, Text: "in the way"}, Text{At: At(in, in), Dx: 12, Dy: 2, Text: "|"})
	s := Lay(full, Fitting{})
	found := wordsOf(s)
	mine := bounds([]Mark{found["tie"]})
	_, all := inked(s.Marks)
	for _, name := range []string{"in the way", "|"} {
		other := bounds([]Mark{found[name]})
		if mine.x0 < other.x1 && other.x0 < mine.x1 && mine.y0 < other.y1 && other.y0 < mine.y1 {
			t.Errorf("the callout covers %q", name)
		}
		for _, m := range s.Marks {
			if m.Kind == Outline && m.Width > 0 && m.Width < 0.6 && other.cut(segment{m.Moves[0].To, m.Moves[1].To}) {
				t.Errorf("the leader runs through %q", name)
			}
		}
	}
	if len(all) != 3 {
		t.Errorf("%d words", len(all))
	}
	whole := bounds(s.Marks)
	if whole.x0 < -0.5 || whole.x1 > 4*72+0.5 || whole.y1 > 2*72+0.5 {
		t.Errorf("it left the drawing: %v", whole)
	}
}

// The label of an upright line that is too short for it stands level beside the line, outside of what
// is measured.
func TestShortUprightLabelIsLevel(t *testing.T) {
	for _, c := range []struct {
		offset Points
		anchor Anchor
	}{{14, End}, {-14, Start}} {
		d := Drawing{Bare: true, Scale: Full}
		d.Add(Rect(At(0, 0), 2*in, 0.3*in), Dimension{From: At(0, 0), To: At(0, 0.3*in), Offset: c.offset, Label: "7-1/4 in", Beside: true})
		m := wordsOf(Lay(d, Fitting{}))["7-1/4 in"]
		if m.Turn != 0 || m.Anchor != c.anchor {
			t.Errorf("offset %v: turned by %v, anchor %v", c.offset, m.Turn, m.Anchor)
		}
	}
}

// In a frame the words stay, though their best place would be outside.
func TestFrameHoldsItsWords(t *testing.T) {
	d := Drawing{Bare: true, Framed: true}
	d.Add(Rect(At(0, 0), 3*in, 2*in), Line(At(2.9*in, 0.5*in), At(2.9*in, 1.5*in)), Callout{Tip: At(2.9*in, in), Dx: 40, Text: "outside"},
		Dimension{From: At(2.8*in, 1*in), To: At(2.8*in, 0.9*in), Label: "a long label"})
	s := Lay(d, Fitting{})
	if math.Abs(float64(s.Width-218)) > 0.01 || math.Abs(float64(s.Height-146)) > 0.01 {
		t.Errorf("the sheet is %v by %v", s.Width, s.Height)
	}
	for text, m := range wordsOf(s) {
		if b := bounds([]Mark{m}); b.x0 < 0 || b.x1 > s.Width || b.y0 < 0 || b.y1 > s.Height {
			t.Errorf("%q at %v", text, b)
		}
	}
}
