package programme_test

import (
	"fmt"
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
