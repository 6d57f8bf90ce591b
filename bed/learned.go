package bed

import "raftwright/unit"

// Learned is what the log of a bed teaches of it beside the model: factors, 1 where nothing was learned (0 in the zero value, where
// nobody looked), with the spread of their logarithm, and by how much its solution is warmer.
type Learned struct {
	Growth, GrowthSpread float64
	Water, WaterSpread   float64
	Warmth, WarmthSpread unit.TemperatureStep
	Weighed, Read        int  // harvests that were weighed, and readings of the solution's warmth
	Lost                 bool // the log cannot be followed: growth and thirst are of what was weighed alone
}
