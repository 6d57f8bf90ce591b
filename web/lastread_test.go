package web

import (
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/lang"
)

// Beside a blank stands what was read last by the clock, not what stands last in the file, in the reader's own words.
func TestWhatWasReadLast(t *testing.T) {
	b, faults := brief.Parse("", []byte(`{raftwright: 1, log: [{at: 2027-05-11T08:00, depth: 5-1/4 in, water temperature: 59 F}, {at: 2027-05-10T07:55, depth: 4-1/2 in, ec: 1.9 mS/cm}, {at: 2027-06-11T08:00, depth: 3 in, ph: 6.0}]}`)) // the last of them is dated ahead
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	last := lastOf(b, time.Date(2027, 5, 11, 8, 0, 0, 0, time.UTC))
	for key, want := range map[string][2]string{"depth": {"5-1/4 in", "5-1/4 pulg"}, "ec": {"1.9 mS/cm", "1.9 mS/cm"}, "water temperature": {"59 °F", "59 °F"}, "ph": {"", ""}} {
		for i, tongue := range []string{"en", "es"} {
			words, err := lang.For(tongue, lang.US)
			if err != nil {
				t.Fatal(err)
			}
			if got := asRead(words, last[key]); got != want[i] {
				t.Errorf("%s in %s: %q, want %q", key, tongue, got, want[i])
			}
		}
	}
}
