package cut

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// absent skips a test that needs something from outside the project, and fails it in the
// automatic checks, where everything must be there.
func absent(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatalf("%s is not here, and the automatic checks must have it", what)
	}
	t.Skipf("%s is not here: not checked", what)
}

// sharedFile gives the path of a file of the shared check values (not part of the project: their licence).
func sharedFile(t testing.TB, name ...string) string {
	t.Helper()
	path := filepath.Join(append([]string{"..", "..", "shared", "reference", "cutting"}, name...)...)
	if _, err := os.Stat(path); err != nil {
		absent(t, "the shared check file "+filepath.Join(name...))
	}
	return path
}

// program gives the path of a program of the system.
func program(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		absent(t, "the program "+name)
	}
	return path
}
