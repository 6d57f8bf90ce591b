package brief

import "testing"

// A bag is known by its three numbers: as a bare word, as a label without a name, or
// as a name. A salt goes by its formula.
func TestAGradeIsAShelf(t *testing.T) {
	for text, want := range map[string]struct {
		name  string
		grade bool
	}{
		"shelf: [20-20-20]":                          {"20-20-20", true},
		"shelf: [20 - 20 - 20]":                      {"20 - 20 - 20", true},
		"shelf: [{label: 5-12-26}]":                  {"5-12-26", true},
		"shelf: [{name: 15.5-0-0}]":                  {"15.5-0-0", true},
		"shelf: [{name: 5-12-26, label: 5-12-26}]":   {"5-12-26", true},
		"shelf: [{label: 5-12-26, magnesium: 6 %}]":  {"5-12-26", false},
		"shelf: [{name: my powder, label: 5-12-26}]": {"my powder", true},
		"shelf: [{name: 5-12-26, label: 20-20-20}]":  {"5-12-26", true},
		"shelf: [{formula: KNO3}]":                   {"KNO3", false},
		"shelf: [Epsom salt]":                        {"Epsom salt", false},
	} {
		b := mustParse(t, text)
		if p := b.Shelf[0]; p.Name.Value != want.name || p.IsGrade() != want.grade {
			t.Errorf("%s: %q, a grade: %v", text, p.Name.Value, p.IsGrade())
		}
	}
	if _, faults := Parse("bed.yaml", []byte("shelf: [20-20-20, {label: 20-20-20}]")); len(faults) != 1 || faults[0].ID != "brief.fault.product_twice" {
		t.Errorf("the same bag twice: %v", faults)
	}
	// a name that was made up goes when the label does
	b := mustParse(t, "shelf: [{label: 5-12-26}]")
	if b, _ = b.Set("shelf[0].label", "20-20-20"); b.Shelf[0].Name.Value != "20-20-20" {
		t.Errorf("after the change it is called %q", b.Shelf[0].Name.Value)
	}
	if b, _ = b.Set("shelf[1]", "Epsom salt"); len(b.Shelf) != 2 || b.Shelf[1].Name.Value != "Epsom salt" {
		t.Errorf("%+v", b.Shelf)
	}
}
