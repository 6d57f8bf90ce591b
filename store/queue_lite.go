//go:build !arm && !386

package store

import (
	"database/sql"

	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/riverdriver/riversqlite"
)

// liteDriver is the queue in an SQLite file.
func liteDriver(db *sql.DB) riverdriver.Driver[*sql.Tx] { return riversqlite.New(db) }
