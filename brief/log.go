package brief

import "raftwright/unit"

// Record is one visit to the bed. What was read is of the bed before anything of
// that visit was done; what was done follows in the order of the fields.
type Record struct {
	Section
	When Field[Moment] `key:"at" need:"yes" eg:"2027-05-03T08:00"`

	PH               Field[float64]                `key:"ph" range:"0..14" eg:"6.4"`
	EC               Field[unit.Conductivity]      `key:"ec" range:"0 mS/cm..10000 mS/cm" eg:"1.5 mS/cm"` // a slip of the unit is told by the tending
	WaterTemperature Field[unit.Temperature]       `key:"water temperature" range:"-2 C..50 C" eg:"75 F" si:"24 C"`
	Depth            Field[unit.Length]            `key:"depth" range:"0 in..1.5 m" eg:"5-1/4 in" si:"133 mm"`
	Oxygen           Field[unit.MassConcentration] `key:"oxygen" range:"0 mg/L..40 mg/L" eg:"7.5 mg/L"`
	Alkalinity       Field[unit.Reading]           `key:"alkalinity" range:"0..100000" forms:"CaCO3|HCO3|CO3" eg:"60 mg/L CaCO3"`
	Nitrate          Field[unit.Reading]           `key:"nitrate-n" range:"0..100000" forms:"N|NO3|NO3-N|N-NO3" eg:"110 mg/L"`
	Ammonium         Field[unit.Reading]           `key:"ammonium-n" range:"0..100000" forms:"N|NH4|NH3|NH4-N|NH3-N|N-NH4" eg:"5 mg/L"`
	AirHigh          Field[unit.Temperature]       `key:"air high" range:"-60 C..60 C" eg:"84 F" si:"29 C"`
	AirLow           Field[unit.Temperature]       `key:"air low" range:"-70 C..55 C" eg:"61 F" si:"16 C"`
	Rain             Field[unit.Length]            `key:"rain" range:"0 mm..2 m" eg:"1/2 in" si:"12 mm"`
	Lab              Lab                           `key:"lab" like:"water"`
	Seen             []Field[string]               `key:"seen" max:"30" eg:"[young_interveinal, roots_brown]"`
	Roots            Field[Roots]                  `key:"roots" words:"white|cream|brown|slimy" eg:"white"`
	Note             Field[string]                 `key:"note" eg:"a frog in the bed"`

	Dumped        Field[unit.Volume]   `key:"dumped" range:"0 L..10000 m3" eg:"20 gal" si:"80 L"`
	Filled        Field[Filling]       `key:"filled" words:"yes|water" eg:"yes"`
	AddedWater    Field[unit.Volume]   `key:"added water" range:"0 L..10000 m3" eg:"3 gal" si:"12 L"`
	AddedSolution AddedSolution        `key:"added solution" short:"volume"`
	Added         Table[Amount]        `key:"added" max:"100" range:"0..100000" eg:"30 g"`
	AddedAcid     Field[Amount]        `key:"added acid" range:"0..100000" eg:"10 mL"`
	Planted       Planted              `key:"planted" short:"heads"`
	Harvested     Harvested            `key:"harvested"`
	Lost          Field[int]           `key:"lost" range:"0..100000" eg:"2"`
	Air           Field[OnOff]         `key:"air" words:"on|off" eg:"on"`
	Shade         Field[unit.Fraction] `key:"shade" range:"0 %..100 %" eg:"40 %"`
	Leak          Field[Sought]        `key:"leak" words:"none|patched" eg:"none"`
}

// Lab is a laboratory's analysis of the solution.
type Lab struct {
	Section
	Name Field[string] `key:"name" eg:"county laboratory"`
	Test
}

// Roots is how roots look.
type Roots string

// Looks of roots.
const (
	WhiteRoots Roots = "white"
	CreamRoots Roots = "cream"
	BrownRoots Roots = "brown"
	SlimyRoots Roots = "slimy"
)

// Filling says what an emptied bed was filled with.
type Filling string

// Fillings.
const (
	FilledMix   Filling = "yes"   // the planned mix
	FilledWater Filling = "water" // plain water
)

// OnOff is a switch.
type OnOff string

// Switches.
const (
	On  OnOff = "on"
	Off OnOff = "off"
)

// Sought is what came of looking for a leak.
type Sought string

// What comes of it.
const (
	NoLeak      Sought = "none"    // nothing was found
	LeakPatched Sought = "patched" // one was, and was patched
)

// AddedSolution is planned mix that was added, at a strength (left out: 100 %).
type AddedSolution struct {
	Section
	Volume   Field[unit.Volume]   `key:"volume" need:"yes" range:"0 L..10000 m3" eg:"5 gal" si:"20 L"`
	Strength Field[unit.Fraction] `key:"strength" range:">0 %..1000 %" eg:"50 %"`
}

// Planted is what was set on the raft. The age counts from seed.
type Planted struct {
	Section
	Heads Field[int]           `key:"heads" need:"yes" range:"0..100000" eg:"32"`
	Crop  Field[string]        `key:"crop" eg:"basil"`
	Age   Field[unit.Duration] `key:"age" range:"0 d..365 d" eg:"21 d"`
}

// Harvested is what was cut at one moment.
type Harvested struct {
	Section
	Heads Field[int]       `key:"heads" range:"0..100000" eg:"4"`
	Mass  Field[unit.Mass] `key:"mass" range:"0 g..100000 kg" eg:"2.1 lb" si:"0.95 kg"`
}
