// Command release builds what is given to people: for each system a static program, with
// checksums, a bill of materials, the licenses, the page of the manual, what shells need,
// and packages for Debian. The same commit gives the same bytes in every folder.
//
//	go run ./tools/release [-only linux/amd64,...] FOLDER   builds into a new folder
//	go run ./tools/release notices                          gathers cmd/raftwright/notices.txt
package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"raftwright/plan"
)

// target is a system that programs are built for; deb is the name that Debian has for its
// processor, "" where no package is made.
type target struct{ system, processor, arm, deb string }

var targets = []target{
	{"linux", "amd64", "", "amd64"}, {"linux", "arm64", "", "arm64"}, {"linux", "arm", "7", "armhf"},
	{"darwin", "amd64", "", ""}, {"darwin", "arm64", "", ""}, {"windows", "amd64", "", ""},
}

func (t target) String() string {
	if t.arm != "" {
		return t.system + "/" + t.processor + "v" + t.arm
	}
	return t.system + "/" + t.processor
}

// environment is that of a build for the target: nothing of the person's own settings
// may change what comes out.
func (t target) environment() []string {
	return append(os.Environ(), "GOOS="+t.system, "GOARCH="+t.processor, "GOARM="+t.arm, "CGO_ENABLED=0",
		"GOENV=off", "GOFLAGS=", "GOAMD64=", "GOARM64=", "GOEXPERIMENT=", "GOFIPS140=", "GOWASM=") // what is empty would be read from the file of go env -w
}

// edition is the commit that is built.
type edition struct {
	commit string
	made   time.Time
}

// version is what the files are called by: code, day and commit.
func (e edition) version() string {
	return plan.Code + "." + e.made.Format("20060102") + "." + e.commit[:7]
}

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	flags := flag.NewFlagSet("release", flag.ContinueOnError)
	only := flags.String("only", "", "the systems to build for, as linux/amd64,windows/amd64 (left out: all)")
	phone := flags.Bool("phone", true, "build in what a phone works with when it has no signal; without it the programs are not for release")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() != 1 {
		return errors.New("name the folder to build into, or notices")
	}
	if flags.Arg(0) == "notices" {
		text, err := notices(targets)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join("cmd", "raftwright", "notices.txt"), text, 0o644)
	}
	wanted := targets
	if *only != "" {
		wanted = nil
		for name := range strings.SplitSeq(*only, ",") {
			i := slices.IndexFunc(targets, func(t target) bool { return t.String() == name })
			if i < 0 {
				return fmt.Errorf("no system %q: there are %v", name, targets)
			}
			wanted = append(wanted, targets[i])
		}
	}
	if *phone { // it is in no commit
		c := exec.Command("go", "run", "./cmd/bedside", filepath.Join("web", "engine"))
		c.Stdout, c.Stderr = os.Stderr, os.Stderr
		if err := c.Run(); err != nil {
			return err
		}
	}
	level := 6
	if !*phone {
		level = 0 // nobody fetches what is not for release
	}
	return build(flags.Arg(0), wanted, level)
}

// build fills a new folder; packages are packed at a level of xz from 1 to 9, the densest, or with 0 not at all.
func build(folder string, wanted []target, level int) error {
	e, err := committed()
	if err != nil {
		return err
	}
	if err := os.Mkdir(folder, 0o755); err != nil {
		return err
	}
	for _, t := range wanted {
		if err := program(t, filepath.Join(folder, t.file(e))); err != nil {
			return err
		}
	}
	if err := beside(folder, wanted, e); err != nil {
		return err
	}
	for _, t := range wanted {
		if t.deb == "" {
			continue
		}
		if err := pack(folder, t, e, level); err != nil {
			return err
		}
	}
	return sums(folder)
}

// file is the name of the program for a target.
func (t target) file(e edition) string {
	name := "raftwright-" + e.version() + "-" + strings.ReplaceAll(t.String(), "/", "-")
	if t.system == "windows" {
		name += ".exe"
	}
	return name
}

// program builds for one target.
func program(t target, file string) error {
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=true", "-ldflags=-s -w -buildid=", "-o", file, "./cmd/raftwright")
	c.Env = t.environment()
	return ran(c)
}

// beside writes what lies beside the programs: the pages of the manual, the files of the
// shells, the licenses and the bill of materials. The program of this system writes its own: it is
// one of those that are wanted, or is built for that.
func beside(folder string, wanted []target, e edition) error {
	here := target{system: runtime.GOOS, processor: runtime.GOARCH}
	own, err := filepath.Abs(filepath.Join(folder, here.file(e)))
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(wanted, func(t target) bool { return t.String() == here.String() }) {
		dir, err := os.MkdirTemp("", "release")
		if err != nil {
			return err
		}
		defer os.RemoveAll(dir)
		own = filepath.Join(dir, "raftwright")
		if err := program(here, own); err != nil {
			return err
		}
	}
	for name, args := range map[string][]string{
		"raftwright.1":    {"manual", "--language=en"},
		"raftwright.es.1": {"manual", "--language=es"},
		"raftwright.bash": {"completion", "bash", "--language=en"},
		"raftwright.zsh":  {"completion", "zsh", "--language=en"},
		"raftwright.fish": {"completion", "fish", "--language=en"},
		"LICENSES.txt":    {"version", "--licenses"},
	} {
		out, err := exec.Command(own, args...).Output()
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if err := os.WriteFile(filepath.Join(folder, name), out, 0o644); err != nil {
			return err
		}
	}
	bill, err := bill(e, targets)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "raftwright-"+e.version()+".cdx.json"), bill, 0o644)
}

// committed asks for the commit that is checked out. What is not committed is not released.
func committed() (edition, error) {
	changed, err := exec.Command("git", "status", "--porcelain").Output()
	if err != nil {
		return edition{}, fmt.Errorf("a release is built from a clone: %w", err)
	}
	if len(changed) > 0 {
		return edition{}, fmt.Errorf("these are not committed:\n%s", changed)
	}
	out, err := exec.Command("git", "log", "-1", "--format=%H %cI").Output()
	if err != nil {
		return edition{}, err
	}
	commit, day, _ := strings.Cut(strings.TrimSpace(string(out)), " ")
	made, err := time.Parse(time.RFC3339, day)
	return edition{commit, made.UTC()}, err
}

// sums writes the checksums of all files of a folder, as sha256sum reads them.
func sums(folder string) error {
	files, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	var out strings.Builder
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if err != nil {
			return err
		}
		sum := sha256.Sum256(data)
		fmt.Fprintf(&out, "%s  %s\n", hex.EncodeToString(sum[:]), f.Name())
	}
	return os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(out.String()), 0o644)
}

// ran runs a command and, where it fails, tells what it said.
func ran(c *exec.Cmd) error {
	var said bytes.Buffer
	c.Stdout, c.Stderr = &said, &said
	if err := c.Run(); err != nil {
		return fmt.Errorf("%s: %w\n%s", strings.Join(c.Args, " "), err, &said)
	}
	return nil
}
