package draw

import (
	_ "embed"
	"strconv"
	"strings"

	"raftwright/unit"
)

// symbols is line art that was drawn for this project: tools, signs of leaf and root, steps.
//
//go:embed symbols.txt
var symbols string

// Symbol gives a line drawing of 25 to 60 mm with its lower left corner at zero; false
// where there is none of that name.
func Symbol(name string) (g Group, width, height unit.Length, ok bool) {
	return SymbolOf(symbols, name)
}

// SymbolOf gives a drawing of line art that is written as symbols.txt is.
func SymbolOf(art, name string) (g Group, width, height unit.Length, ok bool) {
	at := strings.Index(art, "\n= "+name+" ")
	if at < 0 {
		return Group{}, 0, 0, false
	}
	head, body, _ := strings.Cut(art[at+1:], "\n")
	if end := strings.Index(body, "\n= "); end >= 0 {
		body = body[:end]
	}
	size := strings.Fields(head)
	width, height = millimetres(size[2], 1), millimetres(size[3], 1)
	for line := range strings.Lines(body) {
		g.Items = append(g.Items, symbolItem(strings.TrimSpace(line)))
	}
	return g, width, height, true
}

// Symbols lists the names of all symbols.
func Symbols() []string {
	var out []string
	for line := range strings.Lines(symbols) {
		if name, ok := strings.CutPrefix(line, "= "); ok {
			out = append(out, strings.Fields(name)[0])
		}
	}
	return out
}

// grid is how many steps of the art are one millimetre.
const grid = 20

func millimetres(s string, part float64) unit.Length {
	x, _ := strconv.ParseFloat(s, 64)
	return unit.Length(x/part) * unit.Millimetre
}

func symbolSpot(s string) Spot {
	x, y, _ := strings.Cut(s, ",")
	return At(millimetres(x, grid), millimetres(y, grid))
}

// artFills are the letters of the fills in the art.
var artFills = map[byte]Fill{'n': Empty, 'w': White, 'o': Wood, 'a': Water, 'f': Foam, 'l': Liner, 's': Soil, 'r': Rising, 'F': Falling, 'c': Crossed, 'd': Powder,
	'D': Crossed, 'b': Black}

// symbolItem reads one line of the art.
func symbolItem(line string) Item {
	words := strings.Fields(line)
	if words[0] == "t" {
		return Text{At: symbolSpot(words[1]), Size: OnPaper(millimetres(words[2], 1)), Text: words[3], Anchor: Middle, Bold: true}
	}
	p := Path{Fill: artFills[words[0][1]]}
	switch words[0][0] {
	case '0':
		p.Stroke.Weight = NoLine
	case '2':
		p.Stroke.Weight = Heavy
	case '-':
		p.Stroke.Gray = 1
	}
	if strings.HasSuffix(words[0], "~") {
		p.Stroke.Dash = Dashed
	}
	kind := MoveTo
	for _, w := range words[1:] {
		switch w {
		case "z":
			p.Steps = append(p.Steps, Step{Kind: Close})
		case ";":
			kind = MoveTo
		default:
			p.Steps = append(p.Steps, Step{Kind: kind, To: symbolSpot(w)})
			kind = LineTo
		}
	}
	return p
}

// Scaled gives the group k times as large about its zero, with its letters.
func (g Group) Scaled(k float64) Group {
	by := func(s Spot) Spot { return At(s.X*unit.Length(k), s.Y*unit.Length(k)) }
	out := g
	out.Shift, out.Items = by(g.Shift), make([]Item, len(g.Items))
	for i, it := range g.Items {
		switch v := it.(type) {
		case Group:
			out.Items[i] = v.Scaled(k)
		case Path:
			v.Steps = append([]Step(nil), v.Steps...)
			for j, s := range v.Steps {
				v.Steps[j] = Step{Kind: s.Kind, C1: by(s.C1), C2: by(s.C2), To: by(s.To)}
			}
			out.Items[i] = v
		case Text:
			v.At, v.Size = by(v.At), v.Size*Points(k)
			out.Items[i] = v
		default:
			out.Items[i] = it
		}
	}
	return out
}
