package web

import (
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// With the letters of the browser set twice as large (WCAG 2.2, 1.4.4) no page moves sideways and no words of a button, a link, a label or a heading are cut off, at a desk
// and on a telephone held across.
func TestLettersTwiceAsLarge(t *testing.T) {
	ctx := browser(t)
	server, kept, askers, _ := staffedHouse(t)
	own := askers[0].bed
	busy(t, kept, own)
	bed := "/beds/" + own
	run(t, ctx, chromedp.Navigate(server.URL+"/sign-in"))
	ask[bool](t, ctx, `fetch("/sign-in", {method: "POST", body: new URLSearchParams({name: "Invented educator", password: "invented words"})}).then(r => r.ok)`)
	call(t, ctx, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: 32, Fixed: 32}}) // 16 are usual
	for _, path := range []string{"/", "/beds", "/people", "/account", "/labels", "/shared", bed + "/today", bed + "/did", bed + "/seen", bed + "/brief", bed + "/plan", bed + "/history", bed + "/share", bed + "/fill", bed + "/packet", "/beds/demonstration/today"} {
		for _, wide := range []int64{1280, 740} {
			run(t, ctx, chromedp.EmulateViewport(wide, 900), chromedp.Navigate(server.URL+path))
			if size := ask[string](t, ctx, `document.fonts.ready.then(() => getComputedStyle(document.documentElement).fontSize)`); size != "32px" {
				t.Fatalf("letters are %s", size)
			}
			if side := ask[float64](t, ctx, `document.documentElement.scrollWidth - innerWidth`); side > 0 {
				t.Errorf("%s at %d px with letters twice as large moves sideways by %g px", path, wide, side)
			}
			for _, cut := range ask[[]string](t, ctx, `[...document.querySelectorAll("button, a, label, h1, h2, h3, dt, dd")].filter(e => { const s = getComputedStyle(e); return e.checkVisibility() && !e.ariaHidden && s.clipPath === "none" && (s.overflowX === "hidden" || s.overflowX === "clip") && (e.scrollWidth > e.clientWidth + 2 || e.scrollHeight > e.clientHeight + 2); }).map(e => e.outerHTML.slice(0, 120))`) {
				t.Errorf("%s at %d px with letters twice as large cuts off %s", path, wide, cut)
			}
		}
	}
}
