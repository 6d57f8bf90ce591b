package tend

import (
	"math"
	"slices"
	"testing"

	"raftwright/bed"
	"raftwright/chem"
	"raftwright/mix"
	"raftwright/plan"
	"raftwright/unit"
)

// What plants and air took of a bed of whose thirst something is told is known from its water balance: on the beds of the reference's
// simulator (their true litres drunk and evaporated) within 10 % in three of five (rain that was
// not written down and thirst are told apart badly).
func TestWaterThatIsLearned(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	near, beds := 0, 0
	for _, w := range worlds(t) {
		p, log, now := w.job(t)
		got, faults := Make(Job{Plan: p, Log: log, Now: now})
		if len(faults) > 0 {
			t.Fatal(w.Name, faults)
		}
		if got.Learned.Water == 1 {
			continue
		}
		l := got.estimate.best.run.ledger
		off := math.Abs((l.drunk+l.dried)/(w.Truth.Drunk+w.Truth.Evaporated) - 1)
		if beds++; off <= 0.10 {
			near++
		}
	}
	if t.Logf("%d of %d within 10 %%", near, beds); beds < 4 || 5*near < 3*beds {
		t.Errorf("the water of %d of %d beds is known within 10 %%", near, beds)
	}
}

// Weighed harvests: what crops of a bed have in common is drawn towards the model by n/(n + (0.12² + 0.05²)/0.22²) (reference methods,
// section 11: n/(n + 0.3) before what weighing adds), and what is left open never falls under what one crop differs from the next.
func TestGrowthThatIsLearned(t *testing.T) {
	last := math.Inf(1)
	for _, n := range []int{1, 2, 4, 30} {
		l := nothingLearned()
		l.grow(0, 0, slices.Repeat([]float64{math.Log(0.6)}, n))
		want := float64(n) / (float64(n) + (0.12*0.12+0.05*0.05)/(0.22*0.22))
		if got := math.Log(l.Growth) / math.Log(0.6); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d harvests count for %.3f of what they say, want %.3f", n, got, want)
		}
		if l.GrowthSpread >= last || l.GrowthSpread < sdBetweenCrops || l.Weighed != n {
			t.Errorf("%d harvests leave %v open", n, l.GrowthSpread)
		}
		last = l.GrowthSpread
	}
	if l := nothingLearned(); l.Growth != 1 || l.Water != 1 || l.Warmth != 0 {
		t.Errorf("nothing teaches %+v", l)
	}
}

// Nothing is told of warmth or thirst until it is surer than 0.7 of what it was (reference methods, section 11).
func TestSureEnoughToBeLearned(t *testing.T) {
	one, two := nothingLearned(), nothingLearned()
	one.warm([]float64{-3})
	two.warm([]float64{-3, -3})
	if one.Warmth != 0 || two.Warmth >= -1 || two.Warmth <= -3 || two.WarmthSpread >= 0.7*sdWarmth {
		t.Errorf("one reading teaches %v, two %v ± %v", one.Warmth, two.Warmth, two.WarmthSpread)
	}
	early, late := nothingLearned(), nothingLearned()
	early.drink(1.5, sdThirst)
	late.drink(1.5, 0.05)
	if early.Water != 1 || late.Water <= 1.3 || late.Water >= 1.5 {
		t.Errorf("a log of seedlings teaches %v, a crop %v", early.Water, late.Water)
	}
}

// What the plan is handed is what tend tells at the last visit, and a plan that has learned it teaches the same again: the season
// that was moved is not taken for one that was not.
func TestLearnedOnce(t *testing.T) {
	p, log, _ := invented(t, 12)
	now := log[len(log)-1].At
	for i := range log { // what the solution is read as: two degrees over the model
		log[i].Read.WaterTemperature.Given = true
		log[i].Read.WaterTemperature.Value = p.Season.Solution(log[i].At, log[i].At.Hour()) + 2
	}
	first := Learn(&p, log)
	if first.Warmth < 1 || first.Warmth > 2 {
		t.Fatalf("readings 2 °C over the model teach %v", first.Warmth)
	}
	moved := p
	s := *p.Season
	s.Offset = first.Warmth
	moved.Season = &s
	same := make(bed.Log, len(log))
	for i, v := range log { // what was read over a season that says of itself that it stands higher by what was learned
		v.Read.WaterTemperature.Value -= unit.Temperature(first.Warmth)
		same[i] = v
	}
	if again := Learn(&moved, same); math.Abs(float64(again.Warmth-first.Warmth)) > 1e-9 {
		t.Errorf("told again it is %v, before %v", again.Warmth, first.Warmth)
	}
	told, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if told.Learned != first {
		t.Errorf("tend tells %+v, the plan is handed %+v", told.Learned, first)
	}
}

// What was learned moves the plan's season and is told.
func TestPlanLearns(t *testing.T) {
	p, _, _ := invented(t, 12)
	b := *p.Brief
	made := plan.Job{Brief: &b, Book: plan.DefaultBook(), Asked: plan.Season, Learn: func(*plan.Plan, bed.Log) bed.Learned {
		return bed.Learned{Growth: 0.7, GrowthSpread: 0.15, Water: 1.2, WaterSpread: 0.1, Warmth: 1, WarmthSpread: 0.3, Lost: true}
	}}.Make(nil)
	plain := plan.Job{Brief: &b, Book: plan.DefaultBook(), Asked: plan.Season}.Make(nil)
	if made.Season.Fit != 0.7 || made.Season.Thirst != 1.2 || made.Season.Offset != 1 || plain.Season.Thirst != 1 || made.Season.Calendar.Weight != 0.15 {
		t.Errorf("fit %v, thirst %v, offset %v", made.Season.Fit, made.Season.Thirst, made.Season.Offset)
	}
	for _, id := range []string{"plan.fitted", "plan.learned_thirst", "plan.learned_offset", "plan.learned_nothing"} {
		found := false
		for _, f := range made.Findings {
			found = found || string(f.ID) == id
		}
		if !found {
			t.Errorf("nothing tells %s", id)
		}
	}
}

// A card says what its readings call for: the weaker the feed the more of each product, and with that added the bed reads the middle
// of what is good; the stronger it is the more goes out; the further the pH the more acid or base, and half of it still leaves it on its side.
func TestCardDoesWhatItSays(t *testing.T) {
	p, log, now := invented(t, 12)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	good, ph := Span{1.2, 1.8}, Span{5.5, 6.5}
	c := got.Card(good, ph)
	a := newAdviser(got.estimate, If{}, 1)
	if len(c.EC) != 6 || len(c.PH) != 6 || c.Day <= 0 {
		t.Fatalf("%d and %d lines, %v a day", len(c.EC), len(c.PH), c.Day)
	}
	sum := func(r CardRow) (grams, litres float64) {
		for _, x := range r.Actions {
			grams += x.Mass.Grams()
			if x.Do == DoDump || x.Do == DoRefill {
				litres += x.Volume.Litres()
			}
		}
		return grams, litres
	}
	for i, r := range c.EC {
		grams, litres := sum(r)
		switch {
		case r.Reads < good.Low && (grams <= 0 || litres > 0), r.Reads > good.High && (litres <= 0 || grams > 0):
			t.Errorf("EC %v: %+v", r.Reads, r.Actions)
		case i > 0 && r.Reads < good.Low:
			if before, _ := sum(c.EC[i-1]); grams > before {
				t.Errorf("EC %v asks for %v g, one that is weaker for %v", r.Reads, grams, before)
			}
		}
		if r.Reads >= good.Low {
			continue
		}
		now := r.Reads // each gram raises EC as the chemistry of the bed has it
		for _, x := range r.Actions {
			k := slices.Index(a.h.names, x.Product)
			for i := range ions {
				now += a.middle.near.slope[i] * a.h.portion[k][i] * x.Mass.Grams() / a.full()
			}
		}
		if math.Abs(now-1.5) > 0.05 {
			t.Errorf("a bed at %v is brought to %v, not to 1.5", r.Reads, now)
		}
	}
	for _, r := range c.PH {
		if len(r.Actions) != 1 || r.Reads < 6 && r.Actions[0].Do != DoBase || r.Reads > 6 && r.Actions[0].Do != DoAcid {
			t.Errorf("pH %v: %+v", r.Reads, r.Actions)
		}
	}
}

// The balance that a class adds up closes: what there was and came is what went and is there, of water and of potassium.
func TestBalanceCloses(t *testing.T) {
	p, log, now := invented(t, 12)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	b := got.Balance()
	if off := float64(b.Began+b.Poured+b.Rained-b.Emptied-b.Spilled-b.Leaked-b.Taken-b.Holds) / float64(b.Holds); math.Abs(off) > 1e-9 {
		t.Errorf("of the water %v is missing: %+v", off, b)
	}
	if off := float64(b.Potassium+b.Came-b.Lost-b.Eaten-b.Left) / float64(b.Left); math.Abs(off) > 1e-9 {
		t.Errorf("of the potassium %v is missing: %+v", off, b)
	}
	if b.Poured <= 0 || b.Taken <= 0 || b.Eaten <= 0 || math.Abs(b.Days-now.Sub(log[0].At).Hours()/24) > 1e-9 {
		t.Errorf("%+v", b)
	}
}

// A reading that was set aside is offered as what one likely slip makes of it: 1.4 mS/cm typed as 14 or 0.14 or read as ppm of the other
// scale, 5 in read as 6 in or written in centimeters; what no slip mends is offered as nothing.
func TestWasIt(t *testing.T) {
	for _, c := range []struct {
		kind             string
		read, want, near float64
	}{{"ec", 14, 1.4, 0.01}, {"ec", 0.14, 1.4, 0.01}, {"ec", 1, 1.4, 0.01}, {"ec", 2.8, 1.4, 0.01}, {"ec", 5, 0, 0}, {"depth", 152.4, 127, 0.1}, {"depth", 322.6, 127, 0.1}, {"depth", 90, 0, 0}, {"ph", 8, 0, 0}} {
		r := Reading{Kind: c.kind, Read: c.read, Range: Range{1.4, 1.3, 1.5}}
		if c.kind == "depth" {
			r.Range = Range{127, 122, 132}
		}
		r.mend()
		if math.Abs(r.Meant-c.want) > c.near {
			t.Errorf("%s %v: was it %v? want %v", c.kind, c.read, r.Meant, c.want)
		}
	}
	if used := (Reading{Kind: "ec", Read: 14, Used: true, Range: Range{1.4, 1.3, 1.5}}); used.Meant != 0 {
		t.Error("a reading that is used needs no other")
	}
}

// The day on which a bed has to be emptied lies between its ends, and before the crop ends.
func TestDumpLiesBetween(t *testing.T) {
	p, log, now := invented(t, 12)
	got, faults := Make(Job{Plan: p, Log: log, Now: now})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if got.DumpReason == "" || got.DumpBy.Before(got.DumpFrom) || got.DumpBy.After(got.DumpTo) {
		t.Errorf("%v is not between %v and %v", got.DumpBy, got.DumpFrom, got.DumpTo)
	}
}

// The acid that a pH calls for on the paper of a bed nobody tends yet, against the chemistry room's own titration of the water, the
// phosphate and the acid of its mix (all else in it is a strong ion): half of it, the more the higher the pH.
func TestSoursAgainstTitration(t *testing.T) {
	p, _, _ := invented(t, 1)
	k, err := chem.At(standard)
	if err != nil {
		t.Fatal(err)
	}
	bottle := p.Bottle
	held := p.Water.Solution.Totals.Add(bottle.Adds().Times(p.Mix.Acid.Dose.MillimolesPerLitre()))
	held.P = unit.MolarConcentration(p.Mix.Achieved[mix.Phosphorus].MilligramsPerLitre()/chem.Phosphorus.Weight()) * unit.MillimolePerLitre
	rows := Sours(p, Span{5.5, 6.5})
	if len(rows) != 3 {
		t.Fatalf("%d rows", len(rows))
	}
	last := 0.0
	for _, r := range rows {
		base, s, err := k.Dose(chem.Dosing{Into: held, Reagent: chem.Composition{K: 1}, PH: r.Reads})
		if err != nil {
			t.Fatal(err)
		}
		acid, _, err := k.Dose(chem.Dosing{Into: s.Totals, Reagent: bottle.Adds(), PH: goalPH})
		if err != nil {
			t.Fatal(err)
		}
		want := acid.MillimolesPerLitre() * bottle.Reagent.MolarMass() / 1000 * p.Frame.Volume.Litres() / 2
		if got := r.Actions[0].Mass.Grams(); math.Abs(got-want) > 0.05*want+0.5 || got <= last {
			t.Errorf("pH %v: %v g, by titration %.1f (after %v of base)", r.Reads, got, want, base)
		} else {
			last = got
		}
	}
	p.Bottle, p.Safer = nil, nil
	if got := Sours(p, Span{5.5, 6.5}); len(got) != 0 && p.PrintedAcid() == nil {
		t.Errorf("acid without a bottle: %+v", got)
	}
}
