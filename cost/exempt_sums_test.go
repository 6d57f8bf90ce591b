package cost

import (
	"strings"
	"testing"
)

// A mean that is just the limit is at it, whichever three years make it, and just half is not more than half: thirds that were added had a billionth too much.
func TestMeansAtTheLimitByAnyThreeYears(t *testing.T) {
	const produce, food = 29245, 584908 // 2011's 25,000 and 500,000 dollars by the published adjustment of 2019 to 2021
	limits := SalesLimits{Food: food, Produce: produce, From: "page of the FDA"}
	three := func(of func(i int) YearSales) (out []YearSales) {
		for i := range 3 {
			y := of(i)
			y.Year = 2024 + i
			out = append(out, y)
		}
		return out
	}
	at := []float64{34833, 48061, 4841} // three times the limit
	for _, more := range []float64{0, 0.01} {
		s, faults := CheckSales(2027, three(func(i int) YearSales { return YearSales{Food: at[i] + more, Produce: at[i] + more} }), limits)
		if len(faults) > 0 || (s.Standing == Below) != (more == 0) {
			t.Errorf("%v above the limit: %s %v", more, s.Standing, faults)
		}
	}
	half, whole := []float64{6970, 19644, 13249}, []float64{13940, 26498, 39288}
	limits.Produce = 100
	for more, want := range map[float64]SalesStanding{0: Above, 0.01: Qualified} {
		s, _ := CheckSales(2027, three(func(i int) YearSales { return YearSales{Food: whole[i], Produce: whole[i], Qualified: half[i] + more} }), limits)
		if s.Standing != want {
			t.Errorf("%v above the half: %s, not %s", more, s.Standing, want)
		}
	}
	limits.Food = (13940 + 26498 + 39288) / 3.0
	s, _ := CheckSales(2027, three(func(i int) YearSales { return YearSales{Food: whole[i], Produce: whole[i], Qualified: whole[i]} }), limits)
	if s.Standing != Above { // under the limit, not at it
		t.Errorf("at the limit of food: %s", s.Standing)
	}
}

// A figure that is none is told once, not as a whole that its parts are larger than.
func TestASaleThatIsNoNumberIsToldOnce(t *testing.T) {
	_, faults := ReadSales("s.csv", "year,all_food,produce,to_end_users\n2024,-5,600,700\n2025,500,600,100\n")
	var got []string
	for _, f := range faults {
		got = append(got, string(f.ID))
	}
	if strings.Join(got, " ") != "table.fault.number cost.fault.sales_parts" {
		t.Error(got)
	}
}
