package tend

import (
	"fmt"
	"testing"

	"raftwright/finding"
)

const emptiedInto = `
site: {kind: market, latitude: 40, cover: open}
bed: {length: 8 ft, width: 4 ft, depth: 5 in}
crop: {name: lettuce}
water: ` + hardWater + `
shelf: [{name: calcium nitrate}, {name: potassium chloride}]
log:
  - {at: 2027-05-01T08:00, filled: yes, planted: 32}
  - {at: 2027-05-12T08:00, %s}
`

// A bed may be rinsed with half as much again as it holds to its rim, no more. Potassium chloride of 0.1 mol/L conducts 12.9 mS/cm and of 0.5 mol/L 58.7
// (molar conductivities 128.9 and 117.3 S cm2/mol at 25 C; CRC Handbook of Chemistry and Physics, from memory), so 0.1 goes in and 0.2 (23.5 to 25.8) is more
// than the 20 of any feed; 74.551 g/mol (IUPAC weights).
func TestTooMuchPouredAtOnce(t *testing.T) {
	p, _ := planAndLog(t, fmt.Sprintf(emptiedInto, "ph: 6"))
	holds := p.Frame.BrimVolume
	salt := func(mol float64) string {
		return fmt.Sprintf("added: {potassium chloride: %.0f g}", mol*74.551*holds.Litres())
	}
	for done, want := range map[string]finding.ID{
		fmt.Sprintf("added water: %.1f L", 1.49*holds.Litres()): "", fmt.Sprintf("added water: %.1f L", 1.51*holds.Litres()): FindPoured,
		fmt.Sprintf("added solution: %.1f L", 1.49*holds.Litres()): "", fmt.Sprintf("added solution: %.1f L", 1.51*holds.Litres()): FindPoured,
		salt(0.1): "", salt(0.2): FindFed,
	} {
		got, told := lastTended(t, fmt.Sprintf(emptiedInto, done)), finding.ID("")
		for _, f := range got.Findings {
			if f.ID == FindPoured || f.ID == FindFed {
				told = f.ID
			}
		}
		if told != want {
			t.Errorf("%s: %q, not %q", done, told, want)
		}
	}
}

// After an amount that was left out the bed is read before anything is poured: the depth after water, the EC after feed; once that is read, no more.
func TestWhatWasLeftOutIsReadAgain(t *testing.T) {
	for done, key := range map[string]string{"added water: 5000 gal": "depth", "added: {calcium nitrate: 60 kg}": "ec"} {
		read := map[string]string{"depth": "depth: 4.9 in", "ec": "ec: 1.6 mS/cm"}[key]
		for after, want := range map[string]bool{"": true, "\n  - {at: 2027-05-13T08:00, " + read + "}": false} {
			again := false
			for _, a := range lastTended(t, fmt.Sprintf(emptiedInto, done+"}"+after+" #")).Actions {
				again = again || a.Do == DoRead && a.Why == WhyLeftOut && a.Product == key
			}
			if again != want {
				t.Errorf("%s%s: read again %v", done, after, again)
			}
		}
	}
}
