// Command tally reads what go test -json prints on standard input and prints it for
// a person: a line for each package, the output of what failed, what was left out
// and why, and a closing line that counts. It exits with 1 where anything failed.
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
)

type event struct {
	Action  string
	Package string
	Test    string
	Output  string
	Elapsed float64
}

type tally struct {
	passed, failed int
	left           map[string]int // tests left out, by reason
	said           map[string][]string
	broken         bool // a package that failed without a test, or did not build
}

func main() {
	also := flag.String("left", "", "what else was left out, one a line")
	failed := flag.Int("failed", 0, "what else failed")
	beside := flag.String("beside", "", "a file of what was found beside the tests, read after them: a line each that begins with \"failed: \" or \"left out: \"")
	flag.Parse()
	t := tally{failed: *failed, left: map[string]int{}, said: map[string][]string{}}
	if err := t.read(os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "tally:", err)
		os.Exit(1)
	}
	if found, err := os.ReadFile(*beside); err == nil { // nothing was found where there is none
		t.found(string(found), os.Stdout)
	}
	for l := range strings.Lines(strings.TrimSpace(*also)) {
		fmt.Println("left out:", strings.TrimSpace(l))
	}
	t.close(os.Stdout)
	if t.failed > 0 || t.broken {
		os.Exit(1)
	}
}

// found prints what was found beside the tests, and counts it as a failure where one line failed.
func (t *tally) found(lines string, out io.Writer) {
	fmt.Fprint(out, lines)
	for l := range strings.Lines(lines) {
		t.broken = t.broken || strings.HasPrefix(l, "failed: ")
	}
}

// read counts the events. A test that is part of another is not counted, and a line
// that is no event is printed as it is.
func (t *tally) read(from io.Reader, out io.Writer) error {
	in := bufio.NewReader(from)
	for {
		line, err := in.ReadBytes('\n')
		if len(line) > 0 {
			var e event
			if json.Unmarshal(line, &e) != nil {
				out.Write(line)
			} else {
				t.take(e, out)
			}
		}
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

func (t *tally) take(e event, out io.Writer) {
	key := e.Package + " " + e.Test
	switch e.Action {
	case "output":
		t.said[key] = append(t.said[key], e.Output)
		return
	case "build-output":
		fmt.Fprint(out, e.Output)
		return
	case "build-fail":
		t.broken = true
		return
	case "pass", "fail", "skip":
	default:
		return
	}
	said := t.said[key]
	delete(t.said, key)
	if e.Action == "fail" {
		fmt.Fprint(out, strings.Join(said, ""))
	}
	switch whole := e.Test != "" && !strings.Contains(e.Test, "/"); {
	case e.Test == "" && e.Action != "skip": // a package; one that is skipped has no tests
		fmt.Fprintf(out, "%-5s %s %.1fs\n", e.Action, e.Package, e.Elapsed)
		t.broken = t.broken || e.Action == "fail"
	case whole && e.Action == "pass":
		t.passed++
	case whole && e.Action == "fail":
		t.failed++
	case whole:
		t.left[why(said)]++
	}
}

var place = regexp.MustCompile(`^ +[\w.]+\.go:\d+: `)

// why finds the reason that a test gave before it was left out.
func why(said []string) string {
	for _, line := range slices.Backward(said) {
		if place.MatchString(line) {
			return strings.TrimPrefix(strings.TrimSpace(place.ReplaceAllString(line, "")), "left out: ")
		}
	}
	return "no reason given"
}

func (t *tally) close(out io.Writer) {
	reasons, skipped := []string{}, 0
	for r := range t.left {
		reasons = append(reasons, r)
	}
	slices.Sort(reasons)
	for _, r := range reasons {
		plural := "s"
		if t.left[r] == 1 {
			plural = ""
		}
		fmt.Fprintf(out, "left out: %d test%s (%s)\n", t.left[r], plural, r)
		skipped += t.left[r]
	}
	if t.broken && t.failed == 0 {
		t.failed = 1
	}
	fmt.Fprintf(out, "%d passed, %d failed, %d skipped\n", t.passed, t.failed, skipped)
}
