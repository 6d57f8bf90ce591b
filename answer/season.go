package answer

import (
	"fmt"
	"math"
	"time"

	"raftwright/lang"
	"raftwright/plan"
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
	Changes []Change   `json:"changes"`
	Crops   float64    `json:"crops_per_year"`
	Tasks   []Task     `json:"tasks"`
	Place   Place      `json:"place"`
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
	Price    Number  `json:"price_per_kWh"`
	Currency string  `json:"currency"`
	Months   []Burn  `json:"months"`
}

// Burn is what a month takes, in the days with a crop.
type Burn struct {
	Month        int     `json:"month"`
	Heater       float64 `json:"heater_W"`
	HeaterEnergy float64 `json:"heater_kWh"`
	HeaterCost   Number  `json:"heater_cost"`
	Ice          float64 `json:"ice_kg_day"`
	Lamps        float64 `json:"lamps_h_day"`
	LampLight    float64 `json:"lamps_mol_m2_day"`
	LampEnergy   float64 `json:"lamps_kWh"`
	LampCost     Number  `json:"lamps_cost"`
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
	Oxygen   float64 `json:"oxygen_mg_L"`
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
	Fresh     float64  `json:"fresh_g_plant"`
	Water     float64  `json:"water_L"`
	ByGrowth  float64  `json:"water_by_growth_L"`
	Limit     string   `json:"limit"`
	HoleSpans [][2]int `json:"holes"`
	Nursery   [][2]int `json:"nursery_holes"`
	Number    int      `json:"number"`
	Heads     int      `json:"heads"` // promised, of all beds; 0 without a schedule
	Low       float64  `json:"fresh_low_g_plant"`
	High      float64  `json:"fresh_high_g_plant"`
	Ready     bool     `json:"ready"`
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
	return Frost{f.Threshold.Celsius(), monthDay(f.Last10), monthDay(f.Last50), monthDay(f.Last90), monthDay(f.First10), monthDay(f.First50), monthDay(f.First90), f.Never, f.Always}
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

func seasonOf(p plan.Plan, words *lang.Printer) *Season {
	s := p.Season
	if s == nil {
		return nil
	}
	out := noSeason(p)
	out.Crops, out.Frost, out.Sprout = s.CropsPerYear, []Frost{frostOf(s.Frost), frostOf(s.Hard)}, s.Emerge.After.Days()
	c := s.Sky.Climate
	out.Place = Place{string(c.Origin), c.Name, c.Away.Metres() / 1000, c.Rise.Metres(), s.Sky.Elevation.Metres(), c.Years}
	r := s.Calendar
	out.Rests = Rests{float64(r.Radiation), float64(r.Solution), float64(s.Offset), float64(r.Weight), float64(r.DailyWater), float64(r.CropWater),
		r.Harvest.Days(), sky.FreezeBand50.Days(), sky.FreezeBand10.Days()}
	out.Air, out.Warmth = airOf(s), warmthOf(p)
	for _, c := range s.Changes {
		out.Changes = append(out.Changes, Change{words.Say(string(c.Way), nil), float64(c.Mean), float64(c.Max), float64(c.HotMax)})
	}
	for i, m := range s.Months {
		out.Months = append(out.Months, monthIn(m, s.Sky.Months[i]))
	}
	for _, w := range s.Windows {
		out.Windows = append(out.Windows, windowOf(w))
	}
	for _, y := range s.Weeks {
		w := Weeks{y.Crop, make([]string, 0, len(y.Weeks))}
		for _, l := range y.Weeks {
			w.Limits = append(w.Limits, string(l))
		}
		out.Weeks = append(out.Weeks, w)
	}
	for _, b := range s.Batches {
		out.Batches = append(out.Batches, batchOf(b, float64(r.Weight)))
	}
	if t := s.Steady; t != nil {
		out.Steady = &Steady{t.HeadsPerWeek, t.Carries, t.Peak, t.Bound, t.Proven, t.Holes, t.Beds, float64(t.Chance), t.Harvests, t.Missed, t.Least.Grams(),
			t.NurseryPeak, t.Area.SquareMetres(), t.Skipped, t.Spare}
	}
	for _, t := range s.Tasks {
		out.Tasks = append(out.Tasks, Task{iso(t.Day), string(t.Kind), words.Say(string(t.Kind.Word()), t.Args)})
	}
	return out
}

// noSeason is a season of which nothing is known.
func noSeason(p plan.Plan) *Season {
	return &Season{Sun: sunOf(p), Months: []Month{}, Windows: []Window{}, Batches: []Batch{}, Weeks: []Weeks{}, Tasks: []Task{}, Changes: []Change{}, Frost: []Frost{},
		Warmth: Warmth{Months: []Burn{}}}
}

// sunOf gives the sun of each month where the latitude is known, with or without
// a climate.
func sunOf(p plan.Plan) []SunMonth {
	out := []SunMonth{}
	if l := p.Brief.Site.Latitude; l.Given {
		for m := 1; m <= 12; m++ {
			s := sky.SunOn(l.Value, sky.MidMonth(m))
			out = append(out, SunMonth{m, s.Ra.Megajoules(), s.Daylight.Hours()})
		}
	}
	return out
}

func monthIn(m season.Month, open sky.MonthMean) Month {
	return Month{m.Number, m.Ra.Megajoules(), m.Daylight.Hours(), m.ET0.Millimetres(), float64(m.Light), m.Air.Celsius(),
		m.Pool.Celsius(), m.PoolMax.Celsius(), m.PoolHot.Celsius(), m.PoolCold.Celsius(), m.Oxygen.MilligramsPerLitre(), m.Water.Full.Litres(),
		m.Water.Drop.Millimetres(), float64(m.Shade), m.Water.Young.Litres(), topUp(m.Water), open.Radiation.Megajoules(), string(m.Basis),
		open.Hargreaves.Millimetres(), Number(m.Breath.Lasts.Hours()), max(m.Breath.Fine.Flow, m.Breath.Fine.Rule).LitresPerMinute(), m.Lamp.On.Hours(), m.Planted}
}

// topUp gives the days between top-ups; null where the bed drinks nothing.
func topUp(t season.Thirst) Number {
	if t.Drop <= 0 {
		return Number(math.Inf(1))
	}
	return Number(t.TopUp.Days())
}

func batchOf(b season.Batch, band float64) Batch {
	g := b.Fresh.Grams()
	return Batch{Sow: iso(b.Sow), SetOut: iso(b.SetOut), Move: iso(b.Move), Harvest: iso(b.Harvest), Earliest: iso(b.Earliest), Latest: iso(b.Latest), Plants: b.Plants,
		Fresh: g, Water: b.Water.Volume.Litres(), ByGrowth: b.Water.Growth.Litres(), Limit: string(b.Limit), HoleSpans: spans(b.Holes), Nursery: spans(b.Nursery),
		Number: b.Number, Heads: b.Heads, Low: g * (1 - band), High: g * (1 + band), Ready: b.Ready}
}

func spans(list []season.Span) [][2]int {
	out := [][2]int{}
	for _, h := range list {
		out = append(out, [2]int{h.From, h.To})
	}
	return out
}

func airOf(s *season.Season) Air {
	b := s.Breath
	milligrams := func(m unit.Mass) float64 { return m.Grams() * 1000 }
	return Air{s.Warmest, b.Saturation.MilligramsPerLitre(), milligrams(b.Demand), Number(b.Lasts.Hours()), milligrams(b.AirGap), milligrams(b.Gaps),
		b.Fine.Flow.LitresPerMinute(), b.Coarse.Flow.LitresPerMinute(), b.Fine.Rule.LitresPerMinute(), b.Fine.Stones, b.Fine.Enough}
}

func warmthOf(p plan.Plan) Warmth {
	w := p.Warmth
	if w == nil {
		return Warmth{Months: []Burn{}}
	}
	out := Warmth{w.HeatTo.Celsius(), w.CoolTo.Celsius(), amount(w.PowerPrice), w.PowerPrice.Currency, []Burn{}}
	for i, x := range w.Months {
		lamp := p.Season.Months[i].Lamp
		light := sky.Lamp(p.Brief.Site.Lamp.Level.Value, lamp.On)
		out.Months = append(out.Months, Burn{i + 1, float64(x.Heater), x.HeaterEnergy.KilowattHours(), amount(w.Price(x.HeaterEnergy)), x.Ice.Kilograms(),
			x.Lamps.Hours(), float64(light), x.LampEnergy.KilowattHours(), amount(w.Price(x.LampEnergy))})
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
