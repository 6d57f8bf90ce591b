package api

import (
	"context"
	"sync"
	"time"

	"raftwright/store"
)

// Requests in a minute: of one key or account, and from one address on another computer; and
// how many wrong keys one address may try.
const mostEach, mostFrom, mostWrong = 1200, 6000, 60

// atOnce is how many requests a server takes from the count in the store at a time: the count
// holds for all servers together, and not every request writes.
const atOnce = 20

// leases are the requests that this server has taken and not yet used.
type leases struct {
	mutex sync.Mutex
	of    map[string]lease
}

type lease struct {
	left  int
	until time.Time
}

// mostLeases bounds what is remembered. Nothing is lost with it but a few requests.
const mostLeases = 10_000

// take counts a request, and is store.FaultOften where there were more than most in a minute.
func (l *leases) take(ctx context.Context, s *store.Store, what string, now time.Time, most int) error {
	l.mutex.Lock()
	x := l.of[what]
	if x.left > 0 && now.Before(x.until) {
		l.of[what] = lease{x.left - 1, x.until}
		l.mutex.Unlock()
		return nil
	}
	l.mutex.Unlock()
	some := min(atOnce, most)
	if err := s.Attempt(ctx, what, most/some, time.Minute); err != nil {
		return err
	}
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.of == nil || len(l.of) >= mostLeases {
		l.of = map[string]lease{}
	}
	l.of[what] = lease{some - 1, now.Add(time.Minute)}
	return nil
}
