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
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
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

// The card of a bed, with the side by its log, and the sums for a class are a file each, in two languages beside each other.
// Nothing grows in the bed of the demonstration: its potassium is not asked for.
func TestCardAndClassByTheLog(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	demo, err := filepath.Abs("../../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for flag, wants := range map[string][]string{
		"--card":  {"EC reads", "La CE es", "No meter at all?", "How warm is the water?"},
		"--class": {"Where did the water go?", "¿Adónde fue el agua?", "Answers", "Respuestas"},
	} {
		out := filepath.Join(t.TempDir(), "paper.html")
		if got := tell("", "tend", demo, "--now", tendingDemo, flag, out, "--language", "en+es"); got.code != exitDone {
			t.Fatalf("%s: exit %d: %s", flag, got.code, got.err)
		}
		text, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range wants {
			if !strings.Contains(string(text), want) {
				t.Errorf("%s: %q is missing", flag, want)
			}
		}
	}
}
