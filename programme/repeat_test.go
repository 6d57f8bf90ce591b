package programme_test

import (
	"strings"
	"testing"

	"raftwright/programme"
)

// Whatever is emptied, by the rules of keeping or since its person withdrew, and in however many turns: contacts, by county, kind and
// month, are as they were, under every rule.
func TestContactsOutliveTheirCodes(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	told := 0
	for seed := range years() {
		x := invent(seed)
		end := on("2027-12-31")
		out := x
		for _, keep := range [][]programme.Keeping{
			{{Table: "visits", Start: "date", Months: 9, Source: "s"}},
			{{Table: "visits", Start: "date", Months: 1, Source: "s"}, {Table: "inquiries", Start: "date", Months: 1, Source: "s"}, {Table: "people", Start: "2026-07-01", Months: 1, Source: "s"}},
		} {
			out.Keepings = keep
			var faults any
			if out, _, faults = destroyed(out, end); faults != nil {
				t.Fatal(faults)
			}
			told += len(out.Repeats)
			for _, f := range x.Funders {
				a, b := report(t, x, f.ID, "2027-12-31"), report(t, out, f.ID, "2027-12-31")
				for _, was := range a.Figures {
					if !strings.Contains(was.Measure, "contacts") && was.Measure != "same_day_removed" && was.Measure != "month: " && was.Measure != "series_not_counted_again" || was.Measure == "contacts_unnamed" {
						continue
					}
					if is, ok := b.Find(was.Name(), was.County); !ok || is.Text != was.Text {
						t.Fatalf("year %d, %s: %s of %s was %s, is %s", seed, f.ID, was.Name(), was.County, was.Text, is.Text)
					}
				}
			}
		}
	}
	if told == 0 {
		t.Error("nobody was met twice on a day, so this finds nothing")
	}
}

func destroyed(x programme.Records, day programme.Day) (programme.Records, []programme.Due, any) {
	out, list, faults := x.Destroy(day, "S1")
	if len(faults) > 0 {
		return out, list, faults
	}
	return out, list, nil
}

func on(text string) programme.Day {
	d, ok := programme.ParseDay(text)
	if !ok {
		panic(text)
	}
	return d
}
