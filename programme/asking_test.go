package programme_test

import (
	"fmt"
	"testing"

	"raftwright/programme"
)

// A wave is due on the day for which it is planned, a reminder 7, 21 and 45 days after it was sent and not a day before; whoever took
// the consent back, and staff, are not asked.
func TestWavesThatAreDue(t *testing.T) {
	r := programme.Records{
		People: []programme.Person{{ID: "P1", Role: "public"}, {ID: "P2", Role: "public"}, {ID: "P3", Role: "public"}, {ID: "S1", Role: "staff"}},
		Consents: []programme.Consent{{Person: "P1", Purpose: "ask", Given: on("2027-01-01")}, {Person: "P2", Purpose: "ask", Withdrawn: on("2027-03-02")},
			{Person: "P3", Purpose: "ask"}, {Person: "P3", Purpose: "keep", Withdrawn: on("2027-03-05")}, {Person: "S1", Purpose: "ask"}},
		Waves: []programme.Wave{{ID: "A6", Planned: on("2027-03-02")}, {ID: "B6", Sent: on("2027-02-01"), Count: 12, Undeliverable: 1}},
	}
	for _, c := range []struct {
		day, want string
		reminders int
	}{
		{"2027-02-07", "[]", 0}, {"2027-02-08", "[{B6 2 2027-02-08 11}]", 0}, {"2027-02-21", "[]", 1}, {"2027-02-22", "[{B6 3 2027-02-22 11}]", 1},
		{"2027-03-01", "[]", 2}, {"2027-03-02", "[{A6 1 2027-03-02 2}]", 2}, {"2027-03-05", "[{A6 1 2027-03-02 1}]", 2}, {"2027-03-18", "[{A6 1 2027-03-02 1} {B6 4 2027-03-18 11}]", 2},
		{"2027-05-01", "[{A6 1 2027-03-02 1} {B6 4 2027-03-18 11}]", 2}, {"2027-05-02", "[{A6 1 2027-03-02 1}]", 2},
	} {
		r.Waves[1].Reminders = programme.Maybe{Given: true, N: c.reminders}
		if got := fmt.Sprint(r.AskingsDue(on(c.day))); got != c.want {
			t.Errorf("%s, %d sent: %s, not %s", c.day, c.reminders, got, c.want)
		}
	}
	if got := fmt.Sprint(r.MayBeAsked(on("2027-03-01"), "")); got != "[P1 P2 P3]" {
		t.Error(got)
	}
}
