package web

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// person adds somebody with a role.
func (o *outpost) person(role store.Role, name string) store.Who {
	o.t.Helper()
	ctx := o.t.Context()
	if err := o.kept.AddAccount(ctx, store.Holder(), store.NewID(), role, name, "invented@example.org", "invented words"); err != nil {
		o.t.Fatal(err)
	}
	_, who, err := o.kept.SignIn(ctx, name, "invented words")
	if err != nil {
		o.t.Fatal(err)
	}
	return who
}

// row keeps a row of the book.
func (o *outpost) row(who store.Who, table, name string, pairs ...string) {
	o.t.Helper()
	r := store.Record{ID: store.NewID(), Ledger: table, Name: name}
	for i := 0; i < len(pairs); i += 2 {
		r.Row = append(r.Row, store.Pair{Path: finding.Path(pairs[i]), Text: pairs[i+1]})
	}
	if _, err := o.kept.PutRecord(o.t.Context(), who, r.ID, 0, r); err != nil {
		o.t.Fatal(err)
	}
}

// rows gives the rows of a table of the book, the oldest first, by the columns asked for.
func (o *outpost) rows(table string, columns ...string) (out []string) {
	o.t.Helper()
	list, err := o.kept.LastRecords(o.t.Context(), store.Holder(), table, 0, 100)
	if err != nil {
		o.t.Fatal(err)
	}
	for _, r := range slices.Backward(list) {
		var line []string
		for _, c := range columns {
			for _, p := range r.Row {
				if string(p.Path) == c {
					line = append(line, p.Text)
				}
			}
		}
		out = append(out, strings.Join(line, " "))
	}
	return out
}

// open opens a page that the phone holds, and waits until its script stands.
func (o *outpost) open(ctx context.Context, page string) {
	o.t.Helper()
	run(o.t, ctx, chromedp.Navigate(o.url(page)))
	until(o.t, ctx, `document.documentElement.dataset.away`)
}

// fill writes into the fields of the form that is kept on a phone, by their names, and sends it.
func fill(t *testing.T, ctx context.Context, pairs ...string) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		ask[bool](t, ctx, `(() => { const f = document.querySelector('form[data-keeps]:not(.once)').elements.namedItem(`+strconv.Quote(pairs[i])+`); f.closest("details")?.setAttribute("open", ""); f.value = `+strconv.Quote(pairs[i+1])+`; return true; })()`)
	}
	ask[bool](t, ctx, `(document.querySelector("form[data-keeps]:not(.once)").requestSubmit(document.querySelector("form[data-keeps]:not(.once) button.main")), true)`)
}

// waiting waits until so much waits on the phone, and is said to be kept there.
func waiting(t *testing.T, ctx context.Context, n int) {
	t.Helper()
	until(t, ctx, `document.documentElement.dataset.waits === "`+strconv.Itoa(n)+`"`)
	if n > 0 {
		until(t, ctx, el("said-here"))
	}
}

// Everything that is written down at a bed or with growers is kept on a phone without signal and is on the server once: a change
// of the brief, a correction, the paper log, a photo, what was done, and a visit, a class, a question and an item of the book.
func TestEverythingWaitsForSignal(t *testing.T) {
	ctx := ownBrowser(t)
	o := newOutpost(t)
	who := o.person(store.Educator, "Invented Educator")
	o.row(who, "counties", "ALD", "county", "ALD", "name", "Invented county")
	o.row(who, "sites", "S001", "site", "S001", "county", "ALD", "kind", "garden")
	log, err := o.kept.Log(t.Context(), who, o.bed)
	if err != nil || len(log) != 1 {
		t.Fatal(err, log)
	}
	bed, entry := "/beds/"+o.bed, log[0].ID
	o.signIn(ctx, "Invented Educator", bed+"/today")
	o.held(ctx)
	for _, page := range []string{bed + "/brief", bed + "/photos", bed + "/paper", bed + "/log/" + entry, "/program/visits", "/program/hours"} {
		if !ask[bool](t, ctx, `(async () => { for (let i = 0; i < 600; i++) { if (await caches.match("`+page+`")) return true; await new Promise(r => setTimeout(r, 100)); } return false; })()`) {
			t.Fatalf("the phone does not hold %s", page)
		}
	}
	o.off()
	o.open(ctx, bed+"/brief")
	fill(t, ctx, "bed.depth", "10 in")
	waiting(t, ctx, 1)
	o.open(ctx, bed+"/brief") // what waits stands in the form, and is changed with it
	until(t, ctx, el("bed.depth")+`.value === "10 in"`)
	fill(t, ctx, "bed.depth", "9 in")
	until(t, ctx, el("waiting")+`.textContent.includes("9 in")`)
	waiting(t, ctx, 1)
	if said := ask[string](t, ctx, el("waiting")+`.textContent`); !strings.Contains(said, "9 in") || strings.Contains(said, "Alkalinity") {
		t.Errorf("what waits of the brief is told as %q", said)
	}
	o.open(ctx, bed+"/log/"+entry)
	fill(t, ctx, "planted.heads", "30")
	waiting(t, ctx, 2)
	o.open(ctx, bed+"/paper")
	fill(t, ctx, "row0:day", "5/4", "row0:depth", "5-3/4", "row1:day", "5/6", "row1:depth", "5-1/2")
	waiting(t, ctx, 3)
	picture := filepath.Join(t.TempDir(), "invented.jpg")
	if err := os.WriteFile(picture, exif(t, 3000, 2000, 6), 0o600); err != nil {
		t.Fatal(err)
	}
	o.open(ctx, bed+"/photos")
	run(t, ctx, chromedp.SetUploadFiles(chromedp.CSS("#photo"), []string{picture}))
	fill(t, ctx)
	waiting(t, ctx, 4)
	o.open(ctx, bed+"/did")
	fill(t, ctx, "harvested.heads", "4")
	waiting(t, ctx, 5)
	for i, form := range [][]string{{"visits", "site", "S001", "others_met", "2", "minutes", "45", "miles", "31"}, {"visits", "site", "S001", "others_met", "0", "minutes", "20", "miles", "0"}, {"events", "county", "ALD", "title", "Invented class", "adults", "9", "youth", "0", "minutes", "60"}, {"inquiries", "county", "ALD", "mode", "phone", "status", "closed", "minutes", "3"}, {"indirect", "unit", "copies", "count", "40"}} {
		o.open(ctx, "/program/"+form[0])
		fill(t, ctx, form[1:]...)
		waiting(t, ctx, 6+i)
	}
	obeyed(t, ctx, "what waits of every kind")
	o.on()
	touch(t, ctx, "Send now")
	waiting(t, ctx, 0)
	if left := ask[string](t, ctx, `[...document.querySelectorAll("[data-visit]:not(form)")].map(e => e.textContent).join("; ")`); left != "" {
		t.Errorf("not taken: %s", left)
	}
	b, err := o.kept.Bed(t.Context(), who, o.bed)
	if err != nil || b.Version != 2 || !strings.Contains(b.Brief, "9 in") {
		t.Errorf("%v, version %d", err, b.Version)
	}
	if got := strings.Join(o.log("planted.heads"), ", ") + "; " + strings.Join(o.log("depth"), ", ") + "; " + strings.Join(o.log("harvested.heads"), ", "); got != "30; 5-3/4 in, 5-1/2 in; 4" {
		t.Errorf("the log says %s", got)
	}
	photos, err := o.kept.Photos(t.Context(), who, o.bed)
	if err != nil || len(photos) != 1 {
		t.Errorf("%d photos, %v", len(photos), err)
	}
	today := time.Now().Format(time.DateOnly)
	for table, want := range map[string]string{"visits": today + " S001 45 31; " + today + " S001 20 0", "events": today + "  60 ", "inquiries": today + "  3 ", "indirect": today + "   "} {
		if got := strings.Join(o.rows(table, "date", "site", "minutes", "miles"), "; "); strings.Join(strings.Fields(got), " ") != strings.Join(strings.Fields(want), " ") {
			t.Errorf("%s: %q, not %q", table, got, want)
		}
	}
	if names := o.rows("visits", "visit"); len(names) != 2 || names[0] == names[1] {
		t.Errorf("two visits from one held page are named %v", names)
	}
}

// A change of a brief that somebody else changed meanwhile: both are shown, each key with what stands there and what is sent, and
// a person chooses. What was sent and kept without an answer is no clash.
func TestTwoChangeABrief(t *testing.T) {
	ctx := ownBrowser(t)
	o := newOutpost(t)
	who := o.person(store.Educator, "Invented Educator")
	page := "/beds/" + o.bed + "/brief"
	o.signIn(ctx, "Invented Grower", page)
	o.off()
	o.wrap = loses
	o.on()
	fill(t, ctx, "bed.depth", "10 in") // kept, and nobody hears of it
	waiting(t, ctx, 1)
	o.off()
	o.wrap = nil
	o.on()
	version := func(n int, has ...string) {
		t.Helper()
		b, err := o.kept.Bed(t.Context(), who, o.bed)
		if err != nil || b.Version != n {
			t.Fatalf("version %d, not %d: %v", b.Version, n, err)
		}
		for _, text := range has {
			if !strings.Contains(b.Brief, text) {
				t.Errorf("version %d lacks %s:\n%s", n, text, b.Brief)
			}
		}
	}
	write := func(saw int, path, text string) {
		t.Helper()
		b, _ := o.kept.Bed(t.Context(), who, o.bed)
		was, _ := brief.Parse(briefName, []byte(b.Brief))
		next, _ := was.Set(finding.Path(path), text)
		if _, err := o.kept.PutBrief(t.Context(), who, store.NewID(), o.bed, saw, string(next.Encode()), plan.Code); err != nil {
			t.Fatal(err)
		}
	}
	write(2, "bed.width", "5 ft") // somebody else, on top of it
	touch(t, ctx, "Send now")
	waiting(t, ctx, 0)
	version(3, "10 in", "5 ft")
	if n := ask[int](t, ctx, `document.querySelectorAll("[data-visit]:not(form)").length`); n != 0 {
		t.Error("what was kept before is told as a clash")
	}
	saw := 3
	for _, c := range []struct {
		mine, theirs, choice, after string
		n                           int
	}{{"7 in", "11 in", "Put mine over what is there", "7 in", 3}, {"6 in", "12 in", "Keep what is on the server", "12 in", 2}} {
		o.open(ctx, page)
		o.off()
		fill(t, ctx, "bed.depth", c.mine)
		waiting(t, ctx, 1)
		o.on()
		write(saw, "bed.depth", c.theirs)
		write(saw+1, "raft.spacing", "8 in")
		touch(t, ctx, "Send now")
		until(t, ctx, `[...document.querySelectorAll('[data-state="clash"] dd')].map(e => e.textContent).join() === "`+c.theirs+`,`+c.mine+`"`)
		obeyed(t, ctx, "two versions of a brief")
		touch(t, ctx, c.choice)
		until(t, ctx, `!document.querySelector("[data-visit]:not(form)")`)
		saw += c.n
		version(saw, "depth: "+c.after, "8 in", "5 ft")
	}
}

// loses is a way on which all that is sent arrives and no answer comes back.
func loses(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !sends(r) {
			next.ServeHTTP(w, r)
			return
		}
		next.ServeHTTP(&noted{header: http.Header{}}, r)
		panic(http.ErrAbortHandler)
	})
}

// obeyed looks whether the rules of the web find nothing in what a page says of signal and of what waits, as it stands, on a telephone
// and on a desk, in a theme each (with RAFTWRIGHT_RULES=all in both), and whether the page does not move sideways. The rest of it is looked at elsewhere.
func obeyed(t *testing.T, ctx context.Context, what string) {
	t.Helper()
	ask[bool](t, ctx, `(document.querySelectorAll("#waiting details").forEach(d => d.open = true), true)`)
	ask[bool](t, ctx, rulesOfTheWeb(t)+`; true`)
	for _, wide := range []int64{320, 1280} {
		run(t, ctx, chromedp.EmulateViewport(wide, 900))
		for i, theme := range []string{"light", "dark"} {
			if !everyRow() && (i == 0) != (wide == 1280) {
				continue
			}
			ask[bool](t, ctx, `(document.documentElement.dataset.theme = "`+theme+`", true)`)
			for _, f := range breaks(t, ctx, `"#waiting"`) {
				t.Errorf("%s at %d px, %s: %s", what, wide, theme, f)
			}
			shown(t, ctx, strings.ReplaceAll(what, " ", "-")+"-"+strconv.Itoa(int(wide))+"-"+theme)
		}
		if side := ask[float64](t, ctx, `document.documentElement.scrollWidth - innerWidth`); side > 0 {
			t.Errorf("%s at %d px moves sideways by %g px", what, wide, side)
		}
	}
}
