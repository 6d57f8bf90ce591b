package web

import (
	"net/url"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

var workingLink = regexp.MustCompile(`/beds/demonstration/working/[a-z0-9_.]+`)

// Every figure of a plan leads to its working, from the page of all, from its section and from where it is shown; what there is not says so.
func TestEveryFigureLeadsToItsWorking(t *testing.T) {
	s := house(t)
	all := workingLink.FindAllString(get(t, s.URL+"/beds/demonstration/working").body, -1)
	slices.Sort(all)
	all = slices.Compact(all)
	if len(all) < 80 {
		t.Fatalf("only %d figures have an address", len(all))
	}
	for _, at := range []string{"/plan", "/brief", "/plan/raft", "/plan/mix"} {
		links := workingLink.FindAllString(get(t, s.URL+"/beds/demonstration"+at).body, -1)
		if len(links) < 2 {
			t.Errorf("%s shows the working of %d figures", at, len(links))
		}
		for _, l := range links {
			if !slices.Contains(all, l) && !whenceLink.MatchString(l) {
				t.Errorf("%s leads to %s, which is not among all", at, l)
			}
		}
	}
	for _, l := range all[:min(len(all), 12)] {
		if got := get(t, s.URL+l); got.status != 200 || !strings.Contains(got.body, "[1]") {
			t.Errorf("%s: %d", l, got.status)
		}
	}
	if body := get(t, planted(t, s.URL)+"/today", "Prefer", "wait=10").body; !strings.Contains(body, "/working/frame.volume") || !strings.Contains(body, "/working/mix.ec") {
		t.Error("advice does not show the figures that it rests on")
	}
	if got := get(t, s.URL+"/beds/demonstration/working/frame.nothing"); got.status != 404 {
		t.Errorf("a figure that there is not: %d", got.status)
	}
}

var deedDoor = regexp.MustCompile(`<a class="whence"( tabindex="-1")? href="(/beds/[^"]*/working/tend\.deed_\d+)"><title>([^<]*)</title>`)

// Each row of what is poured leads to why it is poured, without script, and the drawing is one stop of the keyboard.
func TestWhatIsPouredLeadsToItsWorking(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := house(t)
	bed := planted(t, s.URL)
	for at, deep := range map[string]string{"2027-05-05T08:00": "5-1/2", "2027-05-08T08:00": "5", "2027-05-11T07:55": "4-1/2"} {
		post(t, bed+"/log", url.Values{"at": {at}, "depth": {deep}, "ec": {"1.6"}, "ph": {"6.2"}})
	}
	doors := deedDoor.FindAllStringSubmatch(get(t, bed+"/today", "Prefer", "wait=20").body, -1)
	stops := 0
	for _, d := range doors {
		if d[1] == "" {
			stops++
		}
		got := get(t, s.URL+d[2], "Prefer", "wait=20")
		words := strings.Join(strings.Fields(elementOf.ReplaceAllString(got.body, "")), " ")
		if got.status != 200 || !strings.Contains(words, strings.Join(strings.Fields(d[3]), " ")) || !strings.Contains(got.body, "[1]") || !strings.Contains(got.body, "/working/frame.volume") {
			t.Errorf("%s: %d does not say %q:\n%s", d[2], got.status, d[3], words)
		}
	}
	if len(doors) == 0 || stops != 1 {
		t.Errorf("of %d doors %d are stops of the keyboard", len(doors), stops)
	}
	if got := get(t, bed+"/working/tend.deed_99", "Prefer", "wait=20"); got.status != 404 {
		t.Errorf("a thing to do that there is not: %d", got.status)
	}
}

// The short working opens by a click, by a key and by pointing, stays where the pointer goes into it, and goes with Escape (WCAG 2.2, 1.4.13).
func TestAFigureShowsItsWorkingInPlace(t *testing.T) {
	ctx := browser(t)
	s := house(t)
	open := `document.querySelectorAll(".how[open]").length`
	run(t, ctx, chromedp.EmulateViewport(1280, 900), chromedp.Navigate(s.URL+"/beds/demonstration/plan"))
	until(t, ctx, `document.readyState === "complete"`)
	at := func(selector string) (x, y float64) {
		box := ask[[]float64](t, ctx, `(r => [r.left + 20, r.top + r.height / 2])(document.querySelector('`+selector+`').getBoundingClientRect())`)
		return box[0], box[1]
	}
	x, y := at(".how summary")
	run(t, ctx, chromedp.MouseEvent(chromedp.MouseMoved, x, y))
	until(t, ctx, open+` === 1`)
	x, y = at(".how[open] .found")
	run(t, ctx, chromedp.MouseEvent(chromedp.MouseMoved, x, y))
	if ask[int](t, ctx, `new Promise(done => setTimeout(() => done(`+open+`), 400))`) != 1 {
		t.Error("the working goes while one points at it")
	}
	run(t, ctx, chromedp.KeyEvent(kb.Escape))
	until(t, ctx, open+` === 0`)
	run(t, ctx, chromedp.Focus(chromedp.CSS(".how summary")), chromedp.KeyEvent(" "))
	until(t, ctx, open+` === 1 && document.querySelector(".how[open] .found").textContent.length > 60`)
	for _, wide := range []int64{320, 1280} {
		run(t, ctx, chromedp.EmulateViewport(wide, 900))
		if side := ask[float64](t, ctx, `(r => Math.max(r.right - innerWidth, -r.left))(document.querySelector(".how[open] .found").getBoundingClientRect())`); side > 0 {
			t.Errorf("at %d px the working stands %g px outside of the window", wide, side)
		}
	}
}

// Every class of the style has its place on a page, and every class of a page its rule.
func TestNoRuleForNothing(t *testing.T) {
	comment, block := regexp.MustCompile(`(?s)/\*.*?\*/`), regexp.MustCompile(`(?s)([^{};]+)\{`)
	word := regexp.MustCompile(`\.([a-zA-Z][\w-]*)`)
	read := func(folder string, ends ...string) string {
		var out strings.Builder
		list, err := os.ReadDir(folder)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range list {
			if !slices.Contains(ends, path.Ext(f.Name())) || strings.HasSuffix(f.Name(), "_test.go") {
				continue
			}
			text, err := os.ReadFile(folder + "/" + f.Name())
			if err != nil {
				t.Fatal(err)
			}
			out.Write(text)
		}
		return out.String()
	}
	style := comment.ReplaceAllString(read("static", ".css"), "")
	text := read("pages", ".html") + read("static", ".js") + read(".", ".go") + read("../press", ".go") + read("../draw", ".go") + read("../packet", ".go")
	words := map[string]bool{}
	for _, w := range regexp.MustCompile(`[a-zA-Z][\w-]*`).FindAllString(text, -1) {
		words[w] = true
	}
	classes := map[string]bool{}
	for _, m := range block.FindAllStringSubmatch(style, -1) {
		if !strings.HasPrefix(strings.TrimSpace(m[1]), "@") {
			for _, c := range word.FindAllStringSubmatch(m[1], -1) {
				classes[c[1]] = true
			}
		}
	}
	for c := range classes {
		if !words[c] {
			t.Errorf("no page uses the class %q", c)
		}
	}
	ruled := style + read("../press", ".css")
	for _, m := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(regexp.MustCompile(`\{\{[^}]*\}\}`).ReplaceAllString(read("pages", ".html"), " "), -1) {
		for _, c := range strings.Fields(m[1]) {
			if !strings.Contains(ruled, "."+c) {
				t.Errorf("no rule is for the class %q", c)
			}
		}
	}
	if len(classes) < 100 {
		t.Fatalf("only %d classes were read", len(classes))
	}
}
