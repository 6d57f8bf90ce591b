package packet_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"raftwright/cost"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/pool"
	"raftwright/season"
	"raftwright/sky"
	"raftwright/unit"
)

// whole tells what a paper lacks: sentences or figures.
func whole(t *testing.T, what string, d page.Document) string {
	t.Helper()
	all := d.Title + allWords(d)
	for _, bad := range []string{"[garden", "[selling", "[letter", "[packet", "[month", "[crop", "<no value>", "NaN"} {
		if strings.Contains(all, bad) {
			t.Errorf("%s: %s in\n%s", what, bad, all)
		}
	}
	return all
}

// The papers are whole in both languages, units and prints, for every example.
func TestPapersFromThePlan(t *testing.T) {
	limits := cost.SalesLimits{Food: 584908, Produce: 29245, From: "page of the FDA, read 2022-04-01"}
	for _, path := range someExamples(t) {
		p := planOf(t, path)
		for _, language := range []string{"en", "es"} {
			for i, units := range []lang.Units{lang.US, lang.Metric} {
				words, err := lang.For(language, units)
				if err != nil {
					t.Fatal(err)
				}
				o := packet.Options{Large: i == 1}
				all := whole(t, path, packet.GardenSafety(p, words, o))
				if !strings.Contains(all, "112.44") || !strings.Contains(all, words.Value(p.Crop.Storage.At.Max)) {
					t.Errorf("%s: the plan of a garden names no water or no cold", path)
				}
				if all := whole(t, path, packet.Selling(p, nil, packet.Seller{Year: 2027}, words, o)); !strings.Contains(all, "2024") || !strings.Contains(all, "2026") || strings.Contains(all, "2027") {
					t.Errorf("%s: a check to fill in does not name its three years", path)
				}
				for _, food := range []float64{20000, 100000, 900000} {
					years := []cost.YearSales{}
					for y := 2019; y < 2022; y++ {
						years = append(years, cost.YearSales{Year: y, Food: food, Produce: food / 2, Qualified: 0.6 * food})
					}
					s, faults := cost.CheckSales(2022, years, limits)
					if len(faults) > 0 {
						t.Fatal(faults)
					}
					all := whole(t, path, packet.Selling(p, &s, packet.Seller{Name: "Invented *Farm*", Address: []string{"P.O. Box 1", "Alderton, NY 00000"}}, words, o))
					if !strings.Contains(all, words.Say("selling.standing."+string(s.Standing), map[string]any{"Year": "2022", "Share": unit.Fraction(0.6)})) {
						t.Errorf("%s: the sentence of %s is missing", path, s.Standing)
					}
				}
				d, err := packet.SeasonLetter(p, "Alder", 11, 4, []string{"water", "own topic"}, words, o)
				if p.Season == nil || len(p.Season.Months) == 0 {
					if err == nil {
						t.Errorf("%s: a season without a climate", path)
					}
					continue
				}
				if err != nil {
					t.Fatal(path, err)
				}
				all = whole(t, path, d)
				winter(t, path, p, words, all)
				for _, m := range []int{11, 12, 1, 2} {
					if name := words.Say(fmt.Sprintf("month.%d", m), nil); !strings.Contains(strings.ToLower(all), strings.ToLower(name)) {
						t.Errorf("%s: no %s", path, name)
					}
				}
			}
		}
	}
}

// winter holds a letter of November to February against the plan: where no crop may stand on the raft then, none is promised; where a cold night
// brings ice, to cover the bed is not enough.
func winter(t *testing.T, path string, p plan.Plan, words *lang.Printer, letter string) {
	t.Helper()
	months := []int{11, 12, 1, 2}
	open := slices.ContainsFunc(p.Season.Windows, func(x season.Window) bool {
		return x.Open() && slices.ContainsFunc(months, func(m int) bool {
			for day := range x.Days() {
				if n, _ := ((x.From-1+sky.DayOfYear(day))%365 + 1).Month(); n == m {
					return true
				}
			}
			return false
		})
	})
	if none := words.Say("letter.sow_none", nil); strings.Contains(letter, none) == open {
		t.Errorf("%s: a crop may stand on the raft: %v, the letter: %s", path, open, letter)
	}
	for _, m := range months {
		month := p.Season.Months[m-1]
		ice := words.Say("letter.ice", finding.Args{"Month": words.Say(fmt.Sprintf("month.%d", m), nil)})
		if icy := month.PoolCold < pool.Freezing; icy != strings.Contains(strings.ToLower(letter), strings.ToLower(ice)) {
			t.Errorf("%s: ice in %d: %v, not told so", path, m, icy)
		}
	}
}

// The weekly check says how it is filled in as it is printed: a column a week, in large print a sheet a week.
func TestTheWeeklyCheckIsToldAsItIsPrinted(t *testing.T) {
	p := planOf(t, someExamples(t)[0])
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		column, sheet := words.Say("garden.weekly_lead", nil), words.Say("garden.weekly_lead_large", nil)
		for _, large := range []bool{false, true} {
			all := allWords(packet.GardenSafety(p, words, packet.Options{Large: large}))
			if strings.Contains(all, column) == large || strings.Contains(all, sheet) != large {
				t.Errorf("%s, large %t: another way to fill it in is told", language, large)
			}
		}
	}
}
