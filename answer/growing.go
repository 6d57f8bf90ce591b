package answer

import (
	"fmt"

	"raftwright/chem"
	"raftwright/cost"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/plan"
	"raftwright/source"
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
	Base          Acid              `json:"base"` // potassium bicarbonate, where the water is below the pH that was asked for
	ECHere        float64           `json:"ec_at_temperature_mS_cm"`
	Temperature   float64           `json:"temperature_C"`
	Safer         *SaferAcid        `json:"safer_acid,omitempty"` // on paper in its place, where children come
	RainShare     float64           `json:"rain_share"`           // of a blend that brings every figure to good; 0: none needed
	AscorbicAcid  float64           `json:"ascorbic_acid_mg_L"`
	Ions          []Ion             `json:"ions"`
	Verdicts      []Verdict         `json:"verdicts"`
	Ranges        []Range           `json:"ranges"`
}

// Aired is the water once it is in balance with the air.
type Aired struct {
	PH float64 `json:"ph"`
	EC float64 `json:"ec_mS_cm"`
}

// Dosed is an acid and what it does; all zero where there is none.
type Dosed struct {
	Product        string             `json:"product"`
	DoseMillimoles float64            `json:"dose_mmol_L"`
	DoseML         float64            `json:"dose_mL_L"`
	DoseGrams      float64            `json:"dose_g_L"`
	PH             float64            `json:"ph"`
	EC             float64            `json:"ec_mS_cm"`
	Adds           map[string]float64 `json:"adds_mg_L"`
}

// Acid is a dose for the plain water; all zero where none was asked for or none is needed.
type Acid struct {
	Dosed
	AlkalinityLeft float64 `json:"alkalinity_left_mg_L_CaCO3"`
	AfterAirPH     float64 `json:"ph_after_airing"`
	AgainMmol      float64 `json:"again_mmol_L"`
}

// Ion is a figure of the water and where it comes from.
type Ion struct {
	What     string  `json:"what"`
	MgL      float64 `json:"mg_L"`
	Standing string  `json:"standing"` // measured, typical, filled
}

// Verdict is an analyte beside its limit.
type Verdict struct {
	What    string    `json:"what"`
	Value   float64   `json:"value"`
	Good    float64   `json:"good_up_to"`
	Severe  float64   `json:"severe_above"`
	Verdict string    `json:"verdict"`
	From    string    `json:"standing"`
	Source  source.ID `json:"source"`
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
		Aired: Aired{PH: a.Aired.PH, EC: a.Aired.Conductivity.MillisiemensPerCentimetre()}, Acid: acidOf(a.Acid), Base: acidOf(a.Base),
		ECHere: a.ECHere.MillisiemensPerCentimetre(), Temperature: a.Temperature.Celsius(), Safer: saferOf(p),
		RainShare: float64(a.Rain), AscorbicAcid: a.AscorbicAcid.MilligramsPerLitre(),
		Verdicts: each(a.Judgements, func(j water.Judgement) Verdict {
			return Verdict{What: analyte(j.Limit.Analyte, j.Limit.IsConductivity), Value: j.Value, Good: j.Limit.Good, Severe: j.Limit.Severe,
				Verdict: j.Verdict.String(), From: j.From.String(), Source: j.Limit.Source}
		}),
		Ranges: each(a.Ranges, func(r water.Range) Range {
			return Range{What: analyte(r.Analyte, r.IsConductivity), Low: r.Low, High: r.High}
		}),
	}
	for x := range water.AnalyteCount {
		if s := a.Standing(x); s != water.NotKnown {
			w.Ions = append(w.Ions, Ion{What: x.String(), MgL: a.Figure(x).MilligramsPerLitre(), Standing: s.String()})
		}
	}
	for _, m := range shownMinerals {
		w.Saturation[m.String()] = nil
		if si, ok := a.Solution.SI(m); ok {
			w.Saturation[m.String()] = number(si)
		}
	}
	return w
}

func analyte(a water.Analyte, conductivity bool) string {
	if conductivity {
		return "ec"
	}
	return a.String()
}

func acidOf(d *water.Dose) Acid {
	if d == nil {
		return Acid{Dosed: Dosed{Adds: map[string]float64{}}}
	}
	a := Acid{Dosed: dosedOf(d), AlkalinityLeft: d.Alkalinity.AsCaCO3(), AfterAirPH: d.Aired.PH, AgainMmol: d.Again.MillimolesPerLitre()}
	for name, c := range map[string]unit.MassConcentration{"S": d.S, "N": d.N, "P": d.P, "K": d.K} {
		if c > 0 {
			a.Adds[name] = c.MilligramsPerLitre()
		}
	}
	return a
}

func dosedOf(d *water.Dose) Dosed {
	out := Dosed{Product: productName(d.Want.Product), DoseMillimoles: d.Amount.MillimolesPerLitre(), DoseML: d.MillilitresPerLitre(), PH: d.PH,
		EC: d.EC.MillisiemensPerCentimetre(), Adds: map[string]float64{}}
	if d.Want.Product.Solid() {
		out.DoseGrams = d.Mass.GramsPerLitre()
	}
	return out
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
	Buckets     Buckets            `json:"buckets"`
	Target      map[string]float64 `json:"target_mg_L"`
	Achieved    map[string]float64 `json:"achieved_mg_L"`
	FromWater   map[string]float64 `json:"water_mg_L"`
	Misfit      float64            `json:"misfit"`
	BestMisfit  float64            `json:"misfit_unrounded"`
	Proven      bool               `json:"proven"`
	EC          float64            `json:"ec_mS_cm"`
	PH          float64            `json:"ph"`
	Acid        Dosed              `json:"acid"`
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
	Fit         []Fit              `json:"fit"`
	Works       bool               `json:"works"`         // four fifths of every main element, and iron
	Buy         *Buy               `json:"buy,omitempty"` // left out where it works, or no purchase helps
}

// Buy is what makes a shelf feed the crop, and the whole mix with it.
type Buy struct {
	Goods    []Good             `json:"goods"`
	Doses    []Good             `json:"doses"`
	Achieved map[string]float64 `json:"achieved_mg_L"`
	EC       float64            `json:"ec_mS_cm"`
}

// Good is a product of a purchase.
type Good struct {
	Product string  `json:"product"`
	Grams   float64 `json:"g_L"`
	PerBed  float64 `json:"per_bed_g"`
}

func goodOf(d mix.Dose) Good { return Good{d.Product, d.Strength.GramsPerLitre(), d.PerBed.Grams()} }

func buyOf(b *mix.Buy) *Buy {
	if b == nil {
		return nil
	}
	return &Buy{Goods: each(b.Goods, goodOf), Doses: each(b.Mix.Doses, goodOf), Achieved: levels(b.Mix.Achieved), EC: b.Mix.EC.MillisiemensPerCentimetre()}
}

// Fit is an element in its band, mg/L.
type Fit struct {
	Element string  `json:"element"`
	Low     float64 `json:"low"` // short below it
	Wish    float64 `json:"wish"`
	High    Number  `json:"high"` // fine up to it; null where no recipe tells
	Harm    Number  `json:"harm"` // harmful above it; null where no level is published
	Reached float64 `json:"reached"`
	Verdict string  `json:"verdict"` // short, fine, over, harm, unknown
}

func fitOf(w mix.Wish) Fit {
	line := func(c unit.MassConcentration) Number {
		if c <= 0 {
			return nil
		}
		return number(c.MilligramsPerLitre())
	}
	return Fit{Element: w.Nutrient.Symbol(), Low: w.Low().MilligramsPerLitre(), Wish: w.Level.MilligramsPerLitre(), High: line(w.High), Harm: line(w.Harm),
		Reached: w.Achieved.MilligramsPerLitre(), Verdict: w.Fit()}
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
	ForBed    bool    `json:"for_bed"`
	Last      float64 `json:"last_bucket_g"` // in the last, part bucket
	LastSpoon float64 `json:"last_bucket_spoons"`
	Jug       *Jug    `json:"stock_jug,omitempty"`
	Packs     float64 `json:"packs"` // whole packs into the bed, where packs are the measure
}

// Buckets is how the bed gets its doses: per_bucket_g in each of the full ones and
// last_share of that in one more are the doses of the bed.
type Buckets struct {
	Method string  `json:"method"`
	Full   int     `json:"full"`
	Last   float64 `json:"last_share"`
	Vessel float64 `json:"vessel_L"`
	Makes  float64 `json:"makes_L"` // of solution in the bed, each
}

// Jug is a stock solution for what is too little to measure.
type Jug struct {
	Water  float64 `json:"water_L"`
	Mass   float64 `json:"g"`
	Spoons float64 `json:"spoons"`
	Take   float64 `json:"take_mL"` // for a bucket
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
	Shown  Number     `json:"shown,omitempty"` // on the grower's own meter
}

// Costs is what the fertilisers of the mix cost.
type Costs struct {
	Per100Gallons Number   `json:"per_100_gal"`
	PerBed        Number   `json:"per_bed"`
	PerHead       Number   `json:"per_head"`
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
	Cost   Number   `json:"cost_per_1000L"`
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
	Stopped    bool    `json:"stopped"`
}

// priced gives a cost where any product in use has a price and there is something
// to count it for; else it is not known.
func priced(c mix.Cost, x float64) Number {
	if !c.PricedPart || x <= 0 {
		return nil
	}
	return number(x)
}

func mixOf(p plan.Plan) *Mix {
	m := p.Mix
	if m == nil {
		return nil
	}
	shares := sharesOf(m.Nitrogen)
	out := &Mix{
		Doses: each(m.Doses, doseOf), Target: map[string]float64{}, Achieved: levels(m.Achieved),
		Buckets: Buckets{Method: m.Fill.Method.String(), Full: m.Fill.Full, Last: float64(m.Fill.Last), Vessel: m.Fill.Vessel.Litres(), Makes: m.Fill.Makes.Litres()}, FromWater: levels(m.Water), Misfit: m.Misfit, BestMisfit: m.Best,
		Proven: m.Proven, EC: m.EC.MillisiemensPerCentimetre(), PH: m.PH, Acid: mixAcid(p),
		Nitrogen: Nitrogen(shares), Shares: shares, Saturation: saturation(m.Solids),
		Meters: metersOf(m.Meters, p.Meter.Pen), Meter: meterOf(p), NBand: band(m.NBand),
		Costs: Costs{Per100Gallons: priced(m.Cost, m.Cost.Per100Gal), PerBed: priced(m.Cost, m.Cost.PerBed), PerHead: priced(m.Cost, m.Cost.PerHead),
			Unpriced: never(m.Cost.Unpriced)},
		Order:       each(m.Order, func(s mix.OrderStep) MixStep { return MixStep{Do: s.Do.String(), Product: s.Product} }),
		CostPer1000: m.Cost.Per1000L, Currency: m.Cost.Currency, TopUp: float64(m.TopUp.Share), Stock: stockOf(m.Stock), Urea: each(m.Urea, ureaOf), Fit: each(m.Fit, fitOf), Works: m.Works(), Buy: buyOf(m.Buy),
		Others: each(m.Alternatives, func(a mix.Alternative) Alternative {
			return Alternative{Doses: each(a.Doses, doseOf), Misfit: a.Misfit, Cost: priced(a.Cost, a.Cost.Per1000L),
				Lost: each(a.Lost, func(w mix.Wish) string { return w.Nutrient.Symbol() })}
		}),
	}
	for _, w := range m.Wishes {
		out.Target[w.Nutrient.Symbol()] = w.Level.MilligramsPerLitre()
		out.Achieved[w.Nutrient.Symbol()] = w.Achieved.MilligramsPerLitre()
	}
	return out
}

func stockOf(s *mix.StockPlan) *Stock {
	if s == nil {
		return nil
	}
	return &Stock{Volume: s.Volume.Litres(), Ratio: s.Ratio, Most: s.Most, Fits: s.Fits, Tanks: each(s.Tanks, func(t mix.Tank) Tank {
		return Tank{Name: t.Name, Full: float64(t.Full), Clouds: t.Clouds, Items: each(t.Items, func(i mix.TankItem) TankItem {
			return TankItem{Product: i.Product, Grams: i.Mass.Grams(), Full20: float64(i.Full20), Full10: float64(i.Full10)}
		})}
	})}
}

// mixAcid writes the mix's acid in the product that the water was dosed with.
func mixAcid(p plan.Plan) Dosed {
	m := p.Mix.Acid
	if m.Dose <= 0 {
		return Dosed{Adds: map[string]float64{}}
	}
	a := Dosed{Product: m.Name, DoseMillimoles: m.Dose.MillimolesPerLitre(), Adds: map[string]float64{}}
	if asked := p.PrintedAcid(); asked != nil && asked.Amount > 0 {
		d := asked.Scaled(m.Dose)
		a = dosedOf(&d)
	}
	a.PH, a.EC = p.Mix.PH, p.Mix.EC.MillisiemensPerCentimetre()
	for _, n := range mix.Elements() {
		if c := m.Brings[n]; c > 0 {
			a.Adds[n.Symbol()] = c.MilligramsPerLitre()
		}
	}
	return a
}

func doseOf(d mix.Dose) Dose {
	out := Dose{Product: d.Product, Grams: d.Strength.GramsPerLitre(), PerBucket: d.PerBucket.Grams(), PerGallon: d.PerGallon.Grams(), PerBed: d.PerBed.Grams(),
		Liquid: d.Liquid.Millilitres(), Spoons: d.Spoons, Tank: d.Tank, Per100: d.Per100Gallon.Grams(), Spoon: d.Spoon.Mass.Grams(), Spread: float64(d.Spread),
		ForBed: d.ForBed, Last: d.Last.Grams(), LastSpoon: d.LastSpoons, Packs: d.Packs}
	if j := d.Jug; j.Take > 0 {
		out.Jug = &Jug{Water: j.Water.Litres(), Mass: j.Mass.Grams(), Spoons: j.Spoons, Take: j.Take.Millilitres()}
	}
	return out
}

// Cost answers: what it costs, what it returns. Amounts are for all beds.
type Cost struct {
	Currency  string  `json:"currency"`
	First     float64 `json:"first_cost"`
	PerCrop   float64 `json:"per_crop_cost"`
	Cash      float64 `json:"per_crop_cash"`
	PerHead   float64 `json:"per_head_cost"`
	BreakEven float64 `json:"break_even_price"`
	Payback   Number  `json:"payback_crops"` // null: never, or no price of a head is known
	Labor     float64 `json:"per_crop_labor"`
	Heads     float64 `json:"heads_sold"`
	Unpriced  int     `json:"unpriced"` // lines that the sums leave out
	Lines     []Line  `json:"lines"`
}

// Item is a line of the shopping list.
type Item struct {
	Item      string  `json:"item"`
	Quantity  float64 `json:"quantity"`
	Unit      string  `json:"unit"`
	UnitPrice Number  `json:"unit_price"` // null where none is known, as the next
	Price     Number  `json:"price"`
	Once      bool    `json:"once"`
	Life      float64 `json:"life_years"`
	Standing  string  `json:"standing"` // given, assumed with its year, or unknown
}

// Line is a line of the reckoning.
type Line struct {
	Item
	Group   string  `json:"group"`
	PerCrop float64 `json:"per_crop"`
}

func costOf(p plan.Plan, words *lang.Printer) *Cost {
	s := p.Cost
	if s == nil {
		return nil
	}
	return &Cost{Currency: s.FirstCost.Currency, First: s.FirstCost.Float(), PerCrop: s.PerCrop.Float(), Cash: s.CashPerCrop.Float(), PerHead: s.PerHead.Float(),
		BreakEven: s.BreakEven.Float(), Payback: number(s.PaybackCrops), Labor: s.Labor.Float(), Heads: s.HeadsSold, Unpriced: s.Unpriced, Lines: each(s.Lines, func(l cost.Line) Line {
			standing, each, price := "given", number(l.UnitPrice.Float()), number(l.Price.Float())
			switch {
			case l.Unknown:
				standing, each, price = "unknown", nil, nil
			case !l.From.Own:
				standing = fmt.Sprintf("assumed %d", l.From.Year)
			}
			return Line{Group: l.Group, PerCrop: l.PerCrop.Float(), Item: Item{Item: words.Say(string(l.Name), l.Args), Quantity: l.Buy, Unit: l.Unit,
				UnitPrice: each, Price: price, Once: l.Once, Life: l.Life, Standing: standing}}
		})}
}
