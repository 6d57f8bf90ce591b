package packet_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	logs "raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/tend"
	"raftwright/unit"
)

// doing tells whether a block is steps that somebody follows: a numbered list, a picture of a step,
// boards to saw, or a list to buy by.
func doing(s page.Section, b page.Block) bool {
	switch b := b.(type) {
	case page.List:
		return b.Kind == page.Numbered
	case page.Figure:
		return strings.HasPrefix(b.Drawing.ID, "step-") || strings.HasPrefix(b.Drawing.ID, "cutting-")
	case page.Table:
		return s.ID == "buy" || s.ID == "shop"
	}
	return false
}

// late gives the cautions of a document that stand behind the steps of their part of a section.
func late(d page.Document) []string {
	var out []string
	under, begun := "", false
	walk(d, func(s page.Section, b page.Block) {
		if s.ID+s.Title != under {
			under, begun = s.ID+s.Title, false
		}
		switch c := b.(type) {
		case page.Heading:
			begun = false
		case page.Caution:
			if begun && c.Severity != finding.Note {
				out = append(out, fmt.Sprintf("%s: %s: %s", s.ID, c.Word, c.Text[0].Plain()))
			}
		default:
			begun = begun || doing(s, b)
		}
	})
	return out
}

// A caution stands before the steps that it is about, on every face, in every section of a plan and
// of the second document, in what a leader and a class get, and on what a visit is answered with.
func TestCautionsStandBeforeTheirSteps(t *testing.T) {
	w := words(t, lang.US)
	docs := map[string]page.Document{"leader": packet.Leader(workshopOf(t, workshopBrief, 9), w, packet.Options{})}
	for name, p := range drawnPlans(t) {
		whole := page.Document{}
		for _, id := range packet.Sections(p) {
			if d, ok := packet.Section(p, w, packet.Options{}, id); ok {
				whole.Sections = append(whole.Sections, d.Sections...)
			}
		}
		docs[name+", plan"] = whole
		docs[name+", faces"] = packet.Faces(p, w, packet.Options{})
		docs[name+", large faces"] = packet.Faces(p, w, packet.Options{Large: true})
		docs[name+", working"] = packet.Working(p, w, packet.Options{})
		docs[name+", class"] = packet.Class(p, w, packet.Options{})
		for _, missing := range behind(p, w, whole) {
			t.Errorf("%s: %s", name, missing)
		}
	}
	p, of := tendedDemo(t)
	docs["visit"], docs["bed card"] = packet.Tending(p, of, w), packet.BedCard(p, of, w, packet.Options{})
	docs["slip"] = page.Document{Sections: []page.Section{{ID: "slip", Blocks: packet.Slip(p, of, w)}}}
	for name, d := range docs {
		for _, x := range late(d) {
			t.Errorf("%s: %s", name, x)
		}
	}
}

// stepsOf names the section whose steps an act has.
var stepsOf = map[finding.Act][]string{finding.AtFrame: {"frame", "vessel"}, finding.AtCorner: {"frame", "vessel"}, finding.AtLiner: {"liner"}, finding.AtFill: {"fill"},
	finding.AtRaft: {"raft"}, finding.AtLift: {"raft"}, finding.AtCut: {"cut"}, finding.AtMix: {"mix"}, finding.AtAcid: {"mix"}}

// behind gives the cautions of a plan that stand behind the steps of their act, in whatever section.
func behind(p plan.Plan, w *lang.Printer, d page.Document) []string {
	first, told, n := map[string]int{}, map[string]int{}, 0
	walk(d, func(s page.Section, b page.Block) {
		n++
		if _, ok := first[s.ID]; !ok && doing(s, b) {
			first[s.ID] = n
		}
		if c, ok := b.(page.Caution); ok && s.ID != "found" { // of another recipe than is mixed
			for _, x := range c.Text {
				if _, ok := told[x.Plain()]; !ok {
					told[x.Plain()] = n
				}
			}
		}
	})
	var out []string
	for _, f := range p.Findings {
		at, ok := told[page.Text(w.Finding(f)).Plain()]
		if !ok || f.Severity == finding.Note {
			continue
		}
		for _, id := range stepsOf[f.Stands()] {
			if steps, ok := first[id]; ok && at > steps {
				out = append(out, fmt.Sprintf("%s stands behind the steps of %s", f.ID, id))
			}
		}
	}
	return out
}

// What the test of cautions looks for is found; a heading begins anew.
func TestLateCautionsAreFound(t *testing.T) {
	steps, warning := page.List{Kind: page.Numbered, Items: []page.Text{"saw"}}, page.Caution{Severity: finding.Caution, Text: []page.Text{"glasses"}}
	for want, blocks := range map[int][]page.Block{
		1: {steps, warning},
		0: {warning, steps, page.Heading{Text: "next"}, warning},
		2: {page.Together{Blocks: []page.Block{warning, steps}}, page.Beside{Columns: [][]page.Block{{warning}, {warning}}}},
	} {
		if got := late(page.Document{Sections: []page.Section{{ID: "a", Blocks: blocks}}}); len(got) != want {
			t.Errorf("%d of %d are found: %v", len(got), want, got)
		}
	}
}

// tendedDemo follows the log of the demonstration to a visit that asks for acid.
func tendedDemo(t *testing.T) (plan.Plan, *tend.Tending) {
	t.Helper()
	p := planOf(t, "../examples/demo.yaml")
	text, err := os.ReadFile("../examples/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse("demo.yaml", text)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	log, faults := logs.FromBrief(b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	of, faults := tend.Make(tend.Job{Plan: p, Log: log, Now: time.Date(2027, 5, 18, 9, 0, 0, 0, time.UTC)})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	of.Actions = append(of.Actions, tend.Action{Do: tend.DoAcid, Why: of.Actions[0].Why, Args: of.Actions[0].Args, Liquid: unit.Litre / 100, Product: "citric"})
	return p, of
}

// A slip says what "it" is in its reason, and after a long silence foretells nothing and asks for no further reading.
func TestASlipNamesWhatItMeans(t *testing.T) {
	p, of := tendedDemo(t)
	w := words(t, lang.US)
	slip := func() string {
		return flat(told(t, page.Document{Sections: []page.Section{{Blocks: packet.Slip(p, of, w)}}}))
	}
	for why, want := range map[finding.ID]string{tend.WhyPen: "Why: the pH meter has been off", tend.WhyVague: "Why: by now the pH may be anything from 4 to 8."} {
		of.Actions = []tend.Action{{Do: tend.DoRead, Product: "ph", Why: why, Args: finding.Args{"Low": 4.0, "High": 8.0}}}
		got := slip()
		if !strings.Contains(got, want) || strings.Contains(got, "expect") != (why == tend.WhyPen) {
			t.Errorf("%s: %s", why, got)
		}
	}
}
