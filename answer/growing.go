package answer

import (
	"fmt"
	"math"
	"time"

	"raftwright/chem"
	"raftwright/cost"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/plan"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/unit"
	"raftwright/water"
)

// Water answers: what this water is, and the acid it needs.
type Water struct {
	Name          string            `json:"name"`
	EC            float64           `json:"ec_mS_cm"`
	PH            float64           `json:"ph"`
	IonicStrength float64           `json:"ionic_strength_mol_L"`
	Alkalinity    float64           `json:"alkalinity_mg_L_CaCO3"`
	Hardness      float64           `json:"hardness_mg_L_CaCO3"`
	ChargeError   float64           `json:"charge_error_percent"`
	CO2           float64           `json:"pco2_atm"`
	Carbon        float64           `json:"inorganic_carbon_mmol_L"`
	Saturation    map[string]Number `json:"saturation_index"`
	Aired         Aired             `json:"aired"`
	Acid          Acid              `json:"acid"`
	Safer         *SaferAcid        `json:"safer_acid,omitempty"` // on paper in its place, where children come
	RainShare     float64           `json:"rain_share"`           // of a blend that brings every figure to good; 0: none needed
	AscorbicAcid  float64           `json:"ascorbic_acid_mg_L"`
	Verdicts      []Verdict         `json:"verdicts"`
	Ranges        []Range           `json:"ranges"`
}

// Aired is the water once it is in balance with the air.
type Aired struct {
	PH float64 `json:"ph"`
	EC float64 `json:"ec_mS_cm"`
}

// Acid is a dose; all zero where none was asked for or none is needed.
type Acid struct {
	Product        string             `json:"product"`
	DoseMillimoles float64            `json:"dose_mmol_L"`
	DoseML         float64            `json:"dose_mL_L"`
	DoseGrams      float64            `json:"dose_g_L"`
	PH             float64            `json:"ph"`
	AlkalinityLeft float64            `json:"alkalinity_left_mg_L_CaCO3"`
	EC             float64            `json:"ec_mS_cm"`
	AfterAirPH     float64            `json:"ph_after_airing"`
	AgainMmol      float64            `json:"again_mmol_L"`
	Adds           map[string]float64 `json:"adds_mg_L"`
}

// Verdict is an analyte beside its limit.
type Verdict struct {
	What    string  `json:"what"`
	Value   float64 `json:"value"`
	Good    float64 `json:"good_up_to"`
	Severe  float64 `json:"severe_above"`
	Verdict string  `json:"verdict"`
	Source  string  `json:"source"`
}

// Range is how far a figure may lie from the one computed.
type Range struct {
	What string  `json:"what"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// shownMinerals are the solids that are always told of: of the contract, and
// struvite. One of which an element is missing altogether has the index null.
var shownMinerals = []chem.Mineral{chem.Calcite, chem.Gypsum, chem.Brushite, chem.Hydroxyapatite, chem.Struvite}

func waterOf(p plan.Plan) *Water {
	a := p.Water
	if a == nil {
		return nil
	}
	w := &Water{
		Name: a.Name, EC: a.EC.MillisiemensPerCentimetre(), PH: a.PH, IonicStrength: float64(a.IonicStrength) / 1e3,
		Alkalinity: a.Alkalinity.AsCaCO3(), Hardness: a.Hardness.MilligramsPerLitre(), ChargeError: a.ChargeError.Percents(),
		CO2: float64(a.CO2 / unit.Atmosphere), Carbon: a.Solution.Totals.TIC.MillimolesPerLitre(), Saturation: map[string]Number{},
		Aired: Aired{a.Aired.PH, a.Aired.Conductivity.MillisiemensPerCentimetre()}, Acid: Acid{Adds: map[string]float64{}},
		RainShare: float64(a.Rain), AscorbicAcid: a.AscorbicAcid.MilligramsPerLitre(), Verdicts: []Verdict{}, Ranges: []Range{},
	}
	for _, m := range shownMinerals {
		si, ok := a.Solution.SI(m)
		if !ok {
			si = math.Inf(-1)
		}
		w.Saturation[m.String()] = Number(si)
	}
	if d := a.Acid; d != nil {
		w.Acid = acidOf(d)
	}
	w.Safer = saferOf(p)
	for _, j := range a.Judgements {
		what := j.Limit.Analyte.String()
		if j.Limit.IsConductivity {
			what = "ec"
		}
		w.Verdicts = append(w.Verdicts, Verdict{what, j.Value, j.Limit.Good, j.Limit.Severe, j.Verdict.String(), string(j.Limit.Source)})
	}
	for _, r := range a.Ranges {
		what := r.Analyte.String()
		if r.IsConductivity {
			what = "ec"
		}
		w.Ranges = append(w.Ranges, Range{what, r.Low, r.High})
	}
	return w
}

func acidOf(d *water.Dose) Acid {
	a := Acid{Product: productName(d.Want.Product), DoseMillimoles: d.Amount.MillimolesPerLitre(), DoseML: d.MillilitresPerLitre(),
		PH: d.PH, AlkalinityLeft: d.Alkalinity.AsCaCO3(), EC: d.EC.MillisiemensPerCentimetre(), AfterAirPH: d.Aired.PH,
		AgainMmol: d.Again.MillimolesPerLitre(), Adds: map[string]float64{}}
	if d.Want.Product.Solid() {
		a.DoseGrams = d.Mass.GramsPerLitre()
	}
	for name, c := range map[string]unit.MassConcentration{"S": d.S, "N": d.N, "P": d.P, "K": d.K} {
		if c > 0 {
			a.Adds[name] = c.MilligramsPerLitre()
		}
	}
	return a
}

func productName(p water.Product) string {
	if p.Strength == 0 {
		return p.Reagent.String()
	}
	return fmt.Sprintf("%s %.4g %%", p.Reagent, p.Strength.Percents())
}

// Mix answers: how much of what, how to measure it, what the meter should read.
type Mix struct {
	Doses       []Dose             `json:"doses"`
	Target      map[string]float64 `json:"target_mg_L"`
	Achieved    map[string]float64 `json:"achieved_mg_L"`
	FromWater   map[string]float64 `json:"water_mg_L"`
	Misfit      float64            `json:"misfit"`
	BestMisfit  float64            `json:"misfit_unrounded"`
	Proven      bool               `json:"proven"`
	EC          float64            `json:"ec_mS_cm"`
	PH          float64            `json:"ph"`
	Acid        Acid               `json:"acid"`
	Nitrogen    Nitrogen           `json:"nitrogen"`
	Shares      Shares             `json:"nitrogen_percent"`
	Saturation  map[string]Number  `json:"saturation_index"`
	Meters      Meters             `json:"meters"`
	Meter       Meter              `json:"meter"`
	NBand       [2]float64         `json:"nitrogen_band_mg_L"`
	Costs       Costs              `json:"cost"`
	Order       []MixStep          `json:"order"`
	CostPer1000 float64            `json:"cost_per_1000L"`
	Currency    string             `json:"currency"`
	TopUp       float64            `json:"top_up_share"`
	Stock       *Stock             `json:"stock,omitempty"`
	Others      []Alternative      `json:"alternatives"`
	Urea        []Urea             `json:"urea"`
}

// Dose is one product.
type Dose struct {
	Product   string  `json:"product"`
	Grams     float64 `json:"g_L"`
	PerBucket float64 `json:"per_bucket_g"`
	PerGallon float64 `json:"per_gallon_g"`
	PerBed    float64 `json:"per_bed_g"`
	Liquid    float64 `json:"per_bucket_mL"`
	Spoons    float64 `json:"spoons"` // level teaspoons a bucket
	Tank      string  `json:"stock_tank"`
	Per100    float64 `json:"per_100_gal_g"`
	Spoon     float64 `json:"level_teaspoon_g"`
	Spread    float64 `json:"spread"` // one standard deviation of the measured amount, a share
}

// Nitrogen is the shares of its forms.
type Nitrogen struct {
	Nitrate  float64 `json:"nitrate_percent"`
	Ammonium float64 `json:"ammonium_percent"`
	Urea     float64 `json:"urea_percent"`
}

// Shares is the same by the plain names.
type Shares struct {
	Nitrate  float64 `json:"nitrate"`
	Ammonium float64 `json:"ammonium"`
	Urea     float64 `json:"urea"`
}

// Meters is what the pens should show.
type Meters struct {
	Fresh Reading `json:"after_10_minutes"`
	Day   Reading `json:"after_a_day"`
	// Well and WellPH are the ranges in which all is well.
	Well   [2]float64 `json:"well_ec_mS_cm"`
	WellPH [2]float64 `json:"well_ph"`
}

// Reading is a reading with its band.
type Reading struct {
	EC     float64    `json:"ec_mS_cm"`
	ECBand [2]float64 `json:"ec_band_mS_cm"`
	PH     float64    `json:"ph"`
	PHBand [2]float64 `json:"ph_band"`
	Shown  *float64   `json:"shown,omitempty"` // on the grower's own meter
}

// Costs is what the fertilisers of the mix cost.
type Costs struct {
	Per100Gallons float64  `json:"per_100_gal"`
	PerBed        float64  `json:"per_bed"`
	PerHead       float64  `json:"per_head"`
	Unpriced      []string `json:"unpriced"`
}

// MixStep is a step of mixing.
type MixStep struct {
	Do      string `json:"do"`
	Product string `json:"product"`
}

// Stock is the concentrate tanks.
type Stock struct {
	Volume float64 `json:"volume_L"`
	Ratio  float64 `json:"ratio"`
	Most   float64 `json:"highest_ratio"`
	Fits   bool    `json:"fits"`
	Tanks  []Tank  `json:"tanks"`
}

// Tank is one concentrate.
type Tank struct {
	Name  string     `json:"name"`
	Full  float64    `json:"share_of_solubility"`
	Items []TankItem `json:"items"`
	// Clouds says that a solid can form at 20 or at 10 °C.
	Clouds bool `json:"clouds"`
}

// TankItem is a product in a tank.
type TankItem struct {
	Product string  `json:"product"`
	Grams   float64 `json:"g"`
	Full20  float64 `json:"share_of_solubility_20C"`
	Full10  float64 `json:"share_of_solubility_10C"`
}

// Alternative is a simpler mix.
type Alternative struct {
	Doses  []Dose   `json:"doses"`
	Misfit float64  `json:"misfit"`
	Lost   []string `json:"worse"`
	Cost   float64  `json:"cost_per_1000L"`
}

// Urea is the solution as its urea turns over.
type Urea struct {
	Week     int     `json:"week"`
	EC       float64 `json:"ec_mS_cm"`
	PH       float64 `json:"ph"`
	Ammonium float64 `json:"ammonium_n_mg_L"`
	// Hydrolysed is the share of the urea, Nitrified of the ammonium, that has turned.
	Hydrolysed float64 `json:"hydrolysed"`
	Nitrified  float64 `json:"nitrified"`
	Nitrate    float64 `json:"nitrate_n_mg_L"`
	UreaN      float64 `json:"urea_n_mg_L"`
	Ammonia    float64 `json:"ammonia_n_mg_L"`
}

func mixOf(p plan.Plan) *Mix {
	m := p.Mix
	if m == nil {
		return nil
	}
	out := &Mix{
		Doses: dosesOf(m.Doses), Target: map[string]float64{}, Achieved: map[string]float64{}, FromWater: map[string]float64{}, Misfit: m.Misfit, BestMisfit: m.Best,
		Proven: m.Proven, EC: m.EC.MillisiemensPerCentimetre(), PH: m.PH, Acid: Acid{Adds: map[string]float64{}},
		Nitrogen: Nitrogen{m.Nitrogen.Nitrate.Percents(), m.Nitrogen.Ammonium.Percents(), m.Nitrogen.Urea.Percents()},
		Shares:   Shares{m.Nitrogen.Nitrate.Percents(), m.Nitrogen.Ammonium.Percents(), m.Nitrogen.Urea.Percents()}, Saturation: saturation(m.Solids),
		Meters: metersOf(m.Meters, p.Meter.Pen), Meter: meterOf(p), NBand: [2]float64{m.NBand.Low, m.NBand.High}, Order: []MixStep{},
		Costs:       Costs{m.Cost.Per100Gal, m.Cost.PerBed, m.Cost.PerHead, append([]string{}, m.Cost.Unpriced...)},
		CostPer1000: m.Cost.Per1000L, Currency: m.Cost.Currency,
		TopUp: float64(m.TopUp.Share), Others: []Alternative{}, Urea: ureaOf(m.Urea),
	}
	for _, s := range m.Order {
		out.Order = append(out.Order, MixStep{s.Do.String(), s.Product})
	}
	for _, n := range mix.Elements() {
		out.Achieved[n.Symbol()] = m.Achieved[n].MilligramsPerLitre()
		out.FromWater[n.Symbol()] = m.Water[n].MilligramsPerLitre()
	}
	for _, w := range m.Wishes {
		out.Target[w.Nutrient.Symbol()] = w.Level.MilligramsPerLitre()
		out.Achieved[w.Nutrient.Symbol()] = w.Achieved.MilligramsPerLitre()
	}
	if m.Acid.Dose > 0 {
		out.Acid = mixAcid(p)
	}
	if s := m.Stock; s != nil {
		out.Stock = &Stock{Volume: s.Volume.Litres(), Ratio: s.Ratio, Most: s.Most, Fits: s.Fits, Tanks: []Tank{}}
		for _, t := range s.Tanks {
			tank := Tank{Name: t.Name, Full: float64(t.Full), Items: []TankItem{}, Clouds: t.Clouds}
			for _, i := range t.Items {
				tank.Items = append(tank.Items, TankItem{i.Product, i.Mass.Grams(), float64(i.Full20), float64(i.Full10)})
			}
			out.Stock.Tanks = append(out.Stock.Tanks, tank)
		}
	}
	for _, a := range m.Alternatives {
		other := Alternative{Doses: dosesOf(a.Doses), Misfit: a.Misfit, Lost: []string{}, Cost: a.Cost.Per1000L}
		for _, l := range a.Lost {
			other.Lost = append(other.Lost, l.Nutrient.Symbol())
		}
		out.Others = append(out.Others, other)
	}
	return out
}

// mixAcid writes the mix's acid in the product that the water was dosed with.
func mixAcid(p plan.Plan) Acid {
	m := p.Mix.Acid
	a := Acid{Product: m.Name, DoseMillimoles: m.Dose.MillimolesPerLitre(), PH: p.Mix.PH, EC: p.Mix.EC.MillisiemensPerCentimetre(), Adds: map[string]float64{}}
	if p.Water != nil && p.Water.Acid != nil && p.Water.Acid.Amount > 0 {
		d := p.Water.Acid
		times := float64(m.Dose / d.Amount)
		a.Product, a.DoseML = productName(d.Want.Product), d.MillilitresPerLitre()*times
		if d.Want.Product.Solid() {
			a.DoseGrams = d.Mass.GramsPerLitre() * times
		}
	}
	for _, n := range mix.Elements() {
		if c := m.Brings[n]; c > 0 {
			a.Adds[n.Symbol()] = c.MilligramsPerLitre()
		}
	}
	return a
}

func dosesOf(list []mix.Dose) []Dose {
	out := []Dose{}
	for _, d := range list {
		out = append(out, Dose{d.Product, d.Strength.GramsPerLitre(), d.PerBucket.Grams(), d.PerGallon.Grams(), d.PerBed.Grams(), d.Liquid.Millilitres(), d.Spoons, d.Tank,
			d.Per100Gallon.Grams(), d.Spoon.Mass.Grams(), float64(d.Spread)})
	}
	return out
}

func readingOf(r mix.MeterReading) Reading {
	return Reading{r.EC.MillisiemensPerCentimetre(), [2]float64{r.ECBand.Low, r.ECBand.High}, r.PH, [2]float64{r.PHBand.Low, r.PHBand.High}, nil}
}

// Season answers: light, heat, water use and crop windows by month; day of harvest.
type Season struct {
	Months  []Month  `json:"months"`
	Windows []Window `json:"windows"`
	Batches []Batch  `json:"batches"`
	Frost   []Frost  `json:"freezes"` // 0 C and -2.2 C
	Steady  *Steady  `json:"steady,omitempty"`
	Changes []Change `json:"changes"`
	Crops   float64  `json:"crops_per_year"`
	Tasks   []Task   `json:"tasks"`
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
}

// Window is when a crop may go on the raft, as month and day.
type Window struct {
	Crop  string `json:"crop"`
	From  string `json:"from"`
	To    string `json:"to"`
	Limit string `json:"limit"`
	Opens string `json:"limit_before"`
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
	out := &Season{Months: []Month{}, Windows: []Window{}, Batches: []Batch{}, Tasks: []Task{}, Changes: []Change{}, Crops: s.CropsPerYear,
		Frost: []Frost{frostOf(s.Frost), frostOf(s.Hard)}}
	for _, c := range s.Changes {
		out.Changes = append(out.Changes, Change{words.Say(string(c.Way), nil), float64(c.Mean), float64(c.Max), float64(c.HotMax)})
	}
	for _, m := range s.Months {
		out.Months = append(out.Months, Month{m.Number, m.Ra.Megajoules(), m.Daylight.Hours(), m.ET0.Millimetres(), float64(m.Light), m.Air.Celsius(),
			m.Pool.Celsius(), m.PoolMax.Celsius(), m.PoolHot.Celsius(), m.PoolCold.Celsius(), m.Oxygen.MilligramsPerLitre(), m.Water.Full.Litres(),
			m.Water.Drop.Millimetres(), float64(m.Shade)})
	}
	for _, w := range s.Windows {
		out.Windows = append(out.Windows, windowOf(w))
	}
	for _, b := range s.Batches {
		one := Batch{Sow: iso(b.Sow), SetOut: iso(b.SetOut), Move: iso(b.Move), Harvest: iso(b.Harvest), Earliest: iso(b.Earliest), Latest: iso(b.Latest), Plants: b.Plants,
			Fresh: b.Fresh.Grams(), Water: b.Water.Volume.Litres(), ByGrowth: b.Water.Growth.Litres(), Limit: string(b.Limit), HoleSpans: [][2]int{}}
		for _, h := range b.Holes {
			one.HoleSpans = append(one.HoleSpans, [2]int{h.From, h.To})
		}
		out.Batches = append(out.Batches, one)
	}
	if t := s.Steady; t != nil {
		out.Steady = &Steady{t.HeadsPerWeek, t.Carries, t.Peak, t.Bound, t.Proven, t.Holes, t.Beds, float64(t.Chance), t.Harvests, t.Missed, t.Least.Grams()}
	}
	for _, t := range s.Tasks {
		out.Tasks = append(out.Tasks, Task{iso(t.Day), string(t.Kind), words.Say(string(t.Kind.Word()), t.Args)})
	}
	return out
}

func windowOf(w season.Window) Window {
	return Window{Crop: w.Crop, From: monthDay(w.From), To: monthDay(w.To), Limit: string(w.Limit), Opens: string(w.Before)}
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

// Cost answers: what it costs, what it returns. Amounts are for all beds.
type Cost struct {
	Currency  string `json:"currency"`
	First     Number `json:"first_cost"`
	PerCrop   Number `json:"per_crop_cost"`
	Cash      Number `json:"per_crop_cash"`
	PerHead   Number `json:"per_head_cost"`
	BreakEven Number `json:"break_even_price"`
	Payback   Number `json:"payback_crops"` // null: never, or no price of a head is known
	Labor     Number `json:"per_crop_labor"`
	Heads     Number `json:"heads_sold"`
	Lines     []Line `json:"lines"`
}

// Line is a line of the reckoning.
type Line struct {
	Item      string  `json:"item"`
	Group     string  `json:"group"`
	Quantity  float64 `json:"quantity"`
	Unit      string  `json:"unit"`
	UnitPrice Number  `json:"unit_price"`
	Price     Number  `json:"price"`
	PerCrop   Number  `json:"per_crop"`
	Once      bool    `json:"once"`
	Life      float64 `json:"life_years"`
	Standing  string  `json:"standing"` // given, or assumed with its year
}

// Item is a line of the shopping list.
type Item struct {
	Item      string  `json:"item"`
	Quantity  float64 `json:"quantity"`
	Unit      string  `json:"unit"`
	UnitPrice Number  `json:"unit_price"`
	Price     Number  `json:"price"`
	Once      bool    `json:"once"`
	Life      float64 `json:"life_years"`
	Standing  string  `json:"standing"`
}

func costOf(p plan.Plan, words *lang.Printer) *Cost {
	s := p.Cost
	if s == nil {
		return nil
	}
	c := &Cost{Currency: s.FirstCost.Currency, First: amount(s.FirstCost), PerCrop: amount(s.PerCrop), Cash: amount(s.CashPerCrop), PerHead: amount(s.PerHead),
		BreakEven: amount(s.BreakEven), Payback: Number(s.PaybackCrops), Labor: amount(s.Labor), Heads: Number(s.HeadsSold), Lines: []Line{}}
	for _, l := range s.Lines {
		c.Lines = append(c.Lines, Line{words.Say(string(l.Name), l.Args), l.Group, l.Buy, l.Unit, amount(l.UnitPrice), amount(l.Price), amount(l.PerCrop), l.Once, l.Life, standing(l)})
	}
	return c
}

func standing(l cost.Line) string {
	if l.From.Own {
		return "given"
	}
	return fmt.Sprintf("assumed %d", l.From.Year)
}

func amount(m cost.Money) Number { return Number(m.Float()) }

func shoppingOf(p plan.Plan, words *lang.Printer) []Item {
	out := []Item{}
	if p.Cost == nil {
		return out
	}
	for _, l := range p.Cost.Lines {
		out = append(out, Item{words.Say(string(l.Name), l.Args), l.Buy, l.Unit, amount(l.UnitPrice), amount(l.Price), l.Once, l.Life, standing(l)})
	}
	return out
}
