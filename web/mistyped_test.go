package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// A day or a year that was mistyped is seen as the visit is kept, and a reading out of range is told on the scale that was read.
func TestMistypedVisits(t *testing.T) {
	server, _, askers, _ := staffedHouse(t)
	link := askers[3]
	bed := server.URL + "/beds/" + link.bed
	keep := func(form url.Values) string {
		t.Helper()
		status, page := link.page(t, "POST", bed+"/log", form)
		if status != http.StatusSeeOther {
			return page
		}
		_, page = link.page(t, "GET", bed+"/today?kept="+form.Get("id"), nil)
		return page
	}
	const ahead = "That day is still to come"
	for _, x := range []struct{ id, at, says, not string }{
		{"0197f000-0000-7000-8000-0000000000a1", "2027-05-11T07:30", "Kept 07:30", ahead},
		{"0197f000-0000-7000-8000-0000000000a2", "2026-05-11T07:30", "Kept May 11, 2026, 07:30", ahead},
		{"0197f000-0000-7000-8000-0000000000a3", "2028-05-11T07:30", "Kept May 11, 2028, 07:30", ""},
	} {
		page := keep(url.Values{"id": {x.id}, "at": {x.at}, "ph": {"6.0"}})
		if !strings.Contains(page, x.says) || x.not != "" && strings.Contains(page, x.not) || x.not == "" && !strings.Contains(page, ahead) {
			t.Errorf("%s: not %q", x.at, x.says)
		}
	}
	page := keep(url.Values{"id": {"0197f000-0000-7000-8000-0000000000a4"}, "at": {"2027-05-11T07:40"}, "water temperature": {"210"}, "unit:water temperature": {"F"}})
	if !strings.Contains(page, "from 28.4 F to 122 F") {
		t.Error("a warmth in degrees Fahrenheit is told its bounds in others")
	}
}
