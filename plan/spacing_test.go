package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"raftwright/finding"
	"raftwright/season"
	"raftwright/unit"
)

// spaced plans the raft of a brief and gives how it stands.
func spaced(t *testing.T, text string) (Plan, unit.Length) {
	t.Helper()
	p := made(t, Raft|Frame, text)
	if p.Raft == nil {
		t.Fatalf("%s: %v", text, p.Findings)
	}
	return p, p.Raft.Job.Spacing
}

// Three by hand, on a sheet of 4 x 8 ft (2.97 m2): lettuce is reported at 13 to 29 to the square meter, 39 to 86 on it, and
// 5 x 10 holes at 9-1/2 in are the widest of these (10 in gives 4 x 9). Twelve heads a week stand up to 35 days, with a tenth
// lost 12 x 5 / 0.9 = 67 holes: 8 in gives 6 x 12 (8-1/2 in 5 x 11). Twenty take 112: 7 in, the least of the row, gives 6 x 13.
func TestSpacingByHand(t *testing.T) {
	for _, c := range []struct {
		wish   string
		inches float64
		holes  int
		told   []string // of the assumption
	}{
		{"", 9.5, 50, nil},
		{"schedule: {heads per week: 6}", 9.5, 50, nil}, // 34 holes
		{"schedule: {heads per week: 12}", 8, 72, []string{"Wished"}},
		{"schedule: {people: 8}", 8, 72, []string{"Wished"}}, // 12 heads
		{"schedule: {heads per week: 20}", 7, 78, []string{"Short"}},
		{"bed: {count: 2}\nschedule: {heads per week: 20}", 8, 144, []string{"Wished"}},
		{"raft: {spacing: 12 in}\nschedule: {heads per week: 20}", 12, 32, nil},
	} {
		text := "bed: {length: 97 in, width: 49 in}\ncrop: {name: lettuce, cultivar: leaf}\n" + c.wish + "\n"
		if c.wish == "bed: {count: 2}\nschedule: {heads per week: 20}" {
			text = "bed: {length: 97 in, width: 49 in, count: 2}\ncrop: {name: lettuce, cultivar: leaf}\nschedule: {heads per week: 20}\n"
		}
		p, s := spaced(t, text)
		if math.Abs(s.Inches()-c.inches) > 1e-6 || p.Raft.Holes*p.Beds != c.holes {
			t.Errorf("%s: %d holes at %v in, want %d at %v", c.wish, p.Raft.Holes*p.Beds, s.Inches(), c.holes, c.inches)
		}
		for _, a := range p.Assumptions {
			if a.ID != AssumeSpacing {
				continue
			}
			for _, name := range []string{"Wished", "Short"} {
				if got, want := a.Args[name] == true, len(c.told) > 0 && c.told[0] == name; got != want {
					t.Errorf("%s: %s is %v", c.wish, name, got)
				}
			}
			if a.Source == "" || a.Args["InRange"] != true {
				t.Errorf("%s: %+v", c.wish, a)
			}
		}
	}
}

// Where no published spacing brings the heads, what the closest brings is told, and how many such beds would do; where a spacing
// is said and a closer one would do, that one is named. 20 heads a week at the middle of 24 to 35 days take 20 x 29.5 / 7 / 0.9 = 94 holes.
func TestFewHolesAreToldWithWhatWouldDo(t *testing.T) {
	short := func(text string) finding.Args {
		p, _ := spaced(t, "bed: {length: 97 in, width: 49 in}\ncrop: {name: lettuce, cultivar: leaf}\n"+text)
		for _, f := range p.Findings {
			if f.ID == FindHolesShort {
				return f.Args
			}
		}
		t.Fatalf("%s: not told", text)
		return nil
	}
	a := short("schedule: {heads per week: 20}\n")
	if a["Holes"] != 78 || a["Wanted"] != 94 || a["Brings"] != 16.6 || a["Beds"] != 2 || a["Closest"] != true || a["Closer"] != false {
		t.Errorf("%+v", a)
	}
	a = short("schedule: {heads per week: 10}\nraft: {spacing: 12 in}\n") // 56 holes in its slow weeks
	if s, _ := a["Spacing"].(unit.Length); a["Holes"] != 32 || a["Wanted"] != 47 || a["Closer"] != true || math.Abs(s.Inches()-8) > 1e-6 || a["Closest"] != false {
		t.Errorf("%+v", a)
	}
}

// On any raft and for any crop: more heads wanted never stand wider; what is taken lies in the published range of the crop as far as
// the raft allows; and a spacing that is said is never changed.
func TestSpacingKeepsItsPromises(t *testing.T) {
	crops := DefaultBook().Crops.Crops()
	beds := []string{"{length: 97 in, width: 49 in}", "{length: 8 ft, width: 4 ft, count: 3}", "{length: 61 in, width: 37 in}", "{vessel: round, diameter: 5 ft}", "{vessel: tub, length: 34 in, width: 22 in}", "{space: [9 ft, 9 ft]}"}
	n := 40
	if testing.Short() {
		n = 8
	}
	for seed := range uint64(n) {
		r := rand.New(rand.NewPCG(seed, 5))
		k := crops[r.IntN(len(crops))]
		pattern := []string{"square", "staggered"}[r.IntN(2)]
		text := fmt.Sprintf("bed: %s\nraft: {pattern: %s}\ncrop: {name: %s}\n", beds[r.IntN(len(beds))], pattern, k.ID)
		before := unit.Length(math.Inf(1))
		for _, heads := range []int{0, 2, 5, 9, 14, 25, 60} {
			wish := text
			if heads > 0 {
				wish += fmt.Sprintf("schedule: {heads per week: %d}\n", heads)
			}
			p, s := spaced(t, wish)
			if s > before+1e-9 {
				t.Errorf("%s: %v in, %v in for fewer heads", wish, s.Inches(), before.Inches())
			}
			before = s
			least := max(k.Spacing.Min, 4*unit.Inch)
			if s < least-1e-9 || s > max(k.Spacing.Max, least)+1e-9 {
				t.Errorf("%s: %v in is outside of the row", wish, s.Inches())
			}
			for _, a := range p.Assumptions {
				if d := p.Raft.PerSquareMetre; a.ID == AssumeSpacing && a.Args["InRange"] == true && (d < float64(k.Plants.Min) || d > float64(k.Plants.Max)) {
					t.Errorf("%s: %.1f to the square meter", wish, d)
				}
			}
			said := fmt.Sprintf("bed: {length: 97 in, width: 49 in}\nraft: {spacing: %d in}\ncrop: {name: %s}\nschedule: {heads per week: %d}\n", 5+r.IntN(12), k.ID, heads+1)
			if p, s := spaced(t, said); math.Abs(s.Inches()-math.Round(s.Inches())) > 1e-9 || assumes(p, AssumeSpacing) {
				t.Errorf("%s: %v in", said, s.Inches())
			}
		}
	}
}

// A raft that a closer spacing would drown is planted no closer than it floats: heads of romaine of up to 350 g and pots of 60 g on
// half an inch of foam.
func TestSpacingFloats(t *testing.T) {
	p, s := spaced(t, "bed: {length: 97 in, width: 49 in}\nraft: {thickness: 1/2 in, head: 700 g}\ncrop: {name: lettuce, cultivar: romaine}\nschedule: {heads per week: 30}\n")
	if p.Raft.Float.Freeboard <= 0 {
		t.Errorf("at %v in the raft swims %v mm over its top", s.Inches(), -p.Raft.Float.Freeboard.Millimetres())
	}
}

// The scale on the list is the one that is said; where none is, one that shows a gram.
func TestScaleOnTheListIsTheOneSaid(t *testing.T) {
	for said, want := range map[string]unit.Mass{"mix: {measure: scale 5 g}": 5 * unit.Gram, "mix: {measure: scale 0.1 g}": 0.1 * unit.Gram, "": unit.Gram} {
		p := made(t, Everything, "bed: {length: 97 in, width: 49 in}\n"+said+"\n")
		seen := 0
		for _, l := range p.Cost.Lines {
			if l.Name == "need.scale" {
				if seen++; math.Abs(float64(l.Args["Step"].(unit.Mass)-want)) > 1e-12 {
					t.Errorf("%q: a scale of %v is listed", said, l.Args["Step"])
				}
			}
		}
		if seen != 1 {
			t.Errorf("%q: %d scales", said, seen)
		}
	}
}

// A plan whose crop starves tells no weight of a head, nor that some are cut lighter.
func TestStarvedCropHasNoWeight(t *testing.T) {
	months := "site: {latitude: 42, months: ["
	for range 12 {
		months += "{tmax: 22 C, tmin: 12 C}, "
	}
	const bed = "]}\nbed: {length: 97 in, width: 49 in}\nraft: {spacing: 12 in}\nschedule: {heads per week: 8, first harvest: 2027-06-01, last harvest: 2027-09-01}\n"
	fed := made(t, Everything, months+bed)
	if fed.Starves() || !has(fed, season.FindLighter) {
		t.Error("fed: no head is cut lighter so that more fit; the test sees nothing")
	}
	starved := made(t, Everything, months+bed+"shelf: [{name: Epsom salt, formula: MgSO4.7H2O}]\n")
	if !starved.Starves() || has(starved, season.FindLighter) || has(starved, season.FindSlow) {
		t.Error("starved: a weight is told")
	}
}

// Of a brief in metric units a spacing is chosen that a metric tape shows, a whole or half centimeter, and of the crop's row
// still. By hand, the sheet of 4 x 8 ft: 10 columns and 5 rows at 240 mm as at 9-1/2 in (241 mm).
func TestSpacingIsReadOffTheTape(t *testing.T) {
	for _, k := range DefaultBook().Crops.Crops() {
		for units, step := range map[string]unit.Length{"metric": unit.Metre / 200, "us": unit.Inch / 2} {
			_, s := spaced(t, fmt.Sprintf("units: %s\nbed: {length: 97 in, width: 49 in}\ncrop: {name: %s}\n", units, k.ID))
			least := max(k.Spacing.Min, 4*unit.Inch)
			if most := max(k.Spacing.Max, least); math.Floor(float64(most/step)+1e-9)*float64(step) < float64(least)-1e-9 {
				continue // 4 in and no more, for the foam between the holes
			}
			marks := float64(s / step)
			if math.Abs(marks-math.Round(marks)) > 1e-6 || s < k.Spacing.Min-1e-9 || s > max(k.Spacing.Max, 4*unit.Inch)+1e-9 {
				t.Errorf("%s, %s: %.1f mm", k.ID, units, float64(s/unit.Millimetre))
			}
		}
	}
	p, s := spaced(t, "units: metric\nbed: {length: 97 in, width: 49 in}\ncrop: {name: lettuce, cultivar: leaf}\n")
	if math.Abs(float64(s/unit.Millimetre)-240) > 1e-6 || p.Raft.Holes != 50 {
		t.Errorf("%d holes at %.1f mm", p.Raft.Holes, float64(s/unit.Millimetre))
	}
}
