package main

import (
	"testing"

	"raftwright/crop"
	"raftwright/lang"
)

// The names of crops that we print are names that a brief may write.
func TestPrintedCropsAreFound(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	c := crop.Default()
	for _, k := range c.Crops() {
		name := words.Say("crop.name."+k.ID, nil)
		if name == "mustard greens or mizuna" { // two names, each of which is found
			continue
		}
		got, assumed, faults := c.Find("crop.name", name, "")
		if got.ID != k.ID || len(assumed)+len(faults) > 0 {
			t.Errorf("%q is printed for %s, and read as %q: %v %v", name, k.ID, got.ID, assumed, faults)
		}
	}
	if _, _, faults := c.Find("crop.name", "purple lettuce", ""); len(faults) == 0 {
		t.Error("a kind that nobody knows is taken for a printed name")
	}
}
