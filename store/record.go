package store

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"iter"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/store/rows"
)

// Record is a row of a table of a programme: an event, a visit, a question, a harvest. What
// the tables are, and what may stand in them, says the room programme; here a row is its
// columns and texts.
type Record struct {
	ID       string
	Ledger   string // the table
	Name     string // what the table calls the row, "" where rows have no names
	Row      []Pair // column and text, in the order of the columns
	Version  int    // from 1
	Order    int64  // of the records of a store
	Who      string
	Recorded time.Time // of a row without a name (a slip, an answer, a form that came back) and of a correction: noon of the day, UTC
}

// mostColumns bounds the columns of a record.
const mostColumns = 40

// PutRecord writes a record on top of the version that its writer saw, 0 for a new one. The
// id is of this writing. A name that the table already has is a conflict.
func (s *Store) PutRecord(ctx context.Context, w Who, id string, saw int, r Record) (made bool, err error) {
	if err := check(id, r.ID); err != nil {
		return false, err
	}
	if err := checkRecord(saidRecord{Ledger: r.Ledger, Name: r.Name, Row: r.Row}); err != nil {
		return false, err
	}
	err = s.write(ctx, func(tx *writer) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		made, err = tx.record(ctx, w, id, saw, r)
		return err
	})
	return made, err
}

// PutRecords writes records, all of them or none: new ones, and one with a version on top of the version that its writer saw.
func (s *Store) PutRecords(ctx context.Context, w Who, list []Record) error {
	return s.PutEachRecord(ctx, w, slices.Values(list))
}

// PutEachRecord writes records as PutRecords does, of which not all need be at hand at once.
func (s *Store) PutEachRecord(ctx context.Context, w Who, list iter.Seq[Record]) error {
	return s.write(ctx, func(tx *writer) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		return tx.records(ctx, w, list)
	})
}

func (w *writer) record(ctx context.Context, who Who, id string, saw int, r Record) (made bool, err error) {
	old, err := w.Record(ctx, r.ID)
	if err := missing(err, wordRecord, r.ID); err != nil && (saw > 0 || !Is(err, FaultNotFound)) {
		return false, err
	}
	if _, err := w.HappeningByID(ctx, id); errors.Is(err, sql.ErrNoRows) { // not sent before
		if int64(saw) != old.Version || saw > 0 && (old.Ledger != r.Ledger || old.Name != r.Name) {
			return false, finding.Fault{ID: FaultStale, Args: finding.Args{"Thing": wordRecord, "Name": r.ID}}
		}
		if saw == 0 && r.Name != "" {
			if n, err := w.RecordNamed(ctx, r.Ledger, r.Name); err != nil {
				return false, err
			} else if n > 0 {
				return false, finding.Fault{ID: FaultNamed, Args: finding.Args{"Name": r.Name}}
			}
		}
	}
	return w.append(ctx, who, id, recordWritten, r.ID, time.Time{}, saidRecord{r.Ledger, r.Name, int64(saw) + 1, r.Row})
}

func checkRecord(r saidRecord) error {
	if err := errors.Join(clean(r.Ledger, mostName), clean(r.Name, mostName)); err != nil || len(r.Row) > mostColumns || r.Ledger == "" {
		return finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostName}}
	}
	for _, p := range r.Row {
		if err := errors.Join(clean(string(p.Path), mostName), clean(p.Text, mostNote)); err != nil {
			return finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostNote}}
		}
	}
	return nil
}

// mostNote bounds a text in a record.
const mostNote = 4000

// Record gives a record.
func (s *Store) Record(ctx context.Context, w Who, id string) (r Record, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordRecord, "Name": id}}
		}
		found, err := q.Record(ctx, id)
		if err != nil {
			return missing(err, wordRecord, id)
		}
		r, err = recordOf(found)
		return err
	})
	return r, err
}

// RecordHistory lists every version of a record, the oldest first.
func (s *Store) RecordHistory(ctx context.Context, w Who, id string) (list []Record, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, id)
		}
		past, err := q.HappeningsOf(ctx, id)
		for _, h := range past {
			var p saidRecord
			if h.What != recordWritten {
				continue
			}
			if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
				return err
			}
			list = append(list, Record{id, p.Ledger, p.Name, p.Row, int(p.Version), h.Seq, h.Who, time.UnixMilli(h.Recorded).UTC()})
		}
		return err
	})
	return list, err
}

// FirstRecord gives the record that was added first, an empty one where there is none.
func (s *Store) FirstRecord(ctx context.Context, w Who) (r Record, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		found, err := q.RecordsAfter(ctx, 0, 1)
		if err == nil && len(found) > 0 {
			r, err = recordOf(found[0])
		}
		return err
	})
	return r, err
}

// EachRecord gives every record in the order in which they were added.
func (s *Store) EachRecord(ctx context.Context, w Who, do func(Record) error) error {
	next := func(q *rows.Queries, ctx context.Context, after int64) ([]rows.Record, error) {
		return q.RecordsAfter(ctx, after, recordsAtOnce)
	}
	return s.eachInTable(ctx, w, func(q *rows.Queries) error {
		return eachAfter(ctx, q, next, func(f rows.Record) int64 { return f.Seq }, func(f rows.Record) error {
			r, err := recordOf(f)
			if err != nil {
				return err
			}
			return do(r)
		})
	})
}

// recordsAtOnce is how many records are read from the database at once.
const recordsAtOnce = 5000

// Columns are a table and the columns that are wanted of it.
type Columns struct {
	Ledger string
	Names  []string
}

// EachRow gives of every record of tables its order and its row alone: of one table after the other, of each in the order in which they were added, a text for each
// column that is wanted, "" where the row says nothing in it. The texts hold until do ends. It is what a report is made of.
func (s *Store) EachRow(ctx context.Context, w Who, tables []Columns, do func(ledger string, order int64, texts []string) error) error {
	return s.eachInTable(ctx, w, func(q *rows.Queries) error {
		type part struct {
			table int
			lines string
		}
		in := make([]*rowTexts, len(tables))
		for i, t := range tables {
			in[i] = inColumns(t.Names)
		}
		return ahead(ctx, func(ctx context.Context, give func(part) error) error {
			for i, t := range tables {
				for after := int64(0); ; {
					lines, err := q.RowsAfter(ctx, t.Ledger, after, recordsAtOnce)
					if err != nil {
						return err
					}
					if lines == "" {
						break
					}
					if after, _, err = rowOf(lines[strings.LastIndexByte(lines, '\n')+1:]); err != nil {
						return err
					}
					if err := give(part{i, lines}); err != nil {
						return err
					}
				}
			}
			return nil
		}, func(p part) error {
			for line := range strings.SplitSeq(p.lines, "\n") {
				order, pairs, err := rowOf(line)
				if err != nil {
					return err
				}
				texts, err := in[p.table].texts(pairs)
				if err != nil {
					return err
				}
				if err := do(tables[p.table].Ledger, order, texts); err != nil {
					return err
				}
			}
			return nil
		})
	})
}

// rowOf takes a line of RowsAfter apart: the number of its record, and its row.
func rowOf(line string) (order int64, pairs string, err error) {
	number, pairs, _ := strings.Cut(line, " ")
	order, err = strconv.ParseInt(number, 10, 64)
	return order, pairs, err
}

// eachInTable looks at records, all as they are at one moment.
func (s *Store) eachInTable(ctx context.Context, w Who, do func(q *rows.Queries) error) error {
	return s.read(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		return do(q)
	})
}

// eachAfter gives what next lists after an order, some thousands at a time.
func eachAfter[T any](ctx context.Context, q *rows.Queries, next func(*rows.Queries, context.Context, int64) ([]T, error), order func(T) int64, do func(T) error) error {
	return ahead(ctx, func(ctx context.Context, give func([]T) error) error {
		for after := int64(0); ; {
			some, err := next(q, ctx, after)
			if err != nil {
				return err
			}
			if len(some) > 0 {
				if err := give(some); err != nil {
					return err
				}
				after = order(some[len(some)-1])
			}
			if len(some) < recordsAtOnce {
				return nil
			}
		}
	}, func(some []T) error {
		for _, f := range some {
			if err := do(f); err != nil {
				return err
			}
		}
		return nil
	})
}

// partsAhead is how many parts are read before they are looked at: some tables take longer to read, others to look at.
const partsAhead = 8

// ahead gives to do what read finds, part by part; while one is looked at the next are read. Nothing is read any more once it has ended.
func ahead[T any](ctx context.Context, read func(ctx context.Context, give func(T) error) error, do func(T) error) error {
	ctx, stop := context.WithCancel(ctx)
	parts, wrong := make(chan T, partsAhead), error(nil)
	go func() {
		defer close(parts)
		wrong = read(ctx, func(part T) error {
			select {
			case parts <- part:
				return nil
			case <-ctx.Done():
				return ctx.Err()
			}
		})
	}()
	defer func() { // nobody reads on once the transaction has ended
		stop()
		for range parts {
		}
	}()
	for part := range parts {
		if err := do(part); err != nil {
			return err
		}
	}
	return wrong
}

// LastRecords lists records of a table, the latest first, before one of them (an Order, 0
// for all) at most so many.
func (s *Store) LastRecords(ctx context.Context, w Who, ledger string, before int64, most int) (list []Record, err error) {
	if before == 0 {
		before = 1<<63 - 1
	}
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		found, err := q.RecordsBefore(ctx, ledger, before, int32(most))
		for _, f := range found {
			r, err := recordOf(f)
			if err != nil {
				return err
			}
			list = append(list, r)
		}
		return err
	})
	return list, err
}

// RecordCounts counts the records of each table.
func (s *Store) RecordCounts(ctx context.Context, w Who) (counts map[string]int, err error) {
	counts = map[string]int{}
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		found, err := q.CountRecords(ctx)
		for _, f := range found {
			counts[f.Ledger] = int(f.Count)
		}
		return err
	})
	return counts, err
}

// RecordsTouched gives a number that is another whenever a record was added or written.
func (s *Store) RecordsTouched(ctx context.Context) (n int64, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		n, err = q.RecordsTouched(ctx)
		return err
	})
	return n, err
}

// RecordsSince lists the records that were added or written after a number that RecordsTouched gave, in the order in which they were added, at most so many, and the
// number up to which they are. What was taken away is not told, but who takes records of the book away writes one that says so.
func (s *Store) RecordsSince(ctx context.Context, w Who, after int64, most int) (list []Record, touched int64, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		found, err := q.RecordsSince(ctx, after, int32(most))
		for _, f := range found {
			r, err := recordOf(f)
			if err != nil {
				return err
			}
			list, touched = append(list, r), f.Touched
		}
		return err
	})
	slices.SortFunc(list, func(a, b Record) int { return cmp.Compare(a.Order, b.Order) })
	return list, touched, err
}

func recordOf(r rows.Record) (Record, error) {
	out := Record{ID: r.ID, Ledger: r.Ledger, Name: r.Name, Version: int(r.Version), Order: r.Seq, Who: r.Who, Recorded: time.UnixMilli(r.Recorded).UTC()}
	var err error
	out.Row, err = pairsOf(r.Pairs)
	return out, err
}

func applyRecord(ctx context.Context, q *rows.Queries, h rows.Happening) error {
	var p saidRecord
	if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
		return err
	}
	if p.gone() {
		return nil
	}
	pairs, err := json.Marshal(p.Row)
	if err != nil {
		return err
	}
	if p.Version == 1 {
		return q.AddRecord(ctx, rows.AddRecordParams{ID: h.Thing, Ledger: p.Ledger, Name: p.Name, Seq: h.Seq, Touched: h.Seq, Version: 1, Pairs: string(pairs), Who: h.Who, Recorded: h.Recorded})
	}
	return q.SetRecord(ctx, rows.SetRecordParams{Touched: h.Seq, Version: p.Version, Pairs: string(pairs), Who: h.Who, Recorded: h.Recorded, ID: h.Thing})
}

// Contact is who a code of the records is. It stands in no happening: it can be forgotten.
type Contact struct{ Code, Name, Contact string }

// PutContact writes who a code is.
func (s *Store) PutContact(ctx context.Context, w Who, c Contact) error {
	if err := errors.Join(clean(c.Code, mostName), clean(c.Name, mostName), clean(c.Contact, mostName)); err != nil || c.Code == "" {
		return finding.Fault{ID: FaultText, Args: finding.Args{"Most": mostName}}
	}
	return s.beside(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, c.Code)
		}
		return q.PutContact(ctx, c.Code, c.Name, c.Contact)
	})
}

// ContactOf tells who a code is; that somebody looked is noted. Of a code that nobody wrote down, or
// that was forgotten, the name is "".
func (s *Store) ContactOf(ctx context.Context, w Who, code string) (c Contact, err error) {
	c.Code = code
	err = s.beside(ctx, func(q *rows.Queries) error {
		if !w.may(people, "", "") {
			return forbidden(wordRecord, code)
		}
		if err := q.AddLooked(ctx, w.signs(), code, s.now().UnixMilli()); err != nil {
			return err
		}
		found, err := q.Contact(ctx, code)
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		c.Name, c.Contact = found.Name, found.Contact
		return err
	})
	return c, err
}

// ForgetContact forgets who codes are, and the links by which the persons were asked. The codes and all that is counted by them stay.
func (s *Store) ForgetContact(ctx context.Context, w Who, codes ...string) error {
	return s.gone(ctx, s.beside(ctx, func(q *rows.Queries) error {
		for _, code := range codes {
			if !w.may(people, "", "") {
				return forbidden(wordRecord, code)
			}
			if err := q.ForgetAskings(ctx, code); err != nil {
				return err
			}
			if err := q.ForgetContact(ctx, code); err != nil {
				return err
			}
		}
		return nil
	}))
}

// RecordStands tells whether a table has a record of a name.
func (s *Store) RecordStands(ctx context.Context, w Who, ledger, name string) (stands bool, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if !w.may(account, "", "") {
			return forbidden(wordRecord, "")
		}
		n, err := q.RecordNamed(ctx, ledger, name)
		stands = n > 0
		return err
	})
	return stands, err
}
