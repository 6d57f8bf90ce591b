package plan

import (
	"fmt"
	"math"
	"testing"

	"raftwright/finding"
	"raftwright/season"
)

// How many holes a harvest takes is said once: by its dates where there is a season, by
// the rule of thumb where there is none.
func TestHolesAreCountedOnce(t *testing.T) {
	const text = "bed: {length: 49 in, width: 49 in, depth: 6 in}\nschedule: {heads per week: 40, first harvest: 2027-06-01, last harvest: 2027-09-01}\n"
	months := "site: {latitude: 42, months: ["
	for range 12 {
		months += "{tmax: 22 C, tmin: 12 C}, "
	}
	for site, want := range map[string]finding.ID{"": FindHolesShort, months + "]}\n": season.FindShort} {
		p := made(t, Everything, text+site)
		for _, id := range []finding.ID{FindHolesShort, season.FindShort} {
			if has(p, id) != (id == want) {
				t.Errorf("with a site of %d letters: %s told %v", len(site), id, has(p, id))
			}
		}
	}
}

// That the holes are too few is told from the first that lacks: Little's law, heads a week by the weeks on the raft, and a tenth on top (common practice).
func TestLineHolesShort(t *testing.T) {
	told := map[bool]int{}
	for heads := 1; heads <= 12; heads++ {
		p := made(t, Raft, fmt.Sprintf("bed: {length: 97 in, width: 49 in, depth: 6 in}\nraft: {spacing: 12 in}\nschedule: {heads per week: %d}\n", heads))
		days := p.Crop.Raft.Middle().Days()
		wanted := int(math.Ceil(float64(heads)/7*days/0.9 - 1e-9))
		short := p.Raft.Holes < wanted
		if told[short]++; has(p, FindHolesShort) != short {
			t.Errorf("%d heads a week want %d holes of %d: told %v", heads, wanted, p.Raft.Holes, !short)
		}
	}
	if told[true] < 3 || told[false] < 3 {
		t.Error(told)
	}
}
