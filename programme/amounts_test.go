package programme_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"raftwright/programme"
)

// Two editions give no site's pounds away by subtraction: after what went out in spring, a month in which four sites cut leaves the amount out, one in which five did does not. A
// county's line tells as much as the total does; what is the same as before is shown again.
func TestAmountsCannotBeSubtracted(t *testing.T) {
	for _, c := range []struct {
		later int // sites that cut after the first edition
		shown bool
	}{{0, true}, {1, false}, {4, false}, {5, true}, {8, true}} {
		x := smallYear(func(x *programme.Records) {
			for _, county := range []string{"B", "C"} {
				x.Counties = append(x.Counties, programme.County{ID: county, Name: county})
			}
			for _, county := range []string{"A", "B"} {
				x.Events = append(x.Events, programme.Event{ID: "E" + county, Date: on("2028-02-01"), County: county, Education: true, Adults: 40})
				for i := range 8 {
					id := county + fmt.Sprint(i)
					x.Sites = append(x.Sites, programme.Site{ID: id, County: county, Opened: on("2027-01-01")})
					x.Beds = append(x.Beds, programme.Bed{ID: id, Site: id, Length: 8, Width: 4, Planted: on("2027-01-01")})
					x.Harvests = append(x.Harvests, programme.Harvest{ID: "H" + id, Date: on("2028-03-01"), Bed: id, Crop: "lettuce", Heads: 20, Pounds: dollars("10.5"), Fate: "given"})
					if county == "B" && i < c.later {
						x.Harvests = append(x.Harvests, programme.Harvest{ID: "L" + id, Date: on("2028-07-01"), Bed: id, Crop: "lettuce", Heads: 6, Pounds: dollars("3.25"), Fate: "given"})
					}
				}
			}
		})
		first := report(t, x, "F", "2028-06-30").Public()
		x.Published = first.Remember()
		if text := first.WithRemembered(); !strings.Contains(text, "all,\"pounds_given, hundredths\",16800,no") || !strings.Contains(text, "B,\"pounds_given, hundredths\",8400,no") {
			t.Fatal("the amounts that went out are not kept:", text)
		}
		second := report(t, x, "F", "2028-07-31").Public()
		for _, f := range second.Figures {
			if (f.Measure == "pounds_given" || f.Measure == "heads_given") && f.County != "others" && (f.Why == "") != c.shown {
				t.Errorf("%d sites cut since: %s of %s is %q", c.later, f.Name(), f.County, f.Text)
			}
		}
		if (len(second.Near) == 0) != c.shown {
			t.Errorf("%d sites cut since: told %v", c.later, second.Near)
		}
	}
}

// What was corrected, taken out or written late after an edition went out can be subtracted from the next as well as what is new, and hours as well as harvests: each alone is left
// out of the amount where it is of four givers, and not where it is of five. Of what was written late nobody knows whose it is, so it is left out until five others are new.
func TestCorrectedAmountsCannotBeSubtracted(t *testing.T) {
	pounds, heads, hours := []string{"pounds_given", "value_given"}, []string{"heads_given"}, []string{"hours_service", "hours_value"}
	add := func(x *programme.Records, i int, table, action, field, value string) {
		x.Corrections = append(x.Corrections, programme.Correction{ID: fmt.Sprint("X", i), MadeOn: on("2028-07-10"), Table: table, Record: fmt.Sprint(map[string]string{"harvests": "H", "hours": "S"}[table], i), Action: action, Field: field, New: value})
	}
	harvest := func(x *programme.Records, i int, day string) {
		x.Harvests = append(x.Harvests, programme.Harvest{ID: fmt.Sprint("L", i, day), Date: on(day), Bed: fmt.Sprint("B", i), Crop: "lettuce", Heads: 6, Pounds: dollars("3.25"), Fate: "given"})
	}
	for _, c := range []struct {
		what   string
		later  func(x *programme.Records)
		hidden []string
	}{
		{"nothing", func(*programme.Records) {}, nil},
		{"a harvest weighed again", func(x *programme.Records) { add(x, 0, "harvests", "change", "pounds", "12") }, pounds},
		{"four weighed again, two up and two down by as much", func(x *programme.Records) {
			for i := range 4 {
				add(x, i, "harvests", "change", "pounds", []string{"12", "9"}[i%2])
			}
		}, pounds},
		{"five weighed again", func(x *programme.Records) {
			for i := range 5 {
				add(x, i, "harvests", "change", "pounds", "12")
			}
		}, nil},
		{"a harvest counted again", func(x *programme.Records) { add(x, 3, "harvests", "change", "heads", "21") }, heads},
		{"a harvest taken out", func(x *programme.Records) { add(x, 3, "harvests", "void", "", "") }, append(pounds, heads...)},
		{"a harvest written late", func(x *programme.Records) { harvest(x, 1, "2028-05-01") }, append(pounds, heads...)},
		{"one written late, of four sites new", func(x *programme.Records) {
			harvest(x, 1, "2028-05-01")
			for i := range 4 {
				harvest(x, i, "2028-07-02")
			}
		}, append(pounds, heads...)},
		{"one written late, of five sites new", func(x *programme.Records) {
			harvest(x, 1, "2028-05-01")
			for i := range 5 {
				harvest(x, i, "2028-07-02")
			}
		}, nil},
		{"hours of one corrected", func(x *programme.Records) { add(x, 2, "hours", "change", "hours", "3") }, hours},
		{"hours of four taken out", func(x *programme.Records) {
			for i := range 4 {
				add(x, i, "hours", "void", "", "")
			}
		}, hours},
		{"hours of five corrected", func(x *programme.Records) {
			for i := range 5 {
				add(x, i, "hours", "change", "hours", "3")
			}
		}, nil},
		{"hours of four new", func(x *programme.Records) {
			for i := range 4 {
				x.Hours = append(x.Hours, programme.Hours{ID: fmt.Sprint("N", i), Person: fmt.Sprint("V", i), Date: on("2028-07-01"), Kind: "service", Hours: dollars("2")})
			}
		}, hours},
		{"hours of one written late", func(x *programme.Records) {
			x.Hours = append(x.Hours, programme.Hours{ID: "N", Person: "V2", Date: on("2028-03-01"), Kind: "service", Hours: dollars("2")})
		}, hours},
	} {
		x := smallYear(func(x *programme.Records) {
			x.Rates[0].Released = on("2028-01-01")
			x.Events = append(x.Events, programme.Event{ID: "E", Date: on("2028-02-01"), County: "A", Education: true, Adults: 40})
			x.Prices = append(x.Prices, programme.Price{ID: "P", Unit: "lb", Basis: "retail", Crop: "lettuce", Date: on("2028-02-20"), Dollars: dollars("2.5")})
			for i := range 12 {
				x.Sites = append(x.Sites, programme.Site{ID: fmt.Sprint("T", i), County: "A", Opened: on("2027-01-01")})
				x.Beds = append(x.Beds, programme.Bed{ID: fmt.Sprint("B", i), Site: fmt.Sprint("T", i), Length: 8, Width: 4, Planted: on("2027-01-01")})
				x.People = append(x.People, programme.Person{ID: fmt.Sprint("V", i), County: "A", Role: "volunteer"})
				x.Harvests = append(x.Harvests, programme.Harvest{ID: fmt.Sprint("H", i), Date: on("2028-03-01"), Bed: fmt.Sprint("B", i), Crop: "lettuce", Heads: 20, Pounds: dollars("10.5"), Fate: "given"})
				x.Hours = append(x.Hours, programme.Hours{ID: fmt.Sprint("S", i), Person: fmt.Sprint("V", i), Date: on("2028-03-01"), Kind: "service", Hours: dollars("4")})
			}
		})
		x.Published = report(t, x, "F", "2028-06-30").Public().Remember()
		c.later(&x)
		second := report(t, x, "F", "2028-07-31").Public()
		for _, name := range []string{"pounds_given", "value_given", "heads_given", "hours_service", "hours_value"} {
			f, ok := programme.Figure{}, false
			for _, g := range second.Figures {
				if g.Measure == name && g.County == programme.All {
					f, ok = g, true
				}
			}
			if want := slices.Contains(c.hidden, name); !ok || (f.Why != "") != want {
				t.Errorf("%s: %s is %q (%s), to be hidden: %v", c.what, name, f.Text, f.Why, want)
			}
			flagged := slices.ContainsFunc(second.Near, func(n programme.Near) bool { return n.Measure == name })
			if want := slices.Contains(c.hidden, name) && !strings.Contains(name, "value"); flagged != want {
				t.Errorf("%s: %s is flagged: %v", c.what, name, flagged)
			}
		}
	}
}
