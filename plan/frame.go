package plan

import (
	"fmt"
	"math"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/cut"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/season"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// Assumptions about the frame that the plan makes before the frame room is asked.
const (
	AssumeSideBoard finding.ID = "plan.side_board"
	AssumeLumber    finding.ID = "plan.lumber"
	AssumeLiner     finding.ID = "plan.liner"
	AssumeLevel     finding.ID = "plan.level"
	AssumeIncised   finding.ID = "plan.incised"
)

// makeFrame designs what holds the water, loaded with the raft.
func (m *maker) makeFrame() {
	b, v := m.Brief.Bed, m.vessel
	j := frame.Job{
		Depth: v.depth, Count: m.Beds, Courses: b.Boards.Value, Incised: b.Incised.Value,
		Support: supports[b.Support.Value], LevelError: b.LevelError.Value,
		ExtraMass: m.afloat.mass, Raft: m.afloat.Raft, OpenToRain: m.Brief.Site.Cover.Or(brief.Open) == brief.Open,
	}
	j.Bucket = m.Brief.Mix.Bucket.Value
	j.Hose, j.Wall, j.HoldBy, j.Soil = b.Hose.Value, walls[b.Walls.Value], holdsWith[b.HoldWith.Value], soils[b.Soil.Value]
	if !b.LevelError.Given {
		j.LevelError = usual.Level
		m.assume(finding.Assumption{ID: AssumeLevel, Args: finding.Args{"Level": usual.Level}, Source: source.CommonPractice})
	}
	j.Vessel = v.holds()
	if j.Vessel.Shape == frame.FrameShape {
		if !m.lumber(&j) {
			return
		}
		j = m.cheapest(m.longest(j))
	}
	if b.Liner.Given {
		j.Liner.Thickness = b.Liner.Value
	}
	j.Liner.Turn = b.TurnOver.Value
	yard := m.yard()
	d, faults := frame.Design(j, yard)
	if faults != nil {
		m.wrong(faults...)
		return
	}
	m.Frame = &d
	m.assume(d.Assumptions...)
	m.priceRemedies()
	for _, f := range d.Findings {
		m.find(f)
		m.tellRemedy(f.ID)
	}
	m.tellChoices()
	m.tellLiner()
}

// yard is the yard of the book with the prices of liners.
func (m *maker) yard() frame.Yard {
	i := -1
	return m.book.Yard.Priced(func(frame.Sheet) float64 { i++; return m.wood.liners[i] })
}

// longest gives the job the longest boards to be had: those that the brief names
// for the sides, the usual ones for all else.
func (m *maker) longest(j frame.Job) frame.Job {
	trim := m.Brief.Cut.Trim.Value
	j.LongestElse = m.book.Yard.Longest(usual.Side) - trim
	j.Longest, j.LongestStrip = m.book.Yard.Longest(j.SideBoard.String())-trim, m.book.Yard.Longest(frame.Batten)-trim
	if own := m.Brief.Cut.Stock; len(own) > 0 {
		j.Longest = 0
		for _, s := range own {
			if !s.Count.Given || s.Count.Value > 0 {
				j.Longest = max(j.Longest, s.Length.Value-trim)
			}
		}
	}
	return j
}

// FrameChoice is a way to build the frame with what its wood and screws cost.
type FrameChoice struct {
	Remedy finding.ID // what it mends; "" for a choice of the search
	Job    frame.Job
	Holds  int        // on each side
	Cost   cost.Money // no money where boards have no price in the plan's currency
}

// cheapest searches the frames that hold, cheapest first, keeps them for the
// reader to compare, and takes the first where the brief names no boards.
func (m *maker) cheapest(j frame.Job) frame.Job {
	options, _ := frame.Search(j, m.book.Yard, m.wood.Prices) // the design itself says what is wrong
	for _, o := range options {
		m.FrameChoices = append(m.FrameChoices, FrameChoice{Job: o.Job, Holds: o.Holds, Cost: m.cents(o.Cost)})
	}
	b := m.Brief.Bed
	if b.SideBoard.Given {
		return j
	}
	if len(options) > 0 && !b.EndBoard.Given && !b.Boards.Given && (!b.Holds.Given || b.Holds.Value.Auto) {
		best := options[0].Job
		best.Liner = j.Liner
		j = best
	}
	m.assume(finding.Assumption{ID: AssumeSideBoard, Args: finding.Args{"Side": j.SideBoard.String(), "End": j.EndBoard.String()}, Source: ownChoice})
	return j
}

// priceRemedies says what each remedy of a frame that does not hold costs.
func (m *maker) priceRemedies() {
	prices := m.wood
	now, _ := prices.Of(*m.Frame)
	for _, r := range m.Frame.Remedies(m.book.Yard) {
		if c, ok := prices.Of(r.Bed); ok {
			m.FrameRemedies = append(m.FrameRemedies, FrameChoice{Remedy: r.ID, Job: r.Job, Holds: r.Bed.Side.Holds,
				Cost: m.cents(c - now)})
		}
	}
}

// cents gives an amount of the frame's prices as money; none where those are weights.
func (m *maker) cents(amount float64) cost.Money {
	if !m.wood.money {
		return cost.Money{}
	}
	return cost.Cents(int64(math.Round(amount*100)), m.Currency())
}

// wood is what boards, screws and liners cost; text holds the same figures, to compare. Where
// the price book has no prices in the plan's currency, they are those of its own: weights
// to choose by, and no money.
type wood struct {
	frame.Prices
	liners []float64 // of each sheet of the yard
	money  bool
	text   string
}

// priceWood reads boards and screws from the price book.
func (m *maker) priceWood() {
	prices := m.prices
	if !prices.Guesses() {
		prices = m.book.Prices
	}
	work := func(key string) float64 {
		p, _, _ := prices.Find(key)
		return p.Amount.Float()
	}
	p := frame.Prices{Kerf: m.Brief.Cut.Kerf.Or(cut.DefaultKerf), Trim: m.Brief.Cut.Trim.Value, Tie: work("tie work"), Stake: work("stake work")}
	for _, size := range sizeNames() {
		s, _ := frame.ParseSize("", size)
		stock := m.sold.stock[size]
		if !m.prices.Guesses() {
			stock = m.usualStock(prices, size)
		}
		if own := namedStock("cut.stock", m.Brief.Cut.Stock); m.prices.Guesses() && len(own) > 0 && size == string(m.Brief.Bed.SideBoard.Value) {
			stock = own
		}
		for _, x := range stock {
			if x.Price > 0 {
				p.Boards = append(p.Boards, frame.BoardPrice{Size: s, Length: x.Length, Price: float64(x.Price) / 100})
			}
		}
	}
	screw, _, _ := prices.Find("structural screw", "screw")
	p.Screw = screw.Amount.Float()
	var liners []float64
	for _, s := range m.book.Yard.Sheets {
		liners = append(liners, linerPrice(prices, s))
	}
	m.wood = wood{p, liners, m.prices.Guesses(), fmt.Sprint(p, liners, m.prices.Guesses())}
}

// sizeNames lists the sizes of boards that a yard sells.
func sizeNames() []string {
	out := []string{"2x2", "1x2", "1x3", "1x4", "1x6", "1x8", "1x10", "1x12", "4x4"}
	for _, s := range frame.BoardSizes() {
		out = append(out, s.String())
	}
	return out
}

var supports = map[brief.Support]frame.Support{
	brief.Ground: frame.Ground, brief.Deck: frame.Deck, brief.Floor: frame.SuspendedFloor, brief.Roof: frame.Roof,
}

var walls = map[brief.Walls]frame.Wall{
	brief.Lumber: frame.LumberWall, brief.Plywood: frame.PlywoodWall, brief.Block: frame.BlockWall, brief.Salvage: frame.SalvageWall,
}

var holdsWith = map[brief.HoldWith]frame.HoldKind{brief.Tie: frame.FloorTie, brief.Stake: frame.Stake}

var soils = map[brief.Soil]frame.Soil{brief.Clay: frame.Clay, brief.Sand: frame.Sand, brief.Gravel: frame.Gravel, brief.Soft: frame.SoftSoil}

func (m *maker) knowLumber() {
	if f := m.Brief.Bed.Lumber; f.Given {
		m.wrong(m.book.Yard.Known("bed.lumber", f.Value)...)
	}
}

// lumber fills in the boards; false where a name is not in the catalogue.
func (m *maker) lumber(j *frame.Job) bool {
	b := m.Brief.Bed
	board := func(path finding.Path, f brief.Field[brief.Board], usual brief.Board) frame.Size {
		s, faults := frame.ParseSize(path, string(f.Or(usual)))
		m.wrong(faults...)
		return s
	}
	j.SideBoard = board("bed.side board", b.SideBoard, usual.Side)
	if b.EndBoard.Given || !b.SideBoard.Given {
		j.EndBoard = board("bed.end board", b.EndBoard, usual.End)
	} // else the frame takes the ends as the sides, and lists it
	j.Species = b.Lumber.Value
	if !b.Lumber.Given {
		j.Species = usual.Lumber
		m.assume(finding.Assumption{ID: AssumeLumber, Args: finding.Args{"Lumber": usual.Lumber}, Source: source.CommonPractice})
	}
	if !b.Incised.Given {
		m.assume(finding.Assumption{ID: AssumeIncised, Source: ownChoice})
	}
	j.Liner.Thickness = usual.Liner
	if !b.Liner.Given {
		m.assume(finding.Assumption{ID: AssumeLiner, Args: finding.Args{"Thickness": usual.Liner}, Source: source.CommonPractice})
	}
	switch h := b.Holds; {
	case !h.Given || h.Value.Auto:
		j.Holds = frame.AutoHolds()
	default:
		j.Holds = frame.HoldsASide(h.Value.Count)
	}
	return len(m.faults) == 0
}

// Depth gives the depth of the water.
func (p Plan) Depth() unit.Length {
	if p.Frame == nil {
		return 0
	}
	return p.Frame.Job.Depth
}

// TopUpAt gives the depth at which a bed is filled up again.
func (p Plan) TopUpAt() unit.Length { return max(p.Depth()-season.AllowedDrop, p.Depth()/2) }

// PerInch gives the water in one inch of depth at the water line.
func (p Plan) PerInch() unit.Volume {
	if p.Frame == nil {
		return 0
	}
	return p.Frame.PerInch
}
