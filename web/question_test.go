package web

import (
	"archive/zip"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/store"
)

// A question is answered by at most seven facts; each answer leads on by itself, the letter is made of them, and writing it
// down counts it. With illness no advice is given.
func TestAQuestion(t *testing.T) {
	server := house(t)
	first := get(t, server.URL+"/question")
	if first.status != http.StatusOK || !strings.Contains(first.body, `value="illness"`) {
		t.Fatal(first.status)
	}
	page := get(t, server.URL+"/question?begun=yes&seen=young_interveinal")
	sure := page
	next := regexp.MustCompile(`href="(/question\?[^"]*)"`)
	steps := 0
	for ; steps < 10; steps++ {
		found := next.FindStringSubmatch(page.body)
		if found == nil {
			break
		}
		page = get(t, server.URL+html.UnescapeString(found[1]))
		if page.status != http.StatusOK {
			t.Fatal(page.status, found[1])
		}
	}
	if steps == 0 || steps > 6 {
		t.Errorf("%d more facts were asked", steps)
	}
	letter := regexp.MustCompile(`href="(/question/letter.pdf[^"]*)"`).FindStringSubmatch(page.body)
	if letter == nil {
		t.Fatal("no letter")
	}
	if got := get(t, server.URL+html.UnescapeString(letter[1])); !strings.HasPrefix(got.body, "%PDF") {
		t.Error(got.status)
	}
	down := regexp.MustCompile(`href="(/program/inquiries[^"]*)"`).FindStringSubmatch(sure.body)
	if down == nil {
		t.Fatal("nowhere to write it down")
	}
	if form := fieldsOf(t, get(t, server.URL+html.UnescapeString(down[1])).body); form.Get("status") != "closed" || form.Get("education") != "yes" {
		t.Error(form)
	}
	if form := fieldsOf(t, get(t, server.URL+html.UnescapeString(down[1])).body); form.Get("ask_again") != "2027-05-18" { // seven days on
		t.Error("the day of the letter is written down as", form.Get("ask_again"))
	}
	ill := get(t, server.URL+"/question?begun=yes&concern=illness&seen=young_interveinal")
	if next.MatchString(strings.ReplaceAll(ill.body, `href="/question"`, "")) || !strings.Contains(ill.body, "/question/letter.pdf") {
		t.Error("asked on, or nowhere to go")
	}
	down = regexp.MustCompile(`href="(/program/inquiries[^"]*)"`).FindStringSubmatch(ill.body)
	if down == nil {
		t.Fatal("nowhere to write it down")
	}
	if form := fieldsOf(t, get(t, server.URL+html.UnescapeString(down[1])).body); form.Get("status") != "open" || form.Get("referred") == "" || form.Get("topic") != "safety" {
		t.Error("what is sent on is written down as", form)
	}
	if got := get(t, server.URL+"/question?begun=yes&seen=no_such_sign"); got.status != http.StatusBadRequest {
		t.Error(got.status)
	}
}

// A question stands on the page of questions from the day on by which to ask again, until somebody presses that it was done; the next row has no day of the one before.
func TestAQuestionIsAskedAfterAgain(t *testing.T) {
	kept := emptyStore(t)
	server := serving(t, &House{Store: kept, Book: plan.DefaultBook(), Own: true})
	day := func(on int) string { return time.Date(2027, 5, 11+on, 0, 0, 0, 0, time.UTC).Format(time.DateOnly) }
	keepRow(t, kept, "counties", true, "county", "ALD", "name", "Alder")
	for name, again := range map[string]string{"NDUE": day(0), "NLATER": day(1), "NNONE": ""} {
		keepRow(t, kept, "inquiries", true, "inquiry", name, "date", day(-7), "county", "ALD", "mode", "call", "education", "yes", "topic", "growing", "status", "closed", "minutes", "3", "ask_again", again)
	}
	due := regexp.MustCompile(`<form method="post" action="(/program/inquiries/[^"]+)">(.*?)</form>`)
	forms := due.FindAllStringSubmatch(get(t, server.URL+"/program/inquiries").body, -1)
	if len(forms) != 1 || !strings.Contains(forms[0][2], "NDUE") {
		t.Fatal("due:", forms)
	}
	if got := post(t, server.URL+forms[0][1], fieldsOf(t, forms[0][0])); got.status != http.StatusOK || !strings.Contains(got.body, day(0)) {
		t.Fatal(got.status)
	}
	if forms := due.FindAllString(get(t, server.URL+"/program/inquiries").body, -1); len(forms) != 0 {
		t.Error("still due:", forms)
	}
	earlier := url.Values{"id": {store.NewID()}, "field": {"ask_again"}, "new": {day(-8)}, "reason": {"invented"}}
	if got := post(t, server.URL+forms[0][1], earlier); got.status == http.StatusOK || !strings.Contains(got.body, "comes before the beginning") {
		t.Error("a correction that puts the day before the question is kept:", got.status)
	}
	id := strings.TrimPrefix(forms[0][1], "/program/inquiries/")
	if form := fieldsOf(t, get(t, server.URL+"/program/inquiries?like="+id).body); form.Get("ask_again") != "" || form.Get("date") != day(-7) {
		t.Error("the next row begins with", form)
	}
}

// A workshop is planned for so many families or for a table of them; what is wrong in the table is told; the beds are kept
// once, without the log of the bed they are like.
func TestAWorkshop(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := house(t)
	id := store.NewID()
	made := post(t, server.URL+"/beds", url.Values{"id": {id}, "site.place": {"04473"}, "bed.length": {"8 ft"}, "bed.width": {"4 ft"}})
	bed := regexp.MustCompile(`/beds/[0-9a-f-]{36}`).FindString(made.where)
	if bed == "" {
		t.Fatal(made.status, made.where)
	}
	at := server.URL + bed + "/workshop"
	if got := get(t, at+"?families=3"); got.status != http.StatusOK || !strings.Contains(got.body, "workshop.zip?families=3") {
		t.Fatal(got.status, regexp.MustCompile(`(?s)role="alert".{0,400}`).FindString(got.body))
	}
	for _, bad := range []string{"?families=0", "?families=many", "?table=" + url.QueryEscape("kit,language\n01,xx\n")} {
		if got := get(t, at+bad); got.status != http.StatusUnprocessableEntity || strings.Contains(got.body, "workshop.pdf") {
			t.Error(bad, got.status)
		}
	}
	if got := get(t, server.URL+bed+"/workshop.pdf?families=2"); !strings.HasPrefix(got.body, "%PDF") {
		t.Error(got.status)
	}
	table := "kit,language,water.ph\n07,es,7.8\n08,en,\n"
	got := get(t, server.URL+bed+"/workshop.zip?table="+url.QueryEscape(table))
	z, err := zip.NewReader(strings.NewReader(got.body), int64(len(got.body)))
	if err != nil || len(z.File) != 2 || z.File[0].Name != "kit-07.pdf" {
		t.Fatal(err, got.status)
	}
	form := url.Values{"table": {table}}
	for range 2 {
		if got := post(t, at, form); got.status != http.StatusOK || !strings.Contains(got.body, "2 beds") {
			t.Fatal(got.status)
		}
	}
	if got := get(t, server.URL+"/beds"); strings.Count(got.body, " 07<") != 1 || strings.Count(got.body, " 08<") != 1 {
		t.Error("the beds of the families do not stand once in the list")
	}
}

// After the number of families changed the beds are made again: who has one keeps it, under another name too, only new seats get one, and of seats that are gone
// it is said that their beds stay. Families of another day get beds of their own, once however often it is sent.
func TestBedsOfFamiliesAreMadeAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := house(t)
	made := post(t, server.URL+"/beds", url.Values{"id": {store.NewID()}, "title": {"Invented"}, "site.place": {"04473"}, "bed.length": {"8 ft"}, "bed.width": {"4 ft"}})
	bed := regexp.MustCompile(`/beds/[0-9a-f-]{36}`).FindString(made.where)
	at := server.URL + bed + "/workshop"
	press := func(n string, more ...string) string {
		form := fieldsOf(t, regexp.MustCompile(`(?s)<form method="post" action="`+bed+`/workshop">.*?</form>`).FindString(get(t, at+"?families="+n).body))
		if len(more) > 0 {
			form.Set("another", more[0])
		} else {
			form.Del("another")
		}
		got := post(t, at, form)
		if got.status != http.StatusOK {
			t.Fatal(got.status)
		}
		return got.body
	}
	beds := func() int {
		return len(slices.Compact(slices.Sorted(slices.Values(regexp.MustCompile(`/beds/[0-9a-f-]{36}`).FindAllString(get(t, server.URL+"/beds").body, -1))))) - 1 // beside the one it is like
	}
	press("2")
	if press("3"); beds() != 3 {
		t.Fatalf("%d beds for three families, of whom two had one", beds())
	}
	if body := press("3"); beds() != 3 || !strings.Contains(body, "3 of them stood already") {
		t.Errorf("%d beds after making again", beds())
	}
	if body := press("2"); beds() != 3 || !strings.Contains(body, "no longer come") || !regexp.MustCompile(`href="/beds/[0-9a-f-]{36}">03<`).MatchString(body) {
		t.Errorf("of the seat that is gone nothing is said, %d beds", beds())
	}
	if press("2", "2"); beds() != 5 {
		t.Errorf("%d beds after another day with two families", beds())
	}
	if press("2", "2"); beds() != 5 {
		t.Errorf("%d beds after it was sent again", beds())
	}
	if press("3"); beds() != 6 {
		t.Errorf("%d beds after one family more on that day", beds())
	}
}
