package packet_test

import (
	"strings"
	"testing"

	"raftwright/cost"
	"raftwright/lang"
	"raftwright/packet"
)

// The plan of a garden asks for all that a State's manual does (Oregon Department of Education, School Garden Food Safety Manual, 2014), each line of it and each of the three who sign; the
// sheet of a seller says what to keep and to show (21 CFR 112.6 and 112.7, from memory), and a label has the name and the complete address, or blanks for both where one is missing.
func TestFoodPapersSayAllThatIsAskedFor(t *testing.T) {
	p := planOf(t, someExamples(t)[0])
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		garden := allWords(packet.GardenSafety(p, words, packet.Options{}))
		ids := strings.Fields(`water.1 water.2 water.3 water.4 people.1 people.2 people.3 people.4 people.5 bed.1 bed.2 bed.3 bed.4 bed.5 bed.6 harvest.1 harvest.3 harvest.4 harvest.6 label
			weekly.1 weekly.2 weekly.3 weekly.4 weekly.5 weekly.6 weekly.7 weekly.8 weekly.9 weekly.10 weekly.11 weekly_no training training_lead mended mended_lead sign_lead law
			blank.school blank.leader blank.kitchen blank.head blank.signed blank.day blank.test_day blank.test_by blank.test_result blank.wash_place blank.store_place`)
		for _, id := range ids {
			if text := words.Say("garden."+id, nil); !strings.Contains(garden, text) {
				t.Errorf("%s: the plan of a garden does not say %s: %s", language, id, text)
			}
		}
		if n := strings.Count(garden, words.Say("garden.blank.signed", nil)); n < 3 {
			t.Errorf("%s: %d signatures", language, n)
		}
		years := []cost.YearSales{{Year: 2024, Food: 9000, Produce: 9000, Qualified: 9000}, {Year: 2025, Food: 9000, Produce: 9000, Qualified: 9000}, {Year: 2026, Food: 9000, Produce: 9000, Qualified: 9000}}
		sales, faults := cost.CheckSales(2027, years, cost.SalesLimits{Food: 642000, Produce: 32100, From: "page of the FDA, read 2026-12-01"})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		full := packet.Seller{Name: "Invented Farm", Address: []string{"P.O. Box 1", "Alderton, NY 00000"}}
		for _, c := range []struct {
			from   packet.Seller
			blanks bool
		}{{full, false}, {packet.Seller{Name: full.Name}, true}, {packet.Seller{Address: full.Address}, true}} {
			all := allWords(packet.Selling(p, &sales, c.from, words, packet.Options{}))
			for _, id := range []string{"keep.1", "keep.2", "later.1", "law", "wash", "food", "blank.harvested"} {
				if text := words.Say("selling."+id, nil); !strings.Contains(all, text) {
					t.Errorf("%s: the sheet of a seller does not say %s: %s", language, id, text)
				}
			}
			for _, id := range []string{"blank.name", "blank.street", "blank.town"} {
				if text := words.Say("selling."+id, nil); strings.Contains(all, text) != c.blanks {
					t.Errorf("%s: %v: blank to write in: %s", language, c.from, text)
				}
			}
			for _, line := range []string{"Invented Farm", "P.O. Box 1", "Alderton, NY 00000"} {
				if !c.blanks && strings.Count(all, line) < 2 {
					t.Errorf("%s: %s is not on the labels", language, line)
				}
			}
			if !strings.Contains(all, "page of the FDA, read 2026-12-01") {
				t.Errorf("%s: the limits have no source", language)
			}
		}
	}
}
