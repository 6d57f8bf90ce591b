package answer

import (
	"fmt"
	"time"

	"raftwright/lang"
	"raftwright/plan"
	"raftwright/pool"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/unit"
)

// Season answers: light, heat, water use and crop windows by month; day of harvest.
type Season struct {
	Sun     []SunMonth `json:"sun"` // of the latitude, outside the atmosphere
	Months  []Month    `json:"months"`
	Windows []Window   `json:"windows"`
	Batches []Batch    `json:"batches"`
	Weeks   []Weeks    `json:"weeks"`
	Frost   []Frost    `json:"freezes"` // 0 C and -2.2 C
	Steady  *Steady    `json:"steady,omitempty"`
	Short   *Shortfall `json:"shortfall,omitempty"`
	Leaves  []Leave    `json:"absences"`
	Changes []Change   `json:"changes"`
	Crops   float64    `json:"crops_per_year"`
	Tasks   []Task     `json:"tasks"`
	Place   Place      `json:"place"`
	Station Station    `json:"station"` // of the table of places; empty where the climate comes from elsewhere
	Rests   Rests      `json:"rests_on"`
	Air     Air        `json:"air"`
	Warmth  Warmth     `json:"warmth"`
	Sprout  float64    `json:"emergence_days"`
}

// Place is where the climate comes from.
type Place struct {
	Origin    string  `json:"origin"` // typed, station, normals or weather
	Station   string  `json:"station"`
	Away      float64 `json:"away_km"`
	Rise      float64 `json:"station_above_m"`
	Elevation float64 `json:"elevation_m"`
	Years     float64 `json:"years"`
}

// Rests is how far each forecast may be off.
type Rests struct {
	Radiation  float64 `json:"radiation_band_share"`
	Solution   float64 `json:"solution_band_C"`
	Offset     float64 `json:"solution_offset_C"` // learned from readings
	Weight     float64 `json:"weight_band_share"`
	DailyWater float64 `json:"water_a_day_band_share"`
	CropWater  float64 `json:"water_a_crop_band_share"`
	Harvest    float64 `json:"harvest_band_days"` // on a crop of 35 days
	Freeze50   float64 `json:"freeze_50_band_days"`
	Freeze10   float64 `json:"freeze_10_band_days"`
}

// Air is the oxygen of the bed in its warmest month with a grown crop, and the
// air that keeps it at 5 mg/L.
type Air struct {
	Month      int     `json:"month"`
	Saturation float64 `json:"saturation_mg_L"`
	Demand     float64 `json:"demand_mg_h"`
	Lasts      Number  `json:"still_bed_h"` // down to 3 mg/L; null: nothing breathes
	AirGap     float64 `json:"through_an_air_gap_mg_h"`
	Gaps       float64 `json:"through_the_gaps_mg_h"`
	Fine       float64 `json:"fine_stones_L_min"`
	Coarse     float64 `json:"coarse_stones_L_min"`
	Rule       float64 `json:"rule_of_thumb_L_min"`
	Stones     int     `json:"stones"`
	Enough     bool    `json:"enough"` // false: no air holds 5 mg/L at that warmth and height
}

// Warmth is what a heater, ice and lamps take for one bed.
type Warmth struct {
	HeatTo   float64 `json:"heat_to_C"`
	CoolTo   float64 `json:"cool_to_C"`
	Price    float64 `json:"price_per_kWh"`
	Currency string  `json:"currency"`
	Months   []Burn  `json:"months"`
}

// Burn is what a month takes, in the days with a crop.
type Burn struct {
	Month        int     `json:"month"`
	Heater       float64 `json:"heater_W"`
	HeaterEnergy float64 `json:"heater_kWh"`
	HeaterCost   float64 `json:"heater_cost"`
	Ice          float64 `json:"ice_kg_day"`
	Lamps        float64 `json:"lamps_h_day"`
	LampLight    float64 `json:"lamps_mol_m2_day"`
	LampEnergy   float64 `json:"lamps_kWh"`
	LampCost     float64 `json:"lamps_cost"`
}

// Weeks is a crop through the year: for each of 52 weeks from 1 January what
// keeps it off the raft, "" where it may go on.
type Weeks struct {
	Crop   string   `json:"crop"`
	Limits []string `json:"limits"`
}

// Month is the bed in one month.
type Month struct {
	Month    int     `json:"month"`
	Ra       float64 `json:"ra_MJ_m2_day"`
	Daylight float64 `json:"daylight_h"`
	ET0      float64 `json:"et0_mm_day"`
	DLI      float64 `json:"dli_mol_m2_day"`
	Air      float64 `json:"air_C"`
	Pool     float64 `json:"pool_C"`
	PoolMax  float64 `json:"pool_max_C"`
	PoolHot  float64 `json:"pool_hot_spell_C"`
	PoolCold float64 `json:"pool_cold_night_C"`
	Oxygen   float64 `json:"oxygen_mg_L"` // that the solution can hold
	Held     float64 `json:"oxygen_at_roots_mg_L"`
	Thirst   float64 `json:"water_L_day"`
	Drop     float64 `json:"level_drop_mm_day"`
	Shade    float64 `json:"shade_share"`
	Young    float64 `json:"water_young_L_day"`
	TopUp    Number  `json:"days_between_top_ups"`
	Rs       float64 `json:"radiation_MJ_m2_day"`
	Basis    string  `json:"radiation_from"` // measured, sunshine or temperature
	Harg     float64 `json:"et0_by_temperature_mm_day"`
	Lasts    Number  `json:"still_bed_h"`
	AirFlow  float64 `json:"air_L_min"`
	Lamps    float64 `json:"lamps_h_day"`
	Planted  bool    `json:"planted"`
}

// SunMonth is the sun of one month, which the latitude alone tells.
type SunMonth struct {
	Month    int     `json:"month"`
	Ra       float64 `json:"ra_MJ_m2_day"`
	Daylight float64 `json:"daylight_h"`
}

// Window is when a crop may go on the raft, as month and day.
type Window struct {
	Crop  string `json:"crop"`
	From  string `json:"from"`
	To    string `json:"to"`
	Limit string `json:"limit"`
	Opens string `json:"limit_before"`
	// The part in which a killing freeze comes in one year of ten or less.
	SafeFrom string `json:"safe_from"`
	SafeTo   string `json:"safe_to"`
}

// Batch is one sowing.
type Batch struct {
	Sow       string   `json:"sow"`
	SetOut    string   `json:"transplant"`
	Move      string   `json:"move_to_last_spacing"` // "" without a nursery spacing
	Harvest   string   `json:"harvest"`
	Earliest  string   `json:"harvest_earliest"`
	Latest    string   `json:"harvest_latest"`
	Plants    int      `json:"plants"`
	Fresh     float64  `json:"fresh_g_plant"` // 0 where the feed is too little for a forecast, as the next
	Water     float64  `json:"water_L"`
	ByGrowth  float64  `json:"water_by_growth_L"`
	HoleSpans [][2]int `json:"holes"`
	Nursery   [][2]int `json:"nursery_holes"`
	Number    int      `json:"number"`
	Heads     int      `json:"heads"` // promised, of all beds; 0 without a schedule
	Low       float64  `json:"fresh_low_g_plant"`
	High      float64  `json:"fresh_high_g_plant"`
	Ready     bool     `json:"ready"`
	Fetched   bool     `json:"seedlings_fetched"` // bought or raised elsewhere
}

// Frost is the freeze dates at the plants by chance, as month and day; "" where
// it never or always freezes.
type Frost struct {
	Threshold float64 `json:"threshold_C"`
	Last10    string  `json:"last_10_percent"`
	Last50    string  `json:"last_50_percent"`
	Last90    string  `json:"last_90_percent"`
	First10   string  `json:"first_10_percent"`
	First50   string  `json:"first_50_percent"`
	First90   string  `json:"first_90_percent"`
	Never     bool    `json:"never"`
	Always    bool    `json:"always"`
}

func frostOf(f sky.FreezeDates) Frost {
	return Frost{Threshold: f.Threshold.Celsius(), Last10: monthDay(f.Last10), Last50: monthDay(f.Last50), Last90: monthDay(f.Last90),
		First10: monthDay(f.First10), First50: monthDay(f.First50), First90: monthDay(f.First90), Never: f.Never, Always: f.Always}
}

// Steady is how the wanted harvest fits.
type Steady struct {
	HeadsPerWeek float64 `json:"heads_per_week"`
	Carries      float64 `json:"one_raft_carries_per_week"`
	Peak         int     `json:"holes_in_use_at_most"`
	Bound        int     `json:"holes_in_use_at_least"` // no plan with these harvests needs fewer
	Proven       bool    `json:"proven"`
	Holes        int     `json:"holes"`
	Beds         int     `json:"beds"`
	Chance       float64 `json:"chance"`
	Harvests     int     `json:"harvests"`
	Missed       int     `json:"harvests_missed"`
	LeastHead    float64 `json:"least_head_g"`
	Nursery      int     `json:"nursery_holes_in_use_at_most"`
	Area         float64 `json:"raft_in_use_at_most_m2"`
	Skipped      int     `json:"weeks_without_a_day"`
	Spare        int     `json:"plants_to_spare"`
}

// Shortfall is what of the wanted harvest cannot be had.
type Shortfall struct {
	Asked    float64          `json:"asked_per_week"`
	Possible float64          `json:"possible_per_week"`
	Reason   string           `json:"reason"` // of most of what is missing: room, cold, heat, light or away
	Wanted   int              `json:"heads_wanted"`
	Got      int              `json:"heads_possible"`
	Beds     int              `json:"beds_for_all"` // as heavy as these
	Months   []ShortfallMonth `json:"months"`
	Helps    []Help           `json:"helps"`
}

// Help is what was computed to bring more of the harvest, everything else as it is.
type Help struct {
	What     string   `json:"what"`     // kind, crop, spacing, shade, cover, heater, lamps, beds or two (together)
	Crop     string   `json:"crop"`     // the other kind or crop, else ""
	Together []string `json:"together"` // the two of them
	Possible float64  `json:"possible_per_week"`
	Got      int      `json:"heads_possible"`
	Cost     Number   `json:"cost"`     // 0 where nothing is bought; null for another bed like this one, and where no price is known
	Currency string   `json:"currency"` // "" where there is no cost
	Text     string   `json:"text"`
}

func helpOf(h plan.Help, words *lang.Printer) Help {
	out := Help{What: string(h.Way), Crop: h.Crop, Possible: h.PerWeek, Got: h.Got, Text: words.Say(string(h.Way.Finding()), h.Args),
		Together: each(h.Of, func(x plan.Help) string { return string(x.Way) })}
	switch {
	case h.Cost != nil:
		out.Cost, out.Currency = number(h.Cost.Float()), h.Cost.Currency
	case h.Way == plan.AnotherKind || h.Way == plan.AnotherCrop:
		out.Cost = number(0)
	}
	return out
}

// ShortfallMonth is what of one month's harvest cannot be had.
type ShortfallMonth struct {
	Month  string `json:"month"`
	Wanted int    `json:"heads_wanted"`
	Got    int    `json:"heads_possible"`
	Reason string `json:"reason"` // "" where nothing is missing
}

// Leave is a time longer than a weekend in which nobody comes.
type Leave struct {
	From     string  `json:"from"`
	To       string  `json:"to"`
	Plants   int     `json:"plants"` // that stand on one raft
	Drinks   float64 `json:"water_L"`
	Drop     float64 `json:"level_drop_mm"`
	Drawable float64 `json:"may_be_drawn_mm"`
	Trays    bool    `json:"seedlings_wait"`
}

func shortOf(p plan.Plan, words *lang.Printer) *Shortfall {
	s := p.Season
	x := s.Short
	if x == nil {
		return nil
	}
	return &Shortfall{Asked: x.Asked, Possible: x.Had, Reason: string(x.Reason), Wanted: x.Wanted, Got: x.Got, Beds: s.Steady.Beds, Helps: each(p.Helps, func(h plan.Help) Help { return helpOf(h, words) }),
		Months: each(x.Months, func(m season.ShortMonth) ShortfallMonth {
			return ShortfallMonth{Month: m.Month.Format("2006-01"), Wanted: m.Wanted, Got: m.Got, Reason: string(m.Reason)}
		})}
}

func leaveOf(l season.Leave) Leave {
	return Leave{From: iso(l.From), To: iso(l.To), Plants: l.Plants, Drinks: l.Drinks.Litres(), Drop: l.Drop.Millimetres(), Drawable: l.Drawable.Millimetres(), Trays: l.Trays}
}

// Change is what a change of the bed does to the solution in its warmest month.
type Change struct {
	Way  string  `json:"way"`
	Mean float64 `json:"mean_C"`
	Max  float64 `json:"warmest_C"`
	Hot  float64 `json:"hot_spell_C"`
}

// Task is something to do on a day.
type Task struct {
	Day  string `json:"day"`
	Kind string `json:"kind"`
	Text string `json:"text"`
}

// seasonOf gives the season: the sun where the latitude is known, and everything
// else where a climate is.
func seasonOf(p plan.Plan, words *lang.Printer) *Season {
	s := p.Season
	if s == nil {
		return &Season{Sun: sunOf(p), Months: []Month{}, Windows: []Window{}, Batches: []Batch{}, Weeks: []Weeks{}, Tasks: []Task{}, Changes: []Change{}, Leaves: []Leave{}, Frost: []Frost{},
			Air: Air{Lasts: number(0)}, Warmth: Warmth{Months: []Burn{}}}
	}
	c, r := s.Sky.Climate, s.Calendar
	out := &Season{Sun: sunOf(p), Crops: s.CropsPerYear, Frost: each([]sky.FreezeDates{s.Frost, s.Hard}, frostOf), Sprout: s.Emerge.After.Days(),
		Place:   Place{Origin: string(c.Origin), Station: c.Name, Away: c.Away.Metres() / 1000, Rise: c.Rise.Metres(), Elevation: s.Sky.Elevation.Metres(), Years: c.Years},
		Station: stationOf(c),
		Rests: Rests{Radiation: float64(r.Radiation), Solution: float64(r.Solution), Offset: float64(s.Offset), Weight: float64(r.Weight), DailyWater: float64(r.DailyWater),
			CropWater: float64(r.CropWater), Harvest: r.Harvest.Days(), Freeze50: sky.FreezeBand50.Days(), Freeze10: sky.FreezeBand10.Days()},
		Air: airOf(s), Warmth: warmthOf(p), Short: shortOf(p, words), Leaves: each(s.Leaves, leaveOf),
		Changes: each(s.Changes, func(c pool.Change) Change {
			return Change{Way: words.Say(string(c.Way), nil), Mean: float64(c.Mean), Max: float64(c.Max), Hot: float64(c.HotMax)}
		}),
		Months:  make([]Month, len(s.Months)),
		Windows: each(s.Windows, windowOf),
		Weeks: each(s.Weeks, func(y season.CropYear) Weeks {
			return Weeks{Crop: y.Crop, Limits: each(y.Weeks[:], func(l season.Limit) string { return string(l) })}
		}),
		Batches: each(s.Batches, func(b season.Batch) Batch { return batchOf(b, float64(r.Weight), p.Starves()) }),
		Tasks: each(s.Tasks, func(t season.Task) Task {
			return Task{Day: iso(t.Day), Kind: string(t.Kind), Text: words.Say(string(t.Kind.Word()), t.Args)}
		}),
	}
	for i, m := range s.Months {
		out.Months[i] = monthIn(m, s.Sky.Months[i])
	}
	if t := s.Steady; t != nil {
		out.Steady = &Steady{HeadsPerWeek: t.HeadsPerWeek, Carries: t.Carries, Peak: t.Peak, Bound: t.Bound, Proven: t.Proven, Holes: t.Holes, Beds: t.Beds,
			Chance: float64(t.Chance), Harvests: t.Harvests, Missed: t.Missed, LeastHead: t.Least.Grams(), Nursery: t.NurseryPeak, Area: t.Area.SquareMetres(),
			Skipped: t.Skipped, Spare: t.Spare}
	}
	return out
}

// sunOf gives the sun of each month where the latitude is known, with or without
// a climate.
func sunOf(p plan.Plan) []SunMonth {
	out := []SunMonth{}
	if l := p.Brief.Site.Latitude; l.Given {
		for m := 1; m <= 12; m++ {
			s := sky.SunOn(l.Value, sky.MidMonth(m))
			out = append(out, SunMonth{Month: m, Ra: s.Ra.Megajoules(), Daylight: s.Daylight.Hours()})
		}
	}
	return out
}

func monthIn(m season.Month, open sky.MonthMean) Month {
	out := Month{Month: m.Number, Ra: m.Ra.Megajoules(), Daylight: m.Daylight.Hours(), ET0: m.ET0.Millimetres(), DLI: float64(m.Light), Air: m.Air.Celsius(),
		Pool: m.Pool.Celsius(), PoolMax: m.PoolMax.Celsius(), PoolHot: m.PoolHot.Celsius(), PoolCold: m.PoolCold.Celsius(), Oxygen: m.Oxygen.MilligramsPerLitre(), Held: m.Held.MilligramsPerLitre(),
		Thirst: m.Water.Full.Litres(), Drop: m.Water.Drop.Millimetres(), Shade: float64(m.Shade), Young: m.Water.Young.Litres(), Rs: open.Radiation.Megajoules(),
		Basis: string(m.Basis), Harg: open.Hargreaves.Millimetres(), Lasts: number(m.Breath.Lasts.Hours()),
		AirFlow: m.Breath.Fine.Wanted().LitresPerMinute(), Lamps: m.Lamp.On.Hours(), Planted: m.Planted}
	if m.Water.Drop > 0 { // else the bed drinks nothing
		out.TopUp = number(m.Water.TopUp.Days())
	}
	return out
}

// batchOf tells of a batch; of its weight nothing where the feed is too little.
func batchOf(b season.Batch, band float64, starves bool) Batch {
	g := b.Fresh.Grams()
	if starves {
		g = 0
	}
	return Batch{Sow: iso(b.Sow), SetOut: iso(b.SetOut), Move: iso(b.Move), Harvest: iso(b.Harvest), Earliest: iso(b.Earliest), Latest: iso(b.Latest), Plants: b.Plants,
		Fresh: g, Water: b.Water.Volume.Litres(), ByGrowth: b.Water.Growth.Litres(), HoleSpans: each(b.Holes, spanOf),
		Nursery: each(b.Nursery, spanOf), Number: b.Number, Heads: b.Heads, Low: g * (1 - band), High: g * (1 + band), Ready: b.Ready, Fetched: b.Fetched}
}

func spanOf(s season.Span) [2]int { return [2]int{s.From, s.To} }

func airOf(s *season.Season) Air {
	b := s.Breath
	milligrams := func(m unit.Mass) float64 { return m.Grams() * 1000 }
	return Air{Month: s.Warmest, Saturation: b.Saturation.MilligramsPerLitre(), Demand: milligrams(b.Demand), Lasts: number(b.Lasts.Hours()),
		AirGap: milligrams(b.AirGap), Gaps: milligrams(b.Gaps), Fine: b.Fine.Flow.LitresPerMinute(), Coarse: b.Coarse.Flow.LitresPerMinute(),
		Rule: b.Fine.Rule.LitresPerMinute(), Stones: b.Fine.Stones, Enough: b.Fine.Enough}
}

func warmthOf(p plan.Plan) Warmth {
	w := p.Warmth
	if w == nil {
		return Warmth{Months: []Burn{}}
	}
	out := Warmth{HeatTo: w.HeatTo.Celsius(), CoolTo: w.CoolTo.Celsius(), Price: w.PowerPrice.Float(), Currency: w.PowerPrice.Currency, Months: make([]Burn, len(w.Months))}
	for i, x := range w.Months {
		light := sky.Lamp(p.Brief.Site.Lamp.Level.Value, p.Season.Months[i].Lamp.On)
		out.Months[i] = Burn{Month: i + 1, Heater: float64(x.Heater), HeaterEnergy: x.HeaterEnergy.KilowattHours(), HeaterCost: w.Price(x.HeaterEnergy).Float(),
			Ice: x.Ice.Kilograms(), Lamps: x.Lamps.Hours(), LampLight: float64(light), LampEnergy: x.LampEnergy.KilowattHours(), LampCost: w.Price(x.LampEnergy).Float()}
	}
	return out
}

func windowOf(w season.Window) Window {
	return Window{Crop: w.Crop, From: monthDay(w.From), To: monthDay(w.To), Limit: string(w.Limit), Opens: string(w.Before), SafeFrom: monthDay(w.SafeFrom), SafeTo: monthDay(w.SafeTo)}
}

func monthDay(d sky.DayOfYear) string {
	if d == 0 {
		return ""
	}
	m, day := d.Month()
	return fmt.Sprintf("%02d-%02d", m, day)
}

func iso(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02")
}

// stationOf gives the station of the table that a climate comes from.
func stationOf(c sky.Climate) Station {
	if c.ID == "" || c.Place.Elevation == nil {
		return Station{}
	}
	height := *c.Place.Elevation
	if !c.StationHeight {
		height += c.Rise
	}
	return Station{ID: c.ID, Name: c.Name, Away: c.Away.Metres() / 1000, Height: height.Metres()}
}
