package dates

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// A calendar has at least one component (RFC 5545, 3.6): one without an event a time zone (3.6.5), with what such a one must say, and publishes none.
func TestEmptyCalendar(t *testing.T) {
	empty := strings.Split(Calendar(nil, "bed", "Invented", "en"), "\r\n")
	begins := regexp.MustCompile(`BEGIN:\w+`).FindAllString(strings.Join(empty, "\n"), -1)
	if want := []string{"BEGIN:VCALENDAR", "BEGIN:VTIMEZONE", "BEGIN:STANDARD"}; !slices.Equal(begins, want) {
		t.Errorf("%v", begins)
	}
	for _, line := range []string{"TZID:Etc/UTC", "DTSTART:19700101T000000", "TZOFFSETFROM:+0000", "TZOFFSETTO:+0000", "END:STANDARD", "END:VTIMEZONE", "END:VCALENDAR"} {
		if !slices.Contains(empty, line) {
			t.Errorf("no %s in %q", line, empty)
		}
	}
	if slices.ContainsFunc(empty, func(line string) bool { return strings.HasPrefix(line, "METHOD") }) {
		t.Error("nothing is published")
	}
	one := Calendar([]Event{{ID: "a", Day: time.Date(2027, 5, 3, 0, 0, 0, 0, time.UTC), Text: "Harvest"}}, "bed", "Invented", "en")
	if strings.Contains(one, "VTIMEZONE") || !strings.Contains(one, "METHOD:PUBLISH\r\n") || strings.Count(one, "BEGIN:VEVENT") != 1 {
		t.Errorf("%q", one)
	}
}
