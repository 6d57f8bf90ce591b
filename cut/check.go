package cut

import (
	"cmp"
	"context"

	"raftwright/finding"
	"raftwright/unit"
)

const (
	longest      = unit.Kilometre // of a board
	longestSheet = 100 * unit.Metre
	priciest     = 1_000_000_000 // minor units
)

// Faults of a cutting job, each at the key of the brief that is meant.
const (
	FaultNone    finding.ID = "cut.fault.none"   // nothing to cut
	FaultStock   finding.ID = "cut.fault.stock"  // nothing to cut it from
	FaultLines   finding.ID = "cut.fault.lines"  // more kinds than can be planned
	FaultMany    finding.ID = "cut.fault.pieces" // more pieces than can be planned
	FaultCount   finding.ID = "cut.fault.count"
	FaultPrice   finding.ID = "cut.fault.price"
	FaultStopped finding.ID = "cut.fault.stopped" // by its context
	FaultPriced  finding.ID = "cut.fault.priced"  // some of the stock has a price and some has none
)

// stopped gives the fault of a search that its context ended.
func stopped(ctx context.Context) finding.Faults {
	if ctx.Err() == nil {
		return nil
	}
	return finding.Faults{{ID: FaultStopped, Path: "cut"}}
}

// checker gathers faults.
type checker struct{ faults finding.Faults }

func (c *checker) fault(path finding.Path, id finding.ID, args finding.Args) {
	c.faults = append(c.faults, finding.Fault{ID: id, Path: path, Args: args})
}

// check names every fault in the figures of a job.
func (j Job) check() finding.Faults {
	c := &checker{}
	c.kerf(j.Kerf)
	c.within("cut.trim", j.Trim, 0, longest, unit.Inch/2)
	c.lines(len(j.Pieces), MaxKinds, len(j.Stock)+len(j.OnHand))
	total := 0
	for i, p := range j.Pieces {
		total = c.piece(finding.Path("cut.pieces").Item(i), p.Name, p.Count, total, MaxPieces, longest, p.Length)
	}
	for i, s := range j.Stock {
		c.sold(cmp.Or(s.Path, finding.Path("cut.stock").Item(i)), s.Count, s.Price, longest, s.Length)
	}
	for i, s := range j.OnHand {
		c.sold(cmp.Or(s.Path, finding.Path("cut.on hand").Item(i)), s.Count, s.Price, longest, s.Length)
	}
	c.priced(len(j.Stock), func(i int) int64 { return j.Stock[i].Price })
	return c.faults
}

// check names every fault in the figures of a job of sheets.
func (j SheetJob) check() finding.Faults {
	c := &checker{}
	c.kerf(j.Kerf)
	c.lines(len(j.Panels), MaxPanelKinds, len(j.Sheets)+len(j.OnHand))
	total := 0
	for i, p := range j.Panels {
		total = c.piece(finding.Path("cut.pieces").Item(i), p.Name, p.Count, total, MaxPanels, longestSheet, p.Length, p.Width)
	}
	for i, s := range j.Sheets {
		c.sold(finding.Path("cut.stock").Item(i), s.Count, s.Price, longestSheet, s.Length, s.Width)
	}
	for i, s := range j.OnHand {
		c.sold(finding.Path("cut.on hand").Item(i), s.Count, s.Price, longestSheet, s.Length, s.Width)
	}
	c.priced(len(j.Sheets), func(i int) int64 { return j.Sheets[i].Price })
	return c.faults
}

func (c *checker) kerf(k *unit.Length) {
	if k != nil {
		c.within("cut.kerf", *k, 0, unit.Inch, DefaultKerf)
	}
}

func (c *checker) within(path finding.Path, l, least, most, example unit.Length) {
	c.faults = append(c.faults, finding.Within(path, l, least, most, example)...)
}

func (c *checker) lines(pieces, most, stock int) {
	switch {
	case pieces == 0:
		c.fault("cut.pieces", FaultNone, nil)
	case pieces > most:
		c.fault("cut.pieces", FaultLines, finding.Args{"Given": pieces, "Most": most})
	}
	switch {
	case stock == 0:
		c.fault("cut.stock", FaultStock, nil)
	case stock > MaxStock:
		c.fault("cut.stock", FaultLines, finding.Args{"Given": stock, "Most": MaxStock})
	}
}

// piece checks one kind of piece and gives the pieces so far.
func (c *checker) piece(path finding.Path, name string, count, total, mostPieces int, most unit.Length, sides ...unit.Length) int {
	c.sides(path, most, sides)
	if count < 1 {
		c.fault(path.Key("count"), FaultCount, finding.Args{"Name": name})
	}
	sum := min(total+min(max(count, 0), mostPieces+1), mostPieces+1)
	if total <= mostPieces && sum > mostPieces {
		c.fault(path, FaultMany, finding.Args{"Most": mostPieces})
	}
	return sum
}

func (c *checker) sold(path finding.Path, count int, price int64, most unit.Length, sides ...unit.Length) {
	c.sides(path, most, sides)
	if count < 0 {
		c.fault(path.Key("count"), FaultCount, finding.Args{"Name": ""})
	}
	if price < 0 || price > priciest {
		c.fault(path.Key("price"), FaultPrice, nil)
	}
}

// shortest is the least that is cut or sold: a thousandth of an inch.
const shortest = unit.Mil

func (c *checker) sides(path finding.Path, most unit.Length, sides []unit.Length) {
	for _, l := range sides {
		if f := finding.Within(path.Key("length"), l, shortest, most, 97*unit.Inch); f != nil {
			c.faults = append(c.faults, f...)
			return
		}
	}
}

// priced wants a price on all of the stock or on none: a free board is one on hand.
func (c *checker) priced(n int, price func(int) int64) {
	with := 0
	for i := range n {
		if price(i) > 0 {
			with++
		}
	}
	if with > 0 && with < n {
		c.fault("cut.stock", FaultPriced, nil)
	}
}
