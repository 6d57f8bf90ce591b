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
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
)

// needed leaves a test out where something it needs is missing, and fails under CI.
func needed(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatalf("%s is missing: ./check installs it", what)
	}
	t.Skipf("%s is missing: ./check installs it", what)
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
const judge = `<script>window.addEventListener("load", () => axe.run(document, {resultTypes: ["violations"]}).then(r => parent.postMessage({
	name: NAME, wide: document.documentElement.scrollWidth - window.innerWidth,
	faults: r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(" | "))}, "*"),
	e => parent.postMessage({name: NAME, faults: [String(e)]}, "*")))</script>`

// verdict is what was found in one page.
type verdict struct {
	Name   string
	Wide   float64
	Faults []string
}

// judged opens pages in a browser without a window, each as wide as is said, in light or in
// dark, and gives what the rules find.
func judged(t *testing.T, browser, script string, docs map[string][]byte, widths []int, dark bool) []verdict {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "axe.js"), []byte(script), 0o644); err != nil {
		t.Fatal(err)
	}
	var outer strings.Builder
	outer.WriteString(`<!doctype html><pre id="all"></pre><script>const all = []; window.addEventListener("message", e => { all.push(e.data); document.getElementById("all").textContent = JSON.stringify(all); next(); });
const list = []; function next() { const f = list.shift(); if (f) document.body.appendChild(f); }
function add(src, w) { const f = document.createElement("iframe"); f.src = src; f.width = w; f.height = 900; f.style.border = 0; list.push(f); }`)
	n := 0
	for _, name := range slices.Sorted(func(yield func(string) bool) {
		for k := range docs {
			if !yield(k) {
				return
			}
		}
	}) {
		for _, w := range widths {
			id, _ := json.Marshal(fmt.Sprintf("%s, %d px, dark %v", name, w, dark))
			with := `<script src="axe.js"></script>` + strings.ReplaceAll(judge, "NAME", string(id)) + "</body>"
			file := fmt.Sprintf("%d.html", n)
			if err := os.WriteFile(filepath.Join(dir, file), bytes.Replace(docs[name], []byte("</body>"), []byte(with), 1), 0o644); err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&outer, "add(%q, %d);", file, w)
			n++
		}
	}
	outer.WriteString("window.addEventListener('load', next)</script>")
	start := filepath.Join(dir, "all.html")
	if err := os.WriteFile(start, []byte(outer.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Minute)
	defer cancel()
	theme := "1"
	if dark {
		theme = "0"
	}
	c := exec.CommandContext(ctx, browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--allow-file-access-from-files",
		"--user-data-dir="+filepath.Join(dir, "user"), "--blink-settings=preferredColorScheme="+theme, "--virtual-time-budget=10000000", "--dump-dom", "file://"+start)
	out, err := c.Output()
	if err != nil {
		t.Fatalf("the browser: %v", err)
	}
	_, rest, _ := strings.Cut(string(out), `<pre id="all">`)
	found, _, _ := strings.Cut(rest, "</pre>")
	var list []verdict
	if err := json.Unmarshal([]byte(html.UnescapeString(found)), &list); err != nil || len(list) != n {
		t.Fatalf("%d of %d pages were judged: %v", len(list), n, err)
	}
	return list
}

// webPages gives the packet and the second document of an example as web pages.
func webPages(t *testing.T, name string, into map[string][]byte) {
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
	p, faults := plan.Make(b, plan.DefaultBook(), files, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	for kind, doc := range map[string]page.Document{"packet": packet.Faces(p, words, packet.Options{}), "working": packet.Working(p, words, packet.Options{})} {
		var out bytes.Buffer
		if err := press.HTML(doc, &out); err != nil {
			t.Fatal(err)
		}
		into[kind+" of "+name] = out.Bytes()
	}
}

// broken is a page with faults that the rules must find, else they look at nothing: a picture
// without words, words too pale, in the dark others, and a box wider than the window.
const broken = `<!doctype html><html lang="en"><head><title>Broken</title><style>@media (prefers-color-scheme: dark) { h1 { color: #222; background: #111 } }</style></head>
<body><main><h1>Broken</h1><img src="data:,"><p style="color: #999; background: #aaa">Pale</p><div style="width: 1400px">Wide</div></main></body></html>`

// Web pages keep the rules of axe-core (WCAG 2.2 A and AA as far as a program can see, and its
// own best practice), on a telephone of 320 pixels and on a desk, in light and in dark, and
// none of them has to be moved sideways as a whole (WCAG 2.2, 1.4.10). All examples are looked
// at with RAFTWRIGHT_PAGES=all.
func TestWebPagesKeepTheRules(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	browser, err := exec.LookPath("chromium")
	if err != nil {
		needed(t, "chromium")
	}
	script := axe(t)
	names := []string{"demo"}
	if os.Getenv("RAFTWRIGHT_PAGES") == "all" {
		list, err := filepath.Glob("../examples/*.yaml")
		if err != nil || len(list) < 5 {
			t.Fatalf("%d examples, %v", len(list), err)
		}
		names = nil
		for _, path := range list {
			names = append(names, strings.TrimSuffix(filepath.Base(path), ".yaml"))
		}
	}
	docs := map[string][]byte{"broken": []byte(broken)}
	for _, name := range names {
		webPages(t, name, docs)
	}
	for _, dark := range []bool{false, true} {
		for _, v := range judged(t, browser, script, docs, []int{320, 1280}, dark) {
			if strings.HasPrefix(v.Name, "broken") {
				said := strings.Join(v.Faults, "\n")
				if !strings.Contains(said, "image-alt") || !strings.Contains(said, "Pale") || strings.Contains(said, "<h1>") != dark || v.Wide < 100 {
					t.Errorf("%s: the rules find %v", v.Name, v)
				}
				continue
			}
			for _, f := range v.Faults {
				t.Errorf("%s: %s", v.Name, f)
			}
			if v.Wide > 0 {
				t.Errorf("%s: %v pixels wider than the window", v.Name, v.Wide)
			}
		}
	}
}
