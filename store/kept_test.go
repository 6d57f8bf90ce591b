package store

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"pgregory.net/rapid"

	"raftwright/finding"
)

// stand gives every current table as text.
func stand(t testing.TB, s *Store) string {
	t.Helper()
	var out strings.Builder
	for _, table := range []string{"account", "pass", "bed", "removed", "entry", "sheet", "photo", "record"} {
		found, err := s.db.Query("SELECT " + columns[table] + " FROM " + table + " ORDER BY id")
		must(t, err)
		n := len(strings.Split(columns[table], ","))
		values, into := make([]any, n), make([]any, n)
		for i := range values {
			into[i] = &values[i]
		}
		for found.Next() {
			must(t, found.Scan(into...))
			fmt.Fprintln(&out, table, fmt.Sprintf("%q", values))
		}
		must(t, found.Close())
	}
	return out.String()
}

// rebuilt looks whether the current tables are those that the happenings make.
func rebuilt(t testing.TB, s *Store) {
	t.Helper()
	before := stand(t, s)
	must(t, s.Rebuild(context.Background()))
	if after := stand(t, s); after != before {
		t.Fatalf("rebuilt, the tables are others:\n%s\nwere:\n%s", after, before)
	}
}

// live does random things to a store, some of them twice, some refused.
func live(t testing.TB, r *rapid.T, o office, steps int) {
	ctx := context.Background()
	whos := []Who{Holder(), o.educator, o.volunteer, o.grower, o.other}
	accounts := []string{o.grower.account, o.other.account, NewID()}
	records := []string{NewID()}
	beds, entries, passes, sheets, photos := []string{NewID()}, []string{NewID()}, []string{NewID()}, []string{NewID()}, []string{NewID()}
	for range steps {
		w, id := rapid.SampledFrom(whos).Draw(r, "who"), NewID()
		at := time.UnixMilli(rapid.Int64Range(0, 4e12).Draw(r, "at"))
		pairs := rapid.SliceOfN(rapid.Custom(func(r *rapid.T) Pair {
			return Pair{Path: rapid.SampledFrom([]finding.Path{"added[0].volume", "added[10].volume", "added[9].volume", "ec"}).Draw(r, "key"), Text: rapid.SampledFrom([]string{"", "1.6", " a\n\"b\",;<&>ñ"}).Draw(r, "text")}
		}), 0, 3).Draw(r, "pairs")
		saw := rapid.IntRange(0, 3).Draw(r, "saw")
		bed, entry, sheet := rapid.SampledFrom(beds).Draw(r, "bed"), rapid.SampledFrom(entries).Draw(r, "entry"), rapid.SampledFrom(sheets).Draw(r, "sheet")
		var err error
		for range rapid.IntRange(1, 2).Draw(r, "times") {
			switch rapid.IntRange(0, 16).Draw(r, "act") {
			case 11:
				_, err = o.AddPhoto(ctx, w, id, bed, rapid.SampledFrom([]string{"", entry}).Draw(r, "beside"), picture(rapid.IntRange(1, 3).Draw(r, "size")))
				photos = append(photos, id)
			case 13:
				record := Record{ID: rapid.SampledFrom(records).Draw(r, "record"), Ledger: "events", Name: rapid.SampledFrom([]string{"", "E1", "E2"}).Draw(r, "name"), Row: pairs}
				_, err = o.PutRecord(ctx, w, id, saw, record)
				records = append(records, id)
			case 14:
				err = o.PutRecords(ctx, w, []Record{{ID: id, Ledger: "hours", Row: pairs}, {ID: records[0], Ledger: "hours"}, {ID: NewID(), Ledger: "hours", Row: pairs}, {ID: id, Ledger: "hours", Row: pairs}})
			case 15:
				err = o.RemoveBed(ctx, w, id, bed, saw)
			case 16:
				err = o.ReturnBed(ctx, w, id, bed)
			case 12:
				err = o.RemovePhoto(ctx, w, id, rapid.SampledFrom(photos).Draw(r, "photo"))
			case 0, 1:
				_, err = o.PutBed(ctx, w, id, rapid.SampledFrom([]string{"", text, "not: [a brief"}).Draw(r, "brief"), "1-ab")
				beds = append(beds, id)
			case 2:
				_, err = o.PutBrief(ctx, w, id, bed, saw, text, "2-cd")
			case 3, 4:
				_, err = o.Keep(ctx, w, id, bed, at, pairs)
				entries = append(entries, id)
			case 5:
				_, err = o.Correct(ctx, w, id, entry, saw, at, pairs)
			case 6:
				_, err = o.GivePass(ctx, w, id, Link, bed, "", "label")
				passes = append(passes, id)
			case 7:
				err = o.WithdrawPass(ctx, w, id, rapid.SampledFrom(passes).Draw(r, "pass"))
			case 8:
				_, err = o.PutSheet(ctx, w, id, saw, Sheet{ID: sheet, Kind: ShelfSheet, Name: "s", Text: "shelf:\n- 8-15-36\n"})
				sheets = append(sheets, id)
			case 9:
				err = o.GiveBed(ctx, w, id, bed, rapid.SampledFrom(accounts).Draw(r, "to"))
			case 10:
				err = o.SetRole(ctx, w, id, rapid.SampledFrom(accounts).Draw(r, "of"), rapid.SampledFrom(Roles()).Draw(r, "role"))
			}
			if Is(err, FaultBroken) {
				t.Fatal(err)
			}
		}
	}
}

// picture makes a JPEG.
func picture(side int) []byte {
	var out bytes.Buffer
	jpeg.Encode(&out, image.NewGray(image.Rect(0, 0, side, side)), nil)
	return out.Bytes()
}

func TestPhotos(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		bed, id := o.bed(t, o.grower), NewID()
		for i := range 2 {
			if made, err := o.AddPhoto(ctx, o.grower, id, bed, "", picture(8)); made != (i == 0) || err != nil {
				t.Fatal(made, err)
			}
		}
		second := NewID()
		_, err := o.AddPhoto(ctx, o.grower, second, bed, "", picture(8)) // the same picture again
		must(t, err)
		if list, err := o.Photos(ctx, o.grower, bed); err != nil || len(list) != 2 {
			t.Errorf("got %v, %v", list, err)
		}
		_, err = o.Picture(ctx, o.other, id)
		is(t, err, FaultNotFound)
		is(t, o.RemovePhoto(ctx, o.other, NewID(), id), FaultNotFound)
		must(t, o.RemovePhoto(ctx, o.grower, NewID(), id))
		if p, err := o.Picture(ctx, o.grower, second); err != nil || !bytes.Equal(p, picture(8)) {
			t.Error(len(p), err)
		}
		must(t, o.RemovePhoto(ctx, o.grower, NewID(), second))
		var left int
		must(t, s.db.QueryRow("SELECT COUNT(*) FROM image").Scan(&left))
		if left != 0 {
			t.Errorf("%d pictures are left", left)
		}
		plain := picture(8)
		place := slices.Concat(plain[:2], []byte{0xFF, 0xE1, 0, 8, 'E', 'x', 'i', 'f', 0, 0}, plain[2:]) // Exif 2.32: APP1
		for name, bad := range map[string][]byte{"no picture": []byte("GIF89a"), "none": nil, "with a place": place, "wide": picture(MostPhotoSide + 1)} {
			if _, err := o.AddPhoto(ctx, o.grower, NewID(), bed, "", bad); !Is(err, FaultPhoto) {
				t.Errorf("%s: %v", name, err)
			}
		}
		feed, err := o.GivePass(ctx, o.grower, NewID(), Feed, bed, "", "")
		must(t, err)
		reader, err := o.ByPass(ctx, feed)
		must(t, err)
		_, err = o.Bed(ctx, reader, bed)
		must(t, err)
		_, err = o.Keep(ctx, reader, NewID(), bed, childAt, childPairs)
		is(t, err, FaultForbidden)
	})
}

func TestRebuildIsTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	both(t, func(t *testing.T, s *Store) {
		o := staffed(t, s)
		rapid.Check(t, func(r *rapid.T) {
			live(t, r, o, 10)
		})
		rebuilt(t, s)
		if n := strings.Count(stand(t, s), "\n"); n < 50 {
			t.Errorf("only %d rows", n)
		}
	})
}

// child writes to a store until it is killed, and tells each entry before and after.
func child(where string) {
	ctx := context.Background()
	s, err := Open(ctx, where)
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	bed := os.Getenv("RAFTWRIGHT_STORE_BED")
	var one sync.Mutex
	say := func(what, id string) {
		one.Lock()
		defer one.Unlock()
		os.Stdout.WriteString(what + " " + id + "\n") // one write: a line is whole or not there
	}
	go func() {
		for {
			pile := pileOf(3)
			if err := s.PutRecords(ctx, Holder(), pile); err != nil {
				say("error", err.Error())
			}
			list, drafts := settled(pile, 1)
			if err := s.Settle(ctx, Holder(), list, drafts); err != nil {
				say("error", err.Error())
			}
		}
	}()
	for n := range 4 {
		go func() {
			for i := 0; ; i++ {
				id := NewID()
				say("try", id)
				if _, err := s.Keep(ctx, Holder(), id, bed, childAt, childPairs); err != nil {
					say("error", err.Error())
				}
				say("kept", id)
				if i%5 == n {
					s.Correct(ctx, Holder(), NewID(), id, 1, childAt, childPairs[:1])
				}
			}
		}()
	}
	time.Sleep(time.Minute)
	os.Exit(1)
}

var (
	childAt    = time.Date(2027, 5, 10, 8, 0, 0, 0, time.UTC)
	childPairs = []Pair{{Path: "ec", Text: "1.6 mS/cm"}, {Path: "ph", Text: "5.8"}}
)

// A process that writes is killed at random moments: what it acknowledged is there once,
// what it did not can be sent again, a pile is settled and shut or neither, the file is sound, and the tables are those of the
// happenings. RAFTWRIGHT_KILLS says how often (./check --long: 200).
func TestKilledWhileWriting(t *testing.T) {
	kills, err := strconv.Atoi(os.Getenv("RAFTWRIGHT_KILLS"))
	switch {
	case err == nil:
	case testing.Short():
		kills = 4
	default:
		kills = 10
	}
	t.Run("sqlite", func(t *testing.T) { killed(t, filepath.Join(t.TempDir(), "kept.db"), kills) })
	t.Run("postgres", func(t *testing.T) { killed(t, database(t), kills) })
}

func killed(t *testing.T, where string, kills int) {
	s := open(t, where)
	bed := NewID()
	_, err := s.PutBed(t.Context(), Holder(), bed, text, "")
	must(t, err)
	seen := 0
	for range kills {
		c := exec.Command(os.Args[0])
		c.Env = append(os.Environ(), "RAFTWRIGHT_STORE_CHILD="+where, "RAFTWRIGHT_STORE_BED="+bed)
		out, err := c.StdoutPipe()
		must(t, err)
		must(t, c.Start())
		var tried, kept []string
		lines, enough := bufio.NewScanner(out), 1+rand.IntN(15)
		for lines.Scan() {
			what, id, _ := strings.Cut(lines.Text(), " ")
			switch what {
			case "try":
				tried = append(tried, id)
			case "kept":
				if kept = append(kept, id); len(kept) == enough { // the others are somewhere in their writing
					time.AfterFunc(time.Duration(rand.IntN(3000))*time.Microsecond, func() { c.Process.Kill() })
				}
			default:
				t.Error(lines.Text())
			}
		}
		c.Wait()
		must(t, s.Check(t.Context()))
		for _, id := range tried {
			made, err := s.Keep(t.Context(), Holder(), id, bed, childAt, childPairs)
			if err != nil {
				t.Fatal(err)
			}
			if made && slices.Contains(kept, id) {
				t.Fatalf("entry %s was acknowledged and lost", id)
			}
		}
		seen += len(kept)
		all, err := s.Entries(t.Context(), Holder(), bed, Entry{}, 1e6)
		must(t, err)
		times := map[string]int{}
		for _, e := range all {
			times[e.ID]++
		}
		for _, id := range tried {
			if times[id] != 1 {
				t.Fatalf("entry %s is there %d times", id, times[id])
			}
		}
	}
	rebuilt(t, s)
	whole := 0
	for id, got := range piles(t, s) {
		switch got {
		case [3]int{0, 3, 1}:
			whole++
		case [3]int{3, 0, 0}: // not yet
		default:
			t.Errorf("of pile %s are left %d drafts, in the book stand %d rows, shut %d", id, got[0], got[1], got[2])
		}
	}
	if whole == 0 {
		t.Error("no pile was settled")
	}
	if seen < kills {
		t.Errorf("only %d entries were acknowledged in %d rounds", seen, kills)
	}
	t.Logf("%d entries acknowledged in %d rounds", seen, kills)
}

func TestBackupWhileWriting(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		bed := o.bed(t, o.grower)
		begun, stop, done := make(chan bool), make(chan bool), make(chan bool)
		go func() {
			defer close(done)
			for n := 0; ; n++ {
				if n == 3 {
					close(begun)
				}
				select {
				case <-stop:
					return
				default:
				}
				if _, err := o.Keep(ctx, o.grower, NewID(), bed, childAt, childPairs); err != nil {
					t.Error(err)
				}
			}
		}()
		<-begun
		file := filepath.Join(t.TempDir(), "backup.db")
		must(t, s.Backup(ctx, file))
		close(stop)
		<-done
		is(t, s.Backup(ctx, file), FaultThere)
		before, err := os.ReadFile(file)
		must(t, err)
		is(t, s.Restore(ctx, file), FaultNotEmpty)

		if s.lite { // not a backup: its last happenings are not in the file yet
			is(t, open(t, filepath.Join(t.TempDir(), "empty.db")).Restore(ctx, s.where), FaultInUse)
		}
		back := open(t, filepath.Join(t.TempDir(), "back.db"))
		must(t, back.Restore(ctx, file))
		must(t, back.Check(ctx))
		rebuilt(t, back)
		if p, err := back.People(ctx, Holder()); err != nil || len(p) != 4 {
			t.Error(p, err)
		}
		if _, err := back.Keep(ctx, Holder(), NewID(), bed, childAt, childPairs); err != nil {
			t.Error(err)
		}
		if after, err := os.ReadFile(file); err != nil || !bytes.Equal(before, after) {
			t.Error("the backup was altered", err)
		}
		if left, _ := os.ReadDir(filepath.Dir(file)); len(left) != 1 {
			t.Errorf("left behind: %v", left)
		}
	})
}

// Exported, imported and exported again, all is the same to the byte, also into the other
// kind of database.
func TestOpenFormIsTheSame(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		rapid.Check(t, func(r *rapid.T) { live(t, r, o, 2) })
		must(t, o.SetContact(ctx, o.educator, o.grower.account, "555-0100"))
		must(t, o.PutContact(ctx, o.educator, Contact{"P3KKQ", "Invented", "555-0101"}))
		dir := t.TempDir()
		first, second := filepath.Join(dir, "first"), filepath.Join(dir, "second")
		must(t, s.Export(ctx, first))
		is(t, s.Export(ctx, first), FaultThere)
		is(t, s.Import(ctx, first), FaultNotEmpty)
		back := open(t, filepath.Join(dir, "back.db"))
		must(t, back.Import(ctx, first))
		if got, want := stand(t, back), stand(t, s); got != want {
			t.Errorf("imported:\n%s\nwas:\n%s", got, want)
		}
		must(t, back.Export(ctx, second))
		was, is := folder(t, first), folder(t, second)
		if len(was) < 10 {
			t.Errorf("only %d files", len(was))
		}
		for name, text := range was {
			if is[name] != text {
				t.Errorf("%s:\n%s\nwas:\n%s", name, is[name], text)
			}
		}
		if len(was) != len(is) {
			t.Errorf("%d files, were %d", len(is), len(was))
		}
	})
}

func folder(t testing.TB, dir string) map[string]string {
	files := map[string]string{}
	must(t, filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			var b []byte
			b, err = os.ReadFile(p)
			files[strings.TrimPrefix(p, dir)] = string(b)
		}
		return err
	}))
	return files
}

// The same readings are the same entry, however they were sent.
func TestTidy(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		some := rapid.SliceOfDistinct(rapid.StringMatching(`[ab.\[\]0-9]{1,6}`), func(s string) string { return s }).Draw(r, "keys")
		pairs := make([]Pair, len(some))
		for i, k := range some {
			pairs[i] = Pair{Path: finding.Path(k), Text: "1"}
		}
		first, err := tidy(pairs)
		must(t, err)
		mixed, err := tidy(rapid.Permutation(pairs).Draw(r, "mixed"))
		must(t, err)
		if !slices.Equal(first, mixed) {
			r.Fatalf("%v and %v", first, mixed)
		}
	})
	order := []Pair{{Path: "added[10].volume", Text: "1"}, {Path: "ec", Text: ""}, {Path: "added[9].volume", Text: "2"}, {Path: "added[9].strength", Text: "3"}}
	got, err := tidy(order)
	if want := []Pair{order[3], order[2], order[0]}; err != nil || !slices.Equal(got, want) {
		t.Errorf("got %v, %v", got, err)
	}
	_, err = tidy([]Pair{{Path: "ec", Text: "1"}, {Path: "ec", Text: "2"}})
	is(t, err, FaultTwice)
}

// Lines of an import come from anywhere: each is refused, or is what the store itself writes.
func FuzzImport(f *testing.F) {
	const id = "01930000-0000-7000-8000-000000000001"
	f.Add(`{"seq":1,"id":"`+id+`","who":"holder","recorded":"2027-05-10T08:00:00Z","what":"entry.kept","thing":"`+id+`","payload":{"bed":"`+id+`","version":1}}`,
		"id,entry,version,at,ec\n"+id+","+id+",1,2027-05-10T08:00:00.000Z,1.6\n")
	f.Add(`{"seq":1,"id":"`+id+`","who":"holder","recorded":"2027-05-10T08:00:00Z","what":"pass.given","thing":"`+id+`","payload":{}}`, "")
	f.Fuzz(func(t *testing.T, line, table string) {
		folder := fstest.MapFS{path.Join("beds", id, logFile): {Data: []byte(table)}}
		h, err := closed(folder, []byte(line), map[string]map[string]logLine{})
		if err != nil {
			return
		}
		if !json.Valid([]byte(h.Payload)) || check(h.ID, h.Thing) != nil || clean(h.Payload, 2*mostText) != nil {
			t.Errorf("took %+v", h)
		}
	})
}
