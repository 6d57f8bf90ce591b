package packet_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/unit"
)

func faceIDs(d page.Document) []string {
	var out []string
	for _, s := range d.Sections {
		out = append(out, s.ID)
	}
	return out
}

// The faces stand in the order of the work, and a part prints its faces alone, as they are.
func TestFacesInTheOrderOfTheWork(t *testing.T) {
	p, w := planOf(t, "../examples/demo.yaml"), words(t, lang.US)
	whole := packet.Faces(p, w, packet.Options{})
	want := []string{"make", "buy", "cut", "frame", "liner", "raft", "mix", "card", "calendar", "log"}
	if got := faceIDs(whole); !slices.Equal(got, want) {
		t.Errorf("faces %v", got)
	}
	var seen []string
	for _, part := range []string{"builder", "card", "bed", "calendar", "log"} {
		seen = append(seen, faceIDs(packet.Faces(p, w, packet.Options{}, packet.Side(part)...))...)
	}
	if !slices.Equal(seen, want) {
		t.Errorf("the parts print %v", seen)
	}
	if packet.Side("faces") != nil || len(packet.Faces(planOf(t, "../examples/tank.yaml"), w, packet.Options{}, "frame").Sections) > 0 {
		t.Error("a tank has a frame")
	}
}

// A stop stands on every face of what must not be built, and on no other.
func TestStopsStandWhereItWouldBeBuilt(t *testing.T) {
	d := packet.Faces(planOf(t, "../examples/school.yaml"), words(t, lang.US), packet.Options{})
	stops := map[string]bool{}
	walk(d, func(s page.Section, b page.Block) {
		if c, ok := b.(page.Caution); ok && c.Severity == finding.Stop {
			stops[s.ID] = true
		}
	})
	for _, id := range faceIDs(d) {
		if want := slices.Contains([]string{"make", "buy", "cut", "frame", "liner"}, id); stops[id] != want {
			t.Errorf("face %s: a stop %v", id, stops[id])
		}
	}
}

// Every letter of the bed taken apart stands in the list of parts, and the other way round.
func TestLettersOfThePartsAgree(t *testing.T) {
	for _, path := range someExamples(t) {
		drawn, listed := map[string]bool{}, map[string]bool{}
		walk(packet.Faces(planOf(t, path), words(t, lang.US), packet.Options{}), func(s page.Section, b page.Block) {
			switch b := b.(type) {
			case page.Figure:
				if b.Drawing.ID == "exploded" {
					for _, it := range b.Drawing.Items {
						if tag, ok := it.(draw.Tag); ok {
							drawn[tag.Text] = true
						}
					}
				}
			case page.Table:
				if s.ID == "make" {
					for _, r := range b.Rows {
						listed[r.Cells[0].Plain()] = true
					}
				}
			}
		})
		for _, hidden := range []string{"J", "K", "L"} { // pots, cleats and splices are not drawn apart
			delete(listed, hidden)
		}
		for l := range drawn {
			if !listed[l] {
				t.Errorf("%s: part %s is drawn and not listed", path, l)
			}
		}
		if len(drawn) > 0 && len(listed) != len(drawn) {
			t.Errorf("%s: %v drawn, %v listed", path, drawn, listed)
		}
	}
}

// The figures of the steps, worked by hand for the demonstration: 97 by 49 in have diagonals of
// sqrt(97^2 + 49^2) = 108.67 in; a 2x4 on edge is 3-1/2 in deep (PS 20-20); an inch of water is
// 97 x 49 / 231 = 20.6 gal.
func TestFiguresOfTheSteps(t *testing.T) {
	p, w := planOf(t, "../examples/demo.yaml"), words(t, lang.US)
	text := flat(told(t, packet.Faces(p, w, packet.Options{})) + told(t, packet.Faces(p, w, packet.Options{Large: true}, "card"))) // in large print a table stands for the scales
	for _, want := range []string{"Both measure 108-11/16 in.", "Dig a trench 3-1/2 in deep", "Its bottom is 6-1/2 in above the floor.", "Down 1/2 in 1 in 1-1/2 in", "Water 10.3 gal 20.6 gal 30.9 gal"} {
		if !strings.Contains(text, want) {
			t.Errorf("the faces do not say %q", want)
		}
	}
}

// Before the bed holds water stands the warning that a child can drown, and saw, drill and acid
// have their gear where they are used.
func TestWarningsStandAtTheirStep(t *testing.T) {
	d := packet.Faces(planOf(t, "../examples/demo.yaml"), words(t, lang.US), packet.Options{})
	want := map[string]string{"liner": "drown", "cut": "glasses", "frame": "glasses", "raft": "dust mask", "mix": "goggles"}
	for id, word := range want {
		first := ""
		walk(d, func(s page.Section, b page.Block) {
			if c, ok := b.(page.Caution); ok && s.ID == id && first == "" {
				for _, x := range c.Text {
					first += x.Plain() + " "
				}
			}
		})
		if !strings.Contains(first, word) {
			t.Errorf("the first warning of face %s does not speak of %s: %q", id, word, first)
		}
	}
}

// Where nobody measured the alkalinity, the mixing card and the card at the bed give the acid
// by the same rule: a quarter at a time. A tested water has its dose whole.
func TestGuessedAcidIsGivenByQuartersOnBothCards(t *testing.T) {
	w := words(t, lang.US)
	_, _, guessed := printed(t, "bed: {}\nwater: {kind: hard}\nshelf: [{name: base, label: 5-12-26}, {name: lime nitrate, label: 15.5-0-0}]\n")
	_, _, tested := printed(t, "bed: {}\nshelf: [{name: base, label: 5-12-26}, {name: lime nitrate, label: 15.5-0-0}]\nacid: {product: citric, target ph: 6}\nwater: {ph: 7.6, alkalinity: 215 mg/L CaCO3, calcium: 78 mg/L, magnesium: 11 mg/L}\n")
	for _, face := range []string{"mix", "card"} {
		for _, large := range []bool{false, true} {
			o := packet.Options{Large: large}
			if text := flat(told(t, packet.Faces(guessed, w, o, face))); !strings.Contains(text, "itric acid, by quarters") {
				t.Errorf("%s, large %v: the acid of a guess is whole", face, large)
			}
			if text := flat(told(t, packet.Faces(tested, w, o, face))); !strings.Contains(text, "itric acid") || strings.Contains(text, "quarters") {
				t.Errorf("%s, large %v: the acid of a test is by quarters", face, large)
			}
		}
	}
}

// A bed whose roots leave too little oxygen says so on a face: what brings air stands where
// it is bought.
func TestAirStandsOnAFace(t *testing.T) {
	for _, path := range []string{"../examples/demo.yaml", "../examples/home.yaml"} {
		p, w := planOf(t, path), words(t, lang.US)
		i := slices.IndexFunc(p.Findings, func(f finding.Finding) bool { return f.ID == plan.FindAirBuy })
		if i < 0 {
			t.Fatalf("%s: no air is listed", path)
		}
		on := ""
		walk(packet.Faces(p, w, packet.Options{}), func(s page.Section, b page.Block) {
			if b, ok := b.(page.Para); ok && b.Text.Plain() == w.Finding(p.Findings[i]) {
				on = s.ID
			}
		})
		if on != "buy" {
			t.Errorf("%s: it stands on %q", path, on)
		}
	}
}

// A tub is built of no boards: its list warns of none, and nobody borrows a square or a
// staple gun for it.
func TestATubTakesNoBoards(t *testing.T) {
	for path, boards := range map[string]bool{"../examples/tub.yaml": false, "../examples/home.yaml": true} {
		p, w := planOf(t, path), words(t, lang.US)
		warned, gun := false, false
		walk(packet.Faces(p, w, packet.Options{}, "buy"), func(_ page.Section, b page.Block) {
			switch b := b.(type) {
			case page.Caution:
				warned = warned || slices.ContainsFunc(b.Text, func(x page.Text) bool { return x.Plain() == page.Text(w.Say("packet.safety.saw.3", nil)).Plain() })
			case page.Figure:
				for _, s := range b.Drawing.Items {
					x, ok := s.(draw.Text)
					gun = gun || ok && x.Text == w.Say("tool.staple-gun", nil)
				}
			}
		})
		if warned != boards || gun != boards {
			t.Errorf("%s: boards are warned of %v, a staple gun is borrowed %v", path, warned, gun)
		}
	}
}

// What the verdict points at stands on the first face, however long it is and however many
// beds are planned.
func TestTheFirstFaceTellsTheWorst(t *testing.T) {
	p, w := planOf(t, "../examples/home.yaml"), words(t, lang.US)
	p.Beds = 8
	first := ""
	walk(packet.Faces(p, w, packet.Options{}, "make"), func(_ page.Section, b page.Block) {
		if l, ok := b.(page.List); ok && first == "" && len(l.Items) > 0 {
			first = l.Items[0].Plain()
		}
	})
	if !strings.Contains(first, "heads you want") {
		t.Errorf("the first line is %q", first)
	}
}

// Free ammonia that can burn roots stands on the mixing card, with the pH that keeps it harmless.
// What to do about it is not cut off, in either language, and names an acid that can be bought where the plan has none.
func TestAmmoniaStandsOnTheMixingCard(t *testing.T) {
	spanish, err := lang.For("es", lang.Metric)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range [...]struct{ label, water, act, acts string }{
		{"24-8-16", "hard", "Test the pH every two days, and lower it with acid.", "Mida el pH cada dos días y bájelo con ácido."},
		{"20-20-20", "rain", "Test the pH every two days. Citric acid lowers it.", "Mida el pH cada dos días. El ácido cítrico lo baja."},
		{"5-12-26", "hard", "", ""},
	} {
		_, _, p := printed(t, "bed: {}\nwater: {kind: "+c.water+"}\nshelf: [{label: "+c.label+"}]\n")
		text, texto := flat(told(t, packet.Faces(p, words(t, lang.US), packet.Options{}, "mix"))), flat(told(t, packet.Faces(p, spanish, packet.Options{}, "mix")))
		if told := strings.Contains(text, "Keep the pH below"); told != (c.act != "") || told && !strings.Contains(text, "ammonia burns roots. "+c.act) {
			t.Errorf("%s in %s water: %v, wanted %q", c.label, c.water, told, c.act)
		}
		if told := strings.Contains(texto, "El amoníaco libre"); told != (c.acts != "") || told && !strings.Contains(texto, "El amoníaco libre quema raíces. "+c.acts) {
			t.Errorf("%s in %s water, in Spanish: %v, wanted %q", c.label, c.water, told, c.acts)
		}
	}
}

// Where what is there falls short of the crop, the mixing card does not tell a grower who left nothing out to look for a dose.
func TestAMixThatFallsShortIsNotADoseLeftOut(t *testing.T) {
	for shelf, short := range map[string]bool{
		"[{label: 15-5-15}, {name: Epsom salt}]":                                true,
		"[{name: base, label: 5-12-26}, {name: lime nitrate, label: 15.5-0-0}]": false,
	} {
		_, _, p := printed(t, "bed: {length: 70 in, width: 34 in, depth: 7 in}\nwater: {kind: hard}\ncrop: {name: kale}\nshelf: "+shelf+"\n")
		text := flat(told(t, packet.Faces(p, words(t, lang.US), packet.Options{}, "mix")))
		if lacks, left := strings.Contains(text, "Buy what it lacks first."), strings.Contains(text, "a dose was left out"); p.Mix.Works() == short || lacks != short || left == short {
			t.Errorf("%s: works %v; lacks %v, left out %v", shelf, p.Mix.Works(), lacks, left)
		}
	}
}

// What of a sheet stays free of holes is told by the tape on the sheet for drilling, in both systems; of a sheet with nothing in the way nothing is.
func TestWhatStaysClearIsTold(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for obstacles, wanted := range map[string]string{"obstacles: [{at: [10 in, 20 in], size: [5 in, 6 in]}]": "From the left edge: 10 in to 15 in. From the near edge: 20 in to 26 in.", "gap: 1/2 in": ""} {
		_, _, p := printed(t, "bed: {}\nraft: {sheet: [4 ft, 8 ft], spacing: 8 in, pattern: best, "+obstacles+"}\n")
		text := flat(told(t, packet.Faces(p, words(t, lang.US), packet.Options{}, "raft")))
		if has := strings.Contains(text, "stays clear"); has != (wanted != "") || !strings.Contains(text, wanted) {
			t.Errorf("%s: wanted %q in %s", obstacles, wanted, text)
		}
	}
}

// A liquid is told by a measuring cup wherever its amount stands: each time, for the whole bed, in a top-up, for 100 gallons and in a simpler mix; the whole bed is as many times one bucket. Where a label tells no pH, none is told beside it.
func TestALiquidIsPoured(t *testing.T) {
	_, terminal, p := printed(t, "bed: {length: 61 in, width: 37 in, depth: 5 in}\nwater: {kind: soft}\nacid: {label: 5-0-0}\nmix: {measure: spoons, bucket: 5 gal}\ncrop: {name: spinach}\nshelf: "+
		"[{name: part A, label: 5-0-1, calcium: 5 %, nitrate-n: 4.6 %, ammonium-n: 0.4 %, iron: 0.1 %, density: 1.2 g/mL}, {name: part B, label: 1-5-6, magnesium: 1.5 %, nitrate-n: 1 %, density: 1.18 g/mL}]\n")
	text, w := flat(terminal), words(t, lang.US)
	for _, d := range p.Mix.Doses {
		whole := d.PerBed / unit.Mass(map[string]float64{"part A": 1.2, "part B": 1.18}[d.Product]) * 1e3 // mL
		if v := d.Poured(d.PerBed); math.Abs(float64(v/unit.Millilitre)/float64(whole)-1) > 1e-9 || !strings.Contains(text, w.Value(v)) {
			t.Errorf("%s: the whole bed takes %v, %.1f mL by its density", d.Product, v, float64(whole))
		}
		for _, m := range []unit.Mass{d.PerBed, d.Strength.In(100 * unit.Gallon)} {
			if strings.Contains(text, " "+w.Grams(m)) {
				t.Errorf("%s: %s of a liquid", d.Product, w.Grams(m))
			}
		}
	}
	if strings.Contains(text, "level spoons of your own powder") || strings.Contains(text, "The feed alone brings the pH") {
		t.Error("spoons of a liquid, or a pH that no label tells")
	}
}

// Where nothing to buy is known nobody is sent to buy it.
func TestNobodyBuysWhatIsNotNamed(t *testing.T) {
	_, terminal, p := printed(t, "bed: {vessel: tub, length: 40 in, width: 20 in, wall height: 14 in, depth: 9 in}\nwater: {ph: 6.2, alkalinity: 28 mg/L CaCO3, calcium: 7 mg/L, magnesium: 2 mg/L, sodium: 5 mg/L, iron: 4.5 mg/L, manganese: 0.9 mg/L}\n"+
		"shelf: [{name: blue powder, label: 24-8-16, urea-n: 20.5 %, ammonium-n: 3.5 %}]\nmix: {measure: spoons, bucket: 2 gal}\ncrop: {name: kale}\n")
	if p.Mix.Works() || p.Mix.Buy != nil {
		t.Fatalf("works %v, buys: %v: no test", p.Mix.Works(), p.Mix.Buy != nil)
	}
	if text := strings.ToLower(flat(terminal)); strings.Contains(text, "buy what it lacks") || !strings.Contains(text, "is short of what the crop wants") || !strings.Contains(text, "with no shelf of yours: it then names what to buy") {
		t.Error("sent to buy what nobody names, or no way out is told")
	}
}

// Where a pump, lamps or a heater come near the bed, the page where it first holds water says how electricity is kept from it.
func TestPowerAtTheBedIsWarnedOf(t *testing.T) {
	const bed = "bed: {length: 97 in, width: 49 in%s}\nsite: {%s}\n"
	for _, c := range []struct {
		bed, site string
		want      bool
	}{{"", "pump: mains", true}, {"", "pump: battery", true}, {"", "lamp: {level: 200 umol/m2/s}", true}, {", heat to: 65 F", "kind: home", true}, {"", "pump: none", false}} {
		for language, words := range map[string][]string{"en": {"GFCI", "drip loop", "Unplug", "above the water"}, "es": {"GFCI", "vuelta de goteo", "Desenchufe", "más arriba del agua"}} {
			p, w := facesOf(t, fmt.Sprintf(bed, c.bed, c.site), language, lang.US)
			text := ""
			walk(packet.Faces(p, w, packet.Options{}, "liner"), func(_ page.Section, b page.Block) {
				if x, ok := b.(page.Caution); ok {
					text += fmt.Sprint(x.Text)
				}
			})
			for _, word := range words {
				if strings.Contains(text, word) != c.want {
					t.Errorf("%s, %s%s: %q in %q is %v", language, c.site, c.bed, word, text, !c.want)
				}
			}
		}
	}
}

// The first page names what in the water harms the crop; it is carried where the rest is not. Alkalinity is not of these: acid takes it.
func TestFirstPageTellsOfHarmfulWater(t *testing.T) {
	for _, c := range []struct{ water, en, es string }{
		{"ph: 8, alkalinity: 180 mg/L CaCO3, calcium: 2 mg/L, magnesium: 1 mg/L, sodium: 150 mg/L, chloride: 90 mg/L", "Your water holds too much for a bed: sodium. Take water from before the softener, and have it tested. Then have the plan made again", "Su agua contiene demasiado para una cama: sodio. Tome el agua de antes del ablandador y mándela analizar. Luego vuelva a hacer el plan"},
		{"ph: 7.5, alkalinity: 60 mg/L CaCO3, calcium: 60 mg/L, magnesium: 10 mg/L, boron: 1.6 mg/L", "too much for a bed: boron. Use other water", "demasiado para una cama: boro. Use otra agua"},
		{"ph: 8, alkalinity: 250 mg/L CaCO3, calcium: 80 mg/L, magnesium: 10 mg/L, sodium: 9 mg/L", "", ""},
	} {
		for language, want := range map[string]string{"en": c.en, "es": c.es} {
			p, w := facesOf(t, "bed: {length: 97 in, width: 49 in}\nwater: {"+c.water+"}\n", language, lang.US)
			text := ""
			walk(packet.Faces(p, w, packet.Options{}, "make"), func(_ page.Section, b page.Block) { text += fmt.Sprint(b) })
			if told := strings.Contains(text, "too much for a bed") || strings.Contains(text, "contiene demasiado para una cama"); told != (want != "") || !strings.Contains(text, want) {
				t.Errorf("%s, %s: %q is not told, or told where nothing harms", language, c.water, want)
			}
			if use := strings.Contains(text, "Use the water that this plan was made for") || strings.Contains(text, "Use en la cama el agua de este plan"); use != (want == "") {
				t.Errorf("%s, %s: sent to use that water: %v", language, c.water, use)
			}
		}
	}
}
