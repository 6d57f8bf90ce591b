package plan

import (
	"math"
	"strconv"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/frame"
	"raftwright/pool"
	"raftwright/usual"
)

// needs lists everything that all beds want, in the order of the work.
func (m *maker) needs() []cost.Need {
	n := float64(m.Beds)
	var out []cost.Need
	out = append(out, m.woodNeeds()...)
	if m.Frame != nil {
		out = append(out, m.vesselNeeds(n)...)
	}
	out = append(out, m.raftNeeds(n)...)
	out = append(out, m.plantNeeds(n)...)
	out = append(out, m.fetchNeeds()...)
	out = append(out, m.feedNeeds(n)...)
	out = append(out, m.toolNeeds()...)
	return out
}

// woodNeeds are the boards that the cutting asks for, at the prices it went by.
func (m *maker) woodNeeds() []cost.Need {
	if m.Boards == nil {
		return nil
	}
	var out []cost.Need
	for _, j := range m.Boards.Jobs {
		for _, p := range j.Plan.Purchase {
			feet := strconv.FormatFloat(p.Length.Feet(), 'f', -1, 64)
			need := cost.Need{
				Keys: []string{j.Size + "x" + feet, j.Size}, PerKey: []float64{1, p.Length.Feet()},
				Name: "need.board", Args: finding.Args{"Size": j.Size, "StockLength": p.Length},
				Quantity: float64(p.Buy), Unit: "each", Once: true, Group: "frame",
			}
			if len(m.Brief.Cut.Stock) > 0 && j.Size == m.Boards.Own {
				price := cost.Cents(p.Price, m.Currency())
				need.Fixed = &price
			}
			out = append(out, need)
		}
	}
	return out
}

// vesselNeeds are screws and liner of a frame, or the tank itself.
func (m *maker) vesselNeeds(n float64) []cost.Need {
	var out []cost.Need
	d := m.Frame
	if v := d.Job.Vessel; v.Shape != frame.FrameShape {
		args := finding.Args{"Volume": d.BrimVolume, "Round": v.Shape == frame.RoundShape}
		long, wide := v.Length, v.Width
		if v.Shape == frame.RoundShape {
			long, wide = v.Diameter, v.Diameter
		}
		args["Long"], args["Wide"], args["High"] = long, wide, d.Brim // the one that all figures are of: another holds and weighs something else
		keys := []string{"stock tank", "tub", "pool"}
		if d.BrimVolume < usual.Tank { // a storage tub, no tank for cattle
			keys = []string{"tub", "stock tank", "pool"}
		}
		out = append(out, cost.Need{Keys: keys, Name: "need.tank", Args: args,
			Quantity: n, Unit: "each", Once: true, Group: "frame"})
	}
	for _, s := range d.Fasteners {
		key := "structural screw"
		if s.Kind == frame.BattenScrews {
			key = "washer-head screw"
		}
		out = append(out, cost.Need{Keys: []string{s.Kind.String(), key, "screw"}, Name: "need.screw",
			Args:     finding.Args{"Gauge": s.Gauge, "Length": s.Length, "For": s.Kind.Word()},
			Quantity: float64(s.Count) * n, Unit: "each", Pack: usual.ScrewPack, Once: true, Group: "frame"})
	}
	if d.Liner.Wanted {
		need := cost.Need{Keys: []string{"liner", "liner sheet"}, Name: "need.liner_cut", Args: finding.Args{"Length": d.Liner.Length, "Width": d.Liner.Width},
			Quantity: d.Liner.Area.SquareFeet() * n, Unit: "square foot", Once: true, Group: "liner"}
		if len(d.Liner.Options) > 0 {
			best := d.Liner.Options[0]
			key := linerKeys[best.Sheet.Material]
			need.Keys = []string{"liner", best.Sheet.Name(), key}
			need.PerKey = []float64{1, 1, best.Sheet.Area().SquareFeet()}
			need.Name, need.Args = "need.liner", finding.Args{"Material": best.Sheet.Word(), "StockWidth": best.Sheet.Width, "StockLength": best.Sheet.Length, "Thickness": best.Sheet.Thickness}
			need.Quantity, need.Unit, need.Life = float64(best.Buy), "each", best.Sheet.Life()
		}
		out = append(out, need,
			cost.Need{Keys: []string{"underlay"}, Name: "need.underlay", Quantity: math.Ceil(d.Surface.SquareFeet()) * n, Unit: "square foot", Once: true, Group: "liner"})
	}
	return out
}

// linerPrice gives the price of a sheet of liner in a book; 0 where it has none.
func linerPrice(prices cost.Book, s frame.Sheet) float64 {
	p, at, ok := prices.Find(s.Name(), linerKeys[s.Material])
	if ok && at == 1 {
		return p.Amount.Times(s.Area().SquareFeet()).Float()
	}
	return p.Amount.Float()
}

// linerKeys are the price names of the liner materials.
var linerKeys = map[string]string{
	"construction_film": "liner sheet", "greenhouse_film": "greenhouse film", "layered_polyethylene": "greenhouse film",
	"pond_sheet": "pond liner", "reinforced_polyethylene": "pond liner", "rubber": "pond liner",
}

// raftNeeds are foam, paint and pots.
func (m *maker) raftNeeds(n float64) []cost.Need {
	r := m.Raft
	if r == nil {
		return nil
	}
	sheet := r.Job.Sheet
	if sheet.X == 0 {
		sheet = usualSheet
	}
	area := sheet.Area().SquareFeet()
	thick := float64(r.Job.Thickness / usual.FoamPricedAt)
	holes := float64(r.Holes) * n
	return []cost.Need{
		{Keys: []string{"foam sheet", "foam board"}, PerKey: []float64{1, area * thick}, Name: "need.foam",
			Args:     finding.Args{"Thickness": r.Job.Thickness, "Width": sheet.X, "Length": sheet.Y, "Kind": r.Foam.Kind},
			Quantity: float64(m.FoamSheets()), Unit: "each", Once: true, Group: "raft"},
		{Keys: []string{"white paint"}, Name: "need.paint", Quantity: math.Ceil(float64(m.FoamSheets()) / usual.PaintSheets), Unit: "quart", Once: true, Group: "raft"},
		{Keys: []string{"net pot"}, Name: "need.pot", Args: finding.Args{"Height": r.Job.Pot.Height, "Hole": r.Job.Hole},
			Quantity: holes, Unit: "each", Once: true, Group: "raft"},
		{Keys: []string{"hole saw"}, Name: "need.hole_saw", Args: finding.Args{"Hole": r.Job.Hole}, Quantity: 1, Unit: "each", Once: true, Group: "tools"},
	}
}

// plantNeeds are seed and plugs for one crop: with what will not come up and a tenth to
// spare.
func (m *maker) plantNeeds(n float64) []cost.Need {
	if m.Raft == nil {
		return nil
	}
	sow := m.Crop.Sow(m.Raft.Holes*int(n), crop.Spare, m.Crop.Tray())
	plug := cost.Need{Keys: []string{"peat plug", "plug"}, Name: "need.plug", Quantity: float64(sow.Trays), Unit: "each", Group: "plants"}
	if sow.Seeds() == 0 {
		return []cost.Need{{Keys: []string{m.Crop.ID + " plant", "plant"}, Name: "need.plant", Args: finding.Args{"Crop": m.Crop.Word()},
			Quantity: float64(sow.Trays), Unit: "each", Group: "plants"}}
	}
	return []cost.Need{{Keys: []string{m.Crop.ID + " seed", "seed"}, Name: "need.seed", Args: finding.Args{"Crop": m.Crop.Word()},
		Quantity: float64(sow.Seeds()), Unit: "each", Group: "plants"}, plug}
}

// fetchNeeds are the seedlings that nobody is there to raise, for the batches of a year.
func (m *maker) fetchNeeds() []cost.Need {
	if m.Season == nil {
		return nil
	}
	plants, batches := 0, 0
	for _, b := range m.Season.Batches {
		if b.Fetched && b.SetOut.Before(m.Season.Batches[0].SetOut.AddDate(1, 0, 0)) {
			plants, batches = plants+b.Plants*m.Beds, batches+1
		}
	}
	if batches == 0 {
		return nil
	}
	return []cost.Need{{Keys: []string{m.Crop.ID + " seedling", "seedling"}, Name: "need.seedling", Args: finding.Args{"Crop": m.Crop.Word(), "Count": batches},
		Quantity: float64(plants), Unit: "each", Once: true, Life: 1, Group: "plants"}}
}

// stones gives the air stones of one bed: those of its season, else those of the rule.
func (m *maker) stones() int {
	if m.Season != nil {
		return m.Season.Breath.Fine.Stones
	}
	return pool.StonesFor(pool.RuleOfAir(m.Frame.Surface))
}

// toolNeeds are meters and measures, one set for all beds.
func (m *maker) toolNeeds() []cost.Need {
	one := func(key string, name finding.Word) cost.Need {
		return cost.Need{Keys: []string{key}, Name: name, Quantity: 1, Unit: "each", Once: true, Group: "tools"}
	}
	out := []cost.Need{one("ph meter", "need.ph_meter"), one("ec meter", "need.ec_meter"), one("thermometer", "need.thermometer"), one("bucket", "need.bucket")}
	if m.Brief.Mix.Measure.Value.Spoons {
		out = append(out, one("measuring spoons", "need.spoons"))
	} else {
		scale := one("kitchen scale", "need.scale")
		scale.Args = finding.Args{"Step": m.Hand().Step} // the doses go by it
		out = append(out, scale)
	}
	if m.Water == nil || m.Water.MayHoldChlorine() {
		strips := one("chlorine test strips", "need.strips")
		strips.Unit = "pack"
		out = append(out, strips)
	}
	if p := m.Brief.Site.Pump; p.Given && p.Value != brief.NoPump && m.Frame != nil {
		stones := float64(m.stones() * m.Beds)
		pump := one("air pump", "need.air_pump")
		pump.Quantity = float64(m.Beds)
		stone := one("air stone", "need.air_stone")
		stone.Quantity = stones
		line := cost.Need{Keys: []string{"air line"}, Name: "need.air_line", Quantity: usual.AirLine * stones, Unit: "foot", Once: true, Group: "tools"}
		out = append(out, pump, stone, line)
	}
	return out
}
