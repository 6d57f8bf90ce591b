package store

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
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
	Group   Group
	Reading LastReading
}

// Group is by what a list of beds is narrowed; "" is not known, or in a question any.
type Group struct{ County, Kind, Program string }

// LastReading is what was read last at a bed, by the keys of its log; At is as of an Entry.
type LastReading struct {
	At    time.Time
	Texts map[string]string
}

// GroupCount is how many beds of a group there are that need something, or that do not.
type GroupCount struct {
	Group
	Needs bool
	Beds  int
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
	reading, err := json.Marshal(a.Reading)
	if err != nil {
		return err
	}
	return s.beside(ctx, func(q *rows.Queries) error {
		b, err := bed(ctx, q, w, log, bedID)
		if err != nil {
			return err
		}
		err = q.SetAttention(ctx, rows.SetAttentionParams{Bed: b.ID, Owner: b.Owner, Rank: int64(a.Rank), Seen: a.Seen, Again: a.Again.UnixMilli(), Reasons: string(reasons),
			County: a.Group.County, Kind: a.Group.Kind, Program: a.Group.Program, Reading: string(reading)})
		return cmp.Or(err, ofBed(ctx, q, w, log, bedID)) // where it was removed meanwhile nothing is kept of it
	})
}

// PassAttention keeps that what a bed needs could not be reckoned: a is its rank, the reasons that are told in their place, when it was seen and when it
// is tried again. By what a list is narrowed and what was read last stay as they were.
func (s *Store) PassAttention(ctx context.Context, w Who, bedID string, a Attention) error {
	reasons, err := json.Marshal(a.Reasons)
	if err != nil {
		return err
	}
	return s.beside(ctx, func(q *rows.Queries) error {
		b, err := bed(ctx, q, w, log, bedID)
		if err != nil {
			return err
		}
		err = q.PassAttention(ctx, rows.PassAttentionParams{Bed: b.ID, Owner: b.Owner, Rank: int64(a.Rank), Seen: a.Seen, Again: a.Again.UnixMilli(), Reasons: string(reasons)})
		return cmp.Or(err, ofBed(ctx, q, w, log, bedID))
	})
}

// Attention lists beds by what needs attention, the most urgent first: those of a group that
// somebody may see, after one (nil for the first) and at most so many. A bed of which
// nothing was reckoned yet stands among those that need nothing.
func (s *Store) Attention(ctx context.Context, w Who, in Group, after *Attention, most int) (list []Attention, err error) {
	ask := rows.AttentionParams{Rank: math.MaxInt64, County: in.County, Kind: in.Kind, Program: in.Program, Most: int32(most)}
	if after != nil {
		ask.Rank, ask.Bed = int64(after.Rank), after.Bed.ID
	}
	var all bool
	if ask.Owner, all = w.lists(); ask.Owner == "" && !all {
		return nil, nil
	}
	err = s.look(ctx, func(q *rows.Queries) error {
		found, err := q.Attention(ctx, ask)
		for _, f := range found {
			a := Attention{Bed: Bed{ID: f.ID, Owner: f.Owner, Title: f.Title, Place: f.Place, Changed: f.Changed}, Rank: int(f.Rank), Seen: f.Seen, Group: Group{f.County, f.Kind, f.Program}}
			if err := errors.Join(json.Unmarshal([]byte(f.Reasons), &a.Reasons), json.Unmarshal([]byte(f.Reading), &a.Reading)); err != nil {
				return err
			}
			list = append(list, a)
		}
		return err
	})
	return list, err
}

// lists tells whose beds a list for somebody holds: of one account, or all.
func (w Who) lists() (owner string, all bool) {
	if w.may(see, "", "") {
		return "", true
	}
	return w.account, false
}

// AttentionGroups counts the beds that somebody may see by their groups.
func (s *Store) AttentionGroups(ctx context.Context, w Who) (list []GroupCount, err error) {
	owner, all := w.lists()
	if owner == "" && !all {
		return nil, nil
	}
	err = s.look(ctx, func(q *rows.Queries) error {
		found, err := q.AttentionGroups(ctx, owner)
		for _, f := range found {
			list = append(list, GroupCount{Group{f.County, f.Kind, f.Program}, f.Needs > 0, int(f.Count)})
		}
		return err
	})
	return list, err
}

// AttentionDue lists beds of the office whose attention is to be reckoned, by their ids, after one ("" for the first) and at most so many: of which
// something was written since, or whose time has come, or lies so far ahead that a clock was wrong when it was set. It is for the program's own work.
func (s *Store) AttentionDue(ctx context.Context, now time.Time, after string, most int) ([]string, error) {
	const farthest = 60 * 24 * time.Hour // twice as long as a bed rests on which the clock alone changes nothing
	list, err := rows.New(s.db).AttentionDue(ctx, rows.AttentionDueParams{After: after, Now: now.UnixMilli(), Ahead: now.Add(farthest).UnixMilli(), Most: int32(most)})
	return list, s.fault(err)
}
