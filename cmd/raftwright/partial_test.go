package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// A plan of a brief with a mistake tells the mistake, names what waits for it, and
// gives the rest; without the flag it gives nothing.
func TestPartialPlan(t *testing.T) {
	const text = "bed: {length: 97 in, width: 49 in, depth: 6 in}\nwater: {ph: 7, alkalinity: 100 mg/L CaCO3}\ncrop: {name: lettuce}\ntarget: {recipe: letuce}\n"
	whole := tell(text, "plan", "-", "--json")
	if whole.code != exitFaults || whole.out != "" {
		t.Errorf("exit %d with %d bytes", whole.code, len(whole.out))
	}
	got := tell(text, "plan", "-", "--json", "--partial")
	var d struct {
		Frame, Water, Mix, Cost *struct{}
		Faults                  []struct{ Path, What, Right string }
		Waits                   []struct {
			Part string
			For  []string
		}
	}
	if err := json.Unmarshal([]byte(got.out), &d); err != nil {
		t.Fatalf("%v: %s", err, got.out)
	}
	if got.code != exitFaults || d.Frame == nil || d.Water == nil || d.Mix != nil || d.Cost != nil {
		t.Errorf("exit %d, %+v", got.code, d)
	}
	if len(d.Faults) != 1 || len(d.Waits) != 2 || d.Waits[0].Part != "mix" || d.Waits[1].Part != "cost" {
		t.Errorf("faults %v, waits %v", d.Faults, d.Waits)
	}
	if !strings.Contains(got.err, "-:4:") || !strings.Contains(got.err, "mix: waits for") {
		t.Errorf("standard error: %s", got.err)
	}
	if shown := tell(text, "plan", "-", "--partial"); shown.code != exitFaults || len(shown.out) < 1000 ||
		strings.Contains(shown.out, "can be built") || !strings.Contains(shown.out, "waits for a figure") {
		t.Errorf("exit %d: %s", shown.code, shown.out)
	}
}
