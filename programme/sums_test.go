package programme_test

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/programme"
)

// What an office may set is bounded by what docs/program.md says: the bound itself may stand, and a hundredth beyond it may not.
func TestSettingsAtTheirBounds(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	bounds := map[string][2]string{"pupils": {"10", "1000"}, "sites": {"5", "1000"}, "answers": {"10", "1000"}, "price_days": {"1", "1000"}, "meal_pounds": {"0.1", "10"}, "level": {"0.8", "0.999"}, "power": {"0.5", "0.99"},
		"parity_part": {"0.5", "1"}, "parity_least": {"0.01", "0.5"}, "wide": {"0.05", "1"}, "response": {"0.5", "1"}, "produce_limit": {"25000", "10000000"}, "food_limit": {"500000", "100000000"}}
	beyond := map[string][2]string{"pupils": {"9", "1001"}, "sites": {"4", "1001"}, "answers": {"9", "1001"}, "price_days": {"0", "1001"}, "meal_pounds": {"0.09", "10.01"}, "level": {"0.79", "0.9991"}, "power": {"0.49", "0.991"},
		"parity_part": {"0.49", "1.01"}, "parity_least": {"0.009", "0.51"}, "wide": {"0.049", "1.01"}, "response": {"0.49", "1.01"}, "produce_limit": {"24999", "10000001"}, "food_limit": {"499999", "100000001"}}
	for name, may := range bounds {
		for i := range 2 {
			for value, faults := range map[string]int{may[i]: 0, beyond[name][i]: 1} {
				files := year(t)
				files["settings.csv"] = settingsHead + fmt.Sprintf("K1,%s,,%s,2027-08-01,,asked\n", name, value)
				if _, got := programme.Read(files); len(got) != faults {
					t.Errorf("%s of %s: %v", name, value, got)
				}
			}
		}
	}
}

// A series that counts once, of people who all signed, counts them and nobody more; with one unnamed adult and one child at one of its sessions two more.
func TestASeriesOfNamedPeople(t *testing.T) {
	for _, c := range []struct {
		adults, youth int
		want          string
	}{{2, 0, "2"}, {3, 1, "4"}} {
		r := report(t, smallYear(func(x *programme.Records) {
			x.Funders[0].Series = "once"
			for i := range 2 {
				id := fmt.Sprint("E", i)
				e := programme.Event{ID: id, Date: on("2028-05-01") + programme.Day(i), County: "A", Series: "S", Education: true, Adults: 2}
				if i == 0 {
					e.Adults, e.Youth = c.adults, c.youth
				}
				x.Events = append(x.Events, e)
				for _, p := range []string{"P", "Q"} {
					x.SignIns = append(x.SignIns, programme.SignIn{Event: id, Person: p})
				}
			}
			x.People = []programme.Person{{ID: "P", County: "A", Role: "public"}, {ID: "Q", County: "A", Role: "public"}}
		}), "F", "2028-12-31")
		if f, _ := r.Find("direct_contacts", "all"); f.Text != c.want {
			t.Errorf("%d adults and %d youth at the first session: %s contacts, not %s", c.adults, c.youth, f.Text, c.want)
		}
	}
}

// Meals are whole and written as everybody writes numbers: 30 pounds at 1.2 are 25. Who ticked two groups is known where slips were. A small event with one slip of its own is told, once.
func TestFiguresThatAreReckonedInTheHead(t *testing.T) {
	r := report(t, smallYear(func(x *programme.Records) {
		x.Settings = []programme.Setting{{ID: "K", Name: "meal_pounds", Value: "1.2", From: on("2028-01-01"), Source: "s"}}
		x.Harvests = []programme.Harvest{{ID: "H", Date: on("2028-05-01"), Crop: "lettuce", Heads: 60, Pounds: dollars("30"), Fate: "given"}}
		x.Events = []programme.Event{{ID: "E", Date: on("2028-05-01"), County: "A", Education: true, Adults: 20}, {ID: "N", Date: on("2028-05-02"), County: "A", Education: true, Adults: 9}}
		for i := range 10 {
			x.Slips = append(x.Slips, programme.Slip{ID: fmt.Sprint(i), Event: "E", Standard: "2024", Groups: []string{"White", "Asian|White"}[i%2], Sex: "F"})
		}
		x.Slips = append(x.Slips, programme.Slip{ID: "N1", Event: "N", Standard: "2024", Sex: "F"})
	}), "F", "2028-12-31")
	for name, want := range map[string]string{"meals_given": "25", "slips_not_pooled": "1", "unknown_share_where_slips": "0.655172"} { // 19 of 29
		if f, _ := r.Find(name, "all"); f.Text != want {
			t.Errorf("%s: %q, not %q", name, f.Text, want)
		}
	}
}

// An event on the day of the report counts among those of its pool, and an answer that came back that day among those of its wave.
func TestWhatHappenedOnTheDayOfTheReport(t *testing.T) {
	x := smallYear(func(x *programme.Records) {
		x.Events = []programme.Event{{ID: "E", Date: on("2028-05-31"), County: "A", Education: true, Adults: 9}}
		for i := range 9 {
			x.Slips = append(x.Slips, programme.Slip{ID: fmt.Sprint(i), County: "A", Month: "2028-05", Standard: "2024", Groups: "White"})
		}
		x.Waves = []programme.Wave{{ID: "W", Question: "q", Sent: on("2028-05-01"), Count: 20, Form: "B"}}
		for i := range 12 {
			id := fmt.Sprint("R", i)
			x.Replies = append(x.Replies, programme.Reply{ID: id, Wave: "W", Mailing: 1, Returned: on("2028-05-31"), Answer: "yes"})
			x.Answers = append(x.Answers, programme.Answer{Form: id, Wave: "W", Kind: "looking back", Item: "ph", Before: maybe(1), After: maybe(3)})
		}
	})
	for asOf, want := range map[string]string{"2028-05-31": "0 9 12", "2028-05-30": "0 0 "} {
		r := report(t, x, "F", asOf)
		bad, _ := r.Find("exceptions", "all")
		used, _ := r.Find("slips_used", "all")
		pairs, _ := r.Find("looking back/ph (W): pairs", "all")
		if got := bad.Text + " " + used.Text + " " + pairs.Text; strings.TrimRight(got, " 0") != strings.TrimRight(want, " 0") {
			t.Errorf("as of %s: %q, not %q", asOf, got, want)
		}
	}
}

// A scale of ten steps is told step by step; one of eleven by its mean alone. The two questions of 1997 have two and five answers.
func TestAScaleOfTenSteps(t *testing.T) {
	for top, told := range map[int]string{10: "0: 11; 1: 0; 2: 0; 3: 0; 4: 0; 5: 0; 6: 0; 7: 0; 8: 0; 9: 0; 10: 1", 11: ""} {
		r := report(t, smallYear(func(x *programme.Records) {
			x.Events = []programme.Event{{ID: "E", Date: on("2028-05-01"), County: "A", Education: true, Adults: 20}}
			for i := range 12 {
				a := programme.Answer{Form: fmt.Sprint(i), Event: "E", Kind: "looking back", Item: "q", Before: maybe(0), After: maybe(0)}
				if i == 0 {
					a.After = maybe(top)
				}
				x.Answers = append(x.Answers, a)
			}
		}), "F", "2028-12-31")
		if f, _ := r.Find("looking back/q: answers after", "all"); f.Text != told {
			t.Errorf("to %d: %q, not %q", top, f.Text, told)
		}
	}
	ethnicity, race := programme.OlderAnswers()
	if got := strings.Join(ethnicity, ", ") + "; " + strings.Join(race, ", "); got != "Hispanic or Latino, Not Hispanic or Latino; American Indian or Alaska Native, Asian, Black or African American, Native Hawaiian or Other Pacific Islander, White" {
		t.Error(got)
	}
}
