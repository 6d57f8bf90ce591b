package paper

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"raftwright/page"
)

// tool runs a program of the system on files; where it is missing the test is
// left out with a word, and fails under CI.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is missing", name)
		}
		t.Skipf("%s is not installed; this check is left out", name)
	}
	out, err := exec.Command(path, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

func made(t testing.TB, doc page.Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := PDF(doc, &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// file writes bytes where a program can read them.
func file(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func sections(blocks ...page.Block) page.Document {
	return page.Document{Title: "Test", Language: "en", Sections: []page.Section{{Title: "One", Blocks: blocks}}}
}
