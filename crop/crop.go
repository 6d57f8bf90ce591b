// Package crop holds what is grown: a catalogue of 25 crops for a floating raft
// with the source of each group of values, how long seed takes to come up
// (Harrington & Minges 1954), how fast plants grow (van Henten 1994 for
// lettuce, Goudriaan & Monteith 1990 for the rest), what they take up, and how
// long they keep.
//
// It knows nothing of places or seasons: light, temperature and days are
// passed in. Forecasts of weight carry a band of 20 to 30 %, of days ±5.
package crop

import (
	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// Range is a least and a most.
type Range[T ~float64] struct{ Min, Max T }

// Middle gives the value half way.
func (r Range[T]) Middle() T { return (r.Min + r.Max) / 2 }

// Holds says whether a value lies in the range, ends included.
func (r Range[T]) Holds(x T) bool { return x >= r.Min && x <= r.Max }

// Model says which growth model a crop uses.
type Model string

// Growth models.
const (
	TwoState   Model = "two-state"  // van Henten 1994, with one factor a crop
	Expolinear Model = "expolinear" // Goudriaan & Monteith 1990, fitted to the crop's own days and weight
)

// Tipburn is how easily the inner tips of a crop burn.
type Tipburn string

// Grades of tipburn (samarakoon2020 and practice).
const (
	NoTipburn    Tipburn = "no"
	SlowTipburn  Tipburn = "slow"
	UsualTipburn Tipburn = "usual"
	EasyTipburn  Tipburn = "prone"
)

// Density is plants on a square metre of raft.
type Density float64

// Crop is one row of the catalogue. Weights are of one plant (or pot of herbs);
// where a crop is picked again and again, of its whole time on the raft.
type Crop struct {
	ID      string // "lettuce_leaf"
	Name    string // plain English; lang has "crop.name.<ID>"
	Aliases []string
	Species string
	Rating  int // 1 (not on a raft) to 5 (easy), common practice

	Spacing Range[unit.Length]
	Plants  Range[Density]
	Nursery Range[unit.Duration] // from emergence to the raft
	Raft    Range[unit.Duration] // from the raft to harvest
	EC      Range[unit.Conductivity]
	PH      Range[float64]

	AirBest   Range[unit.Temperature]
	Rise      unit.Temperature // growth gains with the 24 h mean up to here
	AirLimit  Range[unit.Temperature]
	FrostKill unit.Temperature // plants in soil, hardened
	Chills    bool             // harmed by cold well above freezing, at or below Chill
	Chill     unit.Temperature
	RootBest  Range[unit.Temperature]
	RootUpper unit.Temperature
	HeatLimit unit.Temperature // mean of 24 h above which it bolts, turns bitter or stops
	Light     Range[unit.DailyLight]
	Mass      Range[unit.Mass]
	Week      unit.Mass // what a person eats in a week (common practice)

	Germination Germination
	Together    int // plants that share a hole (common practice)
	Storage     Storage
	LongDay     bool    // bolts in long days
	Tipburn     Tipburn // how easily the inner tips burn

	Water  Coefficients
	Growth Growth
	Cited  Cited
}

// Growth is what the growth models need to know of a crop.
type Growth struct {
	Model     Model
	Factor    float64          // on the light use of the model: 1 is butterhead lettuce
	Base      unit.Temperature // no growth at or below this 24 h mean
	DryMatter unit.Fraction    // of fresh mass
	Shoot     unit.Fraction    // share of dry mass that is harvested
	Seedling  unit.Mass        // dry mass of a seedling that goes on the raft
}

// Germination is the range in which seed comes up. Given is false for a crop
// that is not raised from seed.
type Germination struct {
	Given          bool
	Min, Best, Max unit.Temperature
	AtBest         unit.Duration
	Sold           unit.Fraction // least of the seed sold in the US that comes up (7 CFR 201.31; Utah R68-8-9 where not listed)
	row            *emergenceRow // of the table, nil for none
}

// Storage is how a harvested crop keeps.
type Storage struct {
	At  Range[unit.Temperature]
	For Range[unit.Duration]
}

// Coefficients are the FAO-56 crop coefficients (table 12) and basal ones
// (table 17), which leave out evaporation from wet soil.
type Coefficients struct {
	Group                           string
	Start, Full, End                float64
	BasalStart, BasalFull, BasalEnd float64
}

// Cited lists the sources of each group of values.
type Cited struct {
	Spacing, Nursery, Raft, EC, PH, Air, Frost, Root, Light, Mass, Heat, Germination, Seed, Storage []source.ID
}

// Word is the crop's name for translation.
func (c Crop) Word() finding.Word { return finding.Word("crop.name." + c.ID) }

// Remark is the sentence about growing this crop on a raft.
func (c Crop) Remark() finding.ID { return finding.ID("crop.remark." + c.ID) }

// HarvestWay is the phrase that says how it is cut.
func (c Crop) HarvestWay() finding.Word { return finding.Word("crop.harvest." + c.ID) }

// Coldest is the 24 h mean below which the crop stands still: half the speed of
// its cold ramp, and never under the published lower limit. For lettuce 8 °C,
// the lower edge of the usual outdoor window.
func (c Crop) Coldest() unit.Temperature { return max(c.AirLimit.Min, c.Growth.Base+4) }

// Watch is the mean of the solution above which the roots of the crop are looked at daily,
// Act that above which something is done: two degrees under the top of what they like and
// of what they stand. For lettuce 23 and 26 °C (solution-limits).
func (c Crop) Watch() unit.Temperature { return c.RootBest.Max - 2 }

// Act is told at Watch.
func (c Crop) Act() unit.Temperature { return c.RootUpper - 2 }

// SunLight is the light a day above which the crop wants cloth in hot weather: 1.6 times what it
// likes, for lettuce 27 mol, the middle of the 25 to 30 of teaching texts (memory).
func (c Crop) SunLight() unit.DailyLight { return 1.6 * c.Light.Max }

// Hot says whether a mean daily high or the mean of the solution is too warm for the crop in
// full sun: 2 °C above its best air, for lettuce 26 °C (teaching texts shade it above about 80 °F,
// memory), or above Watch.
func (c Crop) Hot(high, solution unit.Temperature) bool {
	return high > c.AirBest.Max+2 || solution > c.Watch()
}

// SoftMargin is how much warmer a crop on a raft is taken to die than the hardened
// plants in soil of the growers' lists (own judgement, 1 to 2 °C).
const SoftMargin = unit.TemperatureStep(2)

// AssumeSoft says that a crop on a raft is softer than those of the lists.
const AssumeSoft finding.ID = "crop.soft"

// Killing gives the cold of the air that ends the crop on the raft, and the chance of
// it that a window may carry: the growers' killing temperature and the margin of a
// soft plant. Tender crops carry it in one year of ten, as extension sheets set their
// dates; the others in half of the years, and at no more than a freeze, 0 °C. For
// lettuce it is -2 °C, the usual limit of nights of its outdoor window (memory).
func (c Crop) Killing() (unit.Temperature, unit.Fraction) {
	soft := c.FrostKill + unit.Temperature(SoftMargin)
	if c.Chills {
		return soft, 0.1
	}
	return min(soft, 0), 0.5
}

// SoftAssumption tells the margin of Killing.
func (c Crop) SoftAssumption() finding.Assumption {
	soft, _ := c.Killing()
	return finding.Assumption{ID: AssumeSoft, Source: source.OwnChoice, Args: finding.Args{"Crop": c.Word(), "Kill": c.FrostKill, "Soft": soft}}
}
