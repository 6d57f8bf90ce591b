package web

import (
	"html"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/internal/gate"
	"raftwright/plan"
	"raftwright/sky"
	spots "raftwright/sky/places"
	"raftwright/store"
)

// nonsense is what no page says: a figure that is none, a mark of a template or of a printer, a key in place of its words.
var nonsense = regexp.MustCompile(`NaN|[+-]?Inf\b|%!|<no value>|<nil>|\bweb\.[a-z]+\.|\btend\.[a-z]+\.|-0(\.0+)? |\[[a-z_]+(\.[a-z_]+)+\]|\blog\[\d|\b0\.00\d* (in|mm|pulg)\b`)

// numbers are the figures of a text.
var numbers = regexp.MustCompile(`\d+(?:[.,]\d+)*`)

// markup is what is not read of a page.
var markup = regexp.MustCompile(`(?s)<script.*?</script>|<div id="away"[^>]*>|<[^>]*>`)

// The logs of strangers, written in every way that people write them, are shown on each page at the bed in both languages: no page
// breaks, none says nonsense, none is silent, and what it tells of the last visit is that of the log.
func TestLogsOfStrangersOnPages(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	atlas, err := sky.OpenAtlas(spots.Packed)
	if err != nil {
		t.Fatal(err)
	}
	s := emptyStore(t)
	h := &House{Store: s, Book: plan.DefaultBook().With(atlas), Own: true}
	var now time.Time
	h.Now = func() time.Time { return now }
	server := serving(t, h)
	files, err := filepath.Glob("../tend/testdata/hostile/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for n, file := range files {
		if testing.Short() && n%6 != 4 {
			continue // the check shows each
		}
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		if only := os.Getenv("ONLY"); only != "" && !strings.Contains(name, only) {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		b, faults := brief.Parse("", text)
		if len(faults) > 0 {
			t.Fatal(file, faults)
		}
		log, _ := bed.FromBrief(b)
		last := log[len(log)-1].At
		now = time.Date(last.Year(), last.Month(), last.Day(), last.Hour()+1, last.Minute(), 0, 0, time.Local)
		id := store.NewID()
		if _, err := s.PutBed(t.Context(), store.Holder(), id, string(text), plan.Code); err != nil {
			t.Fatal(err)
		}
		var figures [2][]string // of what to do now, in both languages
		for i, tongue := range []string{"en", "es"} {
			for _, page := range []string{"today", "history", "dates", "plan", "packet/card", "packet/mix", "seen", "did", "next"} {
				at := "/beds/" + id + "/" + page
				got := get(t, server.URL+at, "Accept-Language", tongue, "Prefer", "wait=10")
				if got.status != http.StatusOK {
					t.Errorf("%s %s: %s answers %d", name, tongue, page, got.status)
					continue
				}
				said := html.UnescapeString(markup.ReplaceAllString(got.body, " "))
				if bad := nonsense.FindString(said); bad != "" {
					t.Errorf("%s %s: %s says %q", name, tongue, page, bad)
				}
				if r, where := gate.First(said, true); where >= 0 && r != 0xad {
					t.Errorf("%s %s: %s holds %U", name, tongue, page, r)
				}
				if _, answer, is := strings.Cut(got.body, `<section class="now answer">`); page == "today" && is {
					answer, _, _ = strings.Cut(answer, "<form")
					figures[i] = numbers.FindAllString(html.UnescapeString(markup.ReplaceAllString(answer, " ")), -1)
					slices.Sort(figures[i])
				} else if page == "today" {
					t.Errorf("%s %s: nothing is told", name, tongue)
				}
				if dir := os.Getenv("SAID"); dir != "" {
					os.WriteFile(filepath.Join(dir, name+"-"+tongue+"-"+strings.ReplaceAll(page, "/", "_")+".html"), []byte(got.body), 0o600)
				}
			}
		}
		if !slices.Equal(figures[0], figures[1]) {
			t.Errorf("%s: one is told %v and another %v", name, figures[0], figures[1])
		}
	}
}
