package store

import (
	"context"
	"encoding/json"
	"slices"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/store/rows"
)

// Pair is one key of an entry with its text, as the log of a brief has them ("ec": "1.6").
type Pair = brief.Pair

// mostPairs are the most keys of an entry.
const mostPairs = 300

// Entry is one visit in the log of a bed, as it stands after its corrections.
type Entry struct {
	ID, Bed  string
	At       time.Time // when it happened, by the clock at the bed, as if it showed UTC
	Recorded time.Time // when it was first kept, by the clock of the store
	Who      string
	Version  int    // from 1; one more by each correction
	Pairs    []Pair // none where the entry was struck out
	Order    int64  // among entries of one moment, and to go on from
}

// Past is an entry as it was kept or corrected once.
type Past struct {
	Happening
	Version int
	Pairs   []Pair
}

// Keep keeps an entry. It returns once the entry is on the disk. The id is made by whoever
// sends it, so that sending it again adds nothing; made is false then.
func (s *Store) Keep(ctx context.Context, w Who, id, bedID string, at time.Time, pairs []Pair) (made bool, err error) {
	if err := check(id, bedID); err != nil {
		return false, err
	}
	if err := cleanPairs(pairs); err != nil {
		return false, err
	}
	err = s.write(ctx, func(tx *writer) error {
		if _, err := bed(ctx, tx.Queries, w, log, bedID); err != nil {
			return err
		}
		made, err = tx.append(ctx, w, id, entryKept, id, at, saidEntry{bedID, 1, slices.Concat([]Pair{}, pairs)})
		return err
	})
	return made, err
}

// Correct gives an entry other readings, or another time, on top of the version that its
// writer saw; without pairs it is struck out. What stood there stays in its history. The
// id is of this correction. It gives the number of the version.
func (s *Store) Correct(ctx context.Context, w Who, id, entryID string, saw int, at time.Time, pairs []Pair) (version int, err error) {
	if err := check(id, entryID); err != nil {
		return 0, err
	}
	if err := cleanPairs(pairs); err != nil {
		return 0, err
	}
	err = s.write(ctx, func(tx *writer) error {
		e, err := entry(ctx, tx.Queries, w, log, entryID)
		if err != nil {
			return err
		}
		made, err := tx.append(ctx, w, id, entryMended, entryID, at, saidEntry{e.Bed, int64(saw) + 1, slices.Concat([]Pair{}, pairs)})
		if made && int64(saw) != e.Version {
			return finding.Fault{ID: FaultStale, Args: finding.Args{"Thing": wordEntry, "Name": entryID}}
		}
		return err
	})
	return saw + 1, err
}

func cleanPairs(pairs []Pair) error {
	if len(pairs) > mostPairs {
		return finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostPairs}}
	}
	for _, p := range pairs {
		if err := clean(string(p.Path), mostName); err != nil {
			return err
		}
		if err := clean(p.Text, 4000); err != nil {
			return err
		}
	}
	return nil
}

// entry finds an entry of a bed on which somebody may do something.
func entry(ctx context.Context, q *rows.Queries, w Who, what act, id string) (rows.Entry, error) {
	e, err := q.Entry(ctx, id)
	if err != nil {
		return e, missing(err, wordEntry, id)
	}
	if _, err = bed(ctx, q, w, what, e.Bed); Is(err, FaultNotFound) {
		err = finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordEntry, "Name": id}}
	}
	return e, err
}

// Entries lists the log of a bed by the time at which it happened, those after an entry
// (the zero Entry for the first), at most so many. Struck entries are there, without pairs.
func (s *Store) Entries(ctx context.Context, w Who, bedID string, after Entry, most int) (list []Entry, err error) {
	err = s.read(ctx, func(q *rows.Queries) error {
		if _, err := bed(ctx, q, w, see, bedID); err != nil {
			return err
		}
		found, err := q.Entries(ctx, rows.EntriesParams{Bed: bedID, Happened: after.At.UnixMilli(), Seq: after.Order, Limit: int32(most)})
		if err == nil {
			list, err = entries(found)
		}
		return err
	})
	return list, err
}

// LastEntries lists the last entries of a bed, the latest first.
func (s *Store) LastEntries(ctx context.Context, w Who, bedID string, most int) (list []Entry, err error) {
	err = s.read(ctx, func(q *rows.Queries) error {
		if _, err := bed(ctx, q, w, see, bedID); err != nil {
			return err
		}
		found, err := q.LastEntries(ctx, bedID, int32(most))
		if err == nil {
			list, err = entries(found)
		}
		return err
	})
	return list, err
}

func entries(found []rows.Entry) ([]Entry, error) {
	list := make([]Entry, len(found))
	for i, e := range found {
		list[i] = Entry{ID: e.ID, Bed: e.Bed, At: time.UnixMilli(e.Happened).UTC(), Recorded: time.UnixMilli(e.Recorded).UTC(), Who: e.Who, Version: int(e.Version), Order: e.Seq}
		if err := json.Unmarshal([]byte(e.Pairs), &list[i].Pairs); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// EntryHistory lists an entry as it was kept and as it was corrected, the oldest first.
func (s *Store) EntryHistory(ctx context.Context, w Who, entryID string) (list []Past, err error) {
	err = s.read(ctx, func(q *rows.Queries) error {
		if _, err := entry(ctx, q, w, see, entryID); err != nil {
			return err
		}
		past, err := q.HappeningsOf(ctx, entryID)
		for _, h := range past {
			var p saidEntry
			if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
				return err
			}
			list = append(list, Past{happened(h), int(p.Version), p.Pairs})
		}
		return err
	})
	return list, err
}
