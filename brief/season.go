package brief

import (
	"time"

	"raftwright/cost"

	"raftwright/unit"
)

// Crop is what is grown.
type Crop struct {
	Section
	Name     Field[string] `key:"name" eg:"lettuce" first:"yes" help:"name of the crop"`
	Cultivar Field[string] `key:"cultivar" eg:"leaf" help:"type or cultivar"`
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
	HeadsPerWeek Field[float64]        `key:"heads per week" range:">0..100000" eg:"8" help:"heads wanted each week"`
	People       Field[int]            `key:"people" range:"1..10000" eg:"4" help:"people to feed, in place of heads per week"`
	FirstHarvest Field[Date]           `key:"first harvest" eg:"2027-04-15" help:"first day of harvest wanted"`
	LastHarvest  Field[Date]           `key:"last harvest" eg:"2027-10-31" help:"last day of harvest wanted"`
	Staged       Field[bool]           `key:"staged" eg:"yes" help:"yes: each batch has its own rows of the raft; no: the whole raft at once"`
	HarvestDays  []Field[time.Weekday] `key:"harvest days" max:"7" eg:"[Tue, Thu]" help:"days of the week on which harvest is possible"`
	Breaks       []Break               `key:"breaks" max:"200" help:"times when nobody comes"`
}

// Break is a time when nobody comes, both days included.
type Break struct {
	Section
	From Field[Date] `key:"from" need:"yes" eg:"2027-06-20" help:"first day away"`
	To   Field[Date] `key:"to" need:"yes" eg:"2027-07-05" help:"last day away"`
}

// Price is an amount of money, for a unit where one was written: "15 USD/h".
type Price struct {
	cost.Money
	Per string // "h", "lb"; "" for the thing itself
}

// Prices are what things cost here.
type Prices struct {
	Section
	Currency Field[string] `key:"currency" eg:"USD" help:"three letters; prices elsewhere in the brief must agree"`
	On       Field[Date]   `key:"on" eg:"2027-03-01" help:"day on which the prices were seen"`
	Place    Field[string] `key:"place" eg:"our county" help:"where they were seen"`
	Head     Field[Price]  `key:"head" eg:"2.50 USD" help:"what a head sells for, or saves"`
	Labor    Field[Price]  `key:"labor" per:"h" eg:"15 USD/h" help:"what an hour of work costs; 0 USD/h where it is free"`
	Items    Table[Price]  `key:"items" max:"500" per:"*" eg:"12.50 USD" help:"price of things by name"`
}

// Cut is a cutting job of its own.
type Cut struct {
	Section
	Kerf   Field[unit.Length] `key:"kerf" range:"0 in..1 in" eg:"1/8 in" si:"3 mm" help:"width that the saw takes"`
	Trim   Field[unit.Length] `key:"trim" range:"0 in..2 ft" eg:"0 in" si:"0 mm" help:"cut off each end of a new board before use"`
	Stock  []Stick            `key:"stock" max:"200" short:"length" help:"boards that can be bought"`
	OnHand []Stick            `key:"on hand" max:"2000" short:"length" help:"boards and offcuts that are there already"`
	Pieces []Piece            `key:"pieces" max:"2000" short:"length" help:"pieces to cut"`
}

// Stick is a length of board that can be bought or is on hand.
type Stick struct {
	Section
	Length Field[unit.Length] `key:"length" need:"yes" range:">0 in..1000 m" eg:"10 ft" si:"3 m" help:"its length"`
	Price  Field[Price]       `key:"price" eg:"12.50 USD" help:"price of one"`
	Count  Field[int]         `key:"count" range:"0..100000" eg:"6" help:"how many there are; left out: no limit for stock, one on hand"`
}

// Piece is something to cut.
type Piece struct {
	Section
	Name   Field[string]      `key:"name" eg:"side" help:"what it is for"`
	Length Field[unit.Length] `key:"length" need:"yes" range:">0 in..1000 m" eg:"97 in" si:"2460 mm" help:"its length"`
	Count  Field[int]         `key:"count" range:"0..100000" eg:"2" help:"how many; left out: one"`
}
