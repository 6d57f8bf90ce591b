package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"raftwright/lang"
)

func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, err bytes.Buffer
	if code := run(args, streams{strings.NewReader(""), &out, &err, tongue{}}); code != exitDone || err.Len() > 0 {
		t.Fatalf("%v: %d %s", args, code, &err)
	}
	return out.String()
}

// Every table stands in dates.csv as it is now: one that was changed has another day.
func TestTablesAreDated(t *testing.T) {
	now := maps.Clone(book().Edition().Tables)
	for _, d := range datedTables() {
		if now[d.Table] != d.Hash {
			t.Errorf("%s is another than on %s: write its hash %q and the day into cmd/raftwright/dates.csv", d.Table, d.Changed, now[d.Table])
		}
		delete(now, d.Table)
	}
	if len(now) > 0 {
		t.Errorf("these have no day: %v", slices.Sorted(maps.Keys(now)))
	}
}

func TestVersion(t *testing.T) {
	text := printed(t, "version")
	for _, want := range []string{book().Edition().String(), "prices.csv", "1974-2013", "go1."} {
		if !strings.Contains(text, want) {
			t.Errorf("nothing of %s in\n%s", want, text)
		}
	}
	var e edition
	if err := json.Unmarshal([]byte(printed(t, "version", "--json")), &e); err != nil || e.Edition != book().Edition().String() || len(e.Tables) != len(book().Edition().Tables) {
		t.Error(e, err)
	}
	if got := printed(t, "version", "--licenses"); got != notices || !strings.Contains(got, "Apache License") {
		t.Error("the licenses are not all told")
	}
}

// The page of the manual has every command and flag, and what reads it has nothing to say
// against it.
func TestManual(t *testing.T) {
	for _, language := range lang.Languages() {
		page := printed(t, "manual", "--language", language)
		for _, want := range []string{".SS plan BRIEF", ".SS key add NAME", `\-\-families`, ".B 3"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: nothing of %s", language, want)
			}
		}
		if strings.Contains(page, "[help") || strings.Contains(page, "[manual") {
			t.Errorf("%s: a word is missing", language)
		}
		if _, err := exec.LookPath("groff"); err != nil {
			t.Log("groff is not installed: the page is not read")
			continue
		}
		c := exec.Command("groff", "-k", "-man", "-ww", "-Tutf8")
		c.Stdin = strings.NewReader(page)
		var wrong bytes.Buffer
		c.Stderr = &wrong
		if out, err := c.Output(); err != nil || wrong.Len() > 0 || len(out) < 5000 {
			t.Errorf("%s: %v %s", language, err, &wrong)
		}
	}
}

// The shells themselves complete with what we print.
func TestCompletion(t *testing.T) {
	ask := `COMP_WORDS=(raftwright %); COMP_CWORD=$((${#COMP_WORDS[@]}-1)); _raftwright; echo "${COMPREPLY[@]}"` + "\n"
	script := printed(t, "completion", "bash")
	for _, typed := range []string{`key ""`, `packet --paper ""`, `packet --pap`, `completion ""`, `pla`} {
		script += strings.Replace(ask, "%", typed, 1)
	}
	out, err := exec.Command("bash", "-c", script).Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(out), "\n")
	for i, want := range []string{"add --help", "letter a4", "--paper", "bash zsh fish", "plan place"} {
		if !strings.HasPrefix(lines[i], want) {
			t.Errorf("%q in place of %q", lines[i], want)
		}
	}
	for shell, flag := range map[string]string{"zsh": "-n", "fish": "--no-execute"} {
		text := printed(t, "completion", shell)
		if !strings.Contains(text, "families") || !strings.Contains(text, "letter a4") {
			t.Errorf("%s: commands or values are missing", shell)
		}
		if _, err := exec.LookPath(shell); err != nil {
			t.Logf("%s is not installed: its file is not read", shell)
			continue
		}
		c := exec.Command(shell, flag)
		c.Stdin = strings.NewReader(text)
		if wrong, err := c.CombinedOutput(); err != nil {
			t.Errorf("%s: %v %s", shell, err, wrong)
		}
	}
	fish := "complete -c raftwright -e\n" + printed(t, "completion", "fish") + "complete -C 'raftwright key '\n"
	if _, err := exec.LookPath("fish"); err == nil {
		if out, err := exec.Command("fish", "--no-config", "-c", fish).Output(); err != nil || !strings.Contains(string(out), "add") {
			t.Errorf("fish: %v %s", err, out)
		}
	}
}
