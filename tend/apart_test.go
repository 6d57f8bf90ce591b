package tend

import (
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
)

// Two pens that disagree about the same water get no acid: one of them is wrong. The way out is a third reading, or the pens set; a reading of the next day, or after
// something was poured, tells of other water. What bears no two readings is further apart than 0.6: two pens each off by 0.2.
func TestPensThatDisagreeGetNoAcid(t *testing.T) {
	p, log, _ := invented(t, 8)
	log = log[:7]
	at := log[6].At
	now := at.Add(5 * time.Hour)
	reads := func(after time.Duration, pH float64) bed.Visit {
		v := bed.Visit{At: at.Add(after), Path: "log[9]"}
		v.Read.PH = brief.Field[float64]{Value: pH, Given: true}
		return v
	}
	poured := reads(time.Hour, 7.4)
	poured.Done = []bed.Happening{bed.AddedWater{Volume: 0.02}}
	for _, c := range []struct {
		name  string
		more  []bed.Visit
		apart bool
	}{
		{"one", nil, false},
		{"the same minute", []bed.Visit{reads(0, 6.2)}, true},
		{"half an hour later", []bed.Visit{reads(30*time.Minute, 6.2)}, true},
		{"0.55 off", []bed.Visit{reads(30*time.Minute, 6.85)}, false},
		{"0.65 off", []bed.Visit{reads(30*time.Minute, 6.75)}, true},
		{"a third beside the second", []bed.Visit{reads(30*time.Minute, 6.2), reads(time.Hour, 6.3)}, false},
		{"a third beside none", []bed.Visit{reads(30*time.Minute, 6.2), reads(time.Hour, 6.8)}, true},
		{"four hours later", []bed.Visit{reads(4*time.Hour, 6.2)}, false},
		{"after water", []bed.Visit{poured, reads(2*time.Hour, 6.2)}, false},
	} {
		with := append(append(bed.Log(nil), log...), c.more...)
		with[6].Read.PH = brief.Field[float64]{Value: 7.4, Given: true}
		got, faults := Make(Job{Plan: p, Log: with, Now: now})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if got.says(WhyApart) != c.apart || c.apart && does(got, DoAcid, DoBase) {
			t.Errorf("%s: %+v", c.name, got.Actions)
		}
		if c.name == "one" && !does(got, DoAcid, DoSetMeter) {
			t.Errorf("a pH of 7.4 alone: %+v", got.Actions)
		}
	}
	log[6].Read.PH = brief.Field[float64]{Value: 7.4, Given: true}
	p.Brief.Meter.Checked = brief.Field[brief.Date]{Value: brief.Date{Year: at.Year(), Month: at.Month(), Day: at.Day()}, Given: true}
	got, faults := Make(Job{Plan: p, Log: append(append(bed.Log(nil), log...), reads(30*time.Minute, 6.2)), Now: now})
	if len(faults) > 0 || got.says(WhyApart) {
		t.Errorf("with the pens set that day: %+v", got.Actions)
	}
}
