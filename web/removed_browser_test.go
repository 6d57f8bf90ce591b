package web

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/plan"
	"raftwright/store"
)

// A bed is removed while a visit waits on a phone: the phone says so and keeps the visit, lets the pages of the bed go, and sends the visit once the bed was brought back.
func TestARemovedBedOnAPhone(t *testing.T) {
	ctx := ownBrowser(t)
	o := newOutpost(t)
	page := "/beds/" + o.bed + "/today"
	o.signIn(ctx, "Invented Grower", page)
	o.held(ctx)
	o.off()
	o.visit(ctx, "5.1")
	until(t, ctx, `document.documentElement.dataset.waits === "1"`)
	o.meanwhile(func(kept *store.Store) error {
		return kept.RemoveBed(t.Context(), store.Holder(), store.NewID(), o.bed, 1)
	})
	touch(t, ctx, "Send now")
	until(t, ctx, `document.querySelector('#waiting li[data-state="removed"]')?.textContent.includes("was removed on")`)
	if said := ask[string](t, ctx, el("waiting")+`.textContent`); !strings.Contains(said, "still on this phone") || !strings.Contains(said, "bring it back until") || !strings.Contains(said, "5.1") {
		t.Errorf("the phone says %q", said)
	}
	shown(t, ctx, "removed-waits")
	run(t, ctx, chromedp.Navigate(o.url(page)))
	until(t, ctx, `document.documentElement.dataset.away && document.getElementById("main").textContent.includes("was removed on")`)
	shown(t, ctx, "removed-page")
	if !ask[bool](t, ctx, `(async () => { for (let i = 0; i < 100; i++) { if ((await (await caches.open("pages")).keys()).every(r => !r.url.includes("/beds/`+o.bed+`/"))) return true; await new Promise(r => setTimeout(r, 100)); } return false; })()`) {
		t.Error("the phone holds its pages still")
	}
	if err := o.kept.ReturnBed(t.Context(), store.Holder(), store.NewID(), o.bed); err != nil {
		t.Fatal(err)
	}
	touch(t, ctx, "Send now")
	until(t, ctx, `document.getElementById("waiting").hidden`)
	if got := o.log("depth"); !slices.Equal(got, []string{"5.1 in"}) {
		t.Errorf("the log says %v", got)
	}
}

// meanwhile does something to what is kept while the server is off, and starts it again.
func (o *outpost) meanwhile(do func(*store.Store) error) {
	o.t.Helper()
	kept, err := store.Open(context.Background(), store.InFolder(o.folder))
	if err == nil {
		err = do(kept)
		kept.Close()
	}
	if err != nil {
		o.t.Fatal(err)
	}
	o.on()
}

// Four beds are open on one phone, each by two links. Of one the link is withdrawn while visits wait: those of the others are sent, its own stays on the phone, which says
// what happened and what to do, and is sent once a new link is opened. Of another the first link is withdrawn, and the second opens it.
func TestLinksEndWhileVisitsWait(t *testing.T) {
	ctx := ownBrowser(t)
	o := newOutpost(t)
	beds, links, ids := []string{o.bed}, map[string][]string{}, map[string][]string{}
	for len(beds) < 4 {
		id := store.NewID()
		if _, err := o.kept.PutBed(t.Context(), store.Holder(), id, strings.Replace(invented, "Invented bed", "Invented bed "+string(rune('1'+len(beds))), 1), plan.Code); err != nil {
			t.Fatal(err)
		}
		beds = append(beds, id)
	}
	give := func(bed string) string {
		id := store.NewID()
		secret, err := o.kept.GivePass(t.Context(), store.Holder(), id, store.Link, bed, "", "label")
		if err != nil {
			t.Fatal(err)
		}
		links[bed], ids[bed] = append(links[bed], secret), append(ids[bed], id)
		return secret
	}
	for _, bed := range beds {
		for range 2 {
			run(t, ctx, chromedp.Navigate(o.url("/with/"+give(bed))))
			until(t, ctx, `location.pathname === "/beds/`+bed+`/today" && document.documentElement.dataset.away`)
		}
	}
	if err := o.kept.WithdrawPass(t.Context(), store.Holder(), store.NewID(), ids[beds[3]][0]); err != nil {
		t.Fatal(err)
	}
	run(t, ctx, chromedp.Navigate(o.url("/sign-in")))
	if said := ask[string](t, ctx, `document.getElementById("main").innerHTML`); !slices.ContainsFunc(beds, func(b string) bool { return strings.Contains(said, b) }) || strings.Count(said, "/today") != 4 {
		t.Errorf("the phone is told of %d beds", strings.Count(said, "/today"))
	}
	run(t, ctx, chromedp.Navigate(o.url("/beds/"+o.bed+"/today")))
	until(t, ctx, `document.documentElement.dataset.away`)
	o.held(ctx)
	for _, bed := range beds[1:3] {
		run(t, ctx, chromedp.Navigate(o.url("/beds/"+bed+"/today")))
		until(t, ctx, `document.documentElement.dataset.away`)
	}
	o.off()
	for _, bed := range beds[:3] {
		run(t, ctx, chromedp.Navigate(o.url("/beds/"+bed+"/today")))
		until(t, ctx, `document.documentElement.dataset.away === "alone"`)
		o.visit(ctx, "5.2")
		until(t, ctx, `document.getElementById("said-here")`)
	}
	until(t, ctx, `document.documentElement.dataset.waits === "3"`)
	o.meanwhile(func(kept *store.Store) error {
		return kept.WithdrawPass(t.Context(), store.Holder(), store.NewID(), ids[o.bed][1])
	})
	touch(t, ctx, "Send now")
	until(t, ctx, `document.documentElement.dataset.waits === "1" && `+el("waiting")+`.textContent.includes("the link was withdrawn")`)
	run(t, ctx, chromedp.Navigate(o.url("/beds/"+o.bed+"/today")))
	until(t, ctx, `location.pathname === "/sign-in" && document.documentElement.dataset.waits === "1"`)
	until(t, ctx, el("waiting")+`.textContent.includes("An educator gives a new link")`)
	shown(t, ctx, "withdrawn-waits")
	if got := o.log("depth"); len(got) != 0 {
		t.Errorf("the log says %v", got)
	}
	run(t, ctx, chromedp.Navigate(o.url("/with/"+give(o.bed))))
	until(t, ctx, `location.pathname === "/beds/`+o.bed+`/today" && document.documentElement.dataset.waits === "0"`)
	for _, bed := range beds[:3] {
		if log, err := o.kept.Log(t.Context(), store.Holder(), bed); err != nil || !slices.ContainsFunc(log, func(e store.Entry) bool { return slices.Contains(e.Pairs, store.Pair{Path: "depth", Text: "5.2 in"}) }) {
			t.Errorf("of %s the log says %v, %v", bed, log, err)
		}
	}
	run(t, ctx, chromedp.Navigate(o.url("/beds/"+beds[3]+"/today"))) // by its second link
	until(t, ctx, `document.documentElement.dataset.away && document.querySelector('input[name="depth"]')`)
}
