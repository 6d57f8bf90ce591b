package tend

import (
	"math"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/plan"
)

// sharpText is an invented bed whose pH is too high.
const sharpText = `
raftwright: 1
title: An invented bed
site: {kind: school, children: visit, latitude: 41}
bed: {length: 97 in, width: 49 in, depth: 6 in}
raft: {sheet: [4 ft, 8 ft], spacing: 12 in}
water: {ph: 7.4, alkalinity: 90 mg/L CaCO3}
shelf:
  - {name: powder, label: 5-12-26}
  - calcium nitrate
acid: {product: citric, target ph: 5.8}
crop: {name: lettuce}
log:
  - {at: 2027-05-01T08:00, filled: yes, planted: {heads: 32, age: 21 d}, depth: 6 in, ec: 1.6 mS/cm, ph: 6.9}
  - {at: 2027-05-05T08:00, depth: 5-7/8 in, ec: 1.6 mS/cm, ph: 7.3}
  - {at: 2027-05-10T08:00, depth: 5-3/4 in, ec: 1.6 mS/cm, ph: 7.4}
`

// Citric acid of which no strength is written is pure: the same is weighed as of crystals of 100 %. And what is weighed fits
// the water: anhydrous citric acid is 192.12 g/mol (IUPAC weights), gives at most three H, and its bed holds 90 mg/L of
// alkalinity as CaCO3, which is 1.8 meq/L (Standard Methods 2320): some 0.12 g/L take all of it away.
func TestCrystalsArePure(t *testing.T) {
	var grams [2]float64
	for i, product := range []string{"citric", "citric 100 %"} {
		text := strings.Replace(sharpText, "product: citric", "product: "+product, 1)
		b, faults := brief.Parse("", []byte(text))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		log, _ := bed.FromBrief(b)
		got, faults := Make(Job{Plan: p, Log: log, Now: time.Date(2027, 5, 10, 8, 30, 0, 0, time.UTC)})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for _, a := range got.Actions {
			if a.Do == DoAcid {
				grams[i] = a.Mass.Grams()
			}
		}
		litres := p.Frame.Volume.Litres()
		if g := grams[i] / litres; g < 0.01 || g > 0.2 {
			t.Errorf("%s: %.0f g into %.0f L: %v", product, grams[i], litres, got.Actions)
		}
	}
	if math.Abs(grams[0]-grams[1]) > 0.01*grams[1] {
		t.Errorf("%.0f g, and %.0f g of crystals of 100 %%", grams[0], grams[1])
	}
}
