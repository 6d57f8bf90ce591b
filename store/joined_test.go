package store

import (
	"sync"
	"testing"
	"time"
)

// Entries that come in at the same moment are written together, each once and numbered in a row; one of them that cannot be
// written holds none of the others up, and who sent it is told.
func TestEntriesAreWrittenTogether(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		ctx, w, bed := t.Context(), Holder(), NewID()
		_, err := s.PutBed(ctx, w, bed, text, "")
		must(t, err)
		const many = 40
		twice := NewID()
		s.writing <- struct{}{} // somebody writes for long: all others wait
		var wait sync.WaitGroup
		var mutex sync.Mutex
		made, conflicts := 0, 0
		for i := range many {
			wait.Go(func() {
				id, pairs := NewID(), []Pair{{Path: "note", Text: "Invented"}}
				if i < 3 { // one sends it twice, somebody else another thing under the same id
					id = twice
				}
				if i == 2 {
					pairs[0].Text = "another"
				}
				was, m, err := s.KeepPast(ctx, w, id, bed, childAt, pairs)
				mutex.Lock()
				defer mutex.Unlock()
				switch {
				case Is(err, FaultConflict):
					conflicts++
				case err != nil:
					t.Error(err)
				case m:
					made++
					if was.ID != id || was.Version != 1 || !was.Happened.Equal(childAt) || time.Since(was.Recorded).Abs() > time.Minute || len(was.Pairs) != 1 {
						t.Errorf("kept as %+v", was)
					}
				}
			})
		}
		for range 2000 { // until all wait
			s.joined.mutex.Lock()
			n := len(s.joined.waits)
			s.joined.mutex.Unlock()
			if n == many {
				break
			}
			time.Sleep(5 * time.Millisecond)
		}
		<-s.writing
		wait.Wait()
		if made != many-2 || conflicts == 0 || conflicts > 2 {
			t.Errorf("%d made, %d conflicts", made, conflicts)
		}
		list, err := s.Entries(ctx, w, bed, Entry{}, 100)
		must(t, err)
		if len(list) != many-2 {
			t.Fatalf("%d entries", len(list))
		}
		for i, e := range list {
			if i > 0 && e.Order != list[i-1].Order+1 {
				t.Errorf("entry %d has number %d after %d", i, e.Order, list[i-1].Order)
			}
		}
		must(t, s.Check(ctx))
		must(t, s.Rebuild(ctx))
		again, err := s.Entries(ctx, w, bed, Entry{}, 100)
		must(t, err)
		if len(again) != len(list) || again[0].ID != list[0].ID {
			t.Errorf("rebuilt: %d entries", len(again))
		}
	})
}
