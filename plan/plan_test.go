package plan_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/unit"
)

// book is read once; no test changes it.
var book = plan.DefaultBook()

// try parses a brief and makes the asked parts of its plan.
func try(text string, parts plan.Part) (plan.Plan, finding.Faults) {
	b, faults := brief.Parse("bed.yaml", []byte(text))
	if len(faults) > 0 {
		return plan.Plan{}, faults
	}
	return plan.Make(b, book, plan.Files{}, parts)
}

// planned makes a plan that must have no fault.
func planned(t testing.TB, text string, parts plan.Part) plan.Plan {
	t.Helper()
	p, faults := try(text, parts)
	for _, f := range faults {
		t.Errorf("%s\n%s", f.Error(), text)
	}
	if len(faults) > 0 {
		t.FailNow()
	}
	return p
}

func assumed(p plan.Plan) []finding.ID {
	var out []finding.ID
	for _, a := range p.Assumptions {
		out = append(out, a.ID)
	}
	return out
}

func raised(p plan.Plan, id finding.ID) bool {
	return slices.ContainsFunc(p.Findings, func(f finding.Finding) bool { return f.ID == id })
}

// twelve months of an invented temperate place.
const months = `months: [{month: 1, tmax: 5 C, tmin: -4 C}, {month: 2, tmax: 6 C, tmin: -3 C}, {month: 3, tmax: 11 C, tmin: 0 C}, {month: 4, tmax: 17 C, tmin: 5 C},
  {month: 5, tmax: 22 C, tmin: 11 C}, {month: 6, tmax: 27 C, tmin: 16 C}, {month: 7, tmax: 29 C, tmin: 18 C}, {month: 8, tmax: 28 C, tmin: 18 C},
  {month: 9, tmax: 24 C, tmin: 14 C}, {month: 10, tmax: 18 C, tmin: 7 C}, {month: 11, tmax: 12 C, tmin: 2 C}, {month: 12, tmax: 6 C, tmin: -2 C}]`

// What is not said is assumed and listed; what is said is not.
func TestAssumptionsAreListedExactlyWhenTheValueIsNotGiven(t *testing.T) {
	for _, c := range []struct {
		id     string
		parts  plan.Part
		rest   string // beside the section
		before string // the section without the value
		after  string // and with it
	}{
		{"plan.crop", plan.Everything, "", "bed: {}", "bed: {}\ncrop: {name: kale}"},
		{"plan.vessel", plan.Frame, "", "bed: {length: 8 ft}", "bed: {length: 8 ft, vessel: frame}"},
		{"plan.depth", plan.Frame, "", "bed: {length: 8 ft}", "bed: {length: 8 ft, depth: 5 in}"},
		{"plan.inside", plan.Frame, "", "bed: {}", "bed: {length: 97 in, width: 49 in}"},
		{"plan.inside", plan.Frame, "", "bed: {length: 97 in}", "bed: {length: 97 in, width: 49 in}"},
		{"plan.lumber", plan.Frame, "", "bed: {}", "bed: {lumber: hem-fir-2}"},
		{"plan.incised", plan.Frame, "", "bed: {}", "bed: {incised: no}"},
		{"plan.liner", plan.Frame, "", "bed: {}", "bed: {liner: 20 mil}"},
		{"plan.level", plan.Frame, "", "bed: {}", "bed: {level error: 0 in}"},
		{"frame.assume_support", plan.Frame, "", "bed: {}", "bed: {support: ground}"},
		{"plan.spacing", plan.Raft, "", "raft: {}", "raft: {spacing: 8 in}"},
		{"raft.assume_edge", plan.Raft, "", "raft: {}", "raft: {edge: 4 in}"},
		{"raft.assume_hole", plan.Raft, "", "raft: {}", "raft: {hole: 2 in}"},
		{"raft.assume_thickness", plan.Raft, "", "raft: {}", "raft: {thickness: 2 in}"},
		{"raft.assume_gap", plan.Raft, "", "raft: {}", "raft: {gap: 1/4 in}"},
		{"raft.assume_pattern", plan.Raft, "", "raft: {}", "raft: {pattern: square}"},
		{"cut.kerf", plan.Cut, "", "cut: {stock: [{length: 8 ft}], pieces: [{length: 1 ft}]}", "cut: {kerf: 0 in, stock: [{length: 8 ft}], pieces: [{length: 1 ft}]}"},
		{"plan.stock", plan.Cut, "", "cut: {pieces: [{length: 1 ft}]}", "cut: {stock: [{length: 8 ft}], pieces: [{length: 1 ft}]}"},
		{"plan.water", plan.Everything, "bed: {}", "", "water: {ph: 7, alkalinity: 50 mg/L CaCO3}"},
		{"water.temperature", plan.Water, "", "water: {ph: 7}", "water: {ph: 7, temperature: 20 C}"},
		{"plan.acid_target", plan.Water, "water: {ph: 7, alkalinity: 100 mg/L CaCO3}", "acid: {product: citric, air: open}", "acid: {product: citric, target ph: 6, air: open}"},
		{"plan.acid_closed", plan.Water, "water: {ph: 7, alkalinity: 100 mg/L CaCO3}", "acid: {product: citric, target ph: 6}", "acid: {product: citric, target ph: 6, air: closed}"},
		{"plan.shelf", plan.Everything, "bed: {}", "", "shelf: [{name: Epsom salt, formula: MgSO4.7H2O}]"},
		{"plan.recipe", plan.Everything, "bed: {}", "", "target: {nitrogen: 100 mg/L}"},
		{"plan.measure", plan.Everything, "bed: {}", "", "mix: {measure: spoons}"},
		{"mix.assume_bucket", plan.Everything, "bed: {}", "mix: {measure: spoons}", "mix: {measure: spoons, bucket: 20 L}"},
		{"plan.cover", plan.Season, "", "site: {latitude: 42, " + months + "}", "site: {latitude: 42, cover: open, " + months + "}"},
		{"plan.acid_product", plan.Water, "water: {ph: 7, alkalinity: 100 mg/L CaCO3}", "acid: {target ph: 6}", "acid: {target ph: 6, product: phosphoric 75 %}"},
		{"plan.pump", plan.Season, "", "site: {latitude: 42, " + months + "}", "site: {latitude: 42, pump: none, " + months + "}"},
		{"plan.heads_full", plan.Everything, "bed: {}\nsite: {latitude: 42, " + months + "}", "schedule: {first harvest: 2027-06-01}", "schedule: {first harvest: 2027-06-01, heads per week: 4}"},
		{"plan.heads_full", plan.Everything, "bed: {}\nsite: {latitude: 42, " + months + "}", "schedule: {first harvest: 2027-06-01}", "schedule: {first harvest: 2027-06-01, people: 2}"},
		{"plan.staged", plan.Everything, "bed: {}\nsite: {latitude: 42, " + months + "}", "schedule: {heads per week: 4}", "schedule: {heads per week: 4, staged: yes}"},
		{"plan.first_harvest", plan.Everything, "bed: {}\nsite: {latitude: 42, " + months + "}", "schedule: {heads per week: 4}", "schedule: {heads per week: 4, first harvest: 2027-06-01}"},
		{"plan.last_harvest", plan.Everything, "bed: {}\nsite: {latitude: 42, " + months + "}", "schedule: {heads per week: 4}", "schedule: {heads per week: 4, last harvest: 2027-09-01}"},
		{"plan.power_price", plan.Season, "site: {latitude: 42, " + months + "}\nschedule: {first harvest: 2027-04-15, last harvest: 2027-10-31}", "", "prices: {items: {electricity: 0.30 USD}}"},
		{"plan.power_price", plan.Season, "site: {latitude: 42, lamp: {level: 200 umol/m2/s}, " + months + "}", "", "prices: {items: {electricity: 0.30 USD}}"},
		{"plan.currency", plan.Everything, "bed: {}", "", "prices: {currency: EUR}"},
		{"plan.heads_per_person", plan.Frame, "bed: {}", "schedule: {people: 4}", "schedule: {heads per week: 6}"},
	} {
		without := planned(t, c.rest+"\n"+c.before+"\n", c.parts)
		with := planned(t, c.rest+"\n"+c.after+"\n", c.parts)
		if !slices.Contains(assumed(without), finding.ID(c.id)) {
			t.Errorf("%s is not listed for %q: %v", c.id, c.before, assumed(without))
		}
		if slices.Contains(assumed(with), finding.ID(c.id)) {
			t.Errorf("%s is listed although it is given: %q", c.id, c.after)
		}
		for i, id := range assumed(without) {
			if slices.Contains(assumed(without)[:i], id) && without.Assumptions[i].Args == nil {
				t.Errorf("%s is listed twice for %q", id, c.before)
			}
		}
	}
}

// A person eats a head and a half a week (common practice, no source): four ask
// for the bed that six heads a week ask for.
func TestPeopleAreFedByHeads(t *testing.T) {
	people, heads := planned(t, "bed: {}\nschedule: {people: 4}", plan.Raft), planned(t, "bed: {}\nschedule: {heads per week: 6}", plan.Raft)
	for _, a := range people.Assumptions {
		if a.ID == plan.AssumeHeads && a.Args["Heads"] != 1.5 {
			t.Errorf("a person is taken to eat %v heads a week", a.Args["Heads"])
		}
	}
	if people.Raft.Holes != heads.Raft.Holes {
		t.Errorf("%d holes for four people, %d for six heads a week", people.Raft.Holes, heads.Raft.Holes)
	}
}

// The size comes from what is known: the inside, the free space, the people to
// feed, the heads wanted, the vessel, or the sheet and its play.
func TestSize(t *testing.T) {
	in := func(x float64) unit.Length { return unit.Length(x) * unit.Inch }
	for _, c := range []struct {
		brief         string
		length, width unit.Length
		least, most   int // holes
	}{
		{"bed: {length: 97 in, width: 49 in}\nraft: {spacing: 12 in}", in(97), in(49), 32, 32}, // common practice, no source: 32 plants on 4 x 8 ft
		// 13 to 29 lettuces to the square meter (the crop's row): on 2.97 m2 39 to 86, and 5 rows of 10 are the first of them
		{"bed: {length: 97 in, width: 49 in}", in(97), in(49), 50, 50},
		{"bed: {}", in(97), in(49), 50, 50},                                         // the sheet and half an inch on every side
		{"bed: {}\nraft: {sheet: [2 ft, 4 ft], gap: 1 in}", in(50), in(26), 10, 10}, // 0.74 m2: 10 to 21
		{"bed: {space: [9 ft, 5 ft]}", in(97), in(49), 50, 50},
		{"bed: {space: [5 ft, 9 ft]}", in(97), in(49), 50, 50},
		{"bed: {space: [9 ft, 9 ft]}", in(97), in(97), 100, 100},
		{"bed: {space: [3 ft, 6 ft]}", in(69), in(33), 19, 24}, // 32 x 68 in, 1.40 m2: from 18.3
		{"bed: {}\nschedule: {heads per week: 2}", in(97), in(49), 50, 50},
		{"bed: {}\nschedule: {heads per week: 16}", 0, 0, 60, 160},
		{"bed: {}\nschedule: {people: 10}", 0, 0, 60, 160},
		{"bed: {vessel: round, diameter: 6 ft}", in(72), in(72), 34, 40},          // 2.55 m2: from 33.2
		{"bed: {vessel: tub, length: 40 in, width: 20 in}", in(40), in(20), 7, 9}, // 39 x 19 in, 0.48 m2: from 6.2
		{"bed: {}\nraft: {diameter: 4 ft}", in(49), in(49), 16, 20},               // 1.17 m2: from 15.2
	} {
		p := planned(t, c.brief+"\n", plan.Frame|plan.Raft)
		v := p.Frame.Job.Vessel
		length, width := v.Length, v.Width
		if v.Diameter > 0 {
			length, width = v.Diameter, v.Diameter
		}
		if c.length > 0 && (math.Abs(float64(length-c.length)) > 1e-6 || math.Abs(float64(width-c.width)) > 1e-6) {
			t.Errorf("%s: %.4g by %.4g in", c.brief, length/unit.Inch, width/unit.Inch)
		}
		if p.Raft.Holes < c.least || p.Raft.Holes > c.most {
			t.Errorf("%s: %d holes, not %d to %d", c.brief, p.Raft.Holes, c.least, c.most)
		}
	}
}

// The heads wanted each week are on the raft for its days, with the loss on top:
// Little's law, and common practice for the loss.
func TestHolesForTheHeadsWanted(t *testing.T) {
	for _, heads := range []float64{1, 5, 8, 20, 60} {
		p := planned(t, fmt.Sprintf("bed: {}\nschedule: {heads per week: %g}\n", heads), plan.Raft)
		least := heads / 7 * p.Crop.Raft.Middle().Days()
		if float64(p.Raft.Holes*p.Beds) < least && !raised(p, plan.FindHolesShort) {
			t.Errorf("%g heads a week: %d holes, at least %.0f are needed, and nothing is said", heads, p.Raft.Holes, least)
		}
	}
}

// Faults that only the trades can see still carry the place of the value.
func TestFaultsHaveTheirPlaces(t *testing.T) {
	for text, want := range map[string]string{
		"bed: {}\ncrop: {name: letuce}":                                             "bed.yaml:2:14: ",
		"bed:\n  lumber: oak":                                                       "bed.yaml:2:11: ",
		"bed: {}\ntarget:\n  recipe: tomatoes":                                      "bed.yaml:3:11: ",
		"bed: {}\nshelf:\n  - {name: mystery powder}":                               "bed.yaml:3:12: ",
		"bed: {}\nshelf:\n  - {name: a, formula: Ca(NO3}":                           "bed.yaml:3:24: ",
		"bed: {vessel: round}":                                                      "bed.yaml:1:1: ",
		"bed: {space: [4 in, 9 ft]}":                                                "bed.yaml:1:15: ",
		"bed: {}\nraft: {spacing: 2 in, hole: 2-1/2 in}":                            "bed.yaml:2:",
		"bed: {}\nsite:\n  " + months:                                               "bed.yaml:2:1: ",
		"bed: {depth: 20 in, side board: 2x4}\nraft: {}":                            "",
		"bed: {}\nsite: {latitude: 42, months: [{month: 1, tmax: 5 C, tmin: 1 C}]}": "bed.yaml:2:",
	} {
		p, faults := try(text+"\n", plan.Everything)
		if want == "" {
			if len(faults) > 0 || p.Worst() != finding.Stop {
				t.Errorf("%q: %v, worst %v", text, faults, p.Worst())
			}
			continue
		}
		if len(faults) == 0 {
			t.Errorf("%q: no fault", text)
			continue
		}
		for _, f := range faults {
			if !strings.HasPrefix(f.Error(), want) {
				t.Errorf("%q: %s, not at %s", text, f.Error(), want)
			}
		}
	}
}

func right(t *testing.T, f finding.Fault) string {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	_, right := words.Fault(f)
	return right
}

// Every part on its own needs only its own sections, and asks for nothing of
// what it does not need.
func TestMissingSections(t *testing.T) {
	for part, needs := range map[plan.Part][]string{
		plan.Everything: {"bed"}, plan.Frame: {"bed"}, plan.Cost: {"bed"}, plan.Raft: {"raft"}, plan.Cut: {"cut"}, plan.Water: {"water"},
		plan.Mix: {"water", "shelf", "target"}, plan.Season: {"site"},
	} {
		_, faults := try("title: nothing\n", part)
		if len(faults) != len(needs) {
			t.Errorf("part %b: %d faults, not %d", part, len(faults), len(needs))
			continue
		}
		for i, f := range faults {
			if f.ID != plan.FaultMissing || string(f.Path) != needs[i] || !strings.HasPrefix(right(t, f), "add for example "+needs[i]+": ") {
				t.Errorf("part %b: %s", part, f.Error())
			}
		}
	}
}

// A part tells of itself only: asking for the water says nothing of boards.
func TestPartsTellOfThemselves(t *testing.T) {
	text := "bed: {length: 16 ft, holds: none, side board: 2x8}\nwater: {ph: 7, alkalinity: 300 mg/L CaCO3}\nshelf: [{name: Epsom salt, formula: MgSO4.7H2O}]\ntarget: {recipe: lettuce}\n"
	for part, other := range map[plan.Part]string{plan.Water: "frame.", plan.Mix: "frame.", plan.Raft: "water.", plan.Frame: "mix."} {
		p := planned(t, text, part)
		for _, f := range p.Findings {
			if strings.HasPrefix(string(f.ID), other) {
				t.Errorf("part %b tells %s", part, f.ID)
			}
		}
		if part == plan.Water && p.Worst() == finding.Stop {
			t.Error("the water stops for the boards")
		}
	}
	if planned(t, text, plan.Frame).Worst() != finding.Stop {
		t.Error("16 ft without a hold does not stop the frame")
	}
}

// Boards that cannot be had are missing from the money, so they stop it too.
func TestUncuttableBoardsStopTheCost(t *testing.T) {
	text := "bed: {side board: 2x8}\ncut: {stock: [{length: 1 ft, price: 1 USD}]}\n"
	for _, part := range []plan.Part{plan.Cut, plan.Cost, plan.Everything} {
		if p := planned(t, text, part); p.Worst() != finding.Stop {
			t.Errorf("part %b: no stop for a side longer than any board", part)
		}
	}
}

// Strong acid stays off the paper where children come.
func TestStrongAcidAndChildren(t *testing.T) {
	for site, printed := range map[string]bool{
		"{kind: home, children: none}": true, "{kind: home, children: visit}": false, "{kind: home, children: live here}": false,
		"{kind: school}": false, "{kind: school, children: none}": false, "{kind: community, children: visit}": false, "{kind: market, children: visit}": true,
	} {
		p := planned(t, "bed: {}\nsite: "+site+"\nwater: {ph: 7.5, alkalinity: 200 mg/L CaCO3, calcium: 80 mg/L}\nacid: {product: sulfuric 93 %, target ph: 5.8}\n", plan.Everything)
		if p.Water.Acid == nil || p.Water.Acid.Amount <= 0 {
			t.Errorf("%s: the dose asked for is not computed", site)
		}
		if a := p.PrintedAcid(); a == nil || a.Want.Product.Strong() != printed {
			t.Errorf("%s: printed is %v", site, a)
		}
		if raised(p, plan.FindStrongAcid) == printed {
			t.Errorf("%s: said to be left off: %v", site, !printed)
		}
	}
}
