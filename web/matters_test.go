package web

import (
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/finding"
)

// How much a field matters is told by the plan itself: water over one bed is in the ratio of its depths, whatever else moves with it, and a
// place between the pots in the square of theirs. Nothing is kept.
func TestHowMuchAFieldMatters(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	made := sendFile(t, s.URL, invented)
	bed := s.URL + strings.TrimSuffix(made.where, "/brief")
	ask := func(path, tag string, change url.Values) string {
		form := fieldsOf(t, get(t, bed+"/brief", "Cookie", "language="+tag).body)
		for k, v := range change {
			form[k] = v
		}
		form.Set("matters", path)
		got := post(t, bed+"/brief/matters", form)
		_, told, _ := strings.Cut(got.body, `id="`+idOf(finding.Path(path))+`-matters"`)
		told, _, _ = strings.Cut(told, "<button")
		if got.status != 200 {
			t.Errorf("%s: %d", path, got.status)
		}
		return regexp.MustCompile(`<[^>]*>`).ReplaceAllString(told, " ")
	}
	six := ask("bed.depth", "en", url.Values{"bed.depth": {"6 in"}})
	if !regexp.MustCompile(`4 in: [\d.]+ gal less water`).MatchString(six) || !regexp.MustCompile(`12 in: [\d.]+ gal more water`).MatchString(six) || !strings.Contains(six, "common practice") {
		t.Errorf("a depth of 6 in: %q", six)
	}
	gallons := regexp.MustCompile(`8 in: ([\d.]+)`).FindStringSubmatch(six)
	twelve := regexp.MustCompile(`12 in: ([\d.]+)`).FindStringSubmatch(six)
	if gallons == nil || twelve == nil || ratio(twelve[1], gallons[1]) < 2.9 || ratio(twelve[1], gallons[1]) > 3.1 { // 6 in more against 2 in more
		t.Errorf("water for 2 in and for 6 in more: %v, %v", gallons, twelve)
	}
	if told := ask("raft.spacing", "en", url.Values{"raft.spacing": {"12 in"}}); !regexp.MustCompile(`6 in: .*?more plants`).MatchString(told) || strings.Contains(told, "12 in:") {
		t.Errorf("spacing: %q", told)
	}
	if told := ask("water.alkalinity", "en", url.Values{"water.alkalinity": {"180 mg/L CaCO3"}}); !regexp.MustCompile(`30 mg/L CaCO3: .*?(no acid is needed|less acid)`).MatchString(told) || !regexp.MustCompile(`250 mg/L CaCO3: .*?more acid`).MatchString(told) {
		t.Errorf("alkalinity: %q", told)
	}
	if got := post(t, bed+"/brief/matters", url.Values{"matters": {"title"}}); got.status != 400 {
		t.Errorf("a field on which nothing hangs: %d", got.status)
	}
	if form := fieldsOf(t, get(t, bed+"/brief").body); form.Get("version") != "1" {
		t.Error("a question was kept as a version")
	}
}

// With script the answer comes in its place while the form stays as it is, and goes when something else is typed.
func TestHowMuchAFieldMattersInPlace(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	run(t, ctx, chromedp.Navigate(s.URL+"/beds/demonstration/brief"))
	place := el("bed.depth-matters")
	until(t, ctx, place+`.querySelector("button") && document.readyState === "complete"`)
	run(t, ctx, chromedp.SendKeys(chromedp.CSS(`[id="bed.width"]`), " "))
	ask[bool](t, ctx, `(`+place+`.querySelector("button").focus(), true)`)
	run(t, ctx, chromedp.KeyEvent("\r"))
	until(t, ctx, place+`.querySelectorAll("p").length > 1`)
	if at := ask[string](t, ctx, "location.pathname"); !strings.HasSuffix(at, "/brief") {
		t.Errorf("the form went to %s", at)
	}
	run(t, ctx, chromedp.SendKeys(chromedp.CSS(`[id="bed.depth"]`), "0"))
	until(t, ctx, place+`.querySelectorAll("p").length === 0`)
}

// ratio divides two numbers as they are printed.
func ratio(a, b string) float64 {
	x, _ := strconv.ParseFloat(a, 64)
	y, _ := strconv.ParseFloat(b, 64)
	return x / y
}
