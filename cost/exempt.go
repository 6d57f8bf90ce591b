package cost

import (
	"math"

	"raftwright/finding"
	"raftwright/internal/table"
)

// Faults of the figures of sales.
const (
	FaultSalesYears finding.ID = "cost.fault.sales_years" // not the three years before
	FaultSalesParts finding.ID = "cost.fault.sales_parts" // a part larger than its whole
	FaultLimits     finding.ID = "cost.fault.limits"      // no limits, or not said from where
)

// YearSales are the sales of a calendar year, in dollars: all food, the produce in it, and of all food what went to
// qualified end-users (21 CFR 112.3: a consumer, or a restaurant or store in the same State or within 275 miles).
type YearSales struct {
	Year                     int
	Food, Produce, Qualified float64
	Blank                    bool // nothing was written: not a year without sales, which says 0
}

// SalesLimits are the two limits as adjusted for inflation, which the user enters from the page of the FDA.
type SalesLimits struct {
	Food, Produce float64
	From          string // the page, and the day it was read
}

// SalesStanding is how sales stand to the limits by their figures alone; it is no ruling.
type SalesStanding string

// Standings of sales.
const (
	Below     SalesStanding = "below"     // produce at or under its limit (21 CFR 112.4)
	Qualified SalesStanding = "qualified" // food under its limit and more than half to qualified end-users (112.5)
	Above     SalesStanding = "above"     // neither
)

// SalesSheet is the yearly check of a small grower.
type SalesSheet struct {
	For           int // the year that the check is for
	Years         []YearSales
	Limits        SalesLimits
	Food, Produce float64 // means of the years that are not blank, three at most
	ToUsers       float64 // mean of what went to qualified end-users
	Standing      SalesStanding
}

// mostSales bounds a figure that is typed, dollars.
const mostSales = 1e9

// ReadSales reads a table with the columns year, all_food, produce and to_end_users. Of a year before the first sale the three may be blank.
func ReadSales(file, text string) (out []YearSales, faults finding.Faults) {
	faults = table.Read(file, text, func(r *table.Row) {
		if r.Text("all_food")+r.Text("produce")+r.Text("to_end_users") == "" && r.Has("all_food") && r.Has("produce") && r.Has("to_end_users") {
			out = append(out, YearSales{Year: int(r.Number("year", 2000, 2200)), Blank: true})
			return
		}
		before := r.Faults()
		y := YearSales{Year: int(r.Number("year", 2000, 2200)), Food: r.Number("all_food", 0, mostSales), Produce: r.Number("produce", 0, mostSales), Qualified: r.Number("to_end_users", 0, mostSales)}
		if r.Faults() == before && (y.Produce > y.Food || y.Qualified > y.Food) {
			r.Wrong(FaultSalesParts, "all_food", finding.Args{"Year": y.Year})
		}
		out = append(out, y)
	})
	return out, faults
}

// CheckSales holds the means of the three calendar years before a year against the limits. A blank year is left out of them, and not taken as one of 0, which
// would make them smaller (our rule, no source: how the federal rule counts a first year was not read).
func CheckSales(year int, years []YearSales, limits SalesLimits) (SalesSheet, finding.Faults) {
	s := SalesSheet{For: year, Limits: limits, Years: years}
	if limits.Food <= 0 || limits.Produce <= 0 || limits.Produce > limits.Food || limits.From == "" {
		return s, finding.Faults{{ID: FaultLimits}}
	}
	met, told := map[int]bool{}, 0
	for _, y := range years {
		met[y.Year] = true
		if !y.Blank {
			told++
		}
	}
	var food, produce, users float64 // of all years: thirds that are added can pass a limit at which their mean is
	for _, y := range years {
		if !y.Blank {
			food, produce, users = food+y.Food, produce+y.Produce, users+y.Qualified
		}
	}
	of, cents := float64(told), func(dollars float64) float64 { return math.Round(100 * dollars) }
	s.Food, s.Produce, s.ToUsers = food/max(1, of), produce/max(1, of), users/max(1, of)
	if told == 0 || len(years) != 3 || !met[year-1] || !met[year-2] || !met[year-3] {
		return s, finding.Faults{{ID: FaultSalesYears, Args: finding.Args{"From": year - 3, "To": year - 1}}}
	}
	switch {
	case cents(produce) <= cents(of*limits.Produce):
		s.Standing = Below
	case cents(food) < cents(of*limits.Food) && 2*cents(users) > cents(food):
		s.Standing = Qualified
	default:
		s.Standing = Above
	}
	return s, nil
}
