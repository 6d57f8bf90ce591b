package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/store"
)

var glanceOf = regexp.MustCompile(`(?s)<dl class="glance">.*?</dl>`)

// figuresShown gives the figures at a glance of a page, in words.
func figuresShown(t testing.TB, page string) string {
	t.Helper()
	text := glanceOf.FindString(page)
	if text == "" {
		t.Fatal("no figures")
	}
	return strings.Join(strings.Fields(elementOf.ReplaceAllString(text, " ")), " ")
}

var elementOf = regexp.MustCompile(`<[^>]*>`)

// grown keeps a bed with the brief of the demonstration and so many visits, warmer than the model's.
func grown(t testing.TB, s *store.Store, visits int) (id string, day time.Time) {
	t.Helper()
	demo, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	whole, _ := brief.Parse("demo.yaml", demo)
	alone, faults := whole.Set("log", "")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	id = store.NewID()
	if _, err := s.PutBed(t.Context(), store.Holder(), id, string(alone.Encode()), plan.Code); err != nil {
		t.Fatal(err)
	}
	day = time.Date(2027, 5, 1, 8, 0, 0, 0, time.UTC)
	for n := range visits {
		pairs := []brief.Pair{{Path: "depth", Text: "5-1/2 in"}, {Path: "ec", Text: "1.6 mS/cm"}, {Path: "ph", Text: "5.9"}, {Path: "water temperature", Text: "79 F"}}
		switch {
		case n == 0:
			pairs = []brief.Pair{{Path: "filled", Text: "yes"}, {Path: "planted.heads", Text: "28"}}
		case n%28 == 27:
			pairs = append(pairs, brief.Pair{Path: "harvested.heads", Text: "4"}, brief.Pair{Path: "harvested.mass", Text: "20 oz"})
		}
		if _, err := s.Keep(t.Context(), store.Holder(), store.NewID(), id, day, pairs); err != nil {
			t.Fatal(err)
		}
		day = day.Add(24 * time.Hour)
	}
	return id, day
}

// Beside the form of a bed with a log stands the plan of its page: the same figures and the same dates, when it is opened, while
// one types what changes nothing, and after a visit.
func TestTheFormHasTheDatesOfThePlan(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := emptyStore(t)
	id, day := grown(t, s, 30)
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return day }}
	server := serving(t, h)
	bed := server.URL + "/beds/" + id
	for range 2 {
		want := figuresShown(t, get(t, bed+"/plan").body)
		form := get(t, bed+"/brief").body
		if got := figuresShown(t, form); got != want {
			t.Errorf("the form says\n%s\nthe plan\n%s", got, want)
		}
		fields := fieldsOf(t, form)
		if got := figuresShown(t, post(t, bed+"/brief/look", fields).body); got != want {
			t.Errorf("while one types the form says\n%s\nthe plan\n%s", got, want)
		}
		fields.Set("raft.spacing", "8 in")
		if got := figuresShown(t, post(t, bed+"/brief/look", fields).body); got == want {
			t.Error("another spacing changes nothing")
		}
		post(t, bed+"/log", url.Values{"at": {day.Format(clock)}, "depth": {"5"}, "water temperature": {"80"}, "harvested.heads": {"4"}, "harvested.mass": {"16 oz"}})
		day = day.Add(time.Hour)
	}
}

var figureRow = regexp.MustCompile(`<tr role="row"><th scope="row" role="rowheader">([^<]*)</th><td role="cell"[^>]*>([^<]*)</td>`)

// What a bed's plan is now is one thing on the page of its next season and on that of its plan: both go on from what its log taught, also where
// the page of the plan was never opened; and so do two of its versions.
func TestTheNextSeasonHasTheDatesOfThePlan(t *testing.T) {
	s := emptyStore(t)
	id, day := grown(t, s, 30)
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return day }}
	bed := serving(t, h).URL + "/beds/" + id
	v, err := h.background(t.Context(), "en")
	if err != nil {
		t.Fatal(err)
	}
	kept, err := s.Bed(t.Context(), store.Holder(), id)
	if err != nil {
		t.Fatal(err)
	}
	b := aBed{Bed: kept, reading: h.memory.parse(kept.Brief)}
	wide, _ := b.brief().Set("raft.spacing", "8 in")
	_, versions, err := v.between(b, kept.Brief, string(wide.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	next := get(t, bed+"/next").body
	shown := figuresShown(t, get(t, bed+"/plan").body)
	rows := figureRow.FindAllStringSubmatch(next[strings.LastIndex(next, "<caption>"):], -1)
	for _, d := range versions {
		rows = append(rows, []string{"", d.Name, d.Before})
	}
	days := 0
	for _, r := range rows {
		if said := strings.Join(strings.Fields(r[1]+" "+r[2]), " "); !strings.Contains(shown, said) {
			t.Errorf("%q is not what the plan says", said)
		}
		if r[1] == "Sow first" {
			days++
		}
	}
	if days == 0 {
		t.Errorf("no day is told: %q", rows)
	}
}

// When a log was followed the next key goes on from what the keys before it made, and the same plan stands beside the form as where nothing
// was typed before.
func TestAKeyGoesOnWhenALogWasFollowed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := emptyStore(t)
	id, day := grown(t, s, 30)
	now := func() time.Time { return day }
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: now}
	bed := serving(t, h).URL + "/beds/" + id
	release := engaged(t, h)
	fields := fieldsOf(t, get(t, bed+"/brief", "Prefer", "wait=0").body)
	fields.Set("raft.spacing", "8 in")
	untaught := figuresShown(t, post(t, bed+"/brief/look", fields).body)
	before := h.memory.of(id, day)
	release()
	for end := time.Now().Add(20 * time.Second); h.follower.waits() || working(h); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the log is not followed")
		}
	}
	taught := figuresShown(t, post(t, bed+"/brief/look", fields).body)
	if taught == untaught {
		t.Error("the log teaches nothing")
	}
	if h.memory.of(id, day) != before {
		t.Error("what the keys before it made is forgotten")
	}
	fresh := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: now}
	if got := figuresShown(t, post(t, serving(t, fresh).URL+"/beds/"+id+"/brief/look", fields).body); got != taught {
		t.Errorf("from nothing the form says\n%s\nafter other keys\n%s", got, taught)
	}
}

// BenchmarkKeyOfALog measures what a key costs the server at the form of a bed with a log.
func BenchmarkKeyOfALog(b *testing.B) {
	for _, visits := range []int{28, 200} {
		b.Run(fmt.Sprint(visits), func(b *testing.B) {
			s, err := store.Open(b.Context(), store.InFolder(b.TempDir()))
			if err != nil {
				b.Fatal(err)
			}
			b.Cleanup(func() { s.Close() })
			id, day := grown(b, s, visits)
			at := (&House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return day }}).Handler()
			ask := func(method, path, body string) string {
				w, r := httptest.NewRecorder(), httptest.NewRequest(method, "/beds/"+id+path, strings.NewReader(body))
				r.Host = "127.0.0.1"
				if method == http.MethodPost {
					r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
					r.Header.Set("Sec-Fetch-Site", "same-origin")
				}
				if at.ServeHTTP(w, r); w.Code != http.StatusOK {
					b.Fatal(w.Code, w.Body.String())
				}
				return w.Body.String()
			}
			form := fieldsOf(b, ask("GET", "/brief", ""))
			for n := 0; b.Loop(); n++ {
				form.Set("water.alkalinity", fmt.Sprintf("%d mg/L CaCO3", 100+n%150))
				ask("POST", "/brief/look", form.Encode())
			}
		})
	}
}

// Who opens the form does not wait for a log to be followed: the plan beside it goes on from what is known, and has the figures of its page
// once the log was followed, behind.
func TestTheFormWaitsForNoLog(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	s := emptyStore(t)
	id, day := grown(t, s, 30)
	h := &House{Store: s, Book: plan.DefaultBook(), Own: true, Now: func() time.Time { return day }}
	server := serving(t, h)
	bed := server.URL + "/beds/" + id
	hurried := figuresShown(t, get(t, bed+"/brief", "Prefer", "wait=0").body)
	for end := time.Now().Add(20 * time.Second); h.follower.waits() || working(h); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the log is not followed")
		}
	}
	want := figuresShown(t, get(t, bed+"/plan").body)
	if got := figuresShown(t, get(t, bed+"/brief", "Prefer", "wait=0").body); got != want {
		t.Errorf("once the log was followed the form says\n%s\nthe plan\n%s", got, want)
	}
	if hurried == want {
		t.Error("the first page waited for the log, or the log teaches nothing")
	}
}

func working(h *House) bool {
	h.follower.mutex.Lock()
	defer h.follower.mutex.Unlock()
	return h.follower.works
}

// What stands beside a form is that of the whole plan, though what would help is not looked for there: of a harvest that falls short, of a
// crop without a good week, and of each example.
func TestBesideTheFormStandsTheWholePlan(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	files, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatal(files, err)
	}
	texts := map[string]string{"no good week": "raftwright: 1\nsite: {latitude: 12, elevation: 50 m, months: [" + strings.Repeat("{tmax: 36 C, tmin: 26 C}, ", 12) + "]}\nbed: {length: 8 ft, width: 4 ft}\ncrop: {name: lettuce}\n"}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		texts[f] = string(text)
	}
	h := &House{Store: emptyStore(t), Book: plan.DefaultBook(), Own: true, Now: time.Now}
	v, err := h.background(t.Context(), "en")
	if err != nil {
		t.Fatal(err)
	}
	helped, closed := 0, false
	for name, text := range texts {
		b := aBed{Bed: store.Bed{ID: store.NewID(), Brief: text}, reading: h.memory.parse(text)}
		if _, err := h.Store.PutBed(t.Context(), store.Holder(), b.ID, text, plan.Code); err != nil {
			t.Fatal(err)
		}
		words, err := v.wordsFor(b.reading)
		if err != nil {
			t.Fatal(err)
		}
		typed, _, err := v.typedPlan(b)
		if err != nil {
			t.Fatal(err)
		}
		whole := v.job(b.brief(), b.wrong()).Make(nil)
		helped += len(whole.Helps)
		told := func(p plan.Plan, id finding.ID) bool {
			return slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return f.ID == id })
		}
		closed = closed || told(whole, plan.FindOtherCrop) || told(whole, plan.FindOpens)
		if told(typed, plan.FindOpens) {
			t.Errorf("%s: what would open weeks is looked for", name)
		}
		if len(typed.Helps) > 0 {
			t.Errorf("%s: what would help is looked for", name)
		}
		want, err := v.planBeside(b, whole.In("en"), words)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := v.planBeside(b, typed, words); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: beside the form stands another plan: %v", name, err)
		}
	}
	if helped == 0 || !closed {
		t.Errorf("of %d helps, a crop without a good week %v: this test looks at nothing", helped, closed)
	}
}
