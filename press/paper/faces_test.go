package paper

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
)

// planned plans an example that needs no files beside it.
func planned(t *testing.T, name string) plan.Plan {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../examples", name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse(name, data)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), plan.Files{}, plan.Everything)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return p
}

// setFaces sets the packet of a plan and gives its pages.
func setFaces(t *testing.T, p plan.Plan, tag string, u lang.Units, o packet.Options) (*setter, []sheet) {
	t.Helper()
	words, err := lang.For(tag, u)
	if err != nil {
		t.Fatal(err)
	}
	s, err := newSetter(packet.Faces(p.In(tag), words, o))
	if err != nil {
		t.Fatal(err)
	}
	return s, s.pages()
}

// An ordinary bed takes ten faces, five sheets printed on both sides, on both papers, in
// both systems of units and both languages; nothing hangs over the foot of a face, and none is less than
// half full.
func TestTenFaces(t *testing.T) {
	for _, name := range []string{"home", "demo"} {
		p := planned(t, name)
		for i := range 4 {
			tag, u := []string{"en", "es"}[i/2], []lang.Units{lang.US, lang.Metric}[i%2]
			for k, o := range []packet.Options{{}, {Paper: page.A4}} {
				if testing.Short() && (i+2*k)%4 != 0 {
					continue // the check sets each in every way
				}
				at := fmt.Sprintf("%s, units %d, %s, %s", name, u, o.Paper, tag)
				s, pages := setFaces(t, p, tag, u, o)
				if len(pages) != 10 {
					t.Errorf("%s: %d faces", at, len(pages))
				}
				for i, pg := range pages {
					if d := pg.depth() / s.style.usable(); d > 1.0001 || d < 0.5 {
						t.Errorf("%s: face %d is full to %.2f", at, i+1, d)
					}
				}
			}
		}
	}
}

// No face of any example hangs over its foot, in large print neither.
func TestFacesAreNotClipped(t *testing.T) {
	for n, name := range []string{"minimal", "workshop", "tank", "tub", "escuela", "hard-water", "school", "demo"} {
		p := planned(t, name)
		for i, tag := range []string{"en", "es"} {
			for k, o := range []packet.Options{{}, {Paper: page.A4}, {Large: true}} {
				if testing.Short() && (n+3*i+k)%12 != 0 {
					continue // the check sets each in every way
				}
				s, pages := setFaces(t, p, tag, lang.US, o)
				for i, pg := range pages {
					if d := pg.depth() / s.style.usable(); d > 1.0001 {
						t.Errorf("%s, %s, %+v: face %d is full to %.2f", name, tag, o, i+1, d)
					}
				}
			}
		}
	}
}
