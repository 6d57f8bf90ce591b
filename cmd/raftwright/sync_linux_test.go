package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
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

// A file takes its name only when its bytes are on the disk: where the system cannot bring them there, that is told and what was there stays. Every fsync of
// a process of its own fails.
func TestNothingIsRenamedThatIsNotOnTheDisk(t *testing.T) {
	const child, cannot = "RAFTWRIGHT_TEST_NO_FSYNC", "no filter here"
	dir := os.Getenv(child)
	if dir == "" {
		dir = t.TempDir()
		write(t, dir, "packet.pdf", "as it was")
		cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$", "-test.v")
		cmd.Env = append(os.Environ(), child+"="+dir)
		out, err := cmd.CombinedOutput()
		switch {
		case bytes.Contains(out, []byte(cannot)):
			t.Skip("this system lets no process refuse itself a call")
		case err != nil || !bytes.Contains(out, []byte("--- PASS: "+t.Name())):
			t.Errorf("%v\n%s", err, out)
		}
		alone(t, dir, "packet.pdf", "as it was")
		return
	}
	if err := refuse(syscall.SYS_FSYNC); err != nil {
		t.Skip(cannot, err)
	}
	path := filepath.Join(dir, "packet.pdf")
	err := replace(path, path, 0o600, func(w io.Writer) error {
		_, err := io.Copy(w, strings.NewReader("anew"))
		return err
	})
	if faultID(err) != FaultUnwritten {
		t.Fatalf("a file that is not on the disk is told to be written: %v", err)
	}
}
