package api

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

// invented is an invented bed at an invented school.
const invented = `raftwright: 1
title: Invented bed
units: us
site: {kind: school, children: visit, latitude: 41}
bed: {length: 97 in, width: 49 in, depth: 6 in}
raft: {sheet: [4 ft, 8 ft], spacing: 12 in}
water: {kind: hard}
shelf:
  - {name: complete fertilizer, label: 5-12-26}
  - calcium nitrate
crop: {name: lettuce}
`

const (
	bedA   = "018f0000-0000-7000-8000-00000000000a"
	bedB   = "018f0000-0000-7000-8000-00000000000b"
	visitA = "018f0000-0000-7000-8000-0000000000a1"
	visitB = "018f0000-0000-7000-8000-0000000000a2"
)

var today = time.Date(2027, 5, 11, 8, 0, 0, 0, time.UTC)

// house is an office with two growers, each with a key of their account.
type house struct {
	*House
	at         string
	kept       *store.Store
	key, other string
}

func served(t testing.TB) *house {
	t.Helper()
	kept, err := store.Open(t.Context(), store.InFolder(filepath.Join(t.TempDir(), "kept")))
	must(t, err)
	t.Cleanup(func() { kept.Close() })
	h := &house{House: &House{Store: kept, Book: plan.DefaultBook(), Turn: func(context.Context) (func(), error) { return func() {}, nil }, Memory: func(string) *plan.Memory { return &plan.Memory{} },
		Taught: func(_ context.Context, _ store.Who, _ store.Bed, j plan.Job) (plan.Plan, error) {
			return j.Make(nil), nil
		}, Now: func() time.Time { return today }}, kept: kept}
	h.From = func(*http.Request) string { return "127.0.0.1" }
	h.Asks = func(r *http.Request) (store.Who, error) {
		if key, is := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); is {
			return kept.ByPass(r.Context(), key)
		}
		return store.Who{}, nil
	}
	server := httptest.NewServer(h.Handler())
	t.Cleanup(server.Close)
	h.at = server.URL
	h.key, h.other = h.account(t, "Ana", store.Grower), h.account(t, "Ben", store.Grower)
	return h
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// account opens an account and gives a key of it.
func (h *house) account(t testing.TB, name string, role store.Role) string {
	t.Helper()
	id := store.NewID()
	must(t, h.kept.AddAccount(t.Context(), store.Holder(), id, role, name, "", ""))
	key, err := h.kept.GivePass(t.Context(), store.Holder(), store.NewID(), store.Key, "", id, "")
	must(t, err)
	return key
}

type got struct {
	status int
	header http.Header
	body   string
}

// json reads the body.
func (g got) json(t testing.TB) (out map[string]any) {
	t.Helper()
	if err := json.Unmarshal([]byte(g.body), &out); err != nil {
		t.Fatalf("%v: %s", err, g.body)
	}
	return out
}

func (g got) list(t testing.TB) (out []map[string]any) {
	t.Helper()
	if err := json.Unmarshal([]byte(g.body), &out); err != nil {
		t.Fatalf("%v: %s", err, g.body)
	}
	return out
}

// ask sends a request with a key ("" without); headers come in pairs.
func (h *house) ask(t testing.TB, key, method, path, body string, header ...string) got {
	t.Helper()
	r, err := http.NewRequest(method, h.at+path, strings.NewReader(body))
	must(t, err)
	if key != "" {
		r.Header.Set("Authorization", "Bearer "+key)
	}
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	resp, err := http.DefaultClient.Do(r)
	must(t, err)
	defer resp.Body.Close()
	all, err := io.ReadAll(resp.Body)
	must(t, err)
	return got{resp.StatusCode, resp.Header, string(all)}
}

// want fails where a status is another.
func (g got) want(t testing.TB, status int) got {
	t.Helper()
	if g.status != status {
		t.Fatalf("status %d, wanted %d: %.600s", g.status, status, g.body)
	}
	if status >= 400 && g.header.Get("Content-Type") != problemKind {
		t.Fatalf("a %d of kind %q", status, g.header.Get("Content-Type"))
	}
	return g
}

func wrapped(id, brief string) string {
	text, _ := json.Marshal(map[string]string{"id": id, "brief": brief})
	return string(text)
}

// withBed is an office with a bed of the first grower.
func withBed(t testing.TB) *house {
	h := served(t)
	h.ask(t, h.key, "POST", "/api/beds", wrapped(bedA, invented)).want(t, 201)
	return h
}

func TestBedIsMadeOnce(t *testing.T) {
	h := served(t)
	first := h.ask(t, h.key, "POST", "/api/beds", wrapped(bedA, invented)).want(t, 201)
	if first.header.Get("Location") != "/api/beds/"+bedA || first.header.Get("ETag") != `"1"` || first.json(t)["id"] != bedA {
		t.Fatalf("%v %s", first.header, first.body)
	}
	h.ask(t, h.key, "POST", "/api/beds", wrapped(bedA, invented)).want(t, 200)
	h.ask(t, h.key, "POST", "/api/beds", wrapped(bedA, invented+"units: metric\n")).want(t, 422) // twice a key
	h.ask(t, h.key, "POST", "/api/beds", wrapped(bedA, strings.Replace(invented, "Invented", "Other", 1))).want(t, 409)
	h.ask(t, h.key, "POST", "/api/beds", wrapped("bed-1", invented)).want(t, 422)
	if beds := h.ask(t, h.key, "GET", "/api/beds", "").want(t, 200).list(t); len(beds) != 1 || beds[0]["title"] != "Invented bed" {
		t.Fatalf("%v", beds)
	}
	bed := h.ask(t, h.key, "GET", "/api/beds/"+bedA, "").want(t, 200).json(t)
	if bed["brief"] != invented || len(bed["log"].([]any)) != 0 || bed["state"] != nil {
		t.Fatalf("%v", bed)
	}
}

// A brief may end its lines as Windows does, as itself and as a text beside an id; kept it is the same as with plain ends.
func TestBriefWithEndsOfWindows(t *testing.T) {
	h := served(t)
	windows := strings.ReplaceAll(invented, "\n", "\r\n")
	h.ask(t, h.key, "POST", "/api/beds", wrapped(bedA, windows)).want(t, 201)
	h.ask(t, h.key, "POST", "/api/beds", wrapped(bedA, invented)).want(t, 200)
	h.ask(t, h.key, "PUT", "/api/beds/"+bedA+"/brief", strings.Replace(windows, "Invented", "Other", 1), "If-Match", "*").want(t, 200)
	h.ask(t, h.key, "POST", "/api/plan", windows).want(t, 200)
}

func TestBriefMayBeAnObject(t *testing.T) {
	h := served(t)
	h.ask(t, h.key, "POST", "/api/beds", `{"id": "`+bedB+`", "brief": {"title": "Of an object", "bed": {"length": "97 in", "width": "49 in"}}}`).want(t, 201)
	bed := h.ask(t, h.key, "GET", "/api/beds/"+bedB, "").want(t, 200).json(t)
	if bed["brief"].(map[string]any)["title"] != "Of an object" {
		t.Fatalf("%v", bed["brief"])
	}
}

func TestPlan(t *testing.T) {
	h := served(t)
	for _, body := range []string{invented, `{"bed": {"length": "97 in", "width": "49 in"}}`, `{"brief": {"bed": {"length": "97 in", "width": "49 in"}}}`} {
		doc := h.ask(t, h.key, "POST", "/api/plan", body).want(t, 200).json(t)
		if doc["frame"].(map[string]any)["volume_L"].(float64) < 100 {
			t.Fatalf("%.300s", body)
		}
	}
	spoken := func(header ...string) string {
		return h.ask(t, h.key, "POST", "/api/plan", invented, header...).want(t, 200).json(t)["language"].(string)
	}
	if spoken() != "en" || spoken("Accept-Language", "es-MX,es;q=0.8") != "es" {
		t.Fatal("the language of a document is not the one that was asked for")
	}
	h.ask(t, h.key, "POST", "/api/plan?language=fr", invented).want(t, 400)
}

// Every fault stands at its line and column, as the command line has it.
func TestFaultsHaveTheirPlaces(t *testing.T) {
	h := served(t)
	wrong := "bed: {length: 97, width: 49 in}\nwater: {pH: 7}\nraftt: {}\n"
	for tag, word := range map[string]string{"en": "unit", "es": "unidad"} {
		g := h.ask(t, h.key, "POST", "/api/plan", wrong, "Accept-Language", tag).want(t, 422)
		var p Problem
		must(t, json.Unmarshal([]byte(g.body), &p))
		places := map[string][2]int{}
		for _, f := range p.Faults {
			places[string(f.Path)] = [2]int{f.Line, f.Column}
			if f.What == "" || f.Right == "" {
				t.Errorf("a fault says nothing: %v", f)
			}
		}
		if len(p.Faults) != 3 || places["bed.length"] != [2]int{1, 15} || places["raftt"] != [2]int{3, 1} || p.Status != 422 || p.Type != "about:blank" {
			t.Errorf("%+v", p)
		}
		if !strings.Contains(g.body, word) {
			t.Errorf("%s: %s", tag, g.body)
		}
	}
}

func TestBriefOnTopOfTheOneThatWasSeen(t *testing.T) {
	h := withBed(t)
	path := "/api/beds/" + bedA + "/brief"
	second, third := strings.Replace(invented, "Invented", "Second", 1), strings.Replace(invented, "Invented", "Third", 1)
	seen := h.ask(t, h.key, "GET", "/api/beds/"+bedA, "").header.Get("ETag")
	h.ask(t, h.key, "PUT", path, second).want(t, 428)
	g := h.ask(t, h.key, "PUT", path, second, "If-Match", seen).want(t, 200)
	if g.header.Get("ETag") != `"2"` {
		t.Fatal(g.header)
	}
	h.ask(t, h.key, "PUT", path, second, "If-Match", seen).want(t, 200) // sent again
	h.ask(t, h.key, "PUT", path, third, "If-Match", seen).want(t, 412)
	h.ask(t, h.key, "PUT", path, third, "If-Match", `"7"`).want(t, 412)
	if g := h.ask(t, h.key, "PUT", path, third, "If-Match", `W/"2"`).want(t, 412); !strings.Contains(g.body, "W/") { // a strong comparison: RFC 9110, 13.1.1
		t.Error(g.body)
	}
	for match, want := range map[string]int{`"1", "2"`: 2, `"2", "9"`: 2, `"9", W/"2"`: 9, ` "2-17" `: 2, "*": 2} {
		if seen, err := saw(match, 2); err != nil || seen != want {
			t.Errorf("%s: %d, %v", match, seen, err)
		}
	}
	for match, want := range map[string]finding.ID{"": FaultMatch, `W/"2", W/"1"`: FaultWeak, `"x"`: FaultStale, `"0"`: FaultStale} {
		if _, err := saw(match, 2); !store.Is(err, want) {
			t.Errorf("%s: %v", match, err)
		}
	}
	h.ask(t, h.key, "PUT", path, "bed: {length: 9}", "If-Match", "*").want(t, 422)
	h.ask(t, h.key, "PUT", path, third, "If-Match", `"2"`).want(t, 200)
	if all := h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/versions", "").want(t, 200).list(t); len(all) != 3 || all[1]["brief"] != second {
		t.Fatalf("%d versions", len(all))
	}
}

func TestVisitIsKeptOnce(t *testing.T) {
	h := withBed(t)
	path := "/api/beds/" + bedA + "/log"
	sent := `{"id": "` + visitA + `", "at": "2027-05-10T08:00:00-04:00", "ec": "1.6 mS/cm", "ph": 6.1, "depth": "5-1/4 in", "added": {"complete fertilizer": "30 g"}, "seen": ["roots_brown"]}`
	g := h.ask(t, h.key, "POST", path, sent).want(t, 201)
	kept := g.json(t)
	if kept["id"] != visitA || kept["at"] != "2027-05-10T08:00:00Z" || kept["ec"] != "1.6 mS/cm" || kept["ph"] != "6.1" ||
		kept["added"].(map[string]any)["complete fertilizer"] != "30 g" || kept["seen"].([]any)[0] != "roots_brown" {
		t.Fatalf("%v", kept)
	}
	h.ask(t, h.key, "POST", path, sent).want(t, 200)
	h.ask(t, h.key, "POST", path, strings.Replace(sent, "1.6", "1.7", 1)).want(t, 409)
	h.ask(t, h.key, "POST", path, g.body).want(t, 200) // what was answered may be sent
	if log := h.ask(t, h.key, "GET", path, "").want(t, 200).list(t); len(log) != 1 {
		t.Fatalf("%d entries", len(log))
	}
	// without a time, of something without a clock
	h.ask(t, h.key, "POST", path, `{"id": "`+visitB+`", "ec": "1.5 mS/cm"}`).want(t, 201)
	today = today.Add(time.Hour)
	h.ask(t, h.key, "POST", path, `{"id": "`+visitB+`", "ec": "1.5 mS/cm"}`).want(t, 200)
	h.ask(t, h.key, "POST", path, `{"ec": "1.5 mS/cm"}`).want(t, 201)
}

func TestFaultsOfAVisit(t *testing.T) {
	h := withBed(t)
	path := "/api/beds/" + bedA + "/log"
	for _, try := range []struct {
		body, path   string
		line, column int
	}{
		{`{"at": "2027-05-10T08:00", "ec": "1.6"}`, "ec", 1, 34},
		{"{\n \"at\": \"2027-05-10T08:00\",\n \"depht\": \"5 in\"}", "depht", 3, 2},
		{`{"at": "yesterday", "ph": "6"}`, "at", 1, 8},
		{`{"at": "2027-05-10T08:00", "seen": ["roots_brwn"]}`, "seen", 1, 0},
		{`{"at": "2027-05-10T08:00", "added acid": "3 mL"}`, "added acid", 1, 0},
	} {
		g := h.ask(t, h.key, "POST", path, try.body).want(t, 422)
		var p Problem
		must(t, json.Unmarshal([]byte(g.body), &p))
		if f := p.Faults[0]; string(f.Path) != try.path || f.Line != try.line || try.column > 0 && f.Column != try.column {
			t.Errorf("%s: %+v", try.body, f)
		}
	}
	for _, body := range []string{"", "[]", "null", `{"ec": "1.6 mS/cm"`, `{"id": 7, "ec": "1.6 mS/cm"}`, `{"ec": "1.6 mS/cm"}]}, {"x": [`} {
		h.ask(t, h.key, "POST", path, body).want(t, 400)
	}
	h.ask(t, h.key, "POST", path, `{}`).want(t, 422)
	h.ask(t, h.key, "POST", path, `{"note": "`+strings.Repeat("x", mostEntry)+`"}`).want(t, 413)
}

func TestCorrection(t *testing.T) {
	h := withBed(t)
	path := "/api/beds/" + bedA + "/log"
	h.ask(t, h.key, "POST", path, `{"id": "`+visitA+`", "at": "2027-05-10T08:00", "ec": "16 mS/cm", "ph": "6.1", "note": "windy"}`).want(t, 201)
	g := h.ask(t, h.key, "PATCH", path+"/"+visitA, `{"ec": "1.6 mS/cm", "note": null}`).want(t, 200).json(t)
	if g["ec"] != "1.6 mS/cm" || g["ph"] != "6.1" || g["note"] != nil || g["version"] != 2.0 {
		t.Fatalf("%v", g)
	}
	h.ask(t, h.key, "PATCH", path+"/"+visitA, `{"ec": "1.6 mS/cm"}`).want(t, 200)                    // is so already
	h.ask(t, h.key, "PATCH", path+"/"+visitA, `{"ec": "1.8 mS/cm"}`, "If-Match", `"1"`).want(t, 412) // saw an older one
	h.ask(t, h.key, "PATCH", path+"/"+visitA, `{"ec": "1.8"}`).want(t, 422)
	if past := h.ask(t, h.key, "GET", path+"/"+visitA, "").want(t, 200).list(t); len(past) != 2 || past[0]["ec"] != "16 mS/cm" {
		t.Fatalf("%v", past)
	}
	if log := h.ask(t, h.key, "GET", path, "").list(t); len(log) != 1 || log[0]["ec"] != "1.6 mS/cm" {
		t.Fatalf("%v", log)
	}
	h.ask(t, h.key, "PATCH", path+"/"+visitB, `{"ec": "1.8 mS/cm"}`).want(t, 404)
}

func TestPages(t *testing.T) {
	h := withBed(t)
	path := "/api/beds/" + bedA + "/log"
	for i := range 7 {
		at := today.Add(time.Duration(-i/2) * time.Hour).Format(store.Clock) // two of one moment
		h.ask(t, h.key, "POST", path, `{"at": "`+at+`", "ec": "1.6 mS/cm"}`).want(t, 201)
	}
	seen := map[string]bool{}
	last := ""
	for next := path + "?most=2"; next != ""; {
		g := h.ask(t, h.key, "GET", next, "").want(t, 200)
		for _, e := range g.list(t) {
			if seen[e["id"].(string)] || e["at"].(string) < last {
				t.Fatal("an entry twice, or out of order")
			}
			seen[e["id"].(string)], last = true, e["at"].(string)
		}
		link := g.header.Get("Link")
		next, _, _ = strings.Cut(strings.TrimPrefix(link, "<"), ">")
	}
	if len(seen) != 7 {
		t.Fatalf("%d entries", len(seen))
	}
	for _, q := range []string{"?most=0", "?most=1001", "?most=x", "?after=x"} {
		h.ask(t, h.key, "GET", path+q, "").want(t, 400)
	}
}

func TestAdviceAndPaper(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	h := withBed(t)
	h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/advice", "").want(t, 422) // nothing was read yet
	for at, read := range map[string]string{"2027-05-01T08:00": `"filled": "yes", "planted": "28"`, "2027-05-10T08:00": `"ec": "1.6 mS/cm", "ph": "6.1", "depth": "5-1/4 in"`} {
		h.ask(t, h.key, "POST", "/api/beds/"+bedA+"/log", `{"at": "`+at+`", `+read+`}`).want(t, 201)
	}
	g := h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/advice?now=2027-05-10T09:00", "").want(t, 200).json(t)
	if len(g["actions"].([]any)) == 0 || g["next_check"] == "" {
		t.Fatalf("%v", g)
	}
	away := h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/advice?now=2027-05-10T09:00&if=away%3D9d&if=power%3Doff", "").want(t, 200)
	if bytes.Equal([]byte(away.body), []byte(g["next_check"].(string))) {
		t.Fatal("what may come changes nothing")
	}
	h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/advice?if=flood", "").want(t, 422)
	h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/advice?now=soon", "").want(t, 422)
	if state := h.ask(t, h.key, "GET", "/api/beds/"+bedA, "").want(t, 200).json(t)["state"].(map[string]any); state["volume_L"].(float64) < 100 {
		t.Fatalf("%v", state)
	}
	p := h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/packet.pdf?language=es&paper=a4&part=card", "").want(t, 200)
	if !strings.HasPrefix(p.body, "%PDF-") || p.header.Get("Content-Type") != "application/pdf" {
		t.Fatal(p.header)
	}
	h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/packet.pdf?part=cover", "").want(t, 422)
	h.ask(t, h.key, "GET", "/api/beds/"+bedA+"/packet.pdf?paper=a3", "").want(t, 422)
}

func TestUnchangedIsNotSentAgain(t *testing.T) {
	h := withBed(t)
	tag := h.ask(t, h.key, "GET", "/api/beds/"+bedA, "").want(t, 200).header.Get("ETag")
	for _, none := range []string{"W/" + tag, `"another", ` + tag, "*"} {
		h.ask(t, h.key, "GET", "/api/beds/"+bedA, "", "If-None-Match", none).want(t, 304)
	}
	h.ask(t, h.key, "GET", "/api/beds/"+bedA, "", "If-None-Match", `"another"`).want(t, 200)
	if g := h.ask(t, h.key, "GET", "/api/beds/"+bedA, "", "If-None-Match", tag).want(t, 304); g.body != "" {
		t.Fatal(g.body)
	}
}
