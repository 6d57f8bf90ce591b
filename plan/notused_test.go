package plan

import (
	"slices"
	"testing"

	"raftwright/brief"
	"raftwright/finding"
)

func TestKeysThatNothingReckonsWithAreTold(t *testing.T) {
	const bed = "bed: {length: 97 in, width: 49 in, depth: 6 in}\n"
	for text, want := range map[string][]finding.Path{
		"": nil,
		"site: {latitude: 42, place: 12345}\nmix: {doses: {a: 1 g/L}}\nacid: {product: citric, dose: 1 mmol/L}\nshelf: [{name: a, label: 20-20-20}]\n": {"acid.dose", "mix.doses"},
	} {
		b, faults := brief.Parse("test.yaml", []byte(bed+text))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		p, faults := Make(b, DefaultBook(), nil, Everything)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		var got []finding.Path
		for _, f := range p.Findings {
			if f.ID == FindNotUsed {
				got = append(got, f.Paths...)
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%q: told %q, want %q", text, got, want)
		}
	}
}
