// Package usual is what is taken where a brief says nothing, and the small rules of thumb
// that no table holds: each figure once, with its standing. A figure that was read
// somewhere has a table or a source of its own; here is common practice, what comes
// from memory, and our own choice. The edition of a plan goes by them (Rules).
package usual

import (
	"fmt"
	"strings"

	"raftwright/source"
	"raftwright/unit"
)

// The bed.
const (
	Depth      = 6 * unit.Inch
	Wall       = 2 * unit.Inch     // brim over the water of a tub of unknown height
	BoardThick = 3 * unit.Inch / 2 // dressed two-by lumber, PS 20-20
	Side       = "2x8"
	End        = "2x10"
	Lumber     = "southern-pine-2"
	Liner      = 6 * unit.Mil
	Turn       = 6 * unit.Inch  // of the liner over a timber rim, with a batten
	Level      = unit.Inch / 4  // from end to end, as the ground is asked for in 8 ft
	Longest    = 20 * unit.Foot // the longest board to be had, where nothing is known of the yard
	Everywhere = 16 * unit.Foot // the longest board that every yard stocks
	Hose       = 5 * unit.Flow(unit.Gallon) / 60
	Bucket     = 5 * unit.Gallon
	MostSheets = 20            // of foam, in a bed that is laid out for heads
	LeastTub   = 4 * unit.Inch // of water in a tub that is offered in place of one too heavy
)

// The raft.
const (
	SheetWidth  = 4 * unit.Foot
	SheetLength = 8 * unit.Foot
	Thickness   = 3 * unit.Inch / 2
	Gap         = unit.Inch / 2
	Spacing     = 12 * unit.Inch
	Hole        = 5 * unit.Inch / 2
	Dip         = unit.Inch / 16 // of a pot's foot below the raft
	RimOverHole = unit.Inch / 4  // of a pot
	PotMass     = 60 * unit.Gram // with its plug and seedling
	HeadMass    = 250 * unit.Gram
	Lost        = unit.Fraction(0.1) // of the plants, between planting and harvest
	PotStep     = unit.Inch / 2      // by which pots grow taller in stores
)

// The feed.
const (
	Shelf    = "hydroponic base powder 5-12-26, calcium nitrate 15.5-0-0, potassium nitrate, monopotassium phosphate, Epsom salt" // of a store
	Recipe   = "lettuce"
	Nursery  = 50 * unit.Percent // of a raft recipe, for young plants
	PH       = 5.8               // that an acid is asked for
	Ascorbic = 100 * unit.Gram   // in a jar
	Keeps    = 5.0               // years that a dry fertilizer keeps in its bag

	ScaleStep = unit.Gram // of a kitchen scale
)

// A pocket meter: a reading this near is of this scale; further off, it wants to be set;
// two scales closer to each other than this cannot be told apart.
const (
	MeterFine   = 0.03
	MeterOff    = 0.10
	MeterClear  = 0.03 // at most this far from its own scale
	MeterAnyone = 0.06 // and at least this far from the next
)

// Warmth.
const (
	HeatTo      = unit.Temperature(16) // the ends of what is fine for a leaf crop's solution, 60 to 75 °F
	CoolTo      = unit.Temperature(24)
	Warmth      = unit.Temperature(25) // of a solution of which nothing is known
	LeastHeater = unit.Power(5)        // worth a sentence
)

// Work and money of a small bed.
const (
	BuildTime    = 6 * unit.Hour // one bed, two people for half a morning
	WeeklyTime   = unit.Hour     // looking after one bed
	PlantTime    = 1.5 * unit.Hour
	HeadTime     = 60 * unit.Second // cut, wash, pack
	Sold         = unit.Fraction(0.9)
	CropsAYear   = 5.0 // without a calendar
	ScrewPack    = 10.0
	PaintSheets  = 3.0              // painted from a quart
	AirLine      = 10.0             // feet to each air stone
	Tank         = 50 * unit.Gallon // from here on a tub is a tank, as for cattle
	FoamPricedAt = Thickness        // of the board that foam is priced by
	LinerYears   = 5                // of a liner that count when liners are compared: as long as boards are taken to last
)

// Rule is one figure with its standing.
type Rule struct {
	Key    string
	Value  any
	Source source.ID
}

// Rules lists every figure.
func Rules() []Rule {
	const practice, own = source.CommonPractice, source.OwnChoice
	return []Rule{
		{"Depth", Depth, practice}, {"Wall", Wall, own}, {"BoardThick", BoardThick, "ps20"}, {"Side", Side, practice}, {"End", End, practice}, {"Lumber", Lumber, practice},
		{"Liner", Liner, practice}, {"Turn", Turn, practice}, {"Level", Level, practice}, {"Longest", Longest, practice}, {"Everywhere", Everywhere, practice},
		{"Hose", Hose, practice}, {"Bucket", Bucket, practice}, {"MostSheets", MostSheets, own}, {"LeastTub", LeastTub, own},
		{"SheetWidth", SheetWidth, practice}, {"SheetLength", SheetLength, practice}, {"Thickness", Thickness, practice}, {"Gap", Gap, practice}, {"Spacing", Spacing, practice},
		{"Hole", Hole, practice}, {"Dip", Dip, practice}, {"RimOverHole", RimOverHole, practice}, {"PotMass", PotMass, practice}, {"HeadMass", HeadMass, practice},
		{"Lost", Lost, practice}, {"PotStep", PotStep, practice},
		{"Shelf", Shelf, practice}, {"Recipe", Recipe, practice}, {"Nursery", Nursery, practice}, {"PH", PH, practice}, {"Ascorbic", Ascorbic, practice}, {"Keeps", Keeps, practice}, {"ScaleStep", ScaleStep, practice},
		{"MeterFine", MeterFine, practice}, {"MeterOff", MeterOff, practice}, {"MeterClear", MeterClear, practice}, {"MeterAnyone", MeterAnyone, practice},
		{"HeatTo", HeatTo, practice}, {"CoolTo", CoolTo, practice}, {"Warmth", Warmth, practice}, {"LeastHeater", LeastHeater, own},
		{"BuildTime", BuildTime, practice}, {"WeeklyTime", WeeklyTime, practice}, {"PlantTime", PlantTime, practice}, {"HeadTime", HeadTime, practice}, {"Sold", Sold, practice},
		{"CropsAYear", CropsAYear, practice}, {"ScrewPack", ScrewPack, practice}, {"PaintSheets", PaintSheets, practice}, {"AirLine", AirLine, practice}, {"Tank", Tank, practice},
		{"FoamPricedAt", FoamPricedAt, own}, {"LinerYears", LinerYears, own},
	}
}

// Text gives all figures as text, by which an edition tells them apart.
func Text() string {
	var b strings.Builder
	for _, r := range Rules() {
		fmt.Fprintln(&b, r.Key, r.Value, r.Source)
	}
	return b.String()
}
