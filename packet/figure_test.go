package packet_test

import (
	"slices"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/source"
)

// Every step of the working of a plan stands at the address of its figure, with its result, each figure that was put in and its source with
// its standing, and an address is of one figure alone.
func TestEveryFigureHasItsWorking(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, path := range someExamples(t) {
		p, w := planOf(t, path), words(t, lang.US)
		names := map[string]string{}
		led := map[string]string{}
		for _, f := range packet.Figures(p, w) {
			if was, twice := names[f.ID]; twice {
				t.Errorf("%s: %s is %q and %q", path, f.ID, was, f.Name)
			}
			names[f.ID] = f.Name
			doc, rests, ok := packet.Figure(p, w, packet.Options{}, f.ID)
			for _, r := range rests {
				led[r.ID] = f.ID
			}
			if !ok {
				t.Errorf("%s: %s has no page", path, f.ID)
				continue
			}
			if len(f.Sources) == 0 {
				t.Errorf("%s: %s has no source", path, f.ID)
			}
			notes := ""
			walk(doc, func(_ page.Section, b page.Block) {
				if n, is := b.(page.Notes); is {
					for _, x := range n.Items {
						notes += x.Text.Plain()
					}
				}
			})
			for _, s := range f.Sources {
				if !strings.Contains(notes, s.Title) || !strings.Contains(notes, "("+s.Standing+")") {
					t.Errorf("%s: %s does not tell the source %q", path, f.ID, s)
				}
			}
			if text, _ := summed(doc.Sections[0]); !strings.Contains(text, f.Name) {
				t.Errorf("%s: the page of %s does not name it", path, f.ID)
			}
		}
		for id, from := range led {
			if names[id] == "" {
				t.Errorf("%s: %s leads to %s, which there is not", path, from, id)
			}
		}
		for _, part := range []plan.Part{plan.Frame, plan.Cut, plan.Raft, plan.Water, plan.Mix, plan.Season, plan.Cost} {
			for _, s := range p.Working(part) {
				id := strings.TrimPrefix(s.Name, "work.")
				if name := w.Say(s.Name, nil); names[id] != name {
					t.Errorf("%s: %q has the address of %q", path, name, names[id])
				}
				if _, ok := source.Find(s.Source); !ok {
					t.Errorf("%s: %s: no source %q", path, id, s.Source)
				}
			}
		}
	}
}

// The figures of the glance have their workings, in both languages, and what they rest on is found through figures that are put in under another name:
// the screws through a block follow from the pull at the corner, which follows from the push of the water.
func TestAFigureLeadsToWhatItRestsOn(t *testing.T) {
	p := planOf(t, "../examples/demo.yaml")
	for _, tag := range []string{"en", "es"} {
		w, err := lang.For(tag, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		doc, _ := packet.Section(p.In(tag), w, packet.Options{}, "glance")
		figures := 0
		walk(doc, func(_ page.Section, b page.Block) {
			k, is := b.(page.KeyFigures)
			if !is {
				return
			}
			for _, x := range k.Items {
				figures++
				if short := packet.Short(p, w, x.Of)[x.Of]; short.Rule == "" || short.Value == "" || len(short.Sources) == 0 {
					t.Errorf("%s: %s has no working: %v", tag, x.Label, short)
				}
			}
		})
		if figures < 8 {
			t.Errorf("%s: only %d figures", tag, figures)
		}
	}
	_, rests, ok := packet.Figure(p, words(t, lang.US), packet.Options{}, "frame.screws_end")
	var ids []string
	for _, f := range rests {
		ids = append(ids, f.ID)
	}
	for _, want := range []string{"frame.screw_pull", "frame.corner_pull_brim", "frame.push"} {
		if !ok || !slices.Contains(ids, want) {
			t.Errorf("the screws at a corner rest on %v, not on %s", ids, want)
		}
	}
	if _, _, ok := packet.Figure(p, words(t, lang.US), packet.Options{}, "frame.nothing"); ok {
		t.Error("a figure that there is not has a working")
	}
}
