package web

import (
	"io/fs"
	"os"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/chromedp/chromedp"

	"raftwright/brief"
	"raftwright/cmd/forbrowser"
	"raftwright/store"
)

// builtForPhones is the program for the bed, built once for all tests.
var builtForPhones = sync.OnceValues(func() (fs.FS, error) {
	folder, err := os.MkdirTemp("", "bedside")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	if _, err = forbrowser.Bedside.Build(folder); err != nil {
		return nil, err
	}
	files := fstest.MapFS{}
	list, err := os.ReadDir(folder)
	for _, f := range list {
		text, e := os.ReadFile(folder + "/" + f.Name())
		if e != nil {
			return nil, e
		}
		files[f.Name()] = &fstest.MapFile{Data: text, Mode: 0o644}
	}
	return files, err
})

func forPhones(t *testing.T) fs.FS {
	t.Helper()
	files, err := builtForPhones()
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// The whole life of a bed in a browser, in each language: the brief by its form, the plan, the packet to print, filled and planted,
// read without signal with the advice of the phone, sent when there is signal, advised by the server, done by one touch, harvested,
// and taken away as files that the command line reads.
func TestWholeLifeOfABed(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes long to start")
	}
	all := ownBrowser(t)
	run(t, all, chromedp.Navigate("about:blank"))
	for _, tag := range []string{"en", "es"} {
		t.Run(tag, func(t *testing.T) {
			ctx := tab(t, all)
			o := newOutpost(t, forPhones(t))
			o.signIn(ctx, "Invented Grower", "/")
			speak(t, ctx, o.url(""), tag)
			// brief
			o.open(ctx, "/")
			for name, text := range map[string]string{"bed.length": "97 in", "bed.width": "49 in", "site.kind": "school"} {
				ask[bool](t, ctx, `(document.querySelector("form.cloze").elements.namedItem("`+name+`").value = "`+text+`", true)`)
			}
			run(t, ctx, chromedp.Click(chromedp.CSS("form.cloze button.main")))
			until(t, ctx, `location.pathname.endsWith("/brief") && document.documentElement.dataset.away`)
			o.bed = strings.Split(ask[string](t, ctx, `location.pathname`), "/")[2]
			bed := "/beds/" + o.bed
			kept := func(version int) {
				t.Helper()
				for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) {
					if b, err := o.kept.Bed(t.Context(), store.Holder(), o.bed); err == nil && b.Version == version {
						break
					} else if time.Now().After(end) {
						t.Fatalf("version %d, not %d: %v", b.Version, version, err)
					}
				}
				until(t, ctx, `document.readyState === "complete" && document.documentElement.dataset.away && document.querySelector("form[data-keeps]").elements.namedItem("version").value === "`+string(rune('0'+version))+`"`)
			}
			fill(t, ctx, "bed.depth", "6 in", "raft.spacing", "12 in", "water.kind", "hard", "crop.name", "lettuce")
			kept(2)
			for i, shelf := range [][]string{{"shelf[0].name", "complete fertilizer", "shelf[0].label", "5-12-26"}, {"shelf[1].name", "calcium nitrate"}} {
				ask[bool](t, ctx, `(document.querySelector('button[name=add][value=shelf]').click(), true)`)
				until(t, ctx, `document.readyState === "complete" && document.documentElement.dataset.away && document.querySelector('[name="shelf[`+string(rune('0'+i))+`].name"]')`)
				fill(t, ctx, shelf...)
				kept(3 + i)
			}
			// plan and packet
			ask[bool](t, ctx, `(document.querySelector('button[name=then][value=plan]').click(), true)`)
			until(t, ctx, `location.pathname.endsWith("/plan") && /97.{1,12}49/.test(document.body.innerText)`)
			o.open(ctx, bed+"/plan/raft")
			if !ask[bool](t, ctx, `document.querySelectorAll("main svg").length > 0`) {
				t.Error("no drawing of the raft")
			}
			o.open(ctx, bed+"/packet")
			if got := ask[string](t, ctx, `fetch("`+bed+`/packet.pdf").then(r => r.blob()).then(async b => (b.size > 50000) + " " + (await b.slice(0, 5).text()))`); got != "true %PDF-" {
				t.Errorf("the packet is %s", got)
			}
			// filled, planted, read
			ago := func(days int) string { return time.Now().AddDate(0, 0, -days).Format(clock) }
			wrote := func(page string, pairs ...string) {
				t.Helper()
				o.open(ctx, bed+page)
				fill(t, ctx, pairs...)
				until(t, ctx, `new URLSearchParams(location.search).get("kept") && document.documentElement.dataset.away === "met"`)
			}
			wrote("/did", "at", ago(10), "filled", "yes", "planted.heads", "32")
			wrote("/today", "at", ago(7), "depth", "5-1/2", "ec", "1.6", "ph", "6.2")
			wrote("/today", "at", ago(4), "depth", "5", "ec", "1.6", "ph", "6.2")
			// without signal
			o.held(ctx)
			until(t, ctx, `document.documentElement.dataset.engine === "held"`)
			ask[bool](t, ctx, `(async () => { for (let i = 0; i < 600 && !(await (await caches.match("`+bed+`/aside"))?.text())?.includes('"5 in"'); i++) await new Promise(r => setTimeout(r, 100)); return true; })()`)
			o.off()
			o.open(ctx, bed+"/today")
			fill(t, ctx, "depth", "4-1/2", "ec", "1.6", "ph", "6.2", "water temperature", "66")
			waiting(t, ctx, 1)
			until(t, ctx, el("by-phone")+`?.querySelector(".pressed")?.innerText.includes("4-1/2")`)
			phone := ask[string](t, ctx, el("by-phone")+`.querySelector(".pressed").innerText`)
			obeyed(t, ctx, "advice without signal "+tag)
			run(t, ctx, chromedp.EmulateViewport(1280, 900))
			// with signal again: sent, advised, done
			o.on()
			ask[bool](t, ctx, `(document.querySelector("#waiting button").click(), true)`)
			waiting(t, ctx, 0)
			now := `document.documentElement.dataset.away === "met" && !document.querySelector("[data-late]") && Boolean(document.querySelector("section.answer .pressed")?.innerText.includes("4-1/2"))`
			for end := time.Now().Add(time.Minute); ; { // a page that the phone held is shown where the server is slow: opened again
				o.open(ctx, bed+"/today")
				if ask[bool](t, ctx, `(async () => { for (let i = 0; i < 100 && !(`+now+`); i++) await new Promise(r => setTimeout(r, 100)); return `+now+`; })()`) {
					break
				} else if time.Now().After(end) {
					t.Fatal(ask[string](t, ctx, `document.querySelector("main").innerText`))
				}
			}
			if server := ask[string](t, ctx, `document.querySelector("section.answer .pressed").innerText`); server != phone {
				t.Errorf("the phone said %q, the server says %q", phone, server)
			}
			ask[bool](t, ctx, `(document.querySelector("section.answer .once button").click(), true)`)
			until(t, ctx, `new URLSearchParams(location.search).get("kept") && document.documentElement.dataset.away === "met"`)
			wrote("/did", "harvested.heads", "4", "harvested.mass", "2.1")
			// taken away
			text := ask[string](t, ctx, `fetch("`+bed+`/bed.yaml").then(r => r.text())`)
			b, faults := brief.Parse("bed.yaml", []byte(text))
			if len(faults) > 0 || b == nil || len(b.Log) != 6 || !strings.Contains(text, "2.1 lb") || !strings.Contains(text, "4-1/2 in") {
				t.Errorf("%v\n%s", faults, text)
			}
			if rows := ask[int](t, ctx, `fetch("`+bed+`/log.csv").then(r => r.text()).then(t => t.trim().split("\r\n").length)`); rows != 7 {
				t.Errorf("%d lines of the log", rows)
			}
		})
	}
}
