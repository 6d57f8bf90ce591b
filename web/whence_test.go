package web

import (
	"fmt"
	"net/http/httptest"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

var whenceLink = regexp.MustCompile(`/beds/demonstration/working/((?:raft\.hole_|cut\.|frame\.wood|season\.(?:month|week)_|finding\.)[a-z0-9_.]*)`)

// demoHouse is a house with the whole demonstration.
func demoHouse(t *testing.T) *httptest.Server {
	t.Helper()
	demo, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return serving(t, &House{Store: emptyStore(t), Book: plan.DefaultBook(), Own: true, Demo: demo})
}

// Every hole, board, month and sentence of the demonstration's plan leads to an address that answers, from where it stands.
func TestEveryPartOfTheDemonstrationLeadsSomewhere(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := demoHouse(t)
	seen, kinds := map[string]bool{}, map[string]int{}
	for _, at := range regexp.MustCompile(`/beds/demonstration/plan/[a-z]+`).FindAllString(get(t, s.URL+"/beds/demonstration/plan").body, -1) {
		for _, m := range whenceLink.FindAllStringSubmatch(get(t, s.URL+at).body, -1) {
			if seen[m[1]] {
				continue
			}
			seen[m[1]] = true
			kind, _, _ := strings.Cut(m[1], ".")
			kinds[kind]++
			if got := get(t, s.URL+m[0]); got.status != 200 || !strings.Contains(got.body, "<h1") {
				t.Errorf("%s leads to %s: %d", at, m[0], got.status)
			}
		}
	}
	if kinds["raft"] != 32 || kinds["cut"] < 10 || kinds["season"] < 14 || kinds["frame"] < 3 || kinds["finding"] < 10 {
		t.Errorf("few parts lead anywhere: %v", kinds)
	}
	for _, none := range []string{"raft.hole_1_33", "raft.hole_2_1", "raft.hole_01_1", "raft.hole", "cut.piece_1_9", "cut.left_99", "season.month_13", "season.week_53", "frame.wood_9", "finding.frame_none"} {
		if got := get(t, s.URL+"/beds/demonstration/working/"+none); got.status != 404 {
			t.Errorf("%s, which there is not: %d", none, got.status)
		}
	}
}

// What a sentence rests on is told in the reader's words, not in those of the file.
func TestWhatASentenceRestsOnIsInTheReadersWords(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := demoHouse(t)
	body := get(t, s.URL+"/beds/demonstration/working/finding.season_low_oxygen", "Cookie", "language=es").body
	for _, said := range []string{"un jardín comunitario", "18 de mayo de 2027"} {
		if !strings.Contains(body, said) {
			t.Errorf("the page does not say %q", said)
		}
	}
	for _, typed := range []string{">community<", ">open<", ">yes<", ">2027-05-18<"} {
		if strings.Contains(strings.ReplaceAll(body, " ", ""), typed) {
			t.Errorf("the page says %q as the file does", typed)
		}
	}
}

// A hole tells its place to who points at it, and opens it by a click, by a tap beside it and by the keyboard, for which the sheet
// is one stop; the arrows lead on.
func TestAHoleIsPointedAtAndReachedByKeys(t *testing.T) {
	ctx := browser(t)
	s := demoHouse(t)
	raft := s.URL + "/beds/demonstration/plan/raft"
	open := func(wide int64) {
		run(t, ctx, chromedp.EmulateViewport(wide, 900), chromedp.Navigate(raft))
		until(t, ctx, `document.readyState === "complete"`)
	}
	const hole = `[...document.querySelectorAll("svg .whence")].find(a => a.href.baseVal.endsWith("raft.hole_1_6") && a.getBoundingClientRect().width > 0)`
	for _, wide := range []int64{320, 1280} {
		open(wide)
		box := ask[[]float64](t, ctx, `(a => { a.scrollIntoView({ block: "center" }); const r = a.querySelector("path").getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2, r.width]; })(`+hole+`)`)
		x, y := box[0], box[1]
		for _, off := range [][2]float64{{0, 0}, {box[2]*0.5 + 3, 0}, {0, -box[2]*0.5 - 3}} { // its middle, and a little beside it
			if name := ask[string](t, ctx, `document.elementFromPoint(`+fmt.Sprint(x+off[0])+`, `+fmt.Sprint(y+off[1])+`)?.closest(".whence")?.querySelector("title").textContent ?? ""`); name != "Hole 6: 18 in across, 18 in up" {
				t.Errorf("at %d px, %v beside the hole: %q", wide, off, name)
			}
		}
		run(t, ctx, chromedp.MouseClickXY(x, y))
		until(t, ctx, `location.pathname.endsWith("/working/raft.hole_1_6") && document.querySelector(".pressed")?.textContent.includes("18 in across, 18 in up")`)
		open(wide)
		if stops := ask[int](t, ctx, `[...document.querySelectorAll("svg .whence")].filter(a => a.tabIndex >= 0 && a.getBoundingClientRect().width > 0 && a.href.baseVal.includes("raft.hole")).length`); stops != 1 {
			t.Errorf("at %d px the sheet has %d stops", wide, stops)
		}
		ask[bool](t, ctx, `(document.querySelector(".pressed .word, .pressed h1, .pressed p").setAttribute("tabindex", "-1"), document.querySelector(".pressed [tabindex='-1']").focus(), true)`)
		for range 40 {
			run(t, ctx, chromedp.KeyEvent(kb.Tab))
			if ask[bool](t, ctx, `document.activeElement.classList.contains("whence")`) {
				break
			}
		}
		focused := `document.activeElement.href?.baseVal?.split("/").pop() ?? ""`
		for _, step := range [][2]string{{"", "raft.hole_1_1"}, {kb.ArrowRight, "raft.hole_1_2"}, {kb.ArrowUp, "raft.hole_1_6"}, {kb.End, "raft.hole_1_32"}, {kb.Home, "raft.hole_1_1"}, {kb.ArrowUp, "raft.hole_1_5"}} {
			if step[0] != "" {
				run(t, ctx, chromedp.KeyEvent(step[0]))
			}
			if got := ask[string](t, ctx, focused); got != step[1] {
				t.Errorf("at %d px the key leads to %q, not %s", wide, got, step[1])
			}
		}
		run(t, ctx, chromedp.KeyEvent(kb.Enter))
		until(t, ctx, `location.pathname.endsWith("/working/raft.hole_1_5")`)
	}
}

// Beside a form whose brief is kept the boards of the drawing and what was noticed lead to their working, by hand and by key, in both
// languages, and to nothing where another brief is typed than is kept.
func TestBesideTheFormThingsLeadToTheirWorking(t *testing.T) {
	s := emptyStore(t)
	id, day := grown(t, s, 0)
	b, err := s.Bed(t.Context(), store.Holder(), id)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.PutBrief(t.Context(), store.Holder(), store.NewID(), id, 1, stopped(t, b.Brief), plan.Code); err != nil {
		t.Fatal(err)
	}
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return day }}
	at := serving(t, h).URL + "/beds/" + id
	door := regexp.MustCompile(`"(/beds/[^"]*/working/[^"]*)"`)
	for _, language := range []string{"en", "es"} {
		form := get(t, at+"/brief", "Accept-Language", language).body
		var whence, why int
		for _, m := range door.FindAllStringSubmatch(form, -1) {
			to := m[1]
			switch {
			case strings.Contains(to, "frame.wood_"):
				whence++
			case strings.Contains(to, "/finding."):
				why++
			default:
				continue
			}
			if got := get(t, at[:len(at)-len("/beds/"+id)]+to, "Accept-Language", language); got.status != 200 {
				t.Errorf("%s: %d", to, got.status)
			}
		}
		if whence == 0 || why == 0 {
			t.Errorf("in %s %d boards and %d sentences lead to their working", language, whence, why)
		}
		fields := fieldsOf(t, form)
		fields.Set("drawing", regexp.MustCompile(`data-sum="([^"]*)"`).FindStringSubmatch(form)[1])
		kept := post(t, at+"/brief/look", fields).body
		if language == "en" && strings.Contains(kept, `id="drawing"`) { // what is posted here asks for English
			t.Error("where nothing is typed the drawing is sent again")
		}
		if !strings.Contains(kept, "/working/finding.") {
			t.Error("where nothing is typed what was noticed leads nowhere")
		}
		fields.Set("bed.length", "10 ft")
		if typed := post(t, at+"/brief/look", fields).body; strings.Contains(typed, "frame.wood_") || strings.Contains(typed, "/working/finding.") || !strings.Contains(typed, `id="drawing"`) {
			t.Error("what is typed and not kept leads to the working of another plan, or is not drawn")
		}
	}
	ctx := browser(t)
	run(t, ctx, chromedp.EmulateViewport(1280, 900), chromedp.Navigate(at+"/brief"))
	until(t, ctx, `document.readyState === "complete"`)
	const boards = `[...document.querySelectorAll("#drawing svg .whence")].filter(a => a.getBoundingClientRect().width > 0)`
	if stops := ask[int](t, ctx, boards+`.filter(a => a.tabIndex >= 0).length`); stops != 1 {
		t.Errorf("the drawing has %d stops", stops)
	}
	first := ask[string](t, ctx, `(a => { a.focus(); return a.href.baseVal; })(`+boards+`.find(a => a.tabIndex >= 0))`)
	run(t, ctx, chromedp.KeyEvent(kb.End))
	if last := ask[string](t, ctx, `document.activeElement.href.baseVal`); last == first {
		t.Error("a key leads on to no other board")
	}
	run(t, ctx, chromedp.KeyEvent(kb.Enter))
	until(t, ctx, `location.pathname.includes("/working/frame.wood_")`)
}

// stopped gives a brief in which something stops the plan that a change would end.
func stopped(t *testing.T, text string) string {
	t.Helper()
	b, _ := brief.Parse(briefName, []byte(text))
	for _, x := range [][2]string{{"bed.support", "deck"}, {"bed.depth", "11 in"}} {
		next, faults := b.Set(finding.Path(x[0]), x[1])
		if next == nil {
			t.Fatal(faults)
		}
		b = next
	}
	return string(b.Encode())
}

// The rules of the web find nothing on the pages whose drawings lead somewhere, nor on those to which they lead.
func TestRulesOfTheWebWhereDrawingsLead(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	s := demoHouse(t)
	for _, path := range []string{"plan/raft", "plan/cut", "plan/season", "plan/frame", "working/raft.hole_1_2", "working/cut.piece_6_2", "working/season.month_7", "working/season.week_20", "working/frame.wood_1", "working/finding.season_low_oxygen"} {
		obeysTwice(t, ctx, s.URL, axe, "/beds/demonstration/"+path)
	}
}
