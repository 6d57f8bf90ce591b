package web

import (
	"errors"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/store"
)

// ready is a store as several tests begin with it: filled once, copied for each. To fill a book takes a second,
// and a password is dear to keep on purpose.
type ready struct {
	file     []byte
	askers   []asker // without a client
	cookies  [][]*http.Cookie
	stranger string
}

var empty, staffed, filled, staffedAndFilled ready // tests of this room do not run side by side

// open gives a test a copy; the first that asks makes it, from what another began with.
func (r *ready) open(t *testing.T, from []byte, fill func(*store.Store)) *store.Store {
	t.Helper()
	at := store.InFolder(filepath.Join(t.TempDir(), "kept"))
	copied := func(file []byte) *store.Store {
		err := os.MkdirAll(filepath.Dir(at), 0o700)
		if err == nil {
			err = os.WriteFile(at, file, 0o600)
		}
		s, err2 := store.Open(t.Context(), at)
		if err := errors.Join(err, err2); err != nil {
			t.Fatal(err)
		}
		return s
	}
	if r.file == nil {
		s := copied(from)
		fill(s)
		err := s.Close()
		file, err2 := os.ReadFile(at)
		if err := errors.Join(err, err2); err != nil {
			t.Fatal(err)
		}
		r.file = file
	}
	return copied(r.file)
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
	h.Demo = []byte(invented)
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
	return empty.open(t, nil, func(*store.Store) {})
}

func yearStore(t *testing.T) *store.Store {
	t.Helper()
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
	return staffed.office(t, staffed.open(t, nil, func(s *store.Store) { staffed.hire(t, s) }))
}

// staffedYear is that office with the invented year in its book.
func staffedYear(t *testing.T) (server *httptest.Server, kept *store.Store, askers []asker, stranger string) {
	t.Helper()
	r := &staffedAndFilled
	if r.file == nil {
		yearStore(t).Close()
	}
	return r.office(t, r.open(t, filled.file, func(s *store.Store) { r.hire(t, s) }))
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
	comes := func(a asker, in func(*http.Client) (*http.Response, error), to string) {
		jar, _ := cookiejar.New(nil)
		resp, err := in(&http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }})
		if err != nil || resp.StatusCode != http.StatusSeeOther || to != "" && resp.Header.Get("Location") != to {
			t.Fatal(a.name, err, resp)
		}
		resp.Body.Close()
		r.askers, r.cookies = append(r.askers, a), append(r.cookies, jar.Cookies(here))
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
		_, who, err := s.SignIn(t.Context(), "invented "+string(role), "invented words")
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
		comes(asker{name: string(role), bed: bed}, func(c *http.Client) (*http.Response, error) {
			return c.PostForm(server.URL+"/sign-in", url.Values{"name": {"Invented " + string(role)}, "password": {"invented words"}})
		}, "")
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
	comes(asker{name: "link", bed: own}, func(c *http.Client) (*http.Response, error) { return c.Get(server.URL + "/with/" + link) }, "/beds/"+own+"/today")
	r.askers = append(r.askers, asker{name: "key", bearer: key, bed: own}, asker{name: "nobody", bed: own})
	r.cookies = append(r.cookies, nil, nil)
}
