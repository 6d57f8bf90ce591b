package answer

import (
	"raftwright/mix"
	"raftwright/plan"
	"raftwright/unit"
)

// Meter is the grower's own conductivity meter.
type Meter struct {
	Scale    string  `json:"scale"` // "unknown" where nobody said
	Per      float64 `json:"shown_per_mS_cm"`
	Inferred bool    `json:"inferred"` // from a known solution
	Off      float64 `json:"off"`      // of the known solution
}

func meterOf(p plan.Plan) Meter {
	m := p.Meter
	return Meter{Scale: m.Pen.String(), Per: m.Pen.Shows(unit.MillisiemensPerCentimetre), Inferred: m.Inferred, Off: float64(m.Off)}
}

// SaferAcid is what stands on paper in place of a strong acid, and what that costs.
type SaferAcid struct {
	Acid
	RainShare float64 `json:"rain_share"` // of a blend that needs no acid
	Cost      float64 `json:"cost_per_fill"`
	AskedCost float64 `json:"asked_cost_per_fill"`
}

func saferOf(p plan.Plan) *SaferAcid {
	s := p.Safer
	if s == nil {
		return nil
	}
	return &SaferAcid{Acid: acidOf(s.Dose), RainShare: float64(s.Rain), Cost: s.Cost.Float(), AskedCost: s.AskedCost.Float()}
}

// Found answers: what a recipe as found gives in this water, and what mends it.
type Found struct {
	Where      string             `json:"where"`
	PerLitres  float64            `json:"per_L"`
	Doses      []Dose             `json:"doses"` // per bucket: of the recipe's own volume
	Target     map[string]float64 `json:"target_mg_L"`
	Achieved   map[string]float64 `json:"achieved_mg_L"`
	FromWater  map[string]float64 `json:"water_mg_L"`
	Verdicts   map[string]string  `json:"verdicts"` // by element: missing, weak, right, strong
	Misfit     float64            `json:"misfit"`
	EC         float64            `json:"ec_mS_cm"`
	PH         float64            `json:"ph"`
	NBand      [2]float64         `json:"nitrogen_band_mg_L"`
	Shares     Shares             `json:"nitrogen_percent"`
	Saturation map[string]Number  `json:"saturation_index"`
	Meters     Meters             `json:"meters"`
	Meter      Meter              `json:"meter"`
	Urea       []Urea             `json:"urea"`
	Mend       *Mend              `json:"mend,omitempty"` // left out where nothing needs mending
	Mends      []Mend             `json:"mends"`
}

// Mend is a change to a recipe.
type Mend struct {
	Kind     string             `json:"kind"`
	Product  string             `json:"product"` // that changes or is added
	Factor   float64            `json:"factor"`  // of the old amounts, where they change
	Misfit   float64            `json:"misfit"`
	Mends    bool               `json:"mends"` // every main element is then within a third
	Doses    []MendDose         `json:"doses"`
	Achieved map[string]float64 `json:"achieved_mg_L"`
}

// MendDose is a line of a mended recipe.
type MendDose struct {
	Product string  `json:"product"`
	Grams   float64 `json:"g"`
	Spoons  float64 `json:"spoons"`
}

// Amiss answers: what to take out of a bed or to add to it, and the check.
type Amiss struct {
	Volume  float64            `json:"volume_L"`
	Known   bool               `json:"known"` // what is in it is known from what was put in
	Before  float64            `json:"ec_now_mS_cm"`
	Replace float64            `json:"replace_L"`
	Share   float64            `json:"replace_share"`
	Add     []MendDose         `json:"add"`
	Check   float64            `json:"ec_after_mS_cm"`
	PH      float64            `json:"ph_after"` // 0 where it is not known
	Meter   Meter              `json:"meter"`
	Now     map[string]float64 `json:"now_mg_L"`
	After   map[string]float64 `json:"after_mg_L"`
}

func levels(l mix.Levels) map[string]float64 {
	out := map[string]float64{}
	for _, n := range mix.Elements() {
		out[n.Symbol()] = l[n].MilligramsPerLitre()
	}
	return out
}

func foundOf(p plan.Plan) *Found {
	f := p.Found
	if f == nil {
		return nil
	}
	out := &Found{Where: f.Where, PerLitres: f.Per.Litres(), Doses: each(f.Doses, doseOf), Target: map[string]float64{}, Achieved: levels(f.Achieved),
		FromWater: levels(f.Water), Verdicts: map[string]string{}, Misfit: f.Misfit, EC: f.EC.MillisiemensPerCentimetre(), PH: f.PH,
		NBand: band(f.NBand), Shares: sharesOf(f.Nitrogen), Saturation: saturation(f.Solids), Meters: metersOf(f.Mix.Meters, p.Meter.Pen), Meter: meterOf(p),
		Urea: each(f.Urea, ureaOf), Mends: each(f.Mends, mendOf)}
	for _, n := range []mix.Nutrient{mix.NitrateN, mix.AmmoniumN, mix.UreaN} {
		out.Achieved[n.Symbol()] = f.Achieved[n].MilligramsPerLitre()
	}
	for _, w := range f.Wishes {
		out.Target[w.Nutrient.Symbol()] = w.Level.MilligramsPerLitre()
		out.Verdicts[w.Nutrient.Symbol()] = w.Verdict().String()
	}
	if f.Mend != nil {
		m := mendOf(*f.Mend)
		out.Mend = &m
	}
	return out
}

func mendOf(m mix.Mend) Mend {
	out := Mend{Kind: m.Kind.String(), Product: m.Product, Factor: m.Factor, Misfit: m.Misfit, Mends: m.Mends, Achieved: map[string]float64{},
		Doses: each(m.Doses, func(d mix.Amount) MendDose {
			return MendDose{Product: d.Product, Grams: d.Mass.Grams(), Spoons: d.Spoons}
		})}
	for _, w := range m.After {
		out.Achieved[w.Nutrient.Symbol()] = w.Achieved.MilligramsPerLitre()
	}
	return out
}

func amissOf(p plan.Plan) *Amiss {
	a := p.Amiss
	if a == nil {
		return nil
	}
	out := &Amiss{Volume: a.Volume.Litres(), Known: a.Known, Before: a.Now.MillisiemensPerCentimetre(), Replace: a.Replace.Litres(), Share: float64(a.Share),
		Add: each(a.Add, func(d mix.Amount) MendDose {
			return MendDose{Product: d.Product, Grams: d.Mass.Grams(), Spoons: d.Spoons}
		}),
		Check: a.Right.MillisiemensPerCentimetre(), PH: a.RightPH, Meter: meterOf(p), Now: map[string]float64{}, After: map[string]float64{}}
	if a.Known {
		out.Now, out.After = levels(a.Before), levels(a.After)
	}
	return out
}

func sharesOf(n mix.NitrogenForms) Shares {
	return Shares{Nitrate: n.Nitrate.Percents(), Ammonium: n.Ammonium.Percents(), Urea: n.Urea.Percents()}
}

func saturation(list []mix.Saturation) map[string]Number {
	out := map[string]Number{}
	for _, m := range shownMinerals {
		out[m.String()] = nil
	}
	for _, s := range list {
		out[s.Mineral.String()] = number(s.Index)
	}
	return out
}

func ureaOf(u mix.UreaStage) Urea {
	return Urea{Week: u.Week, EC: u.EC.MillisiemensPerCentimetre(), PH: u.PH, Ammonium: u.Ammonium.MilligramsPerLitre(), Hydrolysed: float64(u.Hydrolysed),
		Nitrified: float64(u.Nitrified), Nitrate: u.Nitrate.MilligramsPerLitre(), UreaN: u.Urea.MilligramsPerLitre(), Ammonia: u.Ammonia.MilligramsPerLitre(), Stopped: u.Stopped}
}

// metersOf gives what meters show; a pen of a known scale has its own number.
func metersOf(m mix.Meters, pen mix.Pen) Meters {
	out := Meters{Fresh: readingOf(m.Fresh), Day: readingOf(m.Day), Well: band(m.Well), WellPH: band(m.WellPH)}
	if pen != mix.UnknownPen {
		out.Fresh.Shown, out.Day.Shown = number(pen.Shows(m.Fresh.EC)), number(pen.Shows(m.Day.EC))
	}
	return out
}

func readingOf(r mix.MeterReading) Reading {
	return Reading{EC: r.EC.MillisiemensPerCentimetre(), ECBand: band(r.ECBand), PH: r.PH, PHBand: band(r.PHBand)}
}

func band(b mix.Band) [2]float64 { return [2]float64{b.Low, b.High} }
