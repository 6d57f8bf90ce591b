package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const tendingDemo = "2027-05-18T09:00"

// The slips of several beds are one file, in two languages too; a further bed without them is a fault.
func TestSlipsOfSeveralBeds(t *testing.T) {
	demo, err := filepath.Abs("../../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "slips.html")
	got := tell("", "tend", demo, "--now", tendingDemo, "--slip", out, "--also", demo, "--language", "en+es")
	if got.code != exitDone {
		t.Fatalf("exit %d: %s", got.code, got.err)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	for words, times := range map[string]int{"Look again by": 2, "Revise otra vez": 2, `lang="es"`: 1, `class="slips"`: 2} {
		if n := strings.Count(string(text), words); n != times {
			t.Errorf("%q stands there %d times, not %d", words, n, times)
		}
	}
	if got := tell("", "tend", demo, "--now", tendingDemo, "--also", demo); got.code != exitFaults || !strings.Contains(got.err, "--slip") {
		t.Errorf("two beds without slips: exit %d: %s", got.code, got.err)
	}
}

// The card of a bed is one file with the side by its log, in two languages beside each other.
func TestCardByTheLog(t *testing.T) {
	demo, err := filepath.Abs("../../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "card.html")
	if got := tell("", "tend", demo, "--now", tendingDemo, "--card", out, "--language", "en+es"); got.code != exitDone {
		t.Fatalf("exit %d: %s", got.code, got.err)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"EC reads", "La CE es", "No meter at all?", "How warm is the water?"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%q is missing", want)
		}
	}
}
