package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"strings"

	lite3 "github.com/ncruces/go-sqlite3/driver"
)

// openLite readies connections to an SQLite file that keep the statements they have read: to read the text of one
// takes longer than most of what it does. PostgreSQL's keep theirs by themselves.
func openLite(name string) (*sql.DB, error) {
	c, err := (&lite3.SQLite{}).OpenConnector(name)
	if err != nil {
		return nil, err
	}
	return sql.OpenDB(connections{c}), nil
}

type connections struct{ driver.Connector }

func (c connections) Connect(ctx context.Context) (driver.Conn, error) {
	made, err := c.Connector.Connect(ctx)
	if err != nil {
		return nil, err
	}
	return &connection{made.(liteConn), map[string]liteStatement{}}, nil
}

// liteConn is what the driver's connections can do.
type liteConn interface {
	lite3.Conn
	driver.ExecerContext
}

// liteStatement is what its statements can do.
type liteStatement interface {
	driver.Stmt
	driver.StmtExecContext
	driver.StmtQueryContext
	driver.NamedValueChecker
	Reset() error
	ClearBindings() error
}

// connection is one of the driver's, with the statements that nobody uses at the moment.
type connection struct {
	liteConn
	idle map[string]liteStatement
}

// PrepareContext gives the statement that is there, or reads it.
func (c *connection) PrepareContext(ctx context.Context, text string) (driver.Stmt, error) {
	if s, ok := c.idle[text]; ok {
		delete(c.idle, text)
		return statement{s, c, text}, nil
	}
	made, err := c.liteConn.PrepareContext(ctx, text)
	if err != nil || !strings.HasPrefix(text, "-- name: ") { // of package rows, so there are only so many
		return made, err
	}
	return statement{made.(liteStatement), c, text}, nil
}

// Close ends what is kept first: no connection closes over a statement.
func (c *connection) Close() error {
	var all error
	for _, s := range c.idle {
		all = errors.Join(all, s.Close())
	}
	clear(c.idle)
	return errors.Join(all, c.liteConn.Close())
}

type statement struct {
	liteStatement
	of   *connection
	text string
}

// Close lays the statement by.
func (s statement) Close() error {
	s.Reset() // tells once more what went wrong when it ran
	if _, ok := s.of.idle[s.text]; ok || s.ClearBindings() != nil {
		return s.liteStatement.Close()
	}
	s.of.idle[s.text] = s.liteStatement
	return nil
}
