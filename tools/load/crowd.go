package main

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/net/html"

	"raftwright/store"
)

// crowd is who asks.
type crowd struct {
	at     string
	keys   []string
	beds   int
	client *http.Client
}

// tally is what was answered, by kind of request.
type tally struct {
	mutex  sync.Mutex
	took   map[string][]time.Duration
	failed map[string]int
	last   string // what the last that failed said
}

func newTally() *tally { return &tally{took: map[string][]time.Duration{}, failed: map[string]int{}} }

func (t *tally) add(kind string, took time.Duration, wrong string) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	t.took[kind] = append(t.took[kind], took)
	if wrong != "" {
		t.failed[kind]++
		t.last = wrong
	}
}

// table prints what was answered.
func (t *tally) table() {
	ms := func(d time.Duration) string { return strconv.FormatFloat(float64(d.Microseconds())/1000, 'f', 1, 64) }
	row := func(kind string, took []time.Duration, failed int) {
		slices.Sort(took)
		at := func(share float64) string { return ms(took[min(len(took)-1, int(share*float64(len(took))))]) }
		fmt.Printf("| %s | %d | %d | %s | %s | %s | %s |\n", kind, len(took), failed, at(0.5), at(0.9), at(0.99), ms(took[len(took)-1]))
	}
	fmt.Println("| request | number | failed | median ms | p90 | p99 | longest |\n|---|---|---|---|---|---|---|")
	var all []time.Duration
	failed := 0
	for _, kind := range slices.Sorted(maps.Keys(t.took)) {
		row(kind, t.took[kind], t.failed[kind])
		all, failed = append(all, t.took[kind]...), failed+t.failed[kind]
	}
	row("all", all, failed)
	if t.last != "" {
		fmt.Println("the last that failed:", t.last)
	}
}

// ask sends a request and reads the answer whole; it gives what was wrong, "" if nothing.
func (c crowd) ask(person int, method, path, body, kind string) string {
	_, wrong := c.read(person, method, path, body, kind, "")
	return wrong
}

// read does as ask and gives the answer; prefer is how long it may take, as RFC 7240 has it.
func (c crowd) read(person int, method, path, body, kind, prefer string) (answer []byte, wrong string) {
	r, err := http.NewRequestWithContext(background, method, c.at+path, strings.NewReader(body))
	if err != nil {
		return nil, err.Error()
	}
	if prefer != "" {
		r.Header.Set("Prefer", prefer)
	}
	r.Header.Set("Authorization", "Bearer "+c.keys[person%len(c.keys)])
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	resp, err := c.client.Do(r)
	if err != nil {
		return nil, err.Error()
	}
	defer resp.Body.Close()
	if answer, err = io.ReadAll(resp.Body); err != nil {
		return answer, err.Error()
	}
	if resp.StatusCode >= 300 {
		return answer, fmt.Sprintf("%s %s: %d %.200s", method, path, resp.StatusCode, answer)
	}
	return answer, ""
}

// late marks a page whose answer is being worked out.
var late = []byte("data-late")

// until is how long somebody at a bed looks for new advice.
const until = time.Minute

// stands waits, as the script of a page does, until the advice on it is new.
func (c crowd) stands(person int, path string) (wrong string) {
	for end := time.Now().Add(until); time.Now().Before(end); {
		page, wrong := c.read(person, "GET", path, "", "", "wait=3")
		if wrong != "" || !bytes.Contains(page, late) {
			return wrong
		}
	}
	return path + ": the advice is late still"
}

// times is how often one thing is asked alone, and atMost how long.
const times, atMost = 30, 5 * time.Second

// once asks for one thing of one bed after the other.
func (c crowd) once(s *server, what, method string, path, body func(bed string) string) {
	var took []time.Duration
	begun, end := s.cpu(), time.Now().Add(atMost)
	for i := 0; i < times && time.Now().Before(end); i++ {
		bed, sent := bedID(i%c.beds), ""
		if body != nil {
			sent = body(bed)
		}
		at := time.Now()
		if wrong := c.ask(i, method, path(bed), sent, ""); wrong != "" {
			fmt.Println(wrong)
		}
		took = append(took, time.Since(at))
	}
	work := s.cpu() - begun
	slices.Sort(took)
	fmt.Printf("| %s | %.1f | %.1f | %.1f |\n", what, took[len(took)/2].Seconds()*1000, took[len(took)-1].Seconds()*1000, work.Seconds()*1000/float64(len(took)))
}

// mix is what an office asks for, of a hundred requests: phones and probes that post and read,
// people who look at lists, and some who stand at a bed or look at its plan.
var mix = []struct {
	share      int
	kind       string
	method     string
	path, body func(bed string) string
}{
	{24, "read a log (API)", "GET", func(bed string) string { return "/api/beds/" + bed + "/log?most=100" }, nil},
	{16, "list of beds (API)", "GET", func(string) string { return "/api/beds?most=50" }, nil},
	{14, "all beds (page)", "GET", func(string) string { return "/beds" }, nil},
	{10, "versions (page)", "GET", func(bed string) string { return "/beds/" + bed + "/versions" }, nil},
	{6, "the form with its plan (page)", "GET", func(bed string) string { return "/beds/" + bed + "/brief" }, nil},
	{4, "the plan (page)", "GET", func(bed string) string { return "/beds/" + bed + "/plan" }, nil},
	{2, "a bed today (page)", "GET", func(bed string) string { return "/beds/" + bed + "/today" }, nil},
	{24, "post a visit (API)", "POST", func(bed string) string { return "/api/beds/" + bed + "/log" }, func(string) string {
		return `{"id": "` + store.NewID() + `", "at": "` + time.Now().Format(store.Clock) + `", "ec": "1.6 mS/cm", "ph": "5.9", "water temperature": "70 F"}`
	}},
}

// mixed asks so many times a second at fixed moments, whatever the answers take: what waits is
// counted from when it should have been sent. Who finds a page whose answer is being worked out stays until it stands there.
func (c crowd) mixed(s *server, rate int, lasts time.Duration) {
	t, advice, work := newTally(), newTally(), s.cpu()
	var wait, stay sync.WaitGroup
	begun := time.Now()
	n := int(lasts.Seconds() * float64(rate))
	for i := range n {
		due := begun.Add(time.Duration(i) * time.Second / time.Duration(rate))
		time.Sleep(time.Until(due))
		dice := rand.IntN(100)
		kind := 0
		for dice >= mix[kind].share {
			dice -= mix[kind].share
			kind++
		}
		m, bed := mix[kind], bedID(rand.IntN(c.beds))
		wait.Go(func() {
			body := ""
			if m.body != nil {
				body = m.body(bed)
			}
			page, wrong := c.read(i, m.method, m.path(bed), body, "", "")
			t.add(m.kind, time.Since(due), wrong)
			if m.method == "GET" && bytes.Contains(page, late) {
				stay.Go(func() {
					wrong := c.stands(i, m.path(bed))
					advice.add("until new advice stood", time.Since(due), wrong)
				})
			}
		})
	}
	wait.Wait()
	took := time.Since(begun)
	work = s.cpu() - work
	fmt.Printf("\n%d requests a second, mixed, for %.0f s (done in %.1f)\n", rate, lasts.Seconds(), took.Seconds())
	t.table()
	stay.Wait()
	if len(advice.took) > 0 {
		fmt.Printf("\npages that found the advice being worked out, until the new one stood; the last after %.0f s\n", time.Since(begun).Seconds())
		advice.table()
	}
	fmt.Printf("work of processors for a request: %.1f ms\n", work.Seconds()*1000/float64(max(1, n)))
}

// pause is how long somebody rests between keys.
const pause = 500 * time.Millisecond

// typing has people type into the form of a bed each; after each key the form is sent and the plan
// comes back, as the page does it.
func (c crowd) typing(s *server, people int, lasts time.Duration) {
	t := newTally()
	var wait sync.WaitGroup
	end, work := time.Now().Add(lasts), s.cpu()
	for person := range people {
		wait.Go(func() {
			path := "/beds/" + bedID(person) + "/brief"
			form, err := c.form(person, path)
			if err != nil {
				t.add("a key", 0, err.Error())
				return
			}
			time.Sleep(time.Duration(rand.Int64N(int64(pause))))
			for n := 0; time.Now().Before(end); n++ {
				field := typed[n%len(typed)]
				form.Set(field.name, field.text(n/len(typed)+person*17))
				begun := time.Now()
				wrong := c.ask(person, "POST", path+"/look", form.Encode(), "application/x-www-form-urlencoded")
				t.add("a key in "+field.name, time.Since(begun), wrong)
				time.Sleep(time.Until(begun.Add(pause)))
			}
		})
	}
	wait.Wait()
	work = s.cpu() - work
	fmt.Printf("\n%d people who type, a key every %v, for %.0f s\n", people, pause, lasts.Seconds())
	t.table()
	keys := 0
	for _, took := range t.took {
		keys += len(took)
	}
	fmt.Printf("work of processors for a key: %.1f ms\n", work.Seconds()*1000/float64(max(1, keys)))
}

// typed is what is typed, field by field: at each key a text that was not there before.
var typed = []struct {
	name string
	text func(n int) string
}{
	{"title", func(n int) string { return fmt.Sprint("Invented ", n) }},
	{"water.alkalinity", func(n int) string { return fmt.Sprintf("%d mg/L CaCO3", 100+n%150) }},
	{"bed.depth", func(n int) string { return fmt.Sprintf("6.%03d in", n%1000) }},
	{"schedule.heads per week", func(n int) string { return fmt.Sprintf("%d.%02d", 5+n/100%4, n%100) }},
}

// form reads the form of a page as a browser would send it.
func (c crowd) form(person int, path string) (url.Values, error) {
	r, err := http.NewRequestWithContext(background, "GET", c.at+path, nil)
	if err != nil {
		return nil, err
	}
	r.Header.Set("Authorization", "Bearer "+c.keys[person%len(c.keys)])
	resp, err := c.client.Do(r)
	if err != nil {
		return nil, err
	}
	defer resp.Body.Close()
	doc, err := html.Parse(resp.Body)
	if err != nil {
		return nil, err
	}
	attr := func(n *html.Node, key string) string {
		for _, a := range n.Attr {
			if a.Key == key {
				return a.Val
			}
		}
		return ""
	}
	form := url.Values{}
	for n := range doc.Descendants() {
		switch {
		case n.Data == "input" && attr(n, "name") != "" && attr(n, "type") != "file":
			form.Set(attr(n, "name"), attr(n, "value"))
		case n.Data == "option" && n.Parent != nil && slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "selected" }):
			form.Set(attr(n.Parent, "name"), attr(n, "value"))
		}
	}
	return form, nil
}
