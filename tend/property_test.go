package tend

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/plan"
	"raftwright/unit"
)

// The keys of an entry may stand in any order: what is read is read before anything is done, and what is done is done in the
// order of the format; of a bed that has a hole by its later depths too.
func TestOrderWithinAVisit(t *testing.T) {
	keys := []string{"ec: 1.61 mS/cm", "depth: 118 mm", "ph: 6.4", "rain: 0 mm", "dumped: 10 gal", "added water: 14 gal", "added solution: 3 gal", "added: {calcium nitrate: 40 g}", "added acid: 12 g", "lost: 2"}
	of := func(keys []string, later string) *Tending {
		log := "  - {at: 2027-04-10T08:00, filled: yes, planted: {heads: 60, crop: lettuce, age: 21 d}}\n  - {at: 2027-04-14T08:00, " + strings.Join(keys, ", ") + "}\n" + later
		var months strings.Builder
		for m := range 12 {
			fmt.Fprintf(&months, "    {month: %d, tmax: 22 C, tmin: 12 C, solar: 8 MJ/m2, wind: 2 m/s, rain: 60 mm},\n", m+1)
		}
		b, faults := brief.Parse("bed.yaml", fmt.Appendf(nil, bedText, months.String(), log))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		visits, faults := bed.FromBrief(b)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		got, faults := Make(Job{Plan: p, Log: visits, Now: time.Date(2027, 4, 21, 8, 0, 0, 0, time.UTC)})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return got
	}
	same := func(x, y *Tending) bool {
		a, b := &x.State, &y.State
		return a.Volume == b.Volume && a.PH == b.PH && a.Holds[Calcium] == b.Holds[Calcium] && a.Plants == b.Plants && x.Leak == y.Leak
	}
	const falls = "  - {at: 2027-04-16T08:00, depth: 100 mm, rain: 0 mm}\n  - {at: 2027-04-18T08:00, depth: 70 mm, rain: 0 mm}\n  - {at: 2027-04-20T08:00, depth: 40 mm, rain: 0 mm}\n"
	for _, later := range [...]string{"", falls} {
		first := of(keys, later)
		for range 3 {
			keys = append(keys[3:], keys[:3]...)
			slices.Reverse(keys)
			if x := of(keys, later); !same(x, first) {
				t.Errorf("%v %v, else %v %v", x.State, x.Leak, first.State, first.Leak)
			}
		}
		if same(of(keys[1:], later), first) {
			t.Error("an entry changes nothing: this test looks at nothing")
		}
		if later != "" && first.Leak.Probability < 0.9 {
			t.Errorf("a bed that falls 15 mm a day leaks with a chance of %.2f", first.Leak.Probability)
		}
	}
}

// Less that was read is never more that is known: of a log that breaks off sooner the bands of the same moment are as wide
// or wider (law of total variance: of the mean, not of each log; so a part is allowed for, which is own judgement).
func TestALogCutIsLessSure(t *testing.T) {
	p, log, now := invented(t, 14)
	width := func(log bed.Log) [4]float64 {
		got, faults := Make(Job{Plan: p, Log: log, Now: now})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		of := func(r Range) float64 { return math.Log(r.High / r.Low) }
		s := got.State
		return [4]float64{of(s.Volume), of(s.EC), of(s.Holds[Nitrogen]), s.PH.High - s.PH.Low}
	}
	whole := width(log)
	for n := len(log) - 1; n > 1; n -= 2 {
		for k, w := range width(log[:n]) {
			if w < 0.93*whole[k] {
				t.Errorf("after %d of %d visits the band of %s is %.3f wide, after all %.3f", n, len(log), [...]string{"volume", "EC", "N", "pH"}[k], w, whole[k])
			}
		}
	}
	if early := width(log[:3]); early[0] < 1.5*whole[0] {
		t.Errorf("three visits tell the volume as well as %d: %v, %v", len(log), early, whole)
	}
}

// What if is the same bed: what it holds is kept, and asked again for what was supposed at first it says the same.
func TestSupposeKeepsTheBed(t *testing.T) {
	p, log, now := invented(t, 10)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	rain := got.Suppose(If{Rain: 50e-3, RainKnown: true})
	again := rain.Suppose(If{})
	if rain.State.Volume != got.State.Volume || rain.Forecast[0].Volume.Value <= got.Forecast[0].Volume.Value {
		t.Errorf("rain: %v, %v", rain.Forecast[0], got.Forecast[0])
	}
	if fmt.Sprint(again.Actions, again.Forecast, again.Ask) != fmt.Sprint(got.Actions, got.Forecast, got.Ask) {
		t.Errorf("asked again %v, at first %v", again.Actions, got.Actions)
	}
}

// A strip counts: one that reads half of what was thought moves the nitrate down and is surer of it, in whatever form it is
// printed (62.0 mg of nitrate hold 14.0 mg of nitrogen); one that reads nothing is no reading of nothing.
func TestStripsCount(t *testing.T) {
	p, log, now := invented(t, 7)
	of := func(value float64, form string) Range {
		l := slices.Clone(log)
		if value >= 0 {
			l[len(l)-1].Read.Nitrate = brief.Field[unit.Reading]{Given: true, Value: unit.Reading{Value: value, Form: form}}
		}
		got, faults := Make(Job{Plan: p, Log: l, Now: now})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if r := got.Readings[len(got.Readings)-1]; value > 0 && (r.Kind != "nitrate-n" || math.Abs(r.Read/(got.State.Holds[Nitrate].Value)-1) > 2) {
			t.Errorf("read %v", r)
		}
		return got.State.Holds[Nitrate]
	}
	none := of(-1, "")
	half := of(none.Value/2, "N")
	if same := of(none.Value/2*62.005/14.007, "NO3"); math.Abs(same.Value/half.Value-1) > 1e-3 {
		t.Errorf("as nitrate %v, as nitrogen %v", same, half)
	}
	if half.Value >= none.Value || half.Value < 0.6*none.Value {
		t.Errorf("%v with a strip that reads half of %v", half, none)
	}
	if agree := of(none.Value, "N"); math.Log(agree.High/agree.Low) > math.Log(none.High/none.Low)*1.001 {
		t.Errorf("%v with a strip that agrees, %v without", agree, none)
	}
}

// A reading that no story bears is set aside and to be taken again; taken again and the same, it is believed: two slips do
// not agree (reference methods, section 10: never two in a row without asking again).
func TestReadAgainIsBelieved(t *testing.T) {
	p, log, now := invented(t, 7)
	log = slices.Clone(log)
	last := &log[len(log)-1]
	off := last.Read.PH.Value - 1.3
	last.Read.PH.Value = off
	once, faults := Make(Job{Plan: p, Log: log, Now: last.At})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	again := bed.Visit{At: last.At.Add(10 * time.Minute), Path: "log[7]"}
	again.Read.PH = brief.Field[float64]{Given: true, Value: off + 0.05}
	twice, faults := Make(Job{Plan: p, Log: append(log, again), Now: again.At})
	if len(faults) > 0 {
		t.Fatal(faults, now)
	}
	if once.Actions[0].Do != DoRead || math.Abs(once.State.PH.Value-off) < 0.8 {
		t.Errorf("read once: pH %.2f of %.2f, %v", once.State.PH.Value, off, once.Actions)
	}
	if twice.Actions[0].Do == DoRead || math.Abs(twice.State.PH.Value-off) > 0.5 {
		t.Errorf("read twice: pH %.2f of %.2f, %v", twice.State.PH.Value, off, twice.Actions)
	}
}
