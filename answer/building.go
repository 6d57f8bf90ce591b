package answer

import (
	"slices"

	"raftwright/cut"
	"raftwright/frame"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/raft"
	"raftwright/unit"
)

// Frame answers: does the vessel hold, what does it weigh, what to reinforce.
type Frame struct {
	Vessel        string      `json:"vessel"`
	LengthMM      float64     `json:"length_mm"`
	WidthMM       float64     `json:"width_mm"`
	DepthMM       float64     `json:"depth_mm"`
	Beds          int         `json:"beds"`
	VolumeL       float64     `json:"volume_L"`
	BrimVolumeL   float64     `json:"brim_volume_L"`
	BrimMM        float64     `json:"brim_mm"`
	PerInchL      float64     `json:"per_inch_L"`
	WaterMass     float64     `json:"water_mass_kg"`
	FullMass      float64     `json:"full_mass_kg"`
	FloorLoad     float64     `json:"floor_load_Pa"`
	FullFloorLoad float64     `json:"full_floor_load_Pa"`
	Thrust        float64     `json:"thrust_N_m"`
	Boards        []Board     `json:"boards"`
	BoardsBrim    []Board     `json:"boards_brim"`
	HoldsPerSide  int         `json:"holds_per_side"`
	HoldsPerEnd   int         `json:"holds_per_end"`
	HoldSpacing   float64     `json:"hold_spacing_mm"`
	HoldForce     float64     `json:"hold_force_N"`
	HoldForceBrim float64     `json:"hold_force_brim_N"`
	StakeEmbed    float64     `json:"stake_embedment_mm"` // 0 where floor ties hold
	CornerPull    float64     `json:"corner_pull_N"`
	Screws        int         `json:"screws_per_corner"`
	Level         Level       `json:"level"`
	Rain          []Rain      `json:"rain"`
	Notch         *Notch      `json:"notch,omitempty"`
	Liner         Liner       `json:"liner"`
	Dipstick      []Dip       `json:"dipstick"`
	FillTime      float64     `json:"fill_time_min"`
	Pieces        []WoodPiece `json:"pieces"`
	Screwing      []Screws    `json:"screws"`
	Checks        []Check     `json:"checks"`
	Choices       []Choice    `json:"choices"`  // the cheapest frames that hold, cheapest first
	Remedies      []Choice    `json:"remedies"` // what would mend this frame, with what it adds to the cost
	Verdict       string      `json:"verdict"`
}

// Choice is another way to build the frame.
type Choice struct {
	Remedy       string  `json:"remedy,omitempty"`
	SideBoard    string  `json:"side_board"`
	EndBoard     string  `json:"end_board"`
	Courses      int     `json:"boards"`
	HoldsPerSide int     `json:"holds_per_side"`
	Hold         string  `json:"hold"`
	DepthMM      float64 `json:"depth_mm"`
	Cost         Number  `json:"cost"` // null where boards have no price
	Currency     string  `json:"currency"`
}

func choiceOf(c plan.FrameChoice) Choice {
	hold := frame.TiePiece.String()
	if c.Holds == 0 {
		hold = "none"
	} else if c.Job.HoldBy == frame.Stake {
		hold = "stake"
	}
	var cost Number
	if c.Cost.Currency != "" {
		cost = number(c.Cost.Float())
	}
	return Choice{Remedy: string(c.Remedy), SideBoard: c.Job.SideBoard.String(), EndBoard: c.Job.EndBoard.String(), Courses: max(1, c.Job.Courses),
		HoldsPerSide: c.Holds, Hold: hold, DepthMM: c.Job.Depth.Millimetres(), Cost: cost, Currency: c.Cost.Currency}
}

// Board is how hard one board works.
type Board struct {
	Name            string  `json:"name"`
	Size            string  `json:"size"`
	SpanMM          float64 `json:"span_mm"`
	Bending         float64 `json:"bending_Pa"`
	BendingAllow    float64 `json:"bending_allow_Pa"`
	Shear           float64 `json:"shear_Pa"`
	ShearAllow      float64 `json:"shear_allow_Pa"`
	DeflectionShort float64 `json:"deflection_short_mm"`
	DeflectionLong  float64 `json:"deflection_long_mm"`
	DeflectionLimit float64 `json:"deflection_limit_mm"`
	Use             float64 `json:"use"`
	Governs         string  `json:"governs"`
}

// Level is what the ground's slope does.
type Level struct {
	Error      float64 `json:"error_mm"`
	Least      float64 `json:"least_depth_mm"`
	Greatest   float64 `json:"greatest_depth_mm"`
	ThrustGain float64 `json:"thrust_gain_share"`
}

// Rain is the bed after rain.
type Rain struct {
	Fall    float64 `json:"rain_mm"`
	Depth   float64 `json:"depth_mm"`
	Spilled float64 `json:"spilled_L"`
	Thrust  float64 `json:"thrust_share_of_brim"`
}

// Notch is the overflow.
type Notch struct {
	Sill  float64 `json:"sill_mm"`
	Width float64 `json:"width_mm"`
}

// Liner is the sheet.
type Liner struct {
	Length float64 `json:"length_mm"`
	Width  float64 `json:"width_mm"`
	Buy    string  `json:"buy"`
}

// Dip is a line of the dipstick table.
type Dip struct {
	Depth  float64 `json:"depth_mm"`
	Volume float64 `json:"volume_L"`
}

// WoodPiece is wood to cut for one bed.
type WoodPiece struct {
	Name   string  `json:"name"`
	Size   string  `json:"size"`
	Length float64 `json:"length_mm"`
	Count  int     `json:"count"`
}

// Screws are fasteners for one bed.
type Screws struct {
	Name   string  `json:"name"`
	Gauge  int     `json:"gauge"`
	Length float64 `json:"length_mm"`
	Count  int     `json:"count"`
}

// Check is a limit state with its share.
type Check struct {
	Name string  `json:"name"`
	Use  float64 `json:"use"`
}

func frameOf(p plan.Plan, words *lang.Printer) *Frame {
	if p.Frame == nil {
		return nil
	}
	d := p.Frame
	v := d.Job.Vessel
	length, width := v.Length, v.Width
	if v.Shape == frame.RoundShape {
		length, width = v.Diameter, v.Diameter
	}
	holds, spacing, force := d.HoldsPerSide()
	f := &Frame{
		Vessel: v.Shape.String(), LengthMM: length.Millimetres(), WidthMM: width.Millimetres(), DepthMM: d.Job.Depth.Millimetres(), Beds: p.Beds,
		VolumeL: d.Volume.Litres(), BrimVolumeL: d.BrimVolume.Litres(), BrimMM: d.Brim.Millimetres(), PerInchL: d.PerInch.Litres(),
		WaterMass: d.Mass.Kilograms(), FullMass: d.Floor.Mass.Kilograms(), FloorLoad: d.Floor.Water.Pascals(), FullFloorLoad: d.Floor.Full.Pascals(),
		Thrust: d.Thrust.NewtonsPerMetre(), Boards: each(d.Boards, boardOf), BoardsBrim: each(d.BrimBoards, boardOf),
		HoldsPerSide: holds, HoldsPerEnd: d.End.Holds, HoldSpacing: spacing.Millimetres(), HoldForce: force.Newtons(), HoldForceBrim: d.Side.HoldForceBrim.Newtons(),
		StakeEmbed: d.SideHold.Embed.Millimetres(), CornerPull: d.Corner.Pull.Newtons(), Screws: d.Corner.Screws,
		Level: Level{Error: d.Level.Error.Millimetres(), Least: d.Level.Least.Millimetres(), Greatest: d.Level.Greatest.Millimetres(), ThrustGain: float64(d.Level.ThrustGain)},
		Rain:  []Rain{}, Liner: Liner{Buy: d.Liner.Buy()}, FillTime: float64(d.HoseTime / unit.Minute),
		Pieces: each(d.Pieces, func(w frame.Piece) WoodPiece {
			return WoodPiece{Name: w.Role.String(), Size: w.Size.String(), Length: w.Length.Millimetres(), Count: w.Count}
		}),
		Screwing: each(d.Fasteners, func(s frame.Fastener) Screws {
			return Screws{Name: s.Kind.String(), Gauge: s.Gauge, Length: s.Length.Millimetres(), Count: s.Count}
		}),
		Checks: each(d.Checks, func(c frame.Check) Check {
			return Check{Name: words.Say(string(c.Name), nil), Use: float64(c.Use)}
		}),
		Verdict: d.Verdict.String(), Choices: each(p.FrameChoices, choiceOf), Remedies: each(p.FrameRemedies, choiceOf),
	}
	if d.Liner.Wanted {
		f.Liner.Length, f.Liner.Width = d.Liner.Length.Millimetres(), d.Liner.Width.Millimetres()
	}
	if d.Job.OpenToRain && d.Brim > d.Job.Depth {
		f.Rain = each(d.Rain[:], func(r frame.Rain) Rain {
			return Rain{Fall: r.Fall.Millimetres(), Depth: r.Depth.Millimetres(), Spilled: r.Spilled.Litres(), Thrust: float64(r.Share)}
		})
	}
	if n := d.Notch; n.Possible {
		f.Notch = &Notch{Sill: n.Sill.Millimetres(), Width: n.Width.Millimetres()}
	}
	step := unit.Inch
	if p.Metric() {
		step = unit.Centimetre
	}
	marks, _ := d.Dipstick(step) // no marks where there is none
	f.Dipstick = each(marks, func(m frame.Mark) Dip {
		return Dip{Depth: m.Depth.Millimetres(), Volume: m.Volume.Litres()}
	})
	return f
}

func boardOf(b frame.Board) Board {
	return Board{
		Name: b.Name(), Size: b.Size.String(), SpanMM: b.Span.Millimetres(), Bending: b.Bending.Pascals(), BendingAllow: b.BendingAllow.Pascals(),
		Shear: b.Shear.Pascals(), ShearAllow: b.ShearAllow.Pascals(), DeflectionShort: b.DeflectionShort.Millimetres(),
		DeflectionLong: b.DeflectionLong.Millimetres(), DeflectionLimit: b.DeflectionLimit.Millimetres(), Use: float64(b.Use), Governs: b.Governs.String(),
	}
}

// Raft answers: where the holes go and how it floats.
type Raft struct {
	Holes          int          `json:"holes"`
	Positions      [][2]float64 `json:"positions_mm"`
	LeastSpacing   float64      `json:"least_spacing_mm"`
	LeastEdge      float64      `json:"least_edge_mm"`
	UpperBound     int          `json:"upper_bound"`
	Pattern        string       `json:"pattern"`
	Width          float64      `json:"width_mm"`
	Length         float64      `json:"length_mm"`
	Round          bool         `json:"round"`
	Play           [2]float64   `json:"play_mm"`
	Draft          float64      `json:"draft_mm"`
	DraftGrown     float64      `json:"draft_grown_mm"`
	Freeboard      float64      `json:"freeboard_mm"`
	PotWet         float64      `json:"pot_wet_mm"`
	PotWetGrown    float64      `json:"pot_wet_grown_mm"`
	FoamMass       float64      `json:"foam_mass_kg"`
	GrownMass      float64      `json:"grown_mass_kg"`
	PerSquareMetre float64      `json:"plants_per_m2"`
	Sheets         int          `json:"sheets"`
	Pieces         int          `json:"pieces"`
}

func raftOf(p plan.Plan) *Raft {
	if p.Raft == nil {
		return nil
	}
	r := p.Raft
	return &Raft{
		Holes: r.Holes, Positions: each(r.Positions, millimetres), LeastSpacing: r.LeastSpacing.Millimetres(), LeastEdge: r.LeastEdge.Millimetres(),
		UpperBound: r.UpperBound, Pattern: string(r.Job.Pattern), Width: r.Size.X.Millimetres(), Length: r.Size.Y.Millimetres(), Round: r.Round,
		Play: [2]float64{r.Play.X.Millimetres(), r.Play.Y.Millimetres()}, Draft: r.Float.Draft.Millimetres(), DraftGrown: r.Float.DraftGrown.Millimetres(),
		Freeboard: r.Float.Freeboard.Millimetres(), PotWet: r.Dip.WetPlanted.Millimetres(), PotWetGrown: r.Dip.WetGrown.Millimetres(),
		FoamMass: r.Float.FoamMass.Kilograms(), GrownMass: r.Float.GrownMass.Kilograms(), PerSquareMetre: r.PerSquareMetre,
		Sheets: r.SheetsToBuy, Pieces: len(r.Pieces),
	}
}

func millimetres(q raft.Point) [2]float64 {
	return [2]float64{q.X.Millimetres(), q.Y.Millimetres()}
}

// Cut answers: which boards to buy and where to cut them. The objective is the
// price where boards are priced, else their number; lower_bound is in its unit.
type Cut struct {
	Boards        []CutBoard `json:"boards"`
	Bought        int        `json:"boards_bought"`
	Purchase      []Purchase `json:"purchase"`
	LowerBound    float64    `json:"lower_bound"`
	Optimal       bool       `json:"optimal"`
	WastePercent  float64    `json:"waste_percent"`
	LargestOffcut float64    `json:"largest_offcut_mm"`
	Kerf          float64    `json:"kerf_mm"`
	Price         float64    `json:"price"`
	Currency      string     `json:"currency"`
	Foam          []Foam     `json:"foam"` // sheets of foam, all beds
}

// Foam is a way to cut a sheet of foam, and how many are cut so.
type Foam struct {
	Length float64 `json:"sheet_length_mm"`
	Width  float64 `json:"sheet_width_mm"`
	Repeat int     `json:"repeat"`
	Parts  []Panel `json:"parts"`
}

// Panel is a piece of foam in its place on the sheet.
type Panel struct {
	X      float64 `json:"x_mm"`
	Y      float64 `json:"y_mm"`
	Length float64 `json:"length_mm"`
	Width  float64 `json:"width_mm"`
}

// CutBoard is one board with its cuts in order.
type CutBoard struct {
	Size   string    `json:"size,omitempty"`
	Stock  float64   `json:"stock_mm"`
	OnHand bool      `json:"on_hand,omitempty"`
	Cuts   []float64 `json:"cuts_mm"`
	Names  []string  `json:"names"`
	Waste  float64   `json:"waste_mm"`
}

// Purchase is how many boards of a length to buy.
type Purchase struct {
	Size  string  `json:"size,omitempty"`
	Stock float64 `json:"stock_mm"`
	Count int     `json:"count"`
	Price float64 `json:"price"` // of one
}

func cutOf(p plan.Plan) *Cut {
	b := p.Boards
	if b == nil {
		b = &plan.Boards{Currency: p.Currency()}
	}
	c := &Cut{Boards: []CutBoard{}, Purchase: []Purchase{}, Foam: []Foam{}, Bought: b.Bought(), Optimal: b.Optimal() || len(b.Jobs) == 0, WastePercent: b.Waste().Percents(),
		Price: b.Price().Float(), Currency: b.Currency}
	if p.Foam != nil {
		c.Foam = each(p.Foam.Layouts, func(l cut.Layout) Foam { return foamOf(p.Foam, l) })
	}
	for _, j := range b.Jobs {
		bound := float64(j.Plan.LowerBound)
		switch {
		case j.Plan.Priced:
			bound /= 100
		case b.Priced(): // boards without a price count in neither
			bound = 0
		}
		c.LowerBound += bound
		c.LargestOffcut = max(c.LargestOffcut, j.Plan.LargestOffcut.Millimetres())
		c.Kerf = j.Plan.Kerf.Millimetres()
		for _, x := range j.Plan.Boards {
			c.Boards = append(c.Boards, slices.Repeat([]CutBoard{{Size: j.Size, Stock: x.Stock.Millimetres(), OnHand: x.OnHand, Waste: x.Waste.Millimetres(),
				Cuts: each(x.Cuts, func(q cut.Cut) float64 { return q.Length.Millimetres() }), Names: each(x.Cuts, func(q cut.Cut) string { return q.Name })}}, x.Repeat)...)
		}
		for _, q := range j.Plan.Purchase {
			c.Purchase = append(c.Purchase, Purchase{Size: j.Size, Stock: q.Length.Millimetres(), Count: q.Buy, Price: float64(q.Price) / 100})
		}
	}
	return c
}

func foamOf(p *cut.SheetPlan, l cut.Layout) Foam {
	return Foam{Length: p.Length.Millimetres(), Width: p.Width.Millimetres(), Repeat: l.Repeat, Parts: each(l.Parts, func(q cut.Part) Panel {
		return Panel{X: q.X.Millimetres(), Y: q.Y.Millimetres(), Length: q.Length.Millimetres(), Width: q.Width.Millimetres()}
	})}
}
