package tend

import (
	"slices"
	"testing"

	"raftwright/unit"
)

// orderText is an invented bed with slimy roots, or with a last depth far below the others, whose EC nobody ever read.
const orderText = `
site: {kind: home, children: none}
bed: {length: 8 ft, width: 4 ft, depth: 6 in}
water: {ph: 7.2, alkalinity: 60 mg/L, calcium: 30 mg/L, magnesium: 9 mg/L}
shelf: [{name: hydroponic base powder 5-12-26}, {name: calcium nitrate}]
mix: {measure: spoons}
log:
  - {at: 2027-04-05T08:00, filled: yes, planted: {heads: 32, age: 20 d}}
  - {at: 2027-04-12T08:00, depth: 5-3/4 in, ph: 6.1}
`

// Slimy roots are rinsed before the bed is filled anew, and so is a leak looked for; a reading that was never taken is not taken again.
func TestDeedsStandInTheirOrder(t *testing.T) {
	got := lastTended(t, orderText+"  - {at: 2027-04-20T08:00, depth: 5-1/2 in, ph: 6.2, roots: slimy}\n")
	at := func(d Deed) int { return slices.IndexFunc(got.Actions, func(x Action) bool { return x.Do == d }) }
	if rinse, refill := at(DoRinse), at(DoRefill); rinse < 0 || refill < rinse {
		t.Errorf("rinse %d, refill %d: %+v", rinse, refill, got.Actions)
	}
	list := Tending{Actions: []Action{{Do: DoRefill, Strength: 1}, {Do: DoShade}, {Do: DoLook}, {Do: DoRead, Product: "ec"}, {Do: DoRead, Product: "ph"}}, Readings: []Reading{{Kind: "ph"}}}
	list.inOrder(true)
	if a := list.Actions; a[0].Do != DoLook || a[1].Do != DoRefill || !a[3].First || a[4].First {
		t.Errorf("%+v", a)
	}
}

// Where a far lower depth is to be read again, a volume to the mark is said to be that of the depth that was believed: two volumes to one mark stood on a slip.
func TestOneVolumeToOneMark(t *testing.T) {
	list := Tending{Actions: []Action{{Do: DoRead, Product: "depth", Why: WhyLow}, {Do: DoWater, Volume: 37 * unit.Litre, Why: WhyMark}, {Do: DoAcid, Liquid: unit.Millilitre, Why: WhyLevel}}}
	list.inOrder(false)
	if a := list.Actions; a[1].Why != WhyIfFull || a[2].Why != WhyLevel {
		t.Errorf("%+v", a)
	}
	list.Actions[0].Why, list.Actions[1].Why = WhySlip, WhyMark
	if list.inOrder(false); list.Actions[1].Why != WhyMark {
		t.Errorf("%+v", list.Actions)
	}
}
