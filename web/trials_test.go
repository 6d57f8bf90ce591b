package web

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/store"
)

// laidOut lays out a trial of the bed and gives its address.
func laidOut(t *testing.T, server, bed string, form url.Values) string {
	t.Helper()
	form.Set("id", store.NewID())
	var got answered
	for range 2 { // once however often it is sent
		if got = post(t, server+bed+"/trials", form); got.status != http.StatusOK || !strings.HasSuffix(got.where, form.Get("id")) {
			t.Fatal(got.status, got.where, regexp.MustCompile(`(?s)class="word">.{0,300}`).FindString(got.body))
		}
	}
	return server + got.where
}

// A trial is laid out in the raft by a drawn lot whose number is shown; the same number draws the same. The weights are keyed without what a plant had;
// what is wrong stands at its plot and nothing is lost; the comparison is the one of room trial, and goes into the book once.
func TestATrialInTheRaft(t *testing.T) {
	server := house(t)
	made := post(t, server.URL+"/beds", url.Values{"id": {store.NewID()}, "copy": {demonstration}})
	bed := strings.TrimSuffix(made.where, "/brief")
	if got := post(t, server.URL+bed+"/trials", url.Values{"id": {store.NewID()}, "of": {"feed"}, "first": {"a"}, "other": {"b"}}); got.status != http.StatusBadRequest || !strings.Contains(got.body, "water") {
		t.Error("feed inside one raft:", got.status)
	}
	if got := post(t, server.URL+bed+"/trials", url.Values{"id": {store.NewID()}, "of": {"cup"}, "first": {"a"}, "other": {"A"}}); got.status != http.StatusUnprocessableEntity {
		t.Error("twice the same treatment:", got.status)
	}
	at := laidOut(t, server.URL, bed, url.Values{"of": {"variety"}, "first": {"Invented <b>Green"}, "other": {"Invented Red"}, "seed": {"12345"}, "spread": {"18"}})
	page := get(t, at)
	order := regexp.MustCompile(`[AB]( [AB])+`).FindAllString(page.body, -1)
	if len(order) < 2 || !strings.Contains(page.body, "12345") || !strings.Contains(page.body, "Invented &lt;b&gt;Green") || !strings.Contains(page.body, "<svg") || !strings.Contains(page.body, "four times in five") {
		t.Fatal(len(order), page.status)
	}
	again := get(t, laidOut(t, server.URL, bed, url.Values{"of": {"variety"}, "first": {"x"}, "other": {"y"}, "seed": {"12345"}}))
	if other := regexp.MustCompile(`[AB]( [AB])+`).FindAllString(again.body, -1); strings.Join(order, "/") != strings.Join(other, "/") {
		t.Error("the same number draws another lot")
	}
	if got := get(t, at+"/paper.pdf"); !strings.HasPrefix(got.body, "%PDF-") {
		t.Error(got.status)
	}
	sheet := get(t, at+"/weights")
	form := fieldsOf(t, sheet.body)
	names := regexp.MustCompile(`<th scope="row">(\d+)-(\d+)</th>`).FindAllStringSubmatch(sheet.body, -1)
	if strings.Contains(sheet.body, "Green") || len(names) < 8 {
		t.Fatal("the sheet tells what a plant had, or has no plots:", len(names))
	}
	for i, n := range names { // in each strip A weighs 10 g more than B, and strips differ
		strip, _ := strconv.Atoi(n[1])
		hole, _ := strconv.Atoi(n[2])
		g := 150 + 7*strip + strip*strip
		if strings.Fields(order[strip-1])[hole-1] == "A" {
			g += 10 + strip
		}
		form.Set("plot"+strconv.Itoa(i), strconv.Itoa(g))
	}
	form.Set("plot0", "heavy")
	if got := post(t, at+"/weights", form); got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, `id="plot0-wrong"`) || strings.Count(got.body, `aria-invalid="true"`) != 1 {
		t.Error(got.status)
	}
	if kept := fieldsOf(t, get(t, at+"/weights").body); kept.Get("plot1") != form.Get("plot1") || kept.Get("plot0") != "heavy" {
		t.Error("what was typed is lost")
	}
	form.Set("plot0", "-") // a dead plant is no zero
	shown := post(t, at+"/weights", form)
	if shown.status != http.StatusOK || !strings.Contains(shown.body, "Difference shown") || !strings.Contains(shown.body, "Not weighed: 1-1") {
		t.Fatal(shown.status, shown.body)
	}
	for range 2 {
		if got := post(t, at, nil); got.status != http.StatusOK || !strings.Contains(got.body, "The means stand in the book") {
			t.Fatal(got.status)
		}
	}
	if got := post(t, at+"/weights", form); got.status != http.StatusConflict {
		t.Error("weights are changed after they went into the book:", got.status)
	}
	if got := get(t, server.URL+"/program/trials"); strings.Count(got.body, "<td>Invented &lt;b&gt;Green</td>") < 2 || strings.Count(got.body, "<td>Invented Red</td>") < 2 {
		t.Error(strings.Count(got.body, "<td>Invented Red</td>"), strings.Count(got.body, "<td>Invented &lt;b&gt;Green</td>"))
	}
}

// Over beds and at two sites several heads of a bed are averaged first; what the report counts from the book is what the page compared.
// The weights are those of two of the reference cases: Student's sleep data (as grams above 100) as pairs and as groups.
func TestATrialOverBeds(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := houseWithYear(t)
	made := post(t, server.URL+"/beds", url.Values{"id": {store.NewID()}, "copy": {demonstration}})
	bed := strings.TrimSuffix(made.where, "/brief")
	a := []float64{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0}
	b := []float64{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	for _, of := range []string{"air", "site"} {
		beds := map[string]string{"air": "20", "site": "10"}[of]
		at := laidOut(t, server.URL, bed, url.Values{"of": {of}, "first": {"first"}, "other": {"second"}, "beds": {beds}, "seed": {"7"}})
		form := fieldsOf(t, get(t, at+"/weights").body)
		page := get(t, at).body
		gets := regexp.MustCompile(`<strong>([AB])</strong> – (first|second)`).FindAllStringSubmatch(page, -1)
		for i := range 20 {
			block, side := i%10, i/10 // of two sites A1 to A10, then B1 to B10
			if of == "air" {
				if len(gets) < 20 {
					t.Fatal(len(gets))
				}
				block, side = i/2, map[string]int{"A": 0, "B": 1}[gets[i][1]]
			}
			g := 100 + [][]float64{a, b}[side][block]
			form.Set("plot"+strconv.Itoa(i), fmt.Sprintf("%.1f %.1f", g-5, g+5)) // two heads, averaged first
		}
		got := post(t, at+"/weights", form)
		want := map[string][]string{"air": {"4.06", "Difference shown", "0.003"}, "site": {"1.86", "No difference shown", "0.079"}}[of] // published: t -4.0621 and -1.8608, p 0.002833 and 0.07939
		for _, w := range want {
			if !strings.Contains(got.body, w) {
				t.Errorf("%s: no %s", of, w)
			}
		}
		if of == "site" && !strings.Contains(got.body, "two places") {
			t.Error("two sites are told as treatments")
		}
		if got := post(t, at, nil); got.status != http.StatusOK {
			t.Fatal(got.status)
		}
	}
	files := get(t, server.URL+"/program/report.csv?funder=BOARD&day=2027-07-05")
	for _, want := range []string{`pairs,10`, `difference,-1\.580000`, `low,-2\.4598\d+`, `high,-0\.7001\d+`, `low,-3\.3654\d+`, `high,0\.2054\d+`, `df,17\.776\d+`} { // published
		if !regexp.MustCompile(`(?m)^trial T[0-9A-F]{7},.*` + want + `$`).MatchString(files.body) {
			t.Errorf("the report has no %s", want)
		}
	}
}

// The rules of the web find nothing on the pages of trials; the weights are keyed with the keyboard alone.
func TestRulesOfTrials(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	server := house(t)
	made := post(t, server.URL+"/beds", url.Values{"id": {store.NewID()}, "copy": {demonstration}})
	bed := strings.TrimSuffix(made.where, "/brief")
	at := strings.TrimPrefix(laidOut(t, server.URL, bed, url.Values{"of": {"variety"}, "first": {"Green"}, "other": {"Red"}, "spread": {"18,5"}}), server.URL)
	run(t, ctx, chromedp.Navigate(server.URL+at+"/weights"), chromedp.Focus(chromedp.CSS(`#plot0`)))
	for i := range int(ask[float64](t, ctx, `document.querySelectorAll("table.plots input").length`)) {
		run(t, ctx, chromedp.KeyEvent(strconv.Itoa(150+i*i%17)), chromedp.KeyEvent("\r"))
	}
	ask[bool](t, ctx, `(document.querySelector("button.main").click(), true)`)
	until(t, ctx, `document.querySelector(".pressed table") && location.pathname === "`+at+`"`)
	for _, path := range []string{bed + "/trials", at, at + "/weights"} {
		obeysTwice(t, ctx, server.URL, axe, path)
	}
}
