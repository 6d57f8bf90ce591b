package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/programme"
	"raftwright/store"
)

// keepRow keeps a row of the book.
func keepRow(t *testing.T, s *store.Store, table string, named bool, cells ...string) {
	t.Helper()
	f, ok := programme.FormOf(table)
	if !ok {
		t.Fatal(table)
	}
	said := map[string]string{}
	for i := 0; i < len(cells); i += 2 {
		said[cells[i]] = cells[i+1]
	}
	r := store.Record{ID: store.NewID(), Ledger: table}
	for _, c := range f.Fields {
		r.Row = append(r.Row, brief.Pair{Path: finding.Path(c.Name), Text: said[c.Name]})
	}
	if named {
		r.Name = r.Row[0].Text
	}
	if _, err := s.PutRecord(t.Context(), store.Holder(), r.ID, 0, r); err != nil {
		t.Fatal(err)
	}
}

// code finds the codes of who is asked and of the wave.
var code = regexp.MustCompile(`P1|A6`)

var answerLink = regexp.MustCompile(`/answer/[A-Za-z0-9_-]{22}`)

// Who may be asked is known without the book being read anew for each answer; whoever takes the consent back is asked no more.
func TestAnAnswerDoesNotReadTheBook(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	_, kept, _, _ := staffedHouse(t)
	keepRow(t, kept, "counties", true, "county", "ALD", "name", "Alder")
	for _, p := range []string{"P1", "P2"} {
		keepRow(t, kept, "people", true, "person", p, "county", "ALD", "role", "public")
		keepRow(t, kept, "consents", false, "person", p, "purpose", "ask", "given", "2027-01-01")
	}
	keepRow(t, kept, "waves", true, "wave", "A6", "question", "Does it grow?", "sent", "0", "undeliverable", "0", "planned_on", "2027-05-10") // without a day it would be a fault, and all be read anew
	h := &House{Store: kept, Book: plan.DefaultBook(), Now: func() time.Time { return time.Date(2027, 5, 10, 8, 0, 0, 0, time.UTC) }}
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	v := &visit{House: h, Request: r, who: store.Holder()}
	may := func(want ...string) {
		t.Helper()
		if got, err := v.askable("A6"); err != nil || !slices.Equal(got, want) {
			t.Errorf("may be asked: %v, %v", got, err)
		}
	}
	may("P1", "P2")
	read := h.year.book
	for i := range 3 {
		keepRow(t, kept, "replies", true, "reply", "R"+strconv.Itoa(i), "wave", "A6", "answer", "yes", "returned_on", "2027-05-10", "mailing", "1")
		if may("P1", "P2"); h.year.book != read {
			t.Error("the book was read anew for an answer")
		}
	}
	keepRow(t, kept, "consents", false, "person", "P3", "purpose", "ask", "given", "2027-01-01")
	keepRow(t, kept, "people", true, "person", "P3", "county", "ALD", "role", "public")
	may("P1", "P2", "P3")
}

// A wave that went out on paper, before the pages knew it, has nobody to remind by a link: the page says so, and no reminder is counted that nobody got.
func TestNobodyLeftToRemind(t *testing.T) {
	server := houseWithYear(t)
	at := server.URL + "/program/wave/A6"
	page := get(t, at)
	if !strings.Contains(page.body, "Nobody is left to remind by a link.") || strings.Contains(page.body, "Make links for a reminder") {
		t.Error("the page of a wave on paper offers links for a reminder")
	}
	post(t, at, url.Values{"saw": {"2027-03-15+"}})
	row := regexp.MustCompile(`/program/waves/[0-9a-f-]{36}`).FindString(page.body)
	if reminders := fieldsOf(t, get(t, server.URL+row).body)["reminders"]; len(reminders) != 1 || reminders[0] != "" {
		t.Errorf("%v reminders are counted", reminders)
	}
}

// A follow-up goes out with a link for each who agreed; it is answered without an account, in the language of who answers, once; a link that
// was taken back, or whose person took the consent back, says so kindly; the answer names nobody.
func TestAFollowUpByLinks(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	keepRow(t, kept, "counties", true, "county", "ALD", "name", "Alder")
	keepRow(t, kept, "funders", true, "funder", "BOARD", "from", "2026-07-01", "to", "2027-06-30", "series", "each", "same_day", "once", "threshold", "11")
	for _, p := range []string{"P1", "P2", "P3", "P4", "P5"} {
		keepRow(t, kept, "people", true, "person", p, "county", "ALD", "role", "public")
		if p != "P5" {
			keepRow(t, kept, "consents", false, "person", p, "purpose", "ask", "given", "2027-01-01")
		}
	}
	keepRow(t, kept, "waves", true, "wave", "A6", "question", "Is the bed growing now?", "question_spanish", "¿La cama produce ahora?", "sent", "0", "undeliverable", "0", "planned_on", "2027-05-10")
	var educator, nobody asker
	for _, a := range askers {
		switch a.name {
		case "educator":
			educator = a
		case "nobody":
			nobody = a
		}
	}
	at := server.URL + "/program/wave/A6"
	status, body := educator.page(t, "GET", at, nil)
	saw := fieldsOf(t, body).Get("saw")
	if status != 200 || !strings.Contains(body, "4 people may be asked") || strings.Contains(strings.ReplaceAll(body, saw, ""), "P1") {
		t.Fatal(status, body)
	}
	if status, _ := nobody.page(t, "POST", at, url.Values{"saw": {saw}}); status != http.StatusUnauthorized && status != http.StatusSeeOther {
		t.Error("nobody sends a follow-up:", status)
	}
	status, body = educator.page(t, "POST", at, url.Values{"saw": {saw}})
	links := answerLink.FindAllString(body, -1)
	if status != 200 || len(links) != 4 {
		t.Fatal(status, links)
	}
	if _, again := educator.page(t, "POST", at, url.Values{"saw": {saw}}); answerLink.MatchString(again) {
		t.Error("one touch twice gives other links")
	}
	if _, body = educator.page(t, "GET", at, nil); answerLink.MatchString(body) {
		t.Error("a link is told again")
	}
	// answered, in Spanish, by who holds no account
	r, _ := http.NewRequest("GET", server.URL+links[0], nil)
	r.Header.Set("Accept-Language", "es")
	if got := do(t, r); got.status != 200 || !strings.Contains(got.body, "¿La cama produce ahora?") || got.header.Get("Referrer-Policy") != "no-referrer" {
		t.Error(got.status, got.header, got.body)
	}
	if status, body := nobody.page(t, "GET", server.URL+links[0], nil); status != 200 || !strings.Contains(body, "Is the bed growing now?") || code.MatchString(strings.ReplaceAll(body, links[0], "")) { // the letters of a link are any
		t.Error(status, body)
	}
	if status, body := nobody.page(t, "POST", server.URL+links[0], url.Values{"answer": {"yes"}, "pounds_told": {"many"}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, `value="many"`) {
		t.Error("pounds that are none:", status)
	}
	if status, body := nobody.page(t, "POST", server.URL+links[0], url.Values{"answer": {"yes"}, "pounds_told": {"12.5"}, "own_code": {"K7"}}); status != 200 || !strings.Contains(body, "Your answer is kept") {
		t.Error(status, body)
	}
	ended := func(link string, want int) {
		t.Helper()
		for _, method := range []string{"GET", "POST"} {
			if status, body := nobody.page(t, method, server.URL+link, url.Values{"answer": {"no"}}); status != want || !strings.Contains(body, "This link opens no more") {
				t.Errorf("%s: %d", method, status)
			}
		}
	}
	ended(links[0], http.StatusGone)
	if status, _ := educator.page(t, "POST", at, url.Values{"withdraw": {"P2"}}); status != http.StatusSeeOther {
		t.Error(status)
	}
	ended(links[1], http.StatusGone)
	keepRow(t, kept, "consents", false, "person", "P3", "purpose", "keep", "given", "2027-01-01", "withdrawn", "2027-05-11")
	ended(links[2], http.StatusGone)
	ended("/answer/AAAAAAAAAAAAAAAAAAAAAA", http.StatusNotFound)
	// reminded: P4 has not answered, P2's link was taken back and is made anew; P1 answered, P3 withdrew
	_, body = educator.page(t, "GET", at, nil)
	status, body = educator.page(t, "POST", at, url.Values{"saw": {fieldsOf(t, body).Get("saw")}})
	again := answerLink.FindAllString(body, -1)
	if status != 200 || len(again) != 2 {
		t.Fatal(status, again)
	}
	ended(links[3], http.StatusGone)
	if status, _ := nobody.page(t, "POST", server.URL+again[1], url.Values{"answer": {""}}); status != 200 {
		t.Error(status)
	}
	list, err := kept.LastRecords(t.Context(), store.Holder(), "replies", 0, 10)
	if err != nil || len(list) != 2 {
		t.Fatal(list, err)
	}
	var said []string
	for _, x := range list[1].Row {
		said = append(said, x.Text)
	}
	if got := strings.Join(said[1:], " "); got != "A6 1 2027-05-11 yes 12.5 K7" || strings.Contains(list[1].Who, "P1") {
		t.Error(got, list[1].Who)
	}
	waves, err := kept.LastRecords(t.Context(), store.Holder(), "waves", 0, 10)
	if err != nil || cellOf(waves[0], "sent_on") != "2027-05-11" || cellOf(waves[0], "sent") != "4" || cellOf(waves[0], "reminders") != "1" {
		t.Error(waves, err)
	}
	if cellOf(list[0], "mailing") != "2" {
		t.Error("an answer to a reminder counts as early")
	}
	// and the report counts them
	if _, body := educator.page(t, "GET", server.URL+"/program/report.csv?funder=BOARD&day=2027-05-12", nil); !strings.Contains(body, "wave A6: sent,4\n") || !strings.Contains(body, "wave A6: returned,2\n") || !strings.Contains(body, "wave A6: yes,1\n") {
		t.Error(body)
	}
}

// A slip of an event with fewer than ten adults is kept in the pool of its county and month, not at the event.
func TestASlipOfASmallEventIsPooled(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	keepRow(t, kept, "counties", true, "county", "ALD", "name", "Alder")
	for event, adults := range map[string]string{"E1": "9", "E2": "10"} {
		keepRow(t, kept, "events", true, "event", event, "date", "2027-05-03", "county", "ALD", "education", "yes", "adults", adults, "youth", "0")
		status, _ := askers[0].page(t, "POST", server.URL+"/program/slips", url.Values{"id": {store.NewID()}, "slip": {"S" + event}, "event": {event}, "standard": {"2024"}, "groups": {"White"}})
		if status != http.StatusSeeOther {
			t.Error(status)
		}
	}
	list, err := kept.LastRecords(t.Context(), store.Holder(), "slips", 0, 9)
	if err != nil || len(list) != 2 {
		t.Fatal(list, err)
	}
	for _, r := range list {
		want := map[string]string{"SE1": " ALD 2027-05", "SE2": "E2  "}[r.Name]
		if got := cellOf(r, "event") + " " + cellOf(r, "county") + " " + cellOf(r, "month"); got != want {
			t.Errorf("%s: %q, not %q", r.Name, got, want)
		}
	}
}

// Of two hundred texts that nobody outside may read, in the codes, names and contacts of who was asked, in notes, places and the name of the
// wave, none is on a page that a link opens, nor in its header, whether it is open, answered, withdrawn or unknown.
func TestNoSecretStandsBehindALink(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedHouse(t)
	var secrets []string
	plant := func(kind string, i int) string {
		s := kind + " Sample-" + strconv.Itoa(1000+i)
		secrets = append(secrets, s)
		return s
	}
	keepRow(t, kept, "counties", true, "county", "ALD", "name", plant("County", 0))
	for i := range 48 {
		code := plant("Code", i)
		keepRow(t, kept, "people", true, "person", code, "county", "ALD", "role", "public")
		keepRow(t, kept, "consents", false, "person", code, "purpose", "ask", "given", "2027-01-01")
		if err := kept.PutContact(t.Context(), store.Holder(), store.Contact{Code: code, Name: plant("Zoë Ñandú", i), Contact: plant("(555) 01", i)}); err != nil {
			t.Fatal(err)
		}
		keepRow(t, kept, "inquiries", true, "inquiry", "N"+strconv.Itoa(i), "date", "2027-05-01", "county", "ALD", "education", "yes", "status", "closed", "person", code, "note", plant("pupil", i))
	}
	wave := plant("Wave", 0)
	keepRow(t, kept, "waves", true, "wave", wave, "question", "Is it growing?", "sent", "0", "undeliverable", "0", "planned_on", "2027-05-01")
	keepRow(t, kept, "waves", true, "wave", "B1", "question", plant("Question", 1), "question_spanish", plant("Pregunta", 1), "sent", "0", "undeliverable", "0", "planned_on", "2027-05-01")
	for i := range 4 {
		keepRow(t, kept, "prices", true, "price", "Z"+strconv.Itoa(i), "date", "2027-05-01", "crop", "lettuce", "unit", "lb", "dollars", "2.00", "basis", "retail", "place", plant("Street", i), "source", "x")
	}
	if len(secrets) != 200 {
		t.Fatalf("%d secrets", len(secrets))
	}
	at := server.URL + "/program/wave/" + url.PathEscape(wave)
	_, office := askers[0].page(t, "GET", at, nil)
	_, office = askers[0].page(t, "POST", at, url.Values{"saw": {fieldsOf(t, office).Get("saw")}})
	links := answerLink.FindAllString(office, -1)
	if len(links) != 48 || !strings.Contains(office, secrets[1]) {
		t.Fatal(len(links), "links; the page of the office names codes, else this finds nothing")
	}
	askers[0].page(t, "POST", at, url.Values{"withdraw": {secrets[1]}}) // the first
	for _, language := range []string{"en", "es"} {
		for _, ask := range []struct{ method, link string }{{"GET", links[0]}, {"GET", links[1]}, {"POST", links[2]}, {"POST", links[2]}, {"POST", links[3]}, {"GET", "/answer/x"}, {"POST", "/answer/AAAAAAAAAAAAAAAAAAAAAA"}} {
			r, _ := http.NewRequest(ask.method, server.URL+ask.link, strings.NewReader("answer=maybe&pounds_told=x"))
			if language == "es" && ask.link == links[2] {
				r, _ = http.NewRequest(ask.method, server.URL+ask.link, strings.NewReader("answer=no"))
			}
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Accept-Language", language)
			got := do(t, r)
			text := got.body + fmt.Sprint(got.header)
			for _, s := range secrets {
				if strings.Contains(text, s) || strings.Contains(text, s[len(s)-11:]) {
					t.Errorf("%s %s, %s: %q is there", ask.method, ask.link, language, s)
				}
			}
			if got.status >= 500 || len(got.body) < 500 {
				t.Error(got.status)
			}
		}
	}
}
