package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"raftwright/finding"
	"raftwright/store/rows"
)

// ReturnsFor is how long a removed bed can be brought back (our own choice). Then its photos are deleted, and it is gone for good.
const ReturnsFor = 30 * 24 * time.Hour

// RemovedBed is a bed that was removed and can be brought back.
type RemovedBed struct {
	Bed          // without its brief
	Since, Until time.Time
}

// RemoveBed removes a bed, on top of the version of its brief that was seen: from then on it is on no list and answers to
// nobody, and its links, keys and calendar addresses end for good. What was written stays among the happenings. The id is of the removal. A bed that is removed already stays so.
func (s *Store) RemoveBed(ctx context.Context, w Who, id, bedID string, saw int) error {
	if err := check(id, bedID); err != nil {
		return err
	}
	return s.write(ctx, func(tx *writer) error {
		b, err := bed(ctx, tx.Queries, w, remove, bedID)
		if WasRemoved(err) {
			r, err := tx.Removed(ctx, bedID)
			if err != nil {
				return err
			}
			return w.let(remove, bedID, r.Owner)
		}
		if err != nil {
			return err
		}
		if int64(saw) != b.Version {
			return finding.Fault{ID: FaultStale, Args: finding.Args{"Thing": wordBed, "Name": bedID}}
		}
		if _, err := tx.append(ctx, w, id, bedRemoved, bedID, time.Time{}, nil); err != nil {
			return err
		}
		return errors.Join(tx.ForgetAttention(ctx, bedID), tx.ForgetAnswersOf(ctx, bedID))
	})
}

// ReturnBed brings a removed bed back, with its log and its photos; the links and keys that it had stay ended. The id is of this.
func (s *Store) ReturnBed(ctx context.Context, w Who, id, bedID string) error {
	if err := check(id, bedID); err != nil {
		return err
	}
	return s.write(ctx, func(tx *writer) error {
		r, err := tx.Removed(ctx, bedID)
		if errors.Is(err, sql.ErrNoRows) { // it is there already, or there is none
			_, err := bed(ctx, tx.Queries, w, remove, bedID)
			return err
		}
		if err != nil {
			return err
		}
		if err := w.let(remove, bedID, r.Owner); err != nil {
			return err
		}
		if r.Gone != 0 {
			return told(r)
		}
		if _, err := tx.append(ctx, w, id, bedReturned, bedID, time.Time{}, nil); err != nil {
			return err
		}
		return tx.SetAttention(ctx, rows.SetAttentionParams{Bed: bedID, Owner: r.Owner, Reasons: "[]", Reading: "{}"}) // as of one that is made
	})
}

// RemovedBeds lists the removed beds that somebody may see and that can be brought back, the last one first, most at most.
func (s *Store) RemovedBeds(ctx context.Context, w Who, most int) (list []RemovedBed, err error) {
	owner, all := w.lists()
	if owner == "" && !all {
		return nil, nil
	}
	err = s.look(ctx, func(q *rows.Queries) error {
		found, err := q.RemovedBeds(ctx, owner, int32(most))
		for _, r := range found {
			since := time.UnixMilli(r.Since).UTC()
			list = append(list, RemovedBed{Bed{ID: r.ID, Owner: r.Owner, Title: r.Title, Place: r.Place, Version: int(r.Version)}, since, since.Add(ReturnsFor)})
		}
		return err
	})
	return list, err
}

// endRemoved ends the time of the beds that were removed long ago: their photos are deleted.
func (s *Store) endRemoved(ctx context.Context) error {
	before := s.now().Add(-ReturnsFor).UnixMilli()
	due, err := rows.New(s.db).RemovedBefore(ctx, before)
	for _, id := range due {
		if err == nil {
			err = s.write(ctx, func(tx *writer) error { return tx.endRemoved(ctx, id, before) })
		}
	}
	return s.fault(err)
}

func (w *writer) endRemoved(ctx context.Context, bedID string, before int64) error {
	r, err := w.Removed(ctx, bedID)
	if errors.Is(err, sql.ErrNoRows) || err == nil && (r.Gone != 0 || r.Since >= before) { // brought back meanwhile, or another server was here
		return nil
	}
	if err != nil {
		return err
	}
	photos, err := w.Photos(ctx, bedID)
	if err != nil {
		return err
	}
	if _, err := w.append(ctx, Holder(), NewID(), bedGone, bedID, time.Time{}, nil); err != nil {
		return err
	}
	for _, p := range photos {
		if err := w.DropImages(ctx, p.Hash); err != nil {
			return err
		}
	}
	return w.ForgetAttention(ctx, bedID) // of somebody who reckoned while it was removed
}

// applyRemoved makes the current tables follow what happened to a whole bed.
func applyRemoved(ctx context.Context, q *rows.Queries, h rows.Happening) error {
	switch h.What {
	case bedRemoved:
		return errors.Join(q.RemoveBed(ctx, h.Recorded, h.Thing), q.DropBed(ctx, h.Thing), q.EndPassesOf(ctx, h.Recorded, h.Thing))
	case bedReturned:
		return errors.Join(q.ReturnBed(ctx, h.Seq, h.Thing), q.DropRemoved(ctx, h.Thing))
	}
	return errors.Join(q.RemovePhotosOf(ctx, h.Thing), q.EndRemoved(ctx, h.Recorded, h.Thing))
}

// noBed tells why a bed is not found: to who might have seen it, that it was removed.
func noBed(ctx context.Context, q *rows.Queries, w Who, err error, id string) error {
	if !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	if r, e := q.Removed(ctx, id); e == nil && w.may(see, id, r.Owner) {
		return told(r)
	} else if e != nil && !errors.Is(e, sql.ErrNoRows) {
		return e
	}
	return missing(err, wordBed, id)
}

// told is the fault of whoever asks for a bed that was removed.
func told(r rows.Removed) error {
	since := time.UnixMilli(r.Since)
	f := finding.Fault{ID: FaultRemoved, Args: finding.Args{"Day": since, "Until": since.Add(ReturnsFor)}}
	if r.Gone != 0 {
		f.ID = FaultGone
	}
	return f
}

// WasRemoved tells whether an error is of a bed that was removed.
func WasRemoved(err error) bool { return Is(err, FaultRemoved) || Is(err, FaultGone) }
