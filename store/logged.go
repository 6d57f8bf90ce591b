package store

import (
	"context"

	"raftwright/brief"
	"raftwright/finding"
)

// Clock is how a moment by the clock at a bed is written in the log of a brief.
const Clock = "2006-01-02T15:04"

// Log gives the whole log of a bed, the oldest first. Struck entries are there, without pairs.
func (s *Store) Log(ctx context.Context, w Who, bedID string) (all []Entry, err error) {
	const some = 1000
	for {
		var after Entry
		if len(all) > 0 {
			after = all[len(all)-1]
		}
		list, err := s.Entries(ctx, w, bedID, after, some)
		if err != nil {
			return nil, err
		}
		all = append(all, list...)
		if len(list) < some {
			return all, nil
		}
	}
}

// WithLog gives a brief with entries behind those of its own log, and all faults of it.
func WithLog(b *brief.Brief, list []Entry) (*brief.Brief, finding.Faults) {
	n := len(b.Log)
	var pairs []Pair
	for _, x := range b.Values() {
		pairs = append(pairs, Pair{Path: x.Path, Text: x.Text})
	}
	for _, e := range list {
		if len(e.Pairs) == 0 { // struck out
			continue
		}
		at := finding.Path("log").Item(n)
		n++
		pairs = append(pairs, Pair{Path: at.Key("at"), Text: e.At.Format(Clock)})
		for _, p := range e.Pairs {
			pairs = append(pairs, Pair{Path: at + "." + p.Path, Text: p.Text})
		}
	}
	return brief.FromPairs(b.File, pairs)
}
