package web

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"net"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"time"

	"raftwright/finding"
	"raftwright/store"
)

// Cookies that say who asks: the token of a session, and for each bed that somebody holds
// a link of, its secret under the name of the bed.
const (
	cookieSession = "session"
	cookieLink    = "bed-"
	cookieKnown   = "known" // marks of who has signed in here, see store.Mark
)

// Faults of who asks.
const (
	FaultSignIn finding.ID = "web.fault.sign_in" // nobody is signed in
	FaultFirst  finding.ID = "web.fault.first"   // another computer, and not the code of the first account
	FaultOver   finding.ID = "web.fault.over"    // an invitation or a link that opens nothing any more
)

// Bounds of tries in a quarter of an hour. ASVS 4.0.3, 2.2.1, allows no more than 100 an
// hour on one account; many people of a school sit behind one address.
const (
	mostTries, mostTriesFrom = 20, 60
	triesIn                  = 15 * time.Minute
)

// keepsMarks is how long a browser keeps by what it is known again.
const keepsMarks = 365 * 24 * time.Hour

// asks tells who asks: the holder of the store on one's own computer, else whoever the
// bearer key, the session, or the link of the bed of the address belongs to. Nobody is
// the zero Who, who may do nothing. Pages and API ask here alone.
func (h *House) asks(r *http.Request) (store.Who, error) {
	if h.Own {
		// a page of another site can give its own name this computer's number; then the browser
		// would let it read what we answer (DNS rebinding)
		if !loopback(r.Host) {
			return store.Who{}, finding.Fault{ID: FaultHost, Args: finding.Args{"Host": r.Host}}
		}
		return store.Holder(), nil
	}
	if kind, key, ok := strings.Cut(r.Header.Get("Authorization"), " "); ok && strings.EqualFold(kind, "Bearer") {
		return h.Store.ByPass(r.Context(), strings.TrimSpace(key))
	}
	var who store.Who
	if token := h.cookie(r, cookieSession); token != "" {
		var err error
		if who, err = h.Store.BySession(r.Context(), token); err != nil && !store.Is(err, store.FaultSignIn) {
			return who, err
		}
	}
	bed := r.PathValue("bed")
	link := h.cookie(r, cookieLink+bed)
	if bed == "" || link == "" {
		return who, nil
	}
	if who.Role() != "" { // signed in: the link opens what the account does not
		if _, err := h.Store.Bed(r.Context(), who, bed); !store.Is(err, store.FaultNotFound) {
			if store.WasRemoved(err) { // as the page says that answers
				err = nil
			}
			return who, err
		}
	}
	guest, err := h.Store.ByPass(r.Context(), link)
	if store.Is(err, store.FaultSignIn) || err == nil && guest.Bed() != bed {
		return who, nil
	}
	return guest, err
}

// loopback tells whether a host, with or without a port, is this computer by its own name.
func loopback(host string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// secure tells whether what goes to the browser is encrypted on its way.
func (h *House) secure(r *http.Request) bool { return r.TLS != nil || h.Proxy }

// cookieName gives the name of a cookie that says who asks. Over TLS no other host and no
// page without TLS can set one with this prefix.
func (h *House) cookieName(r *http.Request, name string) string {
	if h.secure(r) {
		return "__Host-" + name
	}
	return name
}

func (h *House) cookie(r *http.Request, name string) string {
	if c, err := r.Cookie(h.cookieName(r, name)); err == nil {
		return c.Value
	}
	return ""
}

// setCookie keeps a secret in the browser for so long; an empty one is taken away.
func (v *visit) setCookie(name, value string, lasts time.Duration) {
	c := &http.Cookie{Name: v.cookieName(v.Request, name), Value: value, Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: v.secure(v.Request), MaxAge: int(lasts / time.Second)}
	if value == "" {
		c.MaxAge = -1
	}
	http.SetCookie(v.out, c)
}

// address is where a request comes from, as tries are counted: of a network of version 6
// one household has the last 64 bits.
func (h *House) address(r *http.Request) string {
	host, _, _ := net.SplitHostPort(r.RemoteAddr)
	if h.Proxy { // what the proxy itself wrote is the last
		list := strings.Split(r.Header.Get("X-Forwarded-For"), ",")
		host = strings.TrimSpace(list[len(list)-1])
	}
	if ip := net.ParseIP(host); ip != nil && ip.To4() == nil {
		return ip.Mask(net.CIDRMask(64, 128)).String()
	}
	return host
}

// welcome are the addresses that answer who is not signed in.
var welcome = map[string]bool{
	"GET /{$}": true, "POST /language": true, "GET /language": true, "POST /here": true, "/": true,
	"GET /first": true, "GET /sign-in/passkey": true,
	"GET /sign-in": true, "POST /sign-in": true, "POST /sign-out": true, "POST /first": true,
	"POST /sign-in/ask": true, "POST /sign-in/passkey": true, "POST /join/{invitation}/ask": true,
	"GET /join/{invitation}": true, "POST /join/{invitation}": true, "GET /with/{link}": true,
	"GET /now": true, "GET /away": true,
	"GET /answer/{link}": true, "POST /answer/{link}": true,
	"GET /calendar/{feed}": true, // its address says who asks
}

// gate lets nobody in who is nobody: a page leads to where one signs in, and what was to be
// written is refused. The demonstration may be looked at by all.
func (v *visit) gate() error {
	if v.Own || v.who.Role() != "" || welcome[v.Pattern] || v.Method == http.MethodGet && v.PathValue("bed") == demonstration {
		return nil
	}
	return finding.Fault{ID: FaultSignIn}
}

// toSignIn leads who asked for a page to where one signs in, and afterwards back.
func (v *visit) toSignIn() error {
	return v.to("/sign-in?" + url.Values{"to": {v.URL.RequestURI()}}.Encode())
}

// first is what is known of the first account.
type first struct {
	mutex sync.Mutex
	made  bool
	code  string
}

// FirstCode gives the code with which somebody at another computer opens the first account,
// "" where there is an account.
func (h *House) FirstCode(ctx context.Context) (string, error) {
	f := &h.first
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if f.made || h.Own {
		return "", nil
	}
	n, err := h.Store.Accounts(ctx)
	if err != nil {
		return "", err
	}
	if f.made = n > 0; f.made {
		f.code = ""
	} else if f.code == "" {
		f.code = rand.Text()[:16] // 80 bits, and tries are counted
	}
	return f.code, nil
}

// atHome tells whether a request comes from this computer itself, by its own name and
// through nobody.
func (h *House) atHome(r *http.Request) bool {
	host, _, _ := net.SplitHostPort(r.RemoteAddr)
	ip := net.ParseIP(host)
	for _, sign := range []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip", "Via"} {
		if r.Header.Get(sign) != "" {
			return false
		}
	}
	return !h.Proxy && ip != nil && ip.IsLoopback() && loopback(r.Host)
}

// mayBegin tells whether a request may open the first account.
func (h *House) mayBegin(r *http.Request, code string) bool {
	typed := strings.ToUpper(strings.Join(strings.Fields(r.PostFormValue("code")), ""))
	return h.atHome(r) || code != "" && subtle.ConstantTimeCompare([]byte(typed), []byte(code)) == 1
}

// mayChange refuses who may see a bed but not change its brief.
func (v *visit) mayChange(b aBed) error {
	if v.who.Changes(b.Bed) {
		return nil
	}
	return finding.Fault{ID: store.FaultForbidden, Args: finding.Args{"Thing": finding.Word("store.word.bed"), "Name": b.ID}}
}
