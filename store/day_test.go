package store

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
)

// Of a slip, an answer without a name, a form that came back, and of what they are keyed in and corrected by, no hour is kept: not in the happenings, not in
// the records, not in an id, not in what is exported or backed up. Rows of the same day all say the same moment. Of an event the moment stays.
func TestNoHourOfWhoGaveNoName(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		morning := time.Date(2027, 5, 8, 9, 41, 23, 417e6, time.Local)
		noon := time.Date(2027, 5, 8, 12, 0, 0, 0, time.UTC)
		at := morning
		s.now = func() time.Time { return at }
		row := []Pair{{Path: "sex", Text: "F"}}
		event := Record{ID: NewIDIn("events"), Ledger: "events", Name: "E1", Row: row}
		must(t, o.PutRecords(ctx, o.volunteer, []Record{event}))
		id := NewIDIn("slips")
		if _, err := o.PutRecord(ctx, o.volunteer, id, 0, Record{ID: id, Ledger: "slips", Name: "S1", Row: row}); err != nil {
			t.Fatal(err)
		}
		pile := pileOf(3)
		for i := range pile {
			pile[i].ID = NewIDIn(pile[i].Ledger)
		}
		pile[0].Name = pile[0].ID
		must(t, o.PutRecords(ctx, o.volunteer, pile))
		at = morning.Add(97 * time.Minute)
		list, drafts := settled(pile, 1)
		for i := range list[:len(list)-1] {
			list[i].ID = NewIDIn(list[i].Ledger)
		}
		must(t, o.Settle(ctx, o.volunteer, list, drafts))
		secrets, err := o.GiveAskings(ctx, o.educator, "W1", []string{"P1"})
		must(t, err)
		reply := Record{ID: NewIDIn("replies"), Ledger: "replies", Name: "R1", Row: row}
		must(t, o.Reply(ctx, secrets[0], false, reply, Record{ID: NewIDIn("answers"), Ledger: "answers", Row: row}))

		id = NewIDIn("corrections")
		of := func(name, table, record string) Record {
			return Record{ID: NewIDIn("corrections"), Ledger: "corrections", Name: name, Row: []Pair{{Path: "table", Text: table}, {Path: "record", Text: record}, {Path: "action", Text: "void"}}}
		}
		must(t, o.PutRecords(ctx, o.volunteer, []Record{of("X1", "slips", "S1"), of("X2", "corrections", "X1")})) // struck out, and taken back
		change := of("X3", "slips", "S1")
		change.ID = id
		if _, err := o.PutRecord(ctx, o.volunteer, id, 0, change); err != nil {
			t.Fatal(err)
		}

		look := func(where string, s *Store) {
			t.Helper()
			unnamed, named := 0, 0
			must(t, s.EachRecord(ctx, Holder(), func(r Record) error {
				if r.Ledger == "events" {
					if named++; !r.Recorded.Equal(morning) {
						t.Errorf("%s: the event says %v", where, r.Recorded)
					}
					return nil
				}
				if unnamed++; !r.Recorded.Equal(noon) {
					t.Errorf("%s: a row of %s says %v", where, r.Ledger, r.Recorded)
				}
				return nil
			}))
			if unnamed != 10 || named != 1 {
				t.Errorf("%s: %d and %d rows", where, unnamed, named)
			}
			found, err := s.db.QueryContext(ctx, "SELECT id, thing, recorded, happened FROM happening WHERE what = 'record.written' AND thing <> '"+event.ID+"'")
			must(t, err)
			defer found.Close()
			n := 0
			for ; found.Next(); n++ {
				var id, thing string
				var recorded, happened int64
				must(t, found.Scan(&id, &thing, &recorded, &happened))
				if recorded != noon.UnixMilli() || happened != recorded {
					t.Errorf("%s: a happening says %v, %v", where, time.UnixMilli(recorded).UTC(), time.UnixMilli(happened).UTC())
				}
				for _, x := range []string{id, thing} {
					if uuid.MustParse(x).Version() != 4 {
						t.Errorf("%s: %s tells a time", where, x)
					}
				}
			}
			if n != 14 {
				t.Errorf("%s: %d happenings", where, n)
			}
		}
		look("kept", s)
		must(t, s.Rebuild(ctx))
		look("rebuilt", s)
		copied := filepath.Join(t.TempDir(), "backup.db")
		must(t, s.Backup(ctx, copied))
		from := open(t, copied)
		look("backed up", from)
		dir := filepath.Join(t.TempDir(), "out")
		must(t, s.Export(ctx, dir))
		text, err := os.ReadFile(filepath.Join(dir, happeningsFile))
		must(t, err)
		for line := range strings.Lines(string(text)) {
			if strings.Contains(line, recordWritten) && !strings.Contains(line, event.ID) && strings.Count(line, "2027-05-08T12:00:00Z") != 2 {
				t.Errorf("exported: %s", line)
			}
		}
		again := open(t, filepath.Join(t.TempDir(), "again.db"))
		must(t, again.Import(ctx, dir))
		look("taken in", again)
	})
}

// The moment that stands for a day is of that day by the clock of the office, early and late, west and east.
func TestTheDayIsTheOffices(t *testing.T) {
	was := time.Local
	defer func() { time.Local = was }()
	for _, hours := range []int{-11, -10, -5, 0, 9, 11} {
		time.Local = time.FixedZone("", hours*3600)
		for _, clock := range []time.Duration{time.Minute, 12 * time.Hour, 24*time.Hour - time.Millisecond} {
			at := time.Date(2027, 5, 8, 0, 0, 0, 0, time.Local).Add(clock)
			kept := time.UnixMilli(noon(at.UnixMilli()))
			if got := kept.UTC().Format(time.DateTime) + kept.Local().Format(" 02"); got != "2027-05-08 12:00:00 08" {
				t.Errorf("UTC%+d, %v: %s", hours, clock, got)
			}
		}
	}
}
