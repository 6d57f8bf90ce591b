package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// what a person does with the commands of the store, in order.
func TestKeptByCommands(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	do := func(in string, args ...string) (code int, out, told string) {
		var o, e bytes.Buffer
		code = run(args, streams{strings.NewReader(in), &o, &e, tongue{}})
		return code, o.String(), e.String()
	}
	must := func(in string, args ...string) string {
		t.Helper()
		code, out, told := do(in, args...)
		if code != exitDone {
			t.Fatalf("%v: %d %s", args, code, told)
		}
		return out
	}
	fails := func(says, in string, args ...string) {
		t.Helper()
		if code, out, told := do(in, args...); code != exitFaults || out != "" || !strings.Contains(told, says) {
			t.Errorf("%v: %d %s %q, want %q", args, code, out, told, says)
		}
	}
	fails("nothing is kept", "", "backup", at("b.db"), "--data", at("one"))
	fails("too short", "\n", "account", "add", "Ana Invented", "--data", at("one"))
	must("four words make one\n", "account", "add", "Ana Invented", "--data", at("one"))
	fails("already", "four words make one\n", "account", "add", "ana invented", "--data", at("one"))
	fails("educator, volunteer or grower", "four words make one\n", "account", "add", "Bo", "--role", "king", "--data", at("one"))
	first := must("", "key", "add", "Ana Invented", "--data", at("one"))
	if second := must("", "key", "add", "probe", "--data", at("one")); len(strings.TrimSpace(first)) < 22 || first == second {
		t.Errorf("keys %q and %q", first, second) // 22 letters of base64 are 128 bits
	}
	must("", "backup", at("b.db"), "--data", at("one"))
	fails("already", "", "backup", at("b.db"), "--data", at("one"))
	must("", "restore", at("b.db"), "--data", at("two"))
	fails("holds something", "", "restore", at("b.db"), "--data", at("two"))
	must("", "export", at("first"), "--data", at("two"))
	must("", "import", at("first"), "--data", at("three"))
	must("another four words\n", "account", "add", "Ana Invented", "--data", at("three")) // an import carries no passwords
	must("", "export", at("second"), "--data", at("three"))
	a, err := os.ReadFile(filepath.Join(at("first"), "happenings.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(filepath.Join(at("second"), "happenings.jsonl")); err != nil || !bytes.Equal(a, b) {
		t.Errorf("%v:\n%s\nwas:\n%s", err, b, a)
	}
	if err := os.WriteFile(filepath.Join(at("first"), "happenings.jsonl"), []byte("{}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	fails("happenings.jsonl:1:1", "", "import", at("first"), "--data", at("four"))
	fails("nothing is kept in", "", "backup", at("nothing.db"), "--data", at("four")) // what the failed import left is no store to copy
	fails("nothing is kept in", "", "export", at("nothing"), "--data", at("four"))
	fails("not both", "", "export", at("x"), "--data", at("one"), "--database", "postgres:///x")
	code, _, told := do("", "backup", at("c.db"), "--data", at("none"), "--language", "es")
	if code != exitFaults || !strings.Contains(told, "no hay nada guardado") {
		t.Errorf("%d %s", code, told)
	}
}
