package plan

import (
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/cut"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Boards is the cutting of all wood of the plan, one cutting job for each size
// of board.
type Boards struct {
	Jobs     []BoardJob
	Currency string
}

// BoardJob is the cutting of one size of board.
type BoardJob struct {
	Size string // "2x8"; "" where the brief gave the job itself
	Plan cut.Plan
}

// Bought gives the boards to buy in all.
func (b Boards) Bought() int {
	n := 0
	for _, j := range b.Jobs {
		n += j.Plan.Bought
	}
	return n
}

// Optimal says whether every job is proven.
func (b Boards) Optimal() bool {
	for _, j := range b.Jobs {
		if !j.Plan.Optimal {
			return false
		}
	}
	return len(b.Jobs) > 0
}

// Price gives the price of all boards, and LowerBound what no plan undercuts.
func (b Boards) Price() cost.Money {
	sum := int64(0)
	for _, j := range b.Jobs {
		sum += j.Plan.Price
	}
	return cost.Cents(sum, b.Currency)
}

// Priced tells whether any of the boards has a price.
func (b Boards) Priced() bool {
	for _, j := range b.Jobs {
		if j.Plan.Priced {
			return true
		}
	}
	return false
}

// Waste gives the share of the wood that becomes no piece.
func (b Boards) Waste() unit.Fraction {
	var all, waste unit.Length
	for _, j := range b.Jobs {
		for _, x := range j.Plan.Boards {
			all += x.Stock * unit.Length(x.Repeat)
			waste += x.Waste * unit.Length(x.Repeat)
		}
	}
	if all == 0 {
		return 0
	}
	return unit.Fraction(waste / all)
}

// Assumptions and findings of the cutting.
const (
	AssumeStock     finding.ID = "plan.stock"
	AssumeStockSize finding.ID = "plan.stock_size"
	FindOwnPieces   finding.ID = "plan.own_pieces"
	FindUnpriced    finding.ID = "cut.unpriced"
)

// The lengths that every yard sells (common practice, no source).
var usualLengths = []unit.Length{8 * unit.Foot, 10 * unit.Foot, 12 * unit.Foot, 14 * unit.Foot, 16 * unit.Foot}

// cutBoards plans the cutting: the brief's own job where it names pieces, else
// the wood of the frame, size by size.
func (m *maker) cutBoards() {
	if len(m.faults) > 0 {
		return
	}
	b := m.Brief.Cut
	out := Boards{Currency: m.currency()}
	base := cut.Job{Trim: b.Trim.Value}
	if b.Kerf.Given {
		kerf := b.Kerf.Value
		base.Kerf = &kerf
	}
	given := m.stock(b.Stock)
	if len(b.Stock) > 0 && len(given) == 0 {
		m.fault(b.Stock[0].At, "the store has none of any board", "leave the count out where there is no limit")
		return
	}
	onHand := m.stock(b.OnHand)
	if len(b.Pieces) > 0 {
		if m.Asked.Has(Cost) {
			m.find(finding.Finding{ID: FindOwnPieces, Severity: finding.Note, Source: source.Given})
		}
		j := base
		j.Stock, j.OnHand = given, onHand
		if len(given) == 0 && len(onHand) == 0 {
			j.Stock = m.usualStock("2x8")
			m.assume(finding.Assumption{ID: AssumeStock, Source: source.CommonPractice})
		}
		for _, p := range b.Pieces {
			j.Pieces = append(j.Pieces, cut.Piece{Name: p.Name.Or("piece"), Length: p.Length.Value, Count: p.Count.Or(1)})
		}
		size := "" // of a cutting job by itself nothing more is known
		if m.Frame != nil {
			size = m.Frame.Job.SideBoard.String()
		}
		m.saw(size, j, &out)
	} else if m.Frame != nil {
		m.cutFrame(base, given, onHand, &out)
	}
	if len(out.Jobs) > 0 {
		m.Boards = &out
	}
	for _, j := range out.Jobs {
		if out.Priced() && !j.Plan.Priced {
			m.find(finding.Finding{ID: FindUnpriced, Severity: finding.Caution, Args: finding.Args{"Size": j.Size}, Source: ownChoice})
		}
	}
}

// cutFrame cuts the wood of all beds. Stock that the brief names is of the size
// of the side boards; the other sizes come in the usual lengths.
func (m *maker) cutFrame(base cut.Job, given, onHand []cut.Stock, out *Boards) {
	bySize := map[string][]cut.Piece{}
	for _, p := range m.Frame.Pieces {
		size := p.Size.String()
		bySize[size] = append(bySize[size], cut.Piece{Name: p.Role.String(), Length: p.Length, Count: p.Count * m.Beds})
	}
	side := m.Frame.Job.SideBoard.String()
	usual := false
	for _, size := range sorted(bySize) {
		j := base
		j.Pieces = bySize[size]
		if size == side && (len(given) > 0 || len(onHand) > 0) {
			j.Stock, j.OnHand = given, onHand
		}
		if len(j.Stock) == 0 {
			j.Stock = m.usualStock(size)
			usual = true
		}
		m.saw(size, j, out)
	}
	if len(given) > 0 {
		m.assume(finding.Assumption{ID: AssumeStockSize, Args: finding.Args{"Size": side}, Source: ownChoice})
	}
	if usual {
		m.assume(finding.Assumption{ID: AssumeStock, Source: source.CommonPractice})
	}
}

func (m *maker) saw(size string, j cut.Job, out *Boards) {
	p, err := cut.Boards(j)
	if err != nil {
		for _, what := range strings.Split(err.Error(), "\n") { // one fault a line
			m.fault(m.Brief.Cut.At, what, "change the cut section")
		}
		return
	}
	for _, f := range p.Findings {
		m.findOnce(f)
	}
	for _, a := range p.Assumptions {
		m.assumeOnce(a)
	}
	out.Jobs = append(out.Jobs, BoardJob{size, p})
}

// assumeOnce lists an assumption that several jobs share once.
func (m *maker) assumeOnce(a finding.Assumption) {
	for _, b := range m.Assumptions {
		if b.ID == a.ID {
			return
		}
	}
	m.assume(a)
}

// findOnce lists a note that several jobs share once; stops and cautions all.
func (m *maker) findOnce(f finding.Finding) {
	for _, b := range m.Findings {
		if f.Severity == finding.Note && b.ID == f.ID {
			return
		}
	}
	m.find(f)
}

// stock reads the boards that the brief names; of which there are none, none can
// be cut.
func (m *maker) stock(list []brief.Stick) []cut.Stock {
	var out []cut.Stock
	for _, s := range list {
		if s.Count.Given && s.Count.Value == 0 {
			continue
		}
		out = append(out, cut.Stock{Length: s.Length.Value, Price: s.Price.Value.Cents(), Count: s.Count.Value})
	}
	return out
}

// usualStock lists the usual lengths of a size at their prices in the book.
func (m *maker) usualStock(size string) []cut.Stock {
	var out []cut.Stock
	for _, l := range usualLengths {
		feet := strconv.FormatFloat(l.Feet(), 'f', -1, 64)
		var price cost.Money
		if p, ok := m.prices().Own(size + "x" + feet); ok {
			price = p.Amount
		} else if p, ok := m.prices().Own(size); ok && p.Unit != "" { // by the foot
			price = p.Amount.Times(l.Feet())
		} else if p, ok := m.prices().Assumed(size); ok {
			price = p.Amount.Times(l.Feet())
		}
		out = append(out, cut.Stock{Name: size + "x" + feet, Length: l, Price: price.Cents()})
	}
	return out
}

// currency gives the currency of the plan.
func (m *maker) currency() string { return m.Currency() }

// Currency gives the currency of the plan: that of the prices, or of the first
// board with a price.
func (p Plan) Currency() string {
	if c := p.Brief.Prices.Currency; c.Given {
		return c.Value
	}
	for _, s := range p.Brief.Cut.Stock {
		if s.Price.Given {
			return s.Price.Value.Currency
		}
	}
	return "USD"
}

// prices gives the price book with the brief's own prices on top.
func (m *maker) prices() cost.Book {
	if m.ownPrices {
		return m.priceBook
	}
	own := map[string]cost.Price{}
	b := m.Brief.Prices
	for _, e := range b.Items {
		own[e.Name] = cost.Price{
			Amount: e.Value.Money, Unit: e.Value.Per,
			On: day(b.On.Value), Place: b.Place.Value,
		}
	}
	m.priceBook, m.ownPrices = m.book.Prices.With(own), true
	return m.priceBook
}
