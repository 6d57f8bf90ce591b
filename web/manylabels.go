package web

import (
	"bytes"
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"raftwright/finding"
	"raftwright/page"
	"raftwright/press/paper"
	"raftwright/store"
)

// mostBedsLabelled bounds the beds of one printing: ten sheets of six.
const mostBedsLabelled = 60

// FaultNoBeds is labels for no beds, or for too many.
const FaultNoBeds finding.ID = "web.fault.no_beds"

// manyLabels shows the beds for which labels may be printed together; those that the address
// names are chosen, so that a list of beds is an address.
func (v *visit) manyLabels() error { return v.showManyLabels(http.StatusOK, nil) }

func (v *visit) showManyLabels(status int, told []wrong) error {
	chosen := slices.Concat(v.URL.Query()["bed"], v.PostForm["bed"])
	body := struct {
		Beds      []choice
		Told      []wrong
		LocalOnly bool
		Next      string
	}{Told: told, LocalOnly: v.At == "" && loopback(v.Host)}
	after := v.URL.Query().Get("after")
	ids := slices.Clone(chosen)
	if len(chosen) == 0 {
		list, err := v.Store.Beds(v.context(), v.who, after, mostBedsLabelled)
		if err != nil {
			return err
		}
		for _, b := range list {
			ids = append(ids, b.ID)
		}
		if len(list) == mostBedsLabelled {
			body.Next = "/labels?after=" + url.QueryEscape(list[len(list)-1].ID)
		}
	}
	for _, id := range ids[:min(len(ids), mostBedsLabelled)] {
		b, err := v.Store.Bed(v.context(), v.who, id)
		if store.WasRemoved(err) { // an address that was kept names it still
			continue
		}
		if err != nil {
			return err
		}
		if v.who.Shares(b) {
			body.Beds = append(body.Beds, choice{b.ID, strings.TrimSpace(cmp.Or(b.Title, v.say("web.bed.nameless")) + "  " + b.Place), len(chosen) > 0})
		}
	}
	return v.showAs(status, "manylabels", sheet{Title: v.say("web.labels.many.title"), Of: v.say("web.labels.many.of"), Body: body})
}

// printManyLabels makes a link of each bed that was chosen and sets their labels on sheets, six to
// a sheet: a link is told once, so that each printing has links of its own. With one bed too
// many, or one that is not one's own to share, none is made.
func (v *visit) printManyLabels() error {
	if err := v.filled(); err != nil {
		return err
	}
	if v.who.Account() == "" && !v.Own {
		return v.notYours("store.word.pass", "")
	}
	ids := slices.Compact(slices.Sorted(slices.Values(v.PostForm["bed"])))
	if len(ids) == 0 || len(ids) > mostBedsLabelled {
		return v.retell(v.showManyLabels, finding.Fault{ID: FaultNoBeds, Args: finding.Args{"Most": mostBedsLabelled}})
	}
	var beds []aBed
	for _, id := range ids {
		b, err := v.Store.Bed(v.context(), v.who, id)
		if err != nil {
			return err
		}
		if !v.who.Shares(b) {
			return v.notYours("store.word.bed", id)
		}
		beds = append(beds, aBed{Bed: b, reading: v.memory.parse(b.Brief)})
	}
	slices.SortStableFunc(beds, func(a, b aBed) int { return cmp.Or(cmp.Compare(a.Title, b.Title), cmp.Compare(a.ID, b.ID)) })
	name := v.say("web.labels.many.name", "Day", v.words.Date(v.Now().Local()))
	var cells [][]page.Block
	for _, b := range beds {
		secret, err := v.Store.GivePass(v.context(), v.who, store.NewID(), store.Link, b.ID, "", name)
		if err != nil {
			return err
		}
		cells = append(cells, v.label(b, v.origin()+"/with/"+secret))
	}
	var out bytes.Buffer
	if err := paper.PDF(v.labelsOn(beds[0], cells), &out); err != nil {
		return err
	}
	return v.asLabels(out.Bytes())
}
