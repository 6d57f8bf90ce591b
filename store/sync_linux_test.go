package store

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
	"unsafe"
)

// refuse makes a system call fail with EIO in every thread of this process from now on.
func refuse(call uintptr) error {
	seccomp, known := map[string]uintptr{"amd64": 317, "arm64": 277}[runtime.GOARCH]
	if !known {
		return errors.ErrUnsupported
	}
	const noNewPrivileges, setFilter, allThreads = 38, 1, 1
	const load, equal, ret, fails, allowed = 0x20, 0x15, 0x06, 0x00050000, 0x7fff0000
	steps := []syscall.SockFilter{
		{Code: load}, // the number of the call
		{Code: equal, Jf: 1, K: uint32(call)},
		{Code: ret, K: fails | uint32(syscall.EIO)},
		{Code: ret, K: allowed},
	}
	filter := syscall.SockFprog{Len: uint16(len(steps)), Filter: &steps[0]}
	runtime.LockOSThread() // the promise to take no privileges is of a thread; the filter then takes it to all
	defer runtime.UnlockOSThread()
	if _, _, e := syscall.RawSyscall6(syscall.SYS_PRCTL, noNewPrivileges, 1, 0, 0, 0, 0); e != 0 {
		return e
	}
	if _, _, e := syscall.RawSyscall(seccomp, setFilter, allThreads, uintptr(unsafe.Pointer(&filter))); e != 0 {
		return e
	}
	return nil
}

// A backup takes its name only when its bytes are on the disk: where the system cannot bring them there, that is told and no file has the name. SQLite itself does not
// sync what it vacuums into; every fsync of a process of its own fails once its store is open.
func TestNoBackupIsNamedThatIsNotOnTheDisk(t *testing.T) {
	const child, cannot = "RAFTWRIGHT_TEST_NO_FSYNC", "no filter here"
	dir := os.Getenv(child)
	if dir == "" {
		dir = t.TempDir()
		cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$", "-test.v")
		cmd.Env = append(os.Environ(), child+"="+dir)
		out, err := cmd.CombinedOutput()
		switch {
		case bytes.Contains(out, []byte(cannot)):
			t.Skip("this system lets no process refuse itself a call")
		case err != nil || !bytes.Contains(out, []byte("--- PASS: "+t.Name())):
			t.Errorf("%v\n%s", err, out)
		}
		if list, err := filepath.Glob(filepath.Join(dir, "*.db")); err != nil || len(list) > 0 {
			t.Error("there is", list, err)
		}
		return
	}
	s := open(t, filepath.Join(t.TempDir(), "kept.db"))
	if err := refuse(syscall.SYS_FSYNC); err != nil {
		t.Skip(cannot, err)
	}
	if err := s.Backup(t.Context(), filepath.Join(dir, "backup.db")); !Is(err, FaultUnwritten) {
		t.Fatalf("a backup that is not on the disk is told to be written: %v", err)
	}
}
