package tend

import (
	"fmt"
	"slices"
	"testing"
	"time"

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

// Slimy roots are rinsed before the bed is filled anew, a leak is looked for, and what is read is read; a reading that was never taken is not taken again.
func TestDeedsStandInTheirOrder(t *testing.T) {
	got := lastTended(t, orderText+"  - {at: 2027-04-20T08:00, depth: 5-1/2 in, ph: 6.2, roots: slimy}\n")
	at := func(d Deed) int { return slices.IndexFunc(got.Actions, func(x Action) bool { return x.Do == d }) }
	if rinse, refill := at(DoRinse), at(DoRefill); rinse < 0 || refill < rinse {
		t.Errorf("rinse %d, refill %d: %+v", rinse, refill, got.Actions)
	}
	list := Tending{Actions: []Action{{Do: DoRefill, Strength: 1}, {Do: DoShade}, {Do: DoLook}, {Do: DoRead, Product: "ec"}, {Do: DoRead, Product: "ph"}}, Readings: []Reading{{Kind: "ph"}}}
	list.inOrder(true)
	if a := list.Actions; a[0].Do != DoLook || a[3].Do != DoRefill || a[4].Do != DoShade || !a[1].First || a[2].First {
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

// fullText is the bed of an invented log whose heads all grew full, with no acid on the shelf; days of planting and of depth are to be filled in.
const fullText = `
bed: {length: 8 ft, width: 4 ft, depth: 8 in}
crop: {name: romaine}
water: {ph: 7.2, alkalinity: 60 mg/L, calcium: 18 mg/L}
shelf: [{name: hydroponic base, label: 5-12-26}, {name: calcium nitrate}, {name: Epsom salt}]
log:
  - {at: 2027-05-01T09:00, planted: {heads: 24, age: %d d}, depth: 8 in, ec: 1.6 mS/cm, ph: 6.0}
  - {at: 2027-05-08T18:00, depth: 7 3/4 in, ec: 1.5 mS/cm, ph: 6.3}
  - {at: 2027-05-15T18:00, depth: 7 1/2 in, ec: 1.4 mS/cm, ph: 6.7}
  - {at: 2027-05-22T18:00, depth: 7 in, ec: 1.3 mS/cm, ph: 7.1}
  - {at: 2027-05-26T18:00, depth: %s in, ec: 1.2 mS/cm, ph: 7.4}
`

// Heads that are full are cut before the bed is filled anew for them, and it is said that without them it need not be; with seedlings beside them it is not said.
func TestFullHeadsAreCutFirst(t *testing.T) {
	now := time.Date(2027, 5, 26, 19, 0, 0, 0, time.UTC)
	text := fmt.Sprintf(fullText, 21, "6-1/2")
	got := hungry(t, text, now)
	at := func(got *Tending, d Deed) int {
		return slices.IndexFunc(got.Actions, func(x Action) bool { return x.Do == d })
	}
	cut, refill := at(got, DoHarvest), at(got, DoRefill)
	if cut < 0 || refill < cut || got.Actions[cut].Why != WhyAllRipe {
		t.Errorf("cut %d, refill %d: %+v", cut, refill, got.Actions)
	}
	young := hungry(t, text+"  - {at: 2027-05-26T18:30, planted: {heads: 8, age: 20 d}}\n", now)
	if i := at(young, DoHarvest); i < 0 || young.Actions[i].Why != WhyRipe {
		t.Errorf("with seedlings beside them: %+v", young.Actions)
	}
}

// What may be a leak or dry days asks for the rain, also where another reading of the depth would be asked for a leak: that does not tell whether it rained.
func TestRainIsAskedForWhereALeakIsOpen(t *testing.T) {
	got := lastTended(t, "site: {kind: home, latitude: 10, elevation: 200 m, months: "+weather("")+"}"+fmt.Sprintf(fullText, 32, "6-1/4"))
	if got.Leak.Worth < lookAt || got.Leak.Probability >= sureLeak {
		t.Fatalf("%+v", got.Leak)
	}
	if !slices.ContainsFunc(got.Actions, func(x Action) bool { return x.Do == DoRead && x.Product == "rain" && x.Why == WhyDryDays }) {
		t.Errorf("%+v", got.Actions)
	}
}

// A pen is set before anything is dosed by what it reads.
func TestPensAreSetBeforeADose(t *testing.T) {
	list := Tending{Actions: []Action{{Do: DoFeed, Mass: unit.Gram}, {Do: DoAcid}, {Do: DoSetMeter, Why: WhyUnchecked}, {Do: DoCool}}}
	list.inOrder(false)
	if a := list.Actions; a[0].Do != DoSetMeter || a[1].Do != DoFeed || a[3].Do != DoCool {
		t.Errorf("%+v", a)
	}
}

// A bed is filled anew for what water alone does not mend: for its level only where nothing else is out.
func TestWhatABedIsFilledAnewFor(t *testing.T) {
	a := adviser{wanted: map[trouble]bool{{LimitLevel, -1}: true, {LimitPH, 1}: true}}
	if got := a.any(); got != (trouble{LimitPH, 1}) {
		t.Errorf("%+v", got)
	}
	delete(a.wanted, trouble{LimitPH, 1})
	if got := a.any(); got != (trouble{LimitLevel, -1}) {
		t.Errorf("%+v", got)
	}
}
