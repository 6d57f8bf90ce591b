package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"raftwright/finding"
	"raftwright/store/rows"
)

// InFolder names the file of a store in a folder.
func InFolder(dir string) string { return filepath.Join(dir, "raftwright.db") }

// carried are the tables of a backup, with what orders their rows. Sessions and counted
// tries stay behind: after a restore everybody signs in again.
var carried = []struct{ table, by string }{
	{"happening", "seq"}, {"account", "id"}, {"pass", "id"}, {"bed", "id"}, {"removed", "id"}, {"entry", "seq"}, {"sheet", "id"},
	{"person", "account"}, {"looked", "at"}, {"attention", "bed"}, {"photo", "id"}, {"image", "hash"}, {"record", "seq"}, {"contact", "code"}, {"passkey", "id"}, {"asking", "hash"},
}

// Backup writes all that is kept into a file, an SQLite store of its own, while others go
// on writing: it holds one moment. A file that is there is not written over.
func (s *Store) Backup(ctx context.Context, file string) error {
	if _, err := os.Lstat(file); err == nil {
		return finding.Fault{ID: FaultThere, Args: finding.Args{"File": file}}
	}
	dir, err := os.MkdirTemp(filepath.Dir(file), ".raftwright-*") // a backup cut short leaves no file of that name
	if err != nil {
		return unwritten(file, err)
	}
	defer os.RemoveAll(dir)
	part := filepath.Join(dir, "part")
	if s.lite {
		if _, err := s.db.ExecContext(ctx, "VACUUM INTO $1", part); err != nil {
			return s.fault(err)
		}
	} else if err := s.copyInto(ctx, part); err != nil {
		return err
	}
	f, err := os.OpenFile(part, os.O_RDWR, 0)
	if err != nil {
		return unwritten(file, err)
	}
	if err := errors.Join(f.Chmod(0o600), f.Sync(), f.Close()); err != nil {
		return unwritten(file, err)
	}
	if err := os.Link(part, file); errors.Is(err, os.ErrExist) {
		return finding.Fault{ID: FaultThere, Args: finding.Args{"File": file}}
	} else if err != nil { // a file system without links
		if err := os.Rename(part, file); err != nil {
			return unwritten(file, err)
		}
	}
	if folder, err := os.Open(filepath.Dir(file)); err == nil { // so that the name outlives a power cut; not every system can
		folder.Sync()
		folder.Close()
	}
	return nil
}

// Empty tells whether nothing was ever kept in the store: no happening, no account.
func (s *Store) Empty(ctx context.Context) (empty bool, err error) {
	err = s.read(ctx, func(q *rows.Queries) error {
		last, err := q.LastSeq(ctx)
		if err != nil {
			return err
		}
		n, err := q.CountAccounts(ctx)
		empty = last == 0 && n == 0
		return err
	})
	return empty, err
}

func unwritten(file string, err error) error {
	return finding.Fault{ID: FaultUnwritten, Args: finding.Args{"File": file, "Reason": reason(err)}}
}

func (s *Store) copyInto(ctx context.Context, file string) error {
	to, err := Open(ctx, file)
	if err != nil {
		return err
	}
	return errors.Join(to.take(ctx, s), to.Close())
}

// Restore fills an empty store from a backup. The backup stays as it is; an older one is
// brought up to date on a copy.
func (s *Store) Restore(ctx context.Context, file string) error {
	from, err := os.Open(file)
	if err != nil {
		return unread(file, err)
	}
	defer from.Close()
	if info, err := from.Stat(); err != nil || info.Size() == 0 || !info.Mode().IsRegular() {
		return finding.Fault{ID: FaultForeign, Args: finding.Args{"Store": file}}
	}
	if log, err := os.Stat(file + "-wal"); err == nil && log.Size() > 0 { // its last happenings stand there
		return finding.Fault{ID: FaultInUse, Args: finding.Args{"File": file}}
	}
	dir, err := os.MkdirTemp("", "raftwright-*")
	if err != nil {
		return unwritten(file, err)
	}
	defer os.RemoveAll(dir)
	copied := filepath.Join(dir, "copy.db")
	to, err := os.OpenFile(copied, os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return unwritten(copied, err)
	}
	if _, err = io.Copy(to, from); errors.Join(err, to.Close()) != nil {
		return unwritten(copied, err)
	}
	old, err := Open(ctx, copied)
	if err != nil {
		var f finding.Fault
		if errors.As(err, &f) { // named as the person named it
			f.Args["Store"] = file
			return f
		}
		return err
	}
	defer old.Close()
	if err := old.Check(ctx); err != nil {
		return err
	}
	return s.take(ctx, old)
}

// take fills an empty store with all of another one, at one moment of it.
func (s *Store) take(ctx context.Context, from *Store) error {
	there, err := from.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true, Isolation: from.snapshot()})
	if err != nil {
		return from.fault(err)
	}
	defer there.Rollback()
	last, err := rows.New(there).LastSeq(ctx)
	if err != nil {
		return from.fault(err)
	}
	return s.fill(ctx, func(tx *sql.Tx) (int64, error) {
		for _, c := range carried {
			if err := copyTable(ctx, there, tx, c.table, c.by); err != nil {
				return 0, err
			}
		}
		return last, nil
	})
}

// fill does something to an empty store; it gives the number of the last happening.
func (s *Store) fill(ctx context.Context, do func(tx *sql.Tx) (last int64, err error)) error {
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return s.fault(err)
	}
	defer tx.Rollback()
	q := rows.New(tx)
	seq, err := q.NextSeq(ctx) // holds off every other writer
	if err != nil {
		return s.fault(err)
	}
	n, err := q.CountAccounts(ctx)
	if err != nil {
		return s.fault(err)
	}
	if seq > 1 || n > 0 {
		return finding.Fault{ID: FaultNotEmpty, Args: finding.Args{"Store": s.where}}
	}
	last, err := do(tx)
	if err == nil {
		err = q.SetSeq(ctx, last)
	}
	if err != nil {
		return s.fault(err)
	}
	return s.fault(tx.Commit())
}

func copyTable(ctx context.Context, from, to *sql.Tx, table, by string) error {
	names := strings.Split(columns[table], ", ")
	marks := make([]string, len(names))
	values, into := make([]any, len(names)), make([]any, len(names))
	for i := range names {
		marks[i], into[i] = fmt.Sprintf("$%d", i+1), &values[i]
	}
	found, err := from.QueryContext(ctx, "SELECT "+columns[table]+" FROM "+table+" ORDER BY "+by)
	if err != nil {
		return err
	}
	defer found.Close()
	add, err := to.PrepareContext(ctx, "INSERT INTO "+table+" ("+columns[table]+") VALUES ("+strings.Join(marks, ", ")+")")
	if err != nil {
		return err
	}
	defer add.Close()
	for found.Next() {
		if err := found.Scan(into...); err != nil {
			return err
		}
		if _, err := add.ExecContext(ctx, values...); err != nil {
			return err
		}
	}
	return found.Err()
}

// Check looks whether the file is sound. PostgreSQL looks after that itself.
func (s *Store) Check(ctx context.Context) error {
	if !s.lite {
		return s.Health(ctx)
	}
	var said string
	if err := s.db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&said); err != nil {
		return s.fault(err)
	}
	if said != "ok" {
		return finding.Fault{ID: FaultBroken, Args: finding.Args{"Store": s.where, "Reason": said}}
	}
	return nil
}

func unread(file string, err error) error {
	return finding.Fault{ID: FaultUnread, Args: finding.Args{"File": file, "Reason": reason(err)}}
}
