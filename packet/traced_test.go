package packet_test

import (
	"fmt"
	"html"
	"regexp"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
)

// partTo is a part of a drawing that leads somewhere: its stop, its address, its name and what is drawn.
var partTo = regexp.MustCompile(`(?s)<a class="whence"( tabindex="-1")? href="/w/([^"]*)"><title>([^<]*)</title>\n(?:<circle[^>]*/>\n)?(.*?)</a>\n`)

// pressedWords gives all that a document says.
func pressedWords(t *testing.T, doc page.Document) string {
	t.Helper()
	var out strings.Builder
	out.WriteString(html.EscapeString(doc.Title) + "\n")
	for i, section := range doc.Sections { // without the head of a page, whose letters are packed anew for each
		if _, err := press.Fragment(doc, section.Anchor(i), &out); err != nil {
			t.Fatal(err)
		}
	}
	return html.UnescapeString(elements.ReplaceAllString(out.String(), " "))
}

// Every hole, board, month and stretch of weeks of every drawing of the demonstration, and every sentence of what was noticed,
// leads to a page that there is, which says what the drawing says.
func TestEveryPartSaysWhereItComesFrom(t *testing.T) {
	for i, path := range someExamples(t) {
		p := planOf(t, path)
		for k, tag := range []string{"en", "es"} {
			if testing.Short() && i%2 != k {
				continue // the check reads each in both
			}
			w, err := lang.For(tag, lang.US)
			if err != nil {
				t.Fatal(err)
			}
			seen := map[string]int{}
			pages := map[string]string{}
			says := func(id string) string {
				if _, ok := pages[id]; !ok {
					doc, _, ok := packet.Figure(p, w, packet.Options{Doors: "/w/"}, id)
					if !ok {
						t.Errorf("%s, %s: a door to %q, which there is not", path, tag, id)
					}
					pages[id] = pressedWords(t, doc)
				}
				return pages[id]
			}
			for _, section := range packet.Sections(p) {
				text := pressedWith(t, p, w, section, "/w/")
				for _, m := range partTo.FindAllStringSubmatch(text, -1) {
					kind, _, _ := strings.Cut(m[2], "_")
					if seen[kind]++; path != "../examples/demo.yaml" && seen[kind]%25 > 1 { // all of the demonstration, some of the others
						continue
					}
					name := html.UnescapeString(m[3])
					got := strings.ToLower(strings.Join(strings.Fields(says(m[2])), " "))
					if want := strings.ToLower(strings.Join(strings.Fields(name), " ")); !strings.Contains(got, want) {
						t.Errorf("%s, %s: the page of %s does not say %q:\n%s", path, tag, m[2], name, got)
					}
				}
				for _, m := range regexp.MustCompile(`<a class="door" href="/w/(finding\.[a-z0-9_.]*)"`).FindAllStringSubmatch(text, -1) {
					seen["finding"]++
					says(m[1])
				}
				for i, drawn := range regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(text, -1) {
					if parts, stops := strings.Count(drawn, `<a class="whence"`), strings.Count(drawn, `<a class="whence" href`)+strings.Count(drawn, `<a class="whence" id="`); parts > 0 && stops != 1 {
						t.Errorf("%s, drawing %d of %s: of %d parts %d are stops of the keyboard", path, i, section, parts, stops)
					}
				}
			}
			if path != "../examples/demo.yaml" {
				continue
			}
			holes, bars, cuts := 0, 0, 0
			for _, l := range p.Raft.Layouts {
				holes += len(l.Positions)
			}
			for _, j := range p.Boards.Jobs {
				for _, b := range j.Plan.Boards {
					bars, cuts = bars+1, cuts+len(b.Cuts)
				}
			}
			twice := func(n, drawings int) bool { return drawings == n || drawings == 2*n } // on a desk, and on a telephone
			if !twice(holes, seen["raft.hole"]) || !twice(cuts, seen["cut.piece"]) || seen["cut.left"] == 0 || seen["cut.left"] > 2*bars || !twice(36, seen["season.month"]) || seen["season.week"] < 2 || seen["frame.wood"] < 8 || seen["finding"] < 5 {
				t.Errorf("%s: of %d holes, %d cuts of %d boards these are doors: %v", tag, holes, cuts, bars, seen)
			}
			t.Log(tag, seen)
		}
	}
}

// A hole is derived to where it is drawn, by the spacing, the edges and the pattern.
func TestAHoleIsWhereItsSumsPutIt(t *testing.T) {
	for _, path := range someExamples(t) {
		p := planOf(t, path)
		if p.Raft == nil {
			continue
		}
		for _, l := range p.Raft.Layouts {
			for i, q := range l.Positions {
				found := map[string]float64{}
				for _, s := range l.WorkingOf(i+1, p.Raft.Job.Spacing) {
					in := map[string]float64{}
					for _, x := range s.Inputs {
						in[x.Symbol] = x.Value
					}
					found[s.Symbol] = s.Value
					near := func(x float64) {
						if d := x - s.Value; d > 1e-3 || d < -1e-3 {
							t.Fatalf("%s, hole %d: %s = %s comes to %g, not %g", path, i+1, s.Symbol, s.Formula, x, s.Value)
						}
					}
					switch s.Formula {
					case "s":
						near(in["s"])
					case "s/2":
						near(in["s"] / 2)
					case "s sqrt(3)/2":
						near(in["s"] * 0.8660254037844386)
					case "(n - 1) d":
						near((in["n"] - 1) * in["d"])
					case "e_left + (X - e_left - e_right - u)/2":
						near(in["e_left"] + (in["X"]-in["e_left"]-in["e_right"]-in["u"])/2)
					case "e_low + (Y - e_low - e_high - u)/2":
						near(in["e_low"] + (in["Y"]-in["e_low"]-in["e_high"]-in["u"])/2)
					case "x_1 + (k - 1) d":
						near(in["x_1"] + (in["k"]-1)*in["d"])
					case "y_1 + (k - 1) d":
						near(in["y_1"] + (in["k"]-1)*in["d"])
					}
				}
				if found["x"] != q.X.Millimetres() || found["y"] != q.Y.Millimetres() || found["s_near"] < l.LeastSpacing.Millimetres()-1e-6 || found["e_near"] < l.LeastEdge.Millimetres()-1e-6 {
					t.Errorf("%s, hole %d at %v: its sums say %v", path, i+1, q, found)
				}
			}
		}
	}
}

// The length of every piece of wood comes out of its rule.
func TestALengthOfWoodComesOutOfItsRule(t *testing.T) {
	looked := 0
	for _, path := range someExamples(t) {
		p := planOf(t, path)
		if p.Frame == nil {
			continue
		}
		steps := p.Frame.WorkingOf()
		if len(steps) != len(p.Frame.Pieces) {
			t.Fatalf("%s: %d pieces, %d lengths", path, len(p.Frame.Pieces), len(steps))
		}
		for i, s := range steps {
			if s.Value != p.Frame.Pieces[i].Length.Millimetres() || fmt.Sprint(s.Of) != fmt.Sprint([]any{p.Frame.Pieces[i].Role.Word()}) {
				t.Errorf("%s: %v of %v", path, s, p.Frame.Pieces[i])
			}
			in := map[string]float64{}
			for _, x := range s.Inputs {
				in[x.Symbol] = x.Value
			}
			want, known := map[string]float64{"L + 2 t": in["L"] + 2*in["t"], "m s + e": in["m"]*in["s"] + in["e"], "h_wall + z + b": in["h_wall"] + in["z"] + in["b"],
				"min(L/n, longest)": min(in["L"]/max(in["n"], 1), in["longest"]), "work.frame.cleat_how": in["h_wall"], "work.frame.block_wall": in["h_wall"], "work.frame.block_under": in["B"]}[s.Formula]
			if !known {
				continue
			}
			looked++
			if d := want - s.Value; d > 1e-6 || d < -1e-6 {
				t.Errorf("%s: %s comes to %g, the piece is %g mm", path, s.Formula, want, s.Value)
			}
		}
	}
	if looked < 5 {
		t.Errorf("only %d were looked at", looked)
	}
}
