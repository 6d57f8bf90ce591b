package finding

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

func TestWithin(t *testing.T) {
	for _, x := range []float64{1, 1.5, 2} {
		if f := Within("a.b", x, 1, 2, 1.5); f != nil {
			t.Errorf("%v: %v", x, f)
		}
	}
	for _, x := range []float64{0.99, 2.01, math.NaN(), math.Inf(1), math.Inf(-1)} {
		f := Within("a.b", x, 1, 2, 1.5)
		if len(f) != 1 || f[0].Path != "a.b" || f[0].ID != FaultRange || f[0].RightID() != "right.fault.range" {
			t.Errorf("%v: %v", x, f)
		}
	}
}

func TestUnknown(t *testing.T) {
	f := Unknown("x.fault.y", "crop.name", "kalle", []string{"kale", "basil"})
	if f.Args["Near"] != "kale" || f.Args["Known"] != "kale, basil" || f.Path != "crop.name" {
		t.Error(f)
	}
}

// What an error holds is told at the path that asked; the error itself stays as it is.
func TestFaultsOf(t *testing.T) {
	shared := Faults{{ID: "a"}, {ID: "b", Path: "own"}}
	got := FaultsOf(fmt.Errorf("dose: %w", shared), "mix", "other")
	if len(got) != 2 || got[0].Path != "mix" || got[1].Path != "own" || shared[0].Path != "" {
		t.Error(got, shared)
	}
	if got := FaultsOf(errors.New("x"), "mix", "other"); len(got) != 1 || got[0].ID != "other" || got[0].Path != "mix" {
		t.Error(got)
	}
	if FaultsOf(nil, "mix", "other") != nil {
		t.Error("no error is no fault")
	}
}
