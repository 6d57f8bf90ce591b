package tend

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/plan"
	"raftwright/unit"
)

// hungryText is an invented bed that is filled up with water alone, so that its feed runs out and loses its balance, fed from five products.
const hungryText = "\nbed: {length: 97 in, width: 49 in, depth: 6 in}\nraft: {sheet: [4 ft, 8 ft], spacing: 12 in}\ncrop: {name: lettuce}\n" + `water: {ph: 7.4, alkalinity: 90 mg/L CaCO3, calcium: 30 mg/L, magnesium: 8 mg/L, sodium: 20 mg/L, chloride: 25 mg/L, sulfate: 20 mg/L}
shelf:
  - calcium nitrate
  - potassium nitrate
  - monopotassium phosphate
  - Epsom salt
  - {name: iron, label: 0-0-0, iron: 10 %, chelate: DTPA}
acid: {product: citric, target ph: 5.8}
mix: {measure: scale 1 g}
log:
  - {at: 2027-05-01T08:00, filled: yes, planted: {heads: 32, age: 21 d}, depth: 6 in, ec: 1.6 mS/cm, ph: 6.0, rain: 0 in}
  - {at: 2027-05-08T08:00, depth: 5-3/4 in, ec: 1.5 mS/cm, ph: 6.3, rain: 0 in, added water: 5 gal}
  - {at: 2027-05-15T08:00, depth: 5-1/4 in, ec: 1.3 mS/cm, ph: 6.4, rain: 0 in, added water: 14 gal}
  - {at: 2027-05-22T08:00, depth: 4-3/4 in, ec: 1.0 mS/cm, ph: 6.5, rain: 0 in, added water: 24 gal}
`

// hungry gives what is told of it with more of a log, at a moment.
func hungry(t *testing.T, text string, now time.Time) *Tending {
	t.Helper()
	site := noAcid[:strings.Index(noAcid, "bed:")]
	b, faults := brief.Parse("", []byte(site+text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	log, _ := bed.FromBrief(b)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return got
}

func does(t *Tending, deeds ...Deed) bool {
	return slices.ContainsFunc(t.Actions, func(a Action) bool { return slices.Contains(deeds, a.Do) })
}

// What is to be emptied before the next visit is not dosed: it is filled anew, or it stands to a day on which somebody looks. (Whoever is told to pour five
// products and to empty the bed on one day can follow only one of them.)
func TestNothingIsDosedIntoABedThatIsToBeEmptied(t *testing.T) {
	emptied, ec := 0, [...]float64{0.9, 0.7, 0.7, 0.6, 0.6}
	for i, day := range [...]int{26, 29, 31, 33, 36} {
		now := time.Date(2027, 5, day, 9, 0, 0, 0, time.UTC)
		text := hungryText + fmt.Sprintf("  - {at: %s, depth: 4-1/4 in, ec: %.1f mS/cm, ph: 6.5, rain: 0 in}\n", now.Format("2006-01-02T15:04"), ec[i])
		got := hungry(t, text, now)
		due := got.DumpReason != "" && !got.DumpBy.After(now)
		if due && does(got, DoFeed, DoAcid, DoBase) {
			t.Errorf("May %d: emptied for %s by %v, and dosed: %+v", day, got.DumpReason, got.DumpBy, got.Actions)
		}
		if due && got.DumpReason == DumpImbalance && !does(got, DoRefill) {
			t.Errorf("May %d: to be emptied today, and not filled anew: %+v", day, got.Actions)
		}
		if due {
			emptied++
		}
	}
	if emptied == 0 {
		t.Error("none of them had to be emptied")
	}
}

// From two days before the end of the crop nothing is dosed or filled anew, a day before that it is; nor is a crop that stands a week and more beyond its end told to
// end. The crop is lettuce, set on May 1, that takes at most 35 days on the raft (catalogue of crops).
func TestTheEndOfACropIsNotDosed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, c := range []struct {
		day        int
		poured     bool
		ends, told bool
	}{{32, true, false, false}, {34, false, true, false}, {36, false, true, true}, {42, false, true, true}, {44, true, false, false}} {
		now := time.Date(2027, 5, c.day, 8, 0, 0, 0, time.UTC)
		text, depth := hungryText, "4-1/4"
		if c.day > 36 {
			text, depth = text+"  - {at: 2027-06-05T08:00, filled: yes}\n", "5-1/4"
		}
		got := hungry(t, text+fmt.Sprintf("  - {at: %s, depth: %s in, ec: 0.6 mS/cm, ph: 6.5, rain: 0 in}\n", now.Format("2006-01-02T15:04"), depth), now)
		if poured := does(got, DoFeed, DoAcid, DoBase, DoRefill); poured != c.poured {
			t.Errorf("day %d: poured %v: %+v", c.day, poured, got.Actions)
		}
		if told := got.DumpReason == DumpEnd && !got.DumpBy.After(now); told != c.told {
			t.Errorf("day %d: told to empty it today %v: %v %s", c.day, told, got.DumpBy, got.DumpReason)
		}
		if c.ends && !does(got, DoHarvest) {
			t.Errorf("day %d: not told to harvest: %+v", c.day, got.Actions)
		}
	}
}

// A crop that nobody came to since its end is over, to four weeks after it: it is cut and the bed emptied, and nothing is poured. So is one
// that somebody comes to then for the first time, at any time, and one that somebody came to since is it for a week; a day later who keeps it goes on with it.
func TestACropIsOverUntilSomebodyGoesOnWithIt(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	visit := func(day int) string {
		return fmt.Sprintf("  - {at: %s, depth: 4-1/4 in, ec: 0.6 mS/cm, ph: 6.5, rain: 0 in}\n", time.Date(2027, 5, day, 8, 0, 0, 0, time.UTC).Format("2006-01-02T15:04"))
	}
	for _, c := range []struct {
		came []int // days of May
		now  int
		over bool
	}{
		{nil, 43, true}, {nil, 44, true}, {nil, 64, true}, {nil, 65, false}, {[]int{65}, 65, true}, // it ends on the 36th
		{[]int{35}, 44, true}, {[]int{44}, 44, true}, {[]int{44}, 45, false},
		{[]int{37}, 43, true}, {[]int{37}, 44, false}, {[]int{36}, 44, false},
	} {
		text := hungryText
		for _, day := range c.came {
			text += visit(day)
		}
		got := hungry(t, text, time.Date(2027, 5, c.now, 8, 0, 0, 0, time.UTC))
		if over := got.DumpReason == DumpEnd && !got.DumpBy.After(got.State.At) && got.says(WhyEnds) && does(got, DoHarvest) && !poured(got); over != c.over {
			t.Errorf("who came on %v is told on day %d that it is over %v: %+v, emptied for %q by %v", c.came, c.now, over, got.Actions, got.DumpReason, got.DumpBy)
		}
	}
}

// An element that neither mix nor shelf brings is bought, with its amount; no product is dosed for it that does not hold it. Calcium nitrate of the trade,
// 5Ca(NO3)2.NH4NO3.10H2O, is 18.5 % calcium (5 x 40.078 / 1080.7): 124 gal, 468 L, with hardly any want 50 mg/L of it, 23.4 g, so 126 g.
func TestWhatTheShelfLacksIsBought(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	text := hungryText[:strings.Index(hungryText, "shelf:")] + "shelf:\n  - {name: powder, label: 15-15-15, nitrate-n: 15 %, ammonium-n: 0 %, urea-n: 0 %, iron: 0.1 %}\n  - Epsom salt\n" + hungryText[strings.Index(hungryText, "acid:"):]
	soft := strings.Replace(strings.Replace(text, "calcium: 30", "calcium: 2", 1), "alkalinity: 90", "alkalinity: 20", 1)
	now := time.Date(2027, 5, 22, 9, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		text string
		buys bool
	}{{soft, true}, {strings.Replace(soft, "  - Epsom salt\n", "  - Epsom salt\n  - calcium nitrate\n", 1), false}, {strings.Replace(text, "calcium: 30", "calcium: 60", 1), false}} {
		got := hungry(t, c.text, now)
		buys := 0
		for _, a := range got.Actions {
			if a.Why == WhyBuy {
				buys++
				if g := unit.Mass(a.Args["Amount"].(unit.Bought)).Grams(); a.Product != "calcium nitrate" || g < 110 || g > 130 {
					t.Errorf("buys %+v", a)
				}
			}
			if a.Why == WhyCalcium && a.Product != "" && a.Product != "calcium nitrate" {
				t.Errorf("doses for calcium: %+v", a)
			}
		}
		if (buys == 1) != c.buys {
			t.Errorf("buys %d: %+v", buys, got.Actions)
		}
	}
}
