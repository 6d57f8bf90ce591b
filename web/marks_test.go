package web

import (
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// On the page of a report each mark of page one leads, without script, to the one row that has the mark, in either edition and language; in the file it does too.
func TestMarksLeadOnThePage(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := houseWithYear(t)
	link := regexp.MustCompile(`<a class="small" href="#(row-[^"]*)">([^<]*)</a>`)
	for _, language := range []string{"en", "es"} {
		for _, at := range []string{"/program/report?funder=BOARD&day=2027-08-31", "/program/report?funder=BOARD&day=2027-08-31&edition=public", "/program/report.html?funder=BOARD&day=2027-08-31&language=" + language} {
			got := get(t, s.URL+at, "Cookie", "language="+language, "Accept-Language", language)
			if got.status != http.StatusOK || !strings.Contains(got.body, `<html lang="`+language) {
				t.Fatal(at, language, got.status)
			}
			marks := link.FindAllStringSubmatch(got.body, -1)
			if len(marks) < 5 {
				t.Errorf("%s, %s: %d marks lead", language, at, len(marks))
			}
			for _, m := range marks {
				if n := strings.Count(got.body, `id="`+m[1]+`"`); n != 1 {
					t.Errorf("%s, %s: %d places are called %s", language, at, n, m[1])
				}
				_, row, _ := strings.Cut(got.body, ` id="`+m[1]+`"`)
				first := regexp.MustCompile(`<th scope="row"[^>]*>([^<]*)<`).FindStringSubmatch(row)
				if first == nil || !strings.Contains(html.UnescapeString(m[2])+",", " "+first[1]+",") {
					t.Errorf("%s, %s: %q leads to %q", language, at, m[2], first)
				}
			}
		}
	}
}
