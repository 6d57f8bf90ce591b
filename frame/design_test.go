package frame

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/source"
	"raftwright/unit"
)

// unsound walks a value and names the first number that is no number.
func unsound(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if !finite(v.Float()) {
			return path
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if bad := unsound(v.Field(i), path+"."+v.Type().Field(i).Name); bad != "" {
				return bad
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if bad := unsound(v.Index(i), path+"[]"); bad != "" {
				return bad
			}
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			if bad := unsound(v.MapIndex(k), path+"."+k.String()); bad != "" {
				return bad
			}
		}
	case reflect.Interface:
		if !v.IsNil() {
			return unsound(v.Elem(), path)
		}
	}
	return ""
}

// anyJob draws a job from the whole range of the issue and well beyond it.
func anyJob(t *rapid.T) Job {
	j := Job{Vessel: anyVessel(t), Depth: inches(t, "water", 0.5, 26), Count: rapid.IntRange(0, 60).Draw(t, "beds"),
		Species:   rapid.SampledFrom(DefaultYard().Keys()).Draw(t, "species"),
		SideBoard: rapid.SampledFrom(append(BoardSizes(), Size{1, 8}, Size{6, 8})).Draw(t, "side"),
		EndBoard:  rapid.SampledFrom(append(BoardSizes(), Size{}, Size{1, 8})).Draw(t, "end"),
		Courses:   rapid.IntRange(0, 3).Draw(t, "courses"), Incised: rapid.Bool().Draw(t, "incised"),
		HoldBy: HoldKind(rapid.IntRange(0, 2).Draw(t, "kind")), Soil: rapid.SampledFrom([]Soil{UnknownSoil, Clay, Sand, Gravel, SoftSoil}).Draw(t, "soil"),
		Support: Support(rapid.IntRange(0, 4).Draw(t, "support")), Wall: Wall(max(0, rapid.IntRange(-6, 3).Draw(t, "wall"))),
		PlainCorner: rapid.IntRange(0, 9).Draw(t, "plain") == 0, OpenToRain: rapid.Bool().Draw(t, "open"),
		LevelError: inches(t, "level", 0, 3), ExtraMass: unit.Mass(rapid.Float64Range(0, 200).Draw(t, "extra")),
		Raft:  Raft{Gap: inches(t, "gap", 0, 1), Thickness: inches(t, "raft", 0, 2), Draft: inches(t, "draft", 0, 0.5), Hang: inches(t, "hang", 0, 3)},
		Liner: LinerWish{Thickness: unit.Length(rapid.Float64Range(0, 60).Draw(t, "mil")) * unit.Mil}}
	switch n := rapid.IntRange(-4, 12).Draw(t, "holds"); {
	case n >= 0:
		j.Holds = HoldsASide(n)
	}
	for _, l := range []*unit.Length{&j.LevelError, &j.Raft.Gap, &j.Raft.Thickness, &j.Raft.Draft, &j.Raft.Hang, &j.Liner.Thickness} {
		if *l < unit.Mil { // so small means not given
			*l = 0
		}
	}
	return j
}

// Whatever is asked, the answer is a fault or a bed without a number that is no
// number, whose verdict follows from its findings and whose use is the largest
// share; a second run gives the same.
func TestEveryAnswerIsSound(t *testing.T) {
	l := DefaultYard()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob(t)
		b, err := Design(j, l)
		if err != nil {
			return
		}
		if bad := unsound(reflect.ValueOf(b), "bed"); bad != "" {
			t.Fatalf("%s is no number", bad)
		}
		if b.Verdict != Verdict(finding.Worst(b.Findings)) {
			t.Fatal("verdict")
		}
		for _, d := range append(b.Boards, b.BrimBoards...) {
			most := max(share(float64(d.Bending), float64(d.BendingAllow)), share(float64(d.Shear), float64(d.ShearAllow)), share(float64(d.DeflectionLong), float64(d.DeflectionLimit)))
			if d.Use != most || d.Rated != (d.BendingAllow > 0) || !d.Rated && d.Load > 0 && d.Use != MostUse {
				t.Fatalf("%+v", d)
			}
			if !d.Rated && b.Verdict != NotHolding {
				t.Fatalf("unrated board passed: %+v", d)
			}
		}
		again, _ := Design(j, l)
		if !reflect.DeepEqual(b, again) {
			t.Fatal("a second run differs")
		}
	})
}

// Every finding and step cites a known source, and every step is a number.
func TestWorkingIsWhole(t *testing.T) {
	l := DefaultYard()
	steps := 0
	rapid.Check(t, func(t *rapid.T) {
		b, err := Design(anyJob(t), l)
		if err != nil {
			return
		}
		for _, s := range b.Working() {
			steps++
			if _, ok := source.Find(s.Source); !ok || s.Name == "" || s.Formula == "" || !finite(s.Value) {
				t.Fatalf("%+v", s)
			}
			for _, i := range s.Inputs {
				if !finite(i.Value) {
					t.Fatalf("%+v", s)
				}
			}
		}
		for _, f := range b.Findings {
			if _, ok := source.Find(f.Source); !ok {
				t.Fatalf("%s cites %q", f.ID, f.Source)
			}
		}
	})
	if steps < 300 {
		t.Errorf("only %d steps seen", steps)
	}
}

// The working can be followed by hand: formulas that are plain products are
// computed again from their inputs.
func TestWorkingCanBeFollowed(t *testing.T) {
	j := full()
	j.Courses, j.SideBoard, j.EndBoard, j.Depth = 2, Size{2, 8}, Size{2, 8}, 12*unit.Inch
	b := must(t, j)
	done := 0
	for _, s := range b.Working() {
		x := map[string]float64{}
		for _, i := range s.Inputs {
			x[i.Symbol] = i.Value
		}
		var want float64
		switch s.Formula {
		case "c w l^2/S":
			want = x["c"] * x["w"] * x["l"] * x["l"] / x["S"]
		case "c w l^4/(E' I)":
			want = x["c"] * x["w"] * math.Pow(x["l"], 4) / (x["E'"] * x["I"])
		case "1.5 c w l/A":
			want = 1.5 * x["c"] * x["w"] * x["l"] / x["A"]
		case "c w l":
			want = x["c"] * x["w"] * x["l"]
		case "Kcr d":
			want = x["Kcr"] * x["d"]
		case "rho g ((h - z0)^2 - (h - z1)^2)/2":
			want = x["rho g"] * (math.Pow(x["h"]-x["z0"], 2) - math.Pow(x["h"]-x["z1"], 2)) / 2
		case "Fb CD CM CF Cfu Ci":
			want = x["Fb"] * x["CD"] * x["CM"] * x["CF"] * x["Cfu"] * x["Ci"]
		case "k h (2 a b + 2 a0 b0 + a b0 + a0 b)/6":
			want = x["k"] * x["h"] * (2*x["a"]*x["b"] + 2*x["a0"]*x["b0"] + x["a"]*x["b0"] + x["a0"]*x["b"]) / 6
		case "work.frame.liner_length_how":
			want = x["L"] + 2*x["work.frame.end_wall"] + 2*x["turn"]
		case "Dr^2/Kd sqrt(Fe Fyb/3) x CD CM":
			want = x["Dr"] * x["Dr"] / x["Kd"] * math.Sqrt(x["Fe"]*x["Fyb"]/3) * x["CD"] * x["CM"]
		case "2850 G^2 D x thread x CD CM, x 4.448 N/lb":
			want = 2850 * x["G"] * x["G"] * x["D"] * x["thread"] * x["CD"] * x["CM"] * 4.4482216
		case "b t^2/6":
			want = x["b"] * x["t"] * x["t"] / 6
		case "b t^3/12":
			want = x["b"] * math.Pow(x["t"], 3) / 12
		case "rho g B (h1^2 - h0^2)/2 = rho g B h D":
			want = x["rho g"] * x["B"] * x["h"] * x["D"]
		case "(h/H)^2":
			want = x["h"] * x["h"] / (x["H"] * x["H"])
		case "sqrt((P/n + M a/J)^2 + (M a/J)^2), M = P (h + z + b/2)":
			m := x["P"] * (x["h"] + x["z"] + x["b"]/2) * x["a"] / x["J"]
			want = math.Hypot(x["P"]/x["n"]+m, m)
		case "m g/A + extra":
			want = x["m"]*x["g"]/x["A"] + x["extra"]
		default:
			continue
		}
		near(t, s.Name, s.Value, want, 1e-6)
		done++
	}
	if done < 30 {
		t.Errorf("only %d steps followed", done)
	}
}

// More water, a longer span or a weaker wood never uses a board less; another
// hold never bends it more.
func TestMonotony(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := DefaultYard()
		j := pine()
		j.Species = rapid.SampledFrom(l.Keys()).Draw(t, "species")
		j.Vessel.Length, j.Depth = inches(t, "length", 24, 480), inches(t, "water", 3, 6)
		n := rapid.IntRange(0, 6).Draw(t, "holds")
		use := func(j Job, n int) unit.Fraction {
			j.Holds = HoldsASide(n)
			b, err := Design(j, l)
			if err != nil {
				t.Fatal(err)
			}
			return b.Boards[0].Use
		}
		u := use(j, n)
		deeper, longer, slit := j, j, j
		deeper.Depth *= 1.05
		longer.Vessel.Length *= 1.05
		slit.Incised = true
		if use(deeper, n) < u || use(slit, n) < u {
			t.Fatalf("use %v falls", u)
		}
		if use(longer, n) < u*0.999 && j.Vessel.Length < 228*unit.Inch { // a longer wall may be spliced otherwise
			t.Fatalf("use %v falls with length", u)
		}
		if use(j, n+1) > u {
			t.Fatalf("%d holds use %v, %d use %v", n, u, n+1, use(j, n+1))
		}
	})
}

func faultsOf(t *testing.T, j Job) string {
	t.Helper()
	_, err := Design(j, DefaultYard())
	if err == nil {
		return ""
	}
	return err.Error()
}

// What cannot be computed is a fault with its code and the key of the brief.
func TestFaults(t *testing.T) {
	nan, inf := unit.Length(math.NaN()), unit.Length(math.Inf(1))
	for name, c := range map[string]struct {
		change func(*Job)
		want   string
	}{
		"4 km":          {func(j *Job) { j.Vessel.Length = 4000 }, "fault.range at bed.length"},
		"negative":      {func(j *Job) { j.Vessel.Width = -1 }, "fault.range at bed.width"},
		"zero width":    {func(j *Job) { j.Vessel.Width = 0 }, "fault.range at bed.width"},
		"NaN":           {func(j *Job) { j.Depth = nan }, "fault.range at bed.depth"},
		"infinite":      {func(j *Job) { j.Vessel.Length = inf }, "fault.range at bed.length"},
		"no depth":      {func(j *Job) { j.Depth = 0 }, "fault.range at bed.depth"},
		"no board":      {func(j *Job) { j.SideBoard = Size{} }, "frame.fault.nosize at bed.side board"},
		"odd board":     {func(j *Job) { j.EndBoard = Size{2, 7} }, "frame.fault.nosize at bed.end board"},
		"four boards":   {func(j *Job) { j.Courses = 4 }, "fault.range at bed.boards"},
		"oak":           {func(j *Job) { j.Species = "oak" }, "frame.fault.lumber at bed.lumber"},
		"minus 1 hold":  {func(j *Job) { j.Holds = HoldsASide(-1) }, "fault.range at bed.holds"},
		"million holds": {func(j *Job) { j.Holds = HoldsASide(1e6) }, "fault.range at bed.holds"},
		"NaN gap":       {func(j *Job) { j.Raft.Gap = nan }, "fault.range at raft.gap"},
		"minus level":   {func(j *Job) { j.LevelError = -1 }, "fault.range at bed.level error"},
		"NaN mass":      {func(j *Job) { j.ExtraMass = unit.Mass(math.NaN()) }, "fault.range at raft"},
		"NaN hose":      {func(j *Job) { j.Hose = unit.Flow(math.NaN()) }, "fault.range at bed.hose"},
		"beds":          {func(j *Job) { j.Count = -3 }, "fault.range at bed.count"},
		"jar":           {func(j *Job) { j.Vessel.Length = unit.Inch }, "fault.range at bed.length"},
	} {
		j := pine()
		c.change(&j)
		if got := faultsOf(t, j); !strings.Contains(got, c.want) {
			t.Errorf("%s: %q", name, got)
		}
	}
	all := faultsOf(t, Job{Vessel: Vessel{Length: -1, Width: nan}, Depth: inf})
	if n := strings.Count(all, "\n") + 1; n < 5 {
		t.Errorf("only %d faults at once: %s", n, all)
	}
}

// Beds that cannot stand stop with the reason.
func TestStops(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Job)
		want   finding.ID
	}{
		"water over the wall":      {func(j *Job) { j.Depth = 8 * unit.Inch }, FindOvertop},
		"over the wall at one end": {func(j *Job) { j.Depth, j.LevelError = 7*unit.Inch, unit.Inch }, FindOvertopLevel},
		"one by eight":             {func(j *Job) { j.SideBoard = Size{1, 8} }, FindUngraded},
		"six by eight":             {func(j *Job) { j.SideBoard = Size{6, 8} }, FindUngraded},
		"plywood":                  {func(j *Job) { j.Wall = PlywoodWall }, FindNoMethod},
		"concrete block":           {func(j *Job) { j.Wall = BlockWall }, FindNoMethod},
		"pallets":                  {func(j *Job) { j.Wall = SalvageWall }, FindNoMethod},
		"plain corner":             {func(j *Job) { j.PlainCorner = true }, FindEndGrain},
		"30 ft unheld":             {func(j *Job) { j.Vessel.Length = 30 * unit.Foot }, FindSpliceFree},
		"spliced between far holds": {func(j *Job) {
			j.Species, j.SideBoard, j.EndBoard, j.Depth = "northern-white-cedar-2", Size{2, 12}, Size{2, 12}, 10*unit.Inch
			j.Vessel.Length, j.Holds = 32*unit.Foot, HoldsASide(1)
		}, FindSpliceWeak},
		"stakes on a deck": {func(j *Job) { j.Holds, j.HoldBy, j.Support = HoldsASide(1), Stake, Deck }, FindStakeGround},
		"stakes in mulch":  {func(j *Job) { j.Holds, j.HoldBy, j.Soil = HoldsASide(1), Stake, SoftSoil }, FindStakeSoft},
		"deck":             {func(j *Job) { j.Support = Deck }, FindDeckStop},
		"suspended floor":  {func(j *Job) { j.Support = SuspendedFloor }, FindDeckStop},
		"roof":             {func(j *Job) { j.Support = Roof }, FindRoof},
		"12 ft wide":       {func(j *Job) { j.Vessel.Length, j.Vessel.Width = 16*unit.Foot, 12*unit.Foot }, FindRange},
		"60 ft long":       {func(j *Job) { j.Vessel.Length = 60 * unit.Foot }, FindRange},
		"pool":             {func(j *Job) { j.Depth = 24 * unit.Inch }, FindDeep},
		"ties that cannot carry it": {func(j *Job) {
			j.Depth, j.SideBoard, j.EndBoard, j.Courses, j.Holds, j.Vessel.Length = 14*unit.Inch, Size{2, 12}, Size{2, 12}, 2, HoldsASide(1), 10*unit.Foot
		}, FindHoldFails},
	} {
		j := pine()
		c.change(&j)
		b := must(t, j)
		if b.Verdict != NotHolding || !has(b, c.want) {
			t.Errorf("%s: %v, %v", name, b.Verdict, b.Findings)
		}
	}
}

// On a deck 20 psf is the line: brim plus 4 psf (structure methods section 5).
func TestDeckRule(t *testing.T) {
	tub := Job{Vessel: Vessel{Shape: TubShape, Length: unit.Metre, Width: unit.Metre, Wall: 3 * unit.Inch}, Depth: 2 * unit.Inch, Support: Deck}
	b := must(t, tub)
	near(t, "psf", b.Floor.Full.PoundsPerSquareFoot(), 62.4/4+4, 1e-6)
	if !has(b, FindDeck) || has(b, FindDeckStop) {
		t.Errorf("%v", b.Findings)
	}
	tub.Vessel.Wall = 3.2 * unit.Inch // 20.6 psf
	if b = must(t, tub); !has(b, FindDeckStop) {
		t.Errorf("%v", b.Findings)
	}
	// A tub of 37 L weighs less than a person, and is told so; two as heavy together do
	// not, and each of the two figures that the stop names passes.
	small := Job{Vessel: Vessel{Shape: TubShape, Length: 60 * unit.Centimetre, Width: 40 * unit.Centimetre, Wall: 20 * unit.Centimetre}, Depth: 15 * unit.Centimetre, Support: Deck, OpenToRain: true}
	if b = must(t, small); !has(b, FindDeckLight) || has(b, FindDeckStop) || b.Floor.Mass > onePerson || b.Floor.Full <= deckLimit {
		t.Errorf("%v %v", b.Floor, b.Findings)
	}
	for _, spread := range []func(*Job){func(j *Job) { j.Count = 2 }, func(j *Job) { j.Vessel.Length = 90 * unit.Centimetre }, func(j *Job) { j.Vessel.BaseLength, j.Vessel.Length = j.Vessel.Length, unit.Metre }} {
		big := small
		spread(&big)
		b = must(t, big)
		if !has(b, FindDeckStop) {
			t.Fatalf("%v", b.Findings)
		}
		area, wall := b.passesDeck()
		fits, low := big, big
		k := unit.Length(math.Sqrt(float64(area) / float64(big.Vessel.BaseArea())))
		fits.Vessel.Length, fits.Vessel.Width, fits.Vessel.BaseLength = fits.Vessel.Length*k, fits.Vessel.Width*k, fits.Vessel.BaseLength*k
		low.Vessel.Wall, low.Depth = wall, wall-unit.Inch
		for _, j := range []Job{fits, low} {
			j.Vessel.TopAt = 0
			if b = must(t, j); has(b, FindDeckStop) && b.Floor.Mass*unit.Mass(b.Job.Count) > onePerson*1.03 {
				t.Errorf("%v: %v lb", j.Vessel, b.Floor.Mass/unit.Pound)
			}
		}
	}
	tub.Support, tub.Vessel.Wall = Roof, 3*unit.Inch
	if b = must(t, tub); !has(b, FindRoof) {
		t.Error("a roof was passed")
	}
	tub.Support, tub.Vessel.Wall = Ground, 1*unit.Inch
	if b = must(t, tub); !has(b, FindTubShort) {
		t.Error("water over a tub's rim was passed")
	}
}

// Rain, the overflow and the brim of an open bed.
func TestRainAndOverflow(t *testing.T) {
	b := must(t, full())
	near(t, "notch", b.Notch.Sill.Inches(), 6.5, 1e-9)
	near(t, "after an inch", b.Rain[0].Depth.Inches(), 7, 1e-9)
	if b.Rain[0].Spilled != 0 {
		t.Errorf("an inch spills %g", float64(b.Rain[0].Spilled))
	}
	// The rim at the low end is 7.25 - 1/8 in over the mean floor: 2 in spill 7/8 in.
	near(t, "two inches spill", b.Rain[1].Spilled.Gallons(), 97*49*0.875/231, 1e-6)
	near(t, "share of the brim", float64(b.Rain[0].Share), 49/(7.25*7.25), 1e-6)
	// Weir, q = 1.84 b H^1.5: 2 in an hour on 97 x 49 in over 4 in of sill.
	q := 97 * 49 * 2 * 0.0254 * 0.0254 * 0.0254 / 3600
	near(t, "head", float64(b.Notch.Head), math.Pow(q/(1.84*0.1016), 2.0/3), 1e-6)
	j := full()
	j.Depth = 7 * unit.Inch
	if b = must(t, j); b.Notch.Possible || !has(b, FindNoNotch) || !has(b, FindFreeboard) {
		t.Errorf("no room for a notch: %v", b.Findings)
	}
}

// The raft against the wall top and the blocks under it.
func TestRaftAndWall(t *testing.T) {
	b := must(t, full())
	if !has(b, FindBlockRaft) || has(b, FindRaftLoose) {
		t.Errorf("%v", b.Findings)
	}
	j := full()
	j.Depth, j.LevelError = 7*unit.Inch, 0
	if b = must(t, j); !has(b, FindRaftLoose) {
		t.Errorf("loose raft: %v", b.Findings)
	}
	j = full()
	j.Raft.Hang, j.LevelError, j.Depth = 3*unit.Inch, unit.Inch, 3.5*unit.Inch
	if b = must(t, j); !has(b, FindGrounded) || !has(b, FindLevelBig) {
		t.Errorf("pots on the floor: %v", b.Findings)
	}
}

// Liners from sheets and rolls (S7's bed: 127.5 x 75.5 in).
func TestLinerPurchase(t *testing.T) {
	j := full()
	j.EndBoard = Size{2, 10}
	j.Count = 7
	n := must(t, j).Liner
	best := n.Options[0]
	if best.Sheet.Thickness < 6*unit.Mil || best.Pieces*best.Buy < 7 {
		t.Errorf("%+v", best)
	}
	for i, o := range n.Options {
		if i > 0 && o.PerYear < n.Options[i-1].PerYear {
			t.Error("options out of order")
		}
		if o.Sheet.Name() == "10 x 25 ft" && o.Pieces != 2 { // two lengths of 127.5 in from 300 in
			t.Errorf("a 10 x 25 lines %d", o.Pieces)
		}
		if float64(o.Pieces)*float64(n.Area) > float64(o.Sheet.Area())*(1+1e-9) {
			t.Errorf("%+v: more liners than sheet", o)
		}
	}
	if n.Buy() != "3 of 15 x 20 ft" { // without prices the least sheet a year
		t.Errorf("buy %q", n.Buy())
	}
	j.Liner.Thickness = 4 * unit.Mil
	if b := must(t, j); !has(b, FindLinerThin) {
		t.Error("4 mil was passed")
	}
	j.Liner.Thickness = 200 * unit.Mil
	if b := must(t, j); !has(b, FindLinerThick) {
		t.Error("200 mil is not sold")
	}
	j.Liner.Thickness, j.Vessel.Length = 45*unit.Mil, 40*unit.Foot
	if b := must(t, j); !has(b, FindLinerNone) || b.Liner.Buy() != "" {
		t.Error("no rubber sheet is 40 ft long")
	}
}

// Assumptions are listed, and only those that were made.
func TestAssumptions(t *testing.T) {
	ids := func(b Bed) string {
		var s []string
		for _, a := range b.Assumptions {
			s = append(s, string(a.ID))
		}
		return strings.Join(s, " ")
	}
	j := full()
	j.Hose, j.Liner.Turn, j.Bucket = 4*unit.LitrePerMinute, 6*unit.Inch, 10*unit.Litre
	if got := ids(must(t, j)); got != string(AssumeHoldKind) {
		t.Errorf("%q", got)
	}
	j.Holds, j.EndBoard, j.Support, j.HoldBy = HoldsASide(1), Size{}, UnknownSupport, Stake
	if got := ids(must(t, j)); got != "frame.assume_end_board frame.assume_end_holds frame.assume_soil frame.assume_support" {
		t.Errorf("%q", got)
	}
	tub := Job{Vessel: Vessel{Shape: RoundShape, Diameter: 2, BaseDiameter: 1.8}, Depth: 6 * unit.Inch, Support: Ground}
	if got := ids(must(t, tub)); got != "frame.assume_top_at frame.assume_wall_height frame.assume_hose frame.assume_bucket" {
		t.Errorf("%q", got)
	}
}

// A tie lies in a trench (structure methods, section 2: a tie joins the sides at
// the floor), and a deck has no soil to dig one in: the floor must then be raised
// by the 3-1/2 in of a 2x4. The caution does not change the tie. Where the deck does
// not carry the bed, nothing is said of trenches.
func TestTiesOnADeckNeedARaisedFloor(t *testing.T) {
	j := pine()
	j.Depth, j.Holds, j.HoldBy = 2*unit.Inch, HoldsASide(1), FloorTie
	j.Support = Deck
	if deck := must(t, j); has(deck, FindTieFloor) || !has(deck, FindDeckStop) {
		t.Errorf("%v", deck.Findings)
	}
	j.Vessel.Length, j.Vessel.Width, j.Support = 2*unit.Foot, unit.Foot, Ground
	soil := must(t, j)
	j.Support = Deck
	deck := must(t, j)
	if has(soil, FindTieFloor) || !has(deck, FindTieFloor) || soil.SideHold.Force != deck.SideHold.Force {
		t.Errorf("%v, %v", soil.Findings, deck.Findings)
	}
	for _, f := range deck.Findings {
		if f.ID == FindTieFloor && f.Args["Tie"] != 3.5*unit.Inch {
			t.Errorf("raised by %v", f.Args["Tie"])
		}
	}
}
