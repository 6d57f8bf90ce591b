package store

import (
	"path/filepath"
	"sync"
	"testing"
	"time"
)

// A removed bed is nowhere, and its links, keys and calendar open nothing. For thirty days it can be brought back as it was, but for those; then its photos are
// deleted. The happenings stay, and with them a backup, the open form and a rebuild.
func TestRemovedBed(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		now := time.Date(2027, 5, 10, 8, 0, 0, 0, time.UTC)
		s.now = func() time.Time { return now }
		bed, kept := o.bed(t, o.grower), o.bed(t, o.grower)
		entry, photo := NewID(), NewID()
		_, err := o.Keep(ctx, o.grower, entry, bed, now, []Pair{{Path: "ec", Text: "1.6"}})
		must(t, err)
		_, err = o.AddPhoto(ctx, o.grower, photo, bed, "", picture(8))
		must(t, err)
		must(t, o.SetAnswer(ctx, o.grower, bed, Answer{Kind: "plan", Text: "{}"}))
		secrets := map[Kind]string{}
		for _, k := range []Kind{Link, Key, Feed} {
			secrets[k], err = o.GivePass(ctx, o.grower, NewID(), k, bed, "", "")
			must(t, err)
		}
		before := NewID()
		lost, err := o.GivePass(ctx, o.grower, before, Link, bed, "", "")
		must(t, err)
		now = now.Add(time.Minute)
		must(t, o.WithdrawPass(ctx, o.grower, NewID(), before))
		now = now.Add(time.Minute)

		is(t, o.RemoveBed(ctx, o.grower, NewID(), bed, 2), FaultStale)
		is(t, o.RemoveBed(ctx, o.other, NewID(), bed, 1), FaultNotFound)
		is(t, o.RemoveBed(ctx, o.volunteer, NewID(), bed, 1), FaultForbidden)
		removal := NewID()
		for range 2 { // the second is the first sent again
			must(t, o.RemoveBed(ctx, o.grower, removal, bed, 1))
		}
		is(t, o.RemoveBed(ctx, o.volunteer, NewID(), bed, 1), FaultForbidden)

		nowhere := func(name string, err error) {
			t.Helper()
			if !Is(err, FaultRemoved) {
				t.Errorf("%s: %v", name, err)
			}
		}
		_, err = o.Bed(ctx, o.educator, bed)
		nowhere("bed", err)
		_, err = o.Keep(ctx, o.grower, NewID(), bed, now, []Pair{{Path: "ec", Text: "1.7"}})
		nowhere("visit", err)
		_, err = o.Correct(ctx, o.grower, NewID(), entry, 1, now, nil)
		nowhere("correction", err)
		_, err = o.Log(ctx, o.grower, bed)
		nowhere("log", err)
		_, err = o.Picture(ctx, o.grower, photo)
		nowhere("photo", err)
		_, err = o.PutBrief(ctx, o.grower, NewID(), bed, 1, text, "")
		nowhere("brief", err)
		_, err = o.PutBed(ctx, o.grower, bed, text, "1-ab")
		nowhere("made again", err)
		_, _, err = o.Answer(ctx, o.grower, bed, "plan")
		nowhere("answer", err)
		_, err = o.GivePass(ctx, o.grower, NewID(), Link, bed, "", "")
		nowhere("link", err)
		_, err = o.Bed(ctx, o.other, bed)
		is(t, err, FaultNotFound)
		_, err = o.PutBed(ctx, o.other, bed, text, "1-ab")
		is(t, err, FaultConflict) // of another's bed nobody is told that it was removed
		for k, secret := range secrets {
			_, err := o.ByPass(ctx, secret)
			nowhere(string(k), err)
		}
		_, err = o.ByPass(ctx, lost) // withdrawn before
		is(t, err, FaultSignIn)
		if list, err := o.Beds(ctx, o.educator, "", 10); err != nil || len(list) != 1 || list[0].ID != kept {
			t.Errorf("beds: %v, %v", list, err)
		}
		if list, err := o.Attention(ctx, o.educator, Group{}, nil, 10); err != nil || len(list) != 1 {
			t.Errorf("attention: %v, %v", list, err)
		}
		if list, err := o.AttentionGroups(ctx, o.educator); err != nil || len(list) != 1 || list[0].Beds != 1 {
			t.Errorf("groups: %v, %v", list, err)
		}
		if due, err := o.AttentionDue(ctx, now, "", 10); err != nil || len(due) != 1 {
			t.Errorf("due: %v, %v", due, err)
		}
		for who, n := range map[*Who]int{&o.grower: 1, &o.educator: 1, &o.volunteer: 1, &o.other: 0, {}: 0} {
			if list, err := o.RemovedBeds(ctx, *who, 10); err != nil || len(list) != n {
				t.Errorf("%s is told of %v, %v", who.role, list, err)
			}
		}
		carriedOver(t, s, bed)

		is(t, o.ReturnBed(ctx, o.volunteer, NewID(), bed), FaultForbidden)
		is(t, o.ReturnBed(ctx, o.other, NewID(), bed), FaultNotFound)
		now = now.Add(ReturnsFor)
		must(t, s.Sweep(ctx)) // on the last day
		back := NewID()
		for range 2 {
			must(t, o.ReturnBed(ctx, o.educator, back, bed))
		}
		if b, err := o.Bed(ctx, o.grower, bed); err != nil || b.Brief != text || b.Version != 1 {
			t.Error(b, err)
		}
		if log, err := o.Log(ctx, o.grower, bed); err != nil || len(log) != 1 || log[0].ID != entry {
			t.Error(log, err)
		}
		_, err = o.Picture(ctx, o.grower, photo)
		must(t, err)
		_, err = o.ByPass(ctx, secrets[Link])
		is(t, err, FaultSignIn) // who found the label does not find its way back
		if list, err := o.Attention(ctx, o.educator, Group{}, nil, 10); err != nil || len(list) != 2 {
			t.Errorf("attention: %v, %v", list, err)
		}
		rebuilt(t, s)

		must(t, o.RemoveBed(ctx, Holder(), NewID(), bed, 1))
		now = now.Add(ReturnsFor + time.Millisecond)
		for range 2 {
			must(t, s.Sweep(ctx))
		}
		is(t, o.ReturnBed(ctx, o.grower, NewID(), bed), FaultGone)
		_, err = o.Bed(ctx, o.grower, bed)
		is(t, err, FaultGone)
		if list, err := o.RemovedBeds(ctx, o.grower, 10); err != nil || len(list) != 0 {
			t.Errorf("is told of %v, %v", list, err)
		}
		var images int
		must(t, s.db.QueryRow("SELECT COUNT(*) FROM image").Scan(&images))
		if images != 0 {
			t.Errorf("%d photos are left", images)
		}
		carriedOver(t, s, bed)
	})
}

// A backup that was kept before a bed was removed knows nothing of it: once restored the bed is back, and its links open it.
func TestBackupOfBeforeARemoval(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		bed := o.bed(t, o.grower)
		link, err := o.GivePass(ctx, o.grower, NewID(), Link, bed, "", "")
		must(t, err)
		file := filepath.Join(t.TempDir(), "backup.db")
		must(t, s.Backup(ctx, file))
		must(t, o.RemoveBed(ctx, o.grower, NewID(), bed, 1))
		to := open(t, filepath.Join(t.TempDir(), "kept.db"))
		must(t, to.Restore(ctx, file))
		w, err := to.ByPass(ctx, link)
		must(t, err)
		if b, err := to.Bed(ctx, w, bed); err != nil || b.Brief != text {
			t.Error(b, err)
		}
		must(t, to.RemoveBed(ctx, o.grower, NewID(), bed, 1)) // as restore says: it is taken away again
		_, err = to.ByPass(ctx, link)
		is(t, err, FaultRemoved)
		rebuilt(t, to)
	})
}

// carriedOver looks whether a store with a removed bed is the same once rebuilt, restored from a backup, and imported from its open form.
func carriedOver(t *testing.T, s *Store, bed string) {
	t.Helper()
	ctx := t.Context()
	rebuilt(t, s)
	was, dir := stand(t, s), t.TempDir()
	must(t, s.Backup(ctx, filepath.Join(dir, "backup.db")))
	must(t, s.Export(ctx, filepath.Join(dir, "open")))
	for name, fill := range map[string]func(*Store) error{
		"restored": func(to *Store) error { return to.Restore(ctx, filepath.Join(dir, "backup.db")) },
		"imported": func(to *Store) error { return to.Import(ctx, filepath.Join(dir, "open")) },
	} {
		to := open(t, filepath.Join(dir, name+".db"))
		must(t, fill(to))
		if got := stand(t, to); got != was {
			t.Errorf("%s, the tables are\n%s\nwere\n%s", name, got, was)
		}
		if _, err := to.Bed(ctx, Holder(), bed); !Is(err, FaultRemoved) && !Is(err, FaultGone) {
			t.Errorf("%s: %v", name, err)
		}
		rebuilt(t, to)
	}
}

// What beds need is reckoned while one is removed: nothing is counted of it afterwards.
func TestReckonedWhileRemoved(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		for range 20 {
			bed := o.bed(t, o.grower)
			var all sync.WaitGroup
			for range 4 {
				all.Go(func() {
					for range 4 {
						if err := o.SetAttention(ctx, Holder(), bed, Attention{Rank: 100, Seen: 1 << 40, Again: time.Now()}); err != nil && !Is(err, FaultRemoved) {
							t.Error(err)
						}
					}
				})
			}
			must(t, o.RemoveBed(ctx, o.grower, NewID(), bed, 1))
			all.Wait()
		}
		if list, err := o.AttentionGroups(ctx, o.educator); err != nil || len(list) != 0 {
			t.Errorf("is counted: %v, %v", list, err)
		}
	})
}
