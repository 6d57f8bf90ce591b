package mix

import (
	"math"
	"math/rand/v2"
	"testing"

	"raftwright/chem"
	"raftwright/unit"
)

// At 25 °C half of the ammonium is free ammonia at pH 9.25 (pKa of ammonium, CRC
// Handbook: 9.25), so at that pH less a unit one part in eleven; in a solution of some strength
// the pH that splits it is a tenth higher.
func TestFreeAmmoniaByPH(t *testing.T) {
	k, err := chem.At(25)
	if err != nil {
		t.Fatal(err)
	}
	for pH, share := range map[float64]float64{9.25: 0.5, 8.25: 1. / 11, 7.25: 1. / 101} {
		s, err := k.AtPH(chem.Composition{NH4: 0.01, Cl: 0.01}, pH)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(s.Molar(chem.FreeNH3)) / 0.01; math.Abs(got/share-1) > 0.05 {
			t.Errorf("pH %v: %.4f is ammonia, want %.4f", pH, got, share)
		}
	}
}

// Free ammonia is told from 2.4 mg/L of nitrogen on (0.17 mmol/L, Bennett and Adams
// 1970, from memory), and the pH that is told keeps it below.
func TestFreeAmmoniaIsNamed(t *testing.T) {
	hard := Water{Ions: chem.Composition{Ca: 2, Mg: 0.5, Na: 0.6, Cl: 0.7, SO4: 0.3, TIC: 4.8}}
	told, silent := 0, 0
	for grams := 0.02; grams < 1.2; grams *= 1.3 {
		m := solve(t, Job{Water: hard, Shelf: []Material{general2020()}, Target: Target{Figures: []Figure{{Nutrient: Nitrogen, Level: unit.MassConcentration(200*grams) * unit.MilligramPerLitre, Given: true},
			{Nutrient: UreaN, Level: unit.MassConcentration(101*grams) * unit.MilligramPerLitre, Given: true}, {Nutrient: AmmoniumN, Level: unit.MassConcentration(39*grams) * unit.MilligramPerLitre, Given: true}}}})
		most := unit.MassConcentration(0)
		for _, s := range m.Urea {
			most = max(most, s.Ammonia)
		}
		f, is := hasFinding(m.JudgeAmmonia(25), FindAmmonia)
		if is != (most > 2.4*unit.MilligramPerLitre) {
			t.Errorf("%.2f mg/L of ammonia: told %v", most.MilligramsPerLitre(), is)
		}
		if !is {
			silent++
			continue
		}
		told++
		keep := f.Args["Keep"].(float64)
		last := m.Urea[len(m.Urea)-1]
		all := last.Ammonium + last.Nitrate - m.Urea[0].Nitrate
		k, err := chem.At(25)
		if err != nil {
			t.Fatal(err)
		}
		s, err := k.AtPH(chem.Composition{NH4: unit.MolarConcentration(all.MilligramsPerLitre() / 14.007), Cl: unit.MolarConcentration(all.MilligramsPerLitre() / 14.007)}, keep)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(s.Molar(chem.FreeNH3)) * 14.007; got > 2.4*1.1 || got < 2.4*0.7 {
			t.Errorf("at pH %v %.2f mg/L is ammonia", keep, got)
		}
	}
	if told < 3 || silent < 3 {
		t.Errorf("told %d times, not told %d times", told, silent)
	}
}

// Nitrification ends at pH 5.5 (from memory): what a stage has nitrified leaves the solution
// just above it, a thousandth more takes it below, and a solution that is sourer from the
// start nitrifies nothing.
func TestNitrificationStops(t *testing.T) {
	k, err := chem.At(25)
	if err != nil {
		t.Fatal(err)
	}
	urea := 14.007 * unit.MilligramPerLitre // of nitrogen: 1 mmol/L of ammonium
	stopped := 0
	for _, alkaline := range []float64{-3, -1, 0, 0.2, 0.5, 1, 3} {
		ions := chem.Composition{K: 2, NO3: 2, Inert: unit.Equivalents(alkaline)}
		path, err := UreaPath(ions, urea)
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range path {
			step := ureaSteps[i]
			if !s.Stopped {
				if step.nitrified > 0 && s.PH < 5.5 || s.Nitrified != step.nitrified {
					t.Errorf("%v: went on to %+v", alkaline, s)
				}
				continue
			}
			stopped++
			if s.Nitrified == 0 && s.PH < 5.5 {
				continue // too sour before
			}
			step.nitrified = s.Nitrified
			more := step
			more.nitrified += 0.001
			if next, err := more.of(k, ions, urea); err != nil || math.Abs(s.PH-5.5) > 1e-4 || s.PH < 5.5 || next.PH >= 5.5 {
				t.Errorf("%v: stopped at pH %v with %v nitrified, a thousandth more gives %v %v", alkaline, s.PH, s.Nitrified, next.PH, err)
			}
		}
	}
	if stopped < 5 {
		t.Errorf("stopped %d times", stopped)
	}
}

// Warmth frees ammonia: its pKa falls from 9.4 at 20 °C to 9.1 at 30 °C (Emerson et al. 1975, from
// memory), so that a bed of 30 °C holds more of it than one of 20 °C and must keep a lower pH.
func TestAmmoniaGoesByTheBedsWarmth(t *testing.T) {
	m := solve(t, Job{Water: hardWell(), Shelf: []Material{general2020()}, Target: Target{Figures: []Figure{{Nutrient: Nitrogen, Level: 150 * unit.MilligramPerLitre, Given: true}}}})
	last := 0.0
	for _, at := range []unit.Temperature{20, 25, 30} {
		f, told := hasFinding(m.JudgeAmmonia(at), FindAmmonia)
		if !told || f.Args["Warmth"] != at {
			t.Fatalf("at %v: %v", at, f)
		}
		keep := f.Args["Keep"].(float64)
		if last > 0 && (keep >= last || last-keep > 0.5) {
			t.Errorf("at %v the pH to keep is %v, 5 °C cooler %v", at, keep, last)
		}
		last = keep
	}
}

// A label that tells no pH tells none of a solution whose urea turns either.
func TestUreaOfAnOpenLabelTellsNoPH(t *testing.T) {
	bloom := Material{Name: "bloom powder", Label: &Label{Grade: Grade{percent(10), percent(52), percent(10), true}}}
	pinned := []unit.MassConcentration{0.4, 0.5}
	for i, shelf := range [][]Material{{bloom, general2020()}, {epsom(), general2020()}} {
		m := solve(t, Job{Shelf: shelf, Target: Target{Recipe: "lettuce"}, Pinned: pinned})
		f, told := hasFinding(m.Findings, FindUreaLater)
		if !told || f.Args["Open"] != (i == 0) || m.PHOpen != (i == 0) {
			t.Errorf("%s: told %v: %v, open %v", shelf[0].Name, told, f.Args, m.PHOpen)
		}
	}
}

// Of all that a mix turns into while it stands, most free ammonia is there when all of its urea has turned over and none
// is nitrified, so that this one step is judged: over random waters, feeds and warmths no step holds more. What is told is
// that step's to the last digit.
func TestMostAmmoniaIsWhereAllUreaHasTurned(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	some := func(most float64) unit.MolarConcentration {
		return unit.MolarConcentration(most * r.Float64() * r.Float64())
	}
	told := 0
	for range 300 {
		ions := chem.Composition{Ca: some(6), Mg: some(3), Na: some(8), K: some(8), NH4: some(4), NO3: some(12), Cl: some(8), SO4: some(4), P: some(3), B: some(0.1), Si: some(1),
			Citrate: some(1), Inert: unit.Equivalents(some(4) - some(4))}
		urea, at := unit.MassConcentration(0.1+150*r.Float64()*r.Float64())*unit.MilligramPerLitre, unit.Temperature(2+36*r.Float64())
		k, err := chem.At(at)
		if err != nil {
			t.Fatal(err)
		}
		all, err := mostAmmonia.of(k, ions, urea)
		if err != nil {
			t.Fatal(err)
		}
		for _, step := range ureaSteps {
			s, err := step.until(k, ions, urea)
			if err != nil {
				t.Fatal(err)
			}
			if s.Ammonia > all.Ammonia {
				t.Errorf("%.2f mg/L at %v turned and %v nitrified, %.2f where all has turned: %+v", s.Ammonia.MilligramsPerLitre(), s.Hydrolysed, s.Nitrified, all.Ammonia.MilligramsPerLitre(), ions)
			}
		}
		m := Mix{ions: ions}
		m.Achieved[UreaN] = urea
		f, is := hasFinding(m.JudgeAmmonia(at), FindAmmonia)
		if is != (all.Ammonia > HarmfulAmmonia) || is && (f.Args["Got"] != all.Ammonia || f.Args["PH"] != all.PH) {
			t.Errorf("told %v %v, is %v at pH %v", is, f.Args, all.Ammonia, all.PH)
		}
		if is {
			told++
		}
	}
	if told < 50 || told > 250 {
		t.Errorf("told %d times", told)
	}
}
