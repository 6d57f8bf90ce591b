package packet_test

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
)

// No remark names another crop than the planned one, but where one is offered or where a
// recipe is called by its name: for every crop, on a hot coast and in a cool valley.
func TestRemarksSpeakOfTheCrop(t *testing.T) {
	w := words(t, lang.US)
	book := bookWithPlaces()
	all := book.Crops.Crops()
	offers := map[finding.ID]bool{"plan.recipe": true, "mix.recipe_memory": true, "plan.help_kind": true, "plan.help_crop": true, "plan.help_two": true}
	for i, k := range all {
		if testing.Short() && i%8 != 0 {
			continue // the check takes every crop
		}
		own := w.Say(string(k.Word()), nil)
		for _, place := range []string{"33101", "14850"} {
			text := fmt.Sprintf("site: {place: %q, cover: %s}\nbed: {}\ncrop: {name: %s}\nschedule: {heads per week: 30, first harvest: 2027-05-03, last harvest: 2027-10-28}\n",
				place, map[bool]string{true: "open", false: "greenhouse"}[len(own)%2 == 0], k.Name)
			b, faults := brief.Parse("crop.yaml", []byte(text))
			if len(faults) > 0 {
				t.Fatal(k.ID, faults)
			}

			p := plan.Job{Brief: b, Book: book, Asked: plan.Everything}.Make(nil)
			if p.Crop.ID != k.ID || p.Season == nil {
				t.Fatalf("%s planned as %s: %v", k.ID, p.Crop.ID, p.Faults)
			}
			said := map[finding.ID]string{}
			for _, f := range p.Findings {
				said[f.ID] = w.Say(string(f.ID), f.Args)
			}
			for _, a := range p.Assumptions {
				said[a.ID] = w.Say(string(a.ID), a.Args)
			}
			for _, x := range p.Tasks() {
				said[x.Kind.Word()] = w.Say(string(x.Kind.Word()), x.Args)
			}
			for id, s := range said {
				s = strings.ReplaceAll(strings.ToLower(s), strings.ToLower(own), "")
				for _, other := range all {
					name := strings.ToLower(w.Say(string(other.Word()), nil))
					if strings.HasSuffix(name, " lettuce") {
						name = "lettuce"
					}
					if strings.Contains(s, name) && !offers[id] {
						t.Errorf("%s in %s: %s names %s: %s", k.ID, place, id, name, s)
					}
				}
			}
		}
	}
}

// How the planned crop is cut, and what is to be known of it on a raft, stand in both documents.
func TestTheCropsOwnWordsArePrinted(t *testing.T) {
	w := words(t, lang.US)
	p := planOf(t, "../examples/demo.yaml")
	for _, doc := range []string{flat(told(t, packet.Faces(p, w, packet.Options{}))), flat(told(t, packet.Working(p, w, packet.Options{})))} {
		for _, want := range []string{w.Say(string(p.Crop.Remark()), nil), w.Say(string(p.Crop.HarvestWay()), nil) + "."} {
			if !strings.Contains(doc, want) {
				t.Errorf("%q is not printed", want)
			}
		}
	}
}
