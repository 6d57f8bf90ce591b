package packet_test

import (
	"strings"
	"testing"
)

// A plan in pesos prints no amount in dollars, on paper or on a screen, but for the rate
// itself and the name of our guesses' currency.
func TestPacketSpeaksOneCurrency(t *testing.T) {
	for _, rate := range []string{"", ", rate: 17.1 MXN per USD"} {
		paper, terminal, _ := printed(t, "bed: {length: 97 in, width: 49 in, depth: 6 in, heat to: 20 C}\nsite: {kind: school}\nacid: {product: sulfuric 35 %}\nprices: {head: 25 MXN, labor: 60 MXN/h"+rate+"}\n")
		for _, line := range strings.Split(paper+terminal, "\n") {
			if strings.Contains(line, "$") {
				t.Errorf("%q: %s", rate, line)
			}
		}
		if !strings.Contains(paper, " MXN") {
			t.Errorf("%q: no amount at all", rate)
		}
	}
}

// Where nothing on a list has a price its sum is not known: nought would be a lie.
func TestNoPriceIsNoNought(t *testing.T) {
	bed := "bed: {length: 97 in, width: 49 in, depth: 6 in}\n"
	if paper, p := paperOf(t, bed+"prices: {currency: MXN}\n"); strings.Contains(paper, " 0.00 MXN") || p.Cost.Unpriced == 0 {
		i := strings.Index(paper, " 0.00 MXN")
		t.Error(paper[max(0, i-80) : max(0, i)+20])
	}
	if paper, _ := paperOf(t, bed); !strings.Contains(paper, "Bought once, together $") {
		t.Error("the sum is missing")
	}
}

// A bag that cannot feed the crop promises nothing on paper: no weight, no price that
// pays, the crop's own range of EC; and what to buy stands beside the shopping list.
func TestNoHarvestOfAStarvedBed(t *testing.T) {
	const rest = "units: us\nsite: {kind: market, place: 14850}\nbed: {length: 97 in, width: 49 in, depth: 6 in}\nwater: {kind: soft}\nschedule: {first harvest: 2027-06-20, heads per week: 4}\nprices: {head: 3 USD}\n"
	poor, _, _ := printed(t, rest+"shelf: [20-20-20]\n")
	fed, _, _ := printed(t, rest+"shelf: [5-12-26, 15.5-0-0]\n")
	flat := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	for _, c := range []struct {
		text      string
		poor, fed bool
	}{{"no harvest is forecast", true, false}, {"does well from EC 1.2 to 2.0", true, false}, {"All is well from EC", false, true}, {"Buy calcium nitrate and hydroponic base powder 5-12-26.", true, false}, {"$0.00", false, false}} {
		if strings.Contains(flat(poor), c.text) != c.poor || strings.Contains(flat(fed), c.text) != c.fed {
			t.Errorf("%q: starved %v, fed %v", c.text, strings.Contains(flat(poor), c.text), strings.Contains(flat(fed), c.text))
		}
	}
}
