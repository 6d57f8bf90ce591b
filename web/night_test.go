package web

import (
	"context"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"raftwright/plan"
	"raftwright/store"
)

// Two servers of one office share what is done in the background: a bed that was written to is reckoned, the night leaves one backup, and
// both end when they are told to.
func TestServersShareTheNight(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	where, backups := store.InFolder(filepath.Join(t.TempDir(), "kept")), t.TempDir()
	ctx, end := context.WithCancel(t.Context())
	var servers sync.WaitGroup
	var kept *store.Store
	for range 2 {
		s, err := store.Open(t.Context(), where)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { s.Close() })
		h := &House{Store: s, Book: plan.DefaultBook(), Demo: []byte(invented), Backups: backups, Now: func() time.Time { return time.Date(2027, 5, 11, 8, 0, 0, 0, time.Local) }}
		servers.Go(func() { h.KeepAttention(ctx) })
		kept = s
	}
	if _, err := kept.PutBed(ctx, store.Holder(), store.NewID(), invented, plan.Code); err != nil {
		t.Fatal(err)
	}
	for until := time.Now().Add(2 * time.Minute); ; time.Sleep(100 * time.Millisecond) {
		due, err := kept.AttentionDue(ctx, time.Date(2027, 5, 11, 8, 0, 0, 0, time.Local), "", 5)
		if err != nil {
			t.Fatal(err)
		}
		list, _ := filepath.Glob(filepath.Join(backups, "*"))
		if len(due) == 0 && len(list) == 1 && filepath.Base(list[0]) == "raftwright-2027-05-11.db" {
			break
		}
		if time.Now().After(until) {
			t.Fatalf("due %v, backups %v", due, list)
		}
	}
	end()
	servers.Wait()
}
