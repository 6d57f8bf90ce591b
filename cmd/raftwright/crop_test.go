package main

import (
	"strings"
	"testing"

	"raftwright/crop"
	"raftwright/lang"
)

// The names of crops that we print are names that a brief may write, whatever its language:
// as they stand, in capitals, without accents, and more than one of them.
func TestPrintedCropsAreFound(t *testing.T) {
	c := crop.Default()
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range c.Crops() {
			name := words.Say("crop.name."+k.ID, nil)
			for _, written := range []string{name, strings.ToUpper(name), accents.Replace(name), strings.TrimSuffix(name, "s") + "s"} {
				got, assumed, faults := c.Find("crop.name", written, "")
				if got.ID != k.ID || len(assumed)+len(faults) > 0 {
					t.Errorf("%q is printed for %s, and %q is read as %q: %v %v", name, k.ID, written, got.ID, assumed, faults)
				}
			}
		}
	}
	for _, w := range []struct{ name, kind, want string }{{"Lechugas romanas", "", "lettuce_romaine"}, {"lechuga", "mantequilla", "lettuce_butterhead"}, {"ESPINACAS", "", "spinach"},
		{"tomates", "", "tomato"}, {"lettuces", "romaine", "lettuce_romaine"}, {"fresas", "", "strawberry"}, {"cebollin", "", "chives"}} {
		if got, assumed, faults := c.Find("crop.name", w.name, w.kind); got.ID != w.want || len(assumed)+len(faults) > 0 {
			t.Errorf("%v: %q, %v, %v", w, got.ID, assumed, faults)
		}
	}
	if got, assumed, _ := c.Find("crop.name", "lechuga", ""); got.ID != "lettuce_leaf" || len(assumed) != 1 {
		t.Errorf("lechuga alone: %q, %v", got.ID, assumed)
	}
	for _, nobody := range []string{"purple lettuce", "lechuga morada", "col", "hojas"} {
		if _, _, faults := c.Find("crop.name", nobody, ""); len(faults) == 0 {
			t.Errorf("%q is taken for a printed name", nobody)
		}
	}
}
