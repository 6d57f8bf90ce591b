package store

import (
	"database/sql"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strings"
	"sync"
	"testing"

	"github.com/alexedwards/argon2id"

	"raftwright/tools/postgres"
)

// both tries something on an empty SQLite store, and on an empty PostgreSQL store where
// the programs of PostgreSQL are installed.
func both(t *testing.T, try func(t *testing.T, s *Store)) {
	t.Helper()
	t.Run("sqlite", func(t *testing.T) {
		// the name holds what an address would read as something else
		try(t, open(t, filepath.Join(t.TempDir(), "my beds", "50% of #1?.db")))
	})
	t.Run("postgres", func(t *testing.T) { try(t, open(t, database(t))) })
}

// database makes an empty schema of PostgreSQL, which is as good as a database of its own
// and sooner made, and gives its address.
func database(t testing.TB) string {
	t.Helper()
	if testing.Short() {
		t.Skip("the check asks PostgreSQL too")
	}
	at, err := server()
	if errors.Is(err, exec.ErrNotFound) {
		t.Skip("PostgreSQL is not installed")
	}
	must(t, err)
	db, err := sql.Open("pgx", at)
	must(t, err)
	defer db.Close()
	name := "t" + strings.ReplaceAll(NewID(), "-", "")
	_, err = db.Exec("CREATE SCHEMA " + name)
	must(t, err)
	return at + "&search_path=" + name
}

var stop = func() {}

func TestMain(m *testing.M) {
	if where := os.Getenv("RAFTWRIGHT_STORE_CHILD"); where != "" {
		child(where)
	}
	if where := os.Getenv("RAFTWRIGHT_QUEUE_CHILD"); where != "" {
		if err := workUntilKilled(where); err != nil {
			fmt.Println(err)
		}
		os.Exit(1)
	}
	if flag.Parse(); testing.Short() {
		debug.SetGCPercent(400)                                                                              // a little memory for a little time
		hashing = &argon2id.Params{Memory: 64, Iterations: 1, Parallelism: 1, SaltLength: 16, KeyLength: 32} // the check hashes as in earnest
	}
	code := m.Run()
	stop()
	os.Exit(code)
}

// server starts one server for all tests, which listens in a folder of its own.
var server = sync.OnceValues(func() (at string, err error) {
	at, end, err := postgres.Start("autovacuum=off")
	if err == nil {
		stop = end
	}
	return at, err
})
