package programme

import (
	"strconv"
	"time"
)

// Day is a day of the calendar, counted from 1 January 1970; 0 is none.
type Day int

const dayForm = "2006-01-02"

// ParseDay reads a day as 2027-07-05. Years run from 1971 to 2200.
func ParseDay(text string) (Day, bool) {
	if len(text) != len(dayForm) || text[4] != '-' || text[7] != '-' {
		return 0, false
	}
	year, month, day := digits(text[:4]), digits(text[5:7]), digits(text[8:])
	if year < 1971 || year > 2200 || month < 1 || month > 12 || day < 1 {
		return 0, false
	}
	begin, end := dayOf(year, month), dayOf(year, month+1)
	if day > int(end-begin) {
		return 0, false
	}
	return begin + Day(day-1), true
}

// digits gives the number that a text of digits says, -1 for another text.
func digits(text string) (n int) {
	for _, r := range []byte(text) {
		if r < '0' || r > '9' {
			return -1
		}
		n = 10*n + int(r-'0')
	}
	return n
}

// dayOf gives the first day of a month of the Gregorian calendar, of the thirteenth that of the next year. A folder has a day in every row, and time.Parse takes
// three times as long.
func dayOf(year, month int) Day {
	before := year - 1
	n := 365*before + before/4 - before/100 + before/400
	for m := range month - 1 {
		n += monthDays[m]
	}
	if month > 2 && year%4 == 0 && (year%100 != 0 || year%400 == 0) {
		n++
	}
	return Day(n - before1970)
}

// before1970 counts the days from 1 January of the year 1 to 31 December 1969.
const before1970 = 719162

var monthDays = [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// Time gives the first moment of the day, by UTC.
func (d Day) Time() time.Time { return time.Unix(int64(d)*24*60*60, 0).UTC() }

// String gives the day as 2027-07-05, "" for none.
func (d Day) String() string { return string(d.append(nil)) }

func (d Day) append(to []byte) []byte {
	if d == 0 {
		return to
	}
	year, month, day := d.Time().Date()
	two := func(n int) { to = append(to, byte('0'+n/10%10), byte('0'+n%10)) }
	two(year / 100)
	two(year)
	to = append(to, '-')
	two(int(month))
	to = append(to, '-')
	two(day)
	return to
}

// Month gives the month as 2027-07.
func (d Day) Month() string { return d.String()[:7] }

// Range is a stretch of days, both ends inside.
type Range struct{ From, To Day }

// Has tells whether a day lies in the range.
func (r Range) Has(d Day) bool { return r.From <= d && d <= r.To }

// Days counts the days of the range.
func (r Range) Days() int { return max(0, int(r.To-r.From)+1) }

// Decimal is an exact figure with as many places as were written: hours, pounds, dollars. The zero value is not given.
type Decimal struct {
	units  int64 // of the last place
	places int32
	Given  bool
}

// mostPlaces bounds the places that are read, so that products stay exact.
const mostPlaces = 4

// ParseDecimal reads a figure without a sign and without an exponent.
func ParseDecimal(text string) (Decimal, bool) {
	d, dot := Decimal{Given: true}, -1
	digits := 0
	for i, r := range []byte(text) {
		switch {
		case r == '.' && dot < 0:
			dot = i
		case r >= '0' && r <= '9' && digits < 15:
			d.units = d.units*10 + int64(r-'0')
			digits++
		default:
			return Decimal{}, false
		}
	}
	if dot >= 0 {
		d.places = int32(len(text) - dot - 1)
	}
	return d, digits > 0 && d.places <= mostPlaces && dot != len(text)-1
}

var tens = [...]int64{1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9}

func (d Decimal) at(places int32) int64 { return d.units * tens[places-d.places] }

// Add gives the sum, with the places of the one that has more.
func (d Decimal) Add(e Decimal) Decimal {
	places := max(d.places, e.places)
	return Decimal{d.at(places) + e.at(places), places, true}
}

// Times gives the exact product.
func (d Decimal) Times(e Decimal) Decimal {
	return Decimal{d.units * e.units, d.places + e.places, d.Given && e.Given}
}

// Cents gives the figure with two places, half up.
func (d Decimal) Cents() Decimal {
	if d.places <= 2 {
		return Decimal{d.at(2), 2, true}
	}
	by := tens[d.places-2]
	return Decimal{(d.units + by/2) / by, 2, true}
}

// Less compares two figures.
func (d Decimal) Less(e Decimal) bool {
	places := max(d.places, e.places)
	return d.at(places) < e.at(places)
}

// over gives how often a figure goes into this one, rounded down.
func (d Decimal) over(e Decimal) int64 {
	places := max(d.places, e.places)
	if e.units == 0 {
		return 0
	}
	return d.at(places) / e.at(places)
}

// Float gives the figure for what need not be exact.
func (d Decimal) Float() float64 { return float64(d.units) / float64(tens[d.places]) }

// String gives the figure with its places, "" where none is given.
func (d Decimal) String() string {
	if !d.Given {
		return ""
	}
	text := strconv.FormatInt(d.units, 10)
	if d.places == 0 {
		return text
	}
	for len(text) <= int(d.places) {
		text = "0" + text
	}
	return text[:len(text)-int(d.places)] + "." + text[len(text)-int(d.places):]
}

// Maybe is a whole number that may be left blank.
type Maybe struct {
	Given bool
	N     int
}

// String gives the number, "" where it was left blank.
func (m Maybe) String() string {
	if !m.Given {
		return ""
	}
	return strconv.Itoa(m.N)
}
