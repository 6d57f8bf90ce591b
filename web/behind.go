package web

import (
	"context"
	"fmt"
	"net/http"
	"runtime"
	"runtime/debug"
	"sync"

	"raftwright/lang"
)

// giveWay does work that requests go before on a thread of its own, which the system lets step back where it can, and
// waits for it. It asks nothing of the store: whoever holds a lock steps back for nobody.
func (v *visit) giveWay(do func()) {
	if !v.yields {
		do()
		return
	}
	if v.lanes.goFirst {
		v.lanes.add(1)
		defer v.lanes.add(-1)
	}
	done := make(chan struct{})
	var broken any // our own mistake, met there
	go func() {
		defer close(done)
		runtime.LockOSThread() // and never unlocked: the thread ends with the work
		stepBack(v.hurries)
		defer func() { broken = recover() }()
		do()
	}()
	if <-done; broken != nil {
		panic(broken)
	}
}

// broke is our own mistake, met where nobody waits: it ends what was being worked out, and not the server.
type broke struct {
	what  any
	where []byte
}

func (b broke) Error() string { return fmt.Sprintf("%v\n%s", b.what, b.where) }

// unbroken does some work of ours behind, and gives a mistake in it as an error.
func unbroken(do func() error) (err error) {
	defer func() {
		if what := recover(); what != nil {
			err = broke{what, debug.Stack()}
		}
	}()
	return do()
}

// GoFirst lets requests have every processor of this process while work that stepped back stands still in the middle of what it does: the
// system gave its processor to them, and meanwhile the process has a place to run more.
func (h *House) GoFirst() {
	h.turns.begin()
	h.lanes.goFirst = true
}

// lanes are where the process runs: as many as there are processors, and one more for each thing that steps back. At other times nobody but
// who tidies the memory would have a use for it, and would take a processor from requests there.
type lanes struct {
	goFirst bool
	mutex   sync.Mutex
}

func (l *lanes) add(n int) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	runtime.GOMAXPROCS(runtime.GOMAXPROCS(0) + n)
}

// takeBehind waits for the turn of work that requests go before: one thing at a time, beside those that somebody waits for.
func (t *turns) takeBehind(ctx context.Context) (done func(), err error) {
	t.begin()
	return turn(ctx, t.behind)
}

// takeBehindUnless does the same, but where called comes first there is no turn: nil.
func (t *turns) takeBehindUnless(ctx context.Context, called <-chan struct{}) (done func(), err error) {
	t.begin()
	select {
	case t.behind <- struct{}{}:
		return func() { <-t.behind }, nil
	case <-called:
		return nil, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// takeAhead waits for the turn of a log at which somebody waits: one at a time, beside what nobody waits for.
func (t *turns) takeAhead(ctx context.Context) (done func(), err error) {
	t.begin()
	return turn(ctx, t.ahead)
}

// tryOut makes the form of the demonstration in each language and drops it: what is read or made ready where it is first
// asked for is there then, before the first of many comes.
func (h *House) tryOut(ctx context.Context) error {
	for _, language := range lang.Languages() {
		v, err := h.background(ctx, language)
		if err != nil {
			return err
		}
		v.yields = true
		if v.Request, err = http.NewRequestWithContext(ctx, http.MethodGet, "/beds/"+demonstration+"/brief", nil); err != nil {
			return err
		}
		v.SetPathValue("bed", demonstration)
		v.out = nowhere{}
		b, err := v.theBed()
		if err != nil {
			return err
		}
		next, _ := b.brief().Set("log", "") // no log is followed for it
		b.reading = readAs(next, nil)
		done, err := h.turns.takeBehind(ctx)
		if err != nil {
			return err
		}
		v.giveWay(func() { err = v.triedOut(b) })
		if done(); err != nil {
			return err
		}
	}
	return nil
}

func (v *visit) triedOut(b aBed) error {
	body, err := v.formOf(b)
	if err != nil {
		return err
	}
	if err := v.showAsForm(b, http.StatusOK, body); err != nil {
		return err
	}
	body.Said = body.said()
	s := v.of(b, "brief")
	s.Body = body
	return v.write(http.StatusOK, "brief", "look", s)
}

// nowhere is where a page is written that nobody asked for.
type nowhere struct{}

func (nowhere) Header() http.Header            { return http.Header{} }
func (nowhere) Write(page []byte) (int, error) { return len(page), nil }
func (nowhere) WriteHeader(int)                {}
