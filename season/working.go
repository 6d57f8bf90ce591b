package season

import (
	"math"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/pool"
	"raftwright/sky"
	"raftwright/unit"
)

// Working gives the derivation of the figures of a month, in order, so that a
// reader can follow it by hand, and of the first batch.
func (s Season) Working() []finding.Step {
	w := &finding.Working{}
	s.bedSteps(w)
	for _, m := range s.Months {
		w.Of = []any{monthWord(m.Number)}
		s.sunSteps(w, m)
		s.waterSteps(w, m)
		s.poolSteps(w, m)
	}
	w.Of = nil
	s.airSteps(w)
	s.frostSteps(w)
	if len(s.Batches) > 0 {
		s.batchSteps(w, s.Batches[0])
	}
	if s.Steady != nil {
		s.steadySteps(w)
	}
	return w.Steps
}

// airSteps gives the oxygen of the bed in its warmest month with a grown crop.
func (s Season) airSteps(w *finding.Working) {
	b := s.Breath
	t, cs := s.Pool[s.Warmest-1].Usual.Max.Celsius(), b.Saturation.MilligramsPerLitre()
	head := s.crowd().Head
	roots := pool.Roots(head, s.Crop.Growth.DryMatter).Grams() * float64(s.Holes)
	w.Add("W_r", "work.season.roots", "holes*head*dry_matter/0.85*0.15/0.06", roots, "g", "root-oxygen",
		finding.In("holes", float64(s.Holes), ""), finding.In("head", head.Grams(), "g"), finding.In("dry_matter", float64(s.Crop.Growth.DryMatter), ""))
	w.Add("R", "work.season.demand", "0.25 W_r 2^((T - 22)/10)", b.Demand.Grams()*1000, "mg/h", "root-oxygen", finding.In("W_r", roots, "g"), finding.In("T", t, "C"))
	w.Add("h", "work.season.lasts", "V (Cs - 3)/R", b.Lasts.Hours(), "h", "root-oxygen", finding.In("V", s.volume().Litres(), "L"), finding.In("Cs", cs, "mg/L"), finding.In("R", b.Demand.Grams()*1000, "mg/h"))
	w.Add("q", "work.season.air", "R/(60 275 0.02 depth_ft 0.7 (Cs - 5)/9.09 1.024^(T - 20))", b.Fine.Flow.LitresPerMinute(), "L/min", "aeration",
		finding.In("R", b.Demand.Grams()*1000, "mg/h"), finding.In("depth_ft", s.Bed.Depth.Feet(), "ft"), finding.In("Cs", cs, "mg/L"), finding.In("T", t, "C"))
	w.Add("q_rule", "work.season.air_rule", "3 A", b.Fine.Rule.LitresPerMinute(), "L/min", "aeration", finding.In("A", s.Bed.Area.SquareMetres(), "m2"))
	w.Add("n", "work.season.stones", "work.season.stones_how", float64(b.Fine.Stones), "stones", "aeration",
		finding.In("q", b.Fine.Flow.LitresPerMinute(), "L/min"), finding.In("q_rule", b.Fine.Rule.LitresPerMinute(), "L/min"), finding.In("A", s.Bed.Area.SquareMetres(), "m2"))
}

// frostSteps gives the freeze dates as days of the year.
func (s Season) frostSteps(w *finding.Working) {
	for _, x := range []struct {
		name string
		day  sky.DayOfYear
	}{{"work.season.last_half", s.Frost.Last50}, {"work.season.last_ten", s.Frost.Last10},
		{"work.season.first_half", s.Frost.First50}, {"work.season.first_ten", s.Frost.First10}} {
		if x.day > 0 {
			w.Add("d", x.name, "work.season.freeze_how", float64(x.day), "day", "freeze-method", finding.In("T", s.Frost.Threshold.Celsius()-float64(s.Screen.Night), "C"))
		}
	}
}

// steadySteps gives the holes of a steady harvest.
func (s Season) steadySteps(w *finding.Working) {
	t := s.Steady
	w.Add("peak", "work.season.peak", "work.season.peak_how", float64(t.Peak), "holes", "own")
	w.Add("bound", "work.season.bound", "work.season.bound_how", float64(t.Bound), "holes", "own")
	w.Add("A_raft", "work.season.area", "peak/density + nursery/nursery density", t.Area.SquareMetres(), "m2", "own",
		finding.In("peak", float64(t.Peak), ""), finding.In("density", float64(s.Plants), "1/m2"), finding.In("nursery", float64(t.NurseryPeak), ""))
	w.Add("beds", "work.season.beds", "work.season.beds_how", float64(t.Beds), "beds", "own",
		finding.In("A_raft", t.Area.SquareMetres(), "m2"), finding.In("beds", float64(t.Count), ""), finding.In("A", s.Bed.Area.SquareMetres(), "m2"))
}

func (s Season) sunSteps(w *finding.Working, m Month) {
	y := s.Sky.Months[m.Number-1]
	j := sky.MidMonth(m.Number)
	w.Add("N", "work.season.day", "24 ws/pi, ws = acos(-tan(lat) tan(0.409 sin(2 pi J/365 - 1.39)))", m.Daylight.Hours(), "h", "fao56",
		finding.In("lat", s.Sky.Latitude.Degrees(), "deg"), finding.In("J", float64(j), ""))
	w.Add("Ra", "work.season.outside", "24*60/pi*0.0820*dr*(ws*sin(lat)*sin(d) + cos(lat)*cos(d)*sin(ws)), dr = 1 + 0.033 cos(2 pi J/365), d = 0.409 sin(2 pi J/365 - 1.39)", m.Ra.Megajoules(), "MJ/m2/day", "fao56",
		finding.In("lat", s.Sky.Latitude.Degrees(), "deg"), finding.In("J", float64(j), ""), finding.In("ws", math.Pi*m.Daylight.Hours()/24, "rad"))
	rule, inputs := "work.season.ground_how", []finding.Input(nil)
	switch m.Basis {
	case sky.Measured:
	case sky.FromSunshine:
		rule, inputs = "work.season.sunshine_how", []finding.Input{finding.In("n", s.Sky.Climate.Months[m.Number-1].Sunshine.Hours(), "h"), finding.In("N", m.Daylight.Hours(), "h")}
	default:
		k := sky.Inland
		if s.Sky.Climate.Coast {
			k = sky.Coast
		}
		rule, inputs = "work.season.range_how", []finding.Input{finding.In("k", k, ""), finding.In("Tmax", y.High.Celsius(), "C"), finding.In("Tmin", y.Low.Celsius(), "C")}
	}
	inputs = append(inputs, finding.In("Ra", m.Ra.Megajoules(), "MJ/m2/day"), finding.In("z", s.Sky.Elevation.Metres(), "m"))
	w.Add("Rs", "work.season.ground", rule, y.Radiation.Megajoules(), "MJ/m2/day", m.Basis.Source(), inputs...)
	w.Add("DLI", "work.season.light", "2.02 Rs cover", float64(m.Light), "mol/m2/day", "faust2018", finding.In("Rs", y.Radiation.Megajoules(), "MJ/m2/day"), finding.In("cover", float64(s.Screen.Light), ""))
}

func (s Season) waterSteps(w *finding.Working, m Month) {
	y := s.Sky.Months[m.Number-1]
	r := y.Reference
	w.Add("Rn", "work.season.net", "0.77 Rs - 4.903e-9 (Tmax_K^4 + Tmin_K^4)/2 (0.34 - 0.14 sqrt(ea)) (1.35 Rs/Rso - 0.35)", r.Net.Megajoules(), "MJ/m2/day", "fao56",
		finding.In("Rs", y.Radiation.Megajoules(), "MJ/m2/day"), finding.In("Rso", r.ClearSky.Megajoules(), "MJ/m2/day"), finding.In("Tmax", y.High.Celsius(), "C"), finding.In("Tmin", y.Low.Celsius(), "C"), finding.In("ea", float64(y.Vapour)/1000, "kPa"))
	w.Add("ET0", "work.season.et0", "(0.408 D (Rn - G) + g 900/(T + 273) u2 (es - ea))/(D + g (1 + 0.34 u2))", m.ET0.Millimetres(), "mm/day", "fao56",
		finding.In("D", r.Slope, "kPa/C"), finding.In("Rn", r.Net.Megajoules(), "MJ/m2/day"), finding.In("G", r.Ground.Megajoules(), "MJ/m2/day"), finding.In("g", r.Psychrometric, "kPa/C"), finding.In("T", y.Mean.Celsius(), "C"), finding.In("u2", float64(y.Wind), "m/s"), finding.In("es", float64(r.Saturation)/1000, "kPa"), finding.In("ea", float64(y.Vapour)/1000, "kPa"))
	w.Add("V", "work.season.thirst", "ET0 thirst Kc A", m.Water.Full.Litres(), "L/day", "fao56",
		finding.In("ET0", m.ET0.Millimetres(), "mm/day"), finding.In("thirst", float64(s.Screen.Thirst)*s.Thirst, ""), finding.In("Kc", s.Crop.Water.Full, ""), finding.In("A", s.Bed.Area.SquareMetres(), "m2"))
	w.Add("t_up", "work.season.topup", "25.4 A/V", m.Water.TopUp.Days(), "days", "practice", finding.In("A", s.Bed.Area.SquareMetres(), "m2"), finding.In("V", m.Water.Full.Litres(), "L/day"))
}

func (s Season) poolSteps(w *finding.Working, m Month) {
	p := s.Pool[m.Number-1]
	w.Add("Tw", "work.season.solution", "work.season.solution_how", p.Usual.Mean.Celsius(), "C", "lump", finding.In("T_air", m.Air.Celsius(), "C"), finding.In("V", s.volume().Litres(), "L"))
	w.Add("O2", "work.season.oxygen", "work.season.oxygen_how", p.Oxygen.MilligramsPerLitre(), "mg/L", "benson1984",
		finding.In("Tw", p.Usual.Mean.Celsius(), "C"), finding.In("P", s.Sky.Pressure.Pascals()/1000, "kPa"))
}

func (s Season) volume() unit.Volume {
	if s.Bed.Volume > 0 {
		return s.Bed.Volume
	}
	return s.Bed.Area.Deep(s.Bed.Depth)
}

// bedSteps gives what the heat balance takes of the bed, in a wind of 2 m/s.
func (s Season) bedSteps(w *finding.Working) {
	outside := 5.7 + 3.8*2*float64(s.Screen.Wind) + 5.7
	c := s.Bed.Conductances(pool.Films{Outside: outside, Gap: 28.7}, 0)
	wk := func(symbol, name, formula string, value float64, inputs ...finding.Input) {
		w.Add(symbol, name, formula, value, "W/K", "lump", append(inputs, finding.In("A", s.Bed.Area.SquareMetres(), "m2"), finding.In("depth", s.Bed.Depth.Metres(), "m"))...)
	}
	w.Add("C", "work.season.capacity", "V 998.2 kg/m3 4182 J/kg/K", c.Capacity, "J/K", "water-heat", finding.In("V", s.volume().Litres(), "L"))
	wk("UA_raft", "work.season.ua_raft", "A (1 - gap)/(R_foam + 1/h_out + 0.005)", c.Raft)
	wk("UA_gap", "work.season.ua_gap", "A gap 28.7", c.Gap)
	wk("UA_side", "work.season.ua_side", "rim*depth/(side/0.12 + 1/h_out + 0.005)", c.Sides,
		finding.In("rim", s.Bed.Rim.Metres(), "m"), finding.In("side", s.Bed.Side.Metres(), "m"), finding.In("h_out", outside, "W/m2/K"))
	wk("UA_floor", "work.season.ua_floor", "A/(R_floor + 1/12)", c.Floor)
	if !s.Bed.OffGround {
		w.Add("UA_ground", "work.season.ua_ground", "A/(R_floor + 1/3.2)", c.Ground, "W/K", "hillel1982", finding.In("A", s.Bed.Area.SquareMetres(), "m2"))
	}
	w.Add("tau", "work.season.tau", "C/(UA_raft + UA_gap + UA_side + UA_floor)", c.TimeConstant.Hours(), "h", "lump", finding.In("C", c.Capacity, "J/K"), finding.In("UA", c.Sum(), "W/K"))
}

func (s Season) batchSteps(w *finding.Working, b Batch) {
	raft := math.Round(b.Harvest.Sub(b.SetOut).Hours() / 24)
	nursery := math.Round(b.SetOut.Sub(b.Sow).Hours() / 24)
	dry := b.Fresh.Grams() * float64(s.Crop.Growth.DryMatter) / float64(s.Crop.Growth.Shoot)
	w.Add("t_e", "work.season.emerge", "work.season.emerge_how", s.Emerge.After.Days(), "days", "harrington1954")
	w.Add("t_n", "work.season.nursery", "work.season.nursery_how", nursery, "days", "own", finding.In("t_e", s.Emerge.After.Days(), "days"), finding.In("nursery", s.Crop.Nursery.Middle().Days(), "days"))
	w.Add("t_r", "work.season.raft", "work.season.raft_how", raft, "days", s.model(),
		finding.In("m", s.Target.Grams(), "g"), finding.In("plants", float64(s.Plants), "1/m2"), finding.In("seedling", s.Crop.Growth.Seedling.Grams(), "g dry"))
	w.Add("X", "work.season.dry", "work.season.dry_how", dry, "g", s.model(),
		finding.In("head", b.Fresh.Grams(), "g"), finding.In("work.season.dry_matter", float64(s.Crop.Growth.DryMatter), ""), finding.In("shoot", float64(s.Crop.Growth.Shoot), ""))
	w.Add("W", "work.season.water", "work.season.water_how", b.Water.Volume.Litres(), "L", "fao56", finding.In("plants", float64(b.Plants), ""), finding.In("A", s.Bed.Area.SquareMetres(), "m2"))
	w.Add("W_g", "work.season.water_growth", "work.season.water_growth_how", b.Water.Growth.Litres(), "L", "langenfeld2022", finding.In("plants", float64(b.Plants), ""), finding.In("X", dry, "g"))
	if b.Heads > 0 {
		w.Add("n", "work.season.plants", "work.season.plants_how", float64(b.Plants), "plants", "practice", finding.In("heads", float64(b.Heads), ""), finding.In("chance", promiseChance, ""))
	}
}

// model is the source of the growth model of the crop.
func (s Season) model() sourceID {
	if s.Crop.Growth.Model == crop.Expolinear {
		return "goudriaan1990"
	}
	return "vanhenten1994"
}
