package web

import (
	"context"
	"net/http"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"raftwright/store"
)

// turns let as many plans be made at a time as there are processors, so that what is quick does
// not wait behind what is long, and a crowd takes no more memory than a few.
type turns struct {
	once   sync.Once
	slots  chan struct{}
	pages  chan struct{} // for plans of pages: one turn is left to who types
	fits   chan struct{} // for those that follow a whole log: one turn is left to plans
	behind chan struct{} // for what nobody waits for
	ahead  chan struct{} // for logs at which somebody waits, beside that
	under  atomic.Int64  // requests that are being answered
}

// take waits for a turn to make the plan of a page.
func (t *turns) take(ctx context.Context) (done func(), err error) {
	t.begin()
	return turn(ctx, t.pages, t.slots)
}

// takeKey waits for a turn to make the plan after a key.
func (t *turns) takeKey(ctx context.Context) (done func(), err error) {
	t.begin()
	return turn(ctx, t.slots)
}

// takeFit waits for a turn to follow a whole log, which takes many times as long as a plan.
func (t *turns) takeFit(ctx context.Context) (done func(), err error) {
	t.begin()
	return turn(ctx, t.fits, t.slots)
}

func (t *turns) begin() {
	t.once.Do(func() {
		n := max(1, runtime.GOMAXPROCS(0))
		t.slots, t.behind, t.ahead = make(chan struct{}, n), make(chan struct{}, 1), make(chan struct{}, 1)
		t.pages, t.fits = make(chan struct{}, max(1, n-1)), make(chan struct{}, max(1, n-1))
	})
}

// turn waits for a turn of each of some kinds, one after the other.
func turn(ctx context.Context, kinds ...chan struct{}) (done func(), err error) {
	for i, of := range kinds {
		select {
		case of <- struct{}{}:
		case <-ctx.Done():
			for _, taken := range kinds[:i] {
				<-taken
			}
			return nil, ctx.Err()
		}
	}
	return func() {
		for _, taken := range kinds {
			<-taken
		}
	}, nil
}

// spare takes a turn that nobody waits for, if there is one, for who has one and could work faster with two.
func (t *turns) spare() (done func(), ok bool) {
	select {
	case t.slots <- struct{}{}:
		return func() { <-t.slots }, true
	default:
		return nil, false
	}
}

// Turn waits until a plan may be made, for whoever makes some beside the pages.
func (h *House) Turn(ctx context.Context) (done func(), err error) { return h.turns.take(ctx) }

// long are the addresses for which a plan is made, or more. Those that as a rule know it already take their turn
// only where they do not.
var long = map[string]bool{
	"GET /beds/{bed}/brief": false, "POST /beds/{bed}/brief": true, typing: true, "POST /beds/{bed}/brief/matters": true, "GET /beds/{bed}/versions": true,
	"GET /beds/{bed}/today": false, "GET /beds/{bed}/seen": false, "GET /beds/{bed}/dates": false, "GET /beds/{bed}/dates.ics": false,
	"GET /calendar/{feed}": false, "GET /beds/{bed}/history": false,
	"GET /beds/{bed}/plan": false, "GET /beds/{bed}/plan/{section}": true, "GET /beds/{bed}/working": true, "GET /beds/{bed}/working/{figure}": true, "GET /beds/{bed}/packet.pdf": true, "GET /beds/{bed}/packet.html": true,
	"GET /beds/{bed}/packet": true, "GET /beds/{bed}/packet/{face}": true, "GET /beds/{bed}/held": true,
	"GET /beds/{bed}/next": true, "GET /beds/{bed}/import": true, "POST /beds/{bed}/import": true, "GET /beds/{bed}/fill": true, "POST /beds/{bed}/fill": true,
	"GET /beds/{bed}/workshop": true, "POST /beds/{bed}/workshop": true, "GET /beds/{bed}/workshop.pdf": true, "GET /beds/{bed}/workshop.zip": true,
	"POST /beds/{bed}/trials": true, "GET /beds/{bed}/trials/{trial}": true, "POST /beds/{bed}/trials/{trial}": true, "GET /beds/{bed}/trials/{trial}/paper.pdf": true,
	"GET /beds/{bed}/papers/{paper}": true, "POST /beds/{bed}/papers/{paper}": true, "POST /beds/{bed}/papers/{paper}/paper.pdf": true, "POST /beds/{bed}/papers/{paper}/paper.html": true,
}

// dear are those for which many plans are made, or a whole paper is set.
var dear = map[string]bool{
	"GET /beds/{bed}/workshop": true, "GET /beds/{bed}/workshop.pdf": true, "GET /beds/{bed}/workshop.zip": true,
	"GET /beds/{bed}/packet.pdf": true, "GET /beds/{bed}/packet.html": true,
}

// Bounds of the plans that one address asks for in a quarter of an hour without an account
// (our own choice: a class behind one address looks at the demonstration).
const mostLong, mostDear = 300, 20

// byLink is how many times as many the holders of the links of a bed get together, for that bed: not each other's, though they sit behind one address.
const byLink = 4

// bounded counts what somebody without an account asks of the long addresses, by where they
// come from or by the bed whose link they hold, for all servers on the store together.
func (v *visit) bounded() error {
	if v.Own || v.out == nil || v.who.Account() != "" { // nil: no page is asked for
		return nil
	}
	what, most, from := "long:", mostLong, v.address(v.Request)
	if dear[v.Pattern] {
		what, most = "dear:", mostDear
	}
	if bed := v.who.Bed(); bed != "" { // a class that stands at one bed, each with a phone that fetches its pages ahead
		most, from = most*byLink, "bed:"+bed
	}
	if err := v.Store.Attempt(v.context(), what+from, most, triesIn); store.Is(err, store.FaultOften) {
		return err
	}
	return nil // a store that cannot count keeps nobody from looking
}

// inTurn does what answers a page, in turn where it is long.
func (v *visit) inTurn(do func(*visit) error) error {
	if long[v.Pattern] && !(v.Pattern == "GET /beds/{bed}/versions" && v.FormValue("from") == "") { // the list alone makes no plan
		done, err := v.turn()
		if err != nil {
			return err
		}
		defer done()
	}
	return do(v)
}

// turn waits until a plan may be made for whoever asks.
func (v *visit) turn() (done func(), err error) {
	if err := v.bounded(); err != nil {
		return nil, err
	}
	if v.Pattern == typing {
		return v.turns.takeKey(v.context())
	}
	return v.Turn(v.context())
}

// typing is the address to which a form is sent at each key.
const typing = "POST /beds/{bed}/brief/look"

// turnToFit waits until a log may be followed for whoever asks.
func (v *visit) turnToFit() (done func(), err error) {
	if err := v.bounded(); err != nil {
		return nil, err
	}
	return v.turns.takeFit(v.context())
}

// counted counts the requests that are being answered.
func (t *turns) counted(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		t.under.Add(1)
		defer t.under.Add(-1)
		next.ServeHTTP(w, r)
	})
}

// yields is how long work that nobody waits for lets requests go first.
const yields = 2 * time.Second

// yield waits until nothing is being answered, and nothing for which somebody asked waits; but not for ever.
func (t *turns) yield(ctx context.Context, waits func() bool) {
	yield(ctx, func() bool { return t.under.Load() > 0 || waits() })
}

// yield waits until something is not so any more, but not for ever.
func yield(ctx context.Context, to func() bool) {
	for end := time.Now().Add(yields); to() && time.Now().Before(end); {
		select {
		case <-ctx.Done():
			return
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// rests is how much longer than it took work that nobody waits for rests while something is being answered, and atMost how long.
const rests, atMost = 3, 5 * time.Second

// rest lets requests go on after work that took so long.
func (t *turns) rest(ctx context.Context, took time.Duration) {
	if t.under.Load() == 0 {
		return
	}
	select {
	case <-ctx.Done():
	case <-time.After(min(rests*took, atMost)):
	}
}
