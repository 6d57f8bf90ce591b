package tend

import (
	"math"
	"slices"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/mix"
	"raftwright/plan"
	"raftwright/source"
	ills "raftwright/trouble"
	"raftwright/unit"
	tap "raftwright/water"
)

// Wrong is what may be wrong with a bed by what was seen.
type Wrong struct {
	Seen   []string      // signs that count
	Causes []ills.Cause  // the likeliest first; none where nothing was seen
	Plain  []string      // troubles that a sign is by itself
	Rest   bool          // and there are signs beside those
	Next   ills.Question // what to look at next; no group where nothing would tell more
}

// Findings on what may be wrong.
const (
	FindUnsure finding.ID = "tend.unsure" // no trouble is likely
	FindCall   finding.ID = "tend.call"   // more than a grower should settle alone
	FindLabel  finding.ID = "tend.label"  // nothing is sprayed but by its label
)

// FaultSign is a sign that no table has; FaultSigns two signs of which only one can hold.
const (
	FaultSign  finding.ID = "tend.fault.sign"
	FaultSigns finding.ID = "tend.fault.signs"
)

// How long what was seen counts, days; how long a reading of warmth, oxygen and air does (judgement).
const freshSigns, freshReading = 14, 3

// likely is the share from which on a cause is acted on, worthTelling the one from which on it is told
// (reference methods, section 14: no cause above 0.25 is referred).
const likely, worthTelling = 0.25, 0.02

// CheckSigns tells the signs of a log that the table does not have.
func CheckSigns(log bed.Log, book ills.Book) (faults finding.Faults) {
	for _, v := range log {
		held := map[string]string{}
		if v.Read.Roots != "" {
			held["roots"] = "roots_" + string(v.Read.Roots)
		}
		for _, s := range v.Read.Seen {
			g, path := book.Group(s), v.Path.Key("seen")
			switch other := held[g]; {
			case g == "":
				faults = append(faults, finding.Unknown(FaultSign, path, s, book.Like(s)))
			case g != ills.Seen && other != "" && other != s:
				faults = append(faults, finding.Fault{ID: FaultSigns, Path: path, Args: finding.Args{"One": other, "Other": s}})
			default:
				held[g] = s
			}
		}
	}
	return faults
}

// diagnose ranks what may be wrong.
func (t *Tending) diagnose(j Job) {
	e := t.signs(j)
	roots := e.Facts["roots_brown"] + e.Facts["roots_slimy"]
	if len(e.Seen) == 0 && roots == 0 {
		return
	}
	t.Wrong.Seen, t.Wrong.Rest = e.Seen, roots > 0
	for _, s := range e.Seen {
		if x := j.Troubles.Plain(s); x == "" {
			t.Wrong.Rest = true
		} else if !slices.Contains(t.Wrong.Plain, x) {
			t.Wrong.Plain = append(t.Wrong.Plain, x)
		}
	}
	all := j.Troubles.Rank(e)
	if len(all) == 0 { // no book of troubles was given
		return
	}
	for _, c := range all {
		if c.Share >= worthTelling {
			t.Wrong.Causes = append(t.Wrong.Causes, c)
		}
	}
	t.Wrong.Next, _ = j.Troubles.Next(e)
	if all[0].Share < likely && t.Wrong.Rest {
		t.Findings = append(t.Findings, finding.Finding{ID: FindUnsure, Severity: finding.Note, Figure: all[0].Share, Source: source.OwnChoice})
	}
	for _, c := range all {
		name := finding.Args{"Trouble": finding.Word("word.trouble." + c.Trouble)}
		switch {
		case c.Share < likely:
		case c.Refer == ills.AlwaysCall:
			t.Findings = append(t.Findings, finding.Finding{ID: FindCall, Severity: finding.Caution, Args: name, Figure: c.Share, Source: c.Source})
		case c.Refer == ills.BeforeUse:
			t.Findings = append(t.Findings, finding.Finding{ID: FindLabel, Severity: finding.Caution, Args: name, Figure: c.Share, Source: c.Source})
		}
	}
}

// facts are the evidence that is not seen on plants.
type facts map[string]float64

// is says that one of a group holds.
func (f facts) is(key string) { f[key] = 1 }

// among says how likely a figure is low, in order or high; without a key there is no such end.
func (f facts) among(low, ok, high string, least, most, mean, sd float64) {
	under, over := 0.0, 0.0
	if low != "" {
		under = under01(least, mean, sd)
		f[low] = under
	}
	if high != "" {
		over = 1 - under01(most, mean, sd)
		f[high] = over
	}
	f[ok] = 1 - under - over
}

// ofRange does the same for a positive figure with its band.
func (f facts) ofRange(low, ok, high string, least, most float64, r Range) {
	floor := most / 1e4
	mean := math.Log(math.Max(r.Value, floor))
	sd := math.Log(math.Max(r.High, floor)/math.Max(r.Low, floor)) / (2 * ninety)
	f.among(low, ok, high, math.Log(math.Max(least, floor)), math.Log(most), mean, sd)
}

// under01 is the chance that a normal figure lies below a limit.
func under01(limit, mean, sd float64) float64 {
	return 0.5 * math.Erfc((mean-limit)/math.Max(sd, 1e-9)/math.Sqrt2)
}

// signs gathers what was seen, read and reckoned.
func (t *Tending) signs(j Job) ills.Evidence {
	f := facts{}
	t.ofState(f, j)
	ofPlan(f, &j.Plan, t.State.At)
	t.ofLog(f, j)
	out := ills.Evidence{Facts: f}
	done := map[string]bool{}
	for _, v := range j.Log {
		if v.At.After(t.State.At) || t.State.At.Sub(v.At) > freshSigns*24*time.Hour {
			continue
		}
		if r := v.Read.Roots; r != "" {
			f.only(j.Troubles, "roots_"+string(r))
		}
		for _, s := range v.Read.Seen {
			switch {
			case j.Troubles.Group(s) != ills.Seen:
				f.only(j.Troubles, s)
			case !done[s]:
				done[s] = true
				out.Seen = append(out.Seen, s)
			}
		}
	}
	return out
}

// only says what somebody saw: nothing else of its group holds.
func (f facts) only(b ills.Book, key string) {
	for _, other := range b.Signs() {
		if b.Group(other) == b.Group(key) {
			delete(f, other)
		}
	}
	f.is(key)
}

// ofState tells what the state holds (limits of the reference table of signs).
func (t *Tending) ofState(f facts, j Job) {
	s := &t.State
	f.among("ph_low", "ph_ok", "ph_high", 5.3, 6.8, s.PH.Value, (s.PH.High-s.PH.Low)/(2*ninety))
	f.ofRange("ec_low", "ec_ok", "ec_high", 0.8, 2.4, s.EC)
	f.ofRange("", "nh4_ok", "nh4_high", 0, 20, s.Holds[Ammonium])
	latest := map[string]Reading{}
	for _, r := range t.Readings {
		if s.At.Sub(r.At) <= freshReading*24*time.Hour {
			latest[r.Kind] = r
		}
	}
	for kind, r := range latest {
		g, trust := facts{}, math.Max(leastTrust, r.Good)
		switch kind {
		case "ph":
			g.among("ph_low", "ph_ok", "ph_high", 5.3, 6.8, r.Read, sdPH)
		case "ec":
			g.ofRange("ec_low", "ec_ok", "ec_high", 0.8, 2.4, Range{r.Read, r.Read / ecOff, r.Read * ecOff})
		case "ammonium-n":
			g.ofRange("", "nh4_ok", "nh4_high", 0, 20, Range{r.Read, r.Read / stripOff, r.Read * stripOff})
		}
		for key, p := range g {
			f[key] = trust*p + (1-trust)*f[key]
		}
	}
	f.ofRange("", "na_ok", "na_high", 0, 100, s.Holds[Sodium])
	if planned := j.Plan.Frame.Volume.Litres(); planned > 0 {
		v := s.Volume
		f.ofRange("volume_low", "volume_ok", "", 0.75, 1, Range{v.Value / planned, v.Low / planned, v.High / planned})
	}
	if j.Plan.Season != nil {
		f.among("temp_low", "temp_ok", "temp_high", 14, 26, s.Temperature.Celsius(), sdSolution)
	}
}

// A bed in trouble is where a model is least to be believed: of what was read in the last days at least this
// much counts, even where it was set aside. How far a pen for pH is off (one standard deviation), and by which factors
// a pen for EC and a strip may be, nine times in ten (judgement).
const leastTrust, sdPH, ecOff, stripOff = 0.6, 0.2, 1.1, 1.5

// How far the month is off a day of it: warmth of the solution °C, of the air °C; and how far a thermometer
// and an oxygen kit are (judgement). Oxygen is not taken from the month: that of the plan is of the fullest bed.
const sdSolution, sdDay, sdRead = 3, 4, 0.7

// ofPlan tells what plan and water tell.
func ofPlan(f facts, p *plan.Plan, at time.Time) {
	if w := p.Water; !w.Guess() {
		switch alkalinity := w.Figure(tap.Alkalinity).MilligramsPerLitre(); {
		case w.Standing(tap.Sodium) == tap.Measured && w.Figure(tap.Sodium) > 60*unit.MilligramPerLitre:
			f.is("water_softened")
		case alkalinity < 40:
			f.is("water_soft")
		case alkalinity > 120:
			f.is("water_hard")
		default:
			f.is("water_middle")
		}
	}
	switch w := p.Water; {
	case w.FreeChlorine+w.Chloramine >= 0.3*unit.MilligramPerLitre:
		f.is("chlorine")
	case !w.MayHoldChlorine():
		f.is("no_chlorine")
	}
	if m := p.Mix; m != nil {
		f.least("ca_none", "ca_ok", m.Achieved[mix.Calcium], 40)
		f.least("mg_none", "mg_ok", m.Achieved[mix.Magnesium], 10)
		f.is(map[bool]string{true: "feed_urea", false: "feed_nitrate"}[m.Nitrogen.Urea+m.Nitrogen.Ammonium > 0.4])
	}
	if s := p.Season; s != nil && len(s.Months) == 12 {
		m := s.Months[at.Month()-1]
		f.among("light_low", "light_ok", "light_high", 8, 25, float64(m.Light), 0.25*float64(m.Light))
		f.air(m.AirLow, m.AirHigh, sdDay)
	}
	if c := p.Brief.Site.Cover; c.Given {
		f.is(map[bool]string{true: "closed", false: "open"}[c.Value == brief.Tunnel || c.Value == brief.Greenhouse])
	}
	if c := p.Brief.Site.Pump; c.Given {
		f.is(map[bool]string{true: "air_off", false: "air_on"}[c.Value == brief.NoPump])
	}
}

// least says whether there is less of a nutrient than that many mg/L.
func (f facts) least(less, ok string, x unit.MassConcentration, least float64) {
	if x.MilligramsPerLitre() < least {
		f.is(less)
	} else {
		f.is(ok)
	}
}

// air says how likely days are hot or nights cold; both at once is not foreseen.
func (f facts) air(low, high unit.Temperature, sd float64) {
	hot, cold := 1-under01(30, high.Celsius(), sd), under01(5, low.Celsius(), sd)
	f["air_hot"], f["air_cold"] = hot, cold*(1-hot)
	f["air_mid"] = 1 - hot - f["air_cold"]
}

// ofLog tells what the log tells: later readings over earlier ones and over the months.
func (t *Tending) ofLog(f facts, j Job) {
	now := t.State.At
	filled, added := time.Time{}, ""
	for _, v := range j.Log {
		if v.At.After(now) {
			continue
		}
		if r := v.Read; now.Sub(v.At) <= freshReading*24*time.Hour {
			if r.WaterTemperature.Given {
				f.among("temp_low", "temp_ok", "temp_high", 14, 26, r.WaterTemperature.Value.Celsius(), sdRead)
			}
			if r.Oxygen.Given {
				f.among("oxygen_low", "oxygen_ok", "", 3, 0, r.Oxygen.Value.MilligramsPerLitre(), sdRead)
			}
			if r.AirHigh.Given && r.AirLow.Given {
				f.air(r.AirLow.Value, r.AirHigh.Value, sdRead)
			}
		}
		for _, done := range v.Done {
			switch d := done.(type) {
			case bed.Filled:
				filled, added = v.At, ""
			case bed.AddedWater:
				if added == "" {
					added = "top_water"
				}
			case bed.AddedSolution:
				added = "top_feed"
			case bed.AddedProduct:
				if v.At != filled { // of the filling itself
					added = "top_feed"
				}
			case bed.AirPump:
				delete(f, "air_on")
				delete(f, "air_off")
				f.is(map[bool]string{true: "air_on", false: "air_off"}[d.On])
			}
		}
	}
	if !filled.IsZero() {
		days := now.Sub(filled).Hours() / 24
		f.is(ofAge(days, 4, 28, "fill_new", "fill_mid", "fill_old"))
		if added == "" {
			added = "top_none"
		}
		f.is(added)
	}
	if days, ok := t.estimate.h.standing(now); ok {
		f.is(ofAge(days, 7, 35, "plant_new", "plant_mid", "plant_old"))
	}
}

func ofAge(days, young, old float64, keys ...string) string {
	switch {
	case days < young+0.5:
		return keys[0]
	case days <= old:
		return keys[1]
	}
	return keys[2]
}

// standing gives how many days the oldest planting that is not cut has been on the raft.
func (h *history) standing(at time.Time) (float64, bool) {
	for i := range h.plantings {
		if p := &h.plantings[i]; p.heads > 0 {
			return h.after(at) - p.at, true
		}
	}
	return 0, false
}
