package store

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// atEach tries something on each kind of database, by its address.
func atEach(t *testing.T, try func(t *testing.T, where string)) {
	t.Run("sqlite", func(t *testing.T) { try(t, filepath.Join(t.TempDir(), "kept.db")) })
	t.Run("postgres", func(t *testing.T) { try(t, database(t)) })
}

// Two servers share the work of one store: each night is done once, and what is asked for while it is under way is not begun a
// second time. Work that fails is tried again.
func TestWorkIsShared(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	atEach(t, func(t *testing.T, where string) {
		ctx := t.Context()
		var nights sync.Map
		var reckoning, twice, reckoned, failed atomic.Int64
		work := Work{
			Reckon: func(context.Context) error {
				if reckoning.Add(1) > 1 {
					twice.Add(1)
				}
				time.Sleep(50 * time.Millisecond)
				reckoning.Add(-1)
				reckoned.Add(1)
				return nil
			},
			Night: func(_ context.Context, day string) error {
				if day == "2027-05-03" && failed.Add(1) == 1 {
					return fmt.Errorf("invented")
				}
				n, _ := nights.LoadOrStore(day, new(atomic.Int64))
				n.(*atomic.Int64).Add(1)
				return nil
			},
		}
		var servers []*Queue
		for range 2 {
			q, err := open(t, where).Queue(ctx, work, nil)
			must(t, err)
			defer q.Stop(context.Background())
			servers = append(servers, q)
		}
		for range 5 {
			for _, q := range servers {
				must(t, q.Reckon(ctx))
				for _, day := range []string{"2027-05-01", "2027-05-02", "2027-05-03"} {
					must(t, q.Night(ctx, day))
				}
			}
		}
		count := func() (n int) {
			nights.Range(func(_, v any) bool { n += int(v.(*atomic.Int64).Load()); return true })
			return n
		}
		for end := time.Now().Add(time.Minute); count() < 3 || reckoned.Load() == 0; time.Sleep(50 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatalf("%d nights, %d reckoned", count(), reckoned.Load())
			}
		}
		for _, q := range servers {
			must(t, q.Night(ctx, "2027-05-02")) // done already
		}
		time.Sleep(2 * time.Second)
		if count() != 3 || failed.Load() != 2 || twice.Load() > 0 {
			t.Errorf("%d nights of 3, %d tries of the one that failed, %d reckoned side by side", count(), failed.Load(), twice.Load())
		}
	})
}

// A server is killed while it works: what it worked at is taken up by one that comes after it, once.
func TestWorkOfADeadServer(t *testing.T) {
	if testing.Short() {
		t.Skip("a job is given up after two minutes")
	}
	atEach(t, func(t *testing.T, where string) {
		s := open(t, where)
		c := exec.Command(os.Args[0])
		c.Env = append(os.Environ(), "RAFTWRIGHT_QUEUE_CHILD="+where)
		out, err := c.StdoutPipe()
		must(t, err)
		must(t, c.Start())
		var begun string
		_, err = fmt.Fscan(out, &begun)
		must(t, err)
		must(t, c.Process.Kill())
		c.Wait()
		var nights atomic.Int64
		q, err := s.Queue(t.Context(), Work{Reckon: func(context.Context) error { return nil }, Night: func(context.Context, string) error { nights.Add(1); return nil }}, nil)
		must(t, err)
		defer q.Stop(context.Background())
		must(t, q.Night(t.Context(), "2027-05-01")) // asked again, it is still the one of the dead
		_, err = s.db.Exec("UPDATE river_job SET attempted_at = '2020-05-01 03:00:00' WHERE kind = 'night' AND state = 'running'")
		must(t, err)
		for end := time.Now().Add(3 * time.Minute); nights.Load() == 0; time.Sleep(100 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatal("never taken up")
			}
		}
		time.Sleep(2 * time.Second)
		if nights.Load() != 1 {
			t.Errorf("done %d times", nights.Load())
		}
	})
}

// workUntilKilled is a server of its own that dies at its work.
func workUntilKilled(where string) error {
	s, err := Open(context.Background(), where)
	if err != nil {
		return err
	}
	q, err := s.Queue(context.Background(), Work{Reckon: func(context.Context) error { return nil }, Night: func(context.Context, string) error {
		fmt.Println("begun")
		time.Sleep(time.Hour)
		return nil
	}}, nil)
	if err == nil {
		err = q.Night(context.Background(), "2027-05-01")
	}
	time.Sleep(time.Hour)
	return err
}

// A backup of each night is kept, the last few of them, and nothing else of the folder is touched.
func TestNightBackups(t *testing.T) {
	s, dir := open(t, filepath.Join(t.TempDir(), "kept.db")), t.TempDir()
	other := filepath.Join(dir, "raftwright-mine.db")
	must(t, os.WriteFile(other, nil, 0o600))
	for _, day := range []string{"2027-05-01", "2027-05-02", "2027-05-02", "2027-05-03", "2027-06-01"} {
		must(t, s.NightBackup(t.Context(), dir, day, 3))
	}
	list, err := filepath.Glob(filepath.Join(dir, "*"))
	must(t, err)
	want := []string{"2027-05-02.db", "2027-05-03.db", "2027-06-01.db", "mine.db"}
	for i, f := range list {
		if i >= len(want) || filepath.Base(f) != "raftwright-"+want[i] {
			t.Fatalf("got %v", list)
		}
	}
	back := open(t, filepath.Join(t.TempDir(), "back.db"))
	must(t, back.Restore(t.Context(), list[2]))
	is(t, s.NightBackup(t.Context(), filepath.Join(dir, "gone"), "2027-05-01", 3), FaultUnwritten)
}
