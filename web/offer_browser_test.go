package web

import (
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/plan"
	"raftwright/store"
)

// A brief that is offered is taken by a press in a real browser, which sends the ends of its lines in its own way: the next season of a bed that was filled.
func TestWhatABrowserSendsInLines(t *testing.T) {
	ctx := browser(t)
	s := emptyStore(t)
	server := serving(t, &House{Store: s, Book: plan.DefaultBook(), Own: true})
	made := post(t, server.URL+"/beds", url.Values{"id": {store.NewID()}, "copy": {demonstration}})
	bed := strings.TrimSuffix(made.where, "/brief")
	post(t, server.URL+bed+"/fill", fieldsOf(t, get(t, server.URL+bed+"/fill").body))
	run(t, ctx, chromedp.Navigate(server.URL+bed+"/next"))
	ask[bool](t, ctx, `(document.querySelector('button[name="take"][value="here"]').click(), true)`)
	until(t, ctx, `location.pathname === "`+bed+`/brief"`)
	kept, err := s.Bed(t.Context(), store.Holder(), strings.TrimPrefix(bed, "/beds/"))
	if err != nil || kept.Version != 3 || strings.Contains(kept.Brief, "\r") || strings.Contains(kept.Brief, "doses") {
		t.Errorf("version %d, %v\n%s", kept.Version, err, kept.Brief)
	}
}
