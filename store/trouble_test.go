package store

import (
	"context"
	"errors"
	"io"
	"net"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// A full disk: what was kept before is there, and once there is room it goes on.
func TestDiskFull(t *testing.T) {
	s, ctx := open(t, filepath.Join(t.TempDir(), "kept.db")), t.Context()
	s.db.SetMaxOpenConns(1)
	bed := NewID()
	_, err := s.PutBed(ctx, Holder(), bed, text, "")
	must(t, err)
	room := func(pages string) { // SQLite tells the same where the disk is full
		_, err := s.db.Exec("PRAGMA max_page_count = " + pages)
		must(t, err)
	}
	room("1") // as few as there are
	kept := 0
	for ; err == nil && kept < 1000; kept++ {
		_, err = s.Keep(ctx, Holder(), NewID(), bed, childAt, []Pair{{Path: "note", Text: strings.Repeat("full ", 200)}})
	}
	is(t, err, FaultFull)
	must(t, s.Check(ctx))
	rebuilt := func(want int) {
		if list, err := s.Entries(ctx, Holder(), bed, Entry{}, 2000); err != nil || len(list) != want {
			t.Errorf("%d entries, %v; want %d", len(list), err, want)
		}
	}
	rebuilt(kept - 1)
	room("100000")
	_, err = s.Keep(ctx, Holder(), NewID(), bed, childAt, childPairs)
	must(t, err)
	rebuilt(kept)
}

// A disk that is really full, where one can be made.
func TestDiskFullToTheLastByte(t *testing.T) {
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no disk can be made: %s", out)
	}
	t.Cleanup(func() { exec.Command("umount", "-l", dir).Run() })
	where := filepath.Join(dir, "kept.db")
	s, err := Open(t.Context(), where)
	must(t, err)
	bed, ballast := NewID(), filepath.Join(dir, "ballast")
	_, err = s.PutBed(t.Context(), Holder(), bed, text, "")
	must(t, err)
	kept := 0
	write := func() (err error) {
		for i := 0; err == nil && i < 2000; i++ {
			if _, err = s.Keep(t.Context(), Holder(), NewID(), bed, childAt, []Pair{{Path: "note", Text: strings.Repeat("full ", 400)}}); err == nil {
				kept++
			}
		}
		return err
	}
	must(t, os.WriteFile(ballast, make([]byte, 300<<10), 0o600))
	is(t, write(), FaultFull)
	is(t, s.Backup(t.Context(), filepath.Join(dir, "backup.db")), FaultFull)
	must(t, s.Close())
	fill, err := os.Create(filepath.Join(dir, "more"))
	must(t, err)
	for err == nil {
		_, err = fill.Write(make([]byte, 512))
	}
	fill.Close()
	s, err = Open(t.Context(), where) // no room even for what SQLite keeps beside the file
	if err == nil {
		_, err = s.Keep(t.Context(), Holder(), NewID(), bed, childAt, childPairs)
		s.Close()
	}
	is(t, err, FaultFull)
	must(t, errors.Join(os.Remove(ballast), os.Remove(fill.Name())))
	s = open(t, where)
	must(t, s.Check(t.Context()))
	if list, err := s.Entries(t.Context(), Holder(), bed, Entry{}, 5000); err != nil || len(list) != kept || kept == 0 {
		t.Errorf("%d entries, %v; %d were acknowledged", len(list), err, kept)
	}
	_, err = s.Keep(t.Context(), Holder(), NewID(), bed, childAt, childPairs)
	must(t, err)
}

// A file that may not be written to is read all the same.
func TestReadOnly(t *testing.T) {
	s, ctx := open(t, filepath.Join(t.TempDir(), "kept.db")), t.Context()
	s.db.SetMaxOpenConns(1)
	bed := NewID()
	_, err := s.PutBed(ctx, Holder(), bed, text, "")
	must(t, err)
	_, err = s.db.Exec("PRAGMA query_only = on")
	must(t, err)
	_, err = s.Keep(ctx, Holder(), NewID(), bed, childAt, childPairs)
	is(t, err, FaultReadOnly)
	_, err = s.Bed(ctx, Holder(), bed)
	must(t, err)
}

// Somebody else holds the file for longer than one waits.
func TestHeldByAnother(t *testing.T) {
	where := filepath.Join(t.TempDir(), "kept.db")
	s, ctx := open(t, where), t.Context()
	s.db.SetMaxOpenConns(1)
	_, err := s.db.Exec("PRAGMA busy_timeout = 50")
	must(t, err)
	tx, err := open(t, where).db.Begin()
	must(t, err)
	bed := NewID()
	_, err = s.PutBed(ctx, Holder(), bed, text, "")
	is(t, err, FaultBusy)
	must(t, tx.Rollback())
	_, err = s.PutBed(ctx, Holder(), bed, text, "")
	must(t, err)
}

// The clock goes back by a year: the order stays that of keeping.
func TestClockBackwards(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		now := time.Date(2027, 5, 10, 8, 0, 0, 0, time.UTC)
		s.now = func() time.Time { return now }
		bed := o.bed(t, o.grower)
		var ids []string
		for range 3 {
			id := NewID()
			_, err := o.Keep(ctx, o.grower, id, bed, childAt, childPairs)
			must(t, err)
			ids, now = append(ids, id), now.AddDate(-1, 0, 0)
		}
		list, err := o.Entries(ctx, o.grower, bed, Entry{}, 10)
		must(t, err)
		for i, e := range list {
			if e.ID != ids[i] {
				t.Errorf("entry %d is %s", i, e.ID)
			}
		}
		rebuilt(t, s)
	})
}

// A clock that was a year ahead, and is put right, shuts nobody out: what was tried meanwhile is forgotten, and tries are counted again. What a bed needs,
// which was due again only then, is reckoned now.
func TestClockAheadIsPutRight(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		right := time.Date(2027, 5, 10, 8, 0, 0, 0, time.UTC)
		now := right.AddDate(1, 0, 0)
		s.now = func() time.Time { return now }
		bed := o.bed(t, o.grower)
		kept, err := o.Bed(ctx, o.grower, bed)
		must(t, err)
		try := func() error { return s.Attempt(ctx, "as:ana", 3, time.Minute) }
		for range 3 {
			must(t, try())
		}
		must(t, s.SetAttention(ctx, Holder(), bed, Attention{Seen: kept.Changed, Again: now.AddDate(0, 0, 1)}))
		now = right
		for range 3 {
			must(t, try())
		}
		is(t, try(), FaultOften)
		now = now.Add(-30 * time.Second) // as another server's clock may go
		is(t, try(), FaultOften)
		due, err := s.AttentionDue(ctx, now, "", 10)
		must(t, err)
		if len(due) != 1 || due[0] != bed {
			t.Errorf("due %q", due)
		}
		must(t, s.SetAttention(ctx, Holder(), bed, Attention{Seen: kept.Changed, Again: now.AddDate(0, 0, 30)}))
		if due, err = s.AttentionDue(ctx, now, "", 10); err != nil || len(due) > 0 {
			t.Errorf("reckoned too soon: %q %v", due, err)
		}
	})
}

// The network between the program and PostgreSQL is cut while it writes: a clear fault,
// and once it is back all goes on, with nothing lost and nothing twice.
func TestNetworkCut(t *testing.T) {
	at, err := url.Parse(database(t))
	must(t, err)
	q := at.Query()
	server := filepath.Join(q.Get("host"), ".s.PGSQL.5432")
	dir := t.TempDir()
	q.Set("host", dir)
	at.RawQuery = q.Encode()
	var one sync.Mutex
	var lines []net.Conn
	up := func() net.Listener {
		l, err := net.Listen("unix", filepath.Join(dir, ".s.PGSQL.5432"))
		must(t, err)
		go func() {
			for {
				a, err := l.Accept()
				if err != nil {
					return
				}
				b, err := net.Dial("unix", server)
				if err != nil {
					a.Close()
					return
				}
				one.Lock()
				lines = append(lines, a, b)
				one.Unlock()
				go func() { io.Copy(a, b); a.Close() }()
				go func() { io.Copy(b, a); b.Close() }()
			}
		}()
		return l
	}
	l := up()
	s := open(t, at.String())
	bed := NewID()
	_, err = s.PutBed(t.Context(), Holder(), bed, text, "")
	must(t, err)
	var tried []string
	for range 3 {
		l.Close()
		one.Lock()
		for _, c := range lines {
			c.Close()
		}
		lines = nil
		one.Unlock()
		id := NewID()
		_, err := s.Keep(t.Context(), Holder(), id, bed, childAt, childPairs)
		is(t, err, FaultUnreachable)
		l = up()
		for range 2 {
			_, err = s.Keep(t.Context(), Holder(), id, bed, childAt, childPairs)
			must(t, err)
		}
		tried = append(tried, id)
	}
	if list, err := s.Entries(t.Context(), Holder(), bed, Entry{}, 10); err != nil || len(list) != len(tried) {
		t.Errorf("%d entries, %v", len(list), err)
	}
	l.Close()
}

// Several start on nothing at once: one makes the tables, all go on.
func TestStartedAtOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	t.Parallel()
	try := func(t *testing.T, where string) {
		var all sync.WaitGroup
		for range 4 {
			all.Go(func() {
				s, err := Open(context.Background(), where)
				if err != nil {
					t.Error(err)
					return
				}
				if err := s.Close(); err != nil {
					t.Error(err)
				}
			})
		}
		all.Wait()
	}
	t.Run("sqlite", func(t *testing.T) { try(t, filepath.Join(t.TempDir(), "kept.db")) })
	t.Run("postgres", func(t *testing.T) { try(t, database(t)) })
}

// undone takes away again what each schema after the first brought.
var undone = map[int64][]string{
	2:  {"DROP TABLE photo", "DROP TABLE image"},
	3:  {"ALTER TABLE attention DROP COLUMN county", "ALTER TABLE attention DROP COLUMN kind", "ALTER TABLE attention DROP COLUMN program", "ALTER TABLE attention DROP COLUMN reading"},
	4:  {"DROP TABLE record", "DROP TABLE contact"},
	5:  {"DROP TABLE answer"},
	6:  {"DROP TABLE passkey", "DROP TABLE asked", "ALTER TABLE person DROP COLUMN strict"},
	7:  {"DROP TABLE asking"},
	8:  {"ALTER TABLE asking DROP COLUMN tells"},
	9:  {"DROP INDEX IF EXISTS record_seq", "DROP INDEX IF EXISTS asking_code"},
	10: {"DROP TABLE removed"},
}

// A store of every earlier schema opens, with what was in it.
func TestEarlierSchemas(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	both(t, func(t *testing.T, s *Store) {
		ctx := t.Context()
		p, err := s.steps()
		must(t, err)
		o := staffed(t, s)
		bed := o.bed(t, o.grower)
		all := p.ListSources()
		for i := len(all) - 2; i >= 0; i-- {
			for _, later := range slices.Backward(all[i+1:]) {
				if len(undone[later.Version]) == 0 {
					t.Fatalf("say in undone what schema %d brought", later.Version)
				}
				for _, undo := range undone[later.Version] {
					_, err := s.db.Exec(undo)
					must(t, err)
				}
			}
			_, err := s.db.Exec("DELETE FROM goose_db_version WHERE version_id > $1", all[i].Version)
			must(t, err)
			must(t, s.ready(ctx))
			if _, err := o.Bed(ctx, o.grower, bed); err != nil {
				t.Error(err)
			}
			if at, err := p.GetDBVersion(ctx); err != nil || at != all[len(all)-1].Version {
				t.Error(at, err)
			}
		}
	})
}
