package web

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// Whoever builds has the steps of the packet with their pictures on the phone: each step of the whole demonstration answers, in both
// languages, every picture says in words what it shows, and none is heavier than half of what a first page may weigh.
func TestStepsHavePictures(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := placedHouse(t, emptyStore(t))
	pictures := map[string]int{"make": 1, "buy": 1, "cut": 2, "frame": 6, "liner": 6, "raft": 3, "mix": 1, "card": 1}
	drawn := regexp.MustCompile(`<svg [^>]*role="img"[^>]*aria-labelledby="[^"]+"`)
	for _, tongue := range []string{"en", "es"} {
		list := get(t, server.URL+"/beds/demonstration/packet", "Accept-Language", tongue).body
		for step, least := range pictures {
			at := "/beds/demonstration/packet/" + step
			if !strings.Contains(list, `href="`+at+`"`) {
				t.Errorf("%s: the packet does not lead to %s", tongue, at)
			}
			page := get(t, server.URL+at, "Accept-Language", tongue).body
			if got := len(drawn.FindAllString(page, -1)); got < least {
				t.Errorf("%s: %s has %d pictures with a name, want %d", tongue, at, got, least)
			}
			if got := strings.Count(page, `role="img"`); got != len(drawn.FindAllString(page, -1)) {
				t.Errorf("%s: of %d pictures of %s some have no name", tongue, got, at)
			}
			if strings.Contains(page, `class="code"`) {
				t.Errorf("%s: %s carries the code that only paper needs", tongue, at)
			}
			var packed bytes.Buffer
			z := gzip.NewWriter(&packed)
			z.Write([]byte(page))
			z.Close()
			if packed.Len() > 30<<10 {
				t.Errorf("%s: %s weighs %d bytes packed, more than 30 KB", tongue, at, packed.Len())
			}
		}
	}
	if got := get(t, server.URL+"/beds/demonstration/packet/roof"); got.status != http.StatusNotFound {
		t.Error("a step that there is not answers", got.status)
	}
}

// Who types the plain name of a thing stands where it is kept.
func TestNamesOfThings(t *testing.T) {
	server := placedHouse(t, emptyStore(t))
	for name, want := range map[string]string{"waters": "/shared", "shelves": "/shared", "workshops": "/beds", "questions": "/question", "report": "/program/report"} {
		if got := get(t, server.URL+"/"+name); got.status != http.StatusOK || !strings.HasSuffix(got.where, want) {
			t.Errorf("/%s leads to %s, %d", name, got.where, got.status)
		}
	}
}
