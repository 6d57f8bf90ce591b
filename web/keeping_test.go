package web

import (
	"archive/zip"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"raftwright/store"
)

var inForm = regexp.MustCompile(`(?s)<form method="post" action="/keeping/consents">(.*?)</form>`)

// Who no longer wants to be held is forgotten by name on the same day; the rows of the code are due, and go once a person confirms, from every
// version. The counts of the report stay. What a hold stops stays.
func TestAConsentIsTakenBack(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator, volunteer := askers[0], askers[1]
	ctx, holder := t.Context(), store.Holder()
	const code = "P2339"
	consents := func(a asker) (int, string) { return a.page(t, "GET", server.URL+"/keeping/consents?code="+code, nil) }
	if err := kept.PutContact(ctx, holder, store.Contact{Code: code, Name: "Invented Grower", Contact: "invented@example.invalid"}); err != nil {
		t.Fatal(err)
	}
	status, page := consents(volunteer)
	forms := inForm.FindAllStringSubmatch(page, -1)
	if status != http.StatusOK || len(forms) == 0 || strings.Contains(page, "Invented Grower") {
		t.Fatal(status, len(forms))
	}
	_, before := educator.page(t, "GET", server.URL+"/program/report.csv?funder=BOARD&day=2027-05-11", nil)
	taken := false
	for _, form := range forms {
		if !strings.Contains(form[1], "held") && !strings.Contains(form[1], "keep the code") && len(forms) > 1 {
			continue
		}
		for range 2 { // however often it is sent
			if status, page = educator.page(t, "POST", server.URL+"/keeping/consents", fieldsOf(t, form[1])); status != http.StatusOK || !strings.Contains(page, "Taken back May 11, 2027") {
				t.Fatal(status, page)
			}
		}
		taken = true
	}
	if !taken {
		t.Fatal("no consent to be held", page)
	}
	if c, err := kept.ContactOf(ctx, holder, code); err != nil || c.Name+c.Contact != "" {
		t.Error("the name is still held", c, err)
	}
	status, page = educator.page(t, "GET", server.URL+"/keeping/due", nil)
	if status != http.StatusOK || !strings.Contains(page, ">"+code+"<") || !strings.Contains(page, "consent withdrawn") {
		t.Fatal(status, page)
	}
	form := fieldsOf(t, page)
	if status, _ = volunteer.page(t, "POST", server.URL+"/keeping/due", url.Values{"mark": {form.Get("mark")}, "by": {"S1"}, "looked": {"yes"}}); status != http.StatusForbidden {
		t.Error("a volunteer emptied rows:", status)
	}
	if status, _ = educator.page(t, "POST", server.URL+"/keeping/due", url.Values{"mark": {form.Get("mark")}, "by": {"S1"}}); status != http.StatusUnprocessableEntity {
		t.Error("nobody said that they looked:", status)
	}
	if status, _ = educator.page(t, "POST", server.URL+"/keeping/due", url.Values{"mark": {"another"}, "by": {"S1"}, "looked": {"yes"}}); status != http.StatusConflict {
		t.Error("another list than was looked at:", status)
	}
	if n := times(t, kept, code); n == 0 {
		t.Fatal("nothing to empty")
	}
	if status, page = educator.page(t, "POST", server.URL+"/keeping/due", url.Values{"mark": {form.Get("mark")}, "by": {"S1"}, "looked": {"yes"}}); status != http.StatusOK || !regexp.MustCompile(`\d+ rows? (was|were) emptied`).MatchString(page) {
		t.Fatal(status, page)
	}
	if n := times(t, kept, code); n > 0 {
		t.Errorf("%d rows still name the code", n)
	}
	if err := kept.Rebuild(ctx); err != nil {
		t.Fatal(err)
	}
	if n := times(t, kept, code); n > 0 {
		t.Errorf("made anew, %d rows name the code", n)
	}
	_, after := educator.page(t, "GET", server.URL+"/program/report.csv?funder=BOARD&day=2027-05-11", nil)
	totals := regexp.MustCompile(`(?m)^BOARD,.*,all,(direct_contacts|volunteer_hours[^,]*|pounds[^,]*|heads[^,]*),.*$`)
	if a, b := totals.FindAllString(before, -1), totals.FindAllString(after, -1); len(a) == 0 || strings.Join(a, "\n") != strings.Join(b, "\n") {
		t.Errorf("the totals were\n%s\nand are\n%s", strings.Join(a, "\n"), strings.Join(b, "\n"))
	}
	if _, page = educator.page(t, "GET", server.URL+"/program/destroyed", nil); !strings.Contains(page, "withdrawn") {
		t.Error("nothing says what was emptied")
	}
}

// What a schedule still keeps is sealed on the page, with its source and the day until when, while another row of the same person goes; who empties leaves it
// as it was. On the day on which the schedule is over a row goes (6 months after November 12 and 11, by hand; today is May 11).
func TestAScheduleSealsOnThePage(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator := askers[0]
	const code = "PSEALED"
	keepRow(t, kept, "people", true, "person", code, "county", "ALD", "role", "public", "since", "2026-09-01")
	keepRow(t, kept, "consents", false, "person", code, "purpose", "keep", "given", "2026-09-01", "withdrawn", "2027-05-10")
	for name, day := range map[string]string{"NSEALED": "2026-11-12", "NOVER": "2026-11-11"} {
		keepRow(t, kept, "inquiries", true, "inquiry", name, "date", day, "county", "ALD", "mode", "call", "education", "yes", "topic", "water", "person", code, "status", "closed", "minutes", "5", "note", "of "+name)
	}
	keepRow(t, kept, "keeping", false, "table", "inquiries", "start", "date", "months", "6", "source", "schedule of calls (invented)")
	row := func(page, name string) string {
		_, after, _ := strings.Cut(page, `<th scope="row">`+name+"</th>")
		of, _, _ := strings.Cut(after, "</tr>")
		return of
	}
	due := func() string {
		status, page := educator.page(t, "GET", server.URL+"/keeping/due", nil)
		if status != http.StatusOK {
			t.Fatal(status, page)
		}
		return page
	}
	const sealed = "sealed by the schedule until May 12, 2027: schedule of calls (invented)"
	page := due()
	if got := row(page, "NSEALED"); !strings.Contains(got, "consent withdrawn") || !strings.Contains(got, sealed) {
		t.Fatalf("the row that the schedule keeps: %q", got)
	}
	for _, name := range []string{"NOVER", code} {
		if got := row(page, name); got == "" || strings.Contains(got, "sealed") {
			t.Errorf("%s, which nothing keeps: %q", name, got)
		}
	}
	if status, page := educator.page(t, "POST", server.URL+"/keeping/due", url.Values{"mark": {fieldsOf(t, page).Get("mark")}, "by": {"S1"}, "looked": {"yes"}}); status != http.StatusOK {
		t.Fatal(status, page)
	}
	if times(t, kept, "of NSEALED") != 1 || times(t, kept, "of NOVER") != 0 || times(t, kept, code) != 2 { // in the sealed row, and in the consent that says why it is
		t.Errorf("the sealed row %d, the other %d, the code %d times", times(t, kept, "of NSEALED"), times(t, kept, "of NOVER"), times(t, kept, code))
	}
	if page = due(); row(page, "NOVER") != "" {
		t.Error("what was emptied is due again")
	}
}

// A volunteer may take a consent back, and so may who writes the day into its row or writes the row down late: in each way name and contact are
// forgotten on that day, and not before the day on which the consent ends.
func TestWhoeverTakesAConsentBackTheNameGoes(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	volunteer := askers[1]
	held := func(code string) bool {
		c, err := kept.ContactOf(t.Context(), store.Holder(), code)
		if err != nil {
			t.Fatal(err)
		}
		return c.Name+c.Contact != ""
	}
	for i, code := range []string{"PPRESS", "PROW", "PLATE", "PLATER"} {
		keepRow(t, kept, "people", true, "person", code, "role", "public", "since", "2026-09-01")
		if i < 2 {
			keepRow(t, kept, "consents", false, "person", code, "purpose", "keep", "given", "2026-09-01")
		}
		if err := kept.PutContact(t.Context(), store.Holder(), store.Contact{Code: code, Name: "Invented Grower", Contact: "invented@example.invalid"}); err != nil {
			t.Fatal(err)
		}
	}
	_, page := volunteer.page(t, "GET", server.URL+"/keeping/consents?code=PPRESS", nil)
	if status, _ := volunteer.page(t, "POST", server.URL+"/keeping/consents", fieldsOf(t, inForm.FindString(page))); status != http.StatusOK || held("PPRESS") {
		t.Errorf("taken back by a volunteer: %d, held %v", status, held("PPRESS"))
	}
	_, page = volunteer.page(t, "GET", server.URL+"/program/consents", nil)
	for _, at := range regexp.MustCompile(`/program/consents/[0-9a-f-]{36}`).FindAllString(page, -1) {
		_, one := volunteer.page(t, "GET", server.URL+at, nil)
		if form := fieldsOf(t, one); form.Get("person") == "PROW" {
			form.Set("withdrawn", "2027-05-11")
			if status, _ := volunteer.page(t, "POST", server.URL+at, form); status != http.StatusSeeOther || held("PROW") {
				t.Errorf("written into its row: %d, held %v", status, held("PROW"))
			}
		}
	}
	for code, day := range map[string]string{"PLATE": "2027-05-11", "PLATER": "2027-05-12"} {
		form := fieldsOf(t, page)
		for k, x := range map[string]string{"id": store.NewID(), "person": code, "purpose": "keep", "given": "2026-09-01", "withdrawn": day} {
			form.Set(k, x)
		}
		if status, body := volunteer.page(t, "POST", server.URL+"/program/consents", form); status != http.StatusSeeOther || held(code) != (code == "PLATER") {
			t.Errorf("%s: %d, held %v\n%s", code, status, held(code), body)
		}
	}
}

// A new yes to be held is refused for a code whose person took one back by today, in a new row and in an old one, since the rows of the code name nobody and go; a code whose
// yes ends later, another purpose and another code are not. A day that was a mistake is cleared in its own row.
func TestWhoComesBackGetsAnotherCode(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	educator := askers[0]
	for code, day := range map[string]string{"PLEFT": "2027-05-11", "PLATER": "2027-05-12"} {
		keepRow(t, kept, "people", true, "person", code, "role", "public", "since", "2026-09-01")
		keepRow(t, kept, "consents", false, "person", code, "purpose", "keep", "given", "2026-09-01", "withdrawn", day)
	}
	_, page := educator.page(t, "GET", server.URL+"/program/consents", nil)
	rows := regexp.MustCompile(`/program/consents/[0-9a-f-]{36}`).FindAllString(page, -1)
	if len(rows) < 2 {
		t.Fatal(page)
	}
	given := "2027-05-11"
	write := func(code, purpose, withdrawn string) (int, string) {
		form := fieldsOf(t, page)
		for k, x := range map[string]string{"id": store.NewID(), "person": code, "purpose": purpose, "given": given, "withdrawn": withdrawn} {
			form.Set(k, x)
		}
		return educator.page(t, "POST", server.URL+"/program/consents", form)
	}
	for _, c := range []struct {
		code, purpose, withdrawn string
		want                     int
	}{{"PLEFT", "keep", "", http.StatusConflict}, {"PLEFT", "ask", "", http.StatusSeeOther}, {"PLATER", "keep", "", http.StatusSeeOther}, {"PNEW", "keep", "", http.StatusSeeOther}, {"PLEFT", "keep", "2027-05-11", http.StatusSeeOther}} {
		if status, body := write(c.code, c.purpose, c.withdrawn); status != c.want || status == http.StatusConflict && !strings.Contains(body, "another code") {
			t.Errorf("%v: %d\n%s", c, status, body)
		}
	}
	given = "2027-05-12" // when the yes of this code has ended
	if status, _ := write("PLATER", "keep", ""); status != http.StatusConflict {
		t.Error("a yes of the day on which it ends:", status)
	}
	cleared := 0
	for _, at := range rows {
		_, one := educator.page(t, "GET", server.URL+at, nil)
		form := fieldsOf(t, one)
		if form.Get("person") != "PLEFT" {
			continue
		}
		form.Set("withdrawn", "") // the other row of the code says still that it was taken back
		if status, _ := educator.page(t, "POST", server.URL+at, form); status != http.StatusConflict {
			t.Errorf("an old row says yes again: %d", status)
		}
		cleared++
	}
	if cleared != 1 {
		t.Fatal(cleared)
	}
	keepRow(t, kept, "consents", false, "person", "PWRONG", "purpose", "keep", "given", "2026-09-01", "withdrawn", "2027-05-11")
	_, page = educator.page(t, "GET", server.URL+"/program/consents", nil)
	for _, at := range regexp.MustCompile(`/program/consents/[0-9a-f-]{36}`).FindAllString(page, -1) {
		_, one := educator.page(t, "GET", server.URL+at, nil)
		if form := fieldsOf(t, one); form.Get("person") == "PWRONG" {
			form.Set("withdrawn", "")
			if status, body := educator.page(t, "POST", server.URL+at, form); status != http.StatusSeeOther {
				t.Errorf("a mistake cannot be cleared: %d\n%s", status, body)
			}
		}
	}
}

// times counts the records that hold a text, in any version.
func times(t *testing.T, s *store.Store, text string) (n int) {
	t.Helper()
	err := s.EachRecord(t.Context(), store.Holder(), func(r store.Record) error {
		past, err := s.RecordHistory(t.Context(), store.Holder(), r.ID)
		for _, p := range past {
			for _, c := range p.Row {
				if c.Text == text {
					n++
				}
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Text stays out of the copy for the public until somebody has read it; who reads is written down.
func TestWordsAreReadAndReleased(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := houseWithYear(t)
	copied := func() string {
		t.Helper()
		got := get(t, server.URL+"/keeping/copy.zip?request=letter+of+May+3&rule=State+law%2C+section+1&looked=K1")
		z, err := zip.NewReader(strings.NewReader(got.body), int64(len(got.body)))
		if err != nil {
			t.Fatal(got.status, err)
		}
		var all strings.Builder
		if i := slices.IndexFunc(z.File, func(f *zip.File) bool { return f.Name == "log.json" }); i < 0 {
			t.Error("no log for programs")
		}
		for _, f := range z.File {
			r, err := f.Open()
			if err == nil {
				_, err = io.Copy(&all, r)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		return all.String()
	}
	page := get(t, server.URL+"/keeping/words")
	form := fieldsOf(t, page.body)
	text := form.Get("text0")
	if page.status != http.StatusOK || text == "" {
		t.Fatal(page.status)
	}
	if strings.Contains(copied(), text) {
		t.Fatal("it goes out unread:", text)
	}
	for _, told := range []string{"letter of May 3", "State law, section 1", "K1", "code of a person", `"request":"letter of May 3"`, `"reason":"name"`} { // the log: request, rule, who looked, what kind
		if !strings.Contains(copied(), told) {
			t.Errorf("the log of the copy does not say %q", told)
		}
	}
	for _, without := range []string{"?rule=a&looked=K1", "?request=a&looked=K1", "?request=a&rule=b&looked=+", ""} {
		if got := get(t, server.URL+"/keeping/copy.zip"+without); got.status == http.StatusOK || strings.HasPrefix(got.body, "PK") || !strings.Contains(got.body, "who looked is missing") {
			t.Errorf("%q: a copy without its log: %d", without, got.status)
		}
	}
	send := url.Values{"text0": {text}, "fit0": {"yes"}, "text1": {"what nobody wrote"}, "fit1": {"yes"}}
	if got := post(t, server.URL+"/keeping/words", send); got.status != http.StatusBadRequest {
		t.Error("released by nobody:", got.status)
	}
	send.Set("by", "S1")
	if got := post(t, server.URL+"/keeping/words", send); got.status != http.StatusOK || strings.Contains(got.body, `value="`+text+`"`) {
		t.Error(got.status, "it is asked for again")
	}
	if out := copied(); !strings.Contains(out, text) || strings.Contains(out, "what nobody wrote") {
		t.Error("what was read does not go out, or what was not written does")
	}
	if got := get(t, server.URL+"/keeping/copy"); got.status != http.StatusOK || !strings.Contains(got.body, "code of a person") {
		t.Error(got.status)
	}
}

// Educators alone see who a code is, and each look is noted; forgotten, the name is nowhere, and the code stays.
func TestPeopleBehindCodes(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator, volunteer := askers[0], askers[1]
	const code = "P2339"
	at := server.URL + "/codes/" + code
	if status, _ := educator.page(t, "POST", at, url.Values{"do": {"write"}, "name": {"Invented <b>Grower"}, "contact": {"invented@example.invalid"}}); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	if status, page := volunteer.page(t, "GET", at, nil); status != http.StatusForbidden || strings.Contains(page, "invented@") {
		t.Error("a volunteer sees it:", status)
	}
	if status, page := educator.page(t, "GET", server.URL+"/codes", nil); status != http.StatusOK || strings.Contains(page, "Invented") || !strings.Contains(page, code) {
		t.Error("the list:", status)
	}
	if status, page := educator.page(t, "GET", at, nil); status != http.StatusOK || !strings.Contains(page, "Invented &lt;b&gt;Grower") {
		t.Error(status)
	}
	if _, page := educator.page(t, "GET", server.URL+"/people/looks", nil); !strings.Contains(page, "Code "+code) {
		t.Error("the look is not noted")
	}
	if status, page := educator.page(t, "POST", at, url.Values{"do": {"forget"}}); status != http.StatusOK || strings.Contains(page, "invented@") {
		t.Error(status)
	}
	if c, err := kept.ContactOf(t.Context(), store.Holder(), code); err != nil || c.Name+c.Contact != "" {
		t.Error(c, err)
	}
	if times(t, kept, code) == 0 {
		t.Error("the code went with the name")
	}
	if status, _ := educator.page(t, "GET", server.URL+"/codes/NOBODY", nil); status != http.StatusNotFound {
		t.Error(status)
	}
}

// The rules of the web find nothing on the pages of keeping and of codes.
func TestRulesOfKeeping(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	s := houseWithYear(t)
	for _, path := range []string{"/program", "/keeping/due", "/keeping/consents", "/keeping/words", "/keeping/copy", "/codes", "/codes/P2339"} {
		obeysTwice(t, ctx, s.URL, axe, path)
	}
}
