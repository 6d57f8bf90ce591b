package plan_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/plan"
)

// FuzzPlan takes any bytes from the file to the whole plan: it may be told its
// faults, but it never panics, and what is planned has a verdict.
func FuzzPlan(f *testing.F) {
	names, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(names) == 0 {
		f.Fatalf("no examples: %v", err)
	}
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for _, seed := range []string{
		"", "bed:", "bed: {}", "bed: {vessel: round}", "bed: {vessel: tub, length: 1 m, base length: 2 m, width: 1 m}", "raft: {diameter: 1 m, pattern: staggered}",
		"bed: {}\nwater: {ph: 14, alkalinity: 0 mg/L}\nacid: {product: citric, target ph: 12}\n", "bed: {}\nwater: {ph: 0, calcium: 100000 mg/L}\n",
		"bed: {}\nshelf: [{name: a, formula: NaCl, limit: 0 g/L}]\ntarget: {nitrogen: 1e-9 mg/L, ec: 20 mS/cm}\nmix: {measure: scale 1 kg, bucket: 0.1 L}\n",
		"bed: {}\nschedule: {heads per week: 100000, first harvest: 2027-12-30, last harvest: 2028-02-29, harvest days: [Mon]}\nsite: {latitude: -90}\n",
		"cut: {kerf: 1 in, trim: 2 ft, stock: [{length: 4 ft}], pieces: [{length: 1 mm, count: 100000}]}\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		b, faults := brief.Parse("fuzz.yaml", data)
		for _, x := range faults {
			if text := x.Error(); !strings.HasPrefix(text, "fuzz.yaml:") || strings.ContainsRune(text, '\n') {
				t.Errorf("a fault without its place, or on two lines: %q", text)
			}
		}
		if b == nil {
			return
		}
		if len(faults) > 0 || len(b.Site.Climate) > 0 || b.Raft.Pattern.Value == "best" {
			return // files and the search for the densest raft have fuzz targets of their own
		}
		for _, part := range []plan.Part{plan.Everything, plan.Water, plan.Mix, plan.Cut, plan.Season} {
			p, more := plan.Make(b, book, plan.Files{}, part)
			for _, x := range more {
				if text := x.Error(); !strings.HasPrefix(text, "fuzz.yaml:") || strings.ContainsRune(text, '\n') {
					t.Errorf("a fault without its place, or on two lines: %q", text)
				}
			}
			if len(more) == 0 {
				p.Worst()
				p.Working(part)
			}
		}
	})
}
