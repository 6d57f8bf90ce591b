package mix

import (
	"testing"

	"raftwright/finding"
	"raftwright/unit"
)

// Where the shelf has what the limit on products keeps out, the limit is what is told, not a
// purchase: the number that is told ends the lack, one fewer does not (own rule, no source).
func TestTheLimitOnProductsIsTold(t *testing.T) {
	job := func(most int, shelf ...string) Job {
		return Job{Water: softTap(), Shelf: shelfOf(t, shelf...), Target: Target{Recipe: "lettuce"}, Bed: 450 * unit.Litre, Measure: Measure{Scale, unit.Gram}, Crop: Crop{EC: Band{1.2, 1.8}}, MostProducts: most}
	}
	two := []string{"hydroponic base powder 5-12-26", "calcium nitrate 15.5-0-0"}
	salts := []string{"calcium nitrate 15.5-0-0", "potassium nitrate", "monopotassium phosphate", "Epsom salt", "iron EDTA"}
	for _, c := range []struct {
		shelf       []string
		most, allow int
	}{{two, 1, 2}, {two, 2, 0}, {two, 0, 0}, {salts, 4, 5}, {salts, 5, 0}, {two[:1], 1, 0}} {
		m := solve(t, job(c.most, c.shelf...))
		f, told := hasFinding(m.Findings, FindAllow)
		if (m.Allow != nil) != (c.allow > 0) || told != (c.allow > 0) {
			t.Errorf("%v, %d allowed: %v, told %v", c.shelf, c.most, m.Allow, told)
			continue
		}
		if !told {
			continue
		}
		worst, _, _ := m.missed()
		if m.Allow.Most != c.allow || f.Severity != finding.Caution || m.Buy != nil && !m.Works() {
			t.Errorf("%v, %d allowed: %d, %+v, buy %v", c.shelf, c.most, m.Allow.Most, f, m.Buy)
		}
		then := solve(t, job(m.Allow.Most, c.shelf...))
		if again, _, any := then.missed(); any && again.Nutrient == worst.Nutrient || !then.Works() {
			t.Errorf("%v, %d allowed: %s is still missed", c.shelf, m.Allow.Most, worst.Nutrient)
		}
	}
}
