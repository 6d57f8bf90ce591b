package brief

import (
	"time"

	"raftwright/cost"
	"raftwright/unit"
)

// Crop is what is grown.
type Crop struct {
	Section
	Name     Field[string] `key:"name" eg:"lettuce" first:"yes" else:"plan.crop"`
	Cultivar Field[string] `key:"cultivar" eg:"leaf" else:"crop.kind"`
}

// Date is a day of the calendar, without a clock or a time zone.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// Moment is a time on the bed's own clock, without a time zone.
type Moment struct {
	Date
	Hour, Minute int
}

// Schedule is how much is wanted, and when.
type Schedule struct {
	Section
	HeadsPerWeek Field[float64]        `key:"heads per week" range:">0..100000" eg:"8" else:"plan.heads_per_person|plan.heads_full"`
	People       Field[int]            `key:"people" range:"1..10000" eg:"4"`
	FirstHarvest Field[Date]           `key:"first harvest" eg:"2027-04-15" else:"plan.first_harvest|season.year"`
	LastHarvest  Field[Date]           `key:"last harvest" eg:"2027-10-31" else:"plan.last_harvest"`
	Staged       Field[bool]           `key:"staged" eg:"yes" else:"plan.staged"`
	HarvestDays  []Field[time.Weekday] `key:"harvest days" max:"7" eg:"[Tue, Thu]" else:"season.harvest_day"`
	Breaks       []Break               `key:"breaks" max:"200"`
}

// Break is a time when nobody comes, both days included.
type Break struct {
	Section
	From Field[Date] `key:"from" need:"yes" eg:"2027-06-20"`
	To   Field[Date] `key:"to" need:"yes" eg:"2027-07-05"`
}

// Price is an amount of money, for a unit where one was written: "15 USD/h".
type Price struct {
	cost.Money
	Per string // "h", "lb"; "" for the thing itself
}

// Rate is what was paid in one currency for one of another.
type Rate struct {
	Paid cost.Money
	For  string
	On   Date // zero where it was not said
}

// Prices are what things cost here.
type Prices struct {
	Section
	Currency Field[string] `key:"currency" eg:"USD" else:"plan.currency"`
	Rate     Field[Rate]   `key:"rate" eg:"17.1 MXN per USD on 2027-03-01"`
	On       Field[Date]   `key:"on" eg:"2027-03-01"`
	Place    Field[string] `key:"place" eg:"our county"`
	Head     Field[Price]  `key:"head" eg:"2.50 USD"`
	Labor    Field[Price]  `key:"labor" per:"h" eg:"15 USD/h" else:"cost.no_labor"`
	Items    Table[Price]  `key:"items" max:"500" per:"*" eg:"12.50 USD" else:"cost.assumed_prices|plan.power_price"`
}

// Cut is a cutting job of its own.
type Cut struct {
	Section
	Kerf   Field[unit.Length] `key:"kerf" range:"0 in..1 in" eg:"1/8 in" si:"3 mm" else:"cut.kerf"`
	Trim   Field[unit.Length] `key:"trim" range:"0 in..2 ft" eg:"0 in" si:"0 mm"`
	Stock  []Stick            `key:"stock" max:"200" short:"length" else:"plan.stock|plan.stock_size"`
	OnHand []Stick            `key:"on hand" like:"cut.stock" max:"2000" short:"length"`
	Pieces []Piece            `key:"pieces" max:"2000" short:"length"`
}

// Stick is a length of board that can be bought or is on hand.
type Stick struct {
	Section
	Length Field[unit.Length] `key:"length" need:"yes" range:">0 in..1000 m" eg:"10 ft" si:"3 m"`
	Price  Field[Price]       `key:"price" eg:"12.50 USD"`
	Count  Field[int]         `key:"count" range:"0..100000" eg:"6"`
}

// Piece is something to cut.
type Piece struct {
	Section
	Name   Field[string]      `key:"name" eg:"side"`
	Length Field[unit.Length] `key:"length" need:"yes" range:">0 in..1000 m" eg:"97 in" si:"2460 mm"`
	Count  Field[int]         `key:"count" range:"0..100000" eg:"2"`
}
