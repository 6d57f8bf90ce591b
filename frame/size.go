package frame

import (
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/unit"
)

// Size is a nominal lumber size: the name of a board, larger than the board.
type Size struct {
	Thick, Wide int // nominal inches; the zero Size means "not given"
}

// String gives the name as sold: "2x8".
func (s Size) String() string {
	if s == (Size{}) {
		return ""
	}
	return strconv.Itoa(s.Thick) + "x" + strconv.Itoa(s.Wide)
}

// Sizes that the software itself chooses.
var (
	twoByTwo   = Size{2, 2}
	twoByFour  = Size{2, 4}
	fourByFour = Size{4, 4}
	batten     = Size{1, 2}
)

// Batten is the size of the strips over the liner's edge.
const Batten = "1x2"

// BoardSizes lists the usual sizes of a side, the cheapest wood first.
func BoardSizes() []Size {
	return []Size{{2, 4}, {2, 6}, {2, 8}, {2, 10}, {2, 12}, {4, 6}, {4, 8}, {4, 10}, {4, 12}}
}

// ParseSize reads "2x8" or "2 x 8", the text of a key.
func ParseSize(path finding.Path, text string) (Size, finding.Faults) {
	a, b, _ := strings.Cut(strings.ToLower(strings.ReplaceAll(text, "×", "x")), "x")
	t, err1 := strconv.Atoi(strings.TrimSpace(a))
	w, err2 := strconv.Atoi(strings.TrimSpace(b))
	s := Size{t, w}
	if err1 != nil || err2 != nil || !s.listed() {
		return Size{}, finding.Faults{{ID: FaultSize, Path: path, Args: finding.Args{"Size": clip(text)}}}
	}
	return s, nil
}

func clip(s string) string {
	if r := []rune(s); len(r) > 24 {
		return string(r[:24]) + "..."
	}
	return s
}

// Section is an actual board: its thickness and its width.
type Section struct {
	Thick, Wide unit.Length
}

// listed tells whether the nominal size is one of PS 20 that this package knows.
func (s Size) listed() bool {
	switch s.Thick {
	case 1, 2, 3, 4, 6:
	default:
		return false
	}
	switch s.Wide {
	case 2, 3, 4, 5, 6, 8, 10, 12, 14:
		return s.Wide >= s.Thick
	}
	return false
}

// Dry gives the actual size at 19 % moisture or less, and whether the nominal
// size is listed: American Softwood Lumber Standard PS 20-20.
func (s Size) Dry() (Section, bool) {
	if !s.listed() {
		return Section{}, false
	}
	return Section{dryInches(s.Thick, true), dryInches(s.Wide, false)}, true
}

// dryInches takes off what PS 20 takes off: 1/4 in from a board's thickness of
// 1, 1/2 in up to 6, 3/4 in from 8 on.
func dryInches(n int, thickness bool) unit.Length {
	off := 0.5
	switch {
	case n == 1 && thickness:
		off = 0.25
	case n >= 8:
		off = 0.75
	}
	return (unit.Length(n) - unit.Length(off)) * unit.Inch
}

// flat gives area, section modulus and second moment of a board loaded on its
// wide face, in m2, m3 and m4: b t^2/6 and b t^3/12.
func (s Section) flat() (area, modulus, inertia float64) {
	t, b := float64(s.Thick), float64(s.Wide)
	return t * b, b * t * t / 6, b * t * t * t / 12
}

// edge gives the section modulus of a board loaded on its narrow edge, m3.
func (s Section) edge() float64 {
	t, b := float64(s.Thick), float64(s.Wide)
	return t * b * b / 6
}
