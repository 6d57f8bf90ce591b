package packet_test

import (
	"slices"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/mix"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/raft"
	"raftwright/unit"
	"raftwright/usual"
)

// Whoever has the paper alone learns from the shopping face what to buy beside the shelf, and from the
// card at the bed the acid of a top-up, as the plan has it.
func TestThePaperTellsWhatToBuyAndTheAcidOfATopUp(t *testing.T) {
	const brief = "site: {place: 14850}\nbed: {length: 8 ft, width: 4 ft}\nwater: {kind: hard}\n"
	_, _, p := printed(t, brief+"shelf: [{name: one bag, label: 5-12-26, nitrate-n: 5 %}]\n")
	w := words(t, lang.US)
	buy := flat(told(t, packet.Faces(p, w, packet.Options{}, "buy")))
	if p.Mix.Buy == nil || !strings.Contains(buy, "Buy calcium nitrate") && !strings.Contains(buy, "Buy "+p.Mix.Buy.Goods[0].Product) {
		t.Errorf("the face does not say what to buy: %s", buy)
	}
	if card := flat(told(t, packet.Faces(p, w, packet.Options{}, "card"))); p.Mix.Acid.Dose <= 0 || !strings.Contains(card, "citric acid") {
		t.Errorf("the card at the bed has no acid: %s", card)
	}
}

// The line to fill to strikes no word of the dipstick: words of 9 and 9.5 points stand from
// their foot to 7 points above it, with tails of 2 below.
func TestFillLineStrikesNoWord(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, depth := range []string{"6 in", "5-1/16 in", "5-1/8 in", "152 mm", "150 mm", "148 mm"} {
		_, _, p := printed(t, "bed: {length: 97 in, width: 49 in, depth: "+depth+"}\n")
		for _, u := range []lang.Units{lang.US, lang.Metric} {
			walk(packet.Faces(p, words(t, u), packet.Options{}, "card"), func(_ page.Section, b page.Block) {
				f, ok := b.(page.Figure)
				if !ok || f.Drawing.ID != "dipstick" {
					return
				}
				line := p.Frame.Job.Depth
				for _, x := range f.Drawing.Items {
					if s, ok := x.(draw.Text); ok {
						foot := float64((s.At.Y-line)/unit.Inch)*72 + float64(s.Dy)
						if foot < 2.5 && foot > -7.5 {
							t.Errorf("%s: the line strikes %q, %.1f points above it", depth, s.Text, foot)
						}
					}
				}
			})
		}
	}
}

// facesOf gives the plan of a brief and a printer in this language and these units.
func facesOf(t *testing.T, text, language string, u lang.Units) (plan.Plan, *lang.Printer) {
	t.Helper()
	_, _, p := printed(t, text)
	w, err := lang.For(language, u)
	if err != nil {
		t.Fatal(err)
	}
	return p.In(language), w
}

// On paper stand the names of things, not the words in which a brief writes them.
func TestNamesNotKeysOnPaper(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		p, w := facesOf(t, "bed: {length: 8 ft, width: 4 ft}\ncrop: {name: lettuce}\n", language, lang.US)
		text := told(t, packet.Working(p, w, packet.Options{}))
		if strings.Contains(text, usual.Lumber) || strings.Contains(text, "como leaf") {
			t.Errorf("%s: a key stands on paper", language)
		}
		if name := w.Say("plan.lumber", nil); usual.Lumber != "southern-pine-2" || !strings.Contains(text, name) {
			t.Errorf("%s: the lumber is %s, and the paper does not say %q", language, usual.Lumber, name)
		}
	}
}

// Cans are counted in the plural of the language.
func TestCansAreCounted(t *testing.T) {
	_, w := facesOf(t, bed, "es", lang.US)
	if one, four := w.With("1", "quart"), w.With("4", "quart"); one != "1 lata 1/4 gal" || four != "4 latas 1/4 gal" {
		t.Errorf("%q, %q", one, four)
	}
}

// Where the water was guessed, by its kind or altogether, the first face asks for a test.
func TestGuessedWaterIsToBeTested(t *testing.T) {
	for water, asks := range map[string]bool{"": true, "water: {kind: soft}\n": true, "water: {ph: 7.6, alkalinity: 180 mg/L CaCO3}\n": false} {
		p, w := facesOf(t, "bed: {length: 6 ft, width: 3 ft}\n"+water, "en", lang.US)
		if strings.Contains(flat(told(t, packet.Faces(p, w, packet.Options{}, "make"))), flat(w.Say("face.make.water_ask", nil))) != asks {
			t.Errorf("%q: asks for a test: %v", water, !asks)
		}
	}
}

// A board on the list bears the letters of what is cut from its length: the cutting face says which.
func TestBoardsBearTheLettersOfTheirCuts(t *testing.T) {
	p, w := facesOf(t, "bed: {length: 8 ft, width: 4 ft}\n", "en", lang.US)
	text := flat(told(t, packet.Faces(p, w, packet.Options{}, "buy")))
	if len(p.Boards.Jobs) == 0 || !strings.Contains(text, "2x8 board, 8 ft A 2") || !strings.Contains(text, "2x8 board, 10 ft B 1") {
		t.Error(text)
	}
}

// On a deck nobody is told to call before stakes are driven: there is a stop.
func TestNoStakesOnADeck(t *testing.T) {
	for support, calls := range map[string]bool{"ground": true, "deck": false} {
		p, w := facesOf(t, "bed: {length: 97 in, width: 49 in, depth: 8 in, hold with: stake, support: "+support+"}\n", "en", lang.US)
		if got := strings.Contains(told(t, packet.Working(p, w, packet.Options{})), "(call 811"); got != calls {
			t.Errorf("%s: 811 %v", support, got)
		}
	}
}

// A raft that sinks has no foam above the water, and foam past its strength breaks: neither is told as a figure.
func TestNoFigureOfWhatCannotBe(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		p, w := facesOf(t, "bed: {length: 2.4 m, width: 1.2 m}\nraft: {thickness: 5 mm, spacing: 100 mm, edge: 60 mm}\n", language, lang.Metric)
		text := flat(told(t, accounts(p, w, packet.Options{})))
		if p.Raft.Float.Freeboard >= 0 || p.Raft.Lift.Use < 1 {
			t.Fatal(p.Raft.Float.Freeboard, p.Raft.Lift.Use)
		}
		breaks := w.Finding(finding.Finding{ID: raft.FindLiftBreaks, Args: finding.Args{"Breaks": true}})
		for _, want := range []string{breaks, w.Say("packet.raft.float", finding.Args{"Planted": p.Raft.Float.Draft, "Grown": p.Raft.Float.DraftGrown, "Under": true})} {
			if !strings.Contains(text, want) || strings.Contains(want, "%") {
				t.Errorf("%s: %q is not told", language, want)
			}
		}
	}
}

// Whoever reads in centimeters is not told of inches of water.
func TestDrowningInTheReadersUnits(t *testing.T) {
	for _, id := range []string{"packet.safety.children.1", "leader.aloud.1"} {
		for language, words := range map[string][2]string{"en": {"inches", "centimeters"}, "es": {"pulgadas", "centímetros"}} {
			for i, u := range []lang.Units{lang.US, lang.Metric} {
				w, err := lang.For(language, u)
				if text := w.Say(id, nil); err != nil || !strings.Contains(text, words[i]) || strings.Contains(text, words[1-i]) {
					t.Errorf("%s: %q", language, text)
				}
			}
		}
	}
}

// Gloves and sleeves stay off the bit at the leader's station too.
func TestStationOfTheRaftKeepsGlovesOffTheBit(t *testing.T) {
	w := words(t, lang.US)
	ws := workshopOf(t, workshopBrief, 3)
	if !strings.Contains(allWords(packet.Leader(ws, w, packet.Options{})), w.Say("packet.raft.drill", nil)) {
		t.Error("the station of the raft does not say it")
	}
}

// A break stands in the calendar as a line of its own, between the weeks before and after it.
func TestABreakHasItsLine(t *testing.T) {
	for language, want := range map[string][3]string{"en": {"Jun 28", "Jul 3", "Jul 12"}, "es": {"28 jun", "3 jul", "12 jul"}} {
		p := planOf(t, "../examples/demo.yaml")
		w, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		said := strings.ReplaceAll(flat(told(t, packet.Faces(p, w, packet.Options{}, "calendar"))), page.Glue, " ")
		line := w.Say("packet.calendar.break", finding.Args{"From": w.MonthDay(7, 3), "To": w.MonthDay(7, 11)})
		at := strings.Index(said, line)
		if before, after := strings.Index(said, want[0]), strings.LastIndex(said, want[2]); !strings.Contains(line, want[1]) || before < 0 || at < before || after < at {
			t.Errorf("%s: %q stands at %d, the weeks about it at %d and %d\n%s", language, line, at, before, after, said)
		}
	}
}

// A break after the last work has its line too, at the end, and so has every break in large print.
func TestABreakAfterTheLastWorkHasItsLine(t *testing.T) {
	p, w := planOf(t, "../examples/demo.yaml"), words(t, lang.US)
	b, faults := p.Brief.Set("schedule.breaks", "[{from: 2027-07-03, to: 2027-07-11}, {from: 2027-12-20, to: 2028-01-03}]")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p.Brief = b
	last := w.Say("packet.calendar.break", finding.Args{"From": w.MonthDay(12, 20), "To": w.MonthDay(1, 3)})
	first := w.Say("packet.calendar.break", finding.Args{"From": w.MonthDay(7, 3), "To": w.MonthDay(7, 11)})
	for _, large := range []bool{false, true} {
		var lines []string
		walk(packet.Faces(p, w, packet.Options{Large: large}, "calendar"), func(_ page.Section, b page.Block) {
			if t, ok := b.(page.Table); ok {
				for _, r := range t.Rows {
					lines = append(lines, r.Cells[0].Plain())
				}
			}
		})
		if at := slices.Index(lines, first); at < 1 || slices.Index(lines, last) != len(lines)-1 {
			t.Errorf("large %v: %q", large, lines)
		}
	}
}

// The heights of the screws stand inside the picture of the corner, 3 points clear of its frame, however long the unit.
func TestHeightsOfScrewsStandInTheirPicture(t *testing.T) {
	for _, language := range []string{"en", "es"} {
		for _, large := range []bool{false, true} {
			p, w := facesOf(t, "bed: {length: 8 ft, width: 4 ft}\n", language, lang.US)
			n := 0
			walk(packet.Faces(p, w, packet.Options{Large: large}, "frame"), func(_ page.Section, b page.Block) {
				f, ok := b.(page.Figure)
				if !ok || f.Drawing.ID != "step-corner" {
					return
				}
				wide := draw.OnPaper(84 * unit.Millimetre)
				if large {
					wide *= 2
				}
				for _, x := range f.Drawing.Items {
					if s, ok := x.(draw.Text); ok {
						if n++; s.Anchor == draw.Start && draw.OnPaper(s.At.X)+draw.TextWidth(s.Text, s.Size, false) > wide-3 || s.Anchor == draw.End && draw.OnPaper(s.At.X)-draw.TextWidth(s.Text, s.Size, false) < 3 {
							t.Errorf("%s, large %v: %q runs into the frame", language, large, s.Text)
						}
					}
				}
			})
			if n < 4 {
				t.Errorf("%d words", n)
			}
		}
	}
}

// One hole is one, and creek water is told of where it is poured in.
func TestOneHoleIsOne(t *testing.T) {
	const brief = "site: {latitude: 40, months: [{tmax: 4 C, tmin: -3 C}, {tmax: 6 C, tmin: -2 C}, {tmax: 10 C, tmin: 2 C}, {tmax: 16 C, tmin: 7 C}, {tmax: 22 C, tmin: 12 C}, {tmax: 27 C, tmin: 18 C}, {tmax: 29 C, tmin: 21 C}, {tmax: 29 C, tmin: 20 C}, {tmax: 25 C, tmin: 16 C}, {tmax: 18 C, tmin: 10 C}, {tmax: 12 C, tmin: 5 C}, {tmax: 7 C, tmin: 0 C}]}\n" +
		"bed: {vessel: tub, length: 22 in, width: 15 in, wall height: 12 in, depth: 10 in}\nraft: {spacing: 12 in}\nwater: {name: creek water}\ncrop: {name: lettuce}\nschedule: {people: 1, first harvest: 2027-05-15, last harvest: 2027-10-15}\n"
	paper, terminal, p := printed(t, brief)
	for _, text := range []string{flat(paper), flat(terminal)} {
		if strings.Contains(text, "the 1 holes") || !strings.Contains(text, "one hole has no room") || !strings.Contains(text, "can carry germs") {
			t.Error("the paper tells of the 1 holes, or not of one hole or of the creek")
		}
	}
	spanish, err := lang.For("es", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	for id, want := range map[finding.ID]string{"season.shortfall": "no hay lugar en un solo agujero", "water.open": "gérmenes"} {
		i := slices.IndexFunc(p.Findings, func(f finding.Finding) bool { return f.ID == id })
		if i < 0 || !strings.Contains(spanish.Finding(p.Findings[i]), want) {
			t.Errorf("%s is not told in Spanish: %q", id, want)
		}
	}
}

// Of a mix that holds more salt than its crop does well with no sheet says that all is well.
func TestNoSaltyMixIsWell(t *testing.T) {
	const brief = "bed: {length: 16 ft, width: 4 ft}\nwater: {ec: EC mS/cm, ph: 7.2, alkalinity: 60 mg/L CaCO3, calcium: 90 mg/L, magnesium: 20 mg/L, sodium: NA mg/L, chloride: CL mg/L, sulfate: 30 mg/L}\n" +
		"shelf: [{name: calcium nitrate}, {name: potassium nitrate}, {name: monopotassium phosphate}, {name: Epsom salt}, {name: iron EDTA}]\n"
	for _, c := range []struct {
		text  string
		salty bool
	}{{strings.NewReplacer("EC", "3.1", "NA", "460", "CL", "820").Replace(brief), true}, {strings.NewReplacer("EC", "0.6", "NA", "20", "CL", "120").Replace(brief), false}} {
		paper, terminal, p := printed(t, c.text)
		_, told := findingOf(p, mix.FindSalty)
		for _, text := range []string{flat(paper), flat(terminal)} {
			if well := strings.Contains(text, "All is well from EC") || strings.Contains(text, "All is well between"); well == c.salty || told != c.salty {
				t.Errorf("EC %v, told as salty: %v; said to be well: %v", p.Mix.EC, told, well)
			}
		}
	}
}

func findingOf(p plan.Plan, id finding.ID) (finding.Finding, bool) {
	i := slices.IndexFunc(p.Findings, func(f finding.Finding) bool { return f.ID == id })
	if i < 0 {
		return finding.Finding{}, false
	}
	return p.Findings[i], true
}
