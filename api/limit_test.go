package api

import (
	"encoding/json"
	"strings"
	"testing"

	"raftwright/store"
)

// Every operation is asked by everybody: by nobody, by the owner, by another grower, by an
// educator, by the key of the bed, by that of another bed, by the address of its calendar and
// by a key that was withdrawn. What a key may is decided by the store; this looks that no
// operation goes past it.
func TestWhoMayWhat(t *testing.T) {
	h := withBed(t)
	h.ask(t, h.other, "POST", "/api/beds", wrapped(bedB, invented)).want(t, 201)
	h.ask(t, h.key, "POST", "/api/beds/"+bedA+"/log", `{"id": "`+visitA+`", "at": "2027-05-10T08:00", "ec": "1.6 mS/cm"}`).want(t, 201)
	pass := func(kind store.Kind, bed string) (string, string) {
		id := store.NewID()
		key, err := h.kept.GivePass(t.Context(), store.Holder(), id, kind, bed, "", "")
		must(t, err)
		return key, id
	}
	ofBed, _ := pass(store.Key, bedA)
	ofOther, _ := pass(store.Key, bedB)
	feed, _ := pass(store.Feed, bedA)
	gone, id := pass(store.Key, bedA)
	must(t, h.kept.WithdrawPass(t.Context(), store.Holder(), store.NewID(), id))
	keys := map[string]string{"nobody": "", "owner": h.key, "stranger": h.other, "educator": h.account(t, "Eva", store.Educator), "volunteer": h.account(t, "Vic", store.Volunteer),
		"key of the bed": ofBed, "key of another bed": ofOther, "calendar": feed, "withdrawn": gone, "guessed": "0123456789abcdef0123456789abcdef0123456789a"}
	bed := "/api/beds/" + bedA
	for _, op := range []struct {
		method, path, body string
		refused            map[string]int // by whom; the rest is let through
	}{
		{"POST", "/api/plan", invented, map[string]int{}},
		{"GET", "/api/beds", "", map[string]int{}},
		{"POST", "/api/beds", wrapped("", invented), map[string]int{"key of the bed": 403, "key of another bed": 403, "calendar": 403}},
		{"GET", bed, "", map[string]int{"stranger": 404, "key of another bed": 404}},
		{"PUT", bed + "/brief", invented, map[string]int{"stranger": 404, "key of another bed": 404, "volunteer": 403, "key of the bed": 403, "calendar": 403}},
		{"GET", bed + "/versions", "", map[string]int{"stranger": 404, "key of another bed": 404}},
		{"GET", bed + "/log", "", map[string]int{"stranger": 404, "key of another bed": 404}},
		{"POST", bed + "/log", `{"id": "` + visitB + `", "at": "2027-05-10T09:00", "ec": "1.6 mS/cm"}`, map[string]int{"stranger": 404, "key of another bed": 404, "calendar": 403}},
		{"GET", bed + "/log/" + visitA, "", map[string]int{"stranger": 404, "key of another bed": 404}},
		{"PATCH", bed + "/log/" + visitA, `{"note": "WHO"}`, map[string]int{"stranger": 404, "key of another bed": 404, "calendar": 403}},
		{"GET", bed + "/advice?now=2027-05-10T09:00", "", map[string]int{"stranger": 404, "key of another bed": 404}},
		{"GET", bed + "/packet.pdf?part=card", "", map[string]int{"stranger": 404, "key of another bed": 404}},
	} {
		for who, key := range keys {
			g := h.ask(t, key, op.method, op.path, strings.Replace(op.body, "WHO", who, 1), "If-Match", "*")
			want := op.refused[who]
			if who == "nobody" || who == "withdrawn" || who == "guessed" {
				want = 401
			}
			switch {
			case want == 0 && g.status >= 400:
				t.Errorf("%s %s by %s: %d %.200s", op.method, op.path, who, g.status, g.body)
			case want != 0 && g.status != want:
				t.Errorf("%s %s by %s: %d, wanted %d", op.method, op.path, who, g.status, want)
			case want == 401 && !strings.HasPrefix(g.header.Get("WWW-Authenticate"), "Bearer"):
				t.Errorf("%s %s by %s: how to sign in is not told", op.method, op.path, who)
			}
		}
	}
	for key, want := range map[string]string{ofBed: bedA, ofOther: bedB} {
		if list := h.ask(t, key, "GET", "/api/beds", "").want(t, 200).list(t); len(list) != 1 || list[0]["id"] != want {
			t.Errorf("the key of a bed lists %v", list)
		}
	}
	// the entry of a bed is not found by the address of another
	h.ask(t, keys["educator"], "GET", "/api/beds/"+bedB+"/log/"+visitA, "").want(t, 404)
	h.ask(t, keys["educator"], "PATCH", "/api/beds/"+bedB+"/log/"+visitA, `{"ec": "1.7 mS/cm"}`).want(t, 404)
}

func TestTooOften(t *testing.T) {
	h := withBed(t)
	h.Each = 40
	often := 0
	for range 60 {
		if h.ask(t, h.key, "GET", "/api/beds", "").status == 429 {
			often++
		}
	}
	if often == 0 || often > 40 {
		t.Fatalf("%d of 60 were held off", often)
	}
	g := h.ask(t, h.key, "GET", "/api/beds", "").want(t, 429)
	if g.header.Get("Retry-After") == "" {
		t.Fatal("when to come back is not told")
	}
	h.ask(t, h.other, "GET", "/api/beds", "").want(t, 200) // another one is not
	for range mostWrong {
		h.ask(t, "guess", "GET", "/api/beds", "").want(t, 401)
	}
	h.ask(t, "guess", "GET", "/api/beds", "").want(t, 429)
}

// The count is in the store: a second server does not begin anew.
func TestLimitHoldsForTwoServers(t *testing.T) {
	h := withBed(t)
	two := [2]*House{{}, {}}
	refused := 0
	for i := range 80 {
		if two[i%2].leases.take(t.Context(), h.kept, "try", today, 40) != nil {
			refused++
		}
	}
	if refused != 40 {
		t.Fatalf("%d of 80 were refused where 40 may pass", refused)
	}
}

func TestWhatIsNotThere(t *testing.T) {
	h := withBed(t)
	h.ask(t, h.key, "GET", "/api/nowhere", "").want(t, 404)
	if g := h.ask(t, h.key, "DELETE", "/api/beds", "").want(t, 405); !strings.Contains(g.header.Get("Allow"), "POST") {
		t.Fatal(g.header)
	}
	g := h.ask(t, h.key, "GET", "/api/beds/"+bedB, "", "Accept-Language", "es").want(t, 404)
	if !strings.Contains(g.body, "No se encontró") {
		t.Fatal(g.body)
	}
	h.ask(t, h.key, "POST", "/api/plan", strings.Repeat("#", mostBody+1)).want(t, 413)
	if g := h.ask(t, "", "GET", "/api/health", "").want(t, 200); g.json(t)["status"] != "ok" {
		t.Fatal(g.body)
	}
	h.kept.Close()
	if g := h.ask(t, "", "GET", "/api/health", "").want(t, 503); strings.Contains(g.body, "/") {
		t.Fatalf("where things are kept is told to a stranger: %s", g.body)
	}
}

func TestOpenAPI(t *testing.T) {
	h := withBed(t)
	doc := h.ask(t, "", "GET", "/api/openapi.json", "").want(t, 200)
	var api struct {
		OpenAPI    string
		Paths      map[string]map[string]any
		Components struct{ Schemas map[string]any }
	}
	must(t, json.Unmarshal([]byte(doc.body), &api))
	if !strings.HasPrefix(api.OpenAPI, "3.1") || len(api.Paths) != 11 {
		t.Fatalf("%s with %d paths", api.OpenAPI, len(api.Paths))
	}
	for _, name := range []string{"PlanDocument", "TendDocument", "Problem", "Fault", "Bed"} {
		if api.Components.Schemas[name] == nil {
			t.Errorf("%s is not described", name)
		}
	}
}
