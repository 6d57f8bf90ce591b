package store

import (
	"context"
	"encoding/json"
	"math"
	"time"

	"raftwright/store/rows"
)

// Attention is what a bed needs, as it was reckoned when Seen was the bed's Changed.
type Attention struct {
	Bed     Bed // without its brief
	Rank    int // the larger the sooner
	Seen    int64
	Again   time.Time // when it must be reckoned again though nothing was written; not given in a list
	Reasons []Reason
}

// Reason is one thing that a bed needs: a code with the texts that stand in its sentence.
type Reason struct {
	Code string
	Args map[string]string
}

// SetAttention keeps what a bed needs. It was reckoned from the bed as it stood at seen;
// where something newer is kept already, that stays. Whoever may log a bed may do this.
func (s *Store) SetAttention(ctx context.Context, w Who, bedID string, a Attention) error {
	reasons, err := json.Marshal(a.Reasons)
	if err != nil {
		return err
	}
	return s.beside(ctx, func(q *rows.Queries) error {
		b, err := bed(ctx, q, w, log, bedID)
		if err != nil {
			return err
		}
		return q.SetAttention(ctx, rows.SetAttentionParams{Bed: b.ID, Owner: b.Owner, Rank: int64(a.Rank), Seen: a.Seen, Again: a.Again.UnixMilli(), Reasons: string(reasons)})
	})
}

// Attention lists beds by what needs attention, the most urgent first: those that somebody
// may see, after one (nil for the first) and at most so many. A bed of which nothing was
// reckoned yet is in AttentionDue.
func (s *Store) Attention(ctx context.Context, w Who, after *Attention, most int) (list []Attention, err error) {
	rank, id := int64(math.MaxInt64), ""
	if after != nil {
		rank, id = int64(after.Rank), after.Bed.ID
	}
	err = s.read(ctx, func(q *rows.Queries) error {
		var found []rows.AttentionRow
		var err error
		if w.may(see, "", "") {
			found, err = q.Attention(ctx, rank, id, int32(most))
		} else if w.account != "" {
			var own []rows.AttentionOfRow
			own, err = q.AttentionOf(ctx, rows.AttentionOfParams{Owner: w.account, Rank: rank, Bed: id, Limit: int32(most)})
			for _, o := range own {
				found = append(found, rows.AttentionRow(o))
			}
		}
		for _, f := range found {
			a := Attention{Bed: Bed{ID: f.ID, Owner: f.Owner, Title: f.Title, Place: f.Place, Changed: f.Changed}, Rank: int(f.Rank), Seen: f.Seen}
			if err := json.Unmarshal([]byte(f.Reasons), &a.Reasons); err != nil {
				return err
			}
			list = append(list, a)
		}
		return err
	})
	return list, err
}

// AttentionDue lists beds of the office whose attention is to be reckoned: of which
// something was written since, or whose time has come. It is for the program's own work.
func (s *Store) AttentionDue(ctx context.Context, now time.Time, most int) ([]string, error) {
	list, err := rows.New(s.db).AttentionDue(ctx, now.UnixMilli(), int32(most))
	return list, s.fault(err)
}
