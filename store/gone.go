package store

import (
	"context"
	"time"
)

// mostGone is how long what was deleted may be waited for until it is gone from the log of changes too.
const mostGone = time.Second

// goneFromLog has what was deleted from an SQLite file deleted from its log of changes too, in which the pages of before stand until
// others are written over them. Where somebody reads what was before it is left to the night. PostgreSQL does it by its own rules.
func (s *Store) goneFromLog(ctx context.Context) {
	if !s.lite {
		return
	}
	ctx, end := context.WithTimeout(context.WithoutCancel(ctx), mostGone)
	defer end()
	conn, err := s.db.Conn(ctx)
	if err != nil {
		return
	}
	defer conn.Close()
	if _, err := conn.ExecContext(ctx, "PRAGMA busy_timeout(100)"); err != nil { // nobody waits long behind it
		return
	}
	_, _ = conn.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)") // what cannot be done now is done at night
	_, _ = conn.ExecContext(context.WithoutCancel(ctx), "PRAGMA busy_timeout(10000)")
}

// gone gives an error on, and sees to it that what was deleted without one is gone.
func (s *Store) gone(ctx context.Context, err error) error {
	if err == nil {
		s.goneFromLog(ctx)
	}
	return err
}
