package mix

import (
	"math"
	"testing"

	"raftwright/unit"
)

// The limits that decide a mix, each held to the figure of its source.

// At most 20 mg/L of ammonium nitrogen may stand in a bed (1 to 1.5 mmol/L,
// horticulture notes): an ammonium salt alone stops there, whatever is wished for.
func TestAmmoniumStopsAtItsLimit(t *testing.T) {
	m := solve(t, Job{
		Shelf:  []Material{{Name: "ammonium phosphate", Formula: "(NH4)2HPO4", Purity: 1}},
		Target: Target{Figures: []Figure{{Nutrient: Nitrogen, Level: 150 * unit.MilligramPerLitre, Given: true}}},
	})
	if got := m.Achieved[AmmoniumN].MilligramsPerLitre(); math.Abs(got-20) > 0.01 {
		t.Errorf("%.3f mg/L of ammonium nitrogen", got)
	}
	if _, told := hasFinding(m.Findings, FindHeldBack); !told {
		t.Error("nothing says that the limit held the mix back")
	}
}

// Crops take 45 mg of nitrogen in each gram of dry mass and grow 3 g on a litre
// (Langenfeld et al. 2022): a top-up needs no more than 135 mg/L.
func TestTopUpFollowsTheCrop(t *testing.T) {
	for _, wanted := range []float64{100, 135, 200} {
		m := solve(t, Job{
			Shelf:  shelfOf(t, "calcium nitrate"),
			Target: Target{Figures: []Figure{{Nutrient: Nitrogen, Level: unit.MassConcentration(wanted) * unit.MilligramPerLitre, Given: true}}},
		})
		want := math.Min(135, wanted)
		if got := m.TopUp.Nitrogen.MilligramsPerLitre(); math.Abs(got-want) > 0.5 || math.Abs(float64(m.TopUp.Share)-want/wanted) > 0.005 {
			t.Errorf("%v mg/L of nitrogen: top up with %.1f mg/L, a share of %.3f", wanted, got, m.TopUp.Share)
		}
	}
}

// A weighed dose leaves the doubt of the chemistry (3 %) and of a pocket pen
// (common practice: 2 % and as much again), together 5 %; of the pH 0.1 and 0.2.
func TestBandOfAWeighedMix(t *testing.T) {
	m := solve(t, Job{Shelf: fiveSalts(t), Target: Target{Recipe: "lettuce"}})
	ec, band := m.EC.MillisiemensPerCentimetre(), m.Meters.Fresh.ECBand
	if math.Abs((band.High-band.Low)/2/ec-0.05) > 1e-6 || math.Abs((band.High+band.Low)/2-ec) > 1e-6 {
		t.Errorf("EC %.4f, band %.4f to %.4f", ec, band.Low, band.High)
	}
	if b := m.Meters.Fresh.PHBand; math.Abs((b.High-b.Low)/2-math.Sqrt(0.05)) > 1e-6 {
		t.Errorf("pH band %.4f to %.4f", b.Low, b.High)
	}
}

// A tank may hold three quarters of what dissolves (common practice, 70 to 80 %):
// the same salt is refused just above and not just below.
func TestTankIsFullAtThreeQuarters(t *testing.T) {
	tank := func(ratio float64) Mix {
		return solve(t, Job{
			Shelf:  []Material{{Name: "salt", Formula: "KNO3", Purity: 1}},
			Target: Target{Figures: []Figure{{Nutrient: Potassium, Level: 200 * unit.MilligramPerLitre, Given: true}}},
			Stock:  Stock{Volume: 20 * unit.Litre, Ratio: ratio},
		})
	}
	atHundred := float64(tank(100).Stock.Tanks[0].Full)
	for _, full := range []float64{0.74, 0.76} {
		m := tank(100 * full / atHundred)
		if got := float64(m.Stock.Tanks[0].Full); math.Abs(got-full) > 0.001 {
			t.Fatalf("a tank of %.3f, want %.3f", got, full)
		}
		if _, told := hasFinding(m.Findings, FindTankFull); told != (full > 0.75) {
			t.Errorf("tank at %.0f %% of what dissolves: told %v", 100*full, told)
		}
	}
}

// The pH in which all is well is 5.5 to 6.5 (University of Florida researchers: act
// outside); half a pH past it the next day's acid or base is told.
func TestDrift(t *testing.T) {
	if LeastWellPH != 5.5 || MostWellPH != 6.5 {
		t.Error(LeastWellPH, MostWellPH)
	}
	for ph, want := range map[float64]int{4.9: -1, 5.1: 0, 6: 0, 6.9: 0, 7.1: 1} {
		if got := (Meters{Day: MeterReading{PH: ph}, WellPH: Band{LeastWellPH, MostWellPH}}).Drift(); got != want {
			t.Errorf("pH %v after a day: %d, not %d", ph, got, want)
		}
	}
}
