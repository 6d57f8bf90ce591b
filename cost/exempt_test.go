package cost

import (
	"testing"

	"raftwright/finding"
)

// limits of 2019 to 2021, as the FDA adjusted them: 25,000 and 500,000 dollars of 2011 are 29,245 and 584,908
// (1,000,000 = 1,169,816 on its page; the others computed from it and read second-hand).
var limits = SalesLimits{Food: 584908, Produce: 29245, From: "page of the FDA, read 2022-04-01"}

func three(food, produce, users float64) []YearSales {
	return []YearSales{{2019, food, produce, users, false}, {2020, food, produce, users, false}, {2021, food, produce, users, false}}
}

// Each limit has its own case, on it and beside it (21 CFR 112.4 and 112.5).
func TestSalesStandToTheirLimits(t *testing.T) {
	for _, c := range []struct {
		name  string
		years []YearSales
		want  SalesStanding
	}{
		{"produce on the limit", three(900000, 29245, 0), Below},
		{"a dollar over, half to users", three(500000, 29246, 250000), Above},
		{"a dollar over, more than half to users", three(500000, 29246, 250001), Qualified},
		{"food a dollar under", three(584907, 300000, 584907), Qualified},
		{"food on the limit", three(584908, 300000, 584908), Above},
		{"a first year alone: its produce on the limit", []YearSales{{Year: 2019, Blank: true}, {Year: 2020, Blank: true}, {2021, 900000, 29245, 0, false}}, Below},
		{"a first year alone, a dollar over", []YearSales{{Year: 2019, Blank: true}, {Year: 2020, Blank: true}, {2021, 900000, 29246, 0, false}}, Above},
		{"two years: their mean on the limit", []YearSales{{Year: 2019, Blank: true}, {2020, 900000, 29000, 0, false}, {2021, 900000, 29490, 0, false}}, Below},
		{"two years: their mean over it", []YearSales{{Year: 2019, Blank: true}, {2020, 900000, 29000, 0, false}, {2021, 900000, 29492, 0, false}}, Above},
		{"the mean of three years counts", []YearSales{{2019, 0, 0, 0, false}, {2020, 0, 0, 0, false}, {2021, 87000, 87000, 0, false}}, Below},
	} {
		s, faults := CheckSales(2022, c.years, limits)
		if len(faults) > 0 || s.Standing != c.want {
			t.Errorf("%s: %s %v, not %s", c.name, s.Standing, faults, c.want)
		}
	}
}

func TestSalesThatCannotBeChecked(t *testing.T) {
	for _, c := range []struct {
		years  []YearSales
		limits SalesLimits
		want   finding.ID
	}{
		{three(1, 1, 1)[:2], limits, FaultSalesYears},
		{append(three(1, 1, 1)[:2], YearSales{2018, 1, 1, 1, false}), limits, FaultSalesYears},
		{append(three(1, 1, 1), YearSales{2018, 1, 1, 1, false}), limits, FaultSalesYears},
		{[]YearSales{{Year: 2019, Blank: true}, {Year: 2020, Blank: true}, {Year: 2021, Blank: true}}, limits, FaultSalesYears},
		{three(1, 1, 1), SalesLimits{Food: 1, Produce: 1}, FaultLimits},
		{three(1, 1, 1), SalesLimits{Produce: 1, From: "x"}, FaultLimits},
		{three(1, 1, 1), SalesLimits{Food: 1, Produce: 2, From: "x"}, FaultLimits},
	} {
		if _, faults := CheckSales(2022, c.years, c.limits); len(faults) != 1 || faults[0].ID != c.want {
			t.Errorf("%v: %v", c, faults)
		}
	}
	years, faults := ReadSales("s.csv", "year,all_food,produce,to_end_users\n2019,100,50,60\n")
	if len(faults) > 0 || len(years) != 1 || years[0] != (YearSales{2019, 100, 50, 60, false}) {
		t.Error(years, faults)
	}
	years, faults = ReadSales("s.csv", "year,all_food,produce,to_end_users\n2019,,,\n2020,100,50,60\n")
	if len(faults) > 0 || len(years) != 2 || years[0] != (YearSales{Year: 2019, Blank: true}) {
		t.Error(years, faults)
	}
	for _, bad := range []string{"year,all_food,produce,to_end_users\n2019,100,,60\n", "year,all_food\n2019,\n", "year,all_food,produce,to_end_users\n2019,100,150,60\n", "year,all_food,produce,to_end_users\n2019,100,15,160\n", "year,all_food,produce,to_end_users\n19,100,50,60\n", "year\n2019\n", ""} {
		if _, faults := ReadSales("s.csv", bad); len(faults) == 0 || faults[0].File != "s.csv" {
			t.Errorf("%q: %v", bad, faults)
		}
	}
}
