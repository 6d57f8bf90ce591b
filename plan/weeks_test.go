package plan_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/season"
)

// Where a crop has no good weeks, what is told in its place has them: the brief that grows it,
// or covers the bed, has a harvest. Twelve like months (invented), from a cold highland to a
// tropical coast.
func TestWhatHelpsACropWithoutWeeksHelps(t *testing.T) {
	seen := map[finding.ID]bool{}
	for _, high := range []int{8, 12, 20, 30, 34} {
		made := func(changes ...finding.Change) plan.Plan {
			var months []string
			for i := 1; i <= 12; i++ {
				months = append(months, fmt.Sprintf("{month: %d, tmax: %d C, tmin: %d C}", i, high, high-9))
			}
			b, faults := brief.Parse("hot.yaml", []byte("raftwright: 1\nsite: {latitude: 12, elevation: 50 m, months: ["+strings.Join(months, ", ")+"]}\nbed: {length: 8 ft, width: 4 ft}\ncrop: {name: lettuce}\n"))
			for _, c := range changes {
				b, faults = b.Set(c.Path, c.Value)
			}
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			return plan.Job{Brief: b, Book: book, Asked: plan.Season}.Make(nil)
		}
		p := made()
		find := func(id finding.ID) *finding.Finding {
			if i := slices.IndexFunc(p.Findings, func(f finding.Finding) bool { return f.ID == id }); i >= 0 {
				seen[id] = true
				return &p.Findings[i]
			}
			return nil
		}
		closed, other, opens := find(season.FindNoWindow), find(plan.FindOtherCrop), find(plan.FindOpens)
		none := find(plan.FindOpensNone)
		if (closed == nil) != (opens == nil && none == nil) || closed == nil && other != nil {
			t.Errorf("%d °C: closed %v, other %v, opens %v, none %v", high, closed, other, opens, none)
		}
		if other != nil && other.Args["First"] == finding.Word("crop.name.basil_sweet") {
			seen["basil"] = true
			if then := made(finding.Change{Path: "crop.name", Value: "basil"}); len(then.Season.Batches) == 0 {
				t.Errorf("%d °C: basil brings no harvest", high)
			}
		}
		if opens == nil {
			continue
		}
		changes := map[finding.Word][]finding.Change{"word.help.shade": {{Path: "site.cover", Value: "shade"}}, "word.help.cover": {{Path: "site.cover", Value: "tunnel"}}, "word.help.cooled": {{Path: "bed.cool to", Value: "24 C"}},
			"word.help.shade_cooled": {{Path: "site.cover", Value: "shade"}, {Path: "bed.cool to", Value: "24 C"}}}[opens.Args["Way"].(finding.Word)]
		if then := made(changes...); len(changes) == 0 || len(then.Season.Batches) == 0 {
			t.Errorf("%d °C: %v brings no harvest", high, opens.Args["Way"])
		}
	}
	for _, id := range []finding.ID{season.FindNoWindow, plan.FindOtherCrop, plan.FindOpens, plan.FindOpensNone, "basil"} {
		if !seen[id] {
			t.Errorf("%s was never told", id)
		}
	}
}
