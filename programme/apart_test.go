package programme_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"raftwright/programme"
)

// sitesThatCut is a year of three of one county with twelve sites that each cut once a month, of which some months may be left to be written later.
func sitesThatCut(months int) programme.Records {
	return smallYear(func(x *programme.Records) {
		x.Funders[0].To = on("2028-06-30")
		x.Events = append(x.Events, programme.Event{ID: "E", Date: on("2028-02-01"), County: "A", Education: true, Adults: 40})
		for i := range 12 {
			id := fmt.Sprint("T", i)
			x.Sites = append(x.Sites, programme.Site{ID: id, County: "A", Opened: on("2027-01-01")})
			x.Beds = append(x.Beds, programme.Bed{ID: id, Site: id, Length: 8, Width: 4, Planted: on("2027-01-01")})
			for m := range months {
				x.Harvests = append(x.Harvests, cut(i, m, "H", 10+float64((7*i+3*m)%5)/4))
			}
		}
	})
}

// cut is a harvest of a site in a month, counted from January 2028.
func cut(site, month int, name string, pounds float64) programme.Harvest {
	return programme.Harvest{ID: fmt.Sprint(name, site, "-", month), Date: on(fmt.Sprintf("%d-%02d-10", 2028+month/12, 1+month%12)), Bed: fmt.Sprint("T", site), Crop: "lettuce", Heads: 10, Pounds: dollars(fmt.Sprintf("%.2f", pounds)), Fate: "given"}
}

// given tells whether the pounds that were given are shown for a time, and the edition.
func given(t *testing.T, x programme.Records, from, to, asOf string) (bool, *programme.Edition) {
	t.Helper()
	x.Funders = slices.Clone(x.Funders)
	x.Funders[0].From, x.Funders[0].To = on(from), on(to)
	e := report(t, x, "F", asOf).Public()
	for _, f := range e.Figures {
		if f.Measure == "pounds_given" && f.County == programme.All {
			return f.Why == "", e
		}
	}
	t.Fatal("no pounds")
	return false, nil
}

// An amount that waits since a row was written late can go out with what came after: the edition names the time whose report shows it, and that report does. Where the time after went out alone
// before, it would tell the same, so the two together are not shown; where the two together went out, the time after alone is not.
func TestAnAmountThatWaitsGoesOutWithWhatCameAfter(t *testing.T) {
	x := sitesThatCut(12)
	shown, first := given(t, x, "2028-01-01", "2028-06-30", "2028-07-05")
	if !shown {
		t.Fatal("the first edition shows no pounds")
	}
	x.Published = first.Remember()
	x.Harvests = append(x.Harvests, cut(3, 4, "LATE", 9))
	shown, again := given(t, x, "2028-01-01", "2028-06-30", "2028-07-20")
	if last, wait := again.Together(); shown || !wait || last != 0 {
		t.Errorf("as of July: shown %v, waits %v, with what came by %s", shown, wait, last)
	}
	shown, again = given(t, x, "2028-01-01", "2028-06-30", "2028-12-31")
	last, wait := again.Together()
	if shown || !wait || last != on("2028-09-30") {
		t.Errorf("as of December: shown %v, waits %v, with what came by %s", shown, wait, last)
	}
	both := func(x programme.Records) bool {
		shown, _ := given(t, x, "2028-01-01", last.String(), "2028-12-31")
		return shown
	}
	after := func(x programme.Records) (bool, *programme.Edition) {
		return given(t, x, "2028-07-01", last.String(), "2028-12-31")
	}
	if !both(x) {
		t.Error("the report that is named does not show the pounds")
	}
	alone := x
	shown, e := after(x)
	if !shown {
		t.Error("the time after has nothing to do with what came late, and is not shown alone")
	}
	alone.Published = slices.Concat(x.Published, e.Remember())
	if both(alone) {
		t.Error("with the first half and the time after, the two together tell of one site")
	}
	joined := x
	_, e = given(t, x, "2028-01-01", last.String(), "2028-12-31")
	joined.Published = slices.Concat(x.Published, e.Remember())
	if shown, _ := after(joined); shown {
		t.Error("with the first half and the two together, the time after tells of one site")
	}
	if last, wait := first.Together(); wait || last != 0 {
		t.Error("nothing waits in an edition that shows all")
	}
}

// Whoever adds and subtracts up to four editions that went out finds nobody's own pounds, whatever their times and whatever was written late between them: random offices, of which
// the test knows when each row was written.
func TestNoFewEditionsTellOfOneSite(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	shownSome, withheldSome := 0, 0
	for seed := range uint64(25) {
		r := rand.New(rand.NewPCG(seed, 13))
		x := sitesThatCut(0)
		type row struct {
			h  programme.Harvest
			at int // after how many editions it was written
		}
		var rows []row
		for i := range 12 {
			for m := range 6 {
				at := 0
				if r.IntN(30) == 0 {
					at = 1 + r.IntN(4)
				}
				rows = append(rows, row{cut(i, m, "H", 5+float64(r.IntN(400))/100), at})
			}
		}
		type out struct {
			from, to programme.Day
			at       int
		}
		var went []out
		for n := range 6 {
			x.Harvests = nil
			for _, h := range rows {
				if h.at <= n {
					x.Harvests = append(x.Harvests, h.h)
				}
			}
			from := r.IntN(6)
			to := from + r.IntN(6-from)
			begin, end := on(fmt.Sprintf("2028-%02d-01", from+1)), on(fmt.Sprintf("2028-%02d-01", to+2))-1
			shown, e := given(t, x, begin.String(), end.String(), "2028-12-31")
			x.Published = append(x.Published, e.Remember()...)
			if !shown {
				withheldSome++
				continue
			}
			shownSome++
			went = append(went, out{begin, end, n})
		}
		own := func(o out) (sum [12]float64) {
			for k, h := range rows {
				if h.at <= o.at && o.from <= h.h.Date && h.h.Date <= o.to {
					sum[k/6] += h.h.Pounds.Float()
				}
			}
			return sum
		}
		signs := make([]int, len(went))
		var look func(i, used int)
		look = func(i, used int) {
			if i == len(went) {
				var left [12]float64
				open := map[programme.Day]int{}
				for k, by := range signs {
					for g, v := range own(went[k]) {
						left[g] += float64(by) * v
					}
					for m := range 6 {
						if d := on(fmt.Sprintf("2028-%02d-10", m+1)); by != 0 && went[k].from <= d && d <= went[k].to {
							open[d] += by
						}
					}
				}
				for _, v := range open {
					if v != 0 { // what is left is of a time, which other tests look at
						return
					}
				}
				n := 0
				for _, v := range left {
					if math.Abs(v) > 1e-6 {
						n++
					}
				}
				if used > 1 && n > 0 && n < 5 {
					t.Errorf("seed %d: %v with %v tell of %d sites", seed, went, signs, n)
				}
				return
			}
			for _, by := range []int{0, 1, -1} {
				if by != 0 && used == 4 {
					continue
				}
				signs[i] = by
				look(i+1, used+by*by)
			}
			signs[i] = 0
		}
		look(0, 0)
	}
	if shownSome < 40 || withheldSome < 10 {
		t.Errorf("too little is tried: %d shown, %d not", shownSome, withheldSome)
	}
}
