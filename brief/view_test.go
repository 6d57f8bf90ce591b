package brief

import (
	"bytes"
	"reflect"
	"testing"

	"raftwright/finding"
)

// A view holds its own keys and no others, and its bytes follow their values: not
// the places, not what stands elsewhere.
func TestViewHoldsItsKeysOnly(t *testing.T) {
	const text = "bed: {length: 97 in, width: 49 in}\nshelf: [{name: Epsom salt, price: 6 USD}]\nprices: {items: {net pot: 0.3 USD}}\ncrop: {name: kale}\n"
	b, faults := Parse("a.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	v, err := Viewing("bed.length", "shelf", "prices.items")
	if err != nil {
		t.Fatal(err)
	}
	got := &Brief{File: b.File}
	v.Show(got, b)
	want := &Brief{File: b.File, Shelf: b.Shelf}
	want.Bed.Length, want.Prices.Items = b.Bed.Length, b.Prices.Items
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
	if v.Hide(got); !reflect.DeepEqual(got, &Brief{File: b.File}) {
		t.Errorf("hidden: %+v", got)
	}
	key := v.AppendValues(nil, b)
	for other, same := range map[string]bool{
		"\n\n" + text + "title: another\n":     true,
		text[:len(text)-1] + "\nlog: []\n":     true,
		"bed: {length: 97.0 in}\n" + text[35:]: true,
		"bed: {length: 98 in}\n" + text[35:]:   false,
		"bed: {width: 97 in}\n" + text[35:]:    false,
		text[:35] + "shelf: [{name: Epsom salt, price: 6.01 USD}]\nprices: {items: {net pot: 0.3 USD}}\n":            false,
		text[:35] + "shelf: [{name: Epsom salt, price: 6 USD}]\nprices: {items: {net pots: 0.3 USD}}\n":              false,
		text[:35] + "shelf: [{name: Epsom salt, price: 6 USD}, {name: urea}]\nprices: {items: {net pot: 0.3 USD}}\n": false,
	} {
		c, faults := Parse("b.yaml", []byte(other))
		if len(faults) > 0 {
			t.Fatalf("%v: %s", faults, other)
		}
		if bytes.Equal(key, v.AppendValues(nil, c)) != same {
			t.Errorf("same: %v, wanted %v:\n%s", !same, same, other)
		}
	}
}

// Briefs share the lists that a change left alone, and no other key: not a list that was changed, read again or is empty.
func TestAChangeSharesTheOtherLists(t *testing.T) {
	const text = "log: [{at: 2027-04-20T17:30, ph: 6.3}]\nshelf: [{name: Epsom salt}, {name: urea}]\ncrop: {name: kale}\n"
	b, faults := Parse("a.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	again, _ := Parse("a.yaml", []byte(text))
	for _, c := range []struct {
		set    finding.Path
		shares map[finding.Path]bool
	}{
		{"title", map[finding.Path]bool{"shelf": true, "log": true, "site.months": false, "crop": false, "crop.name": false}},
		{"shelf[1].price", map[finding.Path]bool{"shelf": false, "log": true}},
		{"log[0].ph", map[finding.Path]bool{"shelf": true, "log": false}},
		{"", map[finding.Path]bool{"shelf": false, "log": false}},
	} {
		next := again
		if c.set != "" {
			value := map[finding.Path]string{"title": "another", "shelf[1].price": "3 USD", "log[0].ph": "6.4"}[c.set]
			if next, faults = b.Set(c.set, value); len(faults) > 0 {
				t.Fatal(faults)
			}
		}
		for p, want := range c.shares {
			v, err := Viewing(p)
			if err != nil {
				t.Fatal(err)
			}
			if v.Shares(next, b) != want {
				t.Errorf("after a change of %q: %s is shared: %v", c.set, p, !want)
			}
		}
	}
}

// Every key of the format has a view, what is no key has none.
func TestViewOfEveryKey(t *testing.T) {
	var walk func(s *spec, at finding.Path)
	seen := 0
	walk = func(s *spec, at finding.Path) {
		for _, f := range s.fields {
			path := at.Key(f.key)
			v, err := Viewing(path)
			if err != nil {
				t.Errorf("%s: %v", path, err)
				continue
			}
			v.AppendValues(nil, &Brief{})
			if seen++; f.class == section {
				walk(f, path)
			}
		}
	}
	walk(definition(), "")
	if seen < 150 {
		t.Errorf("only %d keys seen", seen)
	}
	for _, p := range []finding.Path{"", "bed.lenght", "wather", "bed.length.x", "shelf[0].name"} {
		if _, err := Viewing(p); err == nil {
			t.Errorf("%q has a view", p)
		}
	}
}
