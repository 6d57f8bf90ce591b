package chem

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

// drawn makes a composition of up to `most` mmol/L a total, many of them absent
// and spread over decades.
func drawn(most float64) *rapid.Generator[Composition] {
	return rapid.Custom(func(t *rapid.T) Composition {
		m := func(name string) unit.MolarConcentration {
			if rapid.IntRange(0, 3).Draw(t, name+" absent") == 0 {
				return 0
			}
			return unit.MolarConcentration(most * math.Pow(10, rapid.Float64Range(-5, 0).Draw(t, name)))
		}
		return Composition{Ca: m("Ca"), Mg: m("Mg"), Na: m("Na"), K: m("K"), NH4: m("NH4"), Fe: m("Fe"), NO3: m("NO3"), Cl: m("Cl"),
			SO4: m("SO4"), P: m("P"), B: m("B"), Si: m("Si"), F: m("F"), TIC: m("TIC"), Citrate: m("Citrate"),
			Inert: unit.Equivalents(rapid.Float64Range(-most, most).Draw(t, "inert"))}
	})
}

// balanced fails unless a solution is finite, holds its totals and is neutral.
func balanced(t interface {
	Helper()
	Fatalf(string, ...any)
}, s *Solution) {
	t.Helper()
	if s.Iterations > MaxIterations {
		t.Fatalf("%d iterations", s.Iterations)
	}
	for _, x := range []float64{s.PH, s.IonicStrength, float64(s.Conductivity), float64(s.CO2)} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("not finite: %+v", s)
		}
	}
	if s.Conductivity < 0 || s.CO2 < 0 || s.IonicStrength <= 0 {
		t.Fatalf("negative: pH %v, %v S/m, %v Pa, I %v", s.PH, s.Conductivity, s.CO2, s.IonicStrength)
	}
	var held [baseCount]float64
	var holds [ligandCount]float64
	charge, size := float64(s.Totals.Inert), 1e-6
	for i := range rows {
		c := float64(s.Molar(Species(i)))
		if c < 0 || math.IsNaN(c) {
			t.Fatalf("%s: %v", rows[i].name, c)
		}
		if b := rows[i].base; b != noBase {
			held[b] += c
		}
		if l := rows[i].ligand; l != noLigand {
			holds[l] += c
		}
		charge += rows[i].charge * c
		size += math.Abs(rows[i].charge) * c
	}
	same := func(name string, got float64, want unit.MolarConcentration) {
		t.Helper()
		if math.Abs(got-float64(want)) > 1e-7*float64(want)+1e-9 {
			t.Fatalf("%s: %v, put in %v", name, got, want)
		}
	}
	c := s.Totals
	for b, want := range []unit.MolarConcentration{c.Ca, c.Mg, c.Na, c.K, c.NH4, c.Fe, c.B, c.Si} {
		same(fmt.Sprint("base ", b), held[b], want)
	}
	for l, want := range []unit.MolarConcentration{c.SO4, c.TIC, c.P, c.F, c.Citrate} {
		same(fmt.Sprint("ligand ", l), holds[l], want)
	}
	if math.Abs(charge) > 1e-7*size+1e-8 {
		t.Fatalf("charge %v of %v meq/L", charge, size)
	}
}

func TestConservation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, err := At(unit.Temperature(rapid.Float64Range(0, 40).Draw(t, "temperature")))
		if err != nil {
			t.Fatal(err)
		}
		c := drawn(30).Draw(t, "composition")
		for name, answer := range map[string]func() (Solution, error){
			"closed": func() (Solution, error) { return k.Closed(c) },
			"open":   func() (Solution, error) { return k.Open(c, AirCO2) },
			"at pH":  func() (Solution, error) { return k.AtPH(c, 6.1) },
		} {
			s, err := answer()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			balanced(t, &s)
		}
	})
}

// A water that was titrated and then put together again has its pH back, and
// its alkalinity is what was titrated.
func TestTitratedAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, _ := At(unit.Temperature(rapid.Float64Range(0, 40).Draw(t, "temperature")))
		c := drawn(10).Draw(t, "composition")
		pH := rapid.Float64Range(5, 9.5).Draw(t, "pH")
		alkalinity := unit.Equivalents(rapid.Float64Range(0, 10).Draw(t, "alkalinity"))
		s, err := k.Titrated(c, pH, alkalinity)
		var impossible *AlkalinityError
		if errors.As(err, &impossible) {
			if impossible.Without <= alkalinity && impossible.CO2 == 0 {
				t.Fatalf("refused %v, but without carbon there are %v", alkalinity, impossible.Without)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		balanced(t, &s)
		if s.Totals.TIC > 0 && math.Abs(float64(s.Alkalinity()-alkalinity)) > 1e-6*float64(alkalinity)+1e-8 {
			t.Fatalf("alkalinity %v, titrated %v", s.Alkalinity(), alkalinity)
		}
		back, err := k.Closed(s.Totals)
		if err != nil || math.Abs(back.PH-pH) > 1e-4 {
			t.Fatalf("pH %v, %v; measured %v", back.PH, err, pH)
		}
	})
}

// More acid never raises the pH, more base never lowers it, and the reagent
// found for a pH gives that pH.
func TestAcidAndBaseAreMonotone(t *testing.T) {
	k := at(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(10).Draw(t, "composition")
		x := rapid.Float64Range(0.001, 5).Draw(t, "amount")
		pH := func(c Composition) float64 {
			s, err := k.Closed(c)
			if err != nil {
				t.Fatal(err)
			}
			return s.PH
		}
		start := pH(c)
		for name, acid := range map[string]Composition{"sulfuric": {SO4: 1}, "nitric": {NO3: 1}, "phosphoric": {P: 1}, "hydrochloric": {Cl: 1}} {
			if got := pH(c.Add(acid.Times(x))); got > start+1e-9 && (name != "phosphoric" || start > 2.5) {
				t.Fatalf("%v mmol/L %s acid: pH %v to %v", x, name, start, got)
			}
		}
		if got := pH(c.Add(Composition{K: 1}.Times(x))); got < start-1e-9 {
			t.Fatalf("potassium hydroxide: pH %v to %v", start, got)
		}
		target := rapid.Float64Range(4, 7).Draw(t, "target")
		dose, s, err := k.Dose(Dosing{Into: c, Reagent: Composition{NO3: 1}, PH: target})
		switch {
		case start < target-1e-6:
			var no *DoseError
			if !errors.As(err, &no) {
				t.Fatalf("nitric acid upward from %v to %v: %v, %v", start, target, dose, err)
			}
		case err != nil:
			t.Fatal(err)
		default:
			balanced(t, &s)
			if got := pH(c.Add(Composition{NO3: 1}.Times(float64(dose)))); math.Abs(got-target) > 1e-5 {
				t.Fatalf("dose %v gives pH %v, wanted %v", dose, got, target)
			}
		}
	})
}

// Whatever reagent, the dose found leaves the solution neutral at the pH: also
// bicarbonate, which near pH 8 needs much to move little.
func TestDoseBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, _ := At(unit.Temperature(rapid.Float64Range(0, 40).Draw(t, "temperature")))
		c, pH := drawn(30).Draw(t, "composition"), rapid.Float64Range(4, 9).Draw(t, "pH")
		for _, reagent := range []Composition{{SO4: 1}, {NO3: 1}, {P: 1}, {Citrate: 1}, {K: 1}, {K: 1, TIC: 1}} {
			for _, co2 := range []unit.Pressure{0, AirCO2} {
				_, s, err := k.Dose(Dosing{Into: c, Reagent: reagent, PH: pH, CO2: co2})
				var no *DoseError
				if errors.As(err, &no) {
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				balanced(t, &s)
			}
		}
	})
}

// More of a neutral salt, more conductivity.
func TestConductivityGrowsWithSalt(t *testing.T) {
	k := at(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		c := drawn(8).Draw(t, "composition")
		c.Inert = 0
		x := rapid.Float64Range(0.05, 5).Draw(t, "amount")
		for _, salt := range []Composition{{K: 1, Cl: 1}, {Na: 1, Cl: 1}, {K: 1, NO3: 1}, {Ca: 1, Cl: 2}} {
			less, err := k.AtPH(c, 6.5)
			more, err2 := k.AtPH(c.Add(salt.Times(x)), 6.5)
			if err != nil || err2 != nil || more.Conductivity <= less.Conductivity {
				t.Fatalf("%+v: %v to %v (%v, %v)", salt, less.Conductivity, more.Conductivity, err, err2)
			}
		}
	})
}

// A composition blended with itself is itself; adding and scaling agree.
func TestCompositionArithmetic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawn(5).Draw(t, "a"), drawn(5).Draw(t, "b")
		x := rapid.Float64Range(0, 1).Draw(t, "x")
		left, right := a.Blend(b, unit.Fraction(x)), a.Times(1-x).Add(b.Times(x))
		if left != right {
			t.Fatalf("%+v, %+v", left, right)
		}
		sum := a.Add(b)
		for i, total := range sum.totals() {
			if want := a.totals()[i] + b.totals()[i]; math.Abs(total-want) > 1e-12 {
				t.Fatalf("total %d: %v, want %v", i, total, want)
			}
		}
		if d := sum.ReferenceCharge() - a.ReferenceCharge() - b.ReferenceCharge(); math.Abs(float64(d)) > 1e-9 {
			t.Fatalf("charge off by %v", d)
		}
	})
}

// FuzzClosed feeds any figures: an answer that balances, or an error.
func FuzzClosed(f *testing.F) {
	f.Add(2.3, 0.5, 0.4, 1.0, 4.8, 7.15, 25.0)
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 7.0, 0.0)
	f.Add(1e9, 1.0, math.Inf(1), 0.0, -1.0, 20.0, 400.0)
	f.Add(2000.0, 2000.0, 2000.0, 2000.0, 2000.0, 0.0, 40.0)
	f.Add(1e-300, 1e-13, 5e-324, 0.0, 1e-9, 14.0, 0.0)
	f.Fuzz(func(t *testing.T, ca, na, so4, p, tic, pH, celsius float64) {
		k, err := At(unit.Temperature(celsius))
		if err != nil {
			return
		}
		m := func(x float64) unit.MolarConcentration { return unit.MolarConcentration(x) }
		c := Composition{Ca: m(ca), Na: m(na), SO4: m(so4), P: m(p), TIC: m(tic)}
		closed, err := k.Closed(c)
		check(t, &closed, err)
		open, err := k.Open(c, AirCO2)
		check(t, &open, err)
		fixed, err := k.AtPH(c, pH)
		check(t, &fixed, err)
		titrated, err := k.Titrated(c, pH, unit.Equivalents(tic))
		check(t, &titrated, err)
		_, dosed, err := k.Dose(Dosing{Into: c, Reagent: Composition{SO4: 1}, PH: pH})
		check(t, &dosed, err)
	})
}

// check accepts a refusal for a reason or a finite solution.
func check(t *testing.T, s *Solution, err error) {
	t.Helper()
	var beyond finding.Faults
	var dose *DoseError
	var alkalinity *AlkalinityError
	switch {
	case errors.As(err, &beyond):
		if id := beyond[0].ID; id != FaultTotal && id != finding.FaultRange {
			t.Errorf("%v", err)
		}
	case errors.As(err, &dose), errors.As(err, &alkalinity):
	case err != nil:
		t.Fatalf("%v for %+v", err, s)
	case math.IsNaN(s.PH) || math.IsNaN(float64(s.Conductivity)) || math.IsInf(s.PH, 0):
		t.Fatalf("not finite: %+v", s)
	}
}

// The shares of the ions add up to the whole.
func TestSharesAddUp(t *testing.T) {
	k := at(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		s, err := k.Closed(drawn(8).Draw(t, "composition"))
		if err != nil {
			t.Fatal(err)
		}
		shares, err := k.Shares(s)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, x := range shares {
			sum += float64(x.A+x.B) / 2
		}
		if math.Abs(sum-float64(s.Conductivity)) > 1e-6*sum+1e-7 {
			t.Fatalf("shares make %v, the whole is %v", sum, s.Conductivity)
		}
	})
}

// Steps that come no nearer are ended: fifty are more than any solution took (own choice). Of
// nothing but an ionic strength seven tenths go each time, and never all.
func TestSpeciationEnds(t *testing.T) {
	k, err := At(25)
	if err != nil {
		t.Fatal(err)
	}
	y := system{k: k, proton: noSlot, hydrogen: 1e-7, strength: 0.1}
	if err := y.solve(); err == nil || y.iterations != 50 {
		t.Errorf("%d steps, %v", y.iterations, err)
	}
}
