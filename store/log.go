package store

import (
	"cmp"
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

// Bounds of an entry: keys, and bytes of one text.
const mostPairs, mostReading = 300, 4000

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
	Bed     string
	Version int
	Pairs   []Pair
}

// Correct gives an entry other readings, or another time, on top of the version that its
// writer saw; without a text it is struck out. What stood there stays in its history. The
// id is of this correction. It gives the number of the version.
func (s *Store) Correct(ctx context.Context, w Who, id, entryID string, saw int, at time.Time, pairs []Pair) (version int, err error) {
	if err := cmp.Or(check(id, entryID), checkTime(at)); err != nil {
		return 0, err
	}
	pairs, err = tidy(pairs)
	if err != nil {
		return 0, err
	}
	err = s.write(ctx, func(tx *writer) error {
		e, err := entry(ctx, tx.Queries, w, log, entryID)
		if err != nil {
			return err
		}
		made, err := tx.append(ctx, w, id, entryMended, entryID, at, saidEntry{e.Bed, int64(saw) + 1, pairs})
		if made && int64(saw) != e.Version {
			return finding.Fault{ID: FaultStale, Args: finding.Args{"Thing": wordEntry, "Name": entryID}}
		}
		return err
	})
	return saw + 1, err
}

// tidy puts the keys of an entry in order and leaves out those without a text, so that the
// same readings are the same entry. A key that is there twice is refused.
func tidy(pairs []Pair) ([]Pair, error) {
	if len(pairs) > mostPairs {
		return nil, finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostPairs}}
	}
	kept := make([]Pair, 0, len(pairs))
	for _, p := range pairs {
		if err := cmp.Or(clean(string(p.Path), mostName), clean(p.Text, mostReading)); err != nil {
			return nil, err
		}
		if p.Text != "" {
			kept = append(kept, p)
		}
	}
	slices.SortFunc(kept, byPath)
	for i, p := range kept {
		if p.Path == "" || i > 0 && kept[i-1].Path == p.Path {
			return nil, finding.Fault{ID: FaultTwice, Args: finding.Args{"Key": string(p.Path)}}
		}
	}
	return kept, nil
}

// byPath orders keys so that "added[10]" comes after "added[9]".
func byPath(a, b Pair) int {
	x, y := string(a.Path), string(b.Path)
	for x != "" && y != "" {
		m, n := digits(x), digits(y)
		if m == 0 || n == 0 {
			if x[0] != y[0] {
				return cmp.Compare(x[0], y[0])
			}
			x, y = x[1:], y[1:]
			continue
		}
		if c := cmp.Or(cmp.Compare(m, n), cmp.Compare(x[:m], y[:n])); c != 0 {
			return c
		}
		x, y = x[m:], y[n:]
	}
	return cmp.Compare(len(x), len(y))
}

// digits counts the digits at the start of a text.
func digits(text string) int {
	n := 0
	for n < len(text) && '0' <= text[n] && text[n] <= '9' {
		n++
	}
	return n
}

// entry finds an entry of a bed on which somebody may do something.
func entry(ctx context.Context, q *rows.Queries, w Who, what act, id string) (rows.Entry, error) {
	e, err := q.Entry(ctx, id)
	if err != nil {
		return e, missing(err, wordEntry, id)
	}
	if err = ofBed(ctx, q, w, what, e.Bed); Is(err, FaultNotFound) {
		err = finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordEntry, "Name": id}}
	}
	return e, err
}

// Entries lists the log of a bed by the time at which it happened, those after an entry
// (the zero Entry for the first), at most so many. Struck entries are there, without pairs.
func (s *Store) Entries(ctx context.Context, w Who, bedID string, after Entry, most int) (list []Entry, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		found, err := q.Entries(ctx, rows.EntriesParams{Bed: bedID, Happened: after.At.UnixMilli(), Seq: after.Order, Limit: int32(most)})
		if err != nil {
			return err
		}
		if len(found) == 0 {
			return ofBed(ctx, q, w, see, bedID)
		}
		if err := w.let(see, bedID, found[0].Owner); err != nil {
			return err
		}
		list = make([]Entry, len(found))
		for i, e := range found {
			if list[i], err = entryOf(e.Entry); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// LastEntries lists the last entries of a bed, the latest first.
func (s *Store) LastEntries(ctx context.Context, w Who, bedID string, most int) (list []Entry, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if err := ofBed(ctx, q, w, see, bedID); err != nil {
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
		var err error
		if list[i], err = entryOf(e); err != nil {
			return nil, err
		}
	}
	return list, nil
}

func entryOf(e rows.Entry) (out Entry, err error) {
	out = Entry{ID: e.ID, Bed: e.Bed, At: time.UnixMilli(e.Happened).UTC(), Recorded: time.UnixMilli(e.Recorded).UTC(), Who: e.Who, Version: int(e.Version), Order: e.Seq}
	out.Pairs, err = pairsOf(e.Pairs)
	return out, err
}

// EntryHistory lists an entry as it was kept and as it was corrected, the oldest first.
func (s *Store) EntryHistory(ctx context.Context, w Who, entryID string) (list []Past, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if _, err := entry(ctx, q, w, see, entryID); err != nil {
			return err
		}
		past, err := q.HappeningsOf(ctx, entryID)
		for _, h := range past {
			var p saidEntry
			if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
				return err
			}
			list = append(list, Past{happened(h), p.Bed, int(p.Version), p.Pairs})
		}
		return err
	})
	return list, err
}
