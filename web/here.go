package web

import (
	"net/http"
	"sync/atomic"
	"time"
)

// mostPages bounds the pages whose signs are remembered, signs how long one is.
const (
	mostPages = 64
	signs     = 2 * time.Minute
)

// On one's own computer the program ends a while after the last page has gone: so long it waits for the first page, after the
// last sign, and after a page was asked for that gives no signs, since its reader lets no script run.
const (
	firstPage   = 10 * time.Minute
	lastPage    = signs
	silentPages = time.Hour
)

// lastSeen are the moments of the last sign of a page, that it is open or goes, and of the last page that was answered; nil: none yet. They are kept as
// they were read, for a computer that slept has another clock than its day.
type lastSeen struct{ sign, answer atomic.Pointer[time.Time] }

// here is the sign that a page is still open, on one's own computer.
func (v *visit) here() error {
	if v.Own {
		name, now := v.PostFormValue("page"), v.Now()
		v.lastSeen.sign.Store(&now)
		if v.PostFormValue("left") != "" {
			v.seen.Delete(name)
		} else if len(name) <= 64 && v.Open(now.Add(-signs)) < mostPages {
			v.seen.Store(name, now)
		}
	}
	v.out.WriteHeader(http.StatusNoContent)
	return nil
}

// Open counts the pages that gave a sign since a moment. Those that did not are forgotten.
func (h *House) Open(since time.Time) (n int) {
	h.seen.Range(func(name, at any) bool {
		if at.(time.Time).Before(since) {
			h.seen.Delete(name)
		} else {
			n++
		}
		return true
	})
	return n
}

// Deserted tells whether nobody sits before the pages of one's own computer any more, begun being when the program began. A page that has gone
// may be one in whose place another is on its way, so that it is waited for as long as for a sign.
func (h *House) Deserted(begun, now time.Time) bool {
	if h.Open(now.Add(-signs)) > 0 {
		return false
	}
	sign, answer := h.lastSeen.sign.Load(), h.lastSeen.answer.Load()
	switch {
	case sign == nil && answer == nil:
		return now.Sub(begun) > firstPage
	case sign == nil || answer != nil && answer.After(*sign):
		return now.Sub(*answer) > silentPages
	}
	return now.Sub(*sign) > lastPage
}
