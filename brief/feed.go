package brief

import "raftwright/unit"

// WaterKind is a typical water, for want of a test.
type WaterKind string

// Typical waters.
const (
	RainWater WaterKind = "rain"
	SoftWater WaterKind = "soft"
	HardWater WaterKind = "hard"
)

// Limits hold elements between bounds: figures that must be reached, or that
// must not be passed.
type Limits struct {
	Section
	Figures
}

// Shown is a scale of a conductivity meter, as it is printed on the meter.
type Shown string

// Scales of meters. The three kinds of ppm show 500, 640 and 700 for 1 mS/cm.
const (
	ShowsMilliSiemens Shown = "mS/cm"
	ShowsDeciSiemens  Shown = "dS/m"
	ShowsMicroSiemens Shown = "uS/cm"
	ShowsFactor       Shown = "CF"
	ShowsPPM500       Shown = "ppm 500"
	ShowsPPM640       Shown = "ppm 640"
	ShowsPPM700       Shown = "ppm 700"
)

// Meter is the grower's own conductivity meter.
type Meter struct {
	Section
	Shows Field[Shown] `key:"shows" words:"mS/cm|dS/m|uS/cm|CF|ppm 500|ppm 640|ppm 700" eg:"ppm 500" help:"the scale printed on the meter; ppm meters differ, so say which"`
	Known KnownDip     `key:"known" help:"what it shows in a solution of known conductivity, which tells the scale"`

	ECError Field[unit.Fraction] `key:"ec error" range:"0 %..50 %" eg:"5 %" help:"how far off the conductivity meter may be (one standard deviation)"`
	PHError Field[float64]       `key:"ph error" range:"0..3" eg:"0.2" help:"how far off the pH meter may be (one standard deviation)"`
	Checked Field[Date]          `key:"checked" eg:"2027-04-20" help:"day on which the meters were last set in known solutions"`
}

// KnownDip is a reading in a solution whose conductivity is known.
type KnownDip struct {
	Section
	EC    Field[unit.Conductivity] `key:"ec" need:"yes" range:">0 mS/cm..100 mS/cm" eg:"1.41 mS/cm" help:"conductivity on the bottle of the solution, at 25 C"`
	Reads Field[float64]           `key:"reads" need:"yes" range:">0..1000000" eg:"707" help:"the bare number that the meter shows in it"`
}

// Found is anybody's recipe, from a page, a neighbour or a label.
type Found struct {
	Section
	Where   Field[string]      `key:"where" eg:"a web page" help:"where the recipe comes from"`
	Per     Field[unit.Volume] `key:"per" need:"yes" range:">0 L..100 m3" eg:"1 gal" si:"1 L" help:"how much water the amounts are for"`
	Amounts Table[Amount]      `key:"amounts" max:"50" range:">0..100000" eg:"2 tsp" si:"10 g" help:"so much of each product: level spoons of a powder, grams, or the volume of a liquid"`
}

// Amiss is a bed that holds what it should not.
type Amiss struct {
	Section
	Volume Field[unit.Volume]       `key:"volume" range:">0 L..10000 m3" eg:"95 gal" si:"360 L" help:"what is in the bed now; left out: the bed filled to its depth"`
	PutIn  Table[Amount]            `key:"put in" max:"50" range:">0..100000" eg:"900 g" help:"everything put into this water so far, for the whole bed"`
	Reads  Field[unit.Conductivity] `key:"reads" range:">0 mS/cm..100 mS/cm" eg:"3.4 mS/cm" help:"what the meter shows in the bed now"`
	Wanted Field[unit.Conductivity] `key:"wanted" range:">0 mS/cm..20 mS/cm" eg:"1.6 mS/cm" help:"what it should show; left out: the reading of this brief's own mix"`
}
