package web

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// word of a page of a PDF, with its right edge, points.
var wordInPDF = regexp.MustCompile(`<word xMin="[^"]*" yMin="[^"]*" xMax="([^"]*)"[^>]*>(.*?)</word>`)

// prints says how the page that stands in the window prints: black on white also in the dark theme, without what is only to be touched, with nothing beyond the
// right margin, and with no heading alone at the foot of a sheet. PRINTS names a folder in which the papers are left, to be looked at.
func prints(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		return // ./check installs it
	}
	dir := t.TempDir()
	if to := os.Getenv("PRINTS"); to != "" {
		dir = to
	}
	yes := true
	media := func(of string) {
		call(t, ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: of})
	}
	run(t, ctx, chromedp.EmulateViewport(672, 900))
	media("print")
	defer media("")
	told := ask[[]string](t, ctx, `(document.documentElement.dataset.theme = "dark", document.fonts.ready.then(() => {
		const out = [], c = getComputedStyle(document.documentElement), b = getComputedStyle(document.body);
		if (c.colorScheme !== "light" || c.backgroundColor !== "rgb(255, 255, 255)" || b.color !== "rgb(0, 0, 0)" && b.color !== "rgb(18, 18, 15)") out.push("not black on white: " + c.backgroundColor + ", " + b.color);
		for (const e of document.querySelectorAll("button, nav, [type=submit], [type=file], .skip")) if (e.checkVisibility({visibilityProperty: true}) && !e.matches(".quiet")) out.push("prints what is to be touched: " + e.outerHTML.slice(0, 100));
		for (const e of document.querySelectorAll(".at-bed .then > .doors, .matter:has(table.history) > .doors")) if (e.checkVisibility()) out.push("prints where to go from here: " + e.textContent.slice(0, 60));
		const charts = [...document.querySelectorAll(".charts > *")].map(e => e.getBoundingClientRect().top);
		if (charts.length > 1 && charts[0] !== charts[1]) out.push("charts stand one under the other, on two sheets");
		for (const e of document.querySelectorAll("#dipstick")) if (!(Math.abs(e.getBoundingClientRect().width - parseFloat(e.getAttribute("width")) * 96 / 72) < 0.5)) out.push("the dipstick is not of full size: " + e.getBoundingClientRect().width); // points, of which an inch has 72
		return out.slice(0, 4);
	}))`)
	for _, x := range told {
		t.Errorf("%s: %s", name, x)
	}
	heads := ask[[]string](t, ctx, `[...document.querySelectorAll("h1, h2, h3, h4, legend, caption")].filter(e => e.checkVisibility()).map(e => e.textContent.trim().replace(/\s+/g, " "))`)
	printed, err := chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{PrintBackground: &yes, PreferCSSPageSize: &yes})
	if err != nil {
		t.Fatal(name, err)
	}
	path := filepath.Join(dir, name+".pdf")
	if err := os.WriteFile(path, printed.Data, 0o600); err != nil {
		t.Fatal(err)
	}
	boxes, err := exec.Command("pdftotext", "-bbox", path, "-").Output()
	if err != nil {
		t.Fatal(name, err)
	}
	words := wordInPDF.FindAllStringSubmatch(string(boxes), -1)
	for _, w := range words {
		const right = 612 - 54 + 1 // points: of a letter less its margin
		if x, _ := strconv.ParseFloat(w[1], 64); x > right {
			t.Errorf("%s: %q ends at %g pt, beyond the margin", name, w[2], x)
			break
		}
	}
	text, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(name, err)
	}
	sheets := strings.Split(strings.TrimRight(string(text), "\f\n "), "\f")
	for i, sheet := range sheets[:len(sheets)-1] {
		lines := strings.Split(strings.TrimSpace(sheet), "\n")
		if last := strings.Join(strings.Fields(lines[len(lines)-1]), " "); last != "" && slices.Contains(heads, last) {
			t.Errorf("%s: %q stands alone at the foot of sheet %d", name, last, i+1)
		}
	}
	if len(words) < 5 {
		t.Errorf("%s: only %d words are printed", name, len(words))
	}
}
