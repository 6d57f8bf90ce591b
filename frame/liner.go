package frame

import (
	"cmp"
	_ "embed"
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

//go:embed liner.csv
var linerTable string

// Sheet is one size of liner as sold.
type Sheet struct {
	Material          string // key of the material: "greenhouse_film"
	Thickness         unit.Length
	Width, Length     unit.Length
	LifeLow, LifeHigh float64 // years
	Price             float64 // of one sheet or roll, as Prices; 0: not known
	Source            source.ID
}

// Life gives the years that a sheet is taken to last: the middle of its range.
func (s Sheet) Life() float64 { return (s.LifeLow + s.LifeHigh) / 2 }

// Word gives the translatable name of the material.
func (s Sheet) Word() finding.Word { return finding.Word("word.liner_" + s.Material) }

// Area gives the area of the sheet.
func (s Sheet) Area() unit.Area { return s.Length.By(s.Width) }

// Name gives the sheet's size as sold: "10 x 25 ft".
func (s Sheet) Name() string {
	ft := func(l unit.Length) string { return strconv.FormatFloat(l.Feet(), 'f', -1, 64) }
	return ft(s.Width) + " x " + ft(s.Length) + " ft"
}

// Liners is a table of the liners that are sold.
type Liners struct {
	Sheets []Sheet // in the order of the table
}

// ReadLiners reads a table with the columns of liner.csv: one row lists all sizes of
// a material.
func ReadLiners(file, text string) (n Liners, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		s := Sheet{Material: r.Need("material"), Thickness: unit.Length(r.Number("mil", 1, 200)) * unit.Mil,
			LifeLow: r.Number("life_low", 0.1, 100), LifeHigh: r.Number("life_high", 0.1, 100), Source: r.Source("source")}
		for _, size := range strings.Fields(r.Text("sizes")) {
			a, b, _ := strings.Cut(size, "x")
			w, err1 := strconv.ParseFloat(a, 64)
			l, err2 := strconv.ParseFloat(b, 64)
			if err1 != nil || err2 != nil || !(w > 0) || !(l > 0) {
				r.Wrong(FaultSheet, "sizes", finding.Args{"Size": clip(size)})
			}
			s.Width, s.Length = unit.Length(w)*unit.Foot, unit.Length(l)*unit.Foot
			n.Sheets = append(n.Sheets, s)
		}
	})
	return n, faults
}

// Purchase is one way to buy the liners of all beds.
type Purchase struct {
	Sheet   Sheet
	Pieces  int // beds that one sheet or roll lines
	Buy     int // sheets or rolls for all beds
	Across  bool
	Cost    float64   // of all that is bought; 0: a price is not known
	PerYear unit.Area // bought, a bed and a year of life: what the choice goes by where no price is known
}

// Liner is the liner of one bed and how to buy it.
type Liner struct {
	Wanted        bool
	Length, Width unit.Length // flat, before it is folded in
	Area          unit.Area
	Turn          unit.Length
	Options       []Purchase // best first; empty when nothing sold is large enough
}

// Buy gives the best purchase as text: "1 of 10 x 25 ft"; "" when there is none.
func (l Liner) Buy() string {
	if len(l.Options) == 0 {
		return ""
	}
	return strconv.Itoa(l.Options[0].Buy) + " of " + l.Options[0].Sheet.Name()
}

// linerOf sizes the liner: inside length + 2 end walls + 2 turn-overs, and the
// same across the sides (published rule of pond liners, measured with the wall
// up). A round vessel takes a square sheet. Leaning walls are measured along
// the slope.
func linerOf(j Job, sold Liners, sides, ends unit.Length) Liner {
	turn := j.Liner.Turn
	if turn == 0 {
		turn = usual.Turn
	}
	n := Liner{Wanted: j.Liner.Thickness > 0, Turn: turn}
	a0, b0, ka, kb, _ := j.Vessel.slopes()
	wall := func(h unit.Length, k float64) unit.Length { return unit.Length(float64(h) * math.Hypot(1, k/2)) }
	n.Length = unit.Length(a0) + 2*wall(ends, ka) + 2*turn
	n.Width = unit.Length(b0) + 2*wall(sides, kb) + 2*turn
	n.Area = n.Length.By(n.Width)
	if n.Wanted {
		n.Options = purchases(sold.Sheets, n, j.Count, j.Liner.Thickness)
	}
	return n
}

// purchases lists the ways to line all beds from sheets of the wanted thickness or
// more (of the thickest, when none is as thick), the cheapest first: by what it costs
// for each year that it serves, of two alike the smaller.
func purchases(sold []Sheet, n Liner, count int, thickness unit.Length) []Purchase {
	want := unit.Length(0)
	for _, s := range sold {
		want = max(want, s.Thickness)
	}
	for _, s := range sold {
		if s.Thickness > thickness-unit.Mil/10 {
			want = min(want, s.Thickness)
		}
	}
	var out []Purchase
	for _, s := range sold {
		if s.Thickness < want-unit.Mil/10 {
			continue
		}
		per, across := fromSheet(s, n.Length, n.Width)
		if per == 0 {
			continue
		}
		p := Purchase{Sheet: s, Pieces: per, Buy: (count + per - 1) / per, Across: across}
		p.Cost = s.Price * float64(p.Buy)
		p.PerYear = unit.Area(float64(s.Area()) * float64(p.Buy) / float64(count) / s.Life())
		out = append(out, p)
	}
	inorder.Put(out, func(a, b Purchase) int {
		return cmp.Or(cmp.Compare(a.costPerYear(), b.costPerYear()), cmp.Compare(a.PerYear, b.PerYear))
	})
	return out
}

// costPerYear gives what a purchase costs for each year that it serves; where no price
// is known, more than any that has one.
func (p Purchase) costPerYear() float64 {
	if p.Cost == 0 {
		return math.MaxFloat64
	}
	return p.Cost / min(p.Sheet.Life(), usual.LinerYears)
}

// Cheaper gives the purchase that costs least to begin with, where it costs half of
// the first or less: for less it is not worth a sheet that does not last.
func (l Liner) Cheaper() (Purchase, bool) {
	if len(l.Options) == 0 || l.Options[0].Cost == 0 {
		return Purchase{}, false
	}
	least := l.Options[0]
	for _, p := range l.Options {
		if p.Cost > 0 && p.Cost < least.Cost {
			least = p
		}
	}
	return least, 2*least.Cost <= l.Options[0].Cost
}

// Priced gives the yard with a price on each sheet of liner.
func (l Yard) Priced(price func(Sheet) float64) Yard {
	l.Sheets = slices.Clone(l.Sheets)
	for i, s := range l.Sheets {
		l.Sheets[i].Price = price(s)
	}
	return l
}

// fromSheet counts the liners that one sheet gives, in rows cut straight across
// it, and whether they lie across the roll.
func fromSheet(s Sheet, a, b unit.Length) (n int, across bool) {
	fits := func(whole, part unit.Length) int { return int(float64(whole)/float64(part) + 1e-9) }
	along := fits(s.Width, b) * fits(s.Length, a)
	turned := fits(s.Width, a) * fits(s.Length, b)
	if turned > along {
		return turned, true
	}
	return along, false
}
