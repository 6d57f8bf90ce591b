package raftwright

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// The check goes on, and says at its end what it left out, where the system has no git and what it needs cannot be installed; with CI=true that is a
// failure. The programs that it calls are stand-ins here, among them a system that refuses to install.
func TestCheckGoesOnAndSaysWhatItLeftOut(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("bash is missing")
	}
	text, err := os.ReadFile("check")
	if err != nil {
		t.Fatal(err)
	}
	dir, bin := t.TempDir(), t.TempDir() // an archive that was unpacked: no repository in it
	stand := map[string]string{
		"go":      `case "$1 $2" in "run ./tools/tally") cat >/dev/null; shift 2; printf 'end: %s\n' "$*";; "version -m") exit 1;; "install "*) exit 1;; esac`,
		"gofmt":   "cat",    // it reads what it is given
		"id":      "echo 0", // the administrator
		"apt-get": "echo no network >&2; exit 100",
		"npm":     "exit 1",
		"getent":  "exit 2",
		"timeout": `shift; exec "$@"`,
		"sleep":   "",
	}
	for name, what := range stand {
		if err := os.WriteFile(filepath.Join(bin, name), []byte("#!"+bash+"\n"+what+"\n"), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"dirname", "sort", "xargs", "mktemp", "sed", "grep", "cat", "rm", "mkdir", "sh", "printf", "echo"} {
		at, err := exec.LookPath(name)
		if err != nil {
			t.Skip(name + " is missing")
		}
		if err := os.Symlink(at, filepath.Join(bin, name)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "check"), text, 0o700); err != nil {
		t.Fatal(err)
	}
	run := func(more ...string) string {
		t.Helper()
		asks, keyboard, err := os.Pipe() // somebody's, who types nothing
		if err != nil {
			t.Fatal(err)
		}
		defer keyboard.Close()
		defer asks.Close()
		ctx, stop := context.WithTimeout(t.Context(), time.Minute)
		defer stop()
		cmd := exec.CommandContext(ctx, bash, "check")
		cmd.Stdin, cmd.WaitDelay = asks, time.Second
		cmd.Dir = dir
		cmd.Env = slices.Concat([]string{"PATH=" + bin, "HOME=" + dir, "XDG_CACHE_HOME=" + filepath.Join(dir, "cache"), "TMPDIR=" + t.TempDir()}, more)
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		_, end, told := strings.Cut(string(out), "end: ")
		if !told {
			t.Fatalf("it stopped before its end:\n%s", out)
		}
		return end
	}
	const want = "not installed: "
	if end := run(); !strings.Contains(end, "-failed 0") || !strings.Contains(end, want) || !strings.Contains(end, "git") || !strings.Contains(end, "poppler-utils") {
		t.Errorf("without git and without a network: %s", end)
	}
	if end := run("CI=true"); strings.Contains(end, "-failed 0") || strings.Contains(end, want) {
		t.Errorf("with CI=true: %s", end)
	}
}
