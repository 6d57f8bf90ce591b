package plan

import (
	"math"
	"raftwright/finding"
	"slices"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/cost"
	"raftwright/crop"
	"raftwright/mix"
	"raftwright/pool"
	"raftwright/raft"
	"raftwright/season"
	"raftwright/unit"
	"raftwright/usual"
	"raftwright/water"
)

// Each line by which somebody acts has a test of its own: one step of the figure
// away, and the test fails.

func lineMaker(text string) *maker {
	b, _ := brief.Parse("test.yaml", []byte(text))
	return &maker{Plan: Plan{Brief: b, Beds: 1, Crop: crop.Default().Crops()[0]}, book: DefaultBook()}
}

// A quart of white paint covers three foam sheets of 4 by 8 ft on their upper side (a
// gallon covers about 400 ft2, common practice; a quart 100 ft2).
func TestLinePaint(t *testing.T) {
	for sheets, want := range map[int]float64{1: 1, 3: 1, 4: 2, 7: 3} {
		m := lineMaker("raft: {sheet: [4 ft, 8 ft]}")
		m.Raft = &raft.Raft{SheetsToBuy: sheets, Holes: 32}
		i := slices.IndexFunc(m.raftNeeds(1), func(n cost.Need) bool { return n.Name == "need.paint" })
		if got := m.raftNeeds(1)[i].Quantity; got != want {
			t.Errorf("%d sheets: %v quarts, want %v", sheets, got, want)
		}
	}
}

// Without a season a raft carries five crops a year; with one, as many as its calendar
// has in a year, at least one.
func TestLineCropsAYear(t *testing.T) {
	m := lineMaker("raft: {sheet: [4 ft, 8 ft]}")
	if got := m.cropsPerYear(); got != 5 {
		t.Errorf("%v crops in a year that nobody knows", got)
	}
	day := func(n int) time.Time { return time.Date(2027, 1, 1+n, 0, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		crops float64
		days  int // from the first planting to the last harvest
		want  float64
	}{{0, 0, 1}, {0.4, 60, 1}, {2.5, 200, 2.5}, {14, 365, 14}, {21, 1096, 7}} {
		m.Season = &season.Season{CropsPerYear: c.crops, Batches: []season.Batch{{SetOut: day(0)}, {Harvest: day(c.days)}}}
		if got := m.cropsPerYear(); math.Abs(got-c.want) > 0.01 {
			t.Errorf("%v crops in %d days: %v a year, want %v", c.crops, c.days, got, c.want)
		}
	}
}

// A pack that outlasts a crop is bought whole and shared by the crops that it feeds;
// screws come by the ten (common practice).
func TestLineWholePacksAreBought(t *testing.T) {
	m := lineMaker("shelf: [{name: a, label: 20-20-20, pack: 1 kg, price: 8 USD}]")
	for grams, want := range map[float64]float64{999: 1, 1001: 2, 2500: 3} {
		n := m.byThePack(cost.Need{Quantity: grams / 1000}, m.Brief.Shelf[0])
		if n.Quantity != want || n.Unit != "pack" {
			t.Errorf("%v g of a pack of 1 kg: %v %s", grams, n.Quantity, n.Unit)
		}
	}
	if n := m.byThePack(cost.Need{Quantity: 0.4}, m.Brief.Shelf[0]); !n.Once || math.Abs(n.Life-2.5/5) > 1e-9 {
		t.Errorf("a pack for 2.5 crops, five of them a year: lasts %v years, bought once %v", n.Life, n.Once)
	}
	if n := m.byThePack(cost.Need{Quantity: 0.6}, m.Brief.Shelf[0]); n.Once {
		t.Error("a pack that is used up in two crops is bought for each")
	}
}

// The work of holding a side is priced so that holds are not free: six of the plan's
// currency for driving a stake, two for the trench of a tie (own guess).
func TestLineHoldWork(t *testing.T) {
	m := lineMaker("bed: {length: 97 in}")
	m.priceWood()
	if p := m.wood; p.Stake != 6 || p.Tie != 2 {
		t.Errorf("a stake is %v, a tie %v", p.Stake, p.Tie)
	}
}

// Where a strong acid must not be printed, rain water is mixed in until 35 mg/L as
// CaCO3 of alkalinity are left, the middle of the 30 to 40 that are kept to hold the
// pH steady (usual advice, from memory): of 215 mg/L five sixths are taken out.
func TestLineKeptAlkalinity(t *testing.T) {
	p := made(t, Water, well+"acid: {product: sulfuric 93 %, target ph: 5.8}\nsite: {children: live here}")
	if p.Safer == nil {
		t.Fatal("a strong acid is printed where children live")
	}
	if got := float64(p.Safer.Rain); math.Abs(got-(1-35.0/215)) > 0.002 {
		t.Errorf("%v rain water, want %v", got, 1-35.0/215)
	}
}

// A mild acid does it with 5 mmol in a liter where it was asked for, and half of that
// where nobody asked; and with no more phosphorus than 58 mg/L, which a leaflet allows.
func TestLineMildAcid(t *testing.T) {
	if mostSafer != 5*unit.MillimolePerLitre || mostProposed != 2.5*unit.MillimolePerLitre {
		t.Errorf("at most %v, proposed %v", mostSafer, mostProposed)
	}
	for _, c := range []struct {
		mmol unit.MolarConcentration
		p    unit.MassConcentration
		want bool
	}{{4.9, 0, true}, {5.1, 0, false}, {1, 57, true}, {1, 59, false}, {0, 0, false}} {
		d := &water.Dose{Amount: c.mmol * unit.MillimolePerLitre, P: c.p * unit.MilligramPerLitre}
		if enough(d, mostSafer) != c.want {
			t.Errorf("%v mmol/L with %v mg/L of phosphorus: enough is %v", float64(c.mmol), float64(c.p), !c.want)
		}
	}
}

// Phosphoric acid is sold at 85 %; with children about it is taken from the shelf at 30 %
// and no stronger.
func TestLineShelfAcid(t *testing.T) {
	for site, list := range map[string]map[unit.Fraction]int{"{kind: market, children: none}": {0.85: 1, 0.87: 0}, "{kind: school}": {0.30: 1, 0.31: 0}} {
		for purity, want := range list {
			m := lineMaker("site: " + site)
			m.Shelf = []mix.Material{{Name: "acid", Formula: "H3PO4", Purity: purity}}
			if got := len(m.shelfAcids()); got != want {
				t.Errorf("%s: %v phosphoric acid is taken from the shelf: %d", site, purity, got)
			}
		}
	}
}

// Lamps that are offered shine with 200 µmol/m²/s at the plants (from memory: teaching texts say 200 to 250 for lettuce). Of the usual 2.5 µmol/J they draw
// 80 W over each square meter.
func TestLineOfferedLamps(t *testing.T) {
	m := lineMaker("bed: {count: 2}")
	m.Beds, m.job = 2, &season.Job{Crop: m.Crop}
	m.job.Bed.Area = 3 * unit.SquareMetre
	m.Season = &season.Season{Short: &season.Shortfall{Missed: map[season.Reason]int{season.TooDark: 1}}}
	for _, x := range m.tries() {
		if x.Way == UnderLamps {
			if got := x.Args["Power"].(unit.Power); math.Abs(float64(got)-2*3*80) > 1e-6 {
				t.Errorf("%v W", float64(got))
			}
			return
		}
	}
	t.Error("no lamps are offered where it is too dark")
}

// A tub that is too heavy for its floor is offered with a lower wall and an inch of it dry, where four inches of water are left: less does not hold
// the pots and a day's drink (own choice).
func TestLineLeastTub(t *testing.T) {
	for wall, want := range map[float64]string{5.2: "4 in", 5: "4 in", 4.9: ""} {
		m := mender{plan: lineMaker("bed: {vessel: tub}"), given: map[finding.Path]string{}}
		got := ""
		for _, w := range m.lightWays(finding.Finding{Args: finding.Args{"Wall": unit.Length(wall) * unit.Inch, "Area": unit.SquareMetre}}) {
			for _, c := range w {
				if c.Path == "bed.depth" {
					got = c.Value
				}
			}
		}
		if got != want {
			t.Errorf("a wall of %v in: water of %q, want %q", wall, got, want)
		}
	}
}

// Acid by a guess of the water ends above the pH that is wanted, for the powders take it on from there, and within what is well (our choice).
func TestLineStopPH(t *testing.T) {
	if StopPH <= usual.PH || StopPH > (usual.PH+mix.MostWellPH)/2 {
		t.Errorf("it ends at pH %v, wanted is %v, well is up to %v", StopPH, usual.PH, mix.MostWellPH)
	}
}

// Each type of expanded foam (ASTM C578) is itself to the heat balance: type II is the usual white board, the others have its number in their name.
func TestLineFoamOfTheBalance(t *testing.T) {
	for roman, want := range map[string]pool.Foam{"I": "eps-1", "II": "eps", "VIII": "eps-8", "IX": "eps-9", "XI": "eps-11", "XIV": "eps-14", "XV": "eps-15"} {
		if expandedFoam[roman] != want {
			t.Errorf("type %s is %q", roman, expandedFoam[roman])
		}
	}
	if len(expandedFoam) != 7 {
		t.Error(expandedFoam)
	}
}

// A closer spacing is worth a sentence where it has more than 15 % more holes (own choice), as many as the crop bears at its closest.
func TestLineRoomier(t *testing.T) {
	m := lineMaker("bed: {count: 2}")
	m.Beds, m.job = 2, &season.Job{Crop: m.Crop}
	const holes = 200
	m.job.Bed.Area = unit.Area((holes + 0.5) / float64(m.Crop.Plants.Max))
	for now, want := range map[int]bool{173: true, 175: false} { // 200 are 15.6 and 14.3 % more
		m.Season = &season.Season{Holes: now, Short: &season.Shortfall{Missed: map[season.Reason]int{season.Room: 1}}}
		tries := m.tries()
		i := slices.IndexFunc(tries, func(x try) bool { return x.Way == Closer })
		if (i >= 0) != want || want && tries[i].Args["Holes"] != holes {
			t.Errorf("%d holes in place of %d: offered %v", holes, now, i >= 0)
		}
	}
}

// Of a tub that is bought for the bed an inch and a half stay dry (own choice): of one that is six inches high, the smallest that is sold, four and a half hold water.
func TestLineTubRim(t *testing.T) {
	for text, want := range map[string]unit.Length{
		"bed: {vessel: tub, support: deck}": 4.5 * unit.Inch, "bed: {vessel: tub, support: deck, depth: 5 in}": 5 * unit.Inch, "bed: {vessel: tub}": usual.Depth,
	} {
		m := lineMaker(text)
		if m.size(); math.Abs((m.vessel.depth - want).Inches()) > 1e-6 {
			t.Errorf("%s: %v in of water, want %v", text, m.vessel.depth.Inches(), want.Inches())
		}
	}
}

// What a floor carries of a tub is hardly any of it below two fifths of its floor (own judgment): then the slab on the soil is near. A deck has none.
func TestLineLeastLeft(t *testing.T) {
	for _, c := range []struct {
		support string
		share   unit.Area
		want    bool
	}{{"floor", 0.39, true}, {"floor", 0.41, false}, {"deck", 0.39, false}} {
		m := mender{plan: lineMaker("bed: {vessel: tub, length: 5 ft, width: 3 ft, base length: 58 in, base width: 34 in, support: " + c.support + "}")}
		m.plan.size()
		if got := m.tiny(finding.Finding{Args: finding.Args{"Area": c.share * 58 * 34 * unit.SquareInch}}); got != c.want {
			t.Errorf("%v of a floor on a %s: %v", float64(c.share), c.support, got)
		}
	}
}
