package tend

import (
	"math"
	"testing"

	"raftwright/chem"
)

// calm is a near of weak solution, for balances that do not look at pH.
func calm(t testing.TB) *near {
	t.Helper()
	k, err := chem.At(standard)
	if err != nil {
		t.Fatal(err)
	}
	n, s, err := nearTo(k, amounts{calcium: 2, magnesium: 1, potassium: 5, nitrate: 9, sulfate: 1, phosphate: 1, carbon: 1, sodium: 1, chloride: 1})
	if err == nil {
		err = n.slopes(k, s.PH)
	}
	if err != nil {
		t.Fatal(err)
	}
	return &n
}

func still() habits {
	return habits{thirst: 1, growth: 1, urea: usualUrea, lag: usualLag, nitrify: usualNitrify, begins: usualBegins, settle: usualSettle, co2: usualCarbon, breathe: usualBreath, lime: 1}
}

func close(t *testing.T, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// Closed forms of a mass balance (shared reference, tend/balance_checks.csv, B01 to B12: computed there).
func TestBalances(t *testing.T) {
	n, b := calm(t), still()
	at := func(volume, mg float64, i ion) water {
		var w water
		w.volume, w.in[i] = volume, volume*mg
		return w
	}
	t.Run("B01 plain top-up", func(t *testing.T) {
		w, l := at(379, 150, nitrate), ledger{}
		w.pour(&l, 40, amounts{})
		close(t, "mg/L", w.litre()[nitrate], 135.680191, 1e-6)
	})
	t.Run("B02 dump and refill", func(t *testing.T) {
		w, l := at(400, 160, nitrate), ledger{}
		w.dump(&l, 120)
		w.pour(&l, 120, amounts{nitrate: 10})
		close(t, "mg/L", w.litre()[nitrate], 115, 1e-9)
	})
	t.Run("B03 rain mixes, then spills", func(t *testing.T) {
		w, l := at(467.33, 150, chloride), ledger{}
		h := w.step(&l, &day{days: 1e-9, rain: 77.89}, &b, 506, n, 1e-6, &way{})
		close(t, "mg/L", w.litre()[chloride], 128.571055, 1e-4)
		close(t, "spilled L", l.spill, 39.22, 1e-6)
		if !(h > 0) {
			t.Error("no pH")
		}
	})
	t.Run("B04 sodium with the level held", func(t *testing.T) {
		w, l := at(400, 60, sodium), ledger{}
		want := map[int]float64{30: 96.17690198, 60: 128.50448558, 90: 157.39232860}
		const parts = 200 // the closed form holds without steps
		for d := 1; d <= 90; d++ {
			for range parts {
				w.step(&l, &day{days: 1.0 / parts, drinks: 10.0 / parts}, &b, 1e9, n, 1e-6, &way{})
				w.pour(&l, 10.0/parts, amounts{sodium: 60})
			}
			if x, ok := want[d]; ok {
				close(t, "mg/L", w.litre()[sodium], x, 0.02)
			}
		}
	})
	t.Run("B07 a leak with plain top-up", func(t *testing.T) {
		w, l := at(400, 100, nitrate), ledger{}
		const parts = 100
		for range 14 * parts {
			w.step(&l, &day{days: 1.0 / parts, leak: 7.571 / parts}, &b, 1e9, n, 1e-6, &way{})
			w.pour(&l, 7.571/parts, amounts{})
		}
		close(t, "share left", w.litre()[nitrate]/100, math.Exp(-7.571*14/400), 1e-4)
	})
	t.Run("B08 a leak without top-up", func(t *testing.T) {
		w, l := at(400, 100, nitrate), ledger{}
		w.step(&l, &day{days: 1, leak: 40}, &b, 1e9, n, 1e-6, &way{})
		close(t, "mg/L", w.litre()[nitrate], 100, 1e-9)
		close(t, "L", w.volume, 360, 1e-9)
	})
	t.Run("B09 evaporation without uptake", func(t *testing.T) {
		w, l := at(400, 100, sulfate), ledger{}
		w.step(&l, &day{days: 1, dries: 40}, &b, 1e9, n, 1e-6, &way{})
		close(t, "mg/L over the start", w.litre()[sulfate]/100, 1.1111, 5e-5)
	})
	u := uptakeOf("lettuce").content
	u[calcium] *= 2 // the half that comes with the water too
	charge := u[nitrate] + u[phosphate] + 2*u[sulfate] - u[potassium] - 2*u[calcium] - 2*u[magnesium]
	close(t, "B10 excess of anions, meq/g", charge, 1.0576, 5e-4)
	close(t, "B11 share of ammonium that makes it zero", charge/(2*u[nitrate]), 0.161, 5e-4)
	close(t, "B12 alkalinity of 100 g dry in 379 L, mg/L CaCO3", 100*charge/379*50, 13.95, 0.02)
}

// Alkalinity that urea brings and nitrification takes (published_examples.csv P16, P17, held there against
// the chemistry of the reference).
func TestNitrogenTurnsAlkalinity(t *testing.T) {
	for _, c := range []struct {
		what     string
		from, to ion
		mg, want float64
	}{{"P16 urea becomes ammonium", urea, ammonium, 101, 360.5}, {"P17 ammonium becomes nitrate", ammonium, nitrate, 13.99, -99.9}} {
		var a, b amounts
		a[c.from] = c.mg / 14.007
		b[c.to] = c.mg / 14.007
		close(t, c.what+", mg/L CaCO3", (b.strong()-a.strong())*50.04, c.want, 0.005*math.Abs(c.want))
	}
}

// What was in the bed, came and turned into it is what is in it with all that left, for every ion and to a
// billionth, whatever happens.
func TestMassIsConserved(t *testing.T) {
	n, b := calm(t), still()
	b.content = uptakeOf("lettuce").content
	w := water{volume: 400}
	for i := range ions {
		w.in[i] = 400 * (0.4 + float64(i)/3)
	}
	start := w.in
	var l ledger
	h := 1e-7
	for d := range 40 {
		h = w.step(&l, &day{days: 1, drinks: 9, dries: 2, rain: float64(d % 7 * 5), leak: float64(d % 3), gains: 12, warm: 1.3, since: float64(d)}, &b, 410, n, h, &way{})
		if d%5 == 4 {
			w.pour(&l, 30, amounts{sodium: 2, chloride: 1, carbon: 1, inert: 0.2, calcium: 1})
		}
		if d%11 == 10 {
			w.dump(&l, 50)
			w.add(&l, amounts{potassium: 300, nitrate: 300, urea: 50, citrate: 20})
		}
	}
	for i := range ions {
		in := start[i] + l.came[i] + l.turned[i]
		out := w.in[i] + l.eaten[i] + l.leaked[i] + l.spilled[i] + l.dumped[i] + l.settled[i] + l.aired[i]
		close(t, "ion", out/in, 1, 1e-9)
	}
	close(t, "nitrogen turns into nitrogen", l.turned[urea]+l.turned[ammonium]+l.turned[nitrate], 0, 1e-9)
	close(t, "water", 400+l.poured+l.rained, w.volume+l.drunk+l.dried+l.leak+l.spill+l.thrown, 1e-6)
}

// The quick chemistry is the chemistry room's at its own solution, and near it elsewhere.
func TestNear(t *testing.T) {
	k, err := chem.At(standard)
	if err != nil {
		t.Fatal(err)
	}
	base := amounts{calcium: 3.8, magnesium: 1.5, potassium: 5, nitrate: 10, ammonium: 0.6, sulfate: 1.6, phosphate: 1.2, carbon: 1.2, sodium: 0.8, chloride: 1, citrate: 0.2}
	n, s, err := nearTo(k, base)
	if err == nil {
		err = n.slopes(k, s.PH)
	}
	if err != nil {
		t.Fatal(err)
	}
	close(t, "EC", n.conducts(&base), s.Conductivity.MillisiemensPerCentimetre(), 1e-9)
	close(t, "pH", -math.Log10(n.hydrogen(&base, 1e-5, -1)), s.PH, 0.01)
	for _, x := range []float64{0.7, 0.85, 1.15, 1.3} {
		a := base.times(x)
		far, err := k.Closed(a.composition())
		if err != nil {
			t.Fatal(err)
		}
		close(t, "share of EC", n.conducts(&a)/far.Conductivity.MillisiemensPerCentimetre(), 1, 0.035)
		close(t, "pH", -math.Log10(n.hydrogen(&a, 1e-6, -1)), far.PH, 0.04)
	}
}

// More water never raises sodium where the water holds less of it; more feed never lowers nitrogen; a bed
// never holds less than nothing.
func TestModelKeepsItsOrder(t *testing.T) {
	n, b := calm(t), still()
	b.content = uptakeOf("lettuce").content
	last := math.Inf(1)
	for _, added := range []float64{0, 5, 20, 80} {
		w, l := water{volume: 200, in: amounts{sodium: 800, nitrate: 30, potassium: 2, calcium: 3, carbon: 50}}, ledger{}
		w.pour(&l, added, amounts{sodium: 1})
		h := 1e-6
		for d := range 10 {
			h = w.step(&l, &day{days: 1, drinks: 6, gains: 40, since: float64(d)}, &b, 1e9, n, h, &way{})
		}
		if got := w.litre()[sodium]; got >= last {
			t.Errorf("with %v L more there is more sodium: %v after %v mmol/L", added, got, last)
		} else {
			last = got
		}
		for i := range ions {
			if i != inert && w.in[i] < 0 {
				t.Errorf("less than nothing: %v of ion %d", w.in[i], i)
			}
		}
	}
}
