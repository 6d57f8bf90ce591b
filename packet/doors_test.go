package packet_test

import (
	"bytes"
	"html"
	"math"
	"regexp"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/unit"
)

var (
	doorTo   = regexp.MustCompile(`(?s)<a class="door" href="/w/([^"]*)">(?:<title>([^<]*)</title><rect[^>]*/>)?(.*?)</a>\n?`)
	elements = regexp.MustCompile(`<[^>]*>`)
)

// whyTo stands behind a sentence of what was noticed, and shownNothing over a month of a chart, on a page alone.
var (
	whyTo        = regexp.MustCompile(` <a class="door" href="/w/finding\.[^"]*">[^<]*</a>`)
	shownNothing = regexp.MustCompile(`<path d="[^"]*"/>\n`)
)

// ofParts tells whether an ID is of a part of a drawing or a sentence, whose pages TestEveryPartSaysWhereItComesFrom opens.
func ofParts(id string) bool {
	return strings.HasPrefix(id, "finding.") || strings.HasPrefix(id, "season.month_")
}

// pressedWith presses a section with the address of the workings, or without.
func pressedWith(t *testing.T, p plan.Plan, w *lang.Printer, section, doors string) string {
	t.Helper()
	doc, ok := packet.Section(p, w, packet.Options{Doors: doors}, section)
	if !ok {
		t.Fatal(section)
	}
	var out bytes.Buffer
	if _, err := press.Fragment(doc, doc.Sections[0].Anchor(0), &out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// A figure in a sentence, a table or a drawing leads to its working, which the plan has; its section says the same as without doors, and nothing of
// the marks is seen.
func TestFiguresAreDoors(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	led := map[string]bool{}
	for _, path := range someExamples(t) {
		p := planOf(t, path)
		for _, tag := range []string{"en", "es"} {
			w, err := lang.For(tag, lang.US)
			if err != nil {
				t.Fatal(err)
			}
			has := map[string]bool{}
			for _, f := range packet.Figures(p, w) {
				has[f.ID] = true
			}
			for _, section := range packet.Sections(p) {
				with := pressedWith(t, p, w, section, "/w/")
				for _, m := range doorTo.FindAllStringSubmatch(with, -1) {
					led[m[1]] = true
					if !has[m[1]] && !ofParts(m[1]) {
						t.Errorf("%s, %s: a door to %q, which there is not", path, section, m[1])
					}
				}
				bare := strings.ReplaceAll(doorTo.ReplaceAllString(partTo.ReplaceAllString(shownNothing.ReplaceAllString(whyTo.ReplaceAllString(with, ""), ""), "$4"), "$3"), `role="group" width=`, `role="img" width=`)
				if plain := pressedWith(t, p, w, section, ""); strings.Join(strings.Fields(bare), " ") != strings.Join(strings.Fields(plain), " ") {
					t.Errorf("%s, %s, %s says something else with doors", path, section, tag)
				}
			}
		}
	}
	for _, id := range []string{"frame.volume", "frame.surface", "frame.spacing", "frame.brim", "frame.use", "frame.liner_length", "frame.screws_end", "raft.holes", "raft.wet", "raft.draft", "mix.dose", "mix.ec", "cost.head"} {
		if !led[id] {
			t.Errorf("nothing leads to %s", id)
		}
	}
}

// What a door shows is what its working finds: the lengths, volumes and counts of the demonstration, as far as they are rounded.
func TestADoorShowsWhatItsWorkingFinds(t *testing.T) {
	p, w := planOf(t, "../examples/demo.yaml"), words(t, lang.US)
	steps := map[string][]finding.Step{}
	for _, part := range []plan.Part{plan.Frame, plan.Raft, plan.Mix} {
		for _, s := range p.Working(part) {
			id := strings.TrimPrefix(s.Name, "work.")
			steps[id] = append(steps[id], s)
		}
	}
	others := map[string]bool{"frame.surface": true, "frame.volume": true} // the sides and the depth lead there as well: they go in
	looked := 0
	for _, section := range packet.Sections(p) {
		for _, m := range doorTo.FindAllStringSubmatch(pressedWith(t, p, w, section, "/w/"), -1) {
			shown := html.UnescapeString(strings.TrimSpace(elements.ReplaceAllString(m[3], "")))
			_, shown, _ = strings.Cut("× "+strings.ReplaceAll(shown, " × ", " "), "× ")
			near := false
			for _, s := range steps[m[1]] {
				var got, want, step float64
				var err error
				switch s.Unit {
				case "m", "mm":
					var l unit.Length
					if l, err = unit.ParseLength(shown); err != nil && strings.Contains(shown, " ") { // behind words, or before them
						continue
					}
					got, want, step = float64(l), s.Value, float64(unit.Inch)/8
					if s.Unit == "mm" {
						want /= 1000
					}
				case "m3":
					got, err = unit.VolumeKind.Parse(shown)
					want, step = s.Value, float64(unit.Gallon)/2
				case "", "mS/cm":
					got, err = unit.ParseNumber(strings.Fields(shown)[0])
					want, step = s.Value, 0.05
				default:
					near = true
					continue
				}
				if err == nil {
					looked++
					near = near || math.Abs(got-want) <= step+0.006*want
				}
			}
			if !near && !others[m[1]] && looked > 0 && len(steps[m[1]]) > 0 && regexp.MustCompile(`^[0-9./-]+( (in|gal|mS/cm|ft))?$`).MatchString(shown) {
				t.Errorf("%s: %s shows %q, its working finds %v", section, m[1], shown, steps[m[1]][0].Value)
			}
		}
	}
	if looked < 15 {
		t.Errorf("only %d were looked at", looked)
	}
}
