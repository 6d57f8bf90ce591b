package store

import (
	"context"
	"log/slog"
	"sync/atomic"
	"time"
)

// How often a night's work is tried, and after what rest.
const (
	nightTries = 5
	nightRest  = time.Minute
)

// single does in the background what an office has to do, for the one server that an SQLite file has. It takes the place of the queue in the
// database on processors of 32 bits. What a server did not end before it died is due again when it is there: what beds need is kept beside
// them, and a night's work done twice does what it did once.
type single struct {
	work    Work
	log     *slog.Logger
	rest    time.Duration
	reckons chan struct{}
	nights  chan string
	asked   atomic.Value // the last night that was asked for, a string
	stop    context.CancelFunc
	over    chan struct{}
}

// singly begins to take work.
func singly(ctx context.Context, w Work, log *slog.Logger, rest time.Duration) *single {
	ctx, stop := context.WithCancel(context.WithoutCancel(ctx)) // end ends it
	s := &single{work: w, log: log, rest: rest, reckons: make(chan struct{}, 1), nights: make(chan string, 1), stop: stop, over: make(chan struct{})}
	go s.run(ctx)
	return s
}

// reckon asks for what is due. Where that waits already, nothing is added.
func (s *single) reckon() {
	select {
	case s.reckons <- struct{}{}:
	default:
	}
}

// night asks for the work of a night. Asked again it adds nothing.
func (s *single) night(ctx context.Context, day string) error {
	if s.asked.Swap(day) == day {
		return nil
	}
	select {
	case s.nights <- day:
	case <-s.over:
	case <-ctx.Done():
	}
	return ctx.Err()
}

func (s *single) run(ctx context.Context) {
	defer close(s.over)
	for ctx.Err() == nil {
		select {
		case <-ctx.Done():
		case <-s.reckons:
			s.within(ctx, mostReckon, s.work.Reckon)
		case day := <-s.nights:
			for try := 1; ctx.Err() == nil; try++ {
				if s.within(ctx, mostNight, func(ctx context.Context) error { return s.work.Night(ctx, day) }) || try == nightTries {
					break
				}
				select {
				case <-ctx.Done():
				case <-time.After(s.rest):
				}
			}
		}
	}
}

// within does a job for as long as it may take, and says whether it was done.
func (s *single) within(ctx context.Context, most time.Duration, do func(context.Context) error) bool {
	some, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	err := do(some)
	if err != nil && ctx.Err() == nil && s.log != nil {
		s.log.Error("queue", "error", err)
	}
	return err == nil
}

// end takes no more work and breaks off what is under way.
func (s *single) end(ctx context.Context) {
	s.stop()
	select {
	case <-s.over:
	case <-ctx.Done():
	}
}
