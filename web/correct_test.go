package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"raftwright/plan"
)

// A day that alone would stand behind the end of its row is corrected together with that end: the page that refuses the one keeps what was typed and asks for both. What a
// correction says was there before is what stood there by then.
func TestBothDaysAreCorrectedInOneStep(t *testing.T) {
	kept := emptyStore(t)
	server := serving(t, &House{Store: kept, Book: plan.DefaultBook(), Own: true})
	day := func(on int) string { return time.Date(2027, 5, 11+on, 0, 0, 0, 0, time.UTC).Format(time.DateOnly) }
	keepRow(t, kept, "counties", true, "county", "ALD", "name", "Alder")
	keepRow(t, kept, "inquiries", true, "inquiry", "NEW1", "date", day(-9), "county", "ALD", "mode", "call", "education", "yes", "topic", "growing", "status", "closed", "ask_again", day(-2))
	at := server.URL + regexp.MustCompile(`/program/inquiries/[0-9a-f-]{36}`).FindString(get(t, server.URL+"/program/inquiries").body)
	correction := regexp.MustCompile(`(?s)<form method="post" action="/program/inquiries/[^"]*"><input type="hidden" name="id".*?</form>`)

	form := fieldsOf(t, correction.FindString(get(t, at).body))
	form.Set("field", "date")
	form.Set("new", day(-1))
	form.Set("reason", "written down a week late")
	got := post(t, at, form)
	if got.status != http.StatusBadRequest || !strings.Contains(got.body, "Change both in one step") {
		t.Fatal(got.status)
	}
	form = fieldsOf(t, correction.FindString(got.body))
	if form.Get("new") != day(-1) || form.Get("reason") == "" || form.Get("field") != "date" || form.Get("beside") != "ask_again" || form.Get("beside_new") != day(-2) {
		t.Fatal("what was typed is not kept, or the other day is not asked for:", form)
	}
	if got = post(t, at, form); got.status != http.StatusBadRequest {
		t.Fatal("kept with the end first:", got.status)
	}
	form.Set("beside_new", day(6))
	for range 2 { // sent twice it is one step
		if got = post(t, at, form); got.status != http.StatusOK {
			t.Fatal(got.status)
		}
	}
	corrections := func() []map[string]string { return rowsWith(t, kept, "corrections", "NEW1") }
	if list := corrections(); len(list) != 2 {
		t.Fatal(list)
	}
	form = fieldsOf(t, correction.FindString(get(t, at).body))
	form.Set("field", "date")
	form.Set("new", day(0))
	form.Set("reason", "one day more")
	if got = post(t, at, form); got.status != http.StatusOK {
		t.Fatal(got.status)
	}
	for _, c := range corrections() {
		if c["new"] == day(0) && c["old"] != day(-1) {
			t.Error("the last correction says that it was", c["old"])
		}
	}
}
