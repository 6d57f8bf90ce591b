package packet

import (
	"fmt"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/page"
	"raftwright/unit"
)

// letters name the parts of the bed, the same on every face.
var letters = map[frame.Role]string{frame.SideBoard: "A", frame.EndBoard: "B", frame.CornerBlock: "C", frame.TiePiece: "D", frame.UprightPiece: "E",
	frame.StakePiece: "E", frame.BattenPiece: "F", frame.CleatPiece: "K", frame.ScabPiece: "L"}

// Letters of the parts that are not wood.
const (
	linerLetter = "G"
	raftLetter  = "H"
	potLetter   = "J"
)

// picture is one step of the work: a framed drawing of a fixed size on paper.
type picture struct {
	draw.Drawing
	mm       unit.Length // of the paper; more in large print
	wide, up float64     // mm
	grow     draw.Points
}

// Size of a picture, two of which stand side by side on a face, in mm.
const (
	pictureWide = 84
	pictureHigh = 32
)

// picture begins a picture with its number in the corner.
func (w writer) picture(n int, id string, args finding.Args) *picture {
	p := &picture{Drawing: w.drawing("step-"+id, "alt.step."+id, "alt.step."+id, args), wide: pictureWide, up: pictureHigh, grow: w.grow()}
	p.mm = unit.Millimetre * unit.Length(p.grow)
	p.Bare, p.Framed = true, true
	p.Add(draw.Rect(p.at(0, 0), p.wide64(), p.high()).In(draw.Thin, draw.Solid))
	if n > 0 {
		p.Add(draw.Rect(p.at(0, p.up-7), 6.5*p.mm, 7*p.mm), draw.Text{At: p.at(3.25, p.up-3.5), Text: fmt.Sprint(n), Size: 14 * p.grow, Anchor: draw.Middle, Level: draw.Centred, Bold: true})
	}
	return p
}

func (p *picture) wide64() unit.Length { return unit.Length(p.wide) * p.mm }
func (p *picture) high() unit.Length   { return unit.Length(p.up) * p.mm }

// at gives a spot of the picture, in mm from its lower left corner.
func (p *picture) at(x, y float64) draw.Spot {
	return draw.At(unit.Length(x)*p.mm, unit.Length(y)*p.mm)
}

// symbol sets line art so many mm high with its lower left corner at (x, y).
func (p *picture) symbol(name string, x, y, high float64) {
	g, _, h, ok := draw.Symbol(name)
	if !ok {
		return
	}
	g = legible(g.Scaled(high*float64(p.mm)/float64(h)), p.grow)
	g.Shift = p.at(x, y)
	p.Add(g)
}

// leastType is the smallest type of a label on paper.
const leastType draw.Points = 9

// legible leaves out the letters of a symbol that became too small to read in print that is so much larger.
func legible(g draw.Group, grow draw.Points) draw.Group {
	var out []draw.Item
	for _, it := range g.Items {
		if t, ok := it.(draw.Text); !ok || t.Size >= leastType*grow {
			out = append(out, it)
		}
	}
	g.Items = out
	return g
}

// words sets a line of words about (x, y).
func (p *picture) words(x, y float64, s string) {
	p.Add(draw.Text{At: p.at(x, y), Text: s, Size: 10 * p.grow, Anchor: draw.Middle, Level: draw.Centred, Halo: true})
}

// tag names a part by its letter.
func (p *picture) tag(tip draw.Spot, letter string, toward float64) {
	p.Add(draw.Tag{Tip: tip, Text: letter, Toward: toward, Size: 10 * p.grow})
}

// measure sets a dimension with words of its own.
func (p *picture) measure(from, to draw.Spot, offset draw.Points, label string) {
	p.Add(draw.Dimension{From: from, To: to, Offset: offset * p.grow, Label: label, Size: 10 * p.grow, Tip: draw.Ticks, Beside: true})
}

// tick and cross mark a right and a wrong way over a box in mm.
func (p *picture) cross(x, y, wide, high float64) {
	p.Add(draw.Line(p.at(x, y), p.at(x+wide, y+high)).In(draw.Heavy, draw.Solid), draw.Line(p.at(x, y+high), p.at(x+wide, y)).In(draw.Heavy, draw.Solid))
}

func (p *picture) tick(x, y float64) {
	p.Add(draw.Polyline(p.at(x, y+1.5), p.at(x+1.5, y), p.at(x+4.5, y+4.5)).In(draw.Heavy, draw.Solid))
}

// act is one step of a face: its picture, what to do, and how to see that it is right.
type act struct {
	picture *picture
	id      string // of the sentences .title, .do and .check
	args    finding.Args
}

// acts sets steps in two columns, each with its picture over its words.
func (w writer) acts(list []act) []page.Block {
	var out []page.Block
	for i := 0; i < len(list); i += 2 {
		var columns [][]page.Block
		for _, a := range list[i:min(i+2, len(list))] {
			columns = append(columns, w.act(a))
		}
		if len(columns) == 1 {
			columns = append(columns, nil)
		}
		out = append(out, page.Beside{Columns: columns})
	}
	return out
}

func (w writer) act(a act) []page.Block {
	text := page.Bold(w.say(a.id+".title", nil)) + " " + w.text(a.id+".do", a.args)
	if w.words.Can(a.id + ".check") {
		text += " " + page.Bold(w.say("face.check", nil)) + " " + w.text(a.id+".check", a.args)
	}
	return []page.Block{together(page.Figure{Drawing: a.picture.Drawing, Height: 300}, page.Para{Text: text})}
}
