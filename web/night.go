package web

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"raftwright/finding"
	"raftwright/store"
)

// Rhythm of what is done for an office at night: from which hour of its clock, and how many
// backups are kept (our own choices).
const (
	nightFrom   = 3
	backupsKept = 14
	mostAsked   = time.Second // what is written meanwhile is asked for together
	lastWork    = 5 * time.Second
)

// shareWork asks the queue of the store for what is due, and does what the queue gives this
// server, until it is told to end.
func (h *House) shareWork(ctx context.Context) {
	var queue *store.Queue
	night := ""
	for ctx.Err() == nil {
		err := func() (err error) {
			if queue == nil {
				if queue, err = h.Store.Queue(ctx, store.Work{Reckon: h.reckonShared, Night: h.night}, h.warnings()); err != nil {
					queue = nil
					return err
				}
			}
			due, err := h.Store.AttentionDue(ctx, h.Now(), "", 1)
			if err == nil && len(due) > 0 {
				err = queue.Reckon(ctx)
			}
			now := h.Now().Local()
			if day := now.Format(time.DateOnly); err == nil && now.Hour() >= nightFrom && day != night {
				if err = queue.Night(ctx, day); err == nil {
					night = day
				}
			}
			return err
		}()
		if err != nil && ctx.Err() == nil && h.Log != nil {
			h.Log.Error("queue", "fault", ours(err))
		}
		select {
		case <-ctx.Done():
		case <-time.After(mostAsked):
			h.idle(ctx)
		}
	}
	if queue != nil {
		last, cancel := context.WithTimeout(context.WithoutCancel(ctx), lastWork)
		defer cancel()
		if err := queue.Stop(last); err != nil && h.Log != nil {
			h.Log.Error("queue", "fault", ours(err))
		}
	}
}

// mostShared is how long one server reckons before another may: less than the queue allows.
const mostShared = 40 * time.Second

// reckonShared reckons what is due for as long as one server may; the rest is asked for again.
func (h *House) reckonShared(ctx context.Context) error {
	some, cancel := context.WithTimeout(ctx, mostShared)
	defer cancel()
	err := h.reckonDue(some)
	if errors.Is(some.Err(), context.DeadlineExceeded) && ctx.Err() == nil {
		return nil
	}
	return bare(err)
}

// night does what is done once in a night: what is over is forgotten, names and contacts of consents that end by then too, and a backup is kept.
func (h *House) night(ctx context.Context, day string) error {
	err := h.Store.Sweep(ctx)
	if err == nil {
		err = h.forgetOn(ctx, day)
	}
	if err == nil && h.Backups != "" {
		err = h.Store.NightBackup(ctx, h.Backups, day, backupsKept)
	}
	return bare(err)
}

// bare takes from a fault what somebody wrote: the queue keeps and logs it.
func bare(err error) error {
	var f finding.Fault
	if errors.As(err, &f) {
		return finding.Fault{ID: f.ID}
	}
	return err
}

// warnings is the log for what a library tells: what is ordinary stays out.
func (h *House) warnings() *slog.Logger {
	if h.Log == nil {
		return nil
	}
	return slog.New(loud{h.Log.Handler()})
}

type loud struct{ slog.Handler }

// Enabled lets warnings through and what is worse.
func (l loud) Enabled(_ context.Context, level slog.Level) bool { return level >= slog.LevelWarn }
