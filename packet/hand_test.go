package packet_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"raftwright/cost"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/unit"
)

// What is brushed on sawn ends is fetched with the boards: a tub takes none.
func TestThePreservativeIsOnTheList(t *testing.T) {
	for language, word := range map[string]string{"en": "preservative", "es": "conservante"} {
		if !strings.Contains(faceText(t, "bed: {length: 97 in, width: 49 in}\ncrop: {name: lettuce}\n", language, "buy"), word) {
			t.Errorf("%s: the sawn ends are brushed with what is on no list", language)
		}
		if strings.Contains(faceText(t, "bed: {vessel: tub, length: 20 in, width: 14 in, depth: 6 in}\ncrop: {name: lettuce}\n", language, "buy"), word) {
			t.Errorf("%s: of a tub nothing is sawn", language)
		}
	}
}

// One page never calls the water a barrel's, another water to drink: a bed of rain water is filled with it, and its harvest washed with other.
func TestRainIsNotCalledDrinkingWater(t *testing.T) {
	const brief = "bed: {length: 97 in, width: 49 in}\ncrop: {name: lettuce}\nwater: {name: barrel, kind: %s}\n"
	for language, words := range map[string][2]string{"en": {"the rain water", "Fill with drinking water"}, "es": {"el agua de lluvia", "Llene con agua potable"}} {
		rain, hard := faceText(t, fmt.Sprintf(brief, "rain"), language, "liner"), faceText(t, fmt.Sprintf(brief, "hard"), language, "liner")
		if !strings.Contains(rain, words[0]) || strings.Contains(rain, words[1]) || !strings.Contains(hard, words[1]) {
			t.Errorf("%s:\nrain: %s\nhard: %s", language, rain, hard)
		}
	}
}

// Parts of one bucket are no measure: "0, 1/4, 1/4" for 1.7, 3.5 and 5.2 L. From a bucket on, buckets are counted.
func TestPartsOfOneBucketAreNotCounted(t *testing.T) {
	for bed, want := range map[string]bool{"{vessel: tub, length: 20 in, width: 14 in, depth: 6 in}": false, "{length: 97 in, width: 49 in}": true} {
		if got := strings.Contains(faceText(t, "bed: "+bed+"\ncrop: {name: lettuce}\n", "en", "card"), "Buckets of"); got != want {
			t.Errorf("%s: buckets are counted %v", bed, got)
		}
	}
}

// The first page and the card end the acid at one pH where nobody measured the alkalinity.
func TestAcidByAGuessEndsAtOnePH(t *testing.T) {
	const brief = "bed: {length: 97 in, width: 49 in}\ncrop: {name: lettuce}\n"
	first, card := faceText(t, brief, "en", "make"), faceText(t, brief, "en", "mix")
	if !strings.Contains(card, "stop at pH 6.0") {
		t.Fatalf("the card no longer ends the acid by quarters: %s", card)
	}
	if strings.Contains(first, "to pH 5.8") || !strings.Contains(first, "stop at pH 6.") {
		t.Errorf("the first page: %s", first)
	}
}

// A tape in millimeters shows no tenth of one: the ground is made level to whole ones, never more than was reckoned with.
func TestTheGroundIsLevelToWholeMillimeters(t *testing.T) {
	p, w := facesOf(t, "units: metric\nbed: {length: 2400 mm, width: 1200 mm}\ncrop: {name: lettuce}\n", "en", lang.Metric)
	text := ""
	walk(packet.Faces(p, w, packet.Options{}), func(_ page.Section, b page.Block) { text += flat(fmt.Sprint(b)) })
	if strings.Contains(text, "6.3 mm") || !strings.Contains(text, "6 mm out") {
		t.Errorf("the ground: %s", text)
	}
}

// The kit of each family holds the powder of the whole jug of which its card takes spoons (ten steps of a scale, or a level teaspoon).
func TestAKitHoldsTheWholeJug(t *testing.T) {
	const brief = "bed: {length: 4 ft, width: 2 ft, depth: 5 in, count: 20}\ncrop: {name: lettuce}\nwater: {name: tap, ph: 7.2, alkalinity: 40 mg/L CaCO3, calcium: 10 mg/L, chloramine: 2 mg/L}\nmix: {measure: spoons}\n"
	p, _ := facesOf(t, brief, "en", lang.US)
	cure, ok := p.Cure()
	if !ok || cure.Dose.Jug.Mass == 0 {
		t.Fatalf("the card takes no jug: %+v", cure)
	}
	found := false
	for _, l := range p.Cost.Lines {
		if l.Name == "need.ascorbic" {
			found = true
			if l.Mass < cure.Dose.Jug.Mass*unit.Mass(p.Beds) {
				t.Errorf("for %d jugs of %v g there are %v g", p.Beds, cure.Dose.Jug.Mass.Grams(), l.Mass.Grams())
			}
		}
	}
	if !found {
		t.Error("no vitamin C is bought")
	}
}

// A bed that is cleaned is filled, cured and fed again before it is planted, in this order.
func TestACleanedBedIsFilledAgain(t *testing.T) {
	months := ""
	for m, c := range []int{5, 6, 9, 13, 17, 21, 24, 23, 20, 15, 9, 6} {
		months += fmt.Sprintf("{month: %d, tmax: %d C, tmin: %d C}, ", m+1, c+4, c-4)
	}
	p, w := facesOf(t, "site: {latitude: 45.5, months: ["+months+"]}\nbed: {vessel: tub, length: 20 in, width: 14 in, depth: 6 in}\ncrop: {name: basil}\n", "en", lang.US)
	text := ""
	walk(packet.Faces(p, w, packet.Options{}), func(_ page.Section, b page.Block) { text += flat(fmt.Sprint(b)) })
	clean, again := strings.Count(text, "clean the bed"), strings.Count(text, "fill to 6 in again")
	if clean < 2 || again != clean-1 {
		t.Errorf("cleaned %d times, filled again %d times: %s", clean, again, text)
	}
}

// What is added to a tub is measured with what the list has: a scale of whole grams shows no 0.6 g, so that a jug is told, and how it is made.
func TestNoTopUpIsLessThanTheScaleShows(t *testing.T) {
	const brief = "bed: {vessel: tub, length: 20 in, width: 14 in, depth: 6 in}\ncrop: {name: basil}\n"
	less := regexp.MustCompile(`\b0\.[0-9]+ g\b`)
	for language, words := range map[string]string{"en": "10 g of the product in 1 qt", "es": "10 g del producto en "} {
		card := faceText(t, brief, language, "card")
		if got := less.FindString(card); got != "" {
			t.Errorf("%s: %s of a scale that shows 1 g", language, got)
		}
		if !strings.Contains(card, words) {
			t.Errorf("%s: how the jug is made is not told: %s", language, card)
		}
	}
}

// The first cost of the first page is the sum of the list and the hours beside it, which are told where they have a rate.
func TestTheListAndTheHoursAreTheFirstCost(t *testing.T) {
	for prices, want := range map[string]bool{"": false, "prices: {currency: USD, labor: 16 USD/h}\n": true} {
		p, w := facesOf(t, "bed: {length: 97 in, width: 49 in}\ncrop: {name: lettuce}\n"+prices, "en", lang.US)
		store := cost.Money{Currency: p.Cost.FirstCost.Currency}
		for _, l := range p.Cost.Lines {
			if l.Once && l.Group != cost.Work {
				store = store.Add(l.Price)
			}
		}
		hours := p.Cost.FirstCost.Sub(store)
		text := flat(told(t, packet.Faces(p, w, packet.Options{}, "buy")))
		if got := strings.Contains(text, "Your hours to build"); got != want || (hours.Amount > 0) != want {
			t.Errorf("%q: the hours of %v are told %v: %s", prices, hours, got, text)
		}
	}
}
