package web

import (
	"context"
	"runtime"
)

// giveWay does work that requests go before on a thread of its own, which the system lets step back where it can, and
// waits for it. It asks nothing of the store: whoever holds a lock steps back for nobody.
func (v *visit) giveWay(do func()) {
	if !v.yields {
		do()
		return
	}
	done := make(chan struct{})
	var broken any // our own mistake, met there
	go func() {
		defer close(done)
		runtime.LockOSThread() // and never unlocked: the thread ends with the work
		stepBack()
		defer func() { broken = recover() }()
		do()
	}()
	if <-done; broken != nil {
		panic(broken)
	}
}

// GoFirst lets requests have every processor of this process while work that stepped back stands still in the middle of what it does: the
// system gave its processor to them, and it keeps a place to run for which nobody else has a use.
func (h *House) GoFirst() {
	h.turns.begin()
	runtime.GOMAXPROCS(runtime.GOMAXPROCS(0) + 1)
}

// takeBehind waits for the turn of work that requests go before: one thing at a time, beside those that somebody waits for.
func (t *turns) takeBehind(ctx context.Context) (done func(), err error) {
	t.begin()
	return turn(ctx, t.behind)
}
