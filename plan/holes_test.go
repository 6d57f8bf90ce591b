package plan

import (
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
