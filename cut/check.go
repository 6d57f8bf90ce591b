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
	if j.Kerf != nil {
		c.within("cut.kerf", *j.Kerf, 0, unit.Inch, DefaultKerf)
	}
	c.within("cut.trim", j.Trim, 0, longest, unit.Inch/2)
	c.lines(len(j.Pieces), MaxKinds, len(j.Stock)+len(j.OnHand))
	total := 0
	for i, p := range j.Pieces {
		total = c.piece(finding.Path("cut.pieces").Item(i), p.Name, p.Count, total, MaxPieces, longest, p.Length)
	}
	with := 0
	for i, s := range j.Stock {
		c.sold(cmp.Or(s.Path, finding.Path("cut.stock").Item(i)), s)
		if s.Price > 0 {
			with++
		}
	}
	for i, s := range j.OnHand {
		c.sold(cmp.Or(s.Path, finding.Path("cut.on hand").Item(i)), s)
	}
	if with > 0 && with < len(j.Stock) { // a free board is one on hand
		c.fault("cut.stock", FaultPriced, nil)
	}
	return c.faults
}

// check names every fault in the figures of a job of sheets.
func (j SheetJob) check() finding.Faults {
	c := &checker{}
	c.within("cut.kerf", j.Kerf, 0, unit.Inch, DefaultKerf)
	c.within("raft.sheet", min(j.Length, j.Width), shortest, longestSheet, 4*unit.Foot)
	c.within("raft.sheet", max(j.Length, j.Width), shortest, longestSheet, 8*unit.Foot)
	c.lines(len(j.Panels), MaxPanelKinds, 1)
	total := 0
	for i, p := range j.Panels {
		total = c.piece(finding.Path("cut.pieces").Item(i), p.Name, p.Count, total, MaxPanels, longestSheet, p.Length, p.Width)
	}
	return c.faults
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

func (c *checker) sold(path finding.Path, s Stock) {
	c.sides(path, longest, []unit.Length{s.Length})
	if s.Count < 0 {
		c.fault(path.Key("count"), FaultCount, finding.Args{"Name": ""})
	}
	if s.Price < 0 || s.Price > priciest {
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
