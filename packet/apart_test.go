package packet_test

import (
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
)

// What must not meet is said of what is mixed: of calcium only where a product brings it. A feed that starves the crop
// has no reading to look for on the first page.
func TestCautionsAreOfWhatIsMixed(t *testing.T) {
	for _, c := range []struct {
		shelf         string
		calcium, read bool
	}{{"[{name: 20-20-20}]", false, false}, {"[{name: hydroponic base powder 5-12-26}, {name: calcium nitrate 15.5-0-0}]", true, true}} {
		b, faults := brief.Parse("bed.yaml", []byte("bed: {length: 97 in, width: 49 in, depth: 6 in}\nwater: {kind: hard}\nshelf: "+c.shelf+"\n"))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		w := words(t, lang.US)
		all := strings.Join(strings.Fields(strings.ReplaceAll(told(t, packet.Faces(p, w, packet.Options{})), "┃", " ")), " ")
		if got := strings.Contains(all, "Keep calcium nitrate 15.5-0-0 out of strong buckets"); got != c.calcium {
			t.Errorf("%s: kept apart %v", c.shelf, got)
		}
		if got := strings.Contains(told(t, packet.Answer(p, plan.Everything, w, false)), w.Say("packet.glance.ec", nil)); got != c.read {
			t.Errorf("%s: a reading to look for %v", c.shelf, got)
		}
	}
}
