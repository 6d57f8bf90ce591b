package crop

import (
	"math"

	"raftwright/finding"
	"raftwright/unit"
)

// WaterUse is grams of dry matter made for each litre that goes through the
// plants: 3 in open, dry air to 6 in humid air with CO2 (Langenfeld et al. 2022).
type WaterUse float64

// Water use efficiencies, g dry a litre (Langenfeld et al. 2022).
const (
	OpenAirWaterUse WaterUse = 3
)

// Refill gives the strength of the water that replaces what the plants drink,
// so that the bed neither piles up nor runs out: wanted tissue (share of dry
// matter) times water use (Langenfeld et al. 2022). Tissue 4.5 % nitrogen at
// 3 g/L asks for 135 mg/L. Error about 25 % before the EC log corrects it.
func Refill(tissue unit.Fraction, use WaterUse) unit.MassConcentration {
	return unit.MassConcentration(float64(tissue)*float64(use)) * unit.GramPerLitre
}

// WaterForGrowth gives the water that goes through a planting while it makes so
// much dry matter, roots included: the second opinion on water use.
func WaterForGrowth(dry unit.Mass, use WaterUse) unit.Volume {
	return unit.Volume(dry.Grams()/float64(use)) * unit.Litre
}

// Weather is what a planting went through on the raft, for its risks.
type Weather struct {
	DegreeDaysOverHeat float64          // °C·d of 24 h means above the crop's heat limit
	LastLight          unit.DailyLight  // mean of the last two weeks, at the plants
	LastAir            unit.Temperature // mean of the last two weeks
	LongestDay         unit.Duration    // daylight
	FirstAir           unit.Temperature // mean of the first week
	Roots              unit.Temperature // warmest daily mean of the solution
	LastWind           unit.Speed       // at the heads, mean of the last two weeks
}

// Findings of a planting's weather.
const (
	FindBolt     finding.ID = "crop.bolt"
	FindBoltLong finding.ID = "crop.bolt_long_days"
	FindTipburn  finding.ID = "crop.tipburn"
	FindRoots    finding.ID = "crop.warm_roots"
	FindLegal    finding.ID = "crop.legal"
	FindNotRaft  finding.ID = "crop.not_on_a_raft"
)

// Limits behind the risks (own judgement, on the sources beside them).
const (
	boltDegreeDays = 20.0 // °C·d over the heat limit that make bolting likely
	longDay        = 14 * unit.Hour
)

// tipSure is the share of TipLight that is likely to burn tips (own judgement).
const tipSure = 1.5

// tipLight gives the light above which inner tips burn, mol a day, in still air of 20 °C and
// more: 17 for butterhead (both1997, memory), more for kinds that burn less (own judgement).
func (b Tipburn) tipLight() float64 {
	switch b {
	case EasyTipburn:
		return 17
	case UsualTipburn:
		return 21
	case SlowTipburn:
		return 25
	}
	return math.Inf(1)
}

// TipLight gives the light a day above which inner tips of the crop burn; infinite for a crop
// whose tips do not. Growth in cool air asks for less calcium: 5 % more light for each degree
// under 20 °C, half more at most (own judgement). Wind on the heads of 1 m/s lets them
// stand 3.4 times as much: with air blown on them none burned at 57.6 mol (frantz2004; the
// speed is a judgement).
func (c Crop) TipLight(air unit.Temperature, wind unit.Speed) unit.DailyLight {
	cool := max(0, min(10, 20-air.Celsius()))
	return unit.DailyLight(c.Tipburn.tipLight() * (1 + 0.05*cool) * (1 + 2.4*max(0, min(1, float64(wind)))))
}

// Risks gives what may go wrong with the planting in its weather: bolting,
// tipburn, roots in warm solution. Nothing is certain here; a risk is a note,
// or a caution where it is likely.
func (c Crop) Risks(w Weather) []finding.Finding {
	var out []finding.Finding
	add := func(id finding.ID, s finding.Severity, figure any, args finding.Args, from finding.Finding) {
		args["Crop"] = c.Word()
		from.ID, from.Severity, from.Figure, from.Args = id, s, figure, args
		out = append(out, from)
	}
	if w.DegreeDaysOverHeat > 0 {
		sev := finding.Note
		if w.DegreeDaysOverHeat >= boltDegreeDays {
			sev = finding.Caution
		}
		add(FindBolt, sev, w.DegreeDaysOverHeat, finding.Args{"Limit": c.HeatLimit}, finding.Finding{Source: "auburn2019"})
	}
	if c.LongDay && w.LongestDay > longDay && w.LastAir > c.AirBest.Middle() {
		add(FindBoltLong, finding.Note, w.LongestDay, finding.Args{"Day": w.LongestDay}, finding.Finding{Source: "memory"})
	}
	// told by whole moles, as both are printed: "29 is more than 29" helps nobody, and no forecast of light is that fine
	if most := c.TipLight(w.LastAir, w.LastWind); math.Round(float64(w.LastLight)) > math.Round(float64(most)) {
		sev := finding.Note
		if w.LastLight > tipSure*most {
			sev = finding.Caution
		}
		add(FindTipburn, sev, w.LastLight, finding.Args{"Light": w.LastLight, "Ceiling": most}, finding.Finding{Source: "both1997"})
	}
	if w.Roots > c.RootBest.Max {
		sev := finding.Note
		if w.Roots > c.RootUpper {
			sev = finding.Caution
		}
		add(FindRoots, sev, w.Roots, finding.Args{"Roots": w.Roots, "Upper": c.RootUpper}, finding.Finding{Source: "bates1984"})
	}
	return out
}

// Suitability says what a grower must know before choosing the crop at all.
func (c Crop) Suitability() []finding.Finding {
	var out []finding.Finding
	if c.Rating <= 1 {
		out = append(out, finding.Finding{ID: FindNotRaft, Severity: finding.Caution, Args: finding.Args{"Crop": c.Word()}, Source: "practice"})
	}
	if c.ID == "water_spinach" {
		out = append(out, finding.Finding{ID: FindLegal, Severity: finding.Caution, Hurts: finding.Purse, Args: finding.Args{"Crop": c.Word()}, Source: "memory"})
	}
	return out
}
