package plan

import (
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
)

// What a finding rests on is a key; what would
// replace an assumption is one too.
func TestFindingsRestOnKeys(t *testing.T) {
	known := func(p finding.Path) bool {
		list, _, _ := strings.Cut(string(p), "[")
		_, err := brief.Viewing(finding.Path(list))
		return err == nil || strings.HasPrefix(string(p), "prices.items.") || strings.HasPrefix(string(p), "target.")
	}
	for _, a := range about {
		for _, p := range a.paths {
			if !known(p) {
				t.Errorf("%s is about %s, which is no key", a.id, p)
			}
		}
	}
	with, without := 0, 0
	eachSample(t, func(t *testing.T, b *brief.Brief, files Files) {
		p := job(b, DefaultBook(), files, Everything).Make(nil)
		for _, f := range p.Findings {
			if len(f.Paths) == 0 {
				without++
			} else {
				with++
			}
			for i, at := range f.Paths {
				if !known(at) {
					t.Errorf("%s rests on %s", f.ID, at)
				}
				for _, other := range f.Paths[:i] {
					if at.Under(other) {
						t.Errorf("%s rests on %s and on %s", f.ID, other, at)
					}
				}
			}
		}
		for _, a := range p.Assumptions {
			if a.Path != "" && !known(a.Path) {
				t.Errorf("%s is replaced by %s, which is no key", a.ID, a.Path)
			}
		}
	})
	if with < 10*without {
		t.Errorf("%d findings rest on keys, %d on none", with, without)
	}
}
