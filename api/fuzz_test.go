package api

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"raftwright/store"
)

// FuzzRequest sends anything to every address by every way: it is answered, never by a fault
// of ours, and what is answered is JSON or paper.
func FuzzRequest(f *testing.F) {
	h := withBed(f)
	h.Each = 1 << 30
	handler := h.Handler()
	addresses := []string{"/api/plan", "/api/beds", "/api/beds/{}", "/api/beds/{}/brief", "/api/beds/{}/versions", "/api/beds/{}/log", "/api/beds/{}/log/{}", "/api/beds/{}/advice", "/api/beds/{}/packet.pdf", "/api/health"}
	methods := []string{"GET", "POST", "PUT", "PATCH", "DELETE"}
	f.Add(uint8(0), uint8(1), "", "", invented, "*")
	f.Add(uint8(1), uint8(1), "", "", wrapped(bedB, invented), "")
	f.Add(uint8(3), uint8(2), bedA, "", `{"brief": {"title": "x"}}`, `W/"1-2"`)
	f.Add(uint8(5), uint8(1), bedA, "most=2&after=x", `{"at": "2027-05-10T08:00", "ec": "1.6 mS/cm", "added": {"x": "3 g"}}`, "")
	f.Add(uint8(6), uint8(3), bedA, "", `{"ec": null, "id": "x"}`, `"1"`)
	f.Add(uint8(7), uint8(0), bedA, "now=2027-05-10&if=rain%3D2in", "", "")
	f.Add(uint8(5), uint8(1), bedA, "", `{"added": {"a.b[\"c": "3 g"}, "lab": {"calcium": "1 mg/L"}}]}, {"y": [`, "")
	f.Fuzz(func(t *testing.T, address, method uint8, id, query, body, match string) {
		if len(body) > 4000 { // long ones take long, and their bounds are tested
			return
		}
		path := strings.ReplaceAll(addresses[int(address)%len(addresses)], "{}", url.PathEscape(id))
		r, err := http.NewRequest(methods[int(method)%len(methods)], "http://127.0.0.1"+path, strings.NewReader(body))
		if err != nil {
			return
		}
		r.URL.RawQuery = query
		r.RequestURI = "" // as a server has it from the wire
		r.Header.Set("Authorization", "Bearer "+h.key)
		r.Header.Set("If-Match", match)
		r.Header.Set("Accept-Language", match)
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, r)
		if w.Code >= 500 || w.Code < 200 {
			t.Fatalf("%s %s?%s %q: %d %.400s", r.Method, path, query, body, w.Code, w.Body)
		}
		kind := w.Header().Get("Content-Type")
		if kind != "application/pdf" && w.Code != http.StatusNotModified && w.Code/100 != 3 && !json.Valid(w.Body.Bytes()) {
			t.Fatalf("%s %s?%s: %d %s %.200q", r.Method, path, query, w.Code, kind, w.Body)
		}
	})
}

// FuzzVisit reads any entry. One that is kept comes back with the same keys and texts, and may
// be sent again as it was answered.
func FuzzVisit(f *testing.F) {
	h := withBed(f)
	h.Each = 1 << 30
	handler := h.Handler()
	f.Add(`{"at": "2027-05-10T08:00", "ec": "1.6 mS/cm", "ph": 6.1, "seen": ["roots_brown"], "added": {"Epsom salt": "1 tsp"}}`)
	f.Add(`{"planted": {"heads": 8, "crop": "basil", "age": "21 d"}, "harvested": {"heads": 4, "mass": "2.1 lb"}, "note": "[]{}\"\n"}`)
	f.Add(`{"added solution": {"volume": "5 gal", "strength": "50 %"}, "lab": {"calcium": "40 mg/L"}}`)
	f.Fuzz(func(t *testing.T, body string) {
		send := func(body string) *httptest.ResponseRecorder {
			r := httptest.NewRequest("POST", "http://127.0.0.1/api/beds/"+bedA+"/log", strings.NewReader(body))
			r.Header.Set("Authorization", "Bearer "+h.key)
			w := httptest.NewRecorder()
			handler.ServeHTTP(w, r)
			return w
		}
		w := send(body)
		switch {
		case w.Code >= 500:
			t.Fatalf("%q: %d %s", body, w.Code, w.Body)
		case w.Code == 201:
			if again := send(w.Body.String()); again.Code != 200 {
				t.Fatalf("%q was kept as %s, and sent again: %d %s", body, w.Body, again.Code, again.Body)
			}
			if _, err := h.kept.Log(t.Context(), store.Holder(), bedA); err != nil {
				t.Fatal(err)
			}
		}
	})
}
