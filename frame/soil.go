package frame

import (
	_ "embed"
	"math"

	"raftwright/finding"
	"raftwright/internal/table"
	"raftwright/source"
	"raftwright/unit"
)

//go:embed soil.csv
var soilTable string

// Bears is what a soil bears; what is not listed is 0.
type Bears struct {
	Soil     Soil
	Lateral  float64 // sideways on a post, Pa for each metre of depth
	Bearing  unit.Pressure
	Friction float64 // coefficient of sliding
	Source   source.ID
}

// Soils is a table of soils.
type Soils struct{ soils []Bears }

// ReadSoils reads a table with the columns of soil.csv.
func ReadSoils(file, text string) (n Soils, _ finding.Faults) {
	faults := table.Read(file, text, func(r *table.Row) {
		n.soils = append(n.soils, Bears{Soil: Soil(r.Need("key")), Lateral: r.Maybe("lateral_psf_ft", 0, 10000) * float64(unit.PoundPerSquareFoot) / float64(unit.Foot),
			Bearing: unit.Pressure(r.Maybe("bearing_psf", 0, 1e6)) * unit.PoundPerSquareFoot, Friction: r.Maybe("friction", 0, 1), Source: r.Source("source")})
	})
	return n, faults
}

// Of gives what a soil bears; of an unknown one as clay, the weakest listed.
func (n Soils) Of(s Soil) Bears {
	if s == UnknownSoil {
		s = Clay
	}
	for _, b := range n.soils {
		if b.Soil == s {
			return b
		}
	}
	return Bears{Soil: s}
}

// least gives the least of a figure over the soils that have it.
func (n Soils) least(figure func(Bears) float64) float64 {
	low := math.Inf(1)
	for _, b := range n.soils {
		if x := figure(b); x > 0 {
			low = min(low, x)
		}
	}
	return low
}
