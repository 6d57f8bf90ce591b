package answer_test

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"raftwright/plan"
)

// Whole documents, read by a person: the first bed of all, one that stops, and
// one with a tub and hardly anything said.
func TestGolden(t *testing.T) {
	for _, name := range []string{"minimal", "school", "tub"} {
		text, err := os.ReadFile("../examples/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		_, got, faults := written(t, string(text), plan.Everything, false)
		if len(faults) > 0 {
			t.Errorf("%s: %v", name, faults[0])
			continue
		}
		var lines bytes.Buffer // one key a line, for whoever reads the difference
		if err := json.Indent(&lines, got, "", "  "); err != nil {
			t.Fatal(err)
		}
		golden(t, "testdata/"+name+".golden.json", lines.Bytes())
	}
}
