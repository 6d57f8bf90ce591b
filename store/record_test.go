package store

import (
	"reflect"
	"slices"
	"strings"
	"testing"
)

// Records are written by those who keep the programme's book, every version stays, and a
// name stands once in a table.
func TestRecords(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		r := Record{ID: NewID(), Ledger: "events", Name: "E001", Row: []Pair{{Path: "event", Text: "E001"}, {Path: "adults", Text: "12"}}}
		made, err := o.PutRecord(ctx, o.volunteer, r.ID, 0, r)
		if must(t, err); !made {
			t.Fatal("not made")
		}
		if made, err = o.PutRecord(ctx, o.volunteer, r.ID, 0, r); made || err != nil {
			t.Fatal("sent again:", made, err)
		}
		other := r
		other.ID = NewID()
		_, err = o.PutRecord(ctx, o.volunteer, other.ID, 0, other)
		is(t, err, FaultNamed)
		_, err = o.PutRecord(ctx, o.grower, NewID(), 1, r)
		is(t, err, FaultForbidden)
		if _, err := o.Record(ctx, o.grower, r.ID); !Is(err, FaultNotFound) {
			t.Error(err)
		}
		r.Row[1].Text = "25"
		_, err = o.PutRecord(ctx, o.educator, NewID(), 1, r)
		must(t, err)
		_, err = o.PutRecord(ctx, o.educator, NewID(), 1, r)
		is(t, err, FaultStale)
		if past, err := o.RecordHistory(ctx, o.educator, r.ID); err != nil || len(past) != 2 || past[0].Row[1].Text != "12" || past[1].Row[1].Text != "25" {
			t.Errorf("got %+v, %v", past, err)
		}
		before, err := o.RecordsTouched(ctx)
		must(t, err)
		// several at once: all or none, and one that is there already adds nothing
		slip := func() Record { return Record{ID: NewID(), Ledger: "slips", Row: []Pair{{Path: "sex", Text: "F"}}} }
		list := []Record{slip(), slip(), slip()}
		must(t, o.PutRecords(ctx, o.volunteer, list))
		must(t, o.PutRecords(ctx, o.volunteer, append(list, slip(), list[0])))
		bad := slip()
		bad.Ledger, bad.Name = "events", "E001"
		is(t, o.PutRecords(ctx, o.volunteer, []Record{slip(), bad}), FaultNamed)
		is(t, o.PutRecords(ctx, o.other, []Record{slip()}), FaultForbidden)
		counts, err := o.RecordCounts(ctx, o.educator)
		if err != nil || counts["slips"] != 4 || counts["events"] != 1 {
			t.Errorf("got %v, %v", counts, err)
		}
		if after, err := o.RecordsTouched(ctx); err != nil || after <= before {
			t.Error(before, after, err)
		}
		last, err := o.LastRecords(ctx, o.educator, "slips", 0, 2)
		if err != nil || len(last) != 2 || last[0].Order < last[1].Order {
			t.Errorf("got %+v, %v", last, err)
		}
		if rest, err := o.LastRecords(ctx, o.educator, "slips", last[1].Order, 10); err != nil || len(rest) != 2 {
			t.Errorf("got %+v, %v", rest, err)
		}
		n := 0
		must(t, o.EachRecord(ctx, o.educator, func(Record) error { n++; return nil }))
		if n != 5 {
			t.Errorf("%d records", n)
		}
		rowsAreThoseOfTheRecords(t, o.Store, o.educator)
		rebuilt(t, o.Store)
	})
}

// rowsAreThoseOfTheRecords holds that who reads rows alone reads those of all records, table by table in their order, each column by its name, and that nobody else may
// read them.
func rowsAreThoseOfTheRecords(t *testing.T, s *Store, w Who) {
	t.Helper()
	type line struct {
		ledger, texts string
		order         int64
	}
	var all, alone []line
	var tables []Columns
	must(t, s.EachRecord(t.Context(), w, func(r Record) error {
		i := slices.IndexFunc(tables, func(c Columns) bool { return c.Ledger == r.Ledger })
		if i < 0 {
			i = len(tables)
			tables = append(tables, Columns{Ledger: r.Ledger, Names: []string{"of no row"}})
			for _, p := range slices.Backward(r.Row) {
				tables[i].Names = append(tables[i].Names, string(p.Path))
			}
		}
		var texts []string
		for _, name := range tables[i].Names {
			text := ""
			for _, p := range r.Row {
				if string(p.Path) == name {
					text = p.Text
				}
			}
			texts = append(texts, text)
		}
		all = append(all, line{r.Ledger, strings.Join(texts, "|"), r.Order})
		return nil
	}))
	slices.SortStableFunc(all, func(a, b line) int {
		of := func(l line) int {
			return slices.IndexFunc(tables, func(c Columns) bool { return c.Ledger == l.ledger })
		}
		return of(a) - of(b)
	})
	must(t, s.EachRow(t.Context(), w, tables, func(ledger string, order int64, texts []string) error {
		alone = append(alone, line{ledger, strings.Join(texts, "|"), order})
		return nil
	}))
	if !reflect.DeepEqual(all, alone) || len(all) == 0 {
		t.Errorf("records %+v, rows %+v", all, alone)
	}
	if err := s.EachRow(t.Context(), Who{}, tables, func(string, int64, []string) error { return nil }); err == nil {
		t.Error("a stranger reads rows")
	}
}

// pileOf makes a pile of papers with so many drafts, open.
func pileOf(drafts int) (list []Record) {
	id := NewID()
	list = []Record{{ID: id, Ledger: "piles", Name: id, Row: []Pair{{Path: "state", Text: "open"}}}}
	for range drafts {
		list = append(list, Record{ID: NewID(), Ledger: Drafts + id + ":1", Row: []Pair{{Path: "sex", Text: "F"}}})
	}
	return list
}

// settled gives what settles a pile: as many rows of the book, the pile shut on top of the version that was seen, and the drafts.
func settled(pile []Record, saw int) (list []Record, drafts []string) {
	for _, d := range pile[1:] {
		list = append(list, Record{ID: NewID(), Ledger: "slips", Row: []Pair{{Path: "pile", Text: pile[0].ID}}})
		drafts = append(drafts, d.ID)
	}
	done := pile[0]
	done.Version, done.Row = saw, []Pair{{Path: "state", Text: "done"}}
	return append(list, done), drafts
}

// piles counts for each pile its drafts and its rows in the book, and whether it is shut.
func piles(t testing.TB, s *Store) map[string][3]int {
	out := map[string][3]int{}
	must(t, s.EachRecord(t.Context(), Holder(), func(r Record) error {
		pile, what := "", 0
		switch draft, is := strings.CutPrefix(r.Ledger, Drafts); {
		case is:
			pile, what = strings.TrimSuffix(draft, ":1"), 0
		case r.Ledger == "slips":
			pile, what = r.Row[0].Text, 1
		case r.Ledger == "piles" && r.Row[0].Text == "done":
			pile, what = r.ID, 2
		}
		if pile != "" {
			n := out[pile]
			n[what]++
			out[pile] = n
		}
		return nil
	}))
	return out
}

// A pile is settled and shut in one writing, or not at all: whoever saw it before another shut it adds nothing and takes no draft away.
func TestAPileIsSettledWhole(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		pile := pileOf(3)
		must(t, o.PutRecords(ctx, o.volunteer, pile))
		list, drafts := settled(pile, 2) // it is at 1
		is(t, o.Settle(ctx, o.volunteer, list, drafts), FaultStale)
		if got := piles(t, s)[pile[0].ID]; got != [3]int{3, 0, 0} {
			t.Errorf("refused, it is %v", got)
		}
		list, drafts = settled(pile, 1)
		must(t, o.Settle(ctx, o.volunteer, list, drafts))
		again, _ := settled(pile, 1)
		is(t, o.Settle(ctx, o.educator, again, nil), FaultStale)
		if got := piles(t, s)[pile[0].ID]; got != [3]int{0, 3, 1} {
			t.Errorf("settled, it is %v", got)
		}
		if past, err := o.RecordHistory(ctx, o.educator, pile[0].ID); err != nil || len(past) != 2 {
			t.Error(past, err)
		}
		rebuilt(t, s)
	})
}

// Who a code is can be seen by an educator, which is noted, and be forgotten; the records stay.
func TestContacts(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		must(t, o.PutContact(ctx, o.volunteer, Contact{"P3KKQ", "Invented Grower", "invented@example.invalid"}))
		_, err := o.ContactOf(ctx, o.volunteer, "P3KKQ")
		is(t, err, FaultForbidden)
		if c, err := o.ContactOf(ctx, o.educator, "P3KKQ"); err != nil || c.Name != "Invented Grower" {
			t.Errorf("got %+v, %v", c, err)
		}
		if looks, err := o.Looks(ctx, o.educator, o.now().Add(-1e9), 10); err != nil || len(looks) != 1 || looks[0].Account != "P3KKQ" {
			t.Errorf("got %+v, %v", looks, err)
		}
		must(t, o.ForgetContact(ctx, o.educator, "P3KKQ"))
		if c, err := o.ContactOf(ctx, o.educator, "P3KKQ"); err != nil || c.Name != "" {
			t.Errorf("got %+v, %v", c, err)
		}
	})
}

// What is emptied is gone from every version, from the table and from what is exported; the rest stays, the same is rebuilt, and what was sent
// once is not added again. Only who may see people may do it.
func TestEmptied(t *testing.T) {
	both(t, func(t *testing.T, s *Store) {
		o, ctx := staffed(t, s), t.Context()
		visit, person := NewID(), NewID()
		row := func(who, note string) []Pair {
			return []Pair{{Path: "visit", Text: "V1"}, {Path: "person", Text: who}, {Path: "note", Text: note}}
		}
		_, err := o.PutRecord(ctx, o.volunteer, visit, 0, Record{ID: visit, Ledger: "visits", Name: "V1", Row: row("P-SECRET", "invented words")})
		must(t, err)
		_, err = o.PutRecord(ctx, o.volunteer, NewID(), 1, Record{ID: visit, Ledger: "visits", Name: "V1", Row: row("P-SECRET", "other invented words")})
		must(t, err)
		_, err = o.PutRecord(ctx, o.volunteer, person, 0, Record{ID: person, Ledger: "people", Name: "P-SECRET", Row: []Pair{{Path: "person", Text: "P-SECRET"}}})
		must(t, err)
		must(t, o.PutContact(ctx, o.volunteer, Contact{"P-SECRET", "Invented Grower", "invented@example.invalid"}))
		said := []Record{{ID: NewID(), Ledger: "destroyed", Row: []Pair{{Path: "record", Text: "V1"}}}}
		list := []Emptied{{visit, row("", "")}, {person, nil}}
		is(t, o.EmptyRecords(ctx, o.volunteer, list, []string{"P-SECRET"}, said), FaultForbidden)
		touched, err := o.RecordsTouched(ctx)
		must(t, err)
		must(t, o.EmptyRecords(ctx, o.educator, list, []string{"P-SECRET"}, said))
		if now, _ := o.RecordsTouched(ctx); now == touched {
			t.Error("nobody sees that records are others now")
		}
		if codes, err := o.ContactCodes(ctx, o.educator); err != nil || len(codes) > 0 {
			t.Error(codes, err)
		}
		past, err := o.RecordHistory(ctx, o.educator, visit)
		must(t, err)
		for _, p := range past {
			if p.Row[0].Text != "V1" || p.Row[1].Text+p.Row[2].Text != "" {
				t.Errorf("still kept: %v", p.Row)
			}
		}
		_, err = o.Record(ctx, o.educator, person)
		is(t, err, FaultNotFound)
		_, err = o.PutRecord(ctx, o.volunteer, person, 0, Record{ID: person, Ledger: "people", Name: "P-SECRET", Row: []Pair{{Path: "person", Text: "P-SECRET"}}})
		is(t, err, FaultConflict)
		rebuilt(t, o.Store)
		if all := stand(t, o.Store); strings.Contains(all, "P-SECRET") || strings.Contains(all, "invented words") {
			t.Error("a table still has it")
		}
		var n int
		must(t, o.db.QueryRow("SELECT COUNT(*) FROM happening WHERE payload LIKE '%P-SECRET%' OR payload LIKE '%invented words%'").Scan(&n))
		if n > 0 {
			t.Error("what happened still tells it")
		}
	})
}
