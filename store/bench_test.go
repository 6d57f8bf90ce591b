package store

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// filled gives a store of so many beds and entries, half a year of them, and its first bed.
// The same SQL serves both databases, as in the program.
func filled(b *testing.B, where string, beds, entries int) (*Store, string) {
	s := open(b, where)
	id := func(kind int, i string) string {
		return fmt.Sprintf("'00000000-0000-7000-%d-' || SUBSTR(CAST(1000000000000 + %s AS TEXT), 2)", kind, i)
	}
	count := func(n int) string {
		return fmt.Sprintf("WITH RECURSIVE n(i) AS (SELECT CAST(0 AS BIGINT) UNION ALL SELECT i + 1 FROM n WHERE i + 1 < %d) ", n)
	}
	bed, entry := id(8000, "i"), id(8001, "i")
	of := id(8000, fmt.Sprintf("i %% %d", beds))
	pairs := `'[{"Path":"depth","Text":"6 in"},{"Path":"ec","Text":"1.6 mS/cm"},{"Path":"ph","Text":"5.8"},{"Path":"water temperature","Text":"70 F"}]'`
	many(b, s)
	for _, statement := range []string{
		"INSERT INTO bed (id, owner, title, place, brief, edition, version, changed) " + count(beds) + "SELECT " + bed + ", '', 'Invented', '04473', '" + text + "', '', 1, i FROM n",
		"INSERT INTO attention (bed, owner, rank, seen, again, reasons) " + count(beds) + "SELECT " + bed + `, '', i % 977, i, 4000000000000, '[{"Code":"tend.late","Args":{"Days":"3"}}]' FROM n`,
		"INSERT INTO happening (seq, id, who, recorded, happened, what, thing, payload) " + count(entries) + "SELECT i + 1, " + entry + ", 'holder', 1800000000000, 1800000000000 + i * 7000, 'entry.kept', " + entry + `, '{"bed":"' || ` + of + ` || '","version":1,"pairs":' || ` + pairs + " || '}' FROM n",
		"INSERT INTO entry (id, bed, seq, happened, recorded, who, version, pairs) " + count(entries) + "SELECT " + entry + ", " + of + ", i + 1, 1800000000000 + i * 7000, 1800000000000, 'holder', 1, " + pairs + " FROM n",
		fmt.Sprintf("UPDATE store SET seq = %d", entries),
		"ANALYZE",
	} {
		if _, err := s.db.Exec(statement); err != nil {
			b.Fatal(statement, err)
		}
	}
	return s, "00000000-0000-7000-8000-000000000000"
}

// BenchmarkStore measures what pages ask for. Of 1,000 beds and 200,000 entries; with
// RAFTWRIGHT_LARGE set, of 10,000 beds and 2,000,000.
func BenchmarkStore(b *testing.B) {
	beds, entries := 1_000, 200_000
	if os.Getenv("RAFTWRIGHT_LARGE") != "" {
		beds, entries = 10_000, 2_000_000
	}
	for _, kind := range []string{"sqlite", "postgres"} {
		b.Run(kind, func(b *testing.B) {
			where := filepath.Join(b.TempDir(), "kept.db")
			if kind == "postgres" {
				where = database(b)
			}
			s, bed := filled(b, where, beds, entries)
			ctx, w := b.Context(), Holder()
			try := func(name string, do func() error) {
				b.Run(name, func(b *testing.B) {
					for b.Loop() {
						if err := do(); err != nil {
							b.Fatal(err)
						}
					}
				})
			}
			try("keep", func() error {
				_, err := s.Keep(ctx, w, NewID(), bed, time.Now(), childPairs)
				return err
			})
			try("bed", func() error { // its page: the brief and the whole log
				if _, err := s.Bed(ctx, w, bed); err != nil {
					return err
				}
				list, err := s.Entries(ctx, w, bed, Entry{}, 200)
				if len(list) < 200 {
					b.Fatalf("%d entries, %v", len(list), err)
				}
				return err
			})
			try("attention", func() error {
				list, err := s.Attention(ctx, w, Group{}, nil, 100)
				if len(list) < 100 {
					b.Fatalf("%d beds, %v", len(list), err)
				}
				return err
			})
			try("due", func() error {
				_, err := s.AttentionDue(ctx, time.UnixMilli(0), "", 100)
				return err
			})
			try("wave", func() error { // 1,000 links
				list, err := s.Askings(ctx, w, "A6")
				if len(list) != 1_000 {
					b.Fatalf("%d links, %v", len(list), err)
				}
				return err
			})
			try("answer", func() error { // whose a link is, and what became of the book since
				if _, _, err := s.RecordsSince(ctx, w, 19_990, 100); err != nil {
					return err
				}
				_, err := s.AskedBy(ctx, "nothing")
				if !Is(err, FaultAsking) {
					return err
				}
				return nil
			})
			try("book", func() error { // all 20,000 records
				n := 0
				err := s.EachRecord(ctx, w, func(Record) error { n++; return nil })
				if n != 20_000 {
					b.Fatalf("%d records, %v", n, err)
				}
				return err
			})
			try("passkey", func() error { _, err := s.Passkey(ctx, "key7"); return err })
			try("beds", func() error {
				_, err := s.Beds(ctx, w, "", 100)
				return err
			})
		})
	}
}
