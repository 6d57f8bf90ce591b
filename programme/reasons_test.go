package programme

import (
	"reflect"
	"slices"
	"testing"
)

// Each column that can be withheld has one reason and no more, and every reason of the list is that of something that can be withheld.
func TestEachWithheldColumnHasOneReason(t *testing.T) {
	used, named := map[Reason]bool{}, 0
	note := func(what string, r Reason) {
		if r.Number() < 1 || r.Number() > len(Reasons()) {
			t.Errorf("%s has no reason", what)
		}
		used[r] = true
	}
	for _, s := range sheets {
		own, all := ofTables[s.name]
		if all {
			named++
		}
		if all == (allowed[s.name] != nil) && s.name != "must_vanish" {
			t.Errorf("%s goes in part and has a reason for all of it, or neither: %s", s.name, own)
		}
		if s.name == "must_vanish" {
			continue
		}
		if allowed[s.name] == nil {
			note(s.name, reason(s.name, "", KindPeople))
			continue
		}
		for _, c := range s.columns {
			r, listed := ofColumns[s.name+"."+c.name]
			goes := slices.Contains(allowed[s.name], c.name)
			if listed {
				named++
			}
			if n := count(listed, personal(c.name), goes); n != 1 {
				t.Errorf("%s.%s has %d of: a reason (%s), a code of a person, leave to go", s.name, c.name, n, r)
			}
			switch {
			case goes:
				note(s.name+"."+c.name, reason(s.name, c.name, KindColumn)) // kept back by a State
			case !personal(c.name):
				note(s.name+"."+c.name, reason(s.name, c.name, KindColumn))
			}
		}
	}
	if named != len(ofTables)+len(ofColumns) {
		t.Errorf("%d of %d reasons stand for what is there", named, len(ofTables)+len(ofColumns))
	}
	for _, kind := range []string{KindPerson, KindUnread, KindPupils, KindUnknown} {
		note(kind, reason("events", "note", kind))
	}
	for kind := range vanishing {
		note(kind, MustVanish{Kind: kind}.vanishes())
	}
	note("another kind", MustVanish{Kind: "a nickname"}.vanishes())
	for _, r := range Reasons() {
		if !used[r] {
			t.Errorf("nothing can be withheld for %s", r)
		}
	}
}

func count(list ...bool) (n int) {
	for _, x := range list {
		if x {
			n++
		}
	}
	return n
}

// The log of the invented year gives each line a reason; what must vanish goes by its kind, a column that a State keeps back by its rule.
func TestTheLogOfACopyGivesReasons(t *testing.T) {
	r := invented(t)
	r.Settings = []Setting{{ID: "K1", Name: "withheld", Value: "visits.miles", From: on("2027-08-01"), Source: "State law (invented)"}}
	r.Unread = []string{"members.xlsx"}
	_, log, faults := r.Copy(on("2027-08-31"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	got := map[string]Reason{}
	vanish := map[Reason]int{}
	for _, w := range log {
		if w.Reason.Number() < 1 {
			t.Errorf("no reason: %+v", w)
		}
		if w.Table == "must_vanish" {
			vanish[w.Reason] += w.Count
		}
		got[w.Table+"."+w.Column] = w.Reason
	}
	for what, want := range map[string]Reason{"events.staff_lead": ForName, "events.site": ForAddress, "events.youth": ForPupil, "inquiries.note": ForUnread, "slips.": ForGroup, "corrections.old": ForHistory,
		"visits.miles": ForState, "funders.": ForOffice, "people.": ForName, ".": ForFile} {
		if got[what] != want {
			t.Errorf("%s for %q, not %q", what, got[what], want)
		}
	}
	if len(vanish) != 5 || vanish[ForPhone] != 1 || vanish[ForMail] != 1 || vanish[ForAddress] != 1 || vanish[ForName] != 1 || vanish[ForPupil] != 1 {
		t.Error("of what must vanish:", vanish)
	}
}

// In what order rows of what happened were keyed shows nowhere in a copy for the public: neither in the order of its rows nor in their numbers.
func TestACopyHasNoOrderOfKeying(t *testing.T) {
	r, day := invented(t), on("2027-08-31")
	r.Cleared = append(r.Cleared, Cleared{Text: r.Events[0].Title, By: "K5R49", On: day})
	want, _, faults := r.Copy(day)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	later := r
	for _, s := range sheets {
		if rows := s.rows(&later); told[s.name] && rows.Len() > 1 {
			other := reflect.MakeSlice(rows.Type(), rows.Len(), rows.Len())
			for i := range rows.Len() {
				other.Index(rows.Len() - 1 - i).Set(rows.Index(i))
			}
			rows.Set(other)
		}
	}
	got, _, faults := later.Copy(day)
	if len(faults) > 0 || len(got) != len(want) || len(got) < 8 {
		t.Fatal(len(got), faults)
	}
	for name, text := range want {
		if got[name] != text {
			t.Errorf("%s tells in what order it was keyed:\n%.300s\n%.300s", name, text, got[name])
		}
	}
}
