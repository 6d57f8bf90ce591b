package store

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"

	"raftwright/store/rows"
)

// mostJoined bounds the entries that are written in one transaction, and longestJoined how long that may take.
const (
	mostJoined    = 64
	longestJoined = 30 * time.Second
)

// joined are the entries that wait to be written. What comes in while others are being written is written together
// after them: the disk is asked once for all of them, and so is a server.
type joined struct {
	mutex sync.Mutex
	waits []*toKeep
	under bool // somebody writes
}

// toKeep is an entry that waits to be written, and what became of it.
type toKeep struct {
	who     Who
	id, bed string
	at      time.Time
	pairs   []Pair
	past    Past
	made    bool
	done    chan error
}

// Keep keeps an entry. It returns once the entry is on the disk. The id is made by whoever
// sends it, so that sending it again adds nothing; made is false then.
func (s *Store) Keep(ctx context.Context, w Who, id, bedID string, at time.Time, pairs []Pair) (made bool, err error) {
	_, made, err = s.KeepPast(ctx, w, id, bedID, at, pairs)
	return made, err
}

// KeepPast does as Keep, and gives an entry that was made as it was kept.
func (s *Store) KeepPast(ctx context.Context, w Who, id, bedID string, at time.Time, pairs []Pair) (past Past, made bool, err error) {
	if err := cmp.Or(check(id, bedID), checkTime(at)); err != nil {
		return past, false, err
	}
	if pairs, err = tidy(pairs); err != nil {
		return past, false, err
	}
	there := true
	if err := s.look(ctx, func(q *rows.Queries) error {
		is, err := q.OwnerAndSent(ctx, id, bedID)
		if err != nil {
			return noBed(ctx, q, w, err, bedID)
		}
		there = is.Sent > 0
		return w.let(log, bedID, is.Owner)
	}); err != nil {
		return past, false, err
	}
	k := &toKeep{who: w, id: id, bed: bedID, at: at, pairs: pairs, done: make(chan error, 1)}
	if there { // sent again, or another thing: who writes alone tells which
		err := s.keepAlone(ctx, k)
		return k.past, k.made, err
	}
	s.join(k)
	select {
	case err := <-k.done:
		return k.past, k.made, err
	case <-ctx.Done():
		return past, false, s.fault(ctx.Err())
	}
}

// join has an entry written with those that wait.
func (s *Store) join(k *toKeep) {
	s.joined.mutex.Lock()
	defer s.joined.mutex.Unlock()
	s.joined.waits = append(s.joined.waits, k)
	if !s.joined.under {
		s.joined.under = true
		go s.writeJoined()
	}
}

// next takes the entries that are written next; none: nothing waits.
func (j *joined) next() []*toKeep {
	j.mutex.Lock()
	defer j.mutex.Unlock()
	n := min(len(j.waits), mostJoined)
	some := j.waits[:n:n]
	j.waits = j.waits[n:]
	j.under = n > 0
	return some
}

// writeJoined writes what waits until nothing does.
func (s *Store) writeJoined() {
	for {
		s.writing <- struct{}{} // what comes in while others write goes with these
		some := s.joined.next()
		if len(some) == 0 {
			<-s.writing
			return
		}
		ctx, end := context.WithTimeout(context.Background(), longestJoined)
		err := s.fault(s.keepTogether(ctx, some))
		end()
		<-s.writing
		for _, k := range some {
			if !Is(err, FaultBroken) {
				k.done <- err
				continue
			}
			// one of them cannot be written, as one that was sent twice at the same moment: each is told for itself
			ctx, end := context.WithTimeout(context.Background(), longestJoined)
			k.done <- s.keepAlone(ctx, k)
			end()
		}
	}
}

// keepAlone writes one entry in a transaction of its own.
func (s *Store) keepAlone(ctx context.Context, k *toKeep) error {
	return s.write(ctx, func(tx *writer) (err error) {
		if err := ofBed(ctx, tx.Queries, k.who, log, k.bed); err != nil {
			return err
		}
		if k.made, err = tx.append(ctx, k.who, k.id, entryKept, k.id, k.at, saidEntry{k.bed, 1, k.pairs}); k.made {
			k.past = k.as(tx.now)
		}
		return err
	})
}

// as gives the entry as it is kept at a moment.
func (k *toKeep) as(recorded int64) Past {
	return Past{Happening{ID: k.id, Who: k.who.signs(), Recorded: time.UnixMilli(recorded).UTC(), Happened: k.at.UTC().Truncate(time.Millisecond), What: entryKept}, k.bed, 1, k.pairs}
}

// keepTogether writes entries, none of which is there yet, in one transaction.
func (s *Store) keepTogether(ctx context.Context, some []*toKeep) error {
	conn, err := s.db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	last, err := rows.New(tx).NextSeqs(ctx, int64(len(some)))
	if err != nil {
		return err
	}
	now := s.now().UnixMilli()
	var to rows.DBTX = tx
	var sent pgx.Batch
	if !s.lite {
		to = pipe{tx, &sent}
	}
	q := rows.New(to)
	for i, k := range some {
		payload, err := json.Marshal(saidEntry{k.bed, 1, k.pairs})
		if err != nil {
			return err
		}
		h := rows.AddHappeningParams{Seq: last - int64(len(some)-1-i), ID: k.id, Who: k.who.signs(), Recorded: now, Happened: k.at.UnixMilli(), What: entryKept, Thing: k.id, Payload: string(payload)}
		if err := cmp.Or(q.AddHappening(ctx, h), apply(ctx, q, rows.Happening(h))); err != nil {
			return err
		}
	}
	if sent.Len() > 0 {
		if err := conn.Raw(func(c any) error { return c.(*stdlib.Conn).Conn().SendBatch(ctx, &sent).Close() }); err != nil {
			return err
		}
	}
	if err := tx.Commit(); err != nil {
		return err
	}
	for _, k := range some {
		k.past, k.made = k.as(now), true
	}
	return nil
}

// pipe holds statements that answer nothing back until all are sent to a server at once. What asks goes to its transaction.
type pipe struct {
	*sql.Tx
	sent *pgx.Batch
}

// ExecContext puts a statement beside the others.
func (p pipe) ExecContext(_ context.Context, statement string, args ...any) (sql.Result, error) {
	p.sent.Queue(statement, args...)
	return nil, nil
}
