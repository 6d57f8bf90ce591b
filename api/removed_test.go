package api

import (
	"strings"
	"testing"

	"raftwright/store"
)

// A bed is removed by whose it is and by educators, on top of the version that they saw; then every request for it and every key of it is told so, a stranger is told nothing, and it
// is brought back by those who may remove it.
func TestRemoved(t *testing.T) {
	h := withBed(t)
	h.ask(t, h.key, "POST", "/api/beds/"+bedA+"/log", `{"id": "`+visitA+`", "at": "2027-05-10T08:00", "ec": "1.6 mS/cm"}`).want(t, 201)
	ofBed := map[store.Kind]string{}
	for _, kind := range []store.Kind{store.Key, store.Feed} {
		var err error
		ofBed[kind], err = h.kept.GivePass(t.Context(), store.Holder(), store.NewID(), kind, bedA, "", "")
		must(t, err)
	}
	educator, volunteer := h.account(t, "Eva", store.Educator), h.account(t, "Vic", store.Volunteer)
	bed := "/api/beds/" + bedA
	refused := map[string]int{"": 401, "guessed": 401, h.other: 404, volunteer: 403, ofBed[store.Key]: 403, ofBed[store.Feed]: 403}
	for key, want := range refused {
		h.ask(t, key, "DELETE", bed, "", "If-Match", "*").want(t, want)
	}
	h.ask(t, h.key, "DELETE", bed, "").want(t, 428)
	h.ask(t, h.key, "DELETE", bed, "", "If-Match", `"7"`).want(t, 412)
	tag := h.ask(t, h.key, "GET", bed, "").want(t, 200).header.Get("ETag")
	if g := h.ask(t, h.key, "DELETE", bed, "", "If-Match", tag).want(t, 204); g.body != "" {
		t.Errorf("said %q", g.body)
	}
	for _, op := range []struct{ method, path, body string }{
		{"GET", bed, ""}, {"DELETE", bed, ""}, {"PUT", bed + "/brief", invented}, {"GET", bed + "/versions", ""}, {"GET", bed + "/log", ""}, {"POST", bed + "/log", `{"id": "` + visitB + `", "at": "2027-05-10T09:00", "ec": "1.6 mS/cm"}`},
		{"GET", bed + "/log/" + visitA, ""}, {"PATCH", bed + "/log/" + visitA, `{"note": "x"}`}, {"GET", bed + "/advice?now=2027-05-10T09:00", ""}, {"GET", bed + "/packet.pdf?part=card", ""}, {"POST", "/api/beds", wrapped(bedA, invented)},
	} {
		g := h.ask(t, h.key, op.method, op.path, op.body, "If-Match", "*").want(t, 410)
		if said := g.json(t)["detail"].(string); !strings.Contains(said, "was removed on") || !strings.Contains(said, "bring it back until") {
			t.Errorf("%s %s: %s", op.method, op.path, said)
		}
		if op.path != "/api/beds" {
			h.ask(t, h.other, op.method, op.path, op.body, "If-Match", "*").want(t, 404)
		}
	}
	for kind, key := range ofBed {
		if g := h.ask(t, key, "POST", bed+"/log", `{"id": "`+visitB+`", "at": "2027-05-10T09:00", "ec": "1.6 mS/cm"}`).want(t, 410); !strings.Contains(g.body, "was removed on") {
			t.Errorf("the %s of the bed: %s", kind, g.body)
		}
	}
	if list := h.ask(t, h.key, "GET", "/api/beds", "").want(t, 200).list(t); len(list) != 0 {
		t.Errorf("lists %v", list)
	}
	for key, want := range map[string]int{"": 401, h.other: 404, volunteer: 403, ofBed[store.Key]: 410} {
		h.ask(t, key, "POST", bed+"/return", "").want(t, want)
	}
	for range 2 {
		h.ask(t, educator, "POST", bed+"/return", "").want(t, 200)
	}
	if log := h.ask(t, h.key, "GET", bed+"/log", "").want(t, 200).list(t); len(log) != 1 || log[0]["id"] != visitA {
		t.Errorf("came back with %v", log)
	}
	h.ask(t, ofBed[store.Key], "GET", bed, "").want(t, 401)
	h.ask(t, h.key, "POST", "/api/beds/"+bedB+"/return", "").want(t, 404)
}
