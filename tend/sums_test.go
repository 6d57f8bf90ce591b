package tend

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
)

// of makes what is told of sharpText with another log, at a moment.
func ofLogText(t *testing.T, log string, now time.Time) *Tending {
	t.Helper()
	text := sharpText[:strings.Index(sharpText, "log:")] + "log:\n" + log
	b, faults := brief.Parse("", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	visits, faults := bed.FromBrief(b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	got, faults := Make(Job{Plan: p, Log: visits, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return got
}

// A pH that only sums say is measured before it is turned: after acid that nobody read behind, and where the last reading is more than three
// days old. With a reading on the day, or one of three days ago, it is turned. (Own rule: what is poured for a wrong sum makes it worse by all of it.)
func TestAPHIsReadBeforeItIsTurned(t *testing.T) {
	const filled = "  - {at: 2027-05-01T08:00, filled: yes, planted: {heads: 32, age: 21 d}, depth: 6 in, ec: 1.6 mS/cm, ph: 6.9}\n"
	const soured = "  - {at: 2027-05-05T08:00, depth: 5-7/8 in, ec: 1.6 mS/cm, ph: 7.3, added acid: 90 g}\n"
	day := func(d, hour int) time.Time { return time.Date(2027, 5, d, hour, 0, 0, 0, time.UTC) }
	high := filled + "  - {at: 2027-05-05T08:00, depth: 5-7/8 in, ec: 1.6 mS/cm, ph: 7.4}\n  - {at: 2027-05-07T08:00, depth: 5-7/8 in, ec: 1.6 mS/cm, ph: 7.4}\n"
	for _, c := range []struct {
		name, log   string
		now         time.Time
		reads, pour bool
	}{
		{"acid, and no reading since", filled + soured, day(5, 9), true, false},
		{"acid, and read since", filled + soured + "  - {at: 2027-05-05T14:00, depth: 5-7/8 in, ec: 1.6 mS/cm, ph: 4.6}\n", day(5, 15), false, true},
		{"high, and read today", high, day(7, 9), false, true},
		{"high, and read three days ago", high, day(10, 7), false, true},
		{"high, and read longer ago", high, day(10, 9), true, false},
	} {
		got := ofLogText(t, c.log, c.now)
		reads := slices.ContainsFunc(got.Actions, func(a Action) bool { return a.Do == DoRead && a.Product == "ph" && a.Why == WhySums })
		pours := slices.ContainsFunc(got.Actions, func(a Action) bool { return a.Do == DoAcid || a.Do == DoBase })
		if reads != c.reads || pours != c.pour {
			t.Errorf("%s: read first %v, acid or base %v: %+v", c.name, reads, pours, got.Actions)
		}
	}
}

// Acid or base after which no root lives is not believed unless a reading bears it. In a bed of 8 by 4 ft and 5 in, 378 L of plain water
// of 260 mg/L (5.2 meq/L), citric acid of pKa 3.13, 4.76 and 6.40 (CRC Handbook) has at pH 4 a mean charge of 1.03: with the 1.4 meq/L by which the
// sums may be off 6.4 mmol/L, 465 g of 192.12 g/mol, bring it there. Of 30 mg/L (0.6 meq/L), in balance with three times the carbon dioxide of air
// (1.26e-3 atm, pK of Henry and the first of carbonic acid 7.82, the second 10.33: Stumm & Morgan), 6.2 meq/L stand at pH 8.5: 7.0 mmol/L,
// 265 g, of potassium bicarbonate. Activities and the pairs of calcium with citrate move both by less than a quarter.
func TestADoseAfterWhichNoRootLives(t *testing.T) {
	acid := func(g float64) string {
		return fmt.Sprintf("  - {at: 2027-05-10, filled: water, added acid: %.0f g}\n", g)
	}
	base := func(g float64) string {
		return fmt.Sprintf("  - {at: 2027-05-10, filled: water, added: {potassium bicarbonate: %.0f g}}\n", g)
	}
	const soon, late = "  - {at: 2027-05-12, ph: %s}\n", "  - {at: 2027-05-14, ph: 3.9}\n"
	for _, c := range []struct {
		water, log, path string
		id               finding.ID
	}{
		{hardWater, acid(0.75 * 465), "", ""}, {hardWater, acid(1.25 * 465), "log[1].added acid", FindAcid}, {softWater, acid(0.75 * 465), "log[1].added acid", FindAcid},
		{softWater, base(0.75 * 265), "", ""}, {softWater, base(1.25 * 265), "log[1].added.potassium bicarbonate", FindBase},
		{hardWater, acid(900) + fmt.Sprintf(soon, "3.9"), "", ""}, {hardWater, acid(900) + fmt.Sprintf(soon, "4.9"), "", ""},
		{hardWater, acid(900) + fmt.Sprintf(soon, "5.1"), "log[1].added acid", FindAcid}, {hardWater, acid(900) + late, "log[1].added acid", FindAcid},
		{hardWater, acid(900) + "  - {at: 2027-05-11, filled: yes}\n" + fmt.Sprintf(soon, "3.9"), "log[1].added acid", FindAcid},
	} {
		got, err := tended(t, c.water, c.log)
		if err != nil {
			t.Fatal(err)
		}
		var found []finding.Finding
		for _, f := range got.Findings {
			if f.ID == FindAcid || f.ID == FindBase {
				found = append(found, f)
			}
		}
		switch {
		case c.id == "" && len(found) > 0:
			t.Errorf("%s: %v", c.log, found)
		case c.id != "" && (len(found) != 1 || found[0].ID != c.id || string(found[0].Paths[0]) != c.path):
			t.Errorf("%s: %v", c.log, found)
		}
	}
}

// A strength that no crop bears, and that only the sums of a log tell, is read before anything is emptied, and what to do where the meter agrees is said with it; read so, the bed is emptied at once, also
// where the pH of that hour does not fit. (15 lb were poured for 1.5, and all that was asked for was the pH.)
func TestAStrengthOfSumsIsReadAndThenActedOn(t *testing.T) {
	const text = `
bed: {length: 8 ft, width: 4 ft, depth: 9 in}
crop: {name: butterhead}
water: {ph: 7.8, alkalinity: 170 mg/L, calcium: 60 mg/L, magnesium: 10 mg/L, sodium: 12 mg/L}
acid: {product: citric}
shelf: [{name: hydroponic base, label: 5-12-26}, {name: calcium nitrate}, {name: Epsom salt}]
log:
  - {at: 2027-05-01T09:00, filled: yes, planted: {heads: 24, age: 22 d}, depth: 9 in, ec: 1.9 mS/cm, ph: 5.9, rain: 0 in}
  - {at: 2027-05-10T09:00, depth: 8-3/4 in, ec: 1.9 mS/cm, ph: 6.2, rain: 0 in, added: {hydroponic base: 15 lb}}
`
	now := time.Date(2027, 5, 10, 11, 0, 0, 0, time.UTC)
	asked := func(got *Tending) bool {
		return len(got.Actions) > 0 && got.Actions[0].Do == DoRead && got.Actions[0].Product == "ec" && got.Actions[0].Why == WhyOverSums
	}
	got := hungry(t, text, now)
	if !asked(got) || does(got, DoRefill, DoDump, DoFeed) || got.NextCheck.Sub(now) > 24*time.Hour {
		t.Errorf("by sums: %+v, look again %v", got.Actions, got.NextCheck)
	}
	for _, ph := range []string{"", ", ph: 6.2", ", ph: 9.9"} { // none, and two of which one cannot fit
		got := hungry(t, text+"  - {at: 2027-05-10T10:00, ec: 9.8 mS/cm"+ph+"}\n", now)
		if asked(got) || !does(got, DoRefill) {
			t.Errorf("read%s: %+v", ph, got.Actions)
		}
	}
	if got := hungry(t, strings.Replace(text, "15 lb", "2 oz", 1), now); asked(got) {
		t.Errorf("two ounces: %+v", got.Actions)
	}
}
