package store

import (
	"context"
	"encoding/json"
	"errors"
	"iter"
	"slices"
	"strings"

	"raftwright/store/rows"
)

// Emptied is what is left of a record whose time is over; a nil Row: nothing, and the record goes.
type Emptied struct {
	ID  string
	Row []Pair
}

// EmptyRecords takes out of records what may be kept no longer, in every version of them: the one exception to happenings
// that are never changed, beside the bytes of photos. It forgets who some codes are, and adds the records that
// say so. All of it is done or nothing. Backups and what was exported before are not reached.
func (s *Store) EmptyRecords(ctx context.Context, w Who, list []Emptied, forget []string, said []Record) error {
	var wrong []error
	for _, r := range said {
		wrong = append(wrong, check(r.ID), checkRecord(saidRecord{Ledger: r.Ledger, Name: r.Name, Row: r.Row}))
	}
	for _, e := range list {
		wrong = append(wrong, check(e.ID), checkRecord(saidRecord{Ledger: "emptied", Row: e.Row}))
	}
	if err := errors.Join(wrong...); err != nil || len(said) == 0 {
		return err
	}
	return s.gone(ctx, s.write(ctx, func(tx *writer) error {
		if !w.may(people, "", "") {
			return forbidden(wordRecord, "")
		}
		for _, e := range list {
			if err := tx.empty(ctx, e); err != nil {
				return err
			}
		}
		for _, code := range forget {
			if err := errors.Join(tx.ForgetAskings(ctx, code), tx.ForgetContact(ctx, code)); err != nil {
				return err
			}
		}
		return tx.records(ctx, w, slices.Values(said))
	}))
}

// Drafts is how the names of ledgers begin whose records wait to become others: they are no records of the book.
const Drafts = "draft:"

// Settle writes records, as PutRecords does, and takes the drafts away that they were made of, with all their versions. All of it is done or nothing.
func (s *Store) Settle(ctx context.Context, w Who, list []Record, drafts []string) error {
	var wrong []error
	for _, r := range list {
		wrong = append(wrong, check(r.ID), checkRecord(saidRecord{Ledger: r.Ledger, Name: r.Name, Row: r.Row}))
	}
	if err := errors.Join(wrong...); err != nil || len(list) == 0 {
		return err
	}
	return s.gone(ctx, s.write(ctx, func(tx *writer) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		for _, id := range drafts {
			r, err := tx.Record(ctx, id)
			if err := missing(err, wordRecord, id); err != nil {
				return err
			}
			if !strings.HasPrefix(r.Ledger, Drafts) {
				return forbidden(wordRecord, id)
			}
			if err := tx.empty(ctx, Emptied{ID: id}); err != nil {
				return err
			}
		}
		return tx.records(ctx, w, slices.Values(list))
	}))
}

// empty leaves of every version of a record what is left of it.
func (w *writer) empty(ctx context.Context, e Emptied) error {
	now, err := w.Record(ctx, e.ID)
	if err := missing(err, wordRecord, e.ID); err != nil {
		return err
	}
	past, err := w.HappeningsOf(ctx, e.ID)
	if err != nil {
		return err
	}
	for _, h := range past {
		var p saidRecord
		if h.What != recordWritten {
			continue
		}
		if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
			return err
		}
		if p.Row = e.Row; e.Row == nil {
			p = saidRecord{Version: p.Version}
		}
		text, err := json.Marshal(p)
		if err != nil {
			return err
		}
		if err := w.EmptyHappening(ctx, string(text), h.Seq); err != nil {
			return err
		}
	}
	if e.Row == nil {
		return w.DropRecord(ctx, e.ID)
	}
	pairs, err := json.Marshal(e.Row)
	if err != nil {
		return err
	}
	return w.SetRecord(ctx, rows.SetRecordParams{Touched: now.Touched, Version: now.Version, Pairs: string(pairs), Who: now.Who, Recorded: now.Recorded, ID: e.ID})
}

// gone tells whether a record was emptied altogether.
func (r saidRecord) gone() bool { return r.Ledger == "" && len(r.Row) == 0 && r.Name == "" }

// ContactCodes lists the codes of which it is written down who they are, without telling who.
func (s *Store) ContactCodes(ctx context.Context, w Who) (codes []string, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(people, "", "") {
			return forbidden(wordRecord, "")
		}
		list, err := q.Contacts(ctx)
		for _, c := range list {
			codes = append(codes, c.Code)
		}
		return err
	})
	return codes, err
}

// records writes records in the one transaction that is at hand: new ones, and those with a version on top of it.
func (w *writer) records(ctx context.Context, who Who, list iter.Seq[Record]) error {
	used := false // whether the number at hand is that of a record
	for r := range list {
		if err := errors.Join(check(r.ID), checkRecord(saidRecord{Ledger: r.Ledger, Name: r.Name, Row: r.Row})); err != nil {
			return err
		}
		if used {
			var err error
			if w.seq, err = w.NextSeq(ctx); err != nil {
				return err
			}
		}
		id := r.ID
		if r.Version > 0 {
			id = NewIDIn(r.Ledger)
		}
		made, err := w.record(ctx, who, id, r.Version, r)
		if err != nil {
			return err
		}
		used = made
	}
	if !used && w.kept { // the last was there already
		return w.SetSeq(ctx, w.seq-1)
	}
	return nil
}
