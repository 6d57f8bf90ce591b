package packet_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
)

// reckoned does a sum of the key as a pupil would, from left to right.
func reckoned(t *testing.T, work string) float64 {
	t.Helper()
	value, sign := 0.0, "+"
	for _, f := range strings.Fields(work) {
		if strings.Contains("+−×÷", f) {
			sign = f
			continue
		}
		x, err := strconv.ParseFloat(strings.ReplaceAll(f, ",", ""), 64)
		if err != nil {
			t.Fatalf("%q in %q is no figure", f, work)
		}
		switch sign {
		case "+":
			value += x
		case "−":
			value -= x
		case "×":
			value *= x
		case "÷":
			value /= x
		}
	}
	return value
}

// Each line of the key comes out as it stands when it is reckoned with the figures that are printed,
// and what the packet is said to say stands in the packet or in its working.
func TestKeyOfTheClassAgreesWithThePacket(t *testing.T) {
	lines, least := 0, 200
	if testing.Short() {
		least = 50
	}
	for i, path := range someExamples(t) {
		for k, u := range []lang.Units{lang.US, lang.Metric} {
			if testing.Short() && (i+k)%2 == 1 {
				continue // each in one system
			}
			p, w := planOf(t, path), words(t, u)
			d := packet.Class(p, w, packet.Options{})
			said := strings.ReplaceAll(flat(told(t, packet.Faces(p, w, packet.Options{}))+told(t, accounts(p, w, packet.Options{}))+told(t, packet.Working(p, w, packet.Options{}))), page.Glue, " ")
			given := map[string]map[float64]bool{} // by exercise: the figures on its sheet, then its answers too
			exercise, level := "", ""
			walk(d, func(s page.Section, b page.Block) {
				var text string
				switch b := b.(type) {
				case page.Heading:
					exercise = s.Title + b.Text
				case page.Para:
					text = b.Text.Plain()
				}
				if given[exercise] == nil {
					given[exercise] = map[float64]bool{}
				}
				for _, n := range number.FindAllString(text, -1) {
					v, _ := strconv.ParseFloat(strings.ReplaceAll(n, ",", ""), 64)
					given[exercise][v] = true
				}
			})
			walk(d, func(s page.Section, b page.Block) {
				table, ok := b.(page.Table)
				if !ok || s.ID != "class-key" {
					return
				}
				level = table.Caption.Plain()
				for _, r := range table.Rows {
					if r.Group {
						exercise = level + r.Cells[0].Plain()
						continue
					}
					work, answer := r.Cells[1].Plain(), r.Cells[2].Plain()
					if r.Cells[0] == "" { // what the packet says
						for _, x := range strings.Split(answer, "; ") {
							if x = strings.ReplaceAll(x, page.Glue, " "); !strings.Contains(said, x) && !strings.Contains(exercise, "much is there") && !strings.Contains(exercise, "meter") {
								t.Errorf("%s, units %d, %s: the packet does not say %q", path, u, exercise, x)
							}
						}
						continue
					}
					if work == "" {
						continue
					}
					lines++
					for _, n := range number.FindAllString(work, -1) {
						if v, _ := strconv.ParseFloat(strings.ReplaceAll(n, ",", ""), 64); !given[exercise][v] {
							t.Errorf("%s, units %d, %s: %g stands in the key (%s) and not on the sheet", path, u, exercise, v, work)
						}
					}
					figure, _, _ := strings.Cut(answer, " ")
					got, err := strconv.ParseFloat(strings.ReplaceAll(figure, ",", ""), 64)
					_, fraction, _ := strings.Cut(figure, ".")
					given[exercise][got], given[exercise][math.Floor(got)] = true, true
					if tolerance := 0.5*math.Pow(10, -float64(max(len(fraction), 2))) + 1e-9; err != nil || math.Abs(reckoned(t, work)-got) > tolerance {
						t.Errorf("%s, units %d: %s = %s, not %g", path, u, work, answer, reckoned(t, work))
					}
				}
			})
		}
	}
	if lines < least {
		t.Errorf("only %d lines", lines)
	}
}

// The demonstration worked by hand: 97 x 49 x 6 in are 28,518 cubic inches, at 231 a gallon (NIST
// Handbook 44, appendix C) 123.45 gal; of 8.34 lb (water at 60 F) 1,030 lb; on 33.01 square feet
// 31.2 lb/ft2; 48 - 12 in and 96 - 12 in hold 3 and 7 gaps of a foot, so 4 x 8 holes.
func TestClassByHand(t *testing.T) {
	d := packet.Class(planOf(t, "../examples/demo.yaml"), words(t, lang.US), packet.Options{})
	text := flat(told(t, d))
	for _, want := range []string{"28,518 ÷ 231 123.45 gal", "123.45 × 8.34 1,029.57 lb", "1,029.57 ÷ 33.01 31.19 lb/ft²", "4 × 8 32 holes", "122.48 ÷ 32 3.83 USD"} {
		if !strings.Contains(text, want) {
			t.Errorf("the class does not say %q", want)
		}
	}
}

// Both levels have their sheets, the key stands last on pages of its own, every blank of a sum has a
// unit, no answer stands on the sheets, and who may do what stands before all of it.
func TestSheetsOfTheClass(t *testing.T) {
	for _, path := range someExamples(t) {
		d := packet.Class(planOf(t, path), words(t, lang.US), packet.Options{})
		ids := faceIDs(d)
		if want := []string{"class-teacher", "class-young", "class-older", "class-key"}; !slices.Equal(ids, want) {
			t.Errorf("%s: %v", path, ids)
			continue
		}
		if !d.Sections[3].NewPage {
			t.Errorf("%s: the key begins on a page of the sheets", path)
		}
		blanks := 0
		walk(d, func(s page.Section, b page.Block) {
			switch b := b.(type) {
			case page.Fields:
				for _, l := range b.Lines {
					if blanks++; len(l) == 2 && l[1].Unit == "" {
						t.Errorf("%s: a blank has no unit", path)
					}
				}
			case page.Table:
				if s.ID != "class-key" {
					t.Errorf("%s: a table on %s", path, s.ID)
				}
			}
		})
		if blanks < 15 {
			t.Errorf("%s: %d blanks", path, blanks)
		}
		teacher := flat(fmt.Sprint(d.Sections[0].Blocks))
		for _, want := range []string{"drown", "Acid", "saws", "plug", "gloves and goggles"} {
			if !strings.Contains(teacher, want) {
				t.Errorf("%s: the teacher's page does not speak of %s", path, want)
			}
		}
	}
}

// In metric the measures of an exercise are whole millimeters, as on a tape: a bed of 240 by 120 cm whose water is 6 in = 15.24 cm deep
// is reckoned with 15.2 cm, 437.76 liters, and the key says that the packet has finer measures (438.9 liters).
func TestClassReadsATape(t *testing.T) {
	p, w := facesOf(t, "bed: {length: 2.4 m, width: 1.2 m}\n", "en", lang.Metric)
	text := flat(told(t, packet.Class(p, w, packet.Options{})))
	for _, want := range []string{"15.2 cm deep", "28,800 × 15.2 437,760 cm³", "437.76 L", "with finer measures: 439 L"} {
		if !strings.Contains(text, want) {
			t.Errorf("the class does not say %q", want)
		}
	}
	if strings.Contains(text, "15.24") {
		t.Error("15.24 cm is on no tape")
	}
}
