package web

import (
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/programme"
	"raftwright/store"
)

// newPile begins a pile and gives its address.
func newPile(t *testing.T, a asker, address, event, kind string, twice bool) string {
	t.Helper()
	id := store.NewID()
	form := url.Values{"id": {id}, "event": {event}, "kind": {kind}}
	if strings.HasPrefix(kind, "replies:") {
		form.Set("back", "2027-05-11")
	}
	if twice {
		form.Set("twice", "yes")
	}
	for range 2 { // once however often it is sent
		if status, _ := a.page(t, "POST", address+"/keying", form); status != http.StatusSeeOther {
			t.Fatal(status)
		}
	}
	return address + "/keying/" + id
}

// key types cells into the grid and sends it.
func key(t *testing.T, a asker, at string, cells map[string]string, more ...string) (int, string) {
	t.Helper()
	status, page := a.page(t, "GET", at, nil)
	if status != http.StatusOK {
		return status, page
	}
	form := fieldsOf(t, page)
	for name, text := range cells {
		form.Set(name, text)
	}
	for i := 0; i < len(more); i += 2 {
		form.Set(more[i], more[i+1])
	}
	to, _, _ := strings.Cut(at, "?")
	return a.page(t, "POST", to, form)
}

// of gives the rows of a table that hold a text.
func rowsWith(t *testing.T, kept *store.Store, table, text string) (out []map[string]string) {
	t.Helper()
	f, _ := programme.FormOf(table)
	err := kept.EachRecord(t.Context(), store.Holder(), func(r store.Record) error {
		if r.Ledger != table {
			return nil
		}
		row, has := map[string]string{}, false
		for i, x := range textsIn(f, r) {
			row[f.Fields[i].Name] = x
			has = has || x == text
		}
		if has {
			out = append(out, row)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A sign-in sheet is keyed in: a fault stands at its cell and the other sheets are kept; a new name gets a code, and stands where it can be
// forgotten and in no happening; what is written into the book is counted there, and no draft stays.
func TestASignInSheetIsKeyed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	volunteer := askers[1]
	before := len(rowsWith(t, kept, "signins", "E002"))
	at := newPile(t, volunteer, server.URL, "E002", "signins", false)
	cells := map[string]string{"row1:code": "p2339", "row1:ask": "y", "row2:who": "Invented Newcomer", "row2:reach": "invented@example.invalid", "row2:ask": "n", "row3:code": "NOBODY", "row4:code": "P2339"}
	status, page := key(t, volunteer, at, cells)
	if status != http.StatusUnprocessableEntity || strings.Count(page, `aria-invalid="true"`) != 2 || !strings.Contains(page, `id="row3:code-wrong"`) || !strings.Contains(page, `value="NOBODY"`) || !strings.Contains(page, "2 sheets are kept") {
		t.Fatal(status, strings.Count(page, `aria-invalid="true"`), regexp.MustCompile(`\d+ sheets?[^<]*`).FindString(page))
	}
	if strings.Contains(page, "Invented Newcomer") {
		t.Error("the name is shown to who may not see it")
	}
	if status, page = key(t, volunteer, at, nil, "do", "settle"); status != http.StatusSeeOther {
		t.Fatal(status, regexp.MustCompile(`(?s)class="word">.{0,200}`).FindString(page))
	}
	if after := len(rowsWith(t, kept, "signins", "E002")); after != before+2 {
		t.Errorf("%d more stand on the list of the event", after-before)
	}
	fresh := ""
	for _, r := range rowsWith(t, kept, "signins", "E002") {
		if strings.HasPrefix(r["person"], "P") && len(r["person"]) == 8 {
			fresh = r["person"]
		}
	}
	if c, err := kept.ContactOf(t.Context(), store.Holder(), fresh); err != nil || c.Name != "Invented Newcomer" {
		t.Error(fresh, c, err)
	}
	if rows := rowsWith(t, kept, "people", fresh); len(rows) != 1 || rows[0]["role"] != "public" {
		t.Error(rows)
	}
	if rows := rowsWith(t, kept, "consents", fresh); len(rows) != 1 || rows[0]["purpose"] != "keep" {
		t.Error(rows)
	}
	if n := times(t, kept, "Invented Newcomer"); n > 0 {
		t.Error("the name stands in records")
	}
	drafts := 0
	_ = kept.EachRecord(t.Context(), store.Holder(), func(r store.Record) error {
		if strings.HasPrefix(r.Ledger, store.Drafts) {
			drafts++
		}
		return nil
	})
	if drafts > 0 {
		t.Errorf("%d drafts stay", drafts)
	}
	if status, _ = volunteer.page(t, "GET", at, nil); status != http.StatusConflict {
		t.Error("keyed again:", status)
	}
	if status, _ = volunteer.page(t, "GET", server.URL+"/program/report?funder=BOARD&day=2027-05-11", nil); status != http.StatusOK {
		t.Error("the book is broken:", status)
	}
}

// Two people key the same slips: the second sees nothing of the first keying, who keyed first may not key again, and where they differ it is
// said what the paper has before anything is written. The rows have names by chance, and of few adults no event.
func TestSlipsAreKeyedTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator, volunteer := askers[0], askers[1]
	event := "E002"
	small := false
	for _, r := range rowsWith(t, kept, "events", event) {
		small = len(r["adults"]) < 2
	}
	at := newPile(t, volunteer, server.URL, event, "slips", true)
	if status, _ := key(t, volunteer, at, map[string]string{"row1:groups": "47", "row1:sex": "w", "row1:item.build": "42", "row2:groups": "8", "row2:sex": "m", "row2:item.mix": "-5", "row3:sex": "-"}); status != http.StatusOK {
		t.Fatal(status)
	}
	if status, page := volunteer.page(t, "GET", at+"?turn=2", nil); status != http.StatusForbidden {
		t.Fatal("the same person keys again:", status, page)
	}
	status, page := educator.page(t, "GET", at+"?turn=2", nil)
	if status != http.StatusOK || strings.Contains(page, `value="47"`) {
		t.Fatal("the second sees the first keying:", status)
	}
	if status, _ = key(t, educator, at+"?turn=2", map[string]string{"row1:groups": "4", "row1:sex": "w", "row1:item.build": "52", "row2:groups": "8", "row2:sex": "m", "row2:item.mix": "-5"}); status != http.StatusOK {
		t.Fatal(status)
	}
	status, page = educator.page(t, "GET", at+"/apart", nil)
	radios := regexp.MustCompile(`name="([^"]*)" value="1"`).FindAllStringSubmatch(page, -1)
	if status != http.StatusOK || len(radios) != 3 || !strings.Contains(page, "3 places differ") { // groups, after, the third slip
		t.Fatal(status, radios)
	}
	if status, _ = educator.page(t, "POST", at+"/apart", url.Values{radios[0][1]: {"1"}}); status != http.StatusUnprocessableEntity {
		t.Error("written though not all is said:", status)
	}
	slips := len(rowsWith(t, kept, "slips", "2024"))
	form := url.Values{}
	for _, r := range radios {
		form.Set(r[1], "1")
		if strings.HasSuffix(r[1], "item.build") {
			form.Set(r[1], "2")
		}
	}
	if status, page = educator.page(t, "POST", at+"/apart", form); status != http.StatusSeeOther {
		t.Fatal(status, regexp.MustCompile(`(?s)class="word">.{0,200}`).FindString(page))
	}
	if n := len(rowsWith(t, kept, "slips", "2024")) - slips; n != 3 {
		t.Errorf("%d slips are in the book", n)
	}
	rows := rowsWith(t, kept, "slips", "Hispanic or Latino|White")
	rows = slices.DeleteFunc(rows, func(r map[string]string) bool { return !strings.HasPrefix(r["slip"], "F") || len(r["slip"]) != 8 })
	if len(rows) != 1 || rows[0]["sex"] != "F" || len(rows[0]["slip"]) < 6 || (rows[0]["event"] == "") != small {
		t.Error(rows, small)
	}
	answers := rowsWith(t, kept, "answers", "build")
	if len(answers) != 1 || answers[0]["before"] != "2" || answers[0]["after"] != "5" || answers[0]["kind"] != "looking back" || answers[0]["code"] != "" || answers[0]["form"] == rows[0]["slip"] {
		t.Error(answers)
	}
	if status, _ = educator.page(t, "GET", server.URL+"/program/report?funder=BOARD&day=2027-05-11", nil); status != http.StatusOK {
		t.Error("the book is broken:", status)
	}
}

// What is shown in the grid is sent again with every page: in each language a woman stays a woman and a man a man, also where the language is changed
// between two pages, and a name stays who it is.
func TestAGridIsSentAgainAsItIsShown(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	volunteer := askers[1]
	speak := func(language string) {
		t.Helper()
		if status, _ := volunteer.page(t, "POST", server.URL+"/language", url.Values{"language": {language}, "from": {"/keying"}}); status != http.StatusSeeOther {
			t.Fatal(status)
		}
	}
	count := func() map[string]int {
		out := map[string]int{}
		for _, r := range rowsWith(t, kept, "slips", "2024") {
			out[r["sex"]]++
		}
		return out
	}
	cells := map[string]map[string]string{"en": {"row1:sex": "w", "row2:sex": "m", "row3:sex": "a"}, "es": {"row1:sex": "mujer", "row2:sex": "h", "row3:sex": "o"}}
	for _, order := range [][]string{{"en", "en"}, {"es", "es"}, {"en", "es"}, {"es", "en"}} {
		before := count()
		speak(order[0])
		at := newPile(t, volunteer, server.URL, "E002", "slips", false)
		names := newPile(t, volunteer, server.URL, "E002", "signins", false)
		if status, _ := key(t, volunteer, at, cells[order[0]]); status != http.StatusOK {
			t.Fatal(status)
		}
		if status, _ := key(t, volunteer, names, map[string]string{"row1:who": "Invented Newcomer", "row1:ask": "n"}); status != http.StatusOK {
			t.Fatal(status)
		}
		_, shown := volunteer.page(t, "GET", names, nil)
		speak(order[1])
		if status, _ := key(t, volunteer, at, nil); status != http.StatusOK {
			t.Fatal(status)
		}
		if status, _ := key(t, volunteer, at, nil, "do", "settle"); status != http.StatusSeeOther {
			t.Fatal(status)
		}
		after := count()
		if f, m, a := after["F"]-before["F"], after["M"]-before["M"], after["another"]-before["another"]; f != 1 || m != 1 || a != 1 {
			t.Errorf("keyed in %v: %d women, %d men, %d others", order, f, m, a)
		}
		form := fieldsOf(t, shown) // of before the language was changed
		if status, _ := volunteer.page(t, "POST", names, form); status != http.StatusOK {
			t.Fatal(status)
		}
		if c, err := kept.ContactOf(t.Context(), store.Holder(), form.Get("row1:code")); err != nil || c.Name != "Invented Newcomer" {
			t.Errorf("keyed in %v: the name is %q", order, c.Name)
		}
	}
}

// A questionnaire is keyed by its own definition, and its answers join by the code of who filled it in.
func TestAQuestionnaireIsKeyed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator := askers[0]
	for _, q := range [][]string{{"spring", "before", "ph", "I can read pH", "Puedo leer el pH", "five", "", ""}, {"spring", "before", "grow", "I grow food", "Cultivo alimentos", "yes", "", ""}, {"spring", "before", "how", "How I heard", "Cómo supe", "one of", "a|b|c", "a|b|c"}} {
		form := url.Values{"id": {store.NewID()}}
		f, _ := programme.FormOf("questions")
		for i, c := range f.Fields {
			form.Set(c.Name, q[i])
		}
		if status, page := educator.page(t, "POST", server.URL+"/program/questions", form); status != http.StatusSeeOther {
			t.Fatal(status, regexp.MustCompile(`(?s)class="word">.{0,200}`).FindString(page))
		}
	}
	at := newPile(t, educator, server.URL, "E002", "answers:spring", false)
	status, page := key(t, educator, at, map[string]string{"row1:own": "Q7", "row1:item.ph": "6", "row1:item.grow": "y", "row1:item.how": "4"})
	if status != http.StatusUnprocessableEntity || strings.Count(page, `aria-invalid="true"`) != 2 {
		t.Fatal(status, strings.Count(page, `aria-invalid="true"`))
	}
	if status, _ = key(t, educator, at, map[string]string{"row1:own": "Q7", "row1:item.ph": "5", "row1:item.grow": "y", "row1:item.how": "3"}, "do", "settle"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	rows := rowsWith(t, kept, "answers", "Q7")
	if len(rows) != 3 {
		t.Fatal(rows)
	}
	for _, r := range rows {
		if r["before"] != map[string]string{"ph": "5", "grow": "1", "how": "3"}[r["item"]] || r["after"] != "" || r["event"] != "E002" {
			t.Error(r)
		}
	}
}

// The rules of the web find nothing on the pages of keying; a sheet is keyed with the keyboard alone.
func TestRulesOfKeying(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	s := houseWithYear(t)
	me := asker{client: http.DefaultClient}
	id := store.NewID()
	if got := post(t, s.URL+"/keying", url.Values{"id": {id}, "event": {"E002"}, "kind": {"slips"}, "twice": {"yes"}}); got.status != http.StatusOK {
		t.Fatal(got.status)
	}
	at := "/keying/" + id
	run(t, ctx, chromedp.Navigate(s.URL+at), chromedp.Focus(chromedp.CSS(`[id="row1:groups"]`)))
	for i, text := range []string{"4", "\t", "w", "\t", "24", "\r", "7", "\t", "m", "\t", "99", "\r"} {
		if run(t, ctx, chromedp.KeyEvent(text)); i == 5 && ask[string](t, ctx, "document.activeElement.id") != "row2:groups" {
			t.Fatal("Enter does not go to the next sheet")
		}
	}
	ask[bool](t, ctx, `(document.querySelector("form.paper").requestSubmit(document.querySelector("button.main")), true)`)
	until(t, ctx, `document.getElementById("row2:item.build-wrong")`)
	if ask[string](t, ctx, el("row1:item.build")+".value") != "24" || ask[string](t, ctx, el("row2:item.build")+".value") != "99" {
		t.Error("what was typed is lost")
	}
	ask[bool](t, ctx, `(`+el("row2:item.build")+`.focus(), `+el("row2:item.build")+`.select(), true)`)
	run(t, ctx, chromedp.KeyEvent("13"))
	ask[bool](t, ctx, `(document.querySelector("form.paper").requestSubmit(document.querySelector("button.main")), true)`)
	until(t, ctx, `!document.querySelector("[aria-invalid]") && document.querySelector("main [role=status]").textContent.includes("2")`)
	if status, _ := key(t, me, s.URL+at+"?turn=2", map[string]string{"row1:groups": "5", "row1:sex": "w", "row1:item.build": "24", "row2:groups": "7", "row2:sex": "m", "row2:item.build": "13"}); status != http.StatusOK {
		t.Fatal(status)
	}
	for _, path := range []string{"/keying", at, at + "/apart"} {
		obeysTwice(t, ctx, s.URL, axe, path)
	}
}

// A sign-in sheet that two people key is compared in every column: codes, names and contacts that stand apart, consent, and its head. A line
// that one of them skipped is found by the code. Names are settled by who may see them alone, none stays with a keying, and what the book says
// otherwise of the day becomes a correction.
func TestASignInSheetIsKeyedTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator, volunteer := askers[0], askers[1]
	at := newPile(t, volunteer, server.URL, "E002", "signins", true)
	if status, page := key(t, volunteer, at, map[string]string{"head:adults": "some"}); status != http.StatusUnprocessableEntity || !strings.Contains(page, `id="head-adults-wrong"`) || !strings.Contains(page, `value="some"`) {
		t.Fatal(status)
	}
	if status, page := key(t, volunteer, at, map[string]string{"head:adults": "31", "head:minutes": "95", "head:served_in": "es", "row1:code": "p2339", "row1:ask": "y", "row2:who": "Invented Newcomer", "row2:reach": "invented@example.invalid", "row2:ask": "n"}); status != http.StatusOK || strings.Contains(page, "Newcomer") {
		t.Fatal(status)
	}
	// the second skips a line, and reads the name, the minutes and a tick otherwise
	if status, _ := key(t, educator, at+"?turn=2", map[string]string{"head:adults": "31", "head:minutes": "90", "head:served_in": "es", "row3:code": "P2339", "row3:ask": "n", "row2:who": "Invented Newcomber", "row2:reach": "invented@example.invalid", "row2:ask": "n"}); status != http.StatusOK {
		t.Fatal(status)
	}
	radios := regexp.MustCompile(`name="([^"]*)" value="1"`)
	_, page := volunteer.page(t, "GET", at+"/apart", nil)
	if strings.Contains(page, "Newcom") || !strings.Contains(page, "disabled") || !strings.Contains(page, "3 places differ") {
		t.Error("who may not see names: ", radios.FindAllString(page, -1))
	}
	if status, _ := volunteer.page(t, "POST", at+"/apart", url.Values{"sheet 0 minutes": {"1"}, "sheet 1 ask": {"1"}, "sheet 2 who": {"1"}}); status != http.StatusUnprocessableEntity {
		t.Error("names are settled by who may not see them:", status)
	}
	_, page = educator.page(t, "GET", at+"/apart", nil)
	for _, want := range []string{`name="sheet 0 minutes"`, `name="sheet 1 ask"`, `name="sheet 2 who"`, "Newcomber", "31 on the sheet"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %q", want)
		}
	}
	if status, page := educator.page(t, "POST", at+"/apart", url.Values{"sheet 0 minutes": {"2"}, "sheet 1 ask": {"1"}, "sheet 2 who": {"1"}}); status != http.StatusSeeOther {
		t.Fatal(status, regexp.MustCompile(`(?s)class="word">.{0,200}`).FindString(page))
	}
	fresh := ""
	for _, r := range rowsWith(t, kept, "signins", "E002") {
		if strings.HasPrefix(r["person"], "P") && len(r["person"]) == 8 {
			fresh = r["person"]
		}
	}
	if c, err := kept.ContactOf(t.Context(), store.Holder(), fresh); err != nil || c.Name != "Invented Newcomer" || c.Contact != "invented@example.invalid" {
		t.Error(fresh, c, err)
	}
	if n := times(t, kept, "Newcom"); n > 0 {
		t.Error("a name stands in records")
	}
	said := map[string]string{}
	for _, r := range rowsWith(t, kept, "corrections", "E002") {
		said[r["field"]] = r["new"]
	}
	if said["adults"] != "31" || said["minutes"] != "90" || said["served_in"] != "es" {
		t.Error(said)
	}
	if status, _ := educator.page(t, "GET", server.URL+"/program/report?funder=BOARD&day=2027-05-11", nil); status != http.StatusOK {
		t.Error("the book is broken:", status)
	}
}
