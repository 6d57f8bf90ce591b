package web

import (
	"testing"

	"github.com/chromedp/chromedp"

	"raftwright/plan"
	"raftwright/store"
)

// The words of what stops a plan stand beside the hatching of their box, on a telephone and on a desk.
func TestStopsStandBesideTheirHatching(t *testing.T) {
	ctx := browser(t)
	s := emptyStore(t)
	server := serving(t, &House{Store: s, Book: plan.DefaultBook(), Own: true})
	id := store.NewID()
	const starves = "{raftwright: 1, bed: {length: 8 ft, width: 4 ft, depth: 6 in}, water: {alkalinity: 90 mg/L CaCO3, calcium: 30 mg/L, ph: 7.4}, shelf: [{name: bone meal, label: 4-12-0}], target: {recipe: lettuce}, crop: {name: lettuce}}"
	if _, err := s.PutBed(t.Context(), store.Holder(), id, starves, plan.Code); err != nil {
		t.Fatal(err)
	}
	for _, wide := range []int64{320, 1280} {
		run(t, ctx, chromedp.EmulateViewport(wide, 900), chromedp.Navigate(server.URL+"/beds/"+id+"/plan"))
		until(t, ctx, `document.querySelector(".pressed .caution.stop p")`)
		if under := ask[float64](t, ctx, `(() => {
			const box = document.querySelector(".pressed .caution.stop"), words = document.createRange();
			words.selectNodeContents(box);
			const hatched = parseFloat(getComputedStyle(box, "::before").width);
			return box.getBoundingClientRect().left + hatched + 4 - Math.min(...[...words.getClientRects()].filter(r => r.width > 2).map(r => r.left));
		})()`); under > 0 {
			t.Errorf("at %d px words stand %g px too near to the hatching", wide, under)
		}
	}
}
