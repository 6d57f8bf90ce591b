package tend

import (
	"math"
	"strings"
	"testing"
)

// lastTended is the tending of a brief at its last visit.
func lastTended(t *testing.T, text string) *Tending {
	t.Helper()
	p, log := planAndLog(t, text)
	got, faults := Make(Job{Plan: p, Log: log, Now: log[len(log)-1].At})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return got
}

// An acid that was poured by volume is the brief's own, also where children come and paper has crystals in its place: 60 mL of phosphoric acid (75 %, 12.08 mmol/mL: 1.579 g/mL over
// 97.995 g/mol) are 725 mmol, or 22.4 g of phosphorus, and 450 L hold 50 mg/L more of it. It was taken for nothing, since crystals have no volume.
func TestAcidPouredWhereChildrenCome(t *testing.T) {
	const text = `
site: {kind: home, children: visit}
bed: {length: 8 ft, width: 4 ft, depth: 6 in}
water: {ph: 7.8, alkalinity: 240 mg/L, calcium: 60 mg/L, magnesium: 20 mg/L}
acid: {product: phosphoric 75 %}
shelf: [{name: calcium nitrate}, {name: potassium nitrate}]
mix: {doses: {calcium nitrate: 0.4 g/L, potassium nitrate: 0.4 g/L}}
log:
  - {at: 2027-05-03T08:00, filled: yes, planted: {heads: 32, age: 21 d}}
  - {at: 2027-05-05T08:00, added acid: 60 mL}
`
	for _, children := range []string{"visit", "none"} {
		with := lastTended(t, strings.Replace(text, "children: visit", "children: "+children, 1))
		without := lastTended(t, strings.Replace(strings.Replace(text, "children: visit", "children: "+children, 1), ", added acid: 60 mL", "", 1))
		litres := with.State.Volume.Value
		got := with.State.Holds[Phosphorus].Value - without.State.Holds[Phosphorus].Value
		if want := 60 * 12.08 * 30.974 / litres; math.Abs(got-want) > 2.5 {
			t.Errorf("children %s: 60 mL brought %.1f mg/L of phosphorus to %.0f L, not %.1f", children, got, litres, want)
		}
	}
}
