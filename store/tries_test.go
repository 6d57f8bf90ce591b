package store

import (
	"errors"
	"testing"
	"time"

	"raftwright/finding"
	"raftwright/unit"
)

// What was tried too often says how long it takes until it may be tried again, and what was no guess is taken back.
func TestTriesSayWhenAgain(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		ctx := t.Context()
		now := time.Date(2027, 5, 10, 8, 0, 0, 0, time.UTC)
		s.now = func() time.Time { return now }
		for range 5 {
			must(t, s.Attempt(ctx, "an address", 5, 15*time.Minute))
		}
		must(t, s.TakeBack(ctx, "an address"))
		must(t, s.Attempt(ctx, "an address", 5, 15*time.Minute))
		now = now.Add(3*time.Minute + 20*time.Second)
		var f finding.Fault
		if err := s.Attempt(ctx, "an address", 5, 15*time.Minute); !errors.As(err, &f) || f.Args["Wait"] != 12*unit.Minute {
			t.Errorf("got %v", f)
		}
		now = now.Add(12 * time.Minute)
		must(t, s.Attempt(ctx, "an address", 5, 15*time.Minute))
		for range 3 {
			must(t, s.TakeBack(ctx, "another"))
		}
	})
}

// A browser is known by the person who signed in with it, by nobody else, and not after another password.
func TestMarks(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		ctx := t.Context()
		for _, name := range []string{"Invented One", "Invented Two"} {
			must(t, s.AddAccount(ctx, Holder(), NewID(), Grower, name, "", "invented words"))
		}
		mark, err := s.Mark(ctx, "invented  one")
		must(t, err)
		of := func(name, mark string) bool {
			t.Helper()
			is, err := s.Marked(ctx, name, mark)
			must(t, err)
			return is
		}
		if !of("Invented One", mark) {
			t.Error("not known")
		}
		for _, other := range []string{"", mark[:markChance], mark[:len(mark)-1], mark[1:], mark + "A"} {
			if of("Invented One", other) {
				t.Errorf("known by %q", other)
			}
		}
		if of("Invented Two", mark) || of("Nobody", mark) {
			t.Error("another is known by it")
		}
		if m, err := s.Mark(ctx, "Nobody"); m != "" || err != nil {
			t.Error(m, err)
		}
		people, err := s.People(ctx, Holder())
		must(t, err)
		must(t, s.SetPassword(ctx, Holder(), people[0].Account, "other invented words"))
		if of("Invented One", mark) {
			t.Error("known after another password")
		}
	})
}
