package frame

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/unit"
	"raftwright/usual"
)

func inches(t *rapid.T, name string, lo, hi float64) unit.Length {
	return unit.Length(rapid.Float64Range(lo, hi).Draw(t, name)) * unit.Inch
}

// anyVessel draws a frame, a round tank or a tub, straight or leaning.
func anyVessel(t *rapid.T) Vessel {
	v := Vessel{Shape: Shape(rapid.IntRange(0, 2).Draw(t, "shape")), TopAt: inches(t, "top at", 4, 30)}
	lean := rapid.Float64Range(0.6, 1.2).Draw(t, "base of top")
	if v.Shape == RoundShape {
		v.Diameter = inches(t, "diameter", 20, 120)
		v.BaseDiameter = v.Diameter * unit.Length(lean)
		return v
	}
	v.Length, v.Width = inches(t, "length", 20, 480), inches(t, "width", 20, 96)
	if v.Shape == TubShape {
		v.BaseLength, v.BaseWidth = v.Length*unit.Length(lean), v.Width*unit.Length(lean)
	}
	return v
}

// The depth of a volume is the inverse of the volume at a depth.
func TestDepthIsTheInverseOfVolume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyVessel(t)
		z := min(inches(t, "depth", 0, 30), unit.Length(0.8*v.highest()))
		got, err := v.DepthOf(v.VolumeAt(z))
		if err != nil || math.Abs(float64(got-z)) > 1e-9 {
			t.Fatalf("%v at %v: %v, %v", v, z, got, err)
		}
	})
}

// The surface is the slope of the volume, and the volume is the sum of thin
// layers (Simpson's rule is exact for a prismatoid).
func TestVolumeIsTheSumOfLayers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyVessel(t)
		z := min(inches(t, "depth", 1, 30), unit.Length(0.8*v.highest()))
		simpson := float64(z) / 6 * float64(v.SurfaceAt(0)+4*v.SurfaceAt(z/2)+v.SurfaceAt(z))
		if got := float64(v.VolumeAt(z)); math.Abs(got-simpson) > 1e-9*(1+simpson) {
			t.Fatalf("%v at %v: %g, layers give %g", v, z, got, simpson)
		}
		per := v.PerDepth(z, unit.Inch/1000)
		if math.Abs(float64(per)/float64(v.SurfaceAt(z).Deep(unit.Inch/1000))-1) > 1e-6 {
			t.Fatalf("layer %g", per)
		}
	})
}

// Every inside measure doubled holds eight times as much, and the dipstick adds
// up to the volume at its top.
func TestVolumeScalesAndDipstickAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyVessel(t)
		top := min(inches(t, "top", 2, 20), unit.Length(0.8*v.highest()))
		big := v
		big.Length, big.Width, big.BaseLength, big.BaseWidth = 2*v.Length, 2*v.Width, 2*v.BaseLength, 2*v.BaseWidth
		big.Diameter, big.BaseDiameter, big.TopAt = 2*v.Diameter, 2*v.BaseDiameter, 2*v.TopAt
		if r := float64(big.VolumeAt(2*top)) / float64(v.VolumeAt(top)); math.Abs(r-8) > 1e-9 {
			t.Fatalf("ratio %g", r)
		}
		marks, err := v.Dipstick(unit.Inch, top)
		if err != nil {
			t.Fatal(err)
		}
		sum := unit.Volume(0)
		for i, m := range marks {
			sum += m.Step
			if m.Step <= 0 || i > 0 && m.Depth <= marks[i-1].Depth {
				t.Fatalf("mark %d: %+v", i, m)
			}
		}
		if last := marks[len(marks)-1]; last.Depth != top || math.Abs(float64(sum-last.Volume)) > 1e-12 {
			t.Fatalf("sum %g, last %+v", sum, last)
		}
	})
}

// Hand-worked vessels: the frustum of a cone and the prismatoid of any handbook.
func TestHandWorkedVessels(t *testing.T) {
	// pi/3 x 12 x (36^2 + 36 x 30 + 30^2)/... a tank of 72 in over 60 in, 12 in deep:
	// V = pi h/12 (D2 + D d + d2) = pi (5184 + 4320 + 3600) = 41167.4 in3 = 178.214 gal.
	round := Vessel{Shape: RoundShape, Diameter: 72 * unit.Inch, BaseDiameter: 60 * unit.Inch, TopAt: 12 * unit.Inch}
	near(t, "frustum", round.VolumeAt(12*unit.Inch).Gallons(), math.Pi*(5184+4320+3600)/231, 1e-9)
	// A tub of 40 x 20 in over 36 x 16 in, 10 in deep: h/6 (2ab + 2cd + ad + bc)
	// = 10/6 (1600 + 1152 + 640 + 720) = 6853.33 in3.
	tub := Vessel{Shape: TubShape, Length: 40 * unit.Inch, Width: 20 * unit.Inch, BaseLength: 36 * unit.Inch, BaseWidth: 16 * unit.Inch, TopAt: 10 * unit.Inch}
	near(t, "prismatoid", tub.VolumeAt(10*unit.Inch).Gallons(), 10.0/6*(1600+1152+640+720)/231, 1e-9)
	// Common practice, no source: 5 in of water on 4 x 8 ft is about 100 gallons.
	rounds(t, "5 in on a sheet", Vessel{Length: 8 * unit.Foot, Width: 4 * unit.Foot}.VolumeAt(5*unit.Inch).Gallons(), 100, 1)
	if got := FillTime(120*unit.Gallon, usual.Hose); math.Abs(float64(got)-24*60) > 1e-6 {
		t.Errorf("120 gal at 5 gal a minute: %g s", float64(got))
	}
	if got := Buckets(120*unit.Gallon, 5*unit.Gallon); got != 24 {
		t.Errorf("%d buckets", got)
	}
	if Buckets(1, 0) != 0 || FillTime(1, 0) != 0 {
		t.Error("no bucket and no flow were not refused")
	}
}

func TestVesselRefusals(t *testing.T) {
	good := Vessel{Length: unit.Metre, Width: unit.Metre}
	for _, v := range []unit.Volume{-1, unit.Volume(math.NaN()), unit.Volume(math.Inf(1))} {
		if _, err := good.DepthOf(v); err == nil {
			t.Errorf("volume %v: %v", v, err)
		}
	}
	funnel := Vessel{Shape: RoundShape, BaseDiameter: unit.Metre, Diameter: unit.Metre / 2, TopAt: unit.Metre / 2}
	if _, err := funnel.DepthOf(100); err == nil {
		t.Error("a closed cone held 100 m3")
	}
	if z, err := funnel.DepthOf(funnel.VolumeAt(0.9)); err != nil || math.Abs(float64(z)-0.9) > 1e-9 {
		t.Errorf("cone: %v, %v", z, err)
	}
	leaning := Vessel{Shape: TubShape, Length: 1, Width: 1, BaseLength: 0.9}
	if _, err := leaning.DepthOf(0.1); err == nil {
		t.Error("a leaning wall without its height was computed")
	}
	for _, step := range []unit.Length{0, -1, unit.Length(math.NaN()), 1e-9} {
		if _, err := good.Dipstick(step, 1); err == nil {
			t.Errorf("a step of %v made a dipstick", step)
		}
	}
}

// Walls that lean go in a straight line from the floor to the height where the top was
// measured (by hand); those of a straight vessel do not lean.
func TestSidesAt(t *testing.T) {
	tub := Vessel{Shape: TubShape, Length: 80 * unit.Centimetre, Width: 50 * unit.Centimetre, BaseLength: 60 * unit.Centimetre, BaseWidth: 40 * unit.Centimetre, TopAt: 40 * unit.Centimetre}
	tank := Vessel{Shape: RoundShape, Diameter: 2 * unit.Metre}
	for _, c := range []struct {
		v            Vessel
		at           unit.Length
		long, across float64 // cm
	}{{tub, 0, 60, 40}, {tub, 20 * unit.Centimetre, 70, 45}, {tub, 40 * unit.Centimetre, 80, 50}, {tank, 10 * unit.Centimetre, 200, 200}} {
		long, wide := c.v.SidesAt(c.at)
		if math.Abs(long.Millimetres()-10*c.long) > 1e-6 || math.Abs(wide.Millimetres()-10*c.across) > 1e-6 {
			t.Errorf("at %v mm: %v by %v mm", c.at.Millimetres(), long.Millimetres(), wide.Millimetres())
		}
	}
}

// The ground is levelled to what the frame was judged for, but no worse than a quarter
// of an inch in 8 ft; nobody gets it finer than 3 mm (common practice, no source).
func TestLevelTo(t *testing.T) {
	for given, want := range map[unit.Length]unit.Length{0: 3 * unit.Millimetre, unit.Millimetre: 3 * unit.Millimetre, unit.Inch / 4: unit.Inch / 4, unit.Inch: unit.Inch / 4} {
		if got := (Bed{Job: Job{LevelError: given}}).LevelTo(); got != want {
			t.Errorf("%v mm: level to %v mm", given.Millimetres(), got.Millimetres())
		}
	}
}

// A tub is the next size that is sold: common retail sizes (tub.csv, practice).
func TestTubsAreSold(t *testing.T) {
	y := DefaultYard()
	for _, c := range []struct {
		shape         Shape
		l, w, h, long float64
	}{{TubShape, 36, 24, 8, 36}, {TubShape, 36, 24, 9, 48}, {TubShape, 36.5, 20, 6, 48}, {TubShape, 20, 20, 6, 26}, {RoundShape, 61, 61, 20, 72}, {RoundShape, 48, 48, 24, 48}} {
		if got, ok := y.Sold(c.shape, unit.Length(c.l)*unit.Inch, unit.Length(c.w)*unit.Inch, unit.Length(c.h)*unit.Inch); !ok || math.Abs(got.Length.Inches()-c.long) > 1e-9 {
			t.Errorf("%v: %v in long", c, got.Length.Inches())
		}
	}
	if _, ok := y.Sold(RoundShape, 97*unit.Inch, 97*unit.Inch, unit.Inch); ok {
		t.Error("a tank of 97 in is sold by nobody here")
	}
}
