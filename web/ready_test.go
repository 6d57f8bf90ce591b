package web

import (
	"errors"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/store"
)

// ready is a store as several tests begin with it: filled once, copied for each. To fill a book takes a while,
// and a password is dear to keep on purpose.
type ready struct {
	making   sync.Mutex
	file     []byte
	askers   []asker // without a client
	cookies  [][]*http.Cookie
	stranger string
}

var empty, staffed, filled, staffedAndFilled ready

var aside sync.Map // tests that run beside others

// beside lets tests run side by side: each has a house of its own, and a window of the browser.
func beside(t *testing.T) {
	if strings.Contains(t.Name(), "/") {
		return
	}
	if _, already := aside.LoadOrStore(t, true); !already {
		t.Parallel()
	}
}

// made gives the file; the first that asks makes it, from what another began with.
func (r *ready) made(t *testing.T, from func() []byte, fill func(*store.Store)) []byte {
	t.Helper()
	r.making.Lock()
	defer r.making.Unlock()
	if r.file == nil {
		var begun []byte
		if from != nil {
			begun = from()
		}
		s, at := copied(t, begun)
		fill(s)
		err := s.Close()
		file, err2 := os.ReadFile(at)
		if err := errors.Join(err, err2); err != nil {
			t.Fatal(err)
		}
		r.file = file
	}
	return r.file
}

// copied opens a copy of a file.
func copied(t *testing.T, file []byte) (s *store.Store, at string) {
	t.Helper()
	at = store.InFolder(filepath.Join(t.TempDir(), "kept"))
	err := os.MkdirAll(filepath.Dir(at), 0o700)
	if err == nil {
		err = os.WriteFile(at, file, 0o600)
	}
	s, err2 := store.Open(t.Context(), at)
	if err := errors.Join(err, err2); err != nil {
		t.Fatal(err)
	}
	return s, at
}

// open gives a test a copy of its own.
func (r *ready) open(t *testing.T, from func() []byte, fill func(*store.Store)) *store.Store {
	t.Helper()
	s, _ := copied(t, r.made(t, from, fill))
	return s
}

// serving serves an application on a store until the test ends.
func serving(t *testing.T, h *House) *httptest.Server {
	t.Helper()
	if h.Now == nil {
		h.Now = func() time.Time { return time.Date(2027, 5, 11, 8, 0, 0, 0, time.Local) }
	}
	if h.Patience == 0 { // a page with its advice, however much else the machine does
		h.Patience = time.Minute
	}
	if h.Demo == nil {
		h.Demo = []byte(invented)
	}
	server := httptest.NewServer(h.Handler())
	t.Cleanup(func() { server.Close(); h.Store.Close() })
	return server
}

// house serves an application on a store of its own.
func house(t *testing.T) *httptest.Server {
	t.Helper()
	return serving(t, &House{Store: emptyStore(t), Book: plan.DefaultBook(), Own: true})
}

// houseWithYear is a house whose book holds the invented year.
func houseWithYear(t *testing.T) *httptest.Server {
	t.Helper()
	return serving(t, &House{Store: yearStore(t), Book: plan.DefaultBook(), Own: true})
}

func emptyStore(t *testing.T) *store.Store {
	t.Helper()
	beside(t)
	return empty.open(t, nil, func(*store.Store) {})
}

func yearStore(t *testing.T) *store.Store {
	t.Helper()
	beside(t)
	return filled.open(t, nil, func(s *store.Store) { fillYear(t, s) })
}

// fillYear fills the book of a store with the invented year.
func fillYear(t *testing.T, s *store.Store) {
	t.Helper()
	server := httptest.NewServer((&House{Store: s, Book: plan.DefaultBook(), Own: true}).Handler())
	defer server.Close()
	_, archive := inventedYear(t)
	if got := sendBook(t, server, archive); got.status != http.StatusOK {
		t.Fatal(got.status)
	}
}

// staffedHouse is an office with one of each who can ask, and a bed of a stranger.
func staffedHouse(t *testing.T) (server *httptest.Server, kept *store.Store, askers []asker, stranger string) {
	t.Helper()
	beside(t)
	return staffed.office(t, staffed.open(t, nil, func(s *store.Store) { staffed.hire(t, s) }))
}

// staffedYear is that office with the invented year in its book.
func staffedYear(t *testing.T) (server *httptest.Server, kept *store.Store, askers []asker, stranger string) {
	t.Helper()
	beside(t)
	office := func() []byte { return staffed.made(t, nil, func(s *store.Store) { staffed.hire(t, s) }) }
	return staffed.office(t, staffedAndFilled.open(t, office, func(s *store.Store) { fillYear(t, s) }))
}

func (r *ready) office(t *testing.T, s *store.Store) (server *httptest.Server, kept *store.Store, askers []asker, stranger string) {
	t.Helper()
	server = serving(t, &House{Store: s, Book: plan.DefaultBook()})
	here, _ := url.Parse(server.URL)
	for i, a := range r.askers {
		a.client = &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		if len(r.cookies[i]) > 0 {
			a.client.Jar, _ = cookiejar.New(nil)
			a.client.Jar.SetCookies(here, r.cookies[i])
		}
		askers = append(askers, a)
	}
	return server, s, askers, r.stranger
}

// hire opens the accounts, signs everybody in, and gives away a link and a key.
func (r *ready) hire(t *testing.T, s *store.Store) {
	t.Helper()
	server := httptest.NewServer((&House{Store: s, Book: plan.DefaultBook(), Demo: []byte(invented)}).Handler())
	defer server.Close()
	here, _ := url.Parse(server.URL)
	r.askers, r.cookies = nil, nil
	comes := func(name string, in func(*http.Client) (*http.Response, error), to string) []*http.Cookie {
		jar, _ := cookiejar.New(nil)
		resp, err := in(&http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }})
		if err != nil || resp.StatusCode != http.StatusSeeOther || to != "" && resp.Header.Get("Location") != to {
			t.Fatal(name, err, resp)
		}
		resp.Body.Close()
		return jar.Cookies(here)
	}
	var grower store.Who
	for _, role := range []store.Role{store.Educator, store.Volunteer, store.Grower, "stranger"} {
		id, as := store.NewID(), role
		if as == "stranger" {
			as = store.Grower
		}
		if err := s.AddAccount(t.Context(), store.Holder(), id, as, "Invented "+string(role), "", "invented words"); err != nil {
			t.Fatal(err)
		}
		session := comes(string(role), func(c *http.Client) (*http.Response, error) {
			return c.PostForm(server.URL+"/sign-in", url.Values{"name": {"Invented " + string(role)}, "password": {"invented words"}})
		}, "")
		who, err := s.BySession(t.Context(), session[0].Value)
		if err != nil {
			t.Fatal(err)
		}
		bed := store.NewID()
		if _, err := s.PutBed(t.Context(), who, bed, invented, plan.Code); err != nil {
			t.Fatal(err)
		}
		if role == "stranger" {
			r.stranger = bed
			continue
		}
		if role == store.Grower {
			grower = who
		}
		r.askers, r.cookies = append(r.askers, asker{name: string(role), bed: bed}), append(r.cookies, session)
	}
	own := r.askers[2].bed
	link, err := s.GivePass(t.Context(), grower, store.NewID(), store.Link, own, "", "invented link")
	if err != nil {
		t.Fatal(err)
	}
	key, err := s.GivePass(t.Context(), grower, store.NewID(), store.Key, own, "", "invented probe")
	if err != nil {
		t.Fatal(err)
	}
	byLink := comes("link", func(c *http.Client) (*http.Response, error) { return c.Get(server.URL + "/with/" + link) }, "/beds/"+own+"/today")
	r.askers = append(r.askers, asker{name: "link", bed: own}, asker{name: "key", bearer: key, bed: own}, asker{name: "nobody", bed: own})
	r.cookies = append(r.cookies, byLink, nil, nil)
}
