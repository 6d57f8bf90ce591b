package web

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/store"
)

// classesOf gives the results of an event in the book as texts, in the order of group and item.
func classesOf(t *testing.T, kept *store.Store, event string) (out []string) {
	t.Helper()
	for _, r := range rowsWith(t, kept, "classes", event) {
		out = append(out, strings.Join([]string{r["group"], r["grades"], r["item"], r["right_before"], r["answered_before"], r["right_after"], r["answered_after"]}, ","))
	}
	slices.Sort(out)
	return out
}

// A tally sheet is keyed in: strokes become who was right of how many answered, the group of the line above holds on, and what cannot be stands at its cell
// with what would be right while the other lines are kept. More answers than pupils are told of, unless the sheet says that more came.
func TestATallySheetIsKeyed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	volunteer := askers[1]
	at := newPile(t, volunteer, server.URL, "E012", "classes", false) // 29 pupils came
	line := func(n int, texts ...string) map[string]string {
		cells := map[string]string{}
		for i, c := range append([]string{"group", "grades", "of"}, tallied...) {
			cells[fmt.Sprintf("row%d:%s", n, c)] = texts[i]
		}
		return cells
	}
	typed := map[string]string{}
	for _, l := range []map[string]string{line(1, "Blue herons", "3", "ph", "5", "10", "14", "1"), line(2, "", "", "root", "", "", "9", "5"), line(3, "Otters", "7", "ph", "2", "", "3", "4"), line(4, "Otters", "6", "root", "", "", "10", "6"),
		line(5, "", "", "ph", "", "", "0", "0"), line(6, "Blue herons", "", "ph", "", "", "1", "1"), line(7, "", "", "", "", "", "3", "3")} {
		for name, text := range l {
			typed[name] = text
		}
	}
	status, page := key(t, volunteer, at, typed)
	wrongs := regexp.MustCompile(`<td[^>]*id="(row\d+:[\w.]+)-wrong"><p><b>([^<]*)</b>`).FindAllStringSubmatch(page, -1)
	var got []string
	for _, w := range wrongs {
		got = append(got, w[1]+" "+w[2])
	}
	want := []string{"row3:grades &#34;7&#34; is none of the boxes.", "row3:before.not One of the two boxes is blank.", "row4:now.not 30 answered this item, and 29 pupils came.", "row5:of ph stands on sheet 3 too.", "row5:now.right Nobody answered.", "row6:of ph stands on sheet 1 too.", "row7:group The group has no name.", "row7:of The line has no item."}
	if status != http.StatusUnprocessableEntity || !slices.Equal(got, want) || !strings.Contains(page, "2 sheets are kept") {
		t.Fatal(status, strings.Join(got, "\n"), regexp.MustCompile(`\d+ sheets?[^<]*`).FindString(page))
	}
	if !regexp.MustCompile(`name="row2:group" value="Blue herons"`).MatchString(page) || !regexp.MustCompile(`name="row2:grades" value="3-5"`).MatchString(page) {
		t.Error("the group of the line above is not seen")
	}
	mended := map[string]string{"head:youth": "31", "row3:grades": "6", "row3:before.not": "12"}
	for n := 5; n <= 7; n++ {
		for name := range line(n, "", "", "", "", "", "", "") {
			mended[name] = ""
		}
	}
	for name, text := range mended {
		typed[name] = text
	}
	if status, page = key(t, volunteer, at, typed, "do", "settle"); status != http.StatusSeeOther {
		t.Fatal(status, regexp.MustCompile(`(?s)<p><b>.{0,200}`).FindAllString(page, -1))
	}
	if got, want := classesOf(t, kept, "E012"), []string{"Blue herons,3-5,ph,5,15,14,15", "Blue herons,3-5,root,,,9,14", "Otters,6-8,ph,2,14,3,7", "Otters,6-8,root,,,10,16"}; !slices.Equal(got, want) {
		t.Error(got)
	}
	said := rowsWith(t, kept, "corrections", "E012")
	if len(said) == 0 || said[len(said)-1]["field"] != "youth" || said[len(said)-1]["new"] != "31" || said[len(said)-1]["reason"] != "as the tally sheets have it" {
		t.Error(said)
	}
	_ = kept.EachRecord(t.Context(), store.Holder(), func(r store.Record) error {
		if strings.HasPrefix(r.Ledger, store.Drafts) {
			t.Error("a draft stays:", r.Row)
		}
		return nil
	})
	if status, page = volunteer.page(t, "GET", server.URL+"/program/report?funder=BOARD&day=2027-05-11", nil); status != http.StatusOK || !strings.Contains(page, "root") {
		t.Error("the report tells nothing of the classes:", status)
	}
}

// Two people key the same tally sheets, the second in another order: lines are compared by group and item, and one place differs.
func TestATallySheetIsKeyedTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator, volunteer := askers[0], askers[1]
	at := newPile(t, volunteer, server.URL, "E012", "classes", true)
	first := map[string]string{"head:youth": "28", "row1:group": "Blue herons", "row1:grades": "3", "row1:of": "ph", "row1:before.right": "5", "row1:before.not": "10", "row1:now.right": "14", "row1:now.not": "1", "row2:of": "root", "row2:now.right": "9", "row2:now.not": "5"}
	if status, _ := key(t, volunteer, at, first); status != http.StatusOK {
		t.Fatal(status)
	}
	second := map[string]string{"head:youth": "28", "row1:group": "blue herons", "row1:grades": "3", "row1:of": "root", "row1:now.right": "9", "row1:now.not": "5", "row2:group": "Blue herons", "row2:grades": "3", "row2:of": "ph", "row2:before.right": "5", "row2:before.not": "10", "row2:now.right": "11", "row2:now.not": "1"}
	if status, page := educator.page(t, "GET", at+"?turn=2", nil); status != http.StatusOK || strings.Contains(page, `value="14"`) {
		t.Fatal("the second sees the first keying:", status)
	}
	if status, _ := key(t, educator, at+"?turn=2", second); status != http.StatusOK {
		t.Fatal(status)
	}
	_, page := educator.page(t, "GET", at+"/apart", nil)
	var names []string
	for _, m := range regexp.MustCompile(`name="([^"]*)" value="1"`).FindAllStringSubmatch(page, -1) {
		names = append(names, m[1])
	}
	if want := []string{"sheet 1 now.right", "sheet 2 group"}; !slices.Equal(names, want) || !strings.Contains(page, "28 on the sheet") {
		t.Fatal(names)
	}
	if status, _ := educator.page(t, "POST", at+"/apart", url.Values{"sheet 1 now.right": {"1"}}); status != http.StatusUnprocessableEntity {
		t.Error("written though not all is said:", status)
	}
	if status, page := educator.page(t, "POST", at+"/apart", url.Values{"sheet 1 now.right": {"2"}, "sheet 2 group": {"1"}}); status != http.StatusSeeOther {
		t.Fatal(status, regexp.MustCompile(`(?s)class="word">.{0,200}`).FindString(page))
	}
	if got, want := classesOf(t, kept, "E012"), []string{"Blue herons,3-5,ph,5,15,11,12", "Blue herons,3-5,root,,,9,14"}; !slices.Equal(got, want) {
		t.Error(got)
	}
}

// The tally sheet is printed for an event, in either language or both, with the questions of a form.
func TestTheTallySheetIsPrinted(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := houseWithYear(t)
	long := map[string]int{}
	for _, query := range []string{"event=E012", "event=E012&language=es", "event=E012&language=en%2Bes", "event=none&form=none&language=xx"} {
		got := get(t, s.URL+"/keying/tally.pdf?"+query)
		if got.status != http.StatusOK || !strings.HasPrefix(got.body, "%PDF-1") {
			t.Fatal(query, got.status)
		}
		long[query] = len(got.body)
	}
	if long["event=E012&language=en%2Bes"] < long["event=E012"]+1000 {
		t.Error("both languages are as long as one:", long)
	}
	page := get(t, s.URL+"/keying").body
	if !strings.Contains(page, `action="/keying/tally.pdf"`) || !strings.Contains(page, `id="tally"`) {
		t.Error("no way to the tally sheet")
	}
}

// Three classes with four items each, asked before and after, are keyed in three minutes with the keyboard; the rules of the web hold.
func TestTallySheetsInThreeMinutes(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	s := houseWithYear(t)
	id := store.NewID()
	post(t, s.URL+"/keying", url.Values{"id": {id}, "event": {"E012"}, "kind": {"classes"}})
	run(t, ctx, chromedp.Navigate(s.URL+"/keying/"+id))
	until(t, ctx, `document.readyState === "complete"`)
	p := &typist{T: t, ctx: ctx}
	p.clicks(`[id="row1:group"]`)
	for class := range 3 {
		for item := range 4 {
			p.thought++
			group := ""
			if item == 0 {
				group = fmt.Sprintf("Class %d\t3", class+1)
			} else {
				group = "\t"
			}
			p.types(fmt.Sprintf("%s\ti%d\t%d\t%d\t%d\t%d\r", group, item+1, 2+class, 7-class, 6+class, 3-class))
		}
	}
	p.clicks(`button[value="settle"]`)
	until(t, ctx, `location.pathname === "/program/classes" && document.readyState === "complete"`)
	p.tells("three tally sheets")
	if n := ask[int](t, ctx, `[...document.querySelectorAll("main tbody tr, main li")].filter(r => r.textContent.includes("Class ")).length`); n < 12 {
		t.Errorf("%d results are in the book", n)
	}
	other := store.NewID()
	post(t, s.URL+"/keying", url.Values{"id": {other}, "event": {"E012"}, "kind": {"classes"}})
	for _, path := range []string{"/keying", "/keying/" + other} {
		obeysTwice(t, ctx, s.URL, axe, path)
	}
}
