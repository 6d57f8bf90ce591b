package pool

import (
	"math"

	"raftwright/chem"
	"raftwright/crop"
	"raftwright/finding"
	"raftwright/unit"
)

// Respiration gives the oxygen that a mass of fresh roots takes in an hour:
// 0.25 mg a gram at 22 °C, doubling each 10 °C (range 0.14 to 0.42, memory; the
// rate is a judgement). Gives mass an hour.
func Respiration(roots unit.Mass, t unit.Temperature) unit.Mass {
	return unit.Mass(roots.Grams()*0.25*math.Pow(2, (t.Celsius()-22)/10)) * unit.Milligram
}

// Roots gives the fresh roots of a plant from its fresh head: 15 % of the dry
// mass are roots, which hold 6 % dry matter; for a 150 g head at 5 % it gives
// 22 g (10 to 30 g is met, memory).
func Roots(head unit.Mass, dryMatter unit.Fraction) unit.Mass {
	return head * unit.Mass(float64(dryMatter)/0.85*0.15/0.06)
}

// Oxygen in the bulk of a bed, on the bands: 5 good, 3 to 5 watch (memory of handbooks).
// Under 2 plants stay lighter: lettuce grew as well at 2.1 as at 8.4 (goto1996), spinach as
// well in still water that fell to 1.9 and 2.8 as with air (lenzi2011), and lettuce at 1 to 2
// was lighter in every season (hernandez2017).
const (
	OxygenGood  = 5 * unit.MilligramPerLitre
	OxygenWatch = 3 * unit.MilligramPerLitre
	OxygenLoss  = 2 * unit.MilligramPerLitre
)

// StillHours gives how long the oxygen of a still bed lasts from one level to
// another, with no supply: V (C - Cmin)/(demand an hour). 0 when it is at or
// below the end already; a bed without demand lasts for ever (+Inf).
func StillHours(v unit.Volume, from, to unit.MassConcentration, demand unit.Mass) unit.Duration {
	if from <= to {
		return 0
	}
	if demand <= 0 {
		return unit.Duration(math.Inf(1))
	}
	return unit.Duration(float64((from-to).In(v))/float64(demand)) * unit.Hour
}

// SurfaceSupply gives the oxygen that comes through a still, open surface in an
// hour: kL A (Cs - C), kL 1 cm/h in still to light air (0.5 to 2; Cole & Caraco
// 1998, memory). Through the gaps of a raft it is nothing; under a raft that
// stands clear of the water it can feed a mature crop.
func SurfaceSupply(open unit.Area, saturation, level unit.MassConcentration) unit.Mass {
	return unit.Mass(surfaceRate * open.SquareMetres() * math.Max(0, float64(saturation-level)))
}

// StillLevel is as far down as roots draw the bulk of a still bed: the middle of the 1 to 2
// mg/L that were measured in still ponds with grown lettuce (hernandez2017). The balance of
// the gaps alone would go lower: starved roots take less.
const StillLevel = 1.5 * unit.MilligramPerLitre

// inWater is the share of the roots that breathes from the solution where air stands under
// the raft: the upper ones hang in moist air (own judgement; beds with an air space lost 0
// to 7 % of their weight where a floating raft lost 19 %, kratky2005).
const inWater = 0.5

// Held gives the oxygen that roots leave in the solution where as much comes in as they
// take: C = Cs - R/K, K of the open surface and of the air pumped through fine stones;
// never under StillLevel. A raft on blocks stands clear of the water: all of its surface
// takes up oxygen, and the upper roots breathe air.
func (b Bed) Held(roots unit.Mass, t unit.Temperature, p unit.Pressure, air unit.Flow, clear bool) unit.MassConcentration {
	b = b.full()
	cs, open := chem.OxygenSaturation(t, p), b.Area
	if roots <= 0 {
		return cs
	}
	if clear {
		roots *= inWater
	} else {
		open *= unit.Area(b.Gap)
	}
	k := surfaceRate*open.SquareMetres() + Fine.rate(b.Depth, t)*air.LitresPerMinute()/1000 // m3 an hour
	return min(cs, max(StillLevel, cs-unit.MassConcentration(float64(Respiration(roots, t))/k)))
}

// surfaceRate is kL of a still surface, m an hour (0.005 to 0.02; cole1998).
const surfaceRate = 0.01

// Stone is an air stone.
type Stone string

// Stones.
const (
	Fine   Stone = "fine"
	Coarse Stone = "coarse"
)

// transfer gives the share of the oxygen in the air that clean water takes at a
// depth: 2 % a foot from fine bubbles, 0.75 % from coarse ones (memory).
func (s Stone) transfer(depth unit.Length) float64 {
	perFoot := 0.0075
	if s == Fine {
		perFoot = 0.02
	}
	return perFoot * depth.Feet()
}

// rate gives the water, L an hour, that 1 L/min of air brings into balance with the air
// above it: 275 mg of oxygen a litre of air at a deficit of 9.09 mg/L, times the stone's
// transfer, times 0.7 in the field, times 1.024^(T - 20).
func (s Stone) rate(depth unit.Length, t unit.Temperature) float64 {
	return 60 * 275 * s.transfer(depth) * 0.7 / 9.09 * math.Pow(1.024, t.Celsius()-20)
}

// AirJob is what the air must do.
type AirJob struct {
	Demand      unit.Mass // oxygen an hour
	Hold        unit.MassConcentration
	Temperature unit.Temperature
	Pressure    unit.Pressure
	Depth       unit.Length // of the stone
	Area        unit.Area   // of the raft
	Stone       Stone
}

// Air is the air that a bed needs.
type Air struct {
	Flow    unit.Flow // computed
	Rule    unit.Flow // 3 L/min a m2 of raft, the middle of the rule of thumb
	Stones  int
	PerFlow unit.Mass // oxygen an hour for each L/min
	Enough  bool      // false: the air cannot hold that level
}

// Air gives the air flow that meets a demand while the solution is held at a level, and
// the stones for it or for the rule of thumb, whichever is more.
func (j AirJob) Air() Air {
	saturation := chem.OxygenSaturation(j.Temperature, j.Pressure)
	each := j.Stone.rate(j.Depth, j.Temperature) * (saturation - j.Hold).MilligramsPerLitre() // mg an hour for 1 L/min
	a := Air{Rule: RuleOfAir(j.Area), PerFlow: unit.Mass(math.Max(0, each)) * unit.Milligram}
	a.Enough = each > 0
	if a.Enough {
		a.Flow = unit.Flow(j.Demand.Grams()*1000/each) * unit.LitrePerMinute
	}
	a.Stones = StonesFor(a.Wanted())
	return a
}

// Wanted gives the air that is pumped: what the roots take or the rule of thumb, whichever is more.
func (a Air) Wanted() unit.Flow { return max(a.Flow, a.Rule) }

// RuleOfAir gives the air of the rule of thumb: 3 L/min for each m2 of raft (2 to 4, memory).
func RuleOfAir(raft unit.Area) unit.Flow {
	return unit.Flow(3*raft.SquareMetres()) * unit.LitrePerMinute
}

// StonesFor gives the air stones of about 4 L/min that a flow of air takes.
func StonesFor(air unit.Flow) int { return max(1, int(math.Ceil(air.LitresPerMinute()/4-1e-9))) }

// Breath is the bed's oxygen in one month with a grown crop.
type Breath struct {
	Saturation unit.MassConcentration
	Demand     unit.Mass     // an hour
	Lasts      unit.Duration // a still, saturated bed, down to 3 mg/L
	Gaps       unit.Mass     // an hour, through the gaps at 3 mg/L
	AirGap     unit.Mass     // an hour, if the whole raft stood clear of the water
	Fine       Air
	Coarse     Air
}

// Crowd is what breathes in the bed.
type Crowd struct {
	Plants    int
	Head      unit.Mass
	DryMatter unit.Fraction
}

// Breathe gives the oxygen of the bed with a crowd at a temperature, held at 5
// mg/L by air where there is a pump. Holding it at 3 where 5 is out of reach is
// not tried: Air says that it is not enough.
func (b Bed) Breathe(c Crowd, t unit.Temperature, p unit.Pressure) Breath {
	b = b.full()
	roots := Roots(c.Head, c.DryMatter) * unit.Mass(c.Plants)
	demand := Respiration(roots, t)
	cs := chem.OxygenSaturation(t, p)
	job := AirJob{Demand: demand, Hold: OxygenGood, Temperature: t, Pressure: p, Depth: b.Depth, Area: b.Area, Stone: Fine}
	coarse := job
	coarse.Stone = Coarse
	return Breath{
		Saturation: cs, Demand: demand, Lasts: StillHours(b.Volume, cs, OxygenWatch, demand),
		Gaps: SurfaceSupply(b.Area*unit.Area(b.Gap), cs, OxygenWatch), AirGap: SurfaceSupply(b.Area, cs, OxygenWatch),
		Fine: job.Air(), Coarse: coarse.Air(),
	}
}

// Findings of the solution.
const (
	FindWarmWatch finding.ID = "pool.warm_watch"
	FindWarmAct   finding.ID = "pool.warm_act"
	FindHotSpell  finding.ID = "pool.hot_spell"
	FindCold      finding.ID = "pool.cold"
	FindIce       finding.ID = "pool.ice"
	FindStill     finding.ID = "pool.still"
	FindAir       finding.ID = "pool.air"
	FindNoAir     finding.ID = "pool.no_air"
	FindAirGap    finding.ID = "pool.air_gap"
)

// AssumeModel says that the temperatures are a forecast without readings.
const AssumeModel finding.ID = "pool.model"

// Limits of the solution for leaf crops (solution-limits); what is too warm is the crop's.
const (
	ColdSlow = unit.Temperature(10)
	Freezing = unit.Temperature(0.5)
)

// Tell gives what the months of the solution have to say, each limit once, with
// how many months pass it and the worst of them. Months is which months count
// (those with a crop); all when none is marked. Too warm is what is so for the crop.
func Tell(months [12]Month, counts [12]bool, k crop.Crop) []finding.Finding {
	all := counts == [12]bool{}
	limit := func(value func(Month) unit.Temperature, beyond func(unit.Temperature) bool, worse func(a, b unit.Temperature) bool) (int, Month) {
		n, worst := 0, Month{}
		for _, m := range months {
			if v := value(m); (all || counts[m.Number-1]) && beyond(v) {
				if n == 0 || worse(v, value(worst)) {
					worst = m
				}
				n++
			}
		}
		return n, worst
	}
	mean := func(m Month) unit.Temperature { return m.Usual.Mean }
	hot := func(m Month) unit.Temperature { return m.HotMax }
	cold := func(m Month) unit.Temperature { return m.ColdMin }
	over := func(x unit.Temperature) func(unit.Temperature) bool {
		return func(t unit.Temperature) bool { return t > x }
	}
	under := func(x unit.Temperature) func(unit.Temperature) bool {
		return func(t unit.Temperature) bool { return t < x }
	}
	higher := func(a, b unit.Temperature) bool { return a > b }
	lower := func(a, b unit.Temperature) bool { return a < b }
	var out []finding.Finding
	add := func(id finding.ID, s finding.Severity, n int, worst Month, t unit.Temperature, more finding.Args) {
		args := finding.Args{"Count": n, "Month": finding.Word("month." + monthNumber(worst.Number)), "Solution": t}
		for k, v := range more {
			args[k] = v
		}
		out = append(out, finding.Finding{ID: id, Severity: s, Args: args, Figure: t, Source: "solution-limits"})
	}
	if n, w := limit(mean, over(k.Act()), higher); n > 0 {
		add(FindWarmAct, finding.Caution, n, w, mean(w), finding.Args{"Oxygen": w.Oxygen, "Limit": k.Act(), "Crop": k.Word()})
	} else if n, w := limit(mean, over(k.Watch()), higher); n > 0 {
		add(FindWarmWatch, finding.Note, n, w, mean(w), finding.Args{"Oxygen": w.Oxygen, "Limit": k.Watch()})
	}
	if n, w := limit(hot, over(k.Act()+2), higher); n > 0 {
		add(FindHotSpell, finding.Caution, n, w, hot(w), finding.Args{"Oxygen": w.OxygenHot})
	}
	if n, w := limit(cold, under(Freezing), lower); n > 0 {
		add(FindIce, finding.Caution, n, w, cold(w), nil)
	} else if n, w := limit(mean, under(ColdSlow), lower); n > 0 {
		add(FindCold, finding.Note, n, w, mean(w), finding.Args{"Limit": ColdSlow})
	}
	return out
}

func monthNumber(n int) string {
	return []string{"", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12"}[n]
}

// TellStill says how long a still bed lasts with a grown crop, when that is
// shorter than a day, and how much air it takes; where there is a pump, only the
// air. The flow is rounded up to what a pump's label says: whole litres a minute,
// tens of gallons an hour.
func TellStill(b Breath, t unit.Temperature, pump bool) []finding.Finding {
	if !pump && b.Lasts >= unit.Day {
		return nil
	}
	hours := unit.Duration(math.Max(1, math.Round(b.Lasts.Hours()))) * unit.Hour
	flow := math.Ceil(b.Fine.Wanted().LitresPerMinute() - 1e-9)
	args := finding.Args{"Lasts": hours, "Solution": t, "Liters": int(flow), "Count": b.Fine.Stones, "Oxygen": b.Saturation,
		"Gallons": 10 * int(math.Ceil(flow*60*float64(unit.Litre/unit.Gallon)/10-1e-9))}
	f := finding.Finding{ID: FindStill, Severity: finding.Note, Figure: hours, Source: "root-oxygen", Args: args}
	switch {
	case !b.Fine.Enough:
		f.ID, f.Severity = FindNoAir, finding.Caution
	case pump:
		f.ID = FindAir
	case b.Lasts < 12*unit.Hour:
		f.Severity = finding.Caution
	}
	return []finding.Finding{f}
}

// TellGap says what the air gap of a raft on blocks does: how much of what grown
// roots take comes through the whole surface once air stands on it.
func TellGap(b Breath) []finding.Finding {
	share := unit.Fraction(1)
	if wet := b.Demand * inWater; wet > b.AirGap {
		share = 1 - inWater + unit.Fraction(math.Floor(10*float64(b.AirGap/b.Demand))/10)
	}
	return []finding.Finding{{ID: FindAirGap, Severity: finding.Note, Figure: b.AirGap, Source: "kratky2005",
		Args: finding.Args{"Share": share, "All": share >= 1}}}
}
