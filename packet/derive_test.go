package packet_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/source"
)

// accounts are all sections of a plan, one after the other.
func accounts(p plan.Plan, w *lang.Printer, o packet.Options) page.Document {
	var out page.Document
	for i, id := range packet.Sections(p) {
		d, _ := packet.Section(p, w, o, id)
		if i == 0 {
			out = d
		} else {
			out.Sections = append(out.Sections, d.Sections...)
		}
	}
	return out
}

// summed gives the words of a section of sums, and the numbers in it.
func summed(s page.Section) (text string, numbers []float64) {
	var b strings.Builder
	add := func(x page.Text) { b.WriteString(x.Plain() + " | ") }
	for _, block := range s.Blocks {
		if t, ok := block.(page.Table); ok {
			for _, c := range t.Columns {
				add(c.Title)
			}
			for _, r := range t.Rows {
				for _, c := range r.Cells {
					add(c)
				}
			}
		}
	}
	text = b.String()
	for _, n := range number.FindAllString(text, -1) {
		v, _ := strconv.ParseFloat(strings.ReplaceAll(n, ",", ""), 64)
		numbers = append(numbers, v)
	}
	return text, numbers
}

var number = regexp.MustCompile(`-?\d[\d,]*(\.\d+)?(e-?\d+)?`)

// Nothing of the working is lost in the second document: the name, the result and every figure of
// every step stand in the sums of its trade, to the digits that are printed.
func TestEveryStepIsInTheWorkingDocument(t *testing.T) {
	parts := map[string]plan.Part{"frame": plan.Frame, "cut": plan.Cut, "raft": plan.Raft, "water": plan.Water, "mix": plan.Mix, "found": plan.Found,
		"amiss": plan.Amiss, "season": plan.Season, "cost": plan.Cost}
	steps := 0
	for _, path := range someExamples(t) {
		p, w := planOf(t, path), words(t, lang.US)
		text, numbers := map[string]string{}, map[string][]float64{}
		for _, s := range packet.Working(p, w, packet.Options{}).Sections {
			if id, ok := strings.CutPrefix(s.ID, "sums-"); ok {
				text[id], numbers[id] = summed(s)
			}
		}
		for id, part := range parts {
			for _, s := range p.Working(part) {
				steps++
				if name := w.Say(s.Name, nil); !strings.Contains(text[id], name) {
					t.Errorf("%s: %q is not in the sums of %s", path, name, id)
				}
				figures := []float64{s.Value}
				for _, in := range s.Inputs {
					figures = append(figures, in.Value)
				}
				for _, v := range figures {
					if !slices.ContainsFunc(numbers[id], func(n float64) bool { return math.Abs(n-v) <= 0.0051*math.Abs(v) }) && !math.IsNaN(v) {
						t.Errorf("%s: %g of %q is not in the sums of %s", path, v, s.Name, id)
					}
				}
			}
		}
	}
	if steps < 2000 && !testing.Short() || steps < 500 {
		t.Errorf("only %d steps", steps)
	}
}

// Sources are numbered in the order in which they are first used, each number leads to the list
// at the end, each of the list is used, and every source of a step and of what was assumed is there
// with its standing.
func TestFiguresAreNumberedToTheirSource(t *testing.T) {
	mark := regexp.MustCompile(`\[(\d+)\]`)
	for _, path := range someExamples(t) {
		p, w := planOf(t, path), words(t, lang.US)
		d := packet.Working(p, w, packet.Options{})
		var seen []string
		listed := map[string]string{}
		walk(d, func(s page.Section, b page.Block) {
			if n, ok := b.(page.Notes); ok {
				for _, x := range n.Items {
					listed[x.Mark] = x.Text.Plain()
				}
				return
			}
			var wide strings.Builder // heads of columns on one line
			if err := press.Text(page.Document{Sections: []page.Section{{Blocks: []page.Block{b}}}}, &wide, 4000); err != nil {
				t.Fatal(err)
			}
			for _, m := range mark.FindAllStringSubmatch(wide.String(), -1) {
				if !slices.Contains(seen, m[1]) {
					seen = append(seen, m[1])
				}
			}
		})
		for i, m := range seen {
			if m != fmt.Sprint(i+1) {
				t.Errorf("%s: [%s] is the source number %d to be used", path, m, i+1)
				break
			}
		}
		if len(seen) != len(listed) || len(seen) < 10 {
			t.Errorf("%s: %d sources used, %d listed", path, len(seen), len(listed))
		}
		var all string
		for _, text := range listed {
			all += text + "\n"
		}
		want := map[source.ID]bool{}
		for _, s := range p.Working(plan.Everything) {
			want[s.Source] = true
		}
		for _, a := range p.Assumptions {
			want[a.Source] = true
		}
		for id := range want {
			e, ok := source.Find(id)
			if !ok || !strings.Contains(all, e.Title) || !strings.Contains(all, w.Say("packet.source."+strings.ReplaceAll(e.Standing.String(), " ", "_"), nil)) {
				t.Errorf("%s: the source %q is not in the list", path, id)
			}
		}
	}
}
