package store

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"raftwright/tools/nodisk"
)

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
	if err := nodisk.Fsync(); err != nil {
		t.Skip(cannot, err)
	}
	if err := s.Backup(t.Context(), filepath.Join(dir, "backup.db")); !Is(err, FaultUnwritten) {
		t.Fatalf("a backup that is not on the disk is told to be written: %v", err)
	}
}
