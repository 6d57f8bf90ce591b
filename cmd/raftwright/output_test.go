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
		code := run(args, streams{strings.NewReader("bed: {}\nwater: {ph: 7}\n"), full{}, &err, tongue{}})
		if code != exitFaults || !strings.Contains(err.String(), "the output cannot be written") {
			t.Errorf("%v: exit %d: %s", args, code, err.String())
		}
	}
}

// What is to be left out is said in words.
func TestWhatIsLeftOutIsSaid(t *testing.T) {
	const text = "bed: {length: 8 ft, width: 4 ft}\nwater: {kind: soft}\nshelf: [{name: hydroponic base, label: 5-12-26, nitrate-n: 5 %}, {name: calcium nitrate, label: 15.5-0-0, calcium: 0 %}]\n"
	var out, err bytes.Buffer
	run([]string{"packet", "-", "-o", "-"}, streams{strings.NewReader(text), &out, &err, tongue{}})
	if said := err.String(); !strings.Contains(said, "this would end it: shelf left out\n") {
		t.Errorf("said: %s", said)
	}
}

// A packet of a plan that cannot stand is written, and the terminal says why it cannot
// and what would end that.
func TestPacketTellsItsStops(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	const text = "bed: {length: 16 ft, width: 4 ft, depth: 6 in, side board: 2x6, holds: none}\n"
	var out, err bytes.Buffer
	for _, part := range []string{"faces", "working", "builder", "bed", "log", "template"} {
		out.Reset()
		err.Reset()
		code := run([]string{"packet", "-", "-o", "-", "--part", part}, streams{strings.NewReader(text), &out, &err, tongue{}})
		said := err.String()
		if code != exitStop || !bytes.HasPrefix(out.Bytes(), []byte("%PDF")) || !strings.Contains(said, "stop: Over the years the 2x6") || !strings.Contains(said, "this would end it: bed.") {
			t.Errorf("%s: exit %d, %d bytes, said: %s", part, code, out.Len(), said)
		}
	}
	out.Reset()
	err.Reset()
	if code := run([]string{"packet", "-", "-o", "-"}, streams{strings.NewReader("bed: {}\n"), &out, &err, tongue{}}); code != exitDone || err.Len() > 0 {
		t.Errorf("a bed that stands: exit %d, said %s", code, err.String())
	}
}
