package plan

import "raftwright/finding"

// FindNotUsed says that the plan does not use a key of the brief yet.
const FindNotUsed finding.ID = "plan.not_used"

// notUsed names a key that was given and that nothing reckons with yet.
func (m *maker) notUsed(path finding.Path, given bool) {
	if given {
		m.find(finding.Finding{ID: FindNotUsed, Severity: finding.Caution, Hurts: finding.Purse, Args: finding.Args{"Key": string(path)}, Paths: []finding.Path{path}})
	}
}
