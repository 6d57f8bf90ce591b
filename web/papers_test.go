package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/plan"
	"raftwright/sky"
	spots "raftwright/sky/places"
	"raftwright/store"
)

// placedHouse is a house on a store that knows the climates of the country.
func placedHouse(t *testing.T, s *store.Store) *httptest.Server {
	t.Helper()
	atlas, err := sky.OpenAtlas(spots.Packed)
	if err != nil {
		t.Fatal(err)
	}
	return serving(t, &House{Store: s, Book: plan.DefaultBook().With(atlas), Own: true})
}

// placedBed makes a bed at a place whose climate is known.
func placedBed(t *testing.T, address string) string {
	t.Helper()
	made := post(t, address+"/beds", url.Values{"id": {store.NewID()}, "site.place": {"04473"}, "bed.length": {"8 ft"}, "bed.width": {"4 ft"}})
	if made.status != http.StatusOK {
		t.Fatal(made.status)
	}
	return strings.TrimSuffix(made.where, "/brief")
}

// A paper is filled from the plan and the few facts that it asks for: as a page, as PDF and as HTML, in either language; what is wrong
// stands at its cell, and what was typed stays.
func TestAPaperIsFilled(t *testing.T) {
	s := placedHouse(t, emptyStore(t))
	at := s.URL + "/beds/demonstration/papers"
	if got := get(t, at); got.status != http.StatusOK || strings.Count(got.body, "/beds/demonstration/papers/") != len(filledPapers) {
		t.Fatal(got.status)
	}
	if got := get(t, at+"/garden"); got.status != http.StatusOK || !strings.Contains(got.body, `class="pressed"`) {
		t.Fatal(got.status)
	}
	if got := get(t, at+"/no-such"); got.status != http.StatusNotFound {
		t.Error(got.status)
	}
	// The limits are those that the FDA published for 2019 to 2021: 1,000,000 dollars of 2011 are 1,169,816.
	form := url.Values{"name": {"Invented <b>Farm</b>"}, "address": {"PO Box 12\nInventedtown, ME 04000"}, "year": {"2022"}, "food_limit": {"$584,908"}, "produce_limit": {"29,245"}, "limits_from": {"page of the FDA, 2022-04-01"}, "language": {"en"}}
	for back, x := range map[int][3]string{3: {"100,000", "60,000", "70,000"}, 2: {"110000", "60000", "70000"}, 1: {"$90,000", "60000", "lots"}} {
		for i, c := range saleColumns {
			form.Set(saleCell(back, c), x[i])
		}
	}
	bad := post(t, at+"/selling", form)
	if bad.status != http.StatusUnprocessableEntity || !strings.Contains(bad.body, `id="sale-1-to_end_users-wrong"`) || strings.Count(bad.body, `aria-invalid="true"`) != 1 || !strings.Contains(bad.body, "Invented &lt;b&gt;Farm") {
		t.Error(bad.status, strings.Count(bad.body, `aria-invalid="true"`))
	}
	form.Set(saleCell(1, "to_end_users"), "70000")
	if got := post(t, at+"/selling", form); got.status != http.StatusOK || !strings.Contains(got.body, "$60,000") || !strings.Contains(got.body, "$584,908") || strings.Contains(got.body, "<b>Farm") {
		t.Error(got.status)
	}
	full := url.Values{}
	for name, text := range form {
		full[name] = text
	}
	for _, c := range saleColumns { // a first year
		form.Del(saleCell(3, c))
		form.Del(saleCell(2, c))
	}
	if got := post(t, at+"/selling", form); got.status != http.StatusOK || !strings.Contains(got.body, "Mean of 1 year<") || !strings.Contains(got.body, "2019 and 2020") {
		t.Error("a first year: ", got.status)
	}
	form = full
	form.Set("year", "soon")
	if got := post(t, at+"/selling", form); got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, `id="f-year-wrong"`) {
		t.Error(got.status)
	}
	form.Set("year", "2022")
	form.Set("language", "en+es")
	if got := post(t, at+"/selling/paper.pdf", form); !strings.HasPrefix(got.body, "%PDF-") || got.header.Get("Content-Disposition") != `attachment; filename="selling.pdf"` {
		t.Error(got.status, got.header)
	}
	at = s.URL + placedBed(t, s.URL) + "/papers"
	if got := post(t, at+"/season", url.Values{"county": {"Alder <i>"}, "month": {"11"}, "months": {"4"}, "language": {"es"}}); got.status != http.StatusOK || !strings.Contains(got.body, "Alder &lt;i&gt;") || !strings.Contains(strings.ToLower(got.body), "<h2>de noviembre a febrero") && !strings.Contains(strings.ToLower(got.body), "febrero</h2>") {
		t.Error(got.status, regexp.MustCompile(`(?s)role="alert".{0,300}`).FindString(got.body))
	}
	if got := post(t, at+"/season/paper.html", url.Values{"county": {"Alder"}, "month": {"13"}}); got.status != http.StatusUnprocessableEntity {
		t.Error(got.status)
	}
}

// What was asked most in these months stands in the letter of who may read the book, and of nobody else.
func TestALetterTellsWhatWasAsked(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := placedHouse(t, yearStore(t))
	if got := post(t, s.URL+placedBed(t, s.URL)+"/papers/season", url.Values{"county": {""}, "month": {"1"}, "months": {"12"}, "language": {"en"}}); got.status != http.StatusOK || !strings.Contains(got.body, "asked") {
		t.Error(got.status)
	}
}

// The rules of the web find nothing on the pages of papers.
func TestRulesOfThePapers(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	s := house(t)
	for _, path := range []string{"/beds/demonstration/papers", "/beds/demonstration/papers/garden", "/beds/demonstration/papers/selling", "/beds/demonstration/papers/season"} {
		obeysTwice(t, ctx, s.URL, axe, path)
	}
	run(t, ctx, chromedp.Navigate(s.URL+"/beds/demonstration/papers/selling"), chromedp.SendKeys(chromedp.CSS(`[id="sale-3-all_food"]`), "many\r"))
	until(t, ctx, `document.getElementById("sale-3-all_food-wrong")`)
}
