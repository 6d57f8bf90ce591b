package api

import (
	"fmt"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"raftwright/store"
)

// BenchmarkRequests measures what programs ask most, of a bed with a log of 200 visits.
func BenchmarkRequests(b *testing.B) {
	h := served(b)
	h.Each = 1 << 30
	text, err := os.ReadFile("../examples/demo.yaml")
	must(b, err)
	h.ask(b, h.key, "POST", "/api/beds", wrapped(bedA, string(text))).want(b, 201)
	for i := range 200 {
		at := today.AddDate(0, 0, i-200).Format(store.Clock)
		h.ask(b, h.key, "POST", "/api/beds/"+bedA+"/log", `{"at": "`+at+`", "ec": "1.6 mS/cm", "ph": "6.1", "depth": "5-1/4 in"}`).want(b, 201)
	}
	handler := h.Handler()
	for _, try := range []struct {
		name, method, path string
		body               func() string
	}{
		{"visit", "POST", "/log", func() string { return `{"at": "2027-05-10T08:00", "ec": "1.6 mS/cm", "ph": "6.1"}` }},
		{"log", "GET", "/log?most=100", nil},
		{"beds", "GET", "/..", nil},
	} {
		b.Run(try.name, func(b *testing.B) {
			for b.Loop() {
				body := ""
				if try.body != nil {
					body = try.body()
				}
				path := strings.TrimSuffix("/api/beds/"+bedA+try.path, "/"+bedA+"/..")
				r := httptest.NewRequest(try.method, "http://127.0.0.1"+path, strings.NewReader(body))
				r.Header.Set("Authorization", "Bearer "+h.key)
				w := httptest.NewRecorder()
				handler.ServeHTTP(w, r)
				if w.Code >= 300 {
					b.Fatal(fmt.Sprint(w.Code, w.Body))
				}
			}
		})
	}
}
