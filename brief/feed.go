package brief

import (
	"strconv"
	"strings"

	"raftwright/unit"
)

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

// PPM gives what a scale of ppm shows for 1 mS/cm, which is in its name; 0 for any other.
func (s Shown) PPM() float64 {
	switch s {
	case ShowsPPM500, ShowsPPM640, ShowsPPM700:
		n, _ := strconv.ParseFloat(strings.TrimPrefix(string(s), ppm), 64)
		return n
	}
	return 0
}

// Meter is the grower's own conductivity meter.
type Meter struct {
	Section
	Shows Field[Shown] `key:"shows" words:"mS/cm|dS/m|uS/cm|CF|ppm 500|ppm 640|ppm 700" eg:"ppm 500" else:"plan.meter_inferred"`
	Known KnownDip     `key:"known"`

	ECError Field[unit.Fraction] `key:"ec error" range:"0 %..50 %" eg:"5 %"`
	PHError Field[float64]       `key:"ph error" range:"0..3" eg:"0.2"`
	Checked Field[Date]          `key:"checked" eg:"2027-04-20"`
}

// KnownDip is a reading in a solution whose conductivity is known.
type KnownDip struct {
	Section
	EC    Field[unit.Conductivity] `key:"ec" need:"yes" range:">0 mS/cm..100 mS/cm" eg:"1.41 mS/cm"`
	Reads Field[float64]           `key:"reads" need:"yes" range:">0..1000000" eg:"707"`
}

// Found is anybody's recipe, from a page, a neighbour or a label.
type Found struct {
	Section
	Where   Field[string]      `key:"where" eg:"a web page"`
	Per     Field[unit.Volume] `key:"per" need:"yes" range:">0 L..100 m3" eg:"1 gal" si:"1 L"`
	Amounts Table[Amount]      `key:"amounts" max:"50" range:">0..100000" eg:"2 tsp" si:"10 g"`
}

// Amiss is a bed that holds what it should not.
type Amiss struct {
	Section
	Volume Field[unit.Volume]       `key:"volume" range:">0 L..10000 m3" eg:"95 gal" si:"360 L" else:"plan.amiss_volume"`
	PutIn  Table[Amount]            `key:"put in" max:"50" range:">0..100000" eg:"900 g"`
	Reads  Field[unit.Conductivity] `key:"reads" range:">0 mS/cm..100 mS/cm" eg:"3.4 mS/cm"`
	Wanted Field[unit.Conductivity] `key:"wanted" range:">0 mS/cm..20 mS/cm" eg:"1.6 mS/cm" else:"plan.amiss_wanted"`
}
