package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// atRoot goes to the root of the project, from where everything here is named.
func atRoot(t *testing.T) string {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(root)
	return root
}

// Every module that is built into the program stands in it with its license.
func TestNoticesAreWhole(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	atRoot(t)
	want, err := notices(targets)
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("cmd/raftwright/notices.txt")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Error("another module, version or license is built in now: go run ./tools/release notices")
	}
	for _, part := range []string{"github.com/jackc/pgx/v5", "SIL OPEN FONT LICENSE", "Go, its standard library", "Gazetteer"} {
		if !bytes.Contains(got, []byte(part)) {
			t.Errorf("nothing of %s", part)
		}
	}
}

// Licenses are told apart by their own words; texts after the templates of the SPDX license
// list (spdx.org/licenses, 3.x; written from memory, shortened).
func TestSPDX(t *testing.T) {
	for _, c := range []struct{ want, text string }{
		{"MIT", "Permission is hereby granted, free of\ncharge, to any person obtaining a copy"},
		{"ISC", "Permission to use, copy, modify, and/or distribute this software for any purpose with or without fee"},
		{"BSD-3-Clause", "Redistribution and use in source and binary forms, with or without modification. Neither the name of the holder may be used to endorse or promote products"},
		{"BSD-2-Clause", "Redistribution and use in source and binary forms, with or without modification"},
		{"Apache-2.0", "Apache License\n Version 2.0, January 2004"},
		{"MPL-2.0", "Mozilla Public License Version 2.0"},
		{"OFL-1.1", "SIL OPEN FONT LICENSE Version 1.1 - 26 February 2007"},
		{"", "All rights reserved. GNU GENERAL PUBLIC LICENSE Version 3"},
	} {
		if got := spdx(c.text); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

// clone copies what is committed into a folder of its own.
func clone(t *testing.T, root string) string {
	dir := filepath.Join(t.TempDir(), "clone")
	if out, err := exec.Command("git", "clone", "-q", root, dir).CombinedOutput(); err != nil {
		t.Skipf("no clone can be made here: %v %s", err, out)
	}
	return dir
}

// released builds in a clone, with a memory of built parts of its own or with the usual one.
func released(t *testing.T, dir, cache string, args ...string) string {
	out := filepath.Join(t.TempDir(), "built")
	t.Chdir(dir)
	if cache != "" {
		t.Setenv("GOCACHE", cache)
	}
	if err := run(append(args, out)); err != nil {
		t.Fatal(err)
	}
	return out
}

// otherMemory is a memory of built parts that only this test writes to, always from a folder
// of its own. It is kept, since the libraries in it take two minutes to build.
func otherMemory(t *testing.T) string {
	cache, err := os.UserCacheDir()
	if err != nil {
		return t.TempDir()
	}
	return filepath.Join(cache, "raftwright", "built-elsewhere")
}

// Whatever the builder's own settings are, in the environment or in the file of go env -w, what
// changes the code that comes out is as in a fresh account (go help environment names them).
func TestTheBuildersSettingsStayOut(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	atRoot(t)
	keys := []string{"CGO_ENABLED", "GOFLAGS", "GOAMD64", "GOARM64", "GOEXPERIMENT", "GOFIPS140", "GOWASM"}
	asked := func(target target) string {
		c := exec.Command("go", append([]string{"env"}, keys...)...)
		c.Env = target.environment()
		out, err := c.CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		return string(out)
	}
	file := filepath.Join(t.TempDir(), "env")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("GOENV", file)
	for _, k := range keys {
		t.Setenv(k, "")
	}
	want := asked(targets[0])
	for k, v := range map[string]string{"CGO_ENABLED": "1", "GOFLAGS": "-tags=x", "GOAMD64": "v3", "GOARM64": "v9.0", "GOEXPERIMENT": "noregabi", "GOFIPS140": "latest", "GOWASM": "signext"} {
		t.Setenv(k, v)
		if got := asked(targets[0]); got != want {
			t.Errorf("%s in the environment: %q, not %q", k, got, want)
		}
		t.Setenv(k, "")
		if err := os.WriteFile(file, []byte(k+"="+v+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		if got := asked(targets[0]); got != want {
			t.Errorf("%s of go env -w: %q, not %q", k, got, want)
		}
		if err := os.WriteFile(file, nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// The queue in an SQLite file is of a library that no processor of 32 bits can build: no program for one holds it. All others do.
func TestNoProgramHoldsWhatItsProcessorCannot(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	atRoot(t)
	for _, target := range targets {
		c := exec.Command("go", "list", "-deps", "./cmd/raftwright")
		c.Env = target.environment()
		out, err := c.Output()
		if err != nil {
			t.Fatal(target, err)
		}
		if holds, narrow := strings.Contains(string(out), "/riversqlite"), target.processor == "arm"; holds == narrow {
			t.Errorf("%v: the queue of SQLite is in it: %v", target, holds)
		}
	}
}

// Two builds of one commit in different folders are the same to the byte: each is linked and packed
// by itself. With RAFTWRIGHT_RELEASE=all that is tried for every system, packed as for release, and of
// two builds one knows nothing of the other: it compiles every library anew.
func TestSameBytes(t *testing.T) {
	if testing.Short() {
		t.Skip("builds everything twice")
	}
	root := atRoot(t)
	args, systems, memory := []string{"-phone=false", "-only", runtime.GOOS + "/" + runtime.GOARCH}, 1, ""
	if os.Getenv("RAFTWRIGHT_RELEASE") == "all" {
		args, systems, memory = nil, len(targets), otherMemory(t)
	}
	first, second := clone(t, root), clone(t, root)
	one, other := released(t, first, "", args...), released(t, second, memory, args...)
	files, err := os.ReadDir(one)
	if err != nil || len(files) < 9 {
		t.Fatal(files, err)
	}
	built := 0
	for _, t := range targets {
		if found, _ := filepath.Glob(filepath.Join(one, "raftwright-*-"+strings.ReplaceAll(t.String(), "/", "-")+"*")); len(found) == 1 {
			built++
		}
	}
	if built != systems {
		t.Errorf("programs for %d systems, want %d", built, systems)
	}
	listed, err := os.ReadFile(filepath.Join(one, "SHA256SUMS"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		a, err := os.ReadFile(filepath.Join(one, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile(filepath.Join(other, f.Name()))
		if err != nil || !bytes.Equal(a, b) {
			t.Errorf("%s is another in another folder (%v)", f.Name(), err)
		}
		sum := sha256.Sum256(a)
		if f.Name() != "SHA256SUMS" && !bytes.Contains(listed, []byte(hex.EncodeToString(sum[:])+"  "+f.Name()+"\n")) {
			t.Errorf("%s does not have its checksum", f.Name())
		}
	}
	t.Run("bill", func(t *testing.T) { bills(t, one) })
	t.Run("package", func(t *testing.T) { installs(t, one) })
}

// The bill of materials names every module that the program itself says it is built from.
func bills(t *testing.T, folder string) {
	names, _ := filepath.Glob(filepath.Join(folder, "*.cdx.json"))
	if len(names) != 1 {
		t.Fatal(names)
	}
	data, err := os.ReadFile(names[0])
	if err != nil {
		t.Fatal(err)
	}
	var b struct {
		BOMFormat, SpecVersion string
		Components             []struct {
			Name, Version, Purl string
			Licenses            []struct{ License struct{ ID string } }
		}
	}
	if err := json.Unmarshal(data, &b); err != nil || b.BOMFormat != "CycloneDX" || b.SpecVersion != "1.6" {
		t.Fatal(err, b.BOMFormat, b.SpecVersion)
	}
	has := map[string]string{}
	for _, c := range b.Components {
		has[c.Name] = c.Version
		if strings.HasPrefix(c.Purl, "pkg:golang/") && (len(c.Licenses) != 1 || c.Licenses[0].License.ID == "") {
			t.Errorf("%s has no license", c.Name)
		}
	}
	programs, _ := filepath.Glob(filepath.Join(folder, "raftwright-*-"+runtime.GOOS+"-"+runtime.GOARCH))
	if len(programs) != 1 {
		t.Fatal(programs)
	}
	out, err := exec.Command("go", "version", "-m", programs[0]).Output()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for l := range strings.Lines(string(out)) {
		if f := strings.Fields(l); len(f) >= 3 && f[0] == "dep" {
			n++
			if has[f[1]] != f[2] {
				t.Errorf("%s %s is built in, and the bill says %q", f[1], f[2], has[f[1]])
			}
		}
	}
	if n < 10 {
		t.Errorf("only %d modules", n)
	}
	for _, want := range []string{"CGO_ENABLED=0", "-trimpath=true", "vcs.revision="} {
		if !strings.Contains(string(out), want) {
			t.Errorf("built without %s", want)
		}
	}
}

// The package installs into a system of its own, its service is held to be sound and closed,
// and what the service starts answers and ends when it is told to.
func installs(t *testing.T, folder string) {
	debs, _ := filepath.Glob(filepath.Join(folder, "*.deb"))
	if len(debs) == 0 {
		t.Skip("dpkg-deb is not installed, or no package is made for this system")
	}
	if os.Getuid() != 0 {
		t.Skip("packages are installed by root")
	}
	var deb string
	for _, d := range debs {
		if strings.HasSuffix(d, "_"+runtime.GOARCH+".deb") {
			deb = d
		}
	}
	system := t.TempDir()
	for _, dir := range []string{"var/lib/dpkg/info", "var/lib/dpkg/updates", "var/log"} {
		if err := os.MkdirAll(filepath.Join(system, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(system, "var/lib/dpkg/status"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	dpkg := func(args ...string) {
		args = append([]string{"--root=" + system, "--force-script-chrootless", "--log=/dev/null"}, args...)
		if out, err := exec.Command("dpkg", args...).CombinedOutput(); err != nil {
			t.Fatalf("dpkg %v: %v\n%s", args, err, out)
		}
	}
	dpkg("--install", deb)
	unit := filepath.Join(system, "usr/lib/systemd/system/raftwright.service")
	text, err := os.ReadFile(unit)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range []string{"usr/share/man/man1/raftwright.1.gz", "usr/share/doc/raftwright/copyright", "etc/default/raftwright", "usr/share/bash-completion/completions/raftwright"} {
		if _, err := os.Stat(filepath.Join(system, f)); err != nil {
			t.Error(err)
		}
	}
	if _, err := exec.LookPath("systemd-analyze"); err == nil {
		// the program is looked for where the package has put it
		here := filepath.Join(t.TempDir(), "raftwright.service")
		if err := os.WriteFile(here, bytes.ReplaceAll(text, []byte("/usr/bin/"), []byte(system+"/usr/bin/")), 0o644); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("systemd-analyze", "verify", "--man=no", here).CombinedOutput(); err != nil {
			t.Errorf("systemd-analyze verify: %v\n%s", err, out)
		}
		// 0 is closed and 10 open (systemd.exec(5)); a service of a network cannot reach 0
		if out, err := exec.Command("systemd-analyze", "security", "--offline=yes", "--threshold=20", here).CombinedOutput(); err != nil {
			t.Errorf("systemd-analyze security: %v\n%s", err, out)
		}
	} else {
		t.Log("systemd-analyze is not installed: the service is not verified")
	}
	start := ""
	for l := range strings.Lines(string(text)) {
		if command, ok := strings.CutPrefix(l, "ExecStart="); ok {
			start = strings.TrimSpace(command)
		}
	}
	start = strings.NewReplacer("/usr/bin/", system+"/usr/bin/", "/var/lib/raftwright", filepath.Join(system, "var/lib/raftwright"), "$RAFTWRIGHT_SERVE", "--listen 127.0.0.1:0").Replace(start)
	answers(t, strings.Fields(start))
	dpkg("--remove", "raftwright")
	if _, err := os.Stat(filepath.Join(system, "usr/bin/raftwright")); err == nil {
		t.Error("the program is there after it was removed")
	}
}

// answers starts a server, asks it for its first page, and tells it to end.
func answers(t *testing.T, command []string) {
	c := exec.Command(command[0], command[1:]...)
	said, err := c.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	kill := time.AfterFunc(time.Minute, func() { _ = c.Process.Kill() })
	defer kill.Stop()
	at := ""
	lines := bufio.NewScanner(said)
	for at == "" && lines.Scan() {
		if _, address, ok := strings.Cut(lines.Text(), "listening on "); ok {
			at = address
		}
	}
	go func() { _, _ = io.Copy(io.Discard, said) }()
	r, err := http.Get(at + "/")
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusOK {
		t.Errorf("the first page answers %d", r.StatusCode)
	}
	if err := c.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := c.Wait(); err != nil {
		t.Error(fmt.Errorf("told to end: %w", err))
	}
}
