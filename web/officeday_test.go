package web

import (
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/programme"
	"raftwright/store"
)

// ownZone says that the process is one of its own.
const ownZone = "RAFTWRIGHT_OWN_ZONE"

// Half an hour before midnight, half an hour after, and in the hour that a change of the clock repeats, a row that is begun, a correction, and a slip are of the day that the
// office's clock shows, in whatever zone the moment is told. The same book gives the same report to a server of another zone, later that year.
func TestRowsAreOfTheOfficesDay(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	if os.Getenv(ownZone) == "" { // the zone is one of a whole process, and others are tried in this one
		other := exec.Command(os.Args[0], "-test.run", "^TestRowsAreOfTheOfficesDay$")
		other.Env = append(os.Environ(), ownZone+"=yes")
		if out, err := other.CombinedOutput(); err != nil {
			t.Errorf("%v\n%s", err, out)
		}
		return
	}
	east, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Skip("no table of zones here")
	}
	for _, c := range []struct{ moment, day string }{
		{"2027-05-08T03:30:00Z", "2027-05-07"}, // 23:30
		{"2027-05-08T04:30:00Z", "2027-05-08"}, // 00:30
		{"2026-11-01T05:30:00Z", "2026-11-01"}, // 01:30, the first time
		{"2026-11-01T06:30:00Z", "2026-11-01"}, // and again, an hour later
		{"2026-11-02T04:30:00Z", "2026-11-01"}, // 23:30 of the day with 25 hours
		{"2027-03-15T03:30:00Z", "2027-03-14"}, // of that with 23
	} {
		at, _ := time.Parse(time.RFC3339, c.moment)
		time.Local = east
		s := yearStore(t)
		h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return at }}
		server := serving(t, h)
		page := func(path string, form url.Values) string {
			t.Helper()
			got := get(t, server.URL+path)
			if form != nil {
				got = post(t, server.URL+path, form)
			}
			if got.status != http.StatusOK && got.status != http.StatusSeeOther {
				t.Fatal(path, got.status, got.body)
			}
			return got.body
		}
		if body := page("/program/visits", nil); !regexp.MustCompile(`name="date" value="` + c.day + `"`).MatchString(body) {
			t.Errorf("%s: a visit that is begun is not of %s", c.moment, c.day)
		}
		id := ""
		if err := s.EachRecord(t.Context(), store.Holder(), func(r store.Record) error {
			if r.Ledger == "visits" && id == "" {
				id = r.ID
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		page("/program/visits/"+id, url.Values{"id": {store.NewIDIn("corrections")}, "field": {"minutes"}, "new": {"20"}, "reason": {"mistyped"}, "do": {"change"}})
		made := ""
		if err := s.EachRecord(t.Context(), store.Holder(), func(r store.Record) error {
			if f, _ := programme.FormOf(r.Ledger); r.Ledger == "corrections" && strings.Contains(strings.Join(textsIn(f, r), ","), "mistyped") {
				made = textsIn(f, r)[1]
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		if made != c.day {
			t.Errorf("%s: the correction was made on %s, not %s", c.moment, made, c.day)
		}
		report := page("/program/report.csv?funder=BOARD&day=2027-08-31", nil)
		for _, zone := range []*time.Location{time.UTC, time.FixedZone("", 12*3600)} {
			time.Local = zone
			other := serving(t, &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return at.AddDate(0, 6, 0) }})
			if got := get(t, other.URL+"/program/report.csv?funder=BOARD&day=2027-08-31"); got.body != report || len(report) < 1000 {
				t.Errorf("%s: another report on a server in %v", c.moment, zone)
			}
		}
	}
}
