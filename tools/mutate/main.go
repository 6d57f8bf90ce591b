// Command mutate asks whether a test sees each threshold. It changes one figure or
// one comparison of a room at a time (in an overlay: no file of the project is
// touched), runs the tests of that room, and lists the changes that no test saw.
//
//	go run ./tools/mutate                     40 changes, by chance, over all trades
//	go run ./tools/mutate -n 0 frame pool     every change of two rooms
//	go run ./tools/mutate -match 'limit|most' only where the line holds one of these
//	go run ./tools/mutate -list frame         what would be changed
//	go run ./tools/mutate -short frame        by the quick tests alone
//	go run ./tools/mutate -run TestLine raft  by the tests of these names alone
//	go run ./tools/mutate -lines              the changes of lines.csv, each of which its test must see
package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"time"
)

// trades are the rooms whose figures people act on.
var trades = []string{"unit", "chem", "crop", "sky", "water", "pool", "raft", "frame", "cut", "mix", "season", "cost", "plan"}

func main() {
	n := flag.Int("n", 40, "how many changes, by chance; 0 makes every one")
	seed := flag.Uint64("seed", uint64(time.Now().UnixNano()), "which ones: the same seed makes the same changes")
	match := flag.String("match", "", "change only lines that match this pattern")
	short := flag.Bool("short", false, "run the quick tests alone")
	names := flag.String("run", "", "run the tests that match this pattern alone")
	list := flag.Bool("list", false, "list the changes and make none")
	lines := flag.Bool("lines", false, "make the changes of lines.csv; one that its test does not see is a failure")
	flag.Parse()
	if *lines {
		if err := tryLines(); err != nil {
			fmt.Fprintln(os.Stderr, "mutate:", err)
			os.Exit(1)
		}
		return
	}
	rooms := flag.Args()
	if len(rooms) == 0 {
		rooms = trades
	}
	all, err := find(rooms, *match)
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
	if *n > 0 && *n < len(all) {
		chance := rand.New(rand.NewPCG(*seed, 0))
		chance.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		all = all[:*n]
	}
	if *list {
		for _, c := range all {
			fmt.Println(c)
		}
		return
	}
	fmt.Printf("%d changes, seed %d\n", len(all), *seed)
	if err := try(all, fmt.Sprintf("-short=%v", *short), "-run="+*names); err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

// find lists the changes of every file of the rooms.
func find(rooms []string, match string) ([]change, error) {
	lines, err := regexp.Compile(match)
	if err != nil {
		return nil, err
	}
	var all []change
	for _, room := range rooms {
		files, err := filepath.Glob(filepath.Join(room, "*.go"))
		if err != nil {
			return nil, err
		}
		if len(files) == 0 {
			return nil, fmt.Errorf("there is no room %q here", room)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			src, err := os.ReadFile(f)
			if err != nil {
				return nil, err
			}
			found, err := changes(f, src)
			if err != nil {
				return nil, err
			}
			for _, c := range found {
				if lines.MatchString(c.text) {
					all = append(all, c)
				}
			}
		}
	}
	return all, nil
}

// try makes one change after another and tells which no test saw.
func try(all []change, how ...string) error {
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	var survived []change
	seen, broken := 0, 0
	for i, c := range all {
		what, err := c.test(dir, "./"+filepath.ToSlash(filepath.Dir(c.file)), how)
		if err != nil {
			return err
		}
		switch what {
		case "seen":
			seen++
		case "survived":
			survived = append(survived, c)
		default:
			broken++
		}
		fmt.Printf("%d/%d %-8s %v\n", i+1, len(all), what, c)
	}
	fmt.Printf("\n%d changes: %d seen by a test, %d do not compile, %d survived:\n", len(all), seen, broken, len(survived))
	for _, c := range survived {
		fmt.Println(c)
	}
	return nil
}

// test runs the tests of a room on the changed file.
func (c change) test(dir, room string, how []string) (string, error) {
	src, err := os.ReadFile(c.file)
	if err != nil {
		return "", err
	}
	changed := filepath.Join(dir, "changed"+filepath.Ext(c.file))
	if err := os.WriteFile(changed, c.apply(src), 0o644); err != nil {
		return "", err
	}
	from, err := filepath.Abs(c.file)
	if err != nil {
		return "", err
	}
	overlay, err := json.Marshal(map[string]any{"Replace": map[string]string{from: changed}})
	if err != nil {
		return "", err
	}
	plan := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(plan, overlay, 0o644); err != nil {
		return "", err
	}
	args := append([]string{"test", "-failfast", "-timeout", "5m", "-overlay", plan}, how...)
	out, err := exec.Command("go", append(args, room)...).CombinedOutput()
	switch {
	case err == nil:
		return "survived", nil
	case bytes.Contains(out, []byte("[build failed]")) || bytes.Contains(out, []byte("[setup failed]")):
		return "broken", nil
	}
	return "seen", nil
}
