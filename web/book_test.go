package web

import (
	"archive/zip"
	"bytes"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"raftwright/lang"
	"raftwright/plan"
	"raftwright/programme"
	"raftwright/store"
)

// inventedYear is the open form of a program's year, all invented, as an archive.
func inventedYear(t *testing.T) (map[string]string, []byte) {
	t.Helper()
	names, err := filepath.Glob("../programme/testdata/demo_year/*.csv")
	if err != nil || len(names) < 20 {
		t.Fatal(names, err)
	}
	files := map[string]string{}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(name)] = string(text)
	}
	return files, archived(t, files)
}

// archived packs the files of a folder of records.
func archived(t *testing.T, files map[string]string) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for name, text := range files {
		w, err := z.Create("year/" + name)
		if err == nil {
			_, err = io.WriteString(w, text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// bookRequest is the request that sends an archive to an empty book.
func bookRequest(t *testing.T, server *httptest.Server, archive []byte) *http.Request {
	t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	w, err := m.CreateFormFile("file", "year.zip")
	if err == nil {
		_, err = w.Write(archive)
	}
	if err != nil {
		t.Fatal(err)
	}
	m.Close()
	r, err := http.NewRequest("POST", server.URL+"/program/fill", &body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", m.FormDataContentType())
	return r
}

// sendBook sends an archive to an empty book.
func sendBook(t *testing.T, server *httptest.Server, archive []byte) answered {
	t.Helper()
	return do(t, bookRequest(t, server, archive))
}

// However long the rows of many years take to be written, whoever sent them is answered.
func TestALargeBookIsAnswered(t *testing.T) {
	now := func() time.Time { return time.Date(2027, 5, 11, 8, 0, 0, 0, time.UTC) }
	h := &House{Store: emptyStore(t), Book: plan.DefaultBook(), Own: true, Now: now, Demo: []byte(invented)}
	server := httptest.NewUnstartedServer(h.Handler())
	server.Config.WriteTimeout = 20 * time.Millisecond // a year takes some hundred
	server.Start()
	t.Cleanup(func() { server.Close(); h.Store.Close() })
	_, archive := inventedYear(t)
	out, err := http.DefaultTransport.RoundTrip(bookRequest(t, server, archive)) // follows nowhere
	if err != nil {
		t.Fatal(err)
	}
	defer out.Body.Close()
	if out.StatusCode != http.StatusSeeOther {
		t.Error(out.Status)
	}
}

// A year goes in as an archive, and comes out as the same rows; then the book is not filled again.
func TestABookGoesInAndOut(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := house(t)
	files, archive := inventedYear(t)
	if got := sendBook(t, server, archive); got.status != http.StatusOK || !strings.HasSuffix(got.where, "/program") {
		t.Fatal(got.status, got.where, got.body)
	}
	if got := sendBook(t, server, archive); got.status != http.StatusConflict {
		t.Error("filled again:", got.status)
	}
	out := get(t, server.URL+"/program.zip")
	z, err := zip.NewReader(strings.NewReader(out.body), int64(len(out.body)))
	if err != nil {
		t.Fatal(err)
	}
	back := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		var text bytes.Buffer
		if _, err := text.ReadFrom(r); err != nil {
			t.Fatal(err)
		}
		back[filepath.Base(f.Name)] = text.String()
	}
	want, faults := programme.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	got, faults := programme.Read(back)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	a, b := programme.Write(want), programme.Write(got)
	for name, text := range a {
		if b[name] != text {
			t.Errorf("%s came back as another", name)
		}
	}
	if len(a) != len(b) || len(a) < 20 {
		t.Errorf("%d tables of %d", len(b), len(a))
	}
}

// Notes and blank lines of a file are no rows, wherever they stand, and the rows beside them go into the book.
func TestABookWithNotes(t *testing.T) {
	server := house(t)
	files := map[string]string{
		"counties.csv": "# all invented\ncounty,name\nALD,Alder\n\n# the other\nBIR,Birch\n",
		"funders.csv":  "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Invented board,2026-07-01,2027-06-30,each,once,11,\n",
		"events.csv":   "event,date,county,site,form,topic,series,title,education,adults,youth,staff_lead,staff_with,minutes\n# a note, with a comma\nE1,2027-03-01,ALD,,,,,,yes,5,0,,,\n",
	}
	if _, faults := programme.Read(files); len(faults) > 0 {
		t.Fatal(faults)
	}
	if got := sendBook(t, server, archived(t, files)); got.status != http.StatusOK {
		t.Fatal(got.status, got.body)
	}
	for page, want := range map[string][]string{"counties": {"ALD", "BIR"}, "events": {"E1"}} {
		rows := regexp.MustCompile(`href="/program/`+page+`/[0-9a-f-]{36}">([^<]*)<`).FindAllStringSubmatch(get(t, server.URL+"/program/"+page).body, -1)
		var got []string
		for _, r := range rows {
			got = append(got, r[1])
		}
		if slices.Sort(got); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", page, got, want)
		}
	}
}

// An archive with a new yes to be held of a code whose person took one back by then is not taken in, told at its line: of the same day and of no day too. An earlier yes, another
// purpose, another code and a later yes that ended as well are taken.
func TestABookWithAYesTakenBack(t *testing.T) {
	head := "person,purpose,site,given,withdrawn\n# all invented\nPLEFT,keep,,2026-09-01,2026-12-01\n"
	for row, right := range map[string]bool{"PLEFT,keep,,2027-01-05,": false, "PLEFT,keep,,2026-12-01,": false, "PLEFT,keep,,,": false, "PLEFT,keep,,2026-11-30,": true, "PLEFT,ask,,2027-01-05,": true, "PNEW,keep,,2027-01-05,": true, "PLEFT,keep,,2027-01-05,2027-02-01": true} {
		for _, text := range []string{head + row + "\n", strings.Replace(head, "# all invented\n", row+"\n", 1)} { // behind it, and before
			server := house(t)
			files := map[string]string{"counties.csv": "county,name\nALD,Alder\n", "funders.csv": "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Invented board,2026-07-01,2027-06-30,each,once,11,\n", "consents.csv": text}
			got := sendBook(t, server, archived(t, files))
			line := strconv.Itoa(slices.Index(strings.Split(text, "\n"), row) + 1)
			if !right && (got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "consents.csv:"+line+":1") || !strings.Contains(got.body, "Dec 1, 2026") || !strings.Contains(got.body, "another code")) {
				t.Error(row, "is taken in:", got.status, got.body)
			}
			if right && (got.status != http.StatusOK || !strings.HasSuffix(got.where, "/program")) {
				t.Error(row, got.status, got.body)
			}
		}
	}
}

// What is wrong in an archive is told at its line, and nothing is kept.
func TestABookWithFaults(t *testing.T) {
	server := house(t)
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for name, text := range map[string]string{"counties.csv": "county,name\nALD,Alder\n", "events.csv": "event,date,county,education,adults,youth\nE1,2027-02-30,ALD,yes,5,0\nE2,2027-03-01,XXX,yes,5,0\n"} {
		w, _ := z.Create(name)
		_, _ = w.Write([]byte(text))
	}
	_, _ = z.Create("Harvests.csv")
	z.Close()
	got := sendBook(t, server, out.Bytes())
	if !strings.Contains(got.body, "Harvests.csv:1:1") {
		t.Error("a table in capitals is left out without a word")
	}
	if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "events.csv:2:4") || !strings.Contains(got.body, "events.csv:3:15") || !strings.Contains(got.body, "funders.csv") {
		t.Error(got.status, got.body)
	}
	if got := sendBook(t, server, []byte("no archive")); got.status != http.StatusBadRequest {
		t.Error(got.status)
	}
	if got := get(t, server.URL+"/program"); strings.Contains(got.body, "1 row. ") { // not what a phone would say of rows that wait
		t.Error("something was kept")
	}
}

// A row is written down, once however often it is sent; with something wrong what was typed stays; the next one begins with
// what is usually the same; what happened is corrected by adding, and what there is is written anew.
func TestARowIsWritten(t *testing.T) {
	server := houseWithYear(t)
	at := server.URL + "/program/events"
	page := get(t, at)
	form := fieldsOf(t, page.body)
	form.Set("title", "An invented <b>evening</b>")
	form.Set("county", "XXX")
	form.Set("adults", "twelve")
	bad := post(t, at, form)
	if bad.status != http.StatusUnprocessableEntity || strings.Count(bad.body, `aria-invalid="true"`) < 2 || !strings.Contains(bad.body, "An invented &lt;b&gt;evening") {
		t.Fatal(bad.status, bad.where, form)
	}
	form = fieldsOf(t, bad.body)
	form.Set("county", "ALD")
	form.Set("adults", "12")
	form.Set("youth", "0")
	var kept answered
	for range 2 {
		if kept = post(t, at, form); kept.status != http.StatusOK || !strings.Contains(kept.body, "Kept: "+form.Get("event")) {
			t.Fatal(kept.status, kept.body)
		}
	}
	next := fieldsOf(t, kept.body)
	if next.Get("county") != "ALD" || next.Get("date") != form.Get("date") || next.Get("title") != "" || next.Get("event") == form.Get("event") || next.Get("id") == form.Get("id") {
		t.Errorf("the next begins with %v", next)
	}
	if n := strings.Count(get(t, at).body, "An invented &lt;b&gt;evening"); n != 1 {
		t.Errorf("stands %d times", n)
	}
	row := regexp.MustCompile(`/program/events/[0-9a-f-]{36}`).FindString(kept.body)
	one := get(t, server.URL+row)
	correction := url.Values{"id": {store.NewID()}, "field": {"adults"}, "new": {"25"}, "reason": {"counted twice at the door"}, "do": {"change"}}
	for range 2 {
		if got := post(t, server.URL+row, correction); got.status != http.StatusOK || !strings.Contains(got.body, "counted twice at the door") || !strings.Contains(got.body, ">12<") {
			t.Fatal(got.status, got.body)
		}
	}
	if got := get(t, server.URL+"/program/corrections"); strings.Count(got.body, "counted twice at the door") != 2 { // one of them in the invented year
		t.Error("corrections:", strings.Count(got.body, "counted twice at the door"))
	}
	elsewhere := url.Values{"id": {store.NewID()}, "field": {"county"}, "new": {"BIR"}, "reason": {"it was in the next county"}, "do": {"change"}}
	if got := post(t, server.URL+row, elsewhere); got.status != http.StatusOK || !strings.Contains(got.body, "it was in the next county") {
		t.Errorf("another county is not taken: %d %s", got.status, got.body)
	}
	correction.Set("id", store.NewID())
	correction.Set("new", "many")
	if got := post(t, server.URL+row, correction); got.status != http.StatusUnprocessableEntity {
		t.Error(got.status)
	}
	if !strings.Contains(one.body, "An invented") {
		t.Error("the row is not shown")
	}
	// what there is
	list := get(t, server.URL+"/program/sites")
	site := regexp.MustCompile(`/program/sites/[0-9a-f-]{36}`).FindString(list.body)
	was := get(t, server.URL+site)
	anew := fieldsOf(t, was.body)
	anew.Set("closed", "2027-05-01")
	if got := post(t, server.URL+site, anew); got.status != http.StatusOK || strings.Count(got.body, "2027-05-01") < 2 {
		t.Fatal(got.status, got.body)
	}
	anew.Set("id", store.NewID())
	if got := post(t, server.URL+site, anew); got.status != http.StatusConflict {
		t.Error("written over what somebody else wrote:", got.status)
	}
	anew = fieldsOf(t, get(t, server.URL+site).body)
	name := anew.Get("site")
	anew.Set("site", name+"X")
	if got := post(t, server.URL+site, anew); got.status == http.StatusOK || !strings.Contains(got.body, "Write "+name+" again") || strings.Contains(got.body, "somebody changed this record") {
		t.Error("a row that is renamed is told of as another's change:", got.status)
	}
}

// Every table, column and word of the book has a name in every language, and stands in a group.
func TestTheBookHasWords(t *testing.T) {
	for _, language := range lang.Languages() {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range programme.Forms() {
			if !words.Can("web.book.table."+f.Table) || !words.Can("web.book.table_help."+f.Table) {
				t.Errorf("%s: table %s", language, f.Table)
			}
			in := 0
			for _, g := range bookGroups {
				if slices.Contains(g.tables, f.Table) {
					in++
				}
			}
			if in != 1 {
				t.Errorf("%s stands in %d groups", f.Table, in)
			}
			for _, c := range f.Fields {
				if !words.Can("web.book.column." + c.Name) {
					t.Errorf("%s: column %s", language, c.Name)
				}
				for _, w := range c.Words {
					if w != "" && !words.Can("web.book.word."+strings.ReplaceAll(w, " ", "_")) && !words.Can("report.rule."+w) {
						t.Errorf("%s: word %q of %s", language, w, c.Name)
					}
				}
			}
		}
	}
}

// A report is made from the book as the command makes it from the folder; its figures open to their rows; what goes out is
// remembered; a row that is written afterwards is seen.
func TestTheReportOfABook(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := houseWithYear(t)
	files, _ := inventedYear(t)
	q := "?funder=BOARD&day=2027-07-05"
	records, _ := programme.Read(files)
	day, _ := programme.ParseDay("2027-07-05")
	want, faults := programme.Make(records, "BOARD", day)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if got := get(t, server.URL+"/program/report.csv"+q); got.body != want.Inside().FiguresCSV(nil) {
		t.Error("other figures than the command's")
	}
	if got := get(t, server.URL+"/program/report.csv"+q+"&edition=public"); got.body != want.Public().FiguresCSV(nil) {
		t.Error("other public figures than the command's")
	}
	f, ok := want.Find("direct_contacts", programme.All)
	if !ok {
		t.Fatal("no direct contacts")
	}
	report := get(t, server.URL+"/program/report"+q)
	if report.status != http.StatusOK || !strings.Contains(report.body, "1,8") {
		t.Error(report.status)
	}
	if got := get(t, server.URL+"/program/report.pdf"+q); !strings.HasPrefix(got.body, "%PDF") {
		t.Error(got.status)
	}
	if got := get(t, server.URL+"/program/report.html"+q); !strings.HasPrefix(got.body, "<!DOCTYPE html>") && !strings.HasPrefix(got.body, "<!doctype html>") {
		t.Error(got.status, got.body[:min(80, len(got.body))])
	}
	list := get(t, server.URL+"/program/figures"+q)
	opens := regexp.MustCompile(`href="(/program/figure\?[^"]*name=direct_contacts[^"]*)"`).FindAllStringSubmatch(list.body, -1)
	if len(opens) != 4 {
		t.Fatalf("%d figures of direct contacts", len(opens))
	}
	one := get(t, server.URL+strings.ReplaceAll(opens[3][1], "&amp;", "&"))
	if one.status != http.StatusOK || strings.Count(one.body, `<th scope="row">`) != openRows || !strings.Contains(one.body, "E001") {
		t.Error(one.status, strings.Count(one.body, `<th scope="row">`), len(f.From))
	}
	if !strings.Contains(one.body, "Each time one person was taught, both present or answering each other.") {
		t.Error("a figure does not say what it means")
	}
	for _, bad := range []string{"?funder=NOBODY&day=2027-07-05", "?funder=BOARD&day=soon", "?funder=BOARD&day=1999-01-01"} {
		if got := get(t, server.URL+"/program/report"+bad); got.status != http.StatusUnprocessableEntity && got.status != http.StatusBadRequest {
			t.Error(bad, got.status)
		}
	}
	// what goes out is told where it was looked at, and is kept once, however often it goes out
	went := post(t, server.URL+"/program/report"+q+"&edition=public", nil)
	told := regexp.MustCompile(`<p role="status">Remembered: (\d+) figures`).FindStringSubmatch(went.body)
	if went.status != http.StatusOK || told == nil || told[1] != strconv.Itoa(len(want.Public().Remember())) || !strings.Contains(went.body, "Public edition") {
		t.Error("what is published is not remembered: ", went.status, told)
	}
	if twice := post(t, server.URL+"/program/report"+q+"&edition=public", nil); twice.status != http.StatusOK || !strings.Contains(twice.body, "All that this edition shows was remembered before.") {
		t.Error("what went out before is remembered again: ", twice.status)
	}
	if got := get(t, server.URL+"/program/published"); !strings.Contains(got.body, ">BOARD<") {
		t.Error(got.status)
	}
	form := fieldsOf(t, get(t, server.URL+"/program/events").body)
	for k, x := range map[string]string{"date": "2027-06-01", "county": "ALD", "adults": "7", "youth": "0"} {
		form.Set(k, x)
	}
	if got := post(t, server.URL+"/program/events", form); got.status != http.StatusOK {
		t.Fatal(got.status)
	}
	if got := get(t, server.URL+"/program/report.csv"+q); got.body == want.Inside().FiguresCSV(nil) {
		t.Error("the row that was written afterwards is not seen")
	}
}

// A decimal comma is a point in a row, in a correction and in an answer, as 2,5 pounds; what may be thousands is refused as before.
func TestADecimalComma(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := houseWithYear(t)
	at := server.URL + "/program/hours"
	form := fieldsOf(t, get(t, at).body)
	for k, x := range map[string]string{"date": "2027-05-03", "person": "P2339", "kind": "service", "hours": "1,5", "task": "an invented task"} {
		form.Set(k, x)
	}
	kept := post(t, at, form)
	if kept.status != http.StatusOK || !strings.Contains(kept.body, "<td>1.5</td>") {
		t.Fatal(kept.status, kept.body)
	}
	row := server.URL + regexp.MustCompile(`/program/hours/[0-9a-f-]{36}`).FindString(kept.body)
	correction := url.Values{"id": {store.NewID()}, "field": {"hours"}, "new": {"2,25"}, "reason": {"counted again"}, "do": {"change"}}
	if got := post(t, row, correction); got.status != http.StatusOK || !strings.Contains(got.body, "2.25") {
		t.Error("corrected:", got.status)
	}
	correction.Set("id", store.NewID())
	for _, text := range []string{"1,200", "1,2,3", ",5", "1,"} {
		correction.Set("new", text)
		if got := post(t, row, correction); got.status != http.StatusUnprocessableEntity {
			t.Errorf("%q is taken: %d", text, got.status)
		}
	}
}

// What is wrong in a row is told by the names on the page, not by those of the files: the field, what there is to choose, the table in which a code should stand. A funder begins
// with the rules that are usual, so that nobody must know the smallest count by heart.
func TestARowIsToldInWordsOfThePage(t *testing.T) {
	server := houseWithYear(t)
	for tag, want := range map[string][]string{
		"en": {"the field A series counts is empty", "each time or once", "the field Smallest count shown is empty", "NOWHERE&#34; does not stand in Counties"},
		"es": {"el campo Una serie cuenta está vacío", "cada vez o una vez", "el campo Cuenta mínima que se muestra está vacío", "NOWHERE&#34; no está en Condados"},
	} {
		bodies := ""
		for _, table := range []string{"funders", "events"} {
			at := server.URL + "/program/" + table
			r, err := http.NewRequest("GET", at, nil)
			if err != nil {
				t.Fatal(err)
			}
			r.Header.Set("Accept-Language", tag)
			form := fieldsOf(t, do(t, r).body)
			if table == "funders" && (form.Get("same_day") != "once" || form.Get("threshold") != "11" || form.Get("series") != "") {
				t.Errorf("a funder begins with %v", form)
			}
			form.Set("threshold", "")
			form.Set("county", "NOWHERE")
			if r, err = http.NewRequest("POST", at, strings.NewReader(asSent(form))); err != nil {
				t.Fatal(err)
			}
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("Accept-Language", tag)
			bodies += do(t, r).body
		}
		for _, w := range want {
			if !strings.Contains(bodies, w) {
				t.Errorf("%s: %q is not told in %v", tag, w, regexp.MustCompile(`<p class="wrong".*?</p>`).FindAllString(bodies, -1))
			}
		}
		if strings.Contains(bodies, "counties.csv") || strings.Contains(bodies, "same_day\" for") {
			t.Errorf("%s: names of files and columns are told", tag)
		}
	}
}
