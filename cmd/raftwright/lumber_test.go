package main

import (
	"fmt"
	"math"
	"testing"
)

// Every species and size of shared/reference/structure/design_values.csv, worked
// again here by the rules of NDS 2018 (4.3, CD 0.9 of Table 2.3.2, wet and flat use
// of Tables 4A and 4B, Ci of 4.3.8) and by the beam formulas of AWC Design Aid 6:
// one simple span under rho g h^2/2, rho g = 62.4 lb/ft3.
func TestEverySpeciesAndSize(t *testing.T) {
	const psi, inch = 6894.757293168, 25.4
	widths := map[string]float64{"2x4": 3.5, "2x6": 5.5, "2x8": 7.25, "2x10": 9.25, "2x12": 11.25} // PS 20-20, dry
	depths := map[string]float64{"2x4": 2, "2x6": 4, "2x8": 6, "2x10": 8, "2x12": 10}
	seen := 0
	for i, row := range reference(t, "structure/design_values.csv") {
		size := row["size"]
		width, known := widths[size]
		if !known || testing.Short() && i%4 != 0 { // the check takes all
			continue
		}
		for _, incised := range []bool{false, true} {
			seen++
			length, h := 60+7*float64(i%9), depths[size]
			word, ciStrength, ciStiffness := "no", 1.0, 1.0
			if incised {
				word, ciStrength, ciStiffness = "yes", 0.80, 0.95
			}
			brief := fmt.Sprintf("bed: {length: %g in, width: 40 in, depth: %g in, side board: %s, end board: %s, lumber: %s, incised: %s, holds: none, level error: 0 in}\n", length, h, size, size, row["key"], word)
			d := ask(t, brief, "frame")
			fb, cf := figure(t, row, "Fb_psi"), figure(t, row, "CF")
			cm := 0.85
			if fb*cf <= 1150 {
				cm = 1
			}
			w := 62.4 / 1728 * h * h / 2 // lb/in
			section, inertia := width*1.5*1.5/6, width*1.5*1.5*1.5/12
			e := figure(t, row, "E_psi") * 0.9 * ciStiffness
			short := 5 * w * math.Pow(length, 4) / (384 * e * inertia) * inch
			for key, want := range map[string]float64{
				"bending_Pa": w * length * length / 8 / section * psi, "bending_allow_Pa": fb * cf * cm * 0.9 * figure(t, row, "Cfu") * ciStrength * psi,
				"shear_Pa": 1.5 * w * length / 2 / (width * 1.5) * psi, "shear_allow_Pa": figure(t, row, "Fv_psi") * 0.9 * 0.97 * ciStrength * psi,
				"deflection_short_mm": short, "deflection_long_mm": 2 * short, "span_mm": length * inch,
			} {
				if got := d.number(t, "boards.0."+key); !within(got, want, 0.005) {
					t.Errorf("%s %s, incised %s, %g in under %g in: %s %.6g, not %.6g", row["key"], size, word, length, h, key, got, want)
				}
			}
			use := math.Max(d.number(t, "boards.0.bending_Pa")/d.number(t, "boards.0.bending_allow_Pa"), d.number(t, "boards.0.deflection_long_mm")/d.number(t, "boards.0.deflection_limit_mm"))
			if got := d.number(t, "boards.0.use"); got < use-1e-9 {
				t.Errorf("%s: use %.4f is less than the share %.4f of a limit", brief, got, use)
			}
		}
	}
	if seen < 60 && !testing.Short() {
		t.Fatalf("saw only %d boards", seen)
	}
}

// Holds share a side: the forces and stresses of two, three and four equal spans
// (AWC Design Aid 6, 2005; coefficients of METHODS, section 2).
func TestSpansBetweenHolds(t *testing.T) {
	w := 62.4 / 1728 * 36 / 2 // lb/in under 6 in
	for holds, c := range map[int]struct{ force, moment, bulge float64 }{1: {1.25, 0.125, 1. / 185}, 2: {1.1, 0.100, 0.0069}, 3: {1.143, 0.107, 0.0065}} {
		d := ask(t, fmt.Sprintf("bed: {length: 144 in, width: 40 in, depth: 6 in, side board: 2x8, end board: 2x8, holds: %d, level error: 0 in}\n", holds), "frame")
		span := 144 / float64(holds+1)
		if got, want := d.number(t, "hold_force_N"), c.force*w*span*4.4482216; !within(got, want, 0.005) {
			t.Errorf("%d holds: force %.2f N, not %.2f", holds, got, want)
		}
		if got, want := d.number(t, "boards.0.bending_Pa"), c.moment*w*span*span/(7.25*1.5*1.5/6)*6894.757; !within(got, want, 0.005) {
			t.Errorf("%d holds: bending %.0f Pa, not %.0f", holds, got, want)
		}
		if got, want := d.number(t, "boards.0.deflection_short_mm"), c.bulge*w*math.Pow(span, 4)/(1.4e6*0.9*7.25*1.5*1.5*1.5/12)*25.4; !within(got, want, 0.015) {
			t.Errorf("%d holds: bulge %.4f mm, not %.4f", holds, got, want)
		}
		if got := d.number(t, "hold_spacing_mm"); !within(got, span*25.4, 1e-6) || d.number(t, "holds_per_side") != float64(holds) {
			t.Errorf("%d holds: %.1f mm apart", holds, got)
		}
	}
}

// Straight and tapered round vessels and tubs hold what geometry says.
func TestVesselVolumes(t *testing.T) {
	for brief, want := range map[string]float64{
		"bed: {vessel: round, diameter: 2 m, depth: 200 mm}":                                                          math.Pi * 200,
		"bed: {vessel: tub, length: 1 m, width: 0.5 m, depth: 200 mm}":                                                100,
		"bed: {vessel: round, diameter: 2 m, base diameter: 1.8 m, depth: 200 mm}":                                    math.Pi * 200 / 3 * (1 + 0.9 + 0.81),
		"bed: {vessel: tub, length: 1 m, width: 0.5 m, base length: 0.8 m, base width: 0.4 m, depth: 200 mm}":         200. / 3 * (0.5 + 0.32 + math.Sqrt(0.5*0.32)),
		"bed: {vessel: tub, length: 1000 mm, width: 500 mm, base length: 1000 mm, base width: 400 mm, depth: 150 mm}": 150 * 0.45,
	} {
		if got := ask(t, brief+"\n", "frame").number(t, "volume_L"); !within(got, want, 1e-4) {
			t.Errorf("%s: %.4f L, not %.4f", brief, got, want)
		}
	}
}
