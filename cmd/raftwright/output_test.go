package main

import (
	"bytes"
	"errors"
	"strings"
	"testing"
)

// full is a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// Output that cannot be written is said in a sentence, and is not our fault.
func TestFullDisk(t *testing.T) {
	for _, args := range [][]string{{"plan", "-"}, {"plan", "-", "--json"}, {"water", "-", "--json"}, {"schema"}, {"new", "-"}} {
		var err bytes.Buffer
		code := run(args, streams{strings.NewReader("bed: {}\nwater: {ph: 7}\n"), full{}, &err})
		if code != exitFaults || !strings.Contains(err.String(), "the output cannot be written") {
			t.Errorf("%v: exit %d: %s", args, code, err.String())
		}
	}
}
