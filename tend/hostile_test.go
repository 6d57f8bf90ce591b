package tend

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	ills "raftwright/trouble"
)

// place is where a bed of those logs stands; here each has a year of one month, so that no table of stations is asked.
var place = regexp.MustCompile(`place: [A-Za-z]+( [A-Z][a-z]+)* [A-Z]{2}`)

func weather(name string) string {
	month := "{tmax: 22 C, tmin: 10 C, solar: 20 MJ/m2, rain: 100 mm}"
	switch name {
	case "05":
		month = "{tmax: 37 C, tmin: 20 C, solar: 22 MJ/m2, rain: 5 mm}"
	case "08": // winter outside of a classroom
		month = "{tmax: 1 C, tmin: -7 C, solar: 6 MJ/m2, rain: 50 mm}"
	}
	return "[" + strings.TrimSuffix(strings.Repeat(month+", ", 12), ", ") + "]"
}

// hostile tends a log of testdata/hostile, in which texts were changed by pairs, an hour after its last visit.
func hostile(t *testing.T, name string, changes ...string) *Tending {
	t.Helper()
	p, log, troubles := hostileBed(t, name, changes...)
	got, faults := Make(Job{Plan: p, Log: log, Now: log[len(log)-1].At.Add(time.Hour), Troubles: troubles})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	allFigures(t, got)
	return got
}

// hostileBed gives such a bed and its log.
func hostileBed(t *testing.T, name string, changes ...string) (plan.Plan, bed.Log, ills.Book) {
	t.Helper()
	files, _ := filepath.Glob("testdata/hostile/" + name + "*.yaml")
	if len(files) != 1 {
		t.Fatalf("%s: %v", name, files)
	}
	text, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(changes); i += 2 {
		if !strings.Contains(string(text), changes[i]) {
			t.Fatalf("%s has no %q", files[0], changes[i])
		}
	}
	clean := place.ReplaceAllString(strings.NewReplacer(changes...).Replace(string(text)), "latitude: 12, months: "+weather(name))
	b, faults := brief.Parse("", []byte(clean))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	log, _ := bed.FromBrief(b)
	troubles, faults := ills.ReadBook(ills.Tables())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p, log, troubles
}

func (t *Tending) has(id finding.ID) bool {
	return slices.ContainsFunc(t.Findings, func(f finding.Finding) bool { return f.ID == id })
}

func (t *Tending) says(why finding.ID) bool {
	return slices.ContainsFunc(t.Actions, func(a Action) bool { return a.Why == why })
}

// A depth that was measured down from the rim is no hole: it is measured again, with what it means if it reads so. What cannot have been from the rim, or
// reads the same when it is read again, is a hole.
func TestDepthFromTheRim(t *testing.T) {
	got := hostile(t, "01")
	if a, ok := got.does(DoRead); !ok || a.Why != WhyRim || len(got.Actions) != 1 || got.NextCheck.Sub(got.State.At).Hours() > 25 {
		t.Errorf("%+v", got.Actions)
	}
	// 7-1/4 in of wall less what stood, 5-7/8 in or so: from 7/8 to 1-7/8 in it fits, 2-3/8 in does not
	if got := hostile(t, "01", "depth: 1-3/4 in", "depth: 2-3/8 in", "depth: 1-3/8 in", "depth: 6 in", "depth: 1-5/8 in", "depth: 6 in"); got.says(WhyRim) {
		t.Errorf("at 2-3/8 in: %+v", got.Actions)
	}
	if got := hostile(t, "01", "ph: 6.4, rain: 0 in}\n", "ph: 6.4, rain: 0 in}\n  - {at: 2027-03-16T20:00, depth: 1-3/4 in}\n"); got.says(WhyRim) || !got.says(WhyHole) && !got.says(WhyDrained) {
		t.Errorf("read again: %+v", got.Actions)
	}
}

// Where most of the last EC readings do not fit, none of them is acted on.
func TestMostReadingsAside(t *testing.T) {
	got := hostile(t, "07")
	if a, ok := got.does(DoRead); !ok || a.Why != WhyScales || a.Product != "ec" || does(got, DoFeed, DoDump, DoRefill) {
		t.Errorf("%+v", got.Actions)
	}
}

// Three readings in a row that are set aside to one side are hardly three slips: what the bed holds may be what they say. In this log EC fell from 1.6 to 0.9; told was 1.41, at least 1.32.
func TestReadingsAsideToOneSideWidenWhatIsTold(t *testing.T) {
	got := hostile(t, "07")
	if s := got.State; s.EC.Low > 0.95 || s.EC.High < 1.3 || s.Holds[Nitrogen].Low > 0.75*s.Holds[Nitrogen].Value {
		t.Errorf("EC %+v, nitrogen %+v", s.EC, s.Holds[Nitrogen])
	}
	// of two nothing is known yet
	if s := hostile(t, "07", "ec: 1.3 mS/cm", "ec: 1.5 mS/cm").State; s.EC.Low < 1 {
		t.Errorf("two aside: EC %+v", s.EC)
	}
}

// What the fill water brings by itself no filling with it takes away: the bed is not emptied for it until half as much again has come, and it is told. By water of
// half the limit the limit stands (115 mg/L of sodium, limits.csv).
func TestSaltyWater(t *testing.T) {
	for _, c := range []struct {
		sodium string
		told   bool
	}{{"140", true}, {"80", true}, {"70", false}} {
		got := hostile(t, "12", "sodium: 140 mg/L", "sodium: "+c.sodium+" mg/L")
		if got.has(FindSalty) != c.told || got.DumpReason == DumpSodium && c.sodium == "140" {
			t.Errorf("with %s mg/L: %v, emptied for %q: %+v", c.sodium, got.Findings, got.DumpReason, got.Actions)
		}
	}
}

// A break of the schedule is an absence: the advice is for its days, and nobody is asked to look before it is over. One that begins after the next visit is
// none, nor are two days.
func TestBreakIsAnAbsence(t *testing.T) {
	got := hostile(t, "12")
	if day := got.NextCheck.Format(time.DateOnly); !got.has(FindBreak) || day != "2027-03-23" {
		t.Errorf("looked at again on %s: %v", day, got.Findings)
	}
	if again := got.Suppose(If{Away: 3 * 86400}); again.has(FindBreak) || !got.has(FindBreak) {
		t.Error("what is supposed of an absence goes before the schedule")
	}
	for _, other := range []string{"from: 2027-03-21, to: 2027-03-28", "from: 2027-03-13, to: 2027-03-14"} {
		if got := hostile(t, "12", "from: 2027-03-13, to: 2027-03-22", other); got.has(FindBreak) {
			t.Errorf("%s: %s", other, got.NextCheck)
		}
	}
}

// What a thermometer showed today is what the bed has, and a bed that it shows to stand indoors is neither warmed for the weather nor searched for the leak that its thirst is.
func TestReadWarmthGoesBeforeTheWeather(t *testing.T) {
	if got := hostile(t, "05"); got.State.Temperature.Fahrenheit() < 87.9 || got.State.Temperature.Fahrenheit() > 88.1 || !does(got, DoCool) {
		t.Errorf("read 88 F, told %v: %+v", got.State.Temperature.Fahrenheit(), got.Actions)
	}
	got := hostile(t, "08")
	if w := got.State.Temperature.Fahrenheit(); w < 66 || w > 68 || !got.has(FindElsewhere) || does(got, DoWarm, DoCover, DoLook) {
		t.Errorf("read 67 F, told %.0f: %+v %v", w, got.Actions, got.Findings)
	}
	if got := hostile(t, "08", "water temperature: 68 F", "note: no"); got.has(FindElsewhere) {
		t.Error("one reading far off is a slip")
	}
}

// Without any rain written an open bed that loses no more than usual rain brings may only be dry; with dry days written it leaks.
func TestDryDaysAreNoLeak(t *testing.T) {
	if got := hostile(t, "11"); got.Leak.Probability < lookAt || !got.says(WhyDryDays) || does(got, DoLook) {
		t.Errorf("a leak %.2f: %+v", got.Leak.Probability, got.Actions)
	}
	got := hostile(t, "11", "depth: 7-3/4 in", "depth: 7-3/8 in, rain: 0 in", "depth: 7-1/2 in", "depth: 7-1/8 in, rain: 0 in", "depth: 7-3/8 in", "depth: 7 in, rain: 0 in")
	if got.says(WhyDryDays) || got.Leak.Probability >= lookAt && !does(got, DoLook) {
		t.Errorf("with rain written: a leak %.2f, %+v", got.Leak.Probability, got.Actions)
	}
}

// A crop that ended while nobody came is over; wrigglers are mosquitoes, and no list of what else may be wrong.
func TestCropThatEndedUnseen(t *testing.T) {
	got := hostile(t, "09")
	if a, ok := got.does(DoHarvest); !ok || a.Why != WhyEnds || poured(got) || got.DumpReason != DumpEnd {
		t.Errorf("%+v, emptied for %q", got.Actions, got.DumpReason)
	}
	if !slices.Equal(got.Wrong.Plain, []string{"mosquito"}) || got.Wrong.Rest || got.has(FindUnsure) {
		t.Errorf("%+v", got.Wrong)
	}
}

// Nine days after the crop's end whoever comes for the first time since is told that it is over, not to pour for heads that weigh enough.
func TestFirstLookAfterTheEnd(t *testing.T) {
	const last = "ph: 6.5, rain: 0 in}\n"
	got := hostile(t, "10", last, last+"  - {at: 2027-05-19T08:00, depth: 4-1/2 in, ec: 1.6 mS/cm, ph: 6.5}\n")
	if !got.says(WhyEnds) || got.says(WhyRipe) || poured(got) || got.DumpReason != DumpEnd {
		t.Errorf("%+v, emptied for %q", got.Actions, got.DumpReason)
	}
}

// A bed filled anew is looked at in two days at the soonest, and by what it then is, not by tomorrow for what the old one was; the day after where acid went into it.
func TestBedFilledAnewIsLookedAtAsSuch(t *testing.T) {
	for _, got := range []*Tending{hostile(t, "11"), hostile(t, "08", "2026-12-19", "2026-10-19", "2027-01-03", "2026-10-29")} {
		least, most := 47.0, 24*7+1.0
		if does(got, DoAcid) {
			least, most = 23, 25
		}
		if hours := got.NextCheck.Sub(got.State.At).Hours(); !does(got, DoRefill) || hours < least || hours > most {
			t.Errorf("%+v, again %v after %v", got.Actions, got.NextCheck, got.State.At)
		}
	}
}
