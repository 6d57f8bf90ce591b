package store

import (
	"context"
	"time"

	"raftwright/store/rows"
)

// Answer is what was worked out of a bed when Seen was the bed's Changed, and the words of its Basis
// were those of everything else that it rests on. It can be lost: then it is worked out again.
type Answer struct {
	Kind  string // which question it answers
	Seen  int64
	Basis string
	Made  time.Time // the moment that it is of
	Text  string
}

// answersFor is how long an answer is kept that nothing made anew (our own choice): a bed that was looked at holds some 100 KB of them.
const answersFor = 30 * 24 * time.Hour

// Answer finds what was worked out of a bed, and tells whether there is something. What it says of
// the bed is for whoever may see the bed.
func (s *Store) Answer(ctx context.Context, w Who, bedID, kind string) (a Answer, is bool, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		found, err := q.Answer(ctx, kind, bedID)
		if err != nil {
			return noBed(ctx, q, w, err, bedID)
		}
		if err := w.let(see, bedID, found.Owner); err != nil {
			return err
		}
		if is = found.Kind.Valid; is {
			a = Answer{Kind: found.Kind.String, Seen: found.Seen.Int64, Basis: found.Basis.String, Made: time.UnixMilli(found.Made.Int64).UTC(), Text: found.Text.String}
		}
		return nil
	})
	return a, is, err
}

// Answers lists what was worked out of a bed, without the texts.
func (s *Store) Answers(ctx context.Context, w Who, bedID string) (list []Answer, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if err := ofBed(ctx, q, w, see, bedID); err != nil {
			return err
		}
		found, err := q.Answers(ctx, bedID)
		for _, a := range found {
			list = append(list, Answer{Kind: a.Kind, Seen: a.Seen, Basis: a.Basis, Made: time.UnixMilli(a.Made).UTC()})
		}
		return err
	})
	return list, err
}

// SetAnswer keeps what was worked out of a bed, where nothing newer is kept already. It is the program
// that works it out, whoever asked: seeing the bed is enough.
func (s *Store) SetAnswer(ctx context.Context, w Who, bedID string, a Answer) error {
	return s.beside(ctx, func(q *rows.Queries) error {
		if err := ofBed(ctx, q, w, see, bedID); err != nil {
			return err
		}
		return q.SetAnswer(ctx, rows.SetAnswerParams{Bed: bedID, Kind: a.Kind, Seen: a.Seen, Basis: a.Basis, Made: a.Made.UnixMilli(), Text: a.Text})
	})
}
