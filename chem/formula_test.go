package chem

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/unit"
)

// Percent by weight computed from IUPAC 2021 abridged atomic weights; molar
// masses of the double salt and of Epsom salt as tabulated in the project's
// chemistry reference, section 8 (the hand sum of the weights is the check).
func TestSharesOfSalts(t *testing.T) {
	cases := []struct {
		formula string
		shares  map[Element]float64 // percent
	}{
		{"5Ca(NO3)2.NH4NO3.10H2O", map[Element]float64{Nitrogen: 15.55, Calcium: 18.54}},
		{"Ca(NO3)2.4H2O", map[Element]float64{Nitrogen: 11.86, Calcium: 16.97}},
		{"KNO3", map[Element]float64{Nitrogen: 13.85, Potassium: 38.67}},
		{"KH2PO4", map[Element]float64{Phosphorus: 22.76, Potassium: 28.73}},
		{"NH4H2PO4", map[Element]float64{Nitrogen: 12.18, Phosphorus: 26.93}},
		{"(NH4)2HPO4", map[Element]float64{Nitrogen: 21.21, Phosphorus: 23.46}},
		{"K2SO4", map[Element]float64{Potassium: 44.88, Sulfur: 18.40}},
		{"(NH4)2SO4", map[Element]float64{Nitrogen: 21.20, Sulfur: 24.26}},
		{"MgSO4.7H2O", map[Element]float64{Magnesium: 9.86, Sulfur: 13.01}},
		{"Mg(NO3)2.6H2O", map[Element]float64{Nitrogen: 10.93, Magnesium: 9.48}},
		{"KCl", map[Element]float64{Potassium: 52.45}},
		{"CaCl2.2H2O", map[Element]float64{Calcium: 27.26, Chlorine: 48.23}},
		{"CO(NH2)2", map[Element]float64{Nitrogen: 46.65}},
		{"KHCO3", map[Element]float64{Potassium: 39.05}},
		{"H3BO3", map[Element]float64{Boron: 17.48}},
		{"Na2B4O7.10H2O", map[Element]float64{Boron: 11.34, Sodium: 12.06}},
		{"Na2B4O7.5H2O", map[Element]float64{Boron: 14.84}},
		{"Na2B8O13.4H2O", map[Element]float64{Boron: 20.96}},
		{"MnSO4.H2O", map[Element]float64{Manganese: 32.51}},
		{"MnCl2.4H2O", map[Element]float64{Manganese: 27.76}},
		{"ZnSO4.7H2O", map[Element]float64{Zinc: 22.74}},
		{"ZnSO4.H2O", map[Element]float64{Zinc: 36.43}},
		{"CuSO4.5H2O", map[Element]float64{Copper: 25.45}},
		{"Na2MoO4.2H2O", map[Element]float64{Molybdenum: 39.66}},
		{"FeSO4.7H2O", map[Element]float64{Iron: 20.09}},
		{"C10H12N2O8FeNa.3H2O", map[Element]float64{Iron: 13.26}},
		{"H2SO4", map[Element]float64{Sulfur: 32.69}},
		{"HNO3", map[Element]float64{Nitrogen: 22.23}},
		{"H3PO4", map[Element]float64{Phosphorus: 31.61}},
	}
	for _, c := range cases {
		f, err := ParseFormula(c.formula)
		if err != nil {
			t.Errorf("%s: %v", c.formula, err)
			continue
		}
		for e, want := range c.shares {
			// the table is printed to 0.01 %
			if got := 100 * f.Count(e) * e.Weight() / f.Mass(); math.Abs(got-want) > 0.0051+0.0002*want {
				t.Errorf("%s: %s is %.4f %%, want %.2f", c.formula, e.Symbol(), got, want)
			}
		}
	}
}

func TestMolarMasses(t *testing.T) {
	for formula, want := range map[string]float64{
		"5Ca(NO3)2.NH4NO3.10H2O": 1080.6, "MgSO4.7H2O": 246.466, "C6H8O7": 192.12, "C6H8O7.H2O": 210.14, "H2O": 18.015, "CaCO3": 100.086,
	} {
		f, err := ParseFormula(formula)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.Mass(); math.Abs(got-want) > want*1e-4 {
			t.Errorf("%s weighs %.4f g/mol, want %.3f", formula, got, want)
		}
	}
}

func TestOxideFactors(t *testing.T) {
	// The trade's factors, to the four figures they are printed with.
	for _, c := range []struct{ got, want float64 }{
		{PhosphorusInP2O5, 0.4364}, {PotassiumInK2O, 0.8302},
	} {
		if math.Abs(c.got-c.want) > 0.0001 {
			t.Errorf("factor %.5f, want %.4f", c.got, c.want)
		}
	}
}

// Weights that stand as figures, since a constant can be made of nothing else, are those of the table.
func TestWeightsStandOnce(t *testing.T) {
	o := Oxygen.Weight()
	for _, c := range []struct{ got, want float64 }{
		{unit.CalciumCarbonateGramsPerMole, Calcium.Weight() + Carbon.Weight() + 3*o}, {unit.GermanDegree, 10 * (Calcium.Weight() + Carbon.Weight() + 3*o) / (Calcium.Weight() + o)},
		{PhosphorusInP2O5, 2 * Phosphorus.Weight() / (2*Phosphorus.Weight() + 5*o)}, {PotassiumInK2O, 2 * Potassium.Weight() / (2*Potassium.Weight() + o)},
	} {
		if math.Abs(c.got/c.want-1) > 1e-12 {
			t.Errorf("%v, by the table %v", c.got, c.want)
		}
	}
}

func TestNitrogenForms(t *testing.T) {
	cases := []struct {
		formula string
		want    NitrogenCount
	}{
		{"5Ca(NO3)2.NH4NO3.10H2O", NitrogenCount{Nitrate: 11, Ammonium: 1}},
		{"NH4NO3", NitrogenCount{Nitrate: 1, Ammonium: 1}},
		{"(NH4)2HPO4", NitrogenCount{Ammonium: 2}},
		{"NH4HCO3", NitrogenCount{Ammonium: 1}},
		{"NH3", NitrogenCount{Ammonium: 1}},
		{"MgNH4PO4.6H2O", NitrogenCount{Ammonium: 1}},
		{"CO(NH2)2", NitrogenCount{Urea: 2}},
		{"(NH2)2CO", NitrogenCount{Urea: 2}},
		{"CH4N2O", NitrogenCount{Urea: 2}},
		{"NH2CONH2", NitrogenCount{Urea: 2}},
		{"Ca(NO3)2.4CO(NH2)2", NitrogenCount{Nitrate: 2, Urea: 8}},
		{"CO(NH2)2.H3PO4", NitrogenCount{Urea: 2}},
		{"KNO3", NitrogenCount{Nitrate: 1}},
		{"HNO3", NitrogenCount{Nitrate: 1}},
		{"C10H12N2O8FeNa.3H2O", NitrogenCount{Other: 2}},
		{"NaNO2", NitrogenCount{Other: 1}},
		{"K2SO4", NitrogenCount{}},
	}
	for _, c := range cases {
		f, err := ParseFormula(c.formula)
		if err != nil {
			t.Errorf("%s: %v", c.formula, err)
			continue
		}
		if got := f.Nitrogen(); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.formula, got, c.want)
		}
	}
}

func TestCarbonateIsToldFromOrganicCarbon(t *testing.T) {
	for formula, want := range map[string]float64{
		"KHCO3": 1, "CaCO3": 1, "Na2CO3.10H2O": 1, "4MgCO3.Mg(OH)2.4H2O": 4, "(NH4)2CO3": 1, "Ca(HCO3)2": 2,
		"CO(NH2)2": 0, "C6H8O7": 0, "C10H12N2O8FeNa": 0, "CH3CO3H": 0, "KNO3": 0,
	} {
		f, err := ParseFormula(formula)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.Carbonate(); got != want {
			t.Errorf("%s holds %v carbonate, want %v", formula, got, want)
		}
	}
}

func TestSpellingsOfOneFormula(t *testing.T) {
	want, _ := ParseFormula("MgSO4.7H2O")
	for _, s := range []string{"MgSO4·7H2O", "MgSO4•7H2O", "MgSO4*7H2O", "MgSO4 . 7 H2O", "MgSO₄·7H₂O", " MgSO4.7H2O ", "Mg(SO4).7(H2O)", "[MgSO4].7H2O"} {
		f, err := ParseFormula(s)
		if err != nil {
			t.Errorf("%q: %v", s, err)
			continue
		}
		if math.Abs(f.Mass()-want.Mass()) > 1e-9 {
			t.Errorf("%q weighs %v, want %v", s, f.Mass(), want.Mass())
		}
	}
	half, err := ParseFormula("CaSO4.0.5H2O")
	if err != nil || half.Count(Hydrogen) != 1 {
		t.Errorf("hemihydrate: %v hydrogen, %v", half.Count(Hydrogen), err)
	}
}

func TestErrorsPointAtTheColumn(t *testing.T) {
	for _, c := range []struct {
		formula string
		column  int
		right   finding.ID
	}{
		{"", 1, rightEmpty},
		{"mgSO4", 1, rightCapital},
		{"MgSO4 7H2O", 6, rightDot},
		{"Ca(NO3", 3, rightOpen},
		{"Ca(NO3]2", 7, rightClosing},
		{"Ca()2", 4, rightClosing},
		{"CaNo3", 3, rightTwo},
		{"NACL", 2, rightElement},
		{"NAO", 2, rightElement},
		{"MGSO4", 1, rightSmall},
		{"XyO2", 1, rightElement},
		{"KNO3-", 5, rightCharge},
		{"NH4+", 4, rightCharge},
		{"MgSO4.", 7, rightEnd},
		{"MgSO₄·7H2O)", 11, rightClosing},
		{"H0", 2, rightNothing},
		{"H99999999999999999999", 2, rightMany},
		{"0H2O", 1, rightTimes},
		{"H2O%", 4, rightStray},
		{"H2O\xff", 4, rightReadable},
		{strings.Repeat("(", 20) + "H", 9, rightDeep},
		{strings.Repeat("H", 300), 1, rightLong},
		{"Tc", 1, rightElement},
	} {
		_, err := ParseFormula(c.formula)
		var f finding.Faults
		if !errors.As(err, &f) || len(f) != 1 || f[0].ID != FaultFormula {
			t.Errorf("%q: error is %v", c.formula, err)
			continue
		}
		if f[0].Args["Column"] != c.column || f[0].Right != c.right {
			t.Errorf("%q: column %v %q, want column %d and %q", c.formula, f[0].Args["Column"], f[0].Right, c.column, c.right)
		}
	}
}

func TestElementsAreKnownBySymbol(t *testing.T) {
	seen := 0
	for z := 1; z < len(elements); z++ {
		e := Element(z)
		if e.Symbol() == "" {
			continue
		}
		seen++
		if got, ok := ElementOf(e.Symbol()); !ok || got != e {
			t.Errorf("ElementOf(%s) = %v, %v", e.Symbol(), got, ok)
		}
		if e.Weight() <= 0 || e.Symbol() == "" {
			t.Errorf("element %d is not whole", z)
		}
	}
	// 84 elements have a standard atomic weight: 118 less those without stable isotopes.
	if seen != 84 {
		t.Errorf("%d elements, want 84", seen)
	}
	if _, ok := ElementOf(""); ok || Element(0).Weight() != 0 || Element(200).Symbol() != "" {
		t.Error("no element must weigh nothing")
	}
	if _, ok := ElementOf("ca"); ok {
		t.Error("a symbol is spelled with a capital")
	}
}

func TestFormulaMassIsTheSumOfItsParts(t *testing.T) {
	salts := []string{"KNO3", "MgSO4", "Ca(NO3)2", "NH4H2PO4", "H3BO3", "CO(NH2)2"}
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.SampledFrom(salts).Draw(t, "a"), rapid.SampledFrom(salts).Draw(t, "b")
		n := rapid.IntRange(1, 12).Draw(t, "n")
		fa, _ := ParseFormula(a)
		fb, _ := ParseFormula(b)
		both, err := ParseFormula(a + "." + string(rune('0'+n/10)) + string(rune('0'+n%10)) + b)
		if err != nil {
			t.Fatal(err)
		}
		want := fa.Mass() + float64(n)*fb.Mass()
		if math.Abs(both.Mass()-want) > 1e-9*want {
			t.Fatalf("%s: %v, want %v", both, both.Mass(), want)
		}
		shares := 0.0
		for _, x := range both.Atoms() {
			shares += both.Count(x.Element) * x.Element.Weight() / both.Mass()
		}
		if math.Abs(shares-1) > 1e-12 {
			t.Fatalf("shares sum to %v", shares)
		}
		forms := both.Nitrogen()
		if math.Abs(forms.Nitrate+forms.Ammonium+forms.Urea+forms.Other-both.Count(Nitrogen)) > 1e-9 {
			t.Fatalf("nitrogen forms %+v do not sum to %v", forms, both.Count(Nitrogen))
		}
	})
}

func FuzzFormula(f *testing.F) {
	for _, s := range []string{"MgSO4.7H2O", "5Ca(NO3)2.NH4NO3.10H2O", "C10H12N2O8FeNa·3H2O", "Ca((((H", "0.5.5H", "₉₉H", "\xff", "[H](O)2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := ParseFormula(s)
		if err != nil {
			var f finding.Faults
			if !errors.As(err, &f) || f[0].Right == "" {
				t.Fatalf("%q: bad error %v", s, err)
			}
			if at := f[0].Args["Column"].(int); at < 1 || at > utf8.RuneCountInString(s)+1 {
				t.Fatalf("%q: fault at %d", s, at)
			}
			return
		}
		if m := got.Mass(); !(m > 0) || math.IsInf(m, 0) {
			t.Fatalf("%q weighs %v", s, m)
		}
		again, err := ParseFormula(got.String())
		if err != nil || again.Mass() != got.Mass() {
			t.Fatalf("%q does not read back: %v", got.String(), err)
		}
	})
}
