package draw

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Series is one line of a chart. It is told apart by dash, marker and name,
// never by colour.
type Series struct {
	Label  string
	Values []float64 // one a slot; NaN leaves a gap
	Dash   Dash
	Weight Weight
	Marked bool  // draw Shape at each value
	Shape  Shape // of the markers
}

// Band is the room between two lines: a forecast, a wanted range.
type Band struct {
	Label     string
	Low, High []float64 // one a slot; NaN leaves a gap
	Fill      Fill
}

// Limit is a level line across a chart.
type Limit struct {
	Label string // written over the line, at the end that is freer
	Value float64
	Dash  Dash
}

// Chart draws values over named slots: months, weeks, days.
type Chart struct {
	ID, Title, Alt string
	Width, Height  Points   // of the plot with its labels; 0 counts as 460 by 170
	Left           Points   // room for the numbers at the left; 0 counts as 34
	Grow           Points   // how much larger its words are; 0 counts as 1
	Slots          []string // names under the axis: "J", "F", "M" ...
	Axis           string   // what is measured and its unit, over the axis: "mol/m² a day"
	From, To       float64  // least and greatest of the axis; both 0: from the data
	Series         []Series
	Bands          []Band
	Limits         []Limit
	Number         func(float64) string // prints the ticks; nil prints the plain number
	Doors          []Door               // of a page: where each slot leads; none: nowhere
}

// plot is the frame of a chart on paper, in points, with y up.
type plot struct {
	grow                     Points
	left, right, bottom, top Points
	lo, hi                   float64
	slots                    int
}

func (p plot) x(i int) Points {
	return p.left + (p.right-p.left)*(Points(i)+0.5)/Points(p.slots)
}

func (p plot) y(v float64) Points {
	return p.bottom + (p.top-p.bottom)*Points((v-p.lo)/(p.hi-p.lo))
}

func spot(x, y Points) Spot { return Spot{x.Length(), y.Length()} }

// Drawing draws the chart at full size. A value outside the axis is cut at the
// frame. No slots or no values give the empty frame.
func (c Chart) Drawing() Drawing {
	d := Drawing{ID: c.ID, Title: c.Title, Alt: c.Alt, Bare: true}
	w, h := cmp.Or(c.Width, 460), cmp.Or(c.Height, 170)
	lo, hi := c.extent()
	ticks := RoundTicks(lo, hi)
	lo, hi = min(lo, ticks[0]), max(hi, ticks[len(ticks)-1])
	k := cmp.Or(c.Grow, 1)
	line := 14 * k // height of a line of words
	axis, over := fold(c.Axis, 9*k, true, w), 0
	if c.named() {
		over = 1 + c.names(0, w).down
	}
	h += line * Points(len(axis)-1+max(over-1, 0)) // the plot stays as high
	p := plot{grow: k, left: c.left(), right: w - 2, bottom: 18 * k, top: h - line*Points(len(axis)+over) - 4, lo: lo, hi: hi, slots: max(len(c.Slots), 1)}
	if strings.Join(c.Slots, "") == "" {
		p.bottom = 6 * k
	}
	for _, b := range c.Bands {
		d.Add(p.band(b)...)
	}
	d.Add(p.frame(c, ticks)...)
	for _, l := range c.Limits {
		if l.Value > lo && l.Value < hi {
			y := p.y(l.Value)
			name := Text{At: spot(p.right, y), Dx: -3, Dy: 2.5, Text: l.Label, Size: 9 * k, Anchor: End, Halo: true}
			if p.room(c.Series, l.Value, 0) > p.room(c.Series, l.Value, p.slots-1) {
				name.At, name.Dx, name.Anchor = spot(p.left, y), 3, Start
			}
			d.Add(Line(spot(p.left, y), spot(p.right, y)).In(Thin, l.Dash), name)
		}
	}
	for _, s := range c.Series {
		d.Add(p.series(s))
	}
	d.Add(p.doors(c.Doors)...)
	for i, words := range axis {
		d.Add(Text{At: spot(0, h-line*Points(i+1)), Dy: 3 * k, Text: words, Size: 9 * k, Bold: true})
	}
	if over > 0 {
		d.Add(c.names(h-line*Points(len(axis)+1), w).items...)
	}
	return d
}

// named tells whether anything in the chart has a name for the key; without any,
// the plot takes the room of the key, as it takes that of slots without names.
func (c Chart) named() bool {
	return slices.ContainsFunc(c.Series, func(s Series) bool { return s.Label != "" }) || slices.ContainsFunc(c.Bands, func(b Band) bool { return b.Label != "" })
}

func (c Chart) left() Points { return cmp.Or(c.Left, 34*cmp.Or(c.Grow, 1)) }

// room tells how far the series stay over or under a value near one end.
func (p plot) room(series []Series, value float64, end int) float64 {
	least := math.Inf(1)
	for _, s := range series {
		for i, v := range s.Values {
			if i >= end-2 && i <= end+2 && i < p.slots && !math.IsNaN(v) {
				least = min(least, math.Abs(float64(p.y(v)-p.y(value))-6)) // the name is written over the line
			}
		}
	}
	return least
}

// extent gives the least and greatest value, or the axis that was asked for.
func (c Chart) extent() (lo, hi float64) {
	if c.From != c.To {
		return c.From, c.To
	}
	lo, hi = math.Inf(1), math.Inf(-1)
	see := func(v float64) {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	for _, s := range c.Series {
		for _, v := range s.Values {
			see(v)
		}
	}
	for _, b := range c.Bands {
		for _, v := range slices.Concat(b.Low, b.High) {
			see(v)
		}
	}
	for _, l := range c.Limits {
		see(l.Value)
	}
	if lo > hi {
		return 0, 1
	}
	if lo > 0 && lo < 0.5*hi {
		lo = 0
	}
	if lo == hi {
		return lo - 1, hi + 1
	}
	return lo, hi
}

// frame draws the axes, the grid and the names of the slots.
func (p plot) frame(c Chart, ticks []float64) []Item {
	var out []Item
	number := c.Number
	if number == nil {
		number = func(v float64) string { return strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64) } // 0.2 times 39 is 7.8
	}
	for _, t := range ticks {
		y := p.y(t)
		out = append(out, Line(spot(p.left, y), spot(p.right, y)).In(Thin, Dotted).Shaded(0.45),
			Text{At: spot(p.left, y), Dx: -5, Text: number(t), Size: 9 * p.grow, Anchor: End, Level: Centred})
	}
	out = append(out, Polyline(spot(p.left, p.top), spot(p.left, p.bottom), spot(p.right, p.bottom)))
	for i, name := range brief(c.Slots, 9*p.grow, (p.right-p.left)/Points(p.slots)) {
		x := p.x(i)
		out = append(out, Line(spot(x, p.bottom), spot(x, p.bottom-3)).In(Thin, Solid),
			Text{At: spot(x, p.bottom), Dy: -6, Text: name, Size: 9 * p.grow, Anchor: Middle, Level: Hanging})
	}
	return out
}

// runs calls each unbroken stretch of slots for which all values are given.
func runs(n int, given func(i int) bool, each func(from, to int)) {
	for i := 0; i < n; {
		if !given(i) {
			i++
			continue
		}
		j := i
		for j < n && given(j) {
			j++
		}
		each(i, j)
		i = j
	}
}

func (p plot) clip(v float64) float64 { return min(max(v, p.lo), p.hi) }

func (p plot) series(s Series) Item {
	g := Group{Title: s.Label}
	n := min(len(s.Values), p.slots)
	given := func(i int) bool { return !math.IsNaN(s.Values[i]) && !math.IsInf(s.Values[i], 0) }
	runs(n, given, func(from, to int) {
		var at []Spot
		for i := from; i < to; i++ {
			at = append(at, spot(p.x(i), p.y(p.clip(s.Values[i]))))
		}
		g.Items = append(g.Items, Polyline(at...).In(s.Weight, s.Dash))
		for _, a := range at {
			if s.Marked || len(at) == 1 {
				g.Items = append(g.Items, Marker{At: a, Shape: s.Shape})
			}
		}
	})
	return g
}

func (p plot) band(b Band) []Item {
	var out []Item
	n := min(len(b.Low), len(b.High), p.slots)
	given := func(i int) bool { return !math.IsNaN(b.Low[i]) && !math.IsNaN(b.High[i]) }
	runs(n, given, func(from, to int) {
		var at []Spot
		for i := from; i < to; i++ {
			at = append(at, spot(p.x(i), p.y(p.clip(b.High[i]))))
		}
		for i := to - 1; i >= from; i-- {
			at = append(at, spot(p.x(i), p.y(p.clip(b.Low[i]))))
		}
		out = append(out, Polygon(at...).Filled(b.Fill).In(Thin, Solid).Named("", b.Label))
	})
	return out
}

// doors lays a part that shows nothing over each slot that leads somewhere.
func (p plot) doors(list []Door) (out []Item) {
	wide := (p.right - p.left) / Points(p.slots)
	for i, door := range list[:min(len(list), p.slots)] {
		slot := Rect(spot(p.left+wide*Points(i), p.bottom), wide.Length(), (p.top-p.bottom).Length()).In(NoLine, Solid)
		out = append(out, Group{Door: door, Items: []Item{slot}})
	}
	return out
}

// names writes the key: a sample of each line and band with its name.
func (c Chart) names(y, right Points) key {
	k := key{left: c.left(), x: c.left(), y: y, right: right, grow: cmp.Or(c.Grow, 1)}
	for _, s := range c.Series {
		k.begin(s.Label)
		mid := k.y + 6*k.grow
		k.items = append(k.items, Line(spot(k.x, mid), spot(k.x+22, mid)).In(s.Weight, s.Dash))
		if s.Marked {
			k.items = append(k.items, Marker{At: spot(k.x+11, mid), Shape: s.Shape})
		}
		k.name(s.Label)
	}
	for _, b := range c.Bands {
		k.fill(b.Fill, b.Label)
	}
	return k
}

// key is a line of samples with their names, or more lines where they do not fit beside each
// other.
type key struct {
	left, x, y, right, grow Points
	down                    int // lines below the first
	items                   []Item
}

// begin makes room for a sample and its name.
func (k *key) begin(label string) {
	if k.x > k.left && k.x+27+TextWidth(label, 9*k.grow, false) > k.right {
		k.x, k.y, k.down = k.left, k.y-14*k.grow, k.down+1
	}
}

// fold breaks words into lines that are not wider than so much, where they can be broken.
func fold(words string, size Points, bold bool, wide Points) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(words) {
		if longer := strings.TrimSpace(line + " " + word); line == "" || TextWidth(longer, size, bold) <= wide {
			line = longer
			continue
		}
		out, line = append(out, line), word
	}
	return append(out, line)
}

// brief cuts names to their first letters where they do not fit side by side.
func brief(names []string, size, wide Points) []string {
	fits, before := true, -1
	for i, s := range names { // one without names beside it has their room
		if s == "" {
			continue
		}
		if room := Points(i - before); before >= 0 {
			fits = fits && max(TextWidth(s, size, false), TextWidth(names[before], size, false))+2 <= room*wide
		} else if len(names) == 1 {
			fits = TextWidth(s, size, false)+2 <= wide
		}
		before = i
	}
	if fits {
		return names
	}
	out := make([]string, len(names))
	for i, s := range names {
		if first := []rune(s); len(first) > 0 {
			out[i] = strings.ToUpper(string(first[:1]))
		}
	}
	return out
}

// name writes a name behind its sample and moves on.
func (k *key) name(label string) {
	k.items = append(k.items, Text{At: spot(k.x+27, k.y), Dy: 3 * k.grow, Text: label, Size: 9 * k.grow})
	k.x += 27 + TextWidth(label, 9*k.grow, false) + 16
}

// fill writes the sample of a fill with its name.
func (k *key) fill(f Fill, label string) {
	k.begin(label)
	k.items = append(k.items, Rect(spot(k.x, k.y+2*k.grow), Points(22).Length(), (9*k.grow).Length()).Filled(f).In(Thin, Solid))
	k.name(label)
}

// RoundTicks gives about five round numbers that span from lo to hi: multiples of
// 1, 2 or 5 times a power of ten, the first not above lo and the last not below hi.
func RoundTicks(lo, hi float64) []float64 {
	if !(hi > lo) || math.IsInf(hi-lo, 0) {
		return []float64{lo, lo + 1}
	}
	raw := (hi - lo) / 4
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	step := 10 * power
	for _, m := range []float64{1, 2, 5} {
		if m*power >= raw*(1-1e-9) {
			step = m * power
			break
		}
	}
	var out []float64
	for k := math.Floor(lo/step + 1e-9); ; k++ {
		v := k * step
		out = append(out, math.Round(v/step)*step)
		if v >= hi-1e-9*step || len(out) > 20 {
			return out
		}
	}
}

// Span is a stretch of a Timeline, in slots: 2.5 is the middle of the third.
type Span struct {
	Door
	From, To float64
	Fill     Fill
	Label    string // written in the span where there is room
}

// TimelineRow is one named line of spans.
type TimelineRow struct {
	Label string
	Spans []Span
}

// Timeline shows when: crops by month, batches by week.
type Timeline struct {
	ID, Title, Alt string
	Width          Points // 0 counts as 460
	Left           Points // room for the names; 0: as they need. Give charts of one Stack the same.
	Grow           Points // how much larger its words are; 0 counts as 1
	Slots          []string
	Rows           []TimelineRow
	Key            []Span // what the fills mean; From and To do not matter
}

// Drawing draws the timeline at full size.
func (t Timeline) Drawing() Drawing {
	d := Drawing{ID: t.ID, Title: t.Title, Alt: t.Alt, Bare: true}
	w := cmp.Or(t.Width, 460)
	k := cmp.Or(t.Grow, 1)
	row := 16 * k
	left := t.Left
	for _, r := range t.Rows {
		if t.Left <= 0 {
			left = max(left, TextWidth(r.Label, 9.5*k, false)+10)
		}
	}
	left = min(left, w/2)
	n := max(len(t.Slots), 1)
	step := (w - 2 - left) / Points(n)
	top, bottom := Points(0), -row*Points(len(t.Rows))
	x := func(slot float64) Points { return left + step*Points(min(max(slot, 0), float64(n))) }
	for i := range n + 1 {
		d.Add(Line(spot(x(float64(i)), top), spot(x(float64(i)), bottom)).In(Thin, Dotted).Shaded(0.45))
	}
	for i, name := range brief(t.Slots, 9*k, step) {
		d.Add(Text{At: spot(x(float64(i)+0.5), top), Dy: 4, Text: name, Size: 9 * k, Anchor: Middle})
	}
	for i, r := range t.Rows {
		y := -row * Points(i+1)
		d.Add(Text{At: spot(0, y), Dy: row/2 - 3*k, Text: r.Label, Size: 9.5 * k})
		g := Group{Title: r.Label}
		for _, s := range r.Spans {
			if s.To <= s.From {
				continue
			}
			a, b := x(s.From), x(s.To)
			items := []Item{Rect(spot(a, y+3), (b - a).Length(), (row - 6).Length()).Filled(s.Fill)}
			if s.Label != "" && TextWidth(s.Label, 9*k, false) < b-a-4 {
				items = append(items, Text{At: spot((a+b)/2, y+row/2), Text: s.Label, Size: 9 * k, Anchor: Middle, Level: Centred, Halo: true})
			}
			if s.Door.Of != "" {
				items = []Item{Group{Door: s.Door, Items: items}}
			}
			g.Items = append(g.Items, items...)
		}
		d.Add(g)
	}
	d.Add(Line(spot(left, bottom), spot(w-2, bottom)).In(Thin, Solid), Line(spot(left, top), spot(w-2, top)).In(Thin, Solid))
	names := key{left: left, x: left, y: bottom - row - 2*k, right: w, grow: k}
	for _, s := range t.Key {
		names.fill(s.Fill, s.Label)
	}
	d.Add(names.items...)
	return d
}
