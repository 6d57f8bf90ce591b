package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"raftwright/tools/nodisk"
)

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
	if err := nodisk.Fsync(); err != nil {
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
