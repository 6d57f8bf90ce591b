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
	out := s.bedSteps()
	for _, m := range s.Months {
		out = append(out, s.sunSteps(m)...)
		out = append(out, s.waterSteps(m)...)
		out = append(out, s.poolSteps(m)...)
	}
	out = append(out, s.airSteps()...)
	out = append(out, s.frostSteps()...)
	if len(s.Batches) > 0 {
		out = append(out, s.batchSteps(s.Batches[0])...)
	}
	if s.Steady != nil {
		out = append(out, s.steadySteps()...)
	}
	return out
}

// airSteps gives the oxygen of the bed in its warmest month with a grown crop.
func (s Season) airSteps() []finding.Step {
	b := s.Breath
	t, cs := s.Pool[s.Warmest-1].Usual.Max.Celsius(), b.Saturation.MilligramsPerLitre()
	head := s.crowd().Head
	roots := pool.Roots(head, s.Crop.Growth.DryMatter).Grams() * float64(s.Holes)
	return []finding.Step{
		{Symbol: "W_r", Name: "work.season.roots", Formula: "holes head dry_matter/0.85 0.15/0.06", Value: roots, Unit: "g", Source: "root-oxygen",
			Inputs: []finding.Input{in("holes", float64(s.Holes), ""), in("head", head.Grams(), "g"), in("dry_matter", float64(s.Crop.Growth.DryMatter), "")}},
		{Symbol: "R", Name: "work.season.demand", Formula: "0.25 W_r 2^((T - 22)/10)", Value: b.Demand.Grams() * 1000, Unit: "mg/h", Source: "root-oxygen",
			Inputs: []finding.Input{in("W_r", roots, "g"), in("T", t, "C")}},
		{Symbol: "h", Name: "work.season.lasts", Formula: "V (Cs - 3)/R", Value: b.Lasts.Hours(), Unit: "h", Source: "root-oxygen",
			Inputs: []finding.Input{in("V", s.volume().Litres(), "L"), in("Cs", cs, "mg/L"), in("R", b.Demand.Grams()*1000, "mg/h")}},
		{Symbol: "q", Name: "work.season.air", Formula: "R/(60 275 0.02 depth_ft 0.7 (Cs - 5)/9.09 1.024^(T - 20))", Value: b.Fine.Flow.LitresPerMinute(), Unit: "L/min", Source: "aeration",
			Inputs: []finding.Input{in("R", b.Demand.Grams()*1000, "mg/h"), in("depth_ft", s.Bed.Depth.Feet(), "ft"), in("Cs", cs, "mg/L"), in("T", t, "C")}},
		{Symbol: "q_rule", Name: "work.season.air_rule", Formula: "3 A", Value: b.Fine.Rule.LitresPerMinute(), Unit: "L/min", Source: "aeration",
			Inputs: []finding.Input{in("A", s.Bed.Area.SquareMetres(), "m2")}},
		{Symbol: "n", Name: "work.season.stones", Formula: "work.season.stones_how", Value: float64(b.Fine.Stones), Unit: "stones", Source: "aeration",
			Inputs: []finding.Input{in("q", b.Fine.Flow.LitresPerMinute(), "L/min"), in("q_rule", b.Fine.Rule.LitresPerMinute(), "L/min"), in("A", s.Bed.Area.SquareMetres(), "m2")}},
	}
}

// frostSteps gives the freeze dates as days of the year.
func (s Season) frostSteps() []finding.Step {
	const formula = "work.season.freeze_how"
	var out []finding.Step
	for _, x := range []struct {
		name string
		day  sky.DayOfYear
	}{{"work.season.last_half", s.Frost.Last50}, {"work.season.last_ten", s.Frost.Last10},
		{"work.season.first_half", s.Frost.First50}, {"work.season.first_ten", s.Frost.First10}} {
		if x.day > 0 {
			out = append(out, finding.Step{Symbol: "d", Name: x.name, Formula: formula, Inputs: []finding.Input{in("T", s.Frost.Threshold.Celsius()-float64(s.Screen.Night), "C")},
				Value: float64(x.day), Unit: "day", Source: "freeze-method"})
		}
	}
	return out
}

// steadySteps gives the holes of a steady harvest.
func (s Season) steadySteps() []finding.Step {
	t := s.Steady
	return []finding.Step{
		{Symbol: "peak", Name: "work.season.peak", Formula: "work.season.peak_how", Value: float64(t.Peak), Unit: "holes", Source: "own"},
		{Symbol: "bound", Name: "work.season.bound", Formula: "work.season.bound_how", Value: float64(t.Bound), Unit: "holes", Source: "own"},
		{Symbol: "A_raft", Name: "work.season.area", Formula: "peak/density + nursery/nursery density", Value: t.Area.SquareMetres(), Unit: "m2", Source: "own",
			Inputs: []finding.Input{in("peak", float64(t.Peak), ""), in("density", float64(s.Plants), "1/m2"), in("nursery", float64(t.NurseryPeak), "")}},
		{Symbol: "beds", Name: "work.season.beds", Formula: "work.season.beds_how", Value: float64(t.Beds), Unit: "beds", Source: "own",
			Inputs: []finding.Input{in("A_raft", t.Area.SquareMetres(), "m2"), in("beds", float64(t.Count), ""), in("A", s.Bed.Area.SquareMetres(), "m2")}},
	}
}

func in(symbol string, value float64, unit string) finding.Input {
	return finding.Input{Symbol: symbol, Value: value, Unit: unit}
}

func (s Season) sunSteps(m Month) []finding.Step {
	y := s.Sky.Months[m.Number-1]
	j := sky.MidMonth(m.Number)
	month := finding.Args{"Month": m.Number}
	steps := []finding.Step{
		{Symbol: "N", Name: "work.season.day", Args: month, Formula: "24 ws/pi, ws = acos(-tan(lat) tan(0.409 sin(2 pi J/365 - 1.39)))",
			Inputs: []finding.Input{in("lat", s.Sky.Latitude.Degrees(), "deg"), in("J", float64(j), "")}, Value: m.Daylight.Hours(), Unit: "h", Source: "fao56"},
		{Symbol: "Ra", Name: "work.season.outside", Args: month, Formula: "(24*60/pi) 0.0820 dr (ws sin(lat) sin(d) + cos(lat) cos(d) sin(ws))",
			Inputs: []finding.Input{in("lat", s.Sky.Latitude.Degrees(), "deg"), in("J", float64(j), "")}, Value: m.Ra.Megajoules(), Unit: "MJ/m2/day", Source: "fao56"},
	}
	rs := finding.Step{Symbol: "Rs", Name: "work.season.ground", Args: month, Value: y.Radiation.Megajoules(), Unit: "MJ/m2/day", Source: m.Basis.Source()}
	switch m.Basis {
	case sky.Measured:
		rs.Formula = "work.season.ground_how"
	case sky.FromSunshine:
		rs.Formula = "work.season.sunshine_how"
		rs.Inputs = []finding.Input{in("n", s.Sky.Climate.Months[m.Number-1].Sunshine.Hours(), "h"), in("N", m.Daylight.Hours(), "h")}
	default:
		k := sky.Inland
		if s.Sky.Climate.Coast {
			k = sky.Coast
		}
		rs.Formula = "work.season.range_how"
		rs.Inputs = []finding.Input{in("k", k, ""), in("Tmax", y.High.Celsius(), "C"), in("Tmin", y.Low.Celsius(), "C")}
	}
	rs.Inputs = append(rs.Inputs, in("Ra", m.Ra.Megajoules(), "MJ/m2/day"), in("z", s.Sky.Elevation.Metres(), "m"))
	return append(steps, rs, finding.Step{Symbol: "DLI", Name: "work.season.light", Args: month, Formula: "2.02 Rs cover",
		Inputs: []finding.Input{in("Rs", y.Radiation.Megajoules(), "MJ/m2/day"), in("cover", float64(s.Screen.Light), "")},
		Value:  float64(m.Light), Unit: "mol/m2/day", Source: "faust2018"})
}

func (s Season) waterSteps(m Month) []finding.Step {
	y := s.Sky.Months[m.Number-1]
	r := y.Reference
	month := finding.Args{"Month": m.Number}
	return []finding.Step{
		{Symbol: "Rn", Name: "work.season.net", Args: month, Formula: "0.77 Rs - 4.903e-9 (Tmax_K^4 + Tmin_K^4)/2 (0.34 - 0.14 sqrt(ea)) (1.35 Rs/Rso - 0.35)",
			Inputs: []finding.Input{in("Rs", y.Radiation.Megajoules(), "MJ/m2/day"), in("Rso", r.ClearSky.Megajoules(), "MJ/m2/day"), in("Tmax", y.High.Celsius(), "C"),
				in("Tmin", y.Low.Celsius(), "C"), in("ea", float64(y.Vapour)/1000, "kPa")}, Value: r.Net.Megajoules(), Unit: "MJ/m2/day", Source: "fao56"},
		{Symbol: "ET0", Name: "work.season.et0", Args: month, Formula: "(0.408 D (Rn - G) + g 900/(T + 273) u2 (es - ea))/(D + g (1 + 0.34 u2))",
			Inputs: []finding.Input{in("D", r.Slope, "kPa/C"), in("Rn", r.Net.Megajoules(), "MJ/m2/day"), in("G", r.Ground.Megajoules(), "MJ/m2/day"), in("g", r.Psychrometric, "kPa/C"),
				in("T", y.Mean.Celsius(), "C"), in("u2", float64(y.Wind), "m/s"), in("es", float64(r.Saturation)/1000, "kPa"), in("ea", float64(y.Vapour)/1000, "kPa")},
			Value: m.ET0.Millimetres(), Unit: "mm/day", Source: "fao56"},
		{Symbol: "V", Name: "work.season.thirst", Args: month, Formula: "ET0 thirst Kc A",
			Inputs: []finding.Input{in("ET0", m.ET0.Millimetres(), "mm/day"), in("thirst", float64(s.Screen.Thirst), ""), in("Kc", s.Crop.Water.Full, ""), in("A", s.Bed.Area.SquareMetres(), "m2")},
			Value:  m.Water.Full.Litres(), Unit: "L/day", Source: "fao56"},
		{Symbol: "t_up", Name: "work.season.topup", Args: month, Formula: "25.4 A/V", Inputs: []finding.Input{in("A", s.Bed.Area.SquareMetres(), "m2"), in("V", m.Water.Full.Litres(), "L/day")},
			Value: m.Water.TopUp.Days(), Unit: "days", Source: "practice"},
	}
}

func (s Season) poolSteps(m Month) []finding.Step {
	p := s.Pool[m.Number-1]
	month := finding.Args{"Month": m.Number}
	return []finding.Step{
		{Symbol: "Tw", Name: "work.season.solution", Args: month, Formula: "work.season.solution_how",
			Inputs: []finding.Input{in("T_air", m.Air.Celsius(), "C"), in("V", s.volume().Litres(), "L")}, Value: p.Usual.Mean.Celsius(), Unit: "C", Source: "lump"},
		{Symbol: "O2", Name: "work.season.oxygen", Args: month, Formula: "work.season.oxygen_how",
			Inputs: []finding.Input{in("Tw", p.Usual.Mean.Celsius(), "C"), in("P", s.Sky.Pressure.Pascals()/1000, "kPa")}, Value: p.Oxygen.MilligramsPerLitre(), Unit: "mg/L", Source: "benson1984"},
	}
}

func (s Season) volume() unit.Volume {
	if s.Bed.Volume > 0 {
		return s.Bed.Volume
	}
	return s.Bed.Area.Deep(s.Bed.Depth)
}

// bedSteps gives what the heat balance takes of the bed, in a wind of 2 m/s.
func (s Season) bedSteps() []finding.Step {
	c := s.Bed.Conductances(pool.Films{Outside: 5.7 + 3.8*2*float64(s.Screen.Wind) + 5.7, Gap: 28.7}, 0)
	wk := func(symbol, name, formula string, value float64) finding.Step {
		return finding.Step{Symbol: symbol, Name: name, Formula: formula, Value: value, Unit: "W/K", Source: "lump",
			Inputs: []finding.Input{in("A", s.Bed.Area.SquareMetres(), "m2"), in("depth", s.Bed.Depth.Metres(), "m")}}
	}
	return []finding.Step{
		{Symbol: "C", Name: "work.season.capacity", Formula: "V 998.2 kg/m3 4182 J/kg/K", Inputs: []finding.Input{in("V", s.volume().Litres(), "L")},
			Value: c.Capacity, Unit: "J/K", Source: "water-heat"},
		wk("UA_raft", "work.season.ua_raft", "A (1 - gap)/(R_foam + 1/h_out + 0.005)", c.Raft),
		wk("UA_gap", "work.season.ua_gap", "A gap 28.7", c.Gap),
		wk("UA_side", "work.season.ua_side", "rim depth/(side/0.12 + 1/h_out + 0.005)", c.Sides),
		wk("UA_floor", "work.season.ua_floor", "A/(R_floor + 1/12)", c.Floor),
		{Symbol: "tau", Name: "work.season.tau", Formula: "C/(UA_raft + UA_gap + UA_side + UA_floor)",
			Inputs: []finding.Input{in("C", c.Capacity, "J/K"), in("UA", c.Sum(), "W/K")}, Value: c.TimeConstant.Hours(), Unit: "h", Source: "lump"},
	}
}

func (s Season) batchSteps(b Batch) []finding.Step {
	raft := math.Round(b.Harvest.Sub(b.SetOut).Hours() / 24)
	nursery := math.Round(b.SetOut.Sub(b.Sow).Hours() / 24)
	dry := b.Fresh.Grams() * float64(s.Crop.Growth.DryMatter) / float64(s.Crop.Growth.Shoot)
	steps := []finding.Step{
		{Symbol: "t_e", Name: "work.season.emerge", Formula: "work.season.emerge_how",
			Value: s.Emerge.After.Days(), Unit: "days", Source: "harrington1954"},
		{Symbol: "t_n", Name: "work.season.nursery", Formula: "work.season.nursery_how",
			Inputs: []finding.Input{in("t_e", s.Emerge.After.Days(), "days"), in("nursery", s.Crop.Nursery.Middle().Days(), "days")}, Value: nursery, Unit: "days", Source: "own"},
		{Symbol: "t_r", Name: "work.season.raft", Formula: "work.season.raft_how",
			Inputs: []finding.Input{in("m", s.Target.Grams(), "g"), in("plants", float64(s.Plants), "1/m2"), in("seedling", s.Crop.Growth.Seedling.Grams(), "g dry")},
			Value:  raft, Unit: "days", Source: s.model()},
		{Symbol: "X", Name: "work.season.dry", Formula: "work.season.dry_how",
			Inputs: []finding.Input{in("head", b.Fresh.Grams(), "g"), in("dry matter", float64(s.Crop.Growth.DryMatter), ""), in("shoot", float64(s.Crop.Growth.Shoot), "")},
			Value:  dry, Unit: "g", Source: s.model()},
		{Symbol: "W", Name: "work.season.water", Formula: "work.season.water_how",
			Inputs: []finding.Input{in("plants", float64(b.Plants), ""), in("A", s.Bed.Area.SquareMetres(), "m2")}, Value: b.Water.Volume.Litres(), Unit: "L", Source: "fao56"},
		{Symbol: "W_g", Name: "work.season.water_growth", Formula: "work.season.water_growth_how",
			Inputs: []finding.Input{in("plants", float64(b.Plants), ""), in("X", dry, "g")}, Value: b.Water.Growth.Litres(), Unit: "L", Source: "langenfeld2022"},
	}
	if b.Heads > 0 {
		steps = append(steps, finding.Step{Symbol: "n", Name: "work.season.plants", Formula: "work.season.plants_how",
			Inputs: []finding.Input{in("heads", float64(b.Heads), ""), in("chance", promiseChance, "")}, Value: float64(b.Plants), Unit: "plants", Source: "practice"})
	}
	return steps
}

// model is the source of the growth model of the crop.
func (s Season) model() sourceID {
	if s.Crop.Growth.Model == crop.Expolinear {
		return "goudriaan1990"
	}
	return "vanhenten1994"
}
