// Package store keeps what people write: accounts, beds with every version of their
// briefs, logs, what an office shares, and who may see it. One set of SQL serves SQLite
// (one's own computer, a small office) and PostgreSQL.
//
// Happenings are the truth. Each is added once and never changed: who, when it was
// recorded, when it happened, what, to which thing, and what was said, under an id that
// its sender made, so that sending it again adds nothing. The current tables are made from
// them in the same transaction, and Rebuild makes them anew. Beside them stands what must
// be forgettable (names, contacts, passwords), what passes (sessions) and what is
// reckoned (attention, answers).
//
// Every method asks who wants it (Who) and answers for this person and this thing only;
// the rights stand in who.go and nowhere else. What goes wrong is a finding.Fault with one
// of the codes of fault.go.
package store

//go:generate go run github.com/sqlc-dev/sqlc/cmd/sqlc@v1.31.1 generate
//go:generate go test -run TestRowsAreMade . -update

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	_ "github.com/ncruces/go-sqlite3/driver" // "sqlite3"
	"github.com/pressly/goose/v3"

	"raftwright/finding"
	"raftwright/store/rows"
)

//go:embed schema/*.sql
var schema embed.FS

// Store is an open store. Its methods may be used by many at once.
type Store struct {
	db      *sql.DB
	where   string // as a person is told: without a password
	lite    bool
	writing chan struct{} // one writer at a time in this process; the database holds off those of others
	joined  joined        // entries that wait to be written together
	now     func() time.Time
}

// mark stands in every store of ours.
const mark = "raftwright"

// Connections of one process. Each of SQLite has a memory of its own.
const mostConnections = 8

// Open opens the store in a file, which is made where there is none, or in a PostgreSQL
// database ("postgres://..."). An older one is brought up to date. Refused are a file or a
// database of somebody else (FaultForeign), one written by a newer program (FaultNewer),
// and one whose tables are not those of its version (FaultUnfinished).
func Open(ctx context.Context, where string) (*Store, error) {
	s := &Store{where: where, writing: make(chan struct{}, 1), now: time.Now}
	if strings.HasPrefix(where, "postgres://") || strings.HasPrefix(where, "postgresql://") {
		if err := s.openServer(where); err != nil {
			return nil, err
		}
	} else if strings.Contains(where, "://") {
		return nil, finding.Fault{ID: FaultAddress, Args: finding.Args{"Store": where[:strings.Index(where, "://")+3]}}
	} else if err := s.openFile(ctx, where); err != nil {
		return nil, err
	}
	s.db.SetMaxOpenConns(mostConnections)
	s.db.SetMaxIdleConns(mostConnections)
	s.db.SetConnMaxIdleTime(5 * time.Minute)
	if err := s.ready(ctx); err != nil {
		s.db.Close()
		return nil, err
	}
	return s, nil
}

// openServer readies connections to PostgreSQL.
func (s *Store) openServer(where string) error {
	s.where = "postgres://"
	if u, err := url.Parse(where); err == nil {
		s.where = u.Redacted()
	}
	c, err := pgx.ParseConfig(where)
	if err != nil {
		return finding.Fault{ID: FaultAddress, Args: finding.Args{"Store": s.where}}
	}
	c.RuntimeParams["synchronous_commit"] = "on" // what was acknowledged outlives a power cut
	c.RuntimeParams["lock_timeout"] = "10s"
	c.RuntimeParams["application_name"] = mark
	if c.ConnectTimeout == 0 {
		c.ConnectTimeout = 10 * time.Second
	}
	s.db = stdlib.OpenDB(*c)
	return nil
}

// openFile readies connections to an SQLite file. One that is there is looked at first
// without writing, for keeping a log of changes would alter a file of somebody else.
func (s *Store) openFile(ctx context.Context, file string) error {
	s.lite = true
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return s.fault(err)
	}
	f, err := os.OpenFile(file, os.O_CREATE|os.O_RDWR, 0o600)
	if errors.Is(err, fs.ErrPermission) {
		if seen, e := os.Open(file); e == nil { // there to read
			seen.Close()
			return finding.Fault{ID: FaultReadOnly, Args: finding.Args{"Store": s.where}}
		}
	}
	if err != nil {
		return s.fault(err)
	}
	info, err := f.Stat()
	f.Close()
	if err != nil {
		return s.fault(err)
	}
	if info.Size() > 0 {
		peek, err := sql.Open("sqlite3", lite(file)+"?mode=ro&_pragma=busy_timeout(10000)")
		if err != nil {
			return s.fault(err)
		}
		s.db = peek
		_, err = s.ours(ctx)
		peek.Close()
		if err != nil {
			return err
		}
	}
	s.db, err = openLite(lite(file) + "?_txlock=immediate&_pragma=busy_timeout(10000)&_pragma=journal_mode(wal)&_pragma=synchronous(full)&_pragma=foreign_keys(on)&_pragma=secure_delete(on)") // what is deleted is written over
	return s.fault(err)
}

func lite(file string) string {
	return "file:" + (&url.URL{Path: filepath.ToSlash(file)}).EscapedPath()
}

// Close ends the use of the store.
func (s *Store) Close() error { return s.db.Close() }

// Where names the store for a person: a file, or an address without its password.
func (s *Store) Where() string { return s.where }

// Health asks the store whether it answers.
func (s *Store) Health(ctx context.Context) error {
	_, err := rows.New(s.db).LastSeq(ctx)
	return s.fault(err)
}

// steps are those that bring a store up to date.
func (s *Store) steps() (*goose.Provider, error) {
	dialect := goose.DialectPostgres
	if s.lite {
		dialect = goose.DialectSQLite3
	}
	all, err := fs.Sub(schema, "schema")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(dialect, s.db, all)
}

// mostTries is how often a store that others are at is tried again when it is opened.
const mostTries = 10

// ready looks whose database this is and brings it up to date.
func (s *Store) ready(ctx context.Context) error {
	p, err := s.steps()
	if err != nil {
		return err
	}
	all := p.ListSources()
	newest := all[len(all)-1].Version
	for try := 0; ; try++ {
		begun, err := s.ours(ctx)
		var at int64
		if begun && err == nil {
			at, err = p.GetDBVersion(ctx)
			err = s.fault(err)
		}
		if Is(err, FaultBusy) && try < mostTries { // another that starts keeps its changes in a log from now on, which waits for nobody
			time.Sleep(100 * time.Millisecond)
			continue
		}
		if err != nil {
			return err
		}
		switch {
		case at > newest:
			return finding.Fault{ID: FaultNewer, Args: finding.Args{"Store": s.where, "Version": int(at), "Known": int(newest)}}
		case at == newest:
			return s.whole(ctx)
		}
		if _, err = p.Up(ctx); err == nil {
			continue
		}
		if f := s.fault(err); !Is(f, FaultBroken) && !Is(f, FaultBusy) {
			return f
		}
		if try >= mostTries { // no other process is at it
			return finding.Fault{ID: FaultUnfinished, Args: finding.Args{"Store": s.where, "Reason": reason(err)}}
		}
		time.Sleep(100 * time.Millisecond)
	}
}

// ours tells whether a version is noted. What belongs
// to somebody else is a fault.
func (s *Store) ours(ctx context.Context) (begun bool, err error) {
	has, err := s.tables(ctx)
	if err != nil {
		return false, s.fault(err)
	}
	begun = has["goose_db_version"]
	foreign := len(has) > 0 && !has["store"] && !(begun && len(has) == 1)
	if has["store"] {
		name, err := rows.New(s.db).Mark(ctx)
		foreign = err != nil || name != mark
	}
	if foreign {
		return false, finding.Fault{ID: FaultForeign, Args: finding.Args{"Store": s.where}}
	}
	return begun, nil
}

// tables lists the tables of the database.
func (s *Store) tables(ctx context.Context) (map[string]bool, error) {
	list := "SELECT tablename FROM pg_tables WHERE schemaname = current_schema()"
	if s.lite {
		list = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
	}
	found, err := s.db.QueryContext(ctx, list)
	if err != nil {
		return nil, err
	}
	defer found.Close()
	has := map[string]bool{}
	for found.Next() {
		var name string
		if err := found.Scan(&name); err != nil {
			return nil, err
		}
		has[name] = true
	}
	return has, found.Err()
}

// columns are the columns of each table of the newest schema.
var columns = map[string]string{
	"store": "one, mark, seq", "happening": "seq, id, who, recorded, happened, what, thing, payload",
	"account": "id, role, closed", "pass": "id, hash, kind, bed, account, label, given, withdrawn",
	"bed":     "id, owner, title, place, brief, edition, version, changed",
	"removed": "id, owner, title, place, brief, edition, version, changed, since, gone",
	"entry":   "id, bed, seq, happened, recorded, who, version, pairs",
	"sheet":   "id, kind, name, text, version, who, recorded", "person": "account, name, folded, contact, password, strict",
	"passkey": "id, account, label, host, credential, made, used", "asked": "hash, account, what, until",
	"session": "hash, account, made, seen", "attempt": "what, since, count", "looked": "who, account, at",
	"photo": "id, bed, entry, kind, hash, who, recorded", "image": "hash, bytes",
	"record": "id, ledger, name, seq, touched, version, pairs, who, recorded", "contact": "code, name, contact",
	"answer":    "bed, kind, seen, basis, made, text",
	"asking":    "hash, wave, code, given, withdrawn, answered",
	"attention": "bed, owner, rank, seen, again, reasons, county, kind, program, reading",
}

// whole looks whether every table is there with its columns.
func (s *Store) whole(ctx context.Context) error {
	for table, list := range columns {
		found, err := s.db.QueryContext(ctx, "SELECT "+list+" FROM "+table+" WHERE 1 = 0")
		if err == nil {
			found.Close()
			continue
		}
		if f := s.fault(err); !Is(f, FaultBroken) {
			return f
		}
		return finding.Fault{ID: FaultUnfinished, Args: finding.Args{"Store": s.where, "Reason": reason(err)}}
	}
	return nil
}

// write does something in one transaction, alone. Whatever it returns, all of it is kept or nothing.
func (s *Store) write(ctx context.Context, do func(tx *writer) error) error {
	select {
	case s.writing <- struct{}{}:
		defer func() { <-s.writing }()
	case <-ctx.Done():
		return s.fault(ctx.Err())
	}
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return s.fault(err)
	}
	defer tx.Rollback()
	w := &writer{Queries: rows.New(tx), tx: tx, now: s.now().UnixMilli()}
	if w.seq, err = w.NextSeq(ctx); err != nil {
		return s.fault(err)
	}
	if err := do(w); err != nil {
		return s.fault(err)
	}
	if !w.kept { // it was there already: nothing to keep
		return nil
	}
	return s.fault(tx.Commit())
}

// beside writes what is no happening in one transaction.
func (s *Store) beside(ctx context.Context, do func(q *rows.Queries) error) error {
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return s.fault(err)
	}
	defer tx.Rollback()
	if err := do(rows.New(tx)); err != nil {
		return s.fault(err)
	}
	return s.fault(tx.Commit())
}

// writer is one transaction that writes.
type writer struct {
	*rows.Queries
	tx   *sql.Tx
	seq  int64 // of its happening
	now  int64
	kept bool // the happening was added
}

// look reads something for which no two answers must be of one moment: without a transaction each is
// one way to a server and back, where it would be three.
func (s *Store) look(ctx context.Context, do func(q *rows.Queries) error) error {
	return s.fault(do(rows.New(s.db)))
}

// read does something on one state of the store.
func (s *Store) read(ctx context.Context, do func(q *rows.Queries) error) error {
	tx, err := s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true, Isolation: s.snapshot()})
	if err != nil {
		return s.fault(err)
	}
	defer tx.Rollback()
	return s.fault(do(rows.New(tx)))
}

func (s *Store) snapshot() sql.IsolationLevel {
	if s.lite {
		return sql.LevelDefault // a transaction of SQLite sees one state
	}
	return sql.LevelRepeatableRead
}
