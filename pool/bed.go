// Package pool is the solution in the bed as a body of water: how warm it gets
// through a typical day of each month, in a hot spell and in a cold night, and
// how much oxygen it holds against what the roots take.
//
// The heat balance is one well-mixed lump (own model on textbook coefficients;
// ASHRAE resistances, Swinbank 1963 for the sky). No hour-by-hour record of a
// raft pool was found to test it against: daily means carry ±2 °C, until
// readings of the bed itself correct one offset.
package pool

import (
	"raftwright/sky"
	"raftwright/unit"
)

// Foam is the kind of a raft's foam board.
type Foam string

// Foams, by the types of ASTM C578.
const (
	XPS     Foam = "xps" // extruded, coloured
	EPS1    Foam = "eps-1"
	EPS     Foam = "eps" // expanded, type II, white
	EPS8    Foam = "eps-8"
	EPS9    Foam = "eps-9"
	EPS11   Foam = "eps-11"
	EPS14   Foam = "eps-14"
	EPS15   Foam = "eps-15"
	NoFoam  Foam = "none"
	perInch      = 0.1761 / float64(unit.Inch) // m2 K/W a metre, for 1 h ft2 F/Btu an inch
)

// resistivity gives the design resistance of a metre of foam, m2 K/W: the least
// of ASTM C578 at 75 F for the type, times 0.9 for a wet underside (80 to 90 %
// is met, memory).
func (f Foam) resistivity() float64 {
	r := 0.0
	switch f {
	case XPS:
		r = 5.0
	case EPS1:
		r = 3.6
	case EPS8:
		r = 3.8
	case EPS:
		r = 4.0
	case EPS9, EPS14:
		r = 4.2
	case EPS11:
		r = 3.1
	case EPS15:
		r = 4.3
	}
	return r * perInch * wetFoam
}

const wetFoam = 0.9

// Lid is what the sun sees of the raft.
type Lid string

// Lids.
const (
	WhiteLid    Lid = "white"    // white foam or white paint
	ColouredLid Lid = "coloured" // bare grey, blue or pink board
	BlackLid    Lid = "black"
)

// absorbed gives the share of sun that warms the lid (memory): white foam 0.20
// to 0.30, bare coloured board 0.5 to 0.7, black film 0.90 to 0.95.
func (l Lid) absorbed() float64 {
	switch l {
	case WhiteLid:
		return 0.25
	case BlackLid:
		return 0.92
	}
	return 0.60
}

// Bed is what the heat balance needs of a bed. Area, Rim and Depth describe the
// water; a round or tapered vessel gives its own.
type Bed struct {
	Area   unit.Area   // of the water's surface, inside the rim
	Rim    unit.Length // around the water
	Depth  unit.Length // of the solution
	Volume unit.Volume // 0: Area × Depth

	Foam      Foam
	Thickness unit.Length   // of the raft
	Gap       unit.Fraction // of the surface that is open water; 0: 5 %
	Lid       Lid           // "": white for expanded, coloured for extruded foam

	Side      unit.Length // thickness of the boards; 0: 1-1/2 in
	FloorFoam unit.Length // foam under the liner; 0: none
	OffGround bool        // on a deck: air below
	Canopy    unit.Fraction
}

// Water at 20 °C (textbook values, memory).
const (
	waterDensity = 998.2  // kg/m3
	waterHeat    = 4182.0 // J/kg/K
	meltingHeat  = 334e3  // J/kg
)

// Films and resistances (ASHRAE, memory).
const (
	waterFilm   = 0.005 // m2 K/W, water side of any wall
	softwood    = 0.12  // W/m/K, also plywood
	groundAdmit = 12.0  // W/m2/K, admittance of soil for one day: what is shorter than a day or two goes no deeper
	deckFilm    = 10.0  // W/m2/K, air under a deck
	radiative   = 5.7   // W/m2/K, 4 ε σ T³ near 20 °C
	wallSun     = 0.35  // mean of four walls, share of the flat's radiation (own)
	woodAbsorbs = 0.6   // of sun
	gapAbsorbs  = 0.9   // open water over black film
	houseFilm   = 9.0   // W/m2/K, inside a house, convection and radiation
	usualGap    = 0.05  // open share of the surface
	usualSide   = 38e-3 // m
)

// full fills what was not given.
func (b Bed) full() Bed {
	if b.Volume <= 0 {
		b.Volume = b.Area.Deep(b.Depth)
	}
	if b.Gap <= 0 {
		b.Gap = usualGap
	}
	if b.Side <= 0 {
		b.Side = usualSide
	}
	if b.Lid == "" {
		b.Lid = ColouredLid
		if b.Foam != XPS {
			b.Lid = WhiteLid
		}
	}
	if b.Foam == NoFoam || b.Foam == "" || b.Thickness <= 0 {
		b.Gap = 1 // no raft: all of it is open
	}
	return b
}

// Films are the outside films of a bed: raft and walls, and open gaps with their
// evaporation made linear, W/m2/K.
type Films struct{ Outside, Gap float64 }

// Conductances are the heat that a bed exchanges for each degree, W/K, its heat
// capacity, J/K, and its time constant.
type Conductances struct {
	Raft, Gap, Sides, Floor float64
	Ground                  float64 // of the floor and the soil below it, to the soil that follows the year
	Capacity                float64
	TimeConstant            unit.Duration
}

// Sum gives all the conductances together, W/K.
func (c Conductances) Sum() float64 { return c.Raft + c.Gap + c.Sides + c.Floor }

// raftResistance gives the foam's resistance, m2 K/W.
func (b Bed) raftResistance() float64 { return b.Foam.resistivity() * b.Thickness.Metres() }

// Conductances gives the exchange of a bed under these films; raft gives the
// foam's resistance in m2 K/W, or 0 to take it from the foam's type.
func (b Bed) Conductances(f Films, raft float64) Conductances {
	b = b.full()
	if raft <= 0 {
		raft = b.raftResistance()
	}
	area := b.Area.SquareMetres()
	c := Conductances{Capacity: b.Volume.CubicMetres() * waterDensity * waterHeat}
	if b.Gap < 1 {
		c.Raft = area * float64(1-b.Gap) / (raft + 1/f.Outside + waterFilm)
	}
	c.Gap = area * float64(b.Gap) * f.Gap
	c.Sides = b.Rim.Metres() * b.Depth.Metres() / (b.Side.Metres()/softwood + 1/f.Outside + waterFilm)
	c.Floor = area / b.floorResistance(groundAdmit)
	c.Ground = area / b.floorResistance(sky.SoilConductance)
	c.TimeConstant = unit.Duration(c.Capacity / c.Sum())
	return c
}

// floorResistance gives the resistance, m2 K/W, of the floor on soil of a conductance, W/m2/K.
func (b Bed) floorResistance(soil float64) float64 {
	r := 1 / soil
	if b.OffGround {
		r = 1 / deckFilm
	}
	return r + EPS.resistivity()/wetFoam*b.FloorFoam.Metres()
}
