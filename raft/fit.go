package raft

import (
	"math"

	"raftwright/unit"
)

// InsideFor gives the inside of the frame that a raft asks for: its own size and
// the gap on each side (48 x 96 in with a gap of 1/2 in asks for 49 x 97 in).
func InsideFor(raft Size, gap unit.Length) Size {
	return Size{raft.X + 2*gap, raft.Y + 2*gap}
}

// Fitting is how sheets fill the inside of a frame.
type Fitting struct {
	Columns []unit.Length // widths of the pieces along X
	Rows    []unit.Length // lengths of the pieces along Y
	Turned  bool          // the inside was turned by a quarter to fit better
	Inside  Size          // in the sheets' axes
	Play    Size          // room left on each side
	Trimmed Size          // what comes off each whole sheet along each axis
	Short   Size          // by how much whole sheets in a row were too long together
}

// Raft gives the size of all pieces together.
func (f Fitting) Raft() Size { return Size{total(f.Columns), total(f.Rows)} }

func total(list []unit.Length) (sum unit.Length) {
	for _, l := range list {
		sum += l
	}
	return sum
}

// Fit fills the inside of a frame with sheets: as many whole ones as fit beside
// the gap on each side, then a strip cut to the rest where it is wider than an
// inch; sheets that are too large by little more than the gaps are all trimmed
// alike. Of the two ways to lay the sheets
// the one with fewer pieces is taken. Lengths must be positive and finite, the
// inside wider than twice the gap.
func Fit(inside, sheet Size, gap unit.Length) Fitting {
	straight := fitOneWay(inside, sheet, gap)
	turned := fitOneWay(inside.Turned(), sheet, gap)
	turned.Turned = true
	less := func(a, b Fitting) bool {
		if x, y := len(a.Columns)*len(a.Rows), len(b.Columns)*len(b.Rows); x != y {
			return x < y
		}
		return a.Raft().Area() > b.Raft().Area()*(1+tolerance)
	}
	if less(turned, straight) {
		return turned
	}
	return straight
}

func fitOneWay(inside, sheet Size, gap unit.Length) Fitting {
	f := Fitting{Inside: inside}
	f.Columns, f.Trimmed.X = divide(inside.X-2*gap, sheet.X, gap)
	f.Rows, f.Trimmed.Y = divide(inside.Y-2*gap, sheet.Y, gap)
	f.Short = Size{f.Trimmed.X * unit.Length(len(f.Columns)), f.Trimmed.Y * unit.Length(len(f.Rows))}
	f.Play = Size{(inside.X - total(f.Columns)) / 2, (inside.Y - total(f.Rows)) / 2}
	return f
}

// leastStrip is the narrowest rest worth a piece of its own (our choice): a
// narrower one is left as play.
const leastStrip = unit.Inch

// divide fills a length with whole sheets and one strip, or with sheets trimmed
// alike where one more nearly fits (a frame made to the size of the sheets).
func divide(room, sheet, gap unit.Length) (pieces []unit.Length, trimmed unit.Length) {
	// an absurd job is measured here before it is refused: no more pieces than can be planned
	whole := int(math.Min(math.Floor(float64(room/sheet)+tolerance), maxPieces+1))
	if more := unit.Length(whole + 1); whole < 1 || more*sheet-room <= 2*max(gap, leastStrip) {
		return repeat(room/more, whole+1), sheet - room/more
	}
	for range whole {
		pieces = append(pieces, sheet)
	}
	if rest := room - unit.Length(whole)*sheet; rest > leastStrip {
		pieces = append(pieces, rest)
	}
	return pieces, 0
}

// HolesFor gives the holes that a steady harvest needs: heads a week, for the
// weeks that each head stands on the raft, and a share of plants lost on the
// way (0 to less than 1). The answer is rounded up; it is 0 where an argument
// is not a sensible number.
func HolesFor(headsPerWeek float64, onRaft unit.Duration, lost unit.Fraction) int {
	n := headsPerWeek * onRaft.Days() / 7 / (1 - float64(lost))
	if !(n > 0 && n < 1e9) || lost < 0 || lost >= 1 {
		return 0
	}
	return int(math.Ceil(n - 1e-9))
}

// SheetsFor gives the sheets that hold so many holes, rounded up.
func SheetsFor(holes, perSheet int) int {
	if perSheet <= 0 || holes <= 0 {
		return 0
	}
	return (holes + perSheet - 1) / perSheet
}

// arrange chooses the pieces of the raft and the room around it.
func (r *Raft) arrange() {
	j := r.Job
	if r.Round {
		r.Size = Size{j.Diameter, j.Diameter}
		r.Inside, r.Play = InsideFor(r.Size, j.Gap), Size{j.Gap, j.Gap}
		if j.InsideDiameter > 0 {
			room := (j.InsideDiameter - j.Diameter) / 2
			r.Inside, r.Play = Size{j.InsideDiameter, j.InsideDiameter}, Size{room, room}
		}
		r.Pieces = []Piece{{}}
		r.SheetsToBuy = roundSheets(j.Diameter)
		return
	}
	f := Fitting{Columns: repeat(j.Sheet.X, max(1, j.Across)), Rows: repeat(j.Sheet.Y, max(1, j.Along)), Play: Size{j.Gap, j.Gap}}
	f.Inside = InsideFor(f.Raft(), j.Gap)
	if j.Inside != (Size{}) {
		f = Fit(j.Inside, j.Sheet, j.Gap)
	}
	r.Size, r.Inside, r.Play, r.Turned, r.fit = f.Raft(), f.Inside, f.Play, f.Turned, f
	y := unit.Length(0)
	for _, height := range f.Rows {
		x := unit.Length(0)
		for _, width := range f.Columns {
			r.Pieces = append(r.Pieces, Piece{At: Point{x, y}})
			x += width
		}
		y += height
	}
	r.SheetsToBuy = sheetsToBuy(f, j.Sheet)
}

func (r *Raft) columns() int { return max(1, len(r.fit.Columns)) }
func (r *Raft) rows() int    { return max(1, len(r.fit.Rows)) }

func repeat(l unit.Length, n int) []unit.Length {
	out := make([]unit.Length, n)
	for i := range out {
		out[i] = l
	}
	return out
}

// roundSheets counts the 4 x 8 ft sheets that a disc is cut from, laid side by
// side in a block.
func roundSheets(d unit.Length) int {
	return sideBySide(d, usualSheet.X) * sideBySide(d, usualSheet.Y)
}

func sideBySide(d, sheet unit.Length) int {
	return max(1, int(math.Ceil(float64(d/sheet)-tolerance)))
}

// jointHoles counts the holes of a disc that a joint between its sheets cuts,
// the block of sheets centred on the disc and turned the better of two ways.
func (r *Raft) jointHoles() int {
	d := r.Job.Diameter
	cut := func(at, sheet unit.Length) bool {
		n := sideBySide(d, sheet)
		for k := 1; k < n; k++ {
			joint := d/2 + unit.Length(float64(k)-float64(n)/2)*sheet
			if math.Abs(float64(at-joint)) < float64(r.Job.Hole/2)*(1-tolerance) {
				return true
			}
		}
		return false
	}
	straight, turned := 0, 0
	for _, p := range r.Layouts[0].Positions {
		if cut(p.X, usualSheet.X) || cut(p.Y, usualSheet.Y) {
			straight++
		}
		if cut(p.Y, usualSheet.X) || cut(p.X, usualSheet.Y) {
			turned++
		}
	}
	return min(straight, turned)
}

// sheetsToBuy counts whole sheets: one for each piece that needs a sheet's full
// width or length, and strips laid on sheets side by side, greedily. The cutting
// room can prove a better number.
func sheetsToBuy(f Fitting, sheet Size) int {
	bought := 0
	var rest []Size // free parts of sheets already bought
	for _, h := range f.Rows {
		for _, w := range f.Columns {
			placed := false
			for i, free := range rest {
				if w <= free.X*(1+tolerance) && h <= free.Y*(1+tolerance) {
					rest = append(rest[:i], append(guillotine(free, w, h), rest[i+1:]...)...)
					placed = true
					break
				}
			}
			if !placed {
				bought++
				rest = append(rest, guillotine(sheet, w, h)...)
			}
		}
	}
	return bought
}

// guillotine gives what is left of a sheet when a corner piece is cut from it,
// the larger rest kept whole.
func guillotine(from Size, w, h unit.Length) []Size {
	right, above := from.X-w, from.Y-h
	var out []Size
	if right*from.Y > above*from.X {
		out = []Size{{right, from.Y}, {w, above}}
	} else {
		out = []Size{{from.X, above}, {right, h}}
	}
	kept := out[:0]
	for _, s := range out {
		if s.X > leastStrip && s.Y > leastStrip {
			kept = append(kept, s)
		}
	}
	return kept
}

// plots gives each different piece once and notes on the pieces which is theirs.
// Pieces of one size with the same seams and obstacles are alike, also when one
// is the other turned by half.
func (r *Raft) plots() []plot {
	var out []plot
	for i := range r.Pieces {
		p := r.plot(i)
		piece := &r.Pieces[i]
		piece.Layout = -1
		for k := range out {
			if straight := out[k].same(p); straight || out[k].same(p.halfTurned()) {
				piece.Layout, piece.HalfTurned = k, !straight
				break
			}
		}
		if piece.Layout < 0 {
			piece.Layout = len(out)
			out = append(out, p)
		}
	}
	return out
}

// touches says whether an obstacle lies on the piece, or beside it so near that
// it keeps centres away.
func (p plot) touches(b box) bool {
	m, e := p.margin, p.edge
	return b.x1 > min(0, m.left-e) && b.x0 < max(p.w, p.w-m.right+e) && b.y1 > min(0, m.low-e) && b.y0 < max(p.h, p.h-m.high+e)
}

// plot gives the foam of one piece, its seams and the obstacles near it.
func (r *Raft) plot(i int) plot {
	j, at := r.Job, r.Pieces[i].At
	p := plot{w: r.Size.X.Metres(), h: r.Size.Y.Metres(), round: r.Round}
	if !r.Round {
		column, row := i%r.columns(), i/r.columns()
		p.w, p.h = r.fit.Columns[column].Metres(), r.fit.Rows[row].Metres()
		p.seam = seams{column > 0, column < r.columns()-1, row > 0, row < r.rows()-1}
	}
	p = p.spaced(j.Edge.Metres(), j.Spacing.Metres())
	for _, o := range j.Obstacles {
		x, y := (o.At.X - at.X).Metres(), (o.At.Y - at.Y).Metres()
		b := box{x, y, x + o.Size.X.Metres(), y + o.Size.Y.Metres()}
		if p.touches(b) {
			p.boxes = append(p.boxes, b)
		}
	}
	return p
}
