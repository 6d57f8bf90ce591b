package plan

import (
	"encoding/binary"
	"strconv"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/cut"
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
	"raftwright/usual"
)

// Boards is the cutting of all wood of the plan, one cutting job for each size
// of board.
type Boards struct {
	Jobs     []BoardJob
	Currency string
	Own      string // the size of the boards that the brief names
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
	FaultNoStock    finding.ID = "plan.fault.no_stock"
)

// cutting gives what every cutting job of a brief shares, and the boards that it
// names: to buy and on hand.
func (m *maker) cutting() (base cut.Job, given, onHand []cut.Stock) {
	b := m.Brief.Cut
	base.Trim = b.Trim.Value
	if b.Kerf.Given {
		kerf := b.Kerf.Value
		base.Kerf = &kerf
	}
	given = namedStock("cut.stock", b.Stock)
	if len(b.Stock) > 0 && len(given) == 0 {
		m.wrong(finding.Fault{ID: FaultNoStock, Path: finding.Path("cut.stock").Item(0).Key("count")})
	}
	return base, given, namedStock("cut.on hand", b.OnHand)
}

// cutPieces plans the brief's own cutting job. Its boards are of the size of the
// side boards; of a job without a bed nothing more is known.
func (m *maker) cutPieces() {
	j, given, onHand := m.cutting()
	j.Stock, j.OnHand = given, onHand
	if len(given) == 0 && len(onHand) == 0 {
		j.Stock = m.stockOf(usual.Side)
		m.assume(finding.Assumption{ID: AssumeStock, Source: source.CommonPractice})
	}
	for _, p := range m.Brief.Cut.Pieces {
		j.Pieces = append(j.Pieces, cut.Piece{Name: p.Name.Or("piece"), Length: p.Length.Value, Count: p.Count.Or(1)})
	}
	size := ""
	if bedKnown(m.Brief) {
		size = string(m.Brief.Bed.SideBoard.Or(usual.Side))
	}
	m.sawn(size, m.sawing(size, j))
}

// cutFrame cuts the wood of all beds, size by size. Stock that the brief names is of
// the size of the side boards; the other sizes come in the usual lengths.
func (m *maker) cutFrame() {
	base, given, onHand := m.cutting()
	bySize := map[string][]cut.Piece{}
	for _, p := range m.Frame.Pieces {
		size := p.Size.String()
		bySize[size] = append(bySize[size], cut.Piece{Name: p.Role.String(), Length: p.Length, Count: p.Count * m.Beds})
	}
	for _, o := range m.beside {
		for _, p := range o.Frame.Pieces {
			size := p.Size.String()
			bySize[size] = added(bySize[size], cut.Piece{Name: p.Role.String(), Length: p.Length, Count: p.Count * o.Beds})
		}
	}
	side := m.Frame.Job.SideBoard.String()
	usual := false
	var jobs []BoardJob
	for _, size := range sorted(bySize) {
		j := base
		j.Pieces = bySize[size]
		if size == side && (len(given) > 0 || len(onHand) > 0) {
			j.Stock, j.OnHand = given, onHand
		}
		if len(j.Stock) == 0 {
			j.Stock, j.ByLength = m.stockOf(size), true
			usual = true
		}
		jobs = append(jobs, m.sawing(size, j)...)
	}
	if len(given) > 0 && len(jobs) > 0 {
		m.assume(finding.Assumption{ID: AssumeStockSize, Args: finding.Args{"Size": side}, Source: ownChoice})
	}
	if usual {
		m.assume(finding.Assumption{ID: AssumeStock, Source: source.CommonPractice})
	}
	m.sawn(side, jobs)
}

// sawn keeps the cutting jobs, the brief's own stock being of one size.
func (m *maker) sawn(own string, jobs []BoardJob) {
	if len(jobs) == 0 {
		return
	}
	m.Boards = &Boards{Jobs: jobs, Currency: m.Currency(), Own: own}
	for _, j := range jobs {
		if m.Boards.Priced() && !j.Plan.Priced {
			m.find(finding.Finding{ID: FindUnpriced, Severity: finding.Caution, Hurts: finding.Purse, Args: finding.Args{"Size": j.Size}, Source: ownChoice})
		}
	}
}

// sawing plans one cutting job.
func (m *maker) sawing(size string, j cut.Job) []BoardJob {
	if len(m.faults) > 0 {
		return nil
	}
	p, faults := cut.Boards(m.stop, j)
	if m.wrong(faults...); faults != nil {
		return nil
	}
	for _, f := range p.Findings {
		m.findOnce(f)
	}
	for _, a := range p.Assumptions {
		m.assumeOnce(a)
	}
	return []BoardJob{{size, p}}
}

// assumeOnce lists an assumption that several jobs share once.
func (m *maker) assumeOnce(a finding.Assumption) {
	for _, b := range m.assumptions {
		if b.ID == a.ID {
			return
		}
	}
	m.assume(a)
}

// findOnce lists a note that several jobs share once; stops and cautions all.
func (m *maker) findOnce(f finding.Finding) {
	for _, b := range m.findings {
		if f.Severity == finding.Note && b.ID == f.ID {
			return
		}
	}
	m.find(f)
}

// stock reads the boards that the brief names; of which there are none, none can
// be cut.
func namedStock(path finding.Path, list []brief.Stick) []cut.Stock {
	var out []cut.Stock
	for i, s := range list {
		if s.Count.Given && s.Count.Value == 0 {
			continue
		}
		out = append(out, cut.Stock{Length: s.Length.Value, Price: s.Price.Value.Cents(), Count: s.Count.Value, Path: path.Item(i)})
	}
	return out
}

// sold is what stores sell of each size of board; text holds the prices, to compare.
type sold struct {
	stock map[string][]cut.Stock
	text  string
}

// listSold lists the usual lengths of every size at the plan's prices.
func (m *maker) listSold() {
	m.sold.stock = map[string][]cut.Stock{}
	var prices []byte
	for _, size := range sizeNames() {
		m.sold.stock[size] = m.usualStock(m.prices, size)
		for _, x := range m.sold.stock[size] {
			prices = binary.AppendVarint(prices, x.Price)
		}
	}
	m.sold.text = string(prices)
}

// stockOf gives what stores sell of a size; of one that is rarely asked for, without prices.
func (m *maker) stockOf(size string) []cut.Stock {
	if stock, listed := m.sold.stock[size]; listed {
		return stock
	}
	return m.usualStock(cost.Book{}, size)
}

// usualStock lists the lengths in which a size is sold at their prices in the book.
func (m *maker) usualStock(prices cost.Book, size string) []cut.Stock {
	var out []cut.Stock
	for _, l := range m.book.Yard.Lengths(size) {
		name := size + "x" + strconv.FormatFloat(l.Feet(), 'f', -1, 64)
		var price cost.Money
		if p, ok := prices.Own(name); ok {
			price = p.Amount
		} else if p, _, ok := prices.Find(size); ok && p.Unit != "" { // by the foot
			price = p.Amount.Times(l.Feet())
		}
		out = append(out, cut.Stock{Name: name, Length: l, Price: price.Cents()})
	}
	return out
}

// Currency gives the currency of the whole plan: that of the brief's prices, else that
// of the price book.
func (p Plan) Currency() string { return p.Brief.Prices.Currency.Or(cost.Tabled) }

// readPrices puts the brief's own prices on top of the price book, whose own are
// turned into the currency of the plan.
func (m *maker) readPrices() {
	own := map[string]cost.Price{}
	b := m.Brief.Prices
	for _, e := range b.Items {
		own[e.Name] = cost.Price{
			Amount: e.Value.Money, Unit: e.Value.Per,
			On: day(b.On.Value), Place: b.Place.Value,
		}
	}
	m.prices = m.book.Prices.In(m.Currency(), m.rate()).With(own)
}

// rate gives the rate of exchange of the brief; zero where there is none.
func (m *maker) rate() cost.Rate {
	r := m.Brief.Prices.Rate.Value
	return cost.Rate{Paid: r.Paid, For: r.For, On: day(r.On)}
}
