package tend

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
)

// noAcid is an invented bed of which little is told, and no acid.
const noAcid = `raftwright: 1
site:
  kind: home
  latitude: 44.9
  elevation: 40 m
  months:
    - {month: 1, tmax: -2 C, tmin: -13 C}
    - {month: 2, tmax: 0 C, tmin: -12 C}
    - {month: 3, tmax: 5 C, tmin: -6 C}
    - {month: 4, tmax: 12 C, tmin: 0 C}
    - {month: 5, tmax: 19 C, tmin: 6 C}
    - {month: 6, tmax: 24 C, tmin: 11 C}
    - {month: 7, tmax: 27 C, tmin: 14 C}
    - {month: 8, tmax: 26 C, tmin: 13 C}
    - {month: 9, tmax: 21 C, tmin: 8 C}
    - {month: 10, tmax: 14 C, tmin: 3 C}
    - {month: 11, tmax: 7 C, tmin: -2 C}
    - {month: 12, tmax: 1 C, tmin: -8 C}
bed: {vessel: frame, length: 97 in, width: 49 in}
water: {name: tap, ph: 7.0, alkalinity: 20 mg/L CaCO3, calcium: 6 mg/L, magnesium: 1 mg/L}
shelf:
  - {name: powder, label: 5-12-26}
  - {name: calcium nitrate, label: 15.5-0-0, calcium: 19 %}
log:
  - {at: 2026-09-03, filled: yes, planted: 32}
  - {at: 2026-09-10, ec: 1.3 mS/cm, ph: 6.9, depth: 5 in}
`

func withoutAcid(t *testing.T) (plan.Plan, bed.Log) {
	t.Helper()
	return planAndLog(t, noAcid)
}

// planAndLog plans a brief whole, and gives the log in it.
func planAndLog(t *testing.T, text string) (plan.Plan, bed.Log) {
	t.Helper()
	b, faults := brief.Parse("bed.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	log, faults := bed.FromBrief(b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p, log
}

// A band just narrower than the range that is left alone is acted on, one just wider is not (TooVague; own judgement).
func TestTooVague(t *testing.T) {
	b := bounds{actBelow: 5, actAbove: 7, stopAbove: math.Inf(1)}
	for _, c := range []struct {
		wide float64
		want bool
	}{{TooVague * 2 * 0.999, false}, {TooVague * 2 * 1.001, true}} {
		if r := (Range{6, 6 - c.wide/2, 6 + c.wide/2}); b.vague(r, false) != c.want {
			t.Errorf("a band of %.3f for a range of 2 is vague: %v", c.wide, !c.want)
		}
		half := math.Exp(c.wide / 2 * math.Log(1.4) / 2) // 7 over 5 is 1.4
		if r := (Range{1, 1 / half, half}); b.vague(r, true) != c.want {
			t.Errorf("a band from %.4f to %.4f for a range of 5 to 7 is vague: %v", r.Low, r.High, !c.want)
		}
	}
}

// After eighty days without a reading nothing is poured, but the bed is read; soon after a reading, and once it is read again, it
// is not called too old.
func TestSilence(t *testing.T) {
	p, log := withoutAcid(t)
	ask := func(log bed.Log, now time.Time) *Tending {
		got, faults := Make(Job{Plan: p, Log: log, Now: now})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return got
	}
	late := time.Date(2026, 11, 29, 12, 0, 0, 0, time.UTC)
	var read []string
	harvest := false
	for _, x := range ask(log, late).Actions {
		if changes(x) || x.Do == DoCall {
			t.Errorf("after a long silence: %s for %s", x.Do, x.Why)
		}
		if x.Do == DoRead {
			read = append(read, x.Product)
		}
		harvest = harvest || x.Do == DoHarvest
	}
	if got := ask(log, late); got.Ask.Reading != "" {
		t.Errorf("beside all that is to be read, %q would help most", got.Ask.Reading)
	}
	if !slices.Equal(read, []string{"depth", "ec", "ph"}) || !harvest {
		t.Errorf("to be read: %v; harvested: %v", read, harvest)
	}
	again := log[1]
	again.At, again.Path = late, "log[2]"
	for _, got := range []*Tending{ask(log, log[1].At.AddDate(0, 0, 2)), ask(append(slices.Clone(log), again), late)} {
		for _, x := range got.Actions {
			if x.Why == WhySilent || x.Why == WhyVague {
				t.Errorf("%v: %s %s is asked for by %s", got.State.At, x.Do, x.Product, x.Why)
			}
		}
	}
}

func changes(x Action) bool {
	return slices.Contains([]Deed{DoWater, DoFeed, DoAcid, DoBase, DoDump, DoRefill}, x.Do)
}

// Whatever a log says, no answer has it both ways: acid and base, a pH too high and too low, help for what is treated, or a dose
// for what is said to be too vague.
func TestNoContradiction(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	acid, _, _ := invented(t, 2)
	none, _ := withoutAcid(t)
	r := rand.New(rand.NewPCG(1, 20261))
	var called, turned, vague int
	logs := 60
	if testing.Short() {
		logs = 24
	}
	for n := range logs {
		p := acid
		if n%3 > 0 {
			p = none
		}
		data := make([]byte, 4*(1+r.IntN(6)))
		for i := range data {
			data[i] = byte(r.IntN(256))
		}
		for i := 0; i < len(data); i += 4 { // more readings than leaps, and of figures that a bed may have
			if r.IntN(3) > 0 {
				data[i] = byte(r.IntN(3))
				data[i+3] = [...]byte{byte(110 + r.IntN(40)), byte(172 + r.IntN(16)), byte(200 + r.IntN(20))}[data[i]]
			}
		}
		if n%4 == 0 { // a depth, an EC, and a high pH that was read twice
			data = append(data[:4], 2, 20, 0, 208, 0, 1, 0, 138, 1, 1, 0, 186, 1, 1, 0, 186)
		}
		log := visitsOf(data, time.Date(2027, 4, 7, 8, 0, 0, 0, time.UTC))
		last := &log[len(log)-1]
		got, faults := Make(Job{Plan: p, Log: log, Now: last.At.AddDate(0, 0, []int{0, 1, 5, 40}[n%4])})
		if len(faults) > 0 {
			continue
		}
		has := func(f func(Action) bool) bool { return slices.ContainsFunc(got.Actions, f) }
		does := func(d Deed) bool { return has(func(x Action) bool { return x.Do == d }) }
		high := has(func(x Action) bool { return strings.Contains(string(x.Why), "alkaline") || x.Why == WhyNoAcid })
		low := has(func(x Action) bool { return strings.Contains(string(x.Why), "sour") })
		silent := has(func(x Action) bool { return x.Why == WhySilent })
		treated := does(DoAcid) || does(DoBase) || does(DoRefill)
		if does(DoAcid) && does(DoBase) || high && low || does(DoCall) && treated || silent && has(changes) && got.Actions[0].Why != WhyRoots {
			t.Errorf("%v: %+v", data, got.Actions)
		}
		if has(func(x Action) bool { return x.Why == WhyVague && x.Product == "ph" }) && (does(DoAcid) || does(DoBase) || does(DoCall)) {
			t.Errorf("%v: the pH is too vague, and %+v", data, got.Actions)
		}
		for d, n := range map[Deed]*int{DoCall: &called, DoAcid: &turned, DoBase: &turned} {
			if does(d) {
				*n++
			}
		}
		if silent {
			vague++
		}
	}
	t.Logf("help called for %d, pH turned %d, too vague %d", called, turned, vague)
	if called == 0 || turned == 0 || vague == 0 {
		t.Error("this test looks at nothing")
	}
}

// What is acted on by its chance is not said to be so: each just within and just beyond the limit where it is acted (limits.csv).
func TestWhySaysWhatIs(t *testing.T) {
	p, log, now := invented(t, 5)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	a := newAdviser(got.estimate, If{}, 2)
	for _, c := range []struct {
		side           int
		within, beyond float64
	}{{1, 6.9, 7.01}, {-1, 5.26, 5.14}} {
		for pH, want := range map[float64]bool{c.within: true, c.beyond: false} {
			a.middle.h = math.Pow(10, a.middle.tilt-pH)
			id, args, _ := a.why(trouble{LimitPH, c.side})
			if may := id == WhySharpSoon || id == WhySourSoon; may != want {
				t.Errorf("a pH of %.2f on side %d: %s %v", pH, c.side, id, args)
			}
		}
	}
	point := a.middle.point(&a.middle.water, a.middle.h, pHof(a.middle.h))
	k := indexOf(LimitBand)
	for share, want := range map[float64]finding.ID{0.99: WhyWeakSoon, 1.01: WhyWeak} {
		a.bounds[k].actBelow = point.ec * share
		if id, _, _ := a.why(trouble{LimitBand, -1}); id != want {
			t.Errorf("an EC with its limit at %.2f of it: %s", share, id)
		}
	}
}

// Of a bed that nobody read for weeks it is told that little is known, and no strength or pH that no bed comes to: bands in proportion had led to 10,000 mS/cm and a pH of 0.3. What was poured
// once into the least volume that is told is 20 mS/cm; water of a bed lies between pH 3 and 10.
func TestBandsOfASilentBedAreThoseOfABed(t *testing.T) {
	text := `
bed: {vessel: tub, length: 24 in, width: 16 in, depth: 10 in}
crop: {name: butterhead}
water: {ph: 6.4, alkalinity: 25 mg/L, calcium: 7 mg/L}
shelf: [{name: hydroponic base, label: 5-12-26}, {name: calcium nitrate}]
log:
  - {at: 2027-05-03T09:00, filled: yes, planted: 6}
  - {at: 2027-05-10T09:00, added water: 1 gal}
  - {at: 2027-05-17T09:00, added water: 2 gal}
`
	got := hungry(t, text, time.Date(2027, 6, 12, 9, 0, 0, 0, time.UTC))
	s := got.State
	if s.EC.High > 20 || s.EC.High < 2*s.EC.Value || s.PH.Low < 3 || s.PH.High > 10 || s.Holds[Nitrogen].High > 2000 || s.Holds[Nitrogen].Low > s.Holds[Nitrogen].Value/2 {
		t.Errorf("EC %v, pH %v, nitrogen %v", s.EC, s.PH, s.Holds[Nitrogen])
	}
	allFigures(t, got)
}
