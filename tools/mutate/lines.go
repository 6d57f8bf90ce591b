package main

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"strings"
)

// A line is a figure by which somebody acts or a gate that a stranger's file must not pass, written otherwise, and the test that must see it: a part of a test
// after a stroke.
type line struct {
	figure     string
	change     change
	room, test string
}

//go:embed lines.csv
var linesText string

// lines reads the list, from the root of the project. Each figure must stand where the list says, once.
func lines() ([]line, error) {
	rows, err := csv.NewReader(strings.NewReader(linesText)).ReadAll()
	if err != nil {
		return nil, err
	}
	var all []line
	for _, r := range rows[1:] {
		l := line{r[0], change{file: r[1], from: r[2], to: r[3], text: r[0]}, r[4], r[5]}
		src, err := os.ReadFile(l.change.file)
		if err != nil {
			return nil, err
		}
		if n := bytes.Count(src, []byte(l.change.from)); n != 1 || l.change.from == l.change.to {
			return nil, fmt.Errorf("lines.csv, %s: %q stands %d times in %s", l.figure, l.change.from, n, l.change.file)
		}
		l.change.at = bytes.Index(src, []byte(l.change.from))
		l.change.line = 1 + bytes.Count(src[:l.change.at], []byte("\n"))
		all = append(all, l)
	}
	return all, nil
}

// tryLines makes each change of the list and runs its test.
func tryLines() error {
	all, err := lines()
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	var unseen []error
	for i, l := range all {
		what, err := l.change.test(dir, "./"+l.room, []string{"-run=^" + strings.ReplaceAll(l.test, "/", "$/^") + "$"})
		if err != nil {
			return err
		}
		if what != "seen" {
			unseen = append(unseen, fmt.Errorf("%s: %s by %s of %s", l.figure, what, l.test, l.room))
		}
		fmt.Printf("%d/%d %-8s %s\n", i+1, len(all), what, l.figure)
	}
	return errors.Join(unseen...)
}
