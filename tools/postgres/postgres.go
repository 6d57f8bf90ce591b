// Package postgres starts a PostgreSQL server of one's own for tests and measurements, in a
// folder that goes with it, where its programs are installed.
package postgres

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
	"syscall"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // "pgx"
)

// Start starts a server with some settings ("name=value") and gives the address of its
// database, and what ends it. Where PostgreSQL is not installed the error is exec.ErrNotFound.
func Start(settings ...string) (at string, stop func(), err error) {
	bin := "/usr/lib/postgresql"
	found, _ := filepath.Glob(bin + "/*/bin/initdb")
	if first, err := exec.LookPath("initdb"); err == nil {
		found = append(found, first)
	}
	if len(found) == 0 {
		return "", nil, exec.ErrNotFound
	}
	bin = filepath.Dir(found[len(found)-1])
	dir, err := os.MkdirTemp("/tmp", "raftwright-pg-") // short: the path of a socket has at most 107 bytes
	if err != nil {
		return "", nil, err
	}
	var as *syscall.Credential
	if os.Getuid() == 0 { // it refuses to run as root
		if as, err = nobody(dir); err != nil {
			return "", nil, errors.Join(err, os.RemoveAll(dir))
		}
	}
	run := func(name string, args ...string) *exec.Cmd {
		c := exec.Command(filepath.Join(bin, name), args...)
		c.Dir, c.SysProcAttr = dir, &syscall.SysProcAttr{Credential: as}
		return c
	}
	if out, e := run("initdb", "-D", dir+"/d", "-U", "t", "-A", "trust", "-E", "UTF8", "--no-sync").CombinedOutput(); e != nil {
		return "", nil, errors.Join(fmt.Errorf("initdb: %w: %s", e, out), os.RemoveAll(dir))
	}
	args := []string{"-D", dir + "/d", "-k", dir, "-c", "listen_addresses=", "-c", "max_connections=60"}
	for _, s := range settings {
		args = append(args, "-c", s)
	}
	s := run("postgres", args...)
	if err := s.Start(); err != nil {
		return "", nil, errors.Join(err, os.RemoveAll(dir))
	}
	stop = func() {
		s.Process.Signal(syscall.SIGINT)
		s.Wait()
		os.RemoveAll(dir)
	}
	at = "postgres:///postgres?user=t&host=" + dir
	db, err := sql.Open("pgx", at)
	if err != nil {
		stop()
		return "", nil, err
	}
	defer db.Close()
	for range 200 {
		if err = db.PingContext(context.Background()); err == nil {
			return at, stop, nil
		}
		time.Sleep(50 * time.Millisecond)
	}
	stop()
	return "", nil, err
}

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
