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

// Nobody is reminded where all who can be answered did: those whom it did not reach are not silent. A reply to a reminder tells that it went out, though nobody wrote it down; one that
// came later than the day tells nothing yet.
func TestRemindersByWhatCameBack(t *testing.T) {
	back := func(mailing int, days ...string) (out []programme.Reply) {
		for i, day := range days {
			out = append(out, programme.Reply{ID: fmt.Sprint("R", i), Wave: "B6", Mailing: mailing, Returned: on(day)})
		}
		return out
	}
	for _, c := range []struct {
		day, want string
		replies   []programme.Reply
	}{
		{"2027-02-22", "[{B6 2 2027-02-08 3}]", nil}, {"2027-02-22", "[{B6 2 2027-02-08 1}]", back(1, "2027-02-05", "2027-02-06")}, {"2027-02-22", "[]", back(1, "2027-02-05", "2027-02-06", "2027-02-22")},
		{"2027-02-22", "[{B6 2 2027-02-08 1}]", back(1, "2027-02-05", "2027-02-06", "2027-02-23")}, {"2027-02-21", "[]", back(2, "2027-02-10")}, {"2027-02-22", "[{B6 3 2027-02-22 2}]", back(2, "2027-02-10")},
		{"2027-03-18", "[{B6 4 2027-03-18 2}]", back(3, "2027-03-01")}, {"2027-03-18", "[]", back(4, "2027-03-18")}, {"2027-03-17", "[{B6 2 2027-02-08 3}]", back(4, "2027-03-18")},
	} {
		r := programme.Records{Waves: []programme.Wave{{ID: "B6", Sent: on("2027-02-01"), Count: 4, Undeliverable: 1}}, Replies: c.replies}
		if got := fmt.Sprint(r.AskingsDue(on(c.day))); got != c.want {
			t.Errorf("%s, %v: %s, not %s", c.day, c.replies, got, c.want)
		}
	}
}

// Where nobody served, the value is 0.00 by a rate that is out on the day of the report, and not given the day before.
func TestARateIsOutOnItsDay(t *testing.T) {
	files := map[string]string{"rates.csv": "rate,year,dollars_per_hour,source,name,released\nR1,2026,30.00,a body,estimate,2027-04-20\n", "funders.csv": "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,each,once,11,R1\n"}
	for day, want := range map[string]string{"2027-04-19": "programme.why.no_rate", "2027-04-20": "0.00"} {
		if got := says(t, report(t, small(t, files), "BOARD", day), "hours_value"); got != want {
			t.Errorf("%s: %s, not %s", day, got, want)
		}
	}
}
