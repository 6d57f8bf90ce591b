package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"raftwright/store"
)

// waveHouse is an office with twelve people who agreed to be asked, a form of every kind of item, and a wave that asks it.
func waveHouse(t *testing.T, kind string) (address string, kept *store.Store, educator, nobody asker) {
	t.Helper()
	server, kept, askers, _ := staffedHouse(t)
	keepRow(t, kept, "counties", true, "county", "ALD", "name", "Alder")
	keepRow(t, kept, "funders", true, "funder", "BOARD", "from", "2026-07-01", "to", "2027-06-30", "series", "each", "same_day", "once", "threshold", "11")
	keepRow(t, kept, "events", true, "event", "E1", "date", "2027-02-01", "county", "ALD", "education", "yes", "adults", "12", "youth", "0")
	for i := range 12 {
		code := "P" + string(rune('A'+i))
		keepRow(t, kept, "people", true, "person", code, "county", "ALD", "role", "public")
		keepRow(t, kept, "consents", false, "person", code, "purpose", "ask", "given", "2027-01-01")
		keepRow(t, kept, "signins", false, "event", "E1", "person", code)
	}
	keepRow(t, kept, "people", true, "person", "PZ", "county", "ALD", "role", "public")
	keepRow(t, kept, "consents", false, "person", "PZ", "purpose", "ask", "given", "2027-01-01") // agreed, was not there
	for _, q := range [][]string{{"ph", "I read pH", "Leo el pH", "five", "", ""}, {"log", "I keep a log", "Llevo un registro", "yes", "", ""}, {"where", "Where I grow", "Dónde cultivo", "one of", "home|school", "casa|escuela"}, {"beds", "How many beds", "Cuántas camas", "number", "", ""}} {
		keepRow(t, kept, "questions", false, "form", "spring", "kind", kind, "item", q[0], "english", q[1], "spanish", q[2], "answer", q[3], "choices", q[4], "choices_spanish", q[5])
	}
	keepRow(t, kept, "waves", true, "wave", "S1", "question", "Is it growing?", "question_spanish", "¿Produce?", "sent", "0", "undeliverable", "0", "planned_on", "2027-05-10", "form", "spring", "event", "E1")
	for _, a := range askers {
		switch a.name {
		case "educator":
			educator = a
		case "nobody":
			nobody = a
		}
	}
	return server.URL, kept, educator, nobody
}

// opened makes the links of the wave.
func opened(t *testing.T, address string, educator asker) []string {
	t.Helper()
	at := address + "/program/wave/S1"
	_, page := educator.page(t, "GET", at, nil)
	_, page = educator.page(t, "POST", at, url.Values{"saw": {fieldsOf(t, page).Get("saw")}})
	links := answerLink.FindAllString(page, -1)
	if len(links) != 12 {
		t.Fatal(len(links), "links: of who was there")
	}
	return links
}

// A link carries the whole form, in both languages: pairs that look back, practice by yes and no, a list, a number, pounds, and consent to a
// story. It is kept once, all or nothing; what is wrong stands at its place with what was typed; the report compares the pairs with the response
// beside them; consent stands apart from the answer; and the answer can be taken out by its code.
func TestALinkCarriesTheWholeForm(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	address, kept, educator, nobody := waveHouse(t, "looking back")
	links := opened(t, address, educator)
	status, page := nobody.page(t, "GET", address+links[0], nil)
	for _, name := range []string{"now:ph", "before:ph", "now:log", "before:log", "now:where", "now:beds", "pounds_told", "own_code", "tells", "answer"} {
		if status != 200 || !strings.Contains(page, `name="`+name+`"`) {
			t.Error(status, name, "is not asked")
		}
	}
	if strings.Contains(page, "<script") {
		t.Log("the page has a script; the test sends the form without one")
	}
	r, _ := http.NewRequest("GET", address+links[0], nil)
	r.Header.Set("Accept-Language", "es")
	if got := do(t, r); !strings.Contains(got.body, "Leo el pH") || !strings.Contains(got.body, "escuela") || strings.Contains(got.body, "I read pH") {
		t.Error("the form is not in Spanish")
	}
	answer := url.Values{"answer": {"yes"}, "now:ph": {"4"}, "before:ph": {"2"}, "now:log": {"1"}, "before:log": {"0"}, "now:where": {"2"}, "now:beds": {"many"}, "pounds_told": {"12.5"}, "own_code": {"K7"}, "tells": {"yes"}}
	status, page = nobody.page(t, "POST", address+links[0], answer)
	if status != http.StatusUnprocessableEntity || !strings.Contains(page, `value="many"`) || !strings.Contains(page, `name="now:ph" value="4" checked`) || !strings.Contains(page, `id="item-3-wrong"`) || len(rowsWith(t, kept, "replies", "S1")) > 0 {
		t.Error("a wrong number:", status)
	}
	answer.Set("now:ph", "6")
	answer.Set("now:beds", "2")
	if status, _ = nobody.page(t, "POST", address+links[0], answer); status != http.StatusUnprocessableEntity {
		t.Error("a step that there is not:", status)
	}
	answer.Set("now:ph", "4")
	status, page = nobody.page(t, "POST", address+links[0], answer)
	replies := rowsWith(t, kept, "replies", "S1")
	if status != 200 || len(replies) != 1 || !strings.Contains(page, replies[0]["reply"]) {
		t.Fatal(status, replies)
	}
	if status, _ = nobody.page(t, "POST", address+links[0], answer); status != http.StatusGone {
		t.Error("kept twice:", status)
	}
	rows := map[string]map[string]string{}
	for _, row := range rowsWith(t, kept, "answers", "S1") {
		rows[row["item"]] = row
	}
	for item, want := range map[string][3]string{"ph": {"looking back", "2", "4"}, "log": {"looking back", "0", "1"}, "where": {"later", "", "2"}, "beds": {"later", "", "2"}} {
		if got := rows[item]; got["kind"] != want[0] || got["before"] != want[1] || got["after"] != want[2] || got["code"] != "K7" || got["form"] != replies[0]["reply"] || got["event"] != "E1" {
			t.Error(item, got)
		}
	}
	if len(rowsWith(t, kept, "consents", "tell")) > 0 {
		t.Error("a consent with a name stands beside the answer")
	}
	for i, link := range links[1:11] {
		if status, _ := nobody.page(t, "POST", address+link, url.Values{"answer": {"no"}, "now:ph": {"3"}, "before:ph": {[]string{"2", "3"}[i%2]}}); status != 200 {
			t.Error(status)
		}
	}
	figures := func() string {
		_, body := educator.page(t, "GET", address+"/program/report.csv?funder=BOARD&day=2027-05-12", nil)
		return body
	}
	body := figures()
	for _, want := range []string{"looking back/ph (S1): pairs,11\n", "looking back/ph (S1): rose,6\n", "looking back/ph (S1): response,0.916667\n", "looking back/log (S1): pairs,1\n", "later/where (S1): answered,1\n", "later/where (S1): answers given,2: 1\n", "wave S1: returned,11\n", "wave S1: pounds told,12.5\n"} {
		if !strings.Contains(body, want) {
			t.Errorf("the report has no %q", want)
		}
	}
	if _, public := educator.page(t, "GET", address+"/program/report.csv?funder=BOARD&day=2027-05-12&edition=public", nil); strings.Contains(public, "where (S1") || strings.Contains(public, "pounds told") || !strings.Contains(public, "wave ") {
		t.Error(public)
	}
	// the consent is written down by the office
	_, page = educator.page(t, "POST", address+"/program/wave/S1", url.Values{"tells": {"yes"}})
	if list := rowsWith(t, kept, "consents", "tell"); len(list) != 1 || list[0]["person"] != "PA" || list[0]["given"] != "2027-05-11" {
		t.Error(list, page)
	}
	// an answer is taken out by its code: all of it
	id := ""
	list, err := kept.LastRecords(t.Context(), store.Holder(), "replies", 0, 20)
	for _, r := range list {
		if r.Name == replies[0]["reply"] {
			id = r.ID
		}
	}
	if status, _ := educator.page(t, "POST", address+"/program/replies/"+id, url.Values{"id": {store.NewID()}, "do": {"void"}, "reason": {"asked for"}}); err != nil || status != http.StatusSeeOther {
		t.Error(status, err)
	}
	if body = figures(); !strings.Contains(body, "looking back/ph (S1): pairs,10\n") || strings.Contains(body, "later/where") {
		t.Error("what was taken back is counted")
	}
	// what was asked stays as it is
	if status, _ := educator.page(t, "POST", address+"/program/questions", url.Values{"id": {store.NewID()}, "form": {"spring"}, "kind": {"looking back"}, "item": {"more"}, "english": {"x"}, "spanish": {"x"}, "answer": {"yes"}}); status == http.StatusSeeOther {
		t.Error("a form that is out is changed")
	}
}

// What somebody says months after is joined by an own code to what they said at the event, and stands apart from the forms of that day.
func TestAWaveJoinsTheFormsOfAnEvent(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	address, kept, educator, nobody := waveHouse(t, "after")
	for i := range 11 {
		keepRow(t, kept, "answers", false, "form", "F"+string(rune('a'+i)), "event", "E1", "kind", "before and after", "code", "K"+string(rune('a'+i)), "item", "ph", "before", "2")
	}
	for i, link := range opened(t, address, educator)[:11] {
		own := "K" + string(rune('a'+i))
		if i == 10 {
			own = "" // lost
		}
		if status, _ := nobody.page(t, "POST", address+link, url.Values{"answer": {"yes"}, "now:ph": {"4"}, "own_code": {own}}); status != 200 {
			t.Error(status)
		}
	}
	_, body := educator.page(t, "GET", address+"/program/report.csv?funder=BOARD&day=2027-05-12", nil)
	for _, want := range []string{"before and after/ph (S1): pairs,10\n", "before and after/ph (S1): answers left out,2\n", "before and after/ph (S1): mean change,2.000000\n", "before and after/ph: pairs,0\n"} {
		if !strings.Contains(body, want) {
			t.Errorf("the report has no %q", want)
		}
	}
}

// The form of a wave is printed, comes back, is keyed in twice, and counts as what came by a link does; its letter tells early from late.
func TestAFormOfAWaveIsKeyed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	address, kept, educator, _ := waveHouse(t, "looking back")
	opened(t, address, educator)
	for _, language := range []string{"en", "es", "en+es"} {
		if status, body := educator.page(t, "GET", address+"/program/wave/S1/form.pdf?language="+url.QueryEscape(language), nil); status != 200 || !strings.HasPrefix(body, "%PDF") {
			t.Error(language, status)
		}
	}
	at := newPile(t, educator, address, "", "replies:S1", false)
	cells := map[string]string{"row1:own": "K7", "row1:question": "y", "row1:letter": "2", "row1:pounds": "3.5", "row1:item.ph": "42", "row1:item.log": "yn", "row1:item.where": "1", "row1:item.beds": "2", "row2:item.log": "yx"}
	if status, page := key(t, educator, at, cells); status != http.StatusUnprocessableEntity || !strings.Contains(page, `id="row2:item.log-wrong"`) {
		t.Fatal(status)
	}
	if status, page := key(t, educator, at, map[string]string{"row2:item.log": "-n"}, "do", "settle"); status != http.StatusSeeOther {
		t.Fatal(status, page)
	}
	replies := rowsWith(t, kept, "replies", "S1")
	answers := rowsWith(t, kept, "answers", "S1")
	if len(replies) != 2 || len(answers) != 5 {
		t.Fatal(replies, answers)
	}
	for _, r := range replies {
		if r["own_code"] == "K7" && (r["answer"] != "yes" || r["mailing"] != "2" || r["pounds_told"] != "3.5" || r["returned_on"] != "2027-05-11") {
			t.Error(r)
		}
	}
	for _, a := range answers {
		if a["code"] == "K7" && a["item"] == "ph" && (a["after"] != "4" || a["before"] != "2" || a["kind"] != "looking back") {
			t.Error(a)
		}
	}
	if _, body := educator.page(t, "GET", address+"/program/report.csv?funder=BOARD&day=2027-05-12", nil); !strings.Contains(body, "wave S1: returned,2\n") || !strings.Contains(body, "looking back/ph (S1): pairs,1\n") {
		t.Error(body)
	}
}

// A reply on paper is of the day on which it came back, not of that on which it is keyed: a report of a day holds what had come back by then (METHODS, section 0).
func TestAReplyOnPaperIsOfTheDayItCameBack(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	address, kept, educator, _ := waveHouse(t, "looking back")
	begin := func(back string) (int, string, string) {
		id := store.NewID()
		status, body := educator.page(t, "POST", address+"/keying", url.Values{"id": {id}, "kind": {"replies:S1"}, "back": {back}})
		return status, body, address + "/keying/" + id
	}
	w := rowsWith(t, kept, "waves", "S1")[0]
	w["sent_on"], w["sent"] = "2027-04-20", "12"
	rewrite(t, kept, "waves", "S1", w)
	for back, want := range map[string]string{"": "is missing", "2027-04-19": "Apr 20, 2027 to May 11, 2027", "2027-05-12": "Apr 20, 2027 to May 11, 2027", "2027-02-30": "2027-02-30"} {
		if status, body, _ := begin(back); status != http.StatusUnprocessableEntity || !strings.Contains(strings.ReplaceAll(body, "\u00a0", " "), want) || back != "2027-02-30" && !strings.Contains(body, `value="`+back+`"`) {
			t.Errorf("%q: %d, no %q", back, status, want)
		}
	}
	status, _, at := begin("2027-04-28")
	if status != http.StatusSeeOther {
		t.Fatal(status)
	}
	if status, page := key(t, educator, at, map[string]string{"row1:question": "y", "row1:item.ph": "42"}, "do", "settle"); status != http.StatusSeeOther {
		t.Fatal(status, page)
	}
	if got := rowsWith(t, kept, "replies", "S1"); len(got) != 1 || got[0]["returned_on"] != "2027-04-28" {
		t.Error(got)
	}
	for day, want := range map[string]string{"2027-04-27": "wave S1: returned,0\n", "2027-04-28": "wave S1: returned,1\n"} {
		if _, body := educator.page(t, "GET", address+"/program/report.csv?funder=BOARD&day="+day, nil); !strings.Contains(body, want) {
			t.Errorf("%s: no %q", day, want)
		}
	}
}

// rewrite writes a row of the book anew.
func rewrite(t *testing.T, kept *store.Store, table, name string, row map[string]string) {
	t.Helper()
	list, err := kept.LastRecords(t.Context(), store.Holder(), table, 0, 100)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range list {
		if r.Name != name {
			continue
		}
		for i, p := range r.Row {
			r.Row[i].Text = row[string(p.Path)]
		}
		if _, err := kept.PutRecord(t.Context(), store.Holder(), store.NewID(), r.Version, r); err != nil {
			t.Fatal(err)
		}
	}
}
