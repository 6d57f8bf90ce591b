package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/store/rows"
)

const (
	wordBed     finding.Word = "store.word.bed"
	wordEntry   finding.Word = "store.word.entry"
	wordSheet   finding.Word = "store.word.sheet"
	wordAccount finding.Word = "store.word.account"
	wordPhoto   finding.Word = "store.word.photo"
	wordPass    finding.Word = "store.word.pass"
	wordRecord  finding.Word = "store.word.record"
)

// Bed is a bed as it stands.
type Bed struct {
	ID           string
	Owner        string // an account; "" for a bed of the holder
	Title, Place string // as its brief has them
	Brief        string // "" in a list
	Edition      string // of the code and tables with which it was planned
	Version      int    // of the brief, from 1
	Changed      int64  // goes up with everything that is written to the bed or its log
}

// Version is one version of a brief.
type Version struct {
	Happening
	Number        int // from 1
	Edition, Text string
}

// heading reads what a list of beds shows from a brief. A brief with faults is kept too.
func heading(text string) (title, place string) {
	b, _ := brief.Parse("", []byte(text))
	if b == nil {
		return "", ""
	}
	return b.Title.Value, b.Site.Place.Value
}

// bed finds a bed for somebody. One that they may not see is not there for them.
func bed(ctx context.Context, q *rows.Queries, w Who, what act, id string) (rows.Bed, error) {
	b, err := q.Bed(ctx, id)
	if err != nil {
		return b, noBed(ctx, q, w, err, id)
	}
	if err := w.let(what, id, b.Owner); err != nil {
		return rows.Bed{}, err
	}
	return b, nil
}

// ofBed tells whether somebody may do something to a bed, where nothing else of it is asked for.
func ofBed(ctx context.Context, q *rows.Queries, w Who, what act, id string) error {
	owner, err := q.OwnerOf(ctx, id)
	if err != nil {
		return noBed(ctx, q, w, err, id)
	}
	return w.let(what, id, owner)
}

// let tells why somebody may not do something to a bed: one that they may not see is not there for them.
func (w Who) let(what act, id, owner string) error {
	switch {
	case !w.may(see, id, owner):
		return finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordBed, "Name": id}}
	case !w.may(what, id, owner):
		return forbidden(wordBed, id)
	}
	return nil
}

// PutBed makes a bed with the first version of its brief. The id is made by whoever sends
// it: the same id and brief again makes nothing, another brief is a conflict.
func (s *Store) PutBed(ctx context.Context, w Who, id, text, edition string) (made bool, err error) {
	if err := check(id); err != nil {
		return false, err
	}
	if err := clean(text, mostText); err != nil {
		return false, err
	}
	if err := clean(edition, mostName); err != nil {
		return false, err
	}
	err = s.write(ctx, func(tx *writer) error {
		if !w.may(begin, "", "") {
			return forbidden(wordBed, id)
		}
		if r, err := tx.Removed(ctx, id); err == nil && w.may(see, id, r.Owner) { // else its id is taken, as that of another's bed
			return told(r)
		} else if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		made, err = tx.append(ctx, w, id, bedMade, id, time.Time{}, saidBrief{Owner: w.account, Version: 1, Edition: edition, Text: text})
		if err != nil || !made {
			return err
		}
		return tx.SetAttention(ctx, rows.SetAttentionParams{Bed: id, Owner: w.account, Reasons: "[]", Reading: "{}"}) // so that it is on the list until it is reckoned
	})
	return made, err
}

// PutBrief writes the next version of a brief, on top of the version that its writer saw.
// Where somebody wrote one meanwhile it is stale, and nothing is written; all versions
// stay. The id is of this writing. It gives the number of the version.
func (s *Store) PutBrief(ctx context.Context, w Who, id, bedID string, saw int, text, edition string) (version int, err error) {
	if err := check(id, bedID); err != nil {
		return 0, err
	}
	if err := clean(text, mostText); err != nil {
		return 0, err
	}
	if err := clean(edition, mostName); err != nil {
		return 0, err
	}
	err = s.write(ctx, func(tx *writer) error {
		b, err := bed(ctx, tx.Queries, w, change, bedID)
		if err != nil {
			return err
		}
		made, err := tx.append(ctx, w, id, briefWritten, bedID, time.Time{}, saidBrief{Version: int64(saw) + 1, Edition: edition, Text: text})
		if made && int64(saw) != b.Version {
			return finding.Fault{ID: FaultStale, Args: finding.Args{"Thing": wordBed, "Name": bedID}}
		}
		return err
	})
	return saw + 1, err
}

// GiveBed gives a bed to another account.
func (s *Store) GiveBed(ctx context.Context, w Who, id, bedID, account string) error {
	if err := check(id, bedID, account); err != nil {
		return err
	}
	return s.write(ctx, func(tx *writer) error {
		if _, err := bed(ctx, tx.Queries, w, people, bedID); err != nil {
			return err
		}
		if _, err := tx.Account(ctx, account); err != nil {
			return missing(err, wordAccount, account)
		}
		if _, err := tx.append(ctx, w, id, bedGiven, bedID, time.Time{}, saidOwner{account}); err != nil {
			return err
		}
		return tx.OwnAttention(ctx, account, bedID)
	})
}

// Bed gives a bed with its brief.
func (s *Store) Bed(ctx context.Context, w Who, id string) (Bed, error) {
	var b rows.Bed
	err := s.look(ctx, func(q *rows.Queries) (err error) {
		b, err = bed(ctx, q, w, see, id)
		return err
	})
	return Bed{b.ID, b.Owner, b.Title, b.Place, b.Brief, b.Edition, int(b.Version), b.Changed}, err
}

// Beds lists the beds that somebody may see by id, those after one ("" for the first) and
// at most so many; without their briefs.
func (s *Store) Beds(ctx context.Context, w Who, after string, most int) (list []Bed, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if w.bed != "" {
			b, err := bed(ctx, q, w, see, w.bed)
			if err == nil && b.ID > after {
				list = []Bed{{b.ID, b.Owner, b.Title, b.Place, "", b.Edition, int(b.Version), b.Changed}}
			}
			return err
		}
		owner := w.account
		if w.may(see, "", "") {
			owner = ""
		} else if owner == "" {
			return nil
		}
		found, err := q.Beds(ctx, after, owner, int32(most))
		for _, b := range found {
			list = append(list, Bed{b.ID, b.Owner, b.Title, b.Place, "", b.Edition, int(b.Version), b.Changed})
		}
		return err
	})
	return list, err
}

// BedsOwned lists the beds of an account, most at most.
func (s *Store) BedsOwned(ctx context.Context, w Who, account string, most int) (list []Bed, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if account == "" || !w.may(people, "", "") {
			return forbidden(wordAccount, account)
		}
		found, err := q.Beds(ctx, "", account, int32(most))
		for _, b := range found {
			list = append(list, Bed{b.ID, b.Owner, b.Title, b.Place, "", b.Edition, int(b.Version), b.Changed})
		}
		return err
	})
	return list, err
}

// Versions lists every version of a bed's brief, the oldest first.
func (s *Store) Versions(ctx context.Context, w Who, bedID string) (list []Version, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if err := ofBed(ctx, q, w, see, bedID); err != nil {
			return err
		}
		past, err := q.HappeningsOf(ctx, bedID)
		if err != nil {
			return err
		}
		for _, h := range past {
			if h.What != bedMade && h.What != briefWritten {
				continue
			}
			var p saidBrief
			if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
				return err
			}
			list = append(list, Version{happened(h), int(p.Version), p.Edition, p.Text})
		}
		return nil
	})
	return list, err
}

func happened(h rows.Happening) Happening {
	return Happening{ID: h.ID, Who: h.Who, Recorded: time.UnixMilli(h.Recorded).UTC(), Happened: time.UnixMilli(h.Happened).UTC(), What: h.What}
}
