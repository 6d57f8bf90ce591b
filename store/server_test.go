package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
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
	code := m.Run()
	stop()
	os.Exit(code)
}

// server starts one server for all tests, which listens in a folder of its own.
var server = sync.OnceValues(func() (at string, err error) {
	bin := "/usr/lib/postgresql"
	found, _ := filepath.Glob(bin + "/*/bin/initdb")
	if first, err := exec.LookPath("initdb"); err == nil {
		found = append(found, first)
	}
	if len(found) == 0 {
		return "", exec.ErrNotFound
	}
	bin = filepath.Dir(found[len(found)-1])
	dir, err := os.MkdirTemp("/tmp", "raftwright-pg-") // short: the path of a socket has at most 107 bytes
	if err != nil {
		return "", err
	}
	run := func(name string, args ...string) *exec.Cmd {
		c := exec.Command(filepath.Join(bin, name), args...)
		c.Dir = dir
		c.SysProcAttr = &syscall.SysProcAttr{}
		if os.Getuid() == 0 { // it refuses to run as root
			c.SysProcAttr.Credential, err = nobody(dir)
		}
		return c
	}
	stop = func() { os.RemoveAll(dir) }
	if out, e := run("initdb", "-D", dir+"/d", "-U", "t", "-A", "trust", "-E", "UTF8", "--no-sync").CombinedOutput(); errors.Join(err, e) != nil {
		return "", fmt.Errorf("initdb: %w, %v: %s", e, err, out)
	}
	s := run("postgres", "-D", dir+"/d", "-k", dir, "-c", "listen_addresses=", "-c", "max_connections=60", "-c", "autovacuum=off")
	if err := s.Start(); err != nil {
		return "", err
	}
	stop = func() {
		s.Process.Signal(syscall.SIGINT)
		s.Wait()
		os.RemoveAll(dir)
	}
	at = "postgres:///postgres?user=t&host=" + dir
	db, err := sql.Open("pgx", at)
	if err != nil {
		return "", err
	}
	defer db.Close()
	for range 200 {
		if err = db.PingContext(context.Background()); err == nil {
			return at, nil
		}
		time.Sleep(50 * time.Millisecond)
	}
	return "", err
})

// nobody is who the server runs as, and gives it the folder.
func nobody(dir string) (*syscall.Credential, error) {
	u, err := user.Lookup("nobody")
	if err != nil {
		return nil, err
	}
	uid, err := strconv.Atoi(u.Uid)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.Atoi(u.Gid)
	if err != nil {
		return nil, err
	}
	return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, os.Chown(dir, uid, gid)
}
