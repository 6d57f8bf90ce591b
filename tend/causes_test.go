package tend

import (
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/plan"
)

// An invented bed with what the log of the case says on its last day.
func tended(t *testing.T, water, log string) (*Tending, error) {
	t.Helper()
	text := `
raftwright: 1
site: {kind: market, latitude: 40, cover: open}
bed: {length: 8 ft, width: 4 ft, depth: 5 in, side board: 2x8, end board: 2x8}
crop: {name: lettuce}
water: ` + water + `
acid: {product: citric}
shelf: [{name: complete powder, label: 5-12-26, magnesium: 6 %, iron: 0.3 %}, {name: calcium nitrate}]
log:
  - {at: 2027-05-01T08:00, filled: yes, planted: 32}
` + log
	b, faults := brief.Parse("test.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	l, faults := bed.FromBrief(b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	book := plan.DefaultBook()
	p, faults := plan.Make(b, book, nil, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	out, faults := Make(Job{Plan: p, Log: l, Now: time.Date(2027, 5, 20, 12, 0, 0, 0, time.UTC), Troubles: book.Trouble})
	return out, faults.Or()
}

const hardWater = "{ph: 7.8, alkalinity: 260 mg/L CaCO3, calcium: 80 mg/L, magnesium: 20 mg/L, sodium: 10 mg/L}"

const softWater = "{ph: 7.2, alkalinity: 30 mg/L CaCO3, calcium: 8 mg/L, magnesium: 2 mg/L, sodium: 8 mg/L}"

// What the log says of the water's pH decides between two causes of the same sign (table of signs: iron
// that high pH locks up, and iron that cold or sick roots do not take up).
func TestTheReadingsDecideBetweenCausesOfOneSign(t *testing.T) {
	for _, c := range []struct{ water, log, want string }{
		{hardWater, "  - {at: 2027-05-17T08:00, ph: 7.7, ec: 1.4 mS/cm, depth: 5 in, rain: 0 mm}\n  - {at: 2027-05-20T08:00, ph: 7.8, ec: 1.4 mS/cm, depth: 4.9 in, rain: 0 mm, seen: [young_interveinal]}\n", "iron_high_ph"},
		{softWater, "  - {at: 2027-05-20T08:00, ph: 6.0, ec: 1.4 mS/cm, depth: 5 in, rain: 0 mm, oxygen: 1.5 mg/L, seen: [young_interveinal], roots: slimy}\n", "iron_cold_or_dead_roots"},
		{hardWater, "  - {at: 2027-05-20T08:00, ph: 6.0, rain: 0 mm, seen: [midday_wilt_cool_water, roots_brown_slimy], roots: slimy}\n", "root_rot"},
		{hardWater, "  - {at: 2027-05-20T08:00, seen: [holes_in_leaves]}\n", "chewers"},
	} {
		out, err := tended(t, c.water, c.log)
		if err != nil {
			t.Fatal(err)
		}
		if len(out.Wrong.Causes) == 0 || out.Wrong.Causes[0].Trouble != c.want {
			t.Errorf("%s gives %+v", c.log, out.Wrong.Causes)
		}
	}
}

// Nothing seen: nothing is told. What was seen fourteen days ago counts, a day more and it does not.
func TestWhatWasSeenGrowsOld(t *testing.T) {
	for _, c := range []struct {
		at   string
		told bool
	}{{"2027-05-06T12:00", true}, {"2027-05-05T12:00", false}, {"2027-05-21T12:00", false}} {
		out, err := tended(t, hardWater, "  - {at: "+c.at+", seen: [aphids]}\n")
		if err != nil {
			t.Fatal(err)
		}
		if told := len(out.Wrong.Causes) > 0; told != c.told {
			t.Errorf("seen at %s: told %v", c.at, told)
		}
	}
}

func TestHelpIsCalled(t *testing.T) {
	for _, c := range []struct {
		seen string
		find string
	}{{"[yellow_angular_down]", string(FindCall)}, {"[aphids]", string(FindLabel)}, {"[stunt_all_no_spots]", string(FindUnsure)}} {
		out, err := tended(t, hardWater, "  - {at: 2027-05-20T08:00, seen: "+c.seen+"}\n")
		if err != nil {
			t.Fatal(err)
		}
		var ids []string
		for _, f := range out.Findings {
			ids = append(ids, string(f.ID))
		}
		if !slices.Contains(ids, c.find) {
			t.Errorf("%s finds %v, want %s", c.seen, ids, c.find)
		}
	}
}

func TestSignsThatCannotBe(t *testing.T) {
	for _, c := range []struct{ log, want string }{
		{"{at: 2027-05-20, seen: [young_interveinel]}", "tend.fault.sign at log[1].seen"},
		{"{at: 2027-05-20, seen: [ph_low, ph_high]}", "tend.fault.signs at log[1].seen"},
		{"{at: 2027-05-20, roots: white, seen: [roots_brown]}", "tend.fault.signs at log[1].seen"},
	} {
		if _, err := tended(t, hardWater, "  - "+c.log+"\n"); err == nil || !strings.HasSuffix(err.Error(), c.want) {
			t.Errorf("%s gives %v, want %s", c.log, err, c.want)
		}
	}
}
