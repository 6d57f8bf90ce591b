package web

import (
	"fmt"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"raftwright/plan"
	"raftwright/store"
)

// BenchmarkWorkshopGrows has twenty families whose waters all differ and of whom every other one reads Spanish, with their packets; then seven more come, and the page,
// the document of who leads and all 27 packets are made anew. Alone that is timed.
func BenchmarkWorkshopGrows(b *testing.B) {
	demo, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		b.Fatal(err)
	}
	s, err := store.Open(b.Context(), store.InFolder(filepath.Join(b.TempDir(), "kept")))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	table := func(n int) string {
		var rows strings.Builder
		rows.WriteString("kit,language,water.ph,water.alkalinity,water.ec,water.calcium,water.magnesium\n")
		for i := range n {
			fmt.Fprintf(&rows, "%d,%s,%.2f,%d ppm,%.2f mS/cm,%d ppm,%d ppm\n", i+1, []string{"en", "es"}[i%2], 6.6+0.05*float64(i), 40+9*i, 0.2+0.02*float64(i), 20+3*i, 4+i%9)
		}
		return rows.String()
	}
	for b.Loop() {
		b.StopTimer()
		at := (&House{Store: s, Book: plan.DefaultBook(), Demo: demo, Own: true}).Handler()
		for _, n := range []int{20, 27} {
			if n > 20 {
				b.StartTimer()
			}
			for _, what := range []string{"workshop", "workshop.pdf", "workshop.zip"} {
				w, r := httptest.NewRecorder(), httptest.NewRequest("GET", "/beds/demonstration/"+what+"?"+url.Values{"families": {strconv.Itoa(n)}, "table": {table(n)}}.Encode(), nil)
				r.Host = "127.0.0.1"
				if at.ServeHTTP(w, r); w.Code != 200 {
					b.Fatal(w.Code, w.Body.String())
				}
			}
		}
	}
}
