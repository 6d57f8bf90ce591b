package store

import (
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
		rebuilt(t, o.Store)
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
