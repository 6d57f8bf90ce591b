package answer

import (
	"math"

	"raftwright/lang"
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
	return Meter{m.Pen.String(), m.Pen.Shows(unit.MillisiemensPerCentimetre), m.Inferred, float64(m.Off)}
}

// SaferAcid is what stands on paper in place of a strong acid, and what that costs.
type SaferAcid struct {
	Acid
	RainShare float64 `json:"rain_share"` // of a blend that needs no acid
	Cost      Number  `json:"cost_per_fill"`
	AskedCost Number  `json:"asked_cost_per_fill"`
}

func saferOf(p plan.Plan) *SaferAcid {
	s := p.Safer
	if s == nil {
		return nil
	}
	out := &SaferAcid{Acid: Acid{Adds: map[string]float64{}}, RainShare: float64(s.Rain), Cost: amount(s.Cost), AskedCost: amount(s.AskedCost)}
	if s.Dose != nil {
		out.Acid = acidOf(s.Dose)
	}
	return out
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

// The documents of the two commands on feeding.
type (
	// FoundDocument answers the command found.
	FoundDocument struct {
		*Found
		Told
	}
	// AmissDocument answers the command amiss.
	AmissDocument struct {
		*Amiss
		Told
	}
)

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
	out := &Found{Where: f.Where, PerLitres: f.Per.Litres(), Doses: dosesOf(f.Doses), Target: map[string]float64{}, Achieved: levels(f.Achieved),
		FromWater: levels(f.Water), Verdicts: map[string]string{}, Misfit: f.Misfit, EC: f.EC.MillisiemensPerCentimetre(), PH: f.PH,
		NBand: [2]float64{f.NBand.Low, f.NBand.High}, Shares: Shares{f.Nitrogen.Nitrate.Percents(), f.Nitrogen.Ammonium.Percents(), f.Nitrogen.Urea.Percents()},
		Saturation: saturation(f.Solids), Meters: metersOf(f.Mix.Meters, p.Meter.Pen), Meter: meterOf(p), Urea: ureaOf(f.Urea), Mends: []Mend{}}
	for _, n := range []mix.Nutrient{mix.NitrateN, mix.AmmoniumN, mix.UreaN} {
		out.Achieved[n.Symbol()] = f.Achieved[n].MilligramsPerLitre()
	}
	for _, w := range f.Wishes {
		out.Target[w.Nutrient.Symbol()] = w.Level.MilligramsPerLitre()
		out.Verdicts[w.Nutrient.Symbol()] = w.Verdict().String()
	}
	for _, m := range f.Mends {
		out.Mends = append(out.Mends, mendOf(m))
	}
	if f.Mend != nil {
		m := mendOf(*f.Mend)
		out.Mend = &m
	}
	return out
}

func mendOf(m mix.Mend) Mend {
	out := Mend{Kind: m.Kind.String(), Product: m.Product, Factor: m.Factor, Misfit: m.Misfit, Mends: m.Mends, Doses: []MendDose{}, Achieved: map[string]float64{}}
	for _, d := range m.Doses {
		out.Doses = append(out.Doses, MendDose{d.Product, d.Mass.Grams(), d.Spoons})
	}
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
	out := &Amiss{Volume: a.Volume.Litres(), Known: a.Known, Before: a.Before.MillisiemensPerCentimetre(), Replace: a.Replace.Litres(), Share: float64(a.Share),
		Add: []MendDose{}, Check: a.Reads.MillisiemensPerCentimetre(), PH: a.PH, Meter: meterOf(p), Now: map[string]float64{}, After: map[string]float64{}}
	for _, d := range a.Add {
		out.Add = append(out.Add, MendDose{d.Product, d.Mass.Grams(), d.Spoons})
	}
	if a.Fix != nil {
		out.Now, out.After = levels(a.Fix.Before), levels(a.Fix.After)
	}
	return out
}

// foundIn gives the recipe as found within a whole plan, with what is said of it.
func foundIn(p plan.Plan, words *lang.Printer) *FoundDocument {
	if p.Found == nil {
		return nil
	}
	return &FoundDocument{foundOf(p), Tell(words, p.Found.Findings, p.Found.Assumptions, nil)}
}

func saturation(list []mix.Saturation) map[string]Number {
	out := map[string]Number{}
	for _, m := range shownMinerals {
		out[m.String()] = Number(math.Inf(-1))
	}
	for _, s := range list {
		out[s.Mineral.String()] = Number(s.Index)
	}
	return out
}

func ureaOf(list []mix.UreaStage) []Urea {
	out := []Urea{}
	for _, u := range list {
		out = append(out, Urea{u.Week, u.EC.MillisiemensPerCentimetre(), u.PH, u.Ammonium.MilligramsPerLitre(), float64(u.Hydrolysed), float64(u.Nitrified),
			u.Nitrate.MilligramsPerLitre(), u.Urea.MilligramsPerLitre(), u.Ammonia.MilligramsPerLitre()})
	}
	return out
}

// metersOf gives what meters show; a pen of a known scale has its own number.
func metersOf(m mix.Meters, pen mix.Pen) Meters {
	out := Meters{Fresh: readingOf(m.Fresh), Day: readingOf(m.Day), Well: [2]float64{m.Well.Low, m.Well.High}, WellPH: [2]float64{m.WellPH.Low, m.WellPH.High}}
	if pen != mix.UnknownPen {
		fresh, day := pen.Shows(m.Fresh.EC), pen.Shows(m.Day.EC)
		if !math.IsNaN(fresh) && !math.IsNaN(day) {
			out.Fresh.Shown, out.Day.Shown = &fresh, &day
		}
	}
	return out
}
