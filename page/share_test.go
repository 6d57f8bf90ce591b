package page

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestAnchors(t *testing.T) {
	if a, b := (Section{ID: "shop"}).Anchor(3), (Section{}).Anchor(3); a != "shop" || b != "section-4" {
		t.Error(a, b)
	}
}

func TestSharesOfALine(t *testing.T) {
	if (Field{}).Share() != 1 || (Field{Weight: 2}).Share() != 2 || (LogColumn{}).Share() != 1 || (LogColumn{Weight: 0.5}).Share() != 0.5 {
		t.Error("a share is 1 where no weight is given")
	}
	if got := (LogSheet{}).RowHeight().Length().Millimetres(); math.Abs(got-10) > 1e-9 || (LogSheet{Height: 40}).RowHeight() != 40 {
		t.Errorf("a row is %v mm", got)
	}
}

func TestFigureAndUnitStayTogether(t *testing.T) {
	for in, want := range map[string]string{
		"fill 5 in of the 8 ft, 3 times": "fill 5\u00a0in of the 8\u00a0ft, 3 times", "in 5 days": "in 5 days", "½ in.": "½\u00a0in.", "": "", "a  b": "a  b", "30 %": "30\u00a0%",
	} {
		if got := Bind(in); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
}

// Squeezed columns fit the room, none is wider than it was, and none below its
// least unless even those do not fit.
func TestSqueeze(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "n")
		least := rapid.SliceOfN(rapid.Float64Range(1, 50), n, n).Draw(t, "least")
		w := make([]float64, n)
		floor, sum := 0.0, 0.0
		for i := range w {
			w[i] = least[i] + rapid.Float64Range(0, 300).Draw(t, "more")
			floor, sum = floor+least[i], sum+w[i]
		}
		room := rapid.Float64Range(10, 1000).Draw(t, "room")
		got := Squeeze(slices.Clone(w), least, room)
		total := 0.0
		for i, x := range got {
			total += x
			if x > w[i]+1e-9 || floor <= room && x < least[i]-1e-9 {
				t.Fatalf("column %d is %v of %v, at least %v", i, x, w[i], least[i])
			}
		}
		if total > room+0.02 || sum > room && floor < room && total < room-0.02 {
			t.Fatalf("%v in a room of %v", got, room)
		}
	})
}
