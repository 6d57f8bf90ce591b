package plan

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/frame"
)

// plausible draws a brief such as somebody could write: any crop, water, shelf,
// support and size, right or not.
func plausible(r *rand.Rand, crops []string) string {
	var b strings.Builder
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	say := func(chance float64, format string, args ...any) {
		if r.Float64() < chance {
			fmt.Fprintf(&b, format+"\n", args...)
		}
	}
	say(1, "units: %s", pick("us", "metric"))
	say(0.7, "site: {kind: %s, children: %s, cover: %s}", pick("home", "school", "community", "market"), pick("none", "visit", "live here"), pick("open", "tunnel", "greenhouse"))
	depth := pick("3 in", "4 in", "5 in", "6 in", "6 in", "7 in", "8 in", "10 in", "12 in", "14 in", "200 mm", "26 in")
	support := pick("ground", "ground", "ground", "deck", "floor", "roof")
	switch r.IntN(6) {
	case 0:
		say(1, "bed: {vessel: round, diameter: %s, depth: %s, support: %s}", pick("3 ft", "5 ft", "6 ft", "8 ft", "10 ft", "2 m"), depth, support)
		say(0.4, "raft: {diameter: %s, thickness: %s}", pick("2 ft", "4 ft", "58 in", "7 ft", "9 ft"), pick("1 in", "1-1/2 in", "2 in"))
	case 1:
		say(1, "bed: {vessel: tub, length: %s, width: %s, depth: %s, support: %s, wall height: %s}", pick("34 in", "4 ft", "6 ft"), pick("20 in", "22 in", "3 ft"), depth, support, pick("8 in", "12 in", "16 in"))
		say(0.5, "raft: {spacing: %s, foam: %s, sheet: [%s, %s]}", pick("6 in", "8 in", "12 in"), pick("xps", "eps"), pick("18 in", "21 in", "3 ft"), pick("30 in", "33 in", "5 ft"))
	default:
		b.WriteString("bed:\n  depth: " + depth + "\n  support: " + support + "\n")
		say(0.7, "  length: %s\n  width: %s", pick("97 in", "8 ft", "4 ft", "10 ft", "12 ft", "16 ft", "20 ft", "32 ft", "48 ft", "5 m"), pick("49 in", "4 ft", "2 ft", "3 ft", "8 ft", "10 ft", "1.2 m"))
		say(0.15, "  space: [%s, %s]", pick("5 ft", "9 ft", "30 ft"), pick("5 ft", "9 ft", "60 ft"))
		say(0.6, "  side board: %s", pick("1x6", "1x8", "2x4", "2x6", "2x8", "2x10", "2x12"))
		say(0.4, "  end board: %s", pick("1x6", "2x4", "2x6", "2x8", "2x10"))
		say(0.3, "  lumber: %s", pick("southern-pine-2", "hem-fir-2", "western-cedar-2", "northern-white-cedar-2"))
		say(0.2, "  incised: %s", pick("yes", "no"))
		say(0.4, "  holds: %s", pick("auto", "none", "1", "2", "5"))
		say(0.3, "  hold with: %s", pick("tie", "stake"))
		say(0.2, "  soil: %s", pick("clay", "sand", "gravel", "soft"))
		say(0.15, "  walls: %s", pick("lumber", "plywood", "block", "salvage"))
		say(0.2, "  boards: %s", pick("1", "2"))
		say(0.3, "  level error: %s", pick("0 in", "1/4 in", "1/2 in", "1 in", "3 in"))
		say(0.3, "  liner: %s", pick("6 mil", "20 mil", "45 mil"))
		say(0.2, "  count: %s", pick("1", "2", "6"))
		say(0.5, "raft: {thickness: %s, foam: %s, spacing: %s, hole: %s, pattern: %s}", pick("3/4 in", "1 in", "1-1/2 in", "2 in"), pick("xps", "eps"),
			pick("4 in", "6 in", "8 in", "10 in", "12 in"), pick("1 in", "2 in", "2-1/2 in"), pick("square", "staggered"))
	}
	say(0.8, "crop: {name: %s}", pick(crops...))
	say(0.6, "water: {ph: %s, alkalinity: %s mg/L CaCO3, calcium: %s mg/L, magnesium: %s mg/L, sodium: %s mg/L, chloride: %s mg/L, sulfate: %s mg/L, boron: %s mg/L}", pick("6.5", "7.2", "7.8", "8.4"),
		pick("10", "60", "180", "320"), pick("4", "40", "90"), pick("1", "11", "30"), pick("3", "40", "180"), pick("3", "50", "250"), pick("5", "40", "200"), pick("0", "0.3", "2.5"))
	say(0.5, "acid: {product: %s, target ph: %s}", pick("sulfuric 93 %", "nitric 67 %", "phosphoric 75 %", "citric"), pick("5.5", "5.8", "6.2"))
	if r.Float64() < 0.6 {
		b.WriteString("shelf:\n")
		for _, p := range []string{"{name: powder, label: 20-20-20, nitrate-n: 6.0 %, ammonium-n: 3.9 %, urea-n: 10.1 %, iron: 0.10 %, pack: 25 lb, price: 48 USD, limit: 2 g/L}",
			"{name: calcium nitrate, label: 15.5-0-0, nitrate-n: 14.4 %, ammonium-n: 1.1 %, calcium: 19 %}", "{name: potassium nitrate, formula: KNO3}",
			"{name: Epsom salt, formula: MgSO4.7H2O, purity: 98 %}"} {
			say(0.7, "  - %s", p)
		}
		if strings.HasSuffix(b.String(), "shelf:\n") {
			b.WriteString("  - {name: Epsom salt, formula: MgSO4.7H2O}\n")
		}
	}
	say(0.6, "target: %s", pick("{recipe: lettuce}", "{recipe: lettuce, ec: 1.4 mS/cm}", "{nitrogen: 120 mg/L, potassium: 150 mg/L}", "{recipe: lettuce, least: {calcium: 90 mg/L}}",
		"{recipe: lettuce, most: {sodium: 20 mg/L}}", "{recipe: lettuce, least: {nitrogen: 300 mg/L}, most: {potassium: 100 mg/L}}", "{recipe: lettuce, most: {calcium: 30 mg/L, boron: 0.5 mg/L}}"))
	say(0.5, "mix: {measure: %s, most products: %s}", pick("scale 1 g", "scale 5 g", "spoons"), pick("1", "2", "4"))
	say(0.3, "schedule: {heads per week: %s}", pick("2", "8", "20", "80", "400"))
	say(0.3, "cut: %s", pick("{stock: [{length: 8 ft, price: 9 USD}]}", "{stock: [{length: 8 ft, price: 9 USD, count: 1}, {length: 12 ft, price: 15 USD, count: 1}]}", "{stock: [{length: 6 ft, price: 7 USD}]}",
		"{stock: [{length: 8 ft}], pieces: [{name: side, length: 97 in, count: 2}]}", "{trim: 2 in, stock: [{length: 8 ft, count: 2}], pieces: [{name: side, length: 90 in, count: 5}]}",
		"{pieces: [{name: long, length: 20 ft, count: 1}]}", "{on hand: [{length: 30 in, count: 1}], stock: [{length: 10 ft}]}"))
	return b.String()
}

// Every stop has a way out, and the changes of it, made together, end that stop.
func TestEveryStopHasAMend(t *testing.T) {
	book := DefaultBook()
	var crops []string
	for _, c := range book.Crops.Crops() {
		crops = append(crops, c.ID)
	}
	briefs, err := strconv.Atoi(os.Getenv("RAFTWRIGHT_BRIEFS")) // 2000 before a release
	switch {
	case err == nil:
	case testing.Short():
		briefs = 6
	default:
		briefs = 100
	}
	r, seen, planned, stopped := rand.New(rand.NewPCG(1, 2)), map[finding.ID]int{}, 0, 0
	for n := range briefs {
		text := plausible(r, crops)
		b, faults := brief.Parse("bed.yaml", []byte(text))
		if len(faults) > 0 {
			continue
		}
		planned++
		var mem Memory
		p := job(b, book, nil, Everything).Make(&mem)
		stops := 0
		for _, f := range p.Findings {
			if f.Severity != finding.Stop {
				continue
			}
			stops++
			seen[f.ID]++
			if len(f.Paths) == 0 {
				t.Errorf("brief %d: %s rests on nothing", n, f.ID)
			}
			if len(f.Mend) == 0 {
				t.Errorf("brief %d: %s has no mend: %v\n%s", n, f.ID, f.Args, text)
				continue
			}
			c := b
			for _, x := range f.Mend {
				c, faults = c.Set(x.Path, x.Value)
			}
			if len(faults) > 0 {
				t.Errorf("brief %d: %s: the mend %v has faults: %v", n, f.ID, f.Mend, faults)
				continue
			}
			after := Job{Brief: c, Book: book, Asked: Everything}.Make(&mem)
			for _, g := range after.Findings {
				if g.Severity == finding.Stop && g.ID == f.ID && g.Args["Nutrient"] == f.Args["Nutrient"] {
					t.Errorf("brief %d: %s is not ended by %v\n%s", n, f.ID, f.Mend, text)
					break
				}
			}
			if len(after.Faults) > len(p.Faults) {
				t.Errorf("brief %d: %s: the mend %v is a fault: %v\n%s", n, f.ID, f.Mend, after.Faults, text)
			}
		}
		if stops > 0 {
			stopped++
		}
	}
	t.Logf("%d of %d briefs stop: %v", stopped, planned, seen)
	if planned < briefs*8/10 || briefs >= 500 && len(seen) < 15 {
		t.Errorf("%d briefs planned, %d kinds of stop met", planned, len(seen))
	}
}

// A tub of which a floor carries hardly any stands on the ground: a tub of a seventh of its floor is no way to keep it (5 x 3 ft and 10 in of water weigh 958 lb).
func TestAHeavyTubGoesToTheGround(t *testing.T) {
	b, faults := brief.Parse("", []byte("bed: {vessel: tub, length: 5 ft, width: 3 ft, base length: 58 in, base width: 34 in, depth: 10 in, support: floor}\n"))
	if faults != nil {
		t.Fatal(faults)
	}
	var mem Memory
	for _, f := range (Job{Brief: b, Book: DefaultBook(), Asked: Everything}).Make(&mem).Findings {
		if f.ID == frame.FindDeckStop && (len(f.Mend) != 1 || f.Mend[0] != finding.Change{Path: "bed.support", Value: "ground"}) {
			t.Errorf("%v", f.Mend)
		}
	}
}

// A tub that is too heavy for a deck is not sent to the ground where a lower or a
// smaller one does: the change keeps it on the deck, and applied it ends the stop.
func TestATubStaysOnTheDeck(t *testing.T) {
	for _, text := range []string{
		"bed: {vessel: tub, length: 34 in, width: 22 in, base length: 31 in, base width: 19 in, depth: 7 in, support: deck}\nraft: {sheet: [21 in, 33 in], spacing: 7 in, hole: 2 in}\n",
		"bed: {vessel: tub, length: 24 in, width: 22 in, depth: 8 in, wall height: 14 in, support: floor}\nraft: {spacing: 8 in}\n",
		"bed: {vessel: round, diameter: 4 ft, depth: 8 in, support: deck}\nraft: {spacing: 8 in}\n",
	} {
		b, faults := brief.Parse("deck.yaml", []byte(text))
		if faults != nil {
			t.Fatal(faults)
		}
		j := Job{Brief: b, Book: DefaultBook(), Asked: Everything}
		var mem Memory
		p := j.Make(&mem)
		var stop *finding.Finding
		for i, f := range p.Findings {
			if f.ID == frame.FindDeckStop {
				stop = &p.Findings[i]
			}
		}
		if stop == nil || len(stop.Mend) == 0 {
			t.Errorf("%s: %+v", text, stop)
			continue
		}
		for _, c := range stop.Mend {
			if c.Path == "bed.support" {
				t.Errorf("%s: %v", text, stop.Mend)
			}
			if b, faults = b.Set(c.Path, c.Value); faults != nil {
				t.Error(faults)
			}
		}
		j.Brief = b
		for _, f := range j.Make(&mem).Findings {
			if f.Severity == finding.Stop {
				t.Errorf("%s\nstays: %s", text, f.ID)
			}
		}
	}
}
