package web

import (
	"cmp"
	"net/http"
	"strconv"
	"time"

	"raftwright/finding"
	"raftwright/store"
)

// removeRoutes are the addresses by which a bed is removed and brought back.
func removeRoutes() []route {
	return []route{
		{"GET /beds/{bed}/remove", (*visit).asksToRemove},
		{"POST /beds/{bed}/remove", (*visit).remove},
		{"GET /removed", (*visit).removed},
		{"POST /removed", (*visit).bringBack},
	}
}

// mayRemove finds the bed of an address for who may remove it.
func (v *visit) mayRemove() (aBed, error) {
	b, err := v.theBed()
	switch {
	case err != nil:
		return b, err
	case b.ID == demonstration:
		return b, finding.Fault{ID: FaultReadOnly}
	case !v.who.Removes(b.Bed):
		return b, v.notYours("store.word.bed", b.ID)
	}
	return b, nil
}

// asksToRemove says what goes with a bed, what stays, and how it comes back.
func (v *visit) asksToRemove() error { return v.askToRemove(http.StatusOK, nil) }

func (v *visit) askToRemove(status int, told []wrong) error {
	b, err := v.mayRemove()
	if err != nil {
		return err
	}
	body := struct {
		Bed         string
		Version     int
		Told        []wrong
		Goes, Stays []string
		Until       string
	}{Bed: b.ID, Version: b.Version, Told: told}
	log, err := v.Store.Log(v.context(), v.who, b.ID)
	if err != nil {
		return err
	}
	photos, err := v.Store.Photos(v.context(), v.who, b.ID)
	if err != nil {
		return err
	}
	passes, err := v.passesOf(b)
	if err != nil {
		return err
	}
	day := v.words.Date(v.Now().Add(store.ReturnsFor).Local())
	body.Until = v.say("web.remove.until", "Day", day)
	body.Goes = []string{v.say("web.remove.pages")}
	if !v.Own {
		body.Goes = append(body.Goes, v.say("web.remove.phones"))
	}
	if len(passes) > 0 {
		body.Goes = append(body.Goes, v.say("web.remove.passes", "Links", passes[store.Link], "Keys", passes[store.Key], "Feeds", passes[store.Feed]))
	}
	if len(photos) > 0 {
		body.Goes = append(body.Goes, v.say("web.remove.photos", "Count", len(photos), "Day", day))
	}
	body.Stays = []string{v.say("web.remove.written", "Count", len(log), "Versions", b.Version), v.say("web.remove.report"), v.say("web.remove.paper")}
	s := v.of(b, "remove")
	s.Body = body
	return v.showAs(status, "remove", s)
}

// passesOf counts what still opens a bed, by its kind.
func (v *visit) passesOf(b aBed) (map[store.Kind]int, error) {
	out := map[store.Kind]int{}
	if !v.who.Shares(b.Bed) {
		return out, nil
	}
	list, err := v.Store.Passes(v.context(), v.who, b.ID)
	for _, p := range list {
		if p.Withdrawn.IsZero() {
			out[p.Kind]++
		}
	}
	return out, err
}

// remove removes a bed, as the page before showed it.
func (v *visit) remove() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.mayRemove()
	if store.WasRemoved(err) { // pressed twice: it is told where it is
		return v.to("/removed")
	}
	if err != nil {
		return err
	}
	saw, _ := strconv.Atoi(v.PostFormValue("version"))
	if err := v.Store.RemoveBed(v.context(), v.who, store.NewID(), b.ID, saw); err != nil {
		return v.retell(v.askToRemove, err)
	}
	return v.to("/removed")
}

// mostRemoved bounds the list of removed beds.
const mostRemoved = 200

// removed lists the beds that can be brought back.
func (v *visit) removed() error {
	list, err := v.Store.RemovedBeds(v.context(), v.who, mostRemoved)
	if err != nil {
		return err
	}
	type gone struct {
		ID, Name, Place, When string
		Mine                  bool
	}
	var beds []gone
	for _, r := range list {
		when := v.say("web.removed.when", "Day", v.words.Date(r.Since.Local()), "Until", v.words.Date(r.Until.Local()))
		beds = append(beds, gone{r.ID, cmp.Or(r.Title, v.say("web.bed.nameless")), r.Place, when, v.who.Removes(r.Bed)})
	}
	return v.show("removed", sheet{Title: v.say("web.removed.title"), Of: v.say("web.removed.of"), Body: struct {
		Beds []gone
		Days int
	}{beds, int(store.ReturnsFor / (24 * time.Hour))}})
}

// bringBack brings a removed bed back.
func (v *visit) bringBack() error {
	if err := v.filled(); err != nil {
		return err
	}
	id := v.PostFormValue("bed")
	if err := v.Store.ReturnBed(v.context(), v.who, store.NewID(), id); err != nil {
		return err
	}
	return v.to("/beds/" + id)
}
