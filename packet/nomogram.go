package packet

import (
	"fmt"
	"math"
	"strings"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/page"
	"raftwright/tend"
	"raftwright/unit"
	"raftwright/water"
)

// gauge is one scale of the nomogram: what goes with how far the water fell. All are in
// proportion, so one line across them joins what belongs together.
type gauge struct {
	name  string
	under string  // the measure, under the name; "" where the figures bear it
	full  float64 // its figure at the end of the scale
	least float64 // what the measure at hand still tells
	print func(float64) string
}

// fallen tells how far down the nomogram goes, and by which step of the tape.
func (w writer) fallen() (most, step unit.Length) {
	most, step = 2*unit.Inch, unit.Inch/2
	if w.metric() {
		most, step = 5*unit.Centimetre, unit.Centimetre
	}
	return min(most, unit.Length(math.Floor(float64(w.p.Depth()/2/step)))*step), step
}

// gauges lists the scales; false where an amount is too small to be measured, or the feed comes
// by the pack: then the table tells it.
func (w writer) gauges() ([]gauge, bool) {
	m := w.p.Mix
	most, step := w.fallen()
	if m == nil || m.TopUp.Share <= 0 || w.byPacks() || len(m.Doses) == 0 || len(m.Doses) > 6 || most < 2*step {
		return nil, false
	}
	added := w.p.PerInch() * unit.Volume(most/unit.Inch)
	bucket := m.Bucket
	if bucket <= 0 {
		bucket = 5 * unit.Gallon
	}
	length := func(x float64) string { return w.label(unit.Length(x)) }
	out := []gauge{
		{w.say("face.card.down", nil), "", float64(most), float64(step / 2), length},
		{w.say("face.card.buckets", finding.Args{"Bucket": bucket}), "", float64(added / bucket), 0.25, quarters},
	}
	grams := func(name string, mass, spoon unit.Mass) gauge {
		if w.p.Measure().Kind == mix.Spoons && spoon > 0 {
			return gauge{name, w.say("face.card.teaspoons", nil), float64(mass / spoon), 0.25, quarters}
		}
		return gauge{name, "", mass.Grams(), w.p.Measure().Step.Grams(), func(x float64) string { return w.words.Grams(unit.Mass(x) * unit.Gram) }}
	}
	for _, d := range m.Doses {
		if d.Jug.Take > 0 || d.Liquid > 0 {
			return nil, false
		}
		out = append(out, grams(w.words.Product(d.Product), (d.Strength*unit.MassConcentration(m.TopUp.Share)).In(added), d.Spoon.Mass))
	}
	if d := w.dosed(); d != nil && m.Acid.Dose > 0 && d.Amount > 0 { // fresh water needs it all, however strong the feed
		acid, name := d.Scaled(m.Acid.Dose), string(w.acidRow())
		if acid.Want.Product.Solid() {
			out = append(out, grams(name, acid.Mass.In(added), water.CitricSpoon))
		} else {
			out = append(out, gauge{name, "", acid.MillilitresPerLitre() * added.Litres(), 1, func(x float64) string { return w.words.Number(x) + " mL" }})
		}
	}
	for i, g := range out {
		if !fitsLeft(g.name) && g.under == "" {
			at := strings.LastIndex(g.name[:len(g.name)*2/3], " ")
			out[i].name, out[i].under = g.name[:max(at, 0)], strings.TrimSpace(g.name[max(at, 0):])
		}
		if g.least <= 0 || g.full < 4*g.least || !fitsLeft(out[i].name) || !fitsLeft(out[i].under) {
			return nil, false
		}
	}
	return out, true
}

// fitsLeft tells whether a name has room before its scale.
func fitsLeft(name string) bool {
	return draw.TextWidth(name, 9.5, false).Length() <= (nomoLeft-2)*unit.Millimetre
}

// Size of the nomogram in mm: the scales begin at nomoLeft and are nomoLong long, one in every
// nomoPitch.
const (
	nomoLeft  = 38
	nomoLong  = 84
	nomoPitch = 9.2
)

// nomo is where the scales of a nomogram stand, in mm; over is how high over its scale a name
// begins, 0 where it stands before it.
type nomo struct{ left, long, pitch, over float64 }

func (w writer) nomo() nomo {
	if w.narrow {
		long := float64(phoneWide.Length()/unit.Millimetre) / float64(w.grow())
		return nomo{left: 4, long: long - 12, pitch: 13.5, over: 5}
	}
	return nomo{left: nomoLeft, long: nomoLong, pitch: nomoPitch}
}

// nomogram joins inches, buckets and spoons by a line across their scales, with an example, and
// tells by the reading of the meter whether the water that is added is fed.
func (w writer) nomogram(sours []tend.CardRow) (page.Figure, bool) {
	list, ok := w.gauges()
	if !ok {
		return page.Figure{}, false
	}
	return w.both(func(w writer) page.Figure { return w.nomogramOf(list, sours) }), true
}

func (w writer) nomogramOf(list []gauge, sours []tend.CardRow) page.Figure {
	n := w.nomo()
	most, step := w.fallen()
	example := min(2*step, most)
	at := float64(example / most)
	p := &picture{Drawing: w.drawing("nomogram", "face.card.nomogram", "alt.nomogram", finding.Args{"Down": example, "Amounts": w.exampleOf(list, at), "Sour": w.sour(sours)}), grow: w.grow()}
	p.mm = unit.Millimetre * unit.Length(p.grow)
	p.Bare = true
	y := 0.0
	x := n.left + n.long*at
	p.Add(draw.Line(p.at(x, 4), p.at(x, -n.pitch*float64(len(list)-1))).In(draw.Thin, draw.Dashed)) // words clear it
	for i, g := range list {
		w.scaleOf(p, g, i, y, at)
		y -= n.pitch
	}
	for i, g := range list {
		p.Add(draw.Text{ID: fmt.Sprintf("example-%d", i), At: p.at(x, -n.pitch*float64(i)-1), Text: g.print(w.rounded(g, at)), Size: 9.5 * p.grow, Anchor: draw.Middle, Level: draw.Hanging, Bold: true, Halo: true})
	}
	w.meterBar(p, y-2)
	w.acidBar(p, y-2-n.pitch*1.4, sours)
	return page.Figure{Drawing: p.Drawing, Caption: page.Text(p.Title), Height: 400 * w.grow()}
}

// rounded gives the figure of a scale at a share of its length, as it can be measured.
func (w writer) rounded(g gauge, at float64) float64 {
	return math.Round(g.full*at/g.least) * g.least
}

// exampleOf says the example in words.
func (w writer) exampleOf(list []gauge, at float64) string {
	var out []string
	for _, g := range list[1:] {
		out = append(out, g.name+": "+g.print(w.rounded(g, at)))
	}
	return w.words.Join(out)
}

// scaleOf draws one scale: a line with ticks, its figures under it, its name at the left.
func (w writer) scaleOf(p *picture, g gauge, n int, y, example float64) {
	at := w.nomo()
	p.Add(draw.Line(p.at(at.left, y), p.at(at.left+at.long, y)))
	if name := strings.TrimSpace(g.name + " " + g.under); at.over > 0 {
		p.Add(draw.Text{At: p.at(0, y+at.over), Text: name, Size: 9.5 * p.grow, Level: draw.Centred, Halo: true})
	} else {
		p.Add(draw.Text{At: p.at(0, y), Text: g.name, Size: 9.5 * p.grow, Level: draw.Centred})
		if g.under != "" {
			p.Add(draw.Text{At: p.at(0, y-4), Text: g.under, Size: 9 * p.grow, Level: draw.Centred})
		}
	}
	label, tick := steps(g, at.long)
	for k := 0; float64(k)*tick <= g.full*1.0001; k++ {
		v := float64(k) * tick
		x := at.left + at.long*v/g.full
		whole := math.Abs(math.Remainder(v, label)) < 1e-6*label
		high := 1.2
		if whole {
			high = 2.4
		}
		p.Add(draw.Line(p.at(x, y), p.at(x, y+high)).In(draw.Thin, draw.Solid))
		if words := g.print(v); whole && math.Abs(x-at.left-at.long*example) > 13 {
			p.Add(draw.Text{ID: fmt.Sprintf("scale-%d", n), At: p.at(x, y-1), Text: words, Size: 9 * p.grow, Anchor: draw.Middle, Level: draw.Hanging})
		}
	}
}

// steps gives the distance of the figures and of the ticks on a scale, in what it counts: figures
// that have room beside each other, ticks that the measure tells apart.
func steps(g gauge, long float64) (label, tick float64) {
	const figure, hair = 13.0, 1.6 // mm
	sizes := []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000}
	if math.Abs(math.Remainder(g.least, 1)) > 0.01 { // quarters make wholes
		sizes = []float64{1, 2, 4, 8, 20, 40, 80, 200, 400}
	}
	for _, s := range sizes {
		if tick == 0 && s*g.least/g.full*long >= hair {
			tick = s * g.least
		}
		if tick > 0 && s*g.least/g.full*long >= figure && math.Abs(math.Remainder(s*g.least, tick)) < 1e-6*tick {
			return s * g.least, tick
		}
	}
	return g.full, g.full
}

// meterBar is the scale of the meter: below the good range the mix is looked at, within it the
// water is fed, above it plain water is added.
func (w writer) meterBar(p *picture, y float64) {
	well := w.goodEC()
	from, to := math.Max(0, well.Low-0.6), well.High+0.6
	at := w.nomo()
	x := func(ec float64) float64 { return at.left + at.long*(ec-from)/(to-from) }
	over := at.over
	if over > 0 { // the words on the bar come between
		over += 3.5
	}
	p.Add(draw.Text{At: p.at(0, y+over), Text: w.say("face.card.meter", nil), Size: 9.5 * p.grow, Level: draw.Centred},
		draw.Line(p.at(at.left, y), p.at(at.left+at.long, y)).In(draw.Thin, draw.Solid),
		draw.Rect(p.at(x(well.Low), y-0.5), unit.Length(x(well.High)-x(well.Low))*p.mm, p.mm).Filled(draw.White).In(draw.Heavy, draw.Solid))
	for k := int(math.Ceil(from*10 - 1e-9)); float64(k) <= to*10+1e-9; k++ {
		p.Add(draw.Line(p.at(x(float64(k)/10), y), p.at(x(float64(k)/10), y+1.2)).In(draw.Thin, draw.Solid))
	}
	for _, v := range []float64{well.Low, well.High} {
		p.Add(draw.Text{ID: "meter", At: p.at(x(v), y-1.2), Text: w.tenth(v), Size: 9 * p.grow, Anchor: draw.Middle, Level: draw.Hanging})
	}
	for _, z := range []struct {
		id       string
		from, to float64
	}{{"low", from, well.Low}, {"well", well.Low, well.High}, {"high", well.High, to}} {
		p.Add(draw.Text{At: p.at((x(z.from)+x(z.to))/2, y+2), Text: w.say("face.card.meter_"+z.id, nil), Size: 9 * p.grow, Anchor: draw.Middle})
	}
}

// sours gives the acid that a pH too high calls for; none where the plan pours no acid.
func (w writer) sours() []tend.CardRow {
	if _, ok := w.mixedAcid(unit.Litre); !ok || w.byPacks() {
		return nil
	}
	return tend.Sours(w.p, tend.Span{Low: mix.LeastWellPH, High: mix.MostWellPH})
}

// sour says the same in words.
func (w writer) sour(rows []tend.CardRow) string {
	var out []string
	for _, r := range rows {
		out = append(out, w.say("face.card.sour_at", finding.Args{"Reads": w.tenth(r.Reads), "Amount": w.acidIn(r)}))
	}
	return strings.Join(out, " ")
}

// acidIn is the acid of a row in the measure at hand.
func (w writer) acidIn(r tend.CardRow) string {
	if a := r.Actions[0]; a.Mass <= 0 {
		return w.label(a.Liquid)
	}
	return w.handed(r.Actions[0])
}

// acidBar is the scale of the pH above what is good, and under it the acid for the whole bed.
func (w writer) acidBar(p *picture, y float64, rows []tend.CardRow) {
	if len(rows) == 0 {
		return
	}
	at := w.nomo()
	over, name := at.over, w.words.Value(w.dosed().Want.Product.Word())
	if over > 0 {
		over += 1.5
	}
	p.Add(draw.Text{At: p.at(0, y+over), Text: name, Size: 9.5 * p.grow, Level: draw.Centred},
		draw.Line(p.at(at.left, y), p.at(at.left+at.long, y)).In(draw.Thin, draw.Solid))
	slot, lower := at.long/float64(len(rows)), 0.0
	for _, r := range rows { // cups and spoons are long words: every other one stands a line lower
		if draw.TextWidth(w.acidIn(r), 9*p.grow, false).Length() > unit.Length(slot-2)*p.mm {
			lower = 4
		}
	}
	for i, r := range rows {
		x := at.left + slot*(float64(i)+0.5)
		p.Add(draw.Line(p.at(x, y-1.2), p.at(x, y+1.2)).In(draw.Thin, draw.Solid),
			draw.Text{ID: "ph", At: p.at(x, y+1.8), Text: "pH " + w.tenth(r.Reads), Size: 9 * p.grow, Anchor: draw.Middle},
			draw.Text{ID: "sour", At: p.at(x, y-1.8-lower*float64(i%2)), Text: w.acidIn(r), Size: 9 * p.grow, Anchor: draw.Middle, Level: draw.Hanging})
	}
}

// spoonRadius is the radius of a measuring spoon that is half a ball, which holds 2/3 pi r^3.
func spoonRadius(v unit.Volume) unit.Length {
	return unit.Length(math.Cbrt(3 * float64(v) / (2 * math.Pi)))
}

// spoonGauge draws the rims of level spoons at full size, to lay the real spoon on.
func (w writer) spoonGauge() page.Figure {
	g := w.drawing("spoons", "face.card.spoons", "alt.spoons", nil)
	g.Scale, g.Bare = draw.Full, true
	x := spoonRadius(unit.Teaspoon)
	if w.large { // side by side, so that each has room for its words
		for _, quarter := range []float64{4, 2, 1} {
			r := spoonRadius(unit.Teaspoon * unit.Volume(quarter/4))
			g.Add(draw.Circle(draw.At(x, r), r), draw.Text{ID: "spoon-" + quarters(quarter/4), At: draw.At(x, r), Text: quarters(quarter / 4), Size: 9 * w.grow(), Anchor: draw.Middle, Level: draw.Centred, Bold: true})
			x += 2*r + unit.Inch/8
		}
		return figure(g, 80)
	}
	for _, quarter := range []float64{4, 2, 1} {
		r := spoonRadius(unit.Teaspoon * unit.Volume(quarter/4))
		g.Add(draw.Circle(draw.At(x, r), r), draw.Text{ID: "spoon-" + quarters(quarter/4), At: draw.At(x, 2*r), Dy: -3, Text: quarters(quarter / 4), Size: 9 * w.grow(), Anchor: draw.Middle, Level: draw.Hanging, Bold: true})
	}
	return figure(g, 80)
}
