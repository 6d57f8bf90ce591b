//go:build arm || 386

package store

import (
	"database/sql"

	"github.com/riverqueue/river/riverdriver"
)

// liteDriver is none: the library's queue in an SQLite file is for processors of 64 bits.
func liteDriver(*sql.DB) riverdriver.Driver[*sql.Tx] { return nil }
