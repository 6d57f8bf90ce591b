package plan

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/finding"
	"raftwright/mix"
)

// A bag that cannot grow the crop stops the plan, no harvest is forecast nor sold, and
// what is to be bought, put on the shelf, ends the stop.
func TestABagThatCannotFeed(t *testing.T) {
	const rest = `
bed: {length: 97 in, width: 49 in, depth: 6 in}
site: {kind: market, place: 14850}
water: {kind: soft}
schedule: {first harvest: 2027-06-20, heads per week: 4}
prices: {head: 3 USD}
shelf: `
	poor := made(t, Everything, rest+"[20-20-20]")
	i := slices.IndexFunc(poor.Findings, func(f finding.Finding) bool { return f.ID == mix.FindStarves })
	if i < 0 || !poor.Starves() || poor.Findings[i].Severity != finding.Stop || len(poor.Findings[i].Mend) == 0 {
		t.Fatalf("starves: %v, %v", poor.Starves(), poor.Findings)
	}
	if poor.Cost.HeadsSold != 0 || poor.Cost.HeadPrice != nil {
		t.Errorf("a harvest is sold: %v heads", poor.Cost.HeadsSold)
	}
	if assumes(poor, cost.AssumeSold) {
		t.Error("a share of no harvest is assumed to be sold")
	}
	k := slices.IndexFunc(poor.Findings, func(f finding.Finding) bool { return f.ID == mix.FindBuy })
	if k < 0 || !slices.Equal(poor.Findings[k].Mend, poor.Findings[i].Mend) {
		t.Fatalf("what is bought is not what ends the stop: %v", poor.Findings[i].Mend)
	}
	b := poor.Brief
	for _, c := range poor.Findings[i].Mend {
		var faults finding.Faults
		if b, faults = b.Set(c.Path, c.Value); len(faults) > 0 {
			t.Fatal(faults)
		}
	}
	then, faults := Make(b, DefaultBook(), Files{}, Everything)
	if len(faults) > 0 || then.Starves() || !then.Mix.Works() || then.Cost.HeadsSold == 0 {
		t.Errorf("after the purchase: %v, starves %v, works %v", faults, then.Starves(), then.Mix.Works())
	}
}

// A plan that works reaches four fifths of every main element; one that does not says
// so, and what it proposes to buy works, over random shelves and waters.
func TestWhatWorksFeeds(t *testing.T) {
	goods := DefaultBook().Library.Names()
	r := rand.New(rand.NewPCG(9, 3))
	proposed, poor, shelves := 0, 0, 150
	if testing.Short() {
		shelves = 40
	}
	for range shelves {
		var shelf []string
		for _, i := range r.Perm(len(goods))[:1+r.IntN(3)] {
			shelf = append(shelf, "{name: "+goods[i]+"}")
		}
		text := fmt.Sprintf("target: {recipe: lettuce}\nbed: {length: 8 ft, width: 4 ft, depth: 6 in}\nwater: {kind: %s}\nmix: {measure: %s}\nshelf: [%s]",
			[]string{"rain", "soft", "hard"}[r.IntN(3)], []string{"scale 1 g", "spoons"}[r.IntN(2)], strings.Join(shelf, ", "))
		b, faults := brief.Parse("bed.yaml", []byte(text))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p := job(b, DefaultBook(), nil, Mix).Make(nil)
		short := slices.ContainsFunc(p.Mix.Wishes, func(w mix.Wish) bool { return w.Main() && w.Achieved < 0.8*w.Level*(1-1e-9) })
		if p.Mix.Works() && short || p.Mix.Works() && p.Starves() {
			t.Errorf("it works and is short\n%s", text)
		}
		if p.Mix.Works() || len(p.Mix.Doses) == 0 {
			continue
		}
		poor++
		if p.Mix.Buy != nil && p.Mix.Buy.Mix.Works() {
			proposed++
		}
	}
	if poor < shelves/3 || proposed < poor*9/10 {
		t.Errorf("%d of %d poor shelves have a purchase that works", proposed, poor)
	}
}
