package web

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// largePages are read with large letters: those that are walked by Tab, and those that are read alone.
var largePages = append([]string{"labels", "shared", "fill", "dates", "garden", "season", "public", "figure", "looks", "codes", "keying", "versions", "answer_none"}, keyboardPages...)

// With the letters of the browser set twice as large (WCAG 2.2, 1.4.4) no page moves sideways, no words of a button, a link, a label or a heading are cut off, and nothing
// that is touched or read lies over another: at a desk, on a telephone held across, and on one of 320 px.
func lettersTwiceAsLarge(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	letters := func(points int64) {
		call(t, ctx, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: points, Fixed: points}})
	}
	letters(32)
	defer letters(16) // which are usual
	for _, wide := range []int64{1280, 740, 320} {
		run(t, ctx, chromedp.EmulateViewport(wide, 900))
		if size := ask[string](t, ctx, `document.fonts.ready.then(() => getComputedStyle(document.documentElement).fontSize)`); size != "32px" {
			t.Fatalf("letters are %s", size)
		}
		if side := ask[float64](t, ctx, `document.documentElement.scrollWidth - innerWidth`); side > 0 {
			t.Errorf("%s at %d px with letters twice as large moves sideways by %g px", name, wide, side)
		}
		for _, bad := range ask[[]string](t, ctx, `(() => {
			const short = e => e.outerHTML.slice(0, 120), out = [];
			const seen = [...document.querySelectorAll("button, a, label, legend, summary, input:not([type=hidden]), select, textarea, h1, h2, h3, dt, dd, th, td > *, p, .tag")]
				.filter(e => e.checkVisibility({visibilityProperty: true}) && !e.closest("[aria-hidden], svg, .quiet, .skip") && getComputedStyle(e.closest("thead") ?? e).clipPath === "none"); // the heads of a table that stands under one another are only told
			for (const e of seen) {
				const s = getComputedStyle(e);
				if ((s.overflowX === "hidden" || s.overflowX === "clip") && !/INPUT|SELECT/.test(e.tagName) && (e.scrollWidth > e.clientWidth + 2 || e.scrollHeight > e.clientHeight + 2)) out.push("cut off: " + short(e));
				const r = e.getBoundingClientRect();
				if (!e.closest(".scroll") && (r.left < -1 || r.right > innerWidth + 1)) out.push("beyond the edge: " + short(e));
			}
			const around = new Set(); // what has another of them in it
			for (const e of seen) for (let p = e.parentElement; p && !around.has(p); p = p.parentElement) around.add(p);
			const all = seen.filter(e => !around.has(e)).map(e => ({e, lines: [...(e.matches("input, select, textarea") ? [e.getBoundingClientRect()] : (() => { const g = document.createRange(); g.selectNodeContents(e); return g.getClientRects(); })())].filter(r => r.width > 2 && r.height > 2)}));
			for (let i = 0; i < all.length; i++) for (let j = i + 1; j < Math.min(all.length, i + 60); j++) {
				const a = all[i], b = all[j];
				if (a.lines.some(p => b.lines.some(q => Math.min(p.right, q.right) - Math.max(p.left, q.left) > 3 && Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top) > 0.4 * Math.min(p.height, q.height)))) out.push("lies over another: " + short(a.e) + " / " + short(b.e));
			}
			return out.slice(0, 4);
		})()`) {
			t.Errorf("%s at %d px with letters twice as large: %s", name, wide, bad)
		}
	}
}
