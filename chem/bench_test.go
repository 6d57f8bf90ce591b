package chem

import "testing"

var sinkPH float64

// One full speciation with conductivity and saturation, a complete recipe in a
// hard water: the issue asks for 50,000 a second on one core.
func BenchmarkClosed(b *testing.B) {
	k, err := At(25)
	if err != nil {
		b.Fatal(err)
	}
	c := Composition{Ca: 2.3, Mg: 2.5, Na: 0.35, K: 4.3, NH4: 2.8, Fe: 0.01, NO3: 4.5, Cl: 0.6, SO4: 2.2, P: 2.8, B: 0.02, TIC: 5.46}
	b.ReportAllocs()
	for b.Loop() {
		s, err := k.Closed(c)
		if err != nil {
			b.Fatal(err)
		}
		sinkPH = s.PH
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "speciations/s")
}

// The constants of one temperature.
func BenchmarkAt(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := At(17.3); err != nil {
			b.Fatal(err)
		}
	}
}
