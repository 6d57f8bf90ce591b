package plan

import "raftwright/finding"

// FindNotUsed says that the plan does not use a key of the brief yet.
const FindNotUsed finding.ID = "plan.not_used"

// tellUnused names the keys that were given and that nothing reckons with yet.
func (m *maker) tellUnused() {
	b := m.Brief
	for _, u := range []struct {
		part  Part
		path  finding.Path
		given bool
	}{
		{Mix, "mix.doses", len(b.Mix.Doses) > 0},
		{Water | Mix, "acid.dose", b.Acid.Dose.Given},
		{Season, "site.place", b.Site.Place.Given},
	} {
		if m.stage = u.part; u.given {
			m.find(finding.Finding{ID: FindNotUsed, Severity: finding.Caution, Args: finding.Args{"Key": string(u.path)}, Paths: []finding.Path{u.path}})
		}
	}
}
