package press_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/workshop"
)

// needed leaves a test out where something it needs is missing, and fails under CI.
func needed(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatalf("%s is missing: ./check installs it", what)
	}
	t.Skipf("%s is missing: ./check installs it", what)
}

// chromium gives the browser that was made to have no window, since it needs half of the work, or the one with windows, told to open none.
func chromium(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium-headless-shell", "chromium"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	needed(t, "chromium-headless-shell")
	return ""
}

// axe gives the script of the rules, which ./check fetches from its registry into the folder
// for what can be had again.
func axe(t *testing.T) string {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	script, err := os.ReadFile(filepath.Join(cache, "raftwright", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		needed(t, "axe-core")
	}
	return string(script)
}

// judge is run in each page: it tells the page around it what the rules found, and whether
// the page itself can be moved sideways, which nobody with a telephone should have to.
const judge = `<script>window.addEventListener("load", () => axe.run(document, {resultTypes: ["violations"], selectors: false, preload: falseRULES}).then(r => parent.postMessage({
	name: NAME, wide: document.documentElement.scrollWidth - window.innerWidth,
	faults: r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(" | "))}, "*"),
	e => parent.postMessage({name: NAME, faults: [String(e)]}, "*")))</script>`

// verdict is what was found in one page.
type verdict struct {
	Name   int // its place in the list
	Wide   float64
	Faults []string
}

// sight is a page as it is looked at: so wide, in light or in dark.
type sight struct {
	Page string
	Wide int
	Dark bool
}

// rules says how a page is looked at: on a desk not for its colors again, which take half of the time and are those of the telephone, unless documents were chosen.
func (at sight) rules() string {
	if at.Wide <= 320 || at.Page == "broken" || os.Getenv("RAFTWRIGHT_PAGES") != "" {
		return ""
	}
	return `, rules: {"color-contrast": {enabled: false}}`
}

// judged opens pages in one browser without a window, each as it is to be looked at, and gives what
// the rules find.
func judged(t *testing.T, browser, script string, docs map[string][]byte, sights []sight) map[sight]verdict {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "axe.js"), []byte(script), 0o644); err != nil {
		t.Fatal(err)
	}
	var outer strings.Builder
	outer.WriteString(`<!doctype html><pre id="all"></pre><script>const all = []; window.addEventListener("message", e => { all.push(e.data); document.getElementById("all").textContent = JSON.stringify(all); next(); });
const list = []; let now; function next() { if (now) now.remove(); now = list.shift(); if (now) document.body.appendChild(now); }
function add(src, w, scheme) { const f = document.createElement("iframe"); f.src = src; f.width = w; f.height = 900; f.style.border = 0; f.style.colorScheme = scheme; list.push(f); }`)
	for n, at := range sights {
		with := `<script src="axe.js"></script>` + strings.NewReplacer("NAME", strconv.Itoa(n), "RULES", at.rules()).Replace(judge) + "</body>"
		file := fmt.Sprintf("%d.html", n)
		if err := os.WriteFile(filepath.Join(dir, file), bytes.Replace(docs[at.Page], []byte("</body>"), []byte(with), 1), 0o644); err != nil {
			t.Fatal(err)
		}
		scheme := "light"
		if at.Dark { // a page in a frame takes the scheme of the frame
			scheme = "dark"
		}
		fmt.Fprintf(&outer, "add(%q, %d, %q);", file, at.Wide, scheme)
	}
	outer.WriteString("window.addEventListener('load', next)</script>")
	start := filepath.Join(dir, "all.html")
	if err := os.WriteFile(start, []byte(outer.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Hour)
	defer cancel()
	c := exec.CommandContext(ctx, browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--allow-file-access-from-files",
		"--user-data-dir="+filepath.Join(dir, "user"), "--virtual-time-budget=10000000", "--dump-dom", "file://"+start)
	out, err := c.Output()
	if err != nil {
		t.Fatalf("the browser: %v", err)
	}
	_, rest, _ := strings.Cut(string(out), `<pre id="all">`)
	found, _, _ := strings.Cut(rest, "</pre>")
	var list []verdict
	if err := json.Unmarshal([]byte(html.UnescapeString(found)), &list); err != nil || len(list) != len(sights) {
		t.Fatalf("%d of %d pages were judged: %v", len(list), len(sights), err)
	}
	by := map[sight]verdict{}
	for _, v := range list {
		by[sights[v.Name]] = v
	}
	return by
}

// kinds are the documents that are printed for a bed.
var kinds = []string{"packet", "working", "class", "leader", "template", "builder", "card", "bed", "calendar", "log"}

// bedOf plans an example, alone and for a workshop of four families.
func bedOf(t *testing.T, name string) (plan.Plan, workshop.Workshop) {
	t.Helper()
	path := filepath.Join("../examples", name+".yaml")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse(path, data)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	files := plan.Files{}
	for _, f := range b.Site.Climate {
		if files[f.Value], err = os.ReadFile(filepath.Join("../examples", f.Value)); err != nil {
			t.Fatal(err)
		}
	}
	j := plan.Job{Brief: b, Book: plan.DefaultBook(), Files: files, Asked: plan.Everything}
	p, faults := plan.Make(b, j.Book, files, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	families, faults := workshop.Alike(b, 4)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	ws, faults := workshop.Make(j, families)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p, ws
}

// webPage gives a document of a plan as a web page in a language, or in two with a plus between
// them; nil where the plan has no such document.
func webPage(t *testing.T, p plan.Plan, ws workshop.Workshop, kind, tongue string, large bool) []byte {
	t.Helper()
	one := func(tag string) page.Document {
		words, err := lang.For(tag, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		o := packet.Options{Large: large}
		switch kind {
		case "working":
			return packet.Working(p.In(tag), words, o)
		case "class":
			return packet.Class(p.In(tag), words, o)
		case "leader":
			return packet.Leader(ws, words, o)
		case "template":
			doc, err := packet.Template(p.In(tag), words, o)
			if err != nil {
				return page.Document{}
			}
			return doc
		}
		return packet.Faces(p.In(tag), words, o, packet.Side(kind)...)
	}
	first, second, two := strings.Cut(tongue, "+")
	doc := one(first)
	if len(doc.Sections) == 0 {
		return nil
	}
	if two {
		doc = page.Both(doc, one(second))
	}
	var out bytes.Buffer
	if err := press.HTML(doc, &out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// broken is a page with faults that the rules must find, else they look at nothing: a picture
// without words, words too pale, in the dark others, and a box wider than the window.
const broken = `<!doctype html><html lang="en"><head><title>Broken</title><style>@media (prefers-color-scheme: dark) { h1 { color: #222; background: #111 } }</style></head>
<body><main><h1>Broken</h1><img src="data:,"><p style="color: #999; background: #aaa">Pale</p><div style="width: 1400px">Wide</div></main></body></html>`

// Web pages keep the rules of axe-core (WCAG 2.2 A and AA as far as a program can see, and its
// own best practice), on a telephone of 320 pixels and on a desk, in light and in dark, and
// none of them has to be moved sideways as a whole (WCAG 2.2, 1.4.10). RAFTWRIGHT_PAGES=demo,tank
// looks at each document of these examples, in both languages, side by side and in large print.
func TestWebPagesKeepTheRules(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	browser := chromium(t)
	script := axe(t)
	docs := map[string][]byte{"broken": []byte(broken)}
	var sights []sight
	look := func(name string, dark bool, widths ...int) {
		for _, w := range widths {
			sights = append(sights, sight{name, w, dark})
		}
	}
	for _, dark := range []bool{false, true} {
		look("broken", dark, 320, 1280)
	}
	add := func(p plan.Plan, ws workshop.Workshop, bed, kind, tongue string, large bool) string {
		name := fmt.Sprintf("%s of %s, %s, large %v", kind, bed, tongue, large)
		if text := webPage(t, p, ws, kind, tongue, large); text != nil {
			docs[name] = text
			return name
		}
		return "broken"
	}
	if wanted := os.Getenv("RAFTWRIGHT_PAGES"); wanted != "" {
		for _, bed := range strings.Split(wanted, ",") {
			p, ws := bedOf(t, bed)
			for _, kind := range kinds {
				for _, tongue := range []string{"en", "es", "en+es"} {
					look(add(p, ws, bed, kind, tongue, false), false, 320, 1280)
				}
				look(add(p, ws, bed, kind, "es", true), true, 320, 1280)
			}
		}
	} else {
		p, ws := bedOf(t, "demo")
		look(add(p, ws, "demo", "packet", "en", false), false, 320)
		for _, kind := range kinds[:4] {
			look(add(p, ws, "demo", kind, "en", false), kind == "leader", 1280)
		}
		look(add(p, ws, "demo", "working", "es", false), true, 320)
		p, ws = bedOf(t, "tank")
		for i, kind := range kinds { // each kind for another bed, on a telephone, large and in both languages, in a theme by turns
			look(add(p, ws, "tank", kind, "en+es", true), i%2 == 0, 320)
		}
	}
	for at, v := range judged(t, browser, script, docs, sights) {
		if at.Page == "broken" {
			said := strings.Join(v.Faults, "\n")
			if !strings.Contains(said, "image-alt") || !strings.Contains(said, "Pale") || strings.Contains(said, "<h1>") != at.Dark || v.Wide < 100 {
				t.Errorf("%v: the rules find %v", at, v)
			}
			continue
		}
		for _, f := range v.Faults {
			t.Errorf("%v: %s", at, f)
		}
		if v.Wide > 0 {
			t.Errorf("%v: %v pixels wider than the window", at, v.Wide)
		}
	}
}
