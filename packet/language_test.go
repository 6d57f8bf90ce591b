package packet_test

import (
	"regexp"
	"strings"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
)

// smallWords are small words that no Spanish sentence holds.
var smallWords = regexp.MustCompile(`(?i)(^|[^\pL.\-])(the|of|and|with|are|from|into|this|when|which|for|is|per|your|water|by|to)([^\pL\-]|$)`)

// Nothing of the packet and of the second document stays English, but what the grower wrote.
func TestNothingStaysEnglish(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for i, name := range []string{"demo", "home", "tank", "hard-water", "school", "rain-water"} {
		p := planOf(t, "../examples/"+name+".yaml")
		for k, u := range []lang.Units{lang.US, lang.Metric} {
			if testing.Short() && (i+k)%2 == 1 {
				continue // each in one system
			}
			es, err := lang.For("es", u)
			if err != nil {
				t.Fatal(err)
			}
			said := told(t, packet.Faces(p.In("es"), es, packet.Options{})) + told(t, accounts(p.In("es"), es, packet.Options{})) + told(t, packet.Working(p.In("es"), es, packet.Options{}))
			sources := false
			for line := range strings.Lines(said) {
				sources = sources || strings.Contains(line, es.Say("packet.source.title", nil))
				if text := strings.NewReplacer(p.Title(), "", p.Brief.Prices.Place.Value, "").Replace(line); !sources && smallWords.MatchString(text) {
					t.Errorf("%s, units %d: %s", name, u, line)
				}
			}
		}
	}
}
