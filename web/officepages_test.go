package web

import (
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"raftwright/store"
)

// busy puts into an office what its pages show: needs, a water, links.
func busy(t *testing.T, kept *store.Store, own string) (sheet string) {
	t.Helper()
	for i, code := range []string{"leak", "out", "harvest", "look", "silent"} {
		id := store.NewID()
		if _, err := kept.PutBed(t.Context(), store.Holder(), id, fmt.Sprintf("raftwright: 1\ntitle: Invented bed %d\nsite: {place: Alder Town ME}\n", i), "1"); err != nil {
			t.Fatal(err)
		}
		b, err := kept.Bed(t.Context(), store.Holder(), id)
		if err != nil {
			t.Fatal(err)
		}
		a := store.Attention{Rank: needs[code], Seen: b.Changed, Again: time.Date(2027, 5, 9, 8, 0, 0, 0, time.UTC), Group: store.Group{County: []string{"Alder County", "Birch County"}[i%2], Kind: "school", Program: "Invented gardens"}}
		a.Reasons = []store.Reason{{Code: code, Args: map[string]string{"day": "2027-05-03", "limit": "ph", "litres": "15"}}}
		a.Reading = store.LastReading{At: time.Date(2027, 5, 9, 8, 0, 0, 0, time.UTC), Texts: map[string]string{"ec": "1.6 mS/cm", "ph": "6.7", "water temperature": "81 F", "depth": "5-1/4 in"}}
		if err := kept.SetAttention(t.Context(), store.Holder(), id, a); err != nil {
			t.Fatal(err)
		}
	}
	sheet = store.NewID()
	for version, text := range []string{"# place: Alder Town\n# day: 2027-03-01\nwater: {calcium: 60 mg/L}\n", "# place: Alder Town\n# day: 2027-03-01\nwater: {calcium: 61 mg/L}\n"} {
		if _, err := kept.PutSheet(t.Context(), store.Holder(), store.NewID(), version, store.Sheet{ID: sheet, Kind: store.WaterSheet, Name: "Invented town water", Text: text}); err != nil {
			t.Fatal(err)
		}
	}
	for _, kind := range []store.Kind{store.Link, store.Key} {
		if _, err := kept.GivePass(t.Context(), store.Holder(), store.NewID(), kind, own, "", "invented host"); err != nil {
			t.Fatal(err)
		}
	}
	return sheet
}

// The rules of the web find nothing on the pages of an office, on a telephone and on a desk, in light and in dark, in either language.
func TestRulesOfTheOffice(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	server, kept, askers, _ := staffedHouse(t)
	own := askers[0].bed
	sheet := busy(t, kept, own)
	people, err := kept.People(t.Context(), store.Holder())
	if err != nil {
		t.Fatal(err)
	}
	bed := "/beds/" + own
	for i, path := range []string{"/sign-in", "/join/invented", "/", "/beds", "/people", "/people/" + people[1].Account, "/people/looks", "/account", "/labels", "/shared", "/shared/new/shelf", "/shared/" + sheet,
		bed + "/share", bed + "/import", bed + "/fill", bed + "/next", bed + "/versions", bed + "/remove", "/removed"} {
		if i == 2 { // from here on somebody is signed in
			run(t, ctx, chromedp.Navigate(server.URL+"/sign-in"))
			ask[bool](t, ctx, `fetch("/sign-in", {method: "POST", body: new URLSearchParams({name: "Invented educator", password: "invented words"})}).then(r => r.ok)`)
		}
		obeysTwice(t, ctx, server.URL, axe, path)
	}
}

// From the first page on no link leads nowhere, for anybody; and what a form is sent to is an address of ours. A short
// run follows one link of a kind, which is an address of ours with the names of what is asked; the whole run all.
func TestNoDeadLink(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedHouse(t)
	busy(t, kept, askers[2].bed)
	mux := http.NewServeMux()
	for _, r := range (&House{}).routes() {
		mux.Handle(r.pattern, http.NotFoundHandler())
	}
	for _, a := range askers {
		if a.name == "volunteer" || a.name == "key" {
			continue
		}
		todo, seen, alike := []string{"/"}, map[string]bool{"/": true}, map[string]int{}
		if a.name == "link" {
			todo = []string{"/beds/" + a.bed + "/today"}
		}
		for len(todo) > 0 && len(seen) < 400 {
			path := todo[0]
			todo = todo[1:]
			r, err := http.NewRequest("GET", server.URL+path, nil)
			if err != nil {
				t.Fatal(err)
			}
			r.Header.Set("Accept", "text/html")
			resp, err := a.client.Do(r)
			if err != nil {
				t.Fatal(err)
			}
			follow := []string{resp.Header.Get("Location")}
			var doc *html.Node
			if strings.HasPrefix(resp.Header.Get("Content-Type"), "text/html") {
				doc, err = html.Parse(resp.Body)
			}
			resp.Body.Close()
			if err != nil || resp.StatusCode >= 400 {
				t.Errorf("%s: %s is %d, %v", a.name, path, resp.StatusCode, err)
				continue
			}
			if doc != nil {
				for n := range doc.Descendants() {
					method := "GET"
					for _, x := range n.Attr {
						if x.Key == "method" {
							method = strings.ToUpper(x.Val)
						}
					}
					for _, x := range n.Attr {
						switch {
						case x.Key == "href" && (n.Data == "a" || n.Data == "link"), x.Key == "src":
							follow = append(follow, x.Val)
						case x.Key == "action" && n.Data == "form", x.Key == "formaction":
							if x.Key == "formaction" {
								method = "GET"
							}
							_, pattern := mux.Handler(&http.Request{Method: method, URL: &url.URL{Path: strings.Split(x.Val, "#")[0]}})
							if pattern == "" {
								_, pattern = mux.Handler(&http.Request{Method: "POST", URL: &url.URL{Path: strings.Split(x.Val, "#")[0]}})
							}
							if pattern == "" {
								t.Errorf("%s: a form of %s is sent to %s %s", a.name, path, method, x.Val)
							}
						}
					}
				}
			}
			here, _ := url.Parse(path)
			for _, to := range follow {
				u, err := here.Parse(to)
				if to == "" || err != nil || u.Host != "" || u.Scheme != "" || strings.HasPrefix(to, "#") || strings.HasPrefix(to, "data:") {
					continue
				}
				u.Fragment = ""
				if next := u.String(); !seen[next] && strings.Count(next, a.bed)+strings.Count(next, demonstration) > 0 || !seen[next] && !strings.HasPrefix(next, "/beds/") {
					_, kind := mux.Handler(&http.Request{Method: "GET", URL: u})
					kind = fmt.Sprint(kind, slices.Sorted(maps.Keys(u.Query())))
					if alike[kind]++; strings.Contains(next, "/working/") && alike[kind] > 40 { // packet tries each figure
						continue
					}
					seen[next] = true
					todo = append(todo, next)
				}
			}
		}
		if len(seen) < 10 {
			t.Errorf("%s: only %d pages were found", a.name, len(seen))
		}
	}
}
