package api

import (
	"context"
	"strings"
	"testing"
	"time"

	"raftwright/answer"
	"raftwright/store"
)

// Advice that is being worked out is no advice: 202 and when to ask again, with the moment of the one before, of which nothing is told; so too the state
// of a bed. What a request prefers to wait goes to who works it out. Where none follows it is told why.
func TestAdviceThatIsWorkedOutLater(t *testing.T) {
	h := withBed(t)
	var doc *answer.TendDocument
	var made time.Time
	late := true
	var preferred []string
	h.Advice = func(_ context.Context, _ store.Who, b store.Bed, language string, prefer []string) (*answer.TendDocument, time.Time, bool, error) {
		if preferred = prefer; b.ID != bedA || language != "en" {
			t.Errorf("asked for %s in %q", b.ID, language)
		}
		return doc, made, late, nil
	}
	h.ask(t, h.key, "POST", "/api/beds/"+bedA+"/log", `{"id": "`+visitA+`", "at": "2027-05-10T08:00", "ec": "1.6 mS/cm", "ph": "6.0", "depth": "5 in"}`).want(t, 201)
	advice, bed := "/api/beds/"+bedA+"/advice", "/api/beds/"+bedA
	g := h.ask(t, h.key, "GET", advice, "").want(t, 202)
	if got := g.json(t); got["pending"] != true || len(got) != 1 || g.header.Get("Retry-After") != "1" {
		t.Errorf("%v, again after %q", got, g.header.Get("Retry-After"))
	}
	doc, made = &answer.TendDocument{State: answer.BedState{PH: 6}, Actions: []answer.BedAction{{Do: "pour", Product: "Invented"}}}, time.Date(2027, 5, 9, 8, 0, 0, 0, time.UTC)
	if got := h.ask(t, h.key, "GET", advice, "").want(t, 202).json(t); got["as_of"] != "2027-05-09T08:00" || len(got) != 2 {
		t.Errorf("of the advice before there is told %v", got)
	}
	g = h.ask(t, h.key, "GET", bed, "").want(t, 200)
	tag := g.header.Get("ETag")
	if got := g.json(t); got["state"] != nil || got["pending"] != true {
		t.Errorf("the state before is told: %v", got["state"])
	}
	late = false
	if got := h.ask(t, h.key, "GET", advice, "", "Prefer", "respond-async, wait=10").want(t, 200).json(t); got["state"].(map[string]any)["ph"] != 6.0 || got["pending"] != nil {
		t.Errorf("%v", got)
	}
	if !strings.Contains(strings.Join(preferred, ","), "wait=10") {
		t.Errorf("who works it out is told %q", preferred)
	}
	g = h.ask(t, h.key, "GET", bed, "").want(t, 200)
	if got := g.json(t); got["state"].(map[string]any)["ph"] != 6.0 || g.header.Get("ETag") == tag {
		t.Errorf("%v under the same tag %s", got["state"], tag)
	}
	doc = nil // none follows from plan and log: the request itself finds out why, or that it does
	if got := h.ask(t, h.key, "GET", advice, "").want(t, 200).json(t); got["state"].(map[string]any)["volume_L"].(float64) < 100 {
		t.Errorf("%v", got["state"])
	}
}
