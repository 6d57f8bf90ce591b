package web

import (
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/sky"
	spots "raftwright/sky/places"
	"raftwright/store"
	"raftwright/tend"
)

// Each thing that puts a bed on the list, a little before it does and a little after.
func TestWhatABedNeeds(t *testing.T) {
	now := time.Date(2027, 6, 15, 9, 0, 0, 0, time.UTC)
	day := 24 * time.Hour
	well := func() (*tend.Tending, *brief.Brief) {
		x := &tend.Tending{NextCheck: now.Add(2 * day)}
		x.State.Plants, x.Visit.At = 32, now.Add(-day)
		b, _ := brief.Parse("", []byte("raftwright: 1\n"))
		return x, b
	}
	meter := func(set string) *brief.Brief {
		b, _ := brief.Parse("", []byte("raftwright: 1\nmeter: {checked: "+set+"}\n"))
		return b
	}
	for _, c := range []struct {
		name, want string
		make       func(*tend.Tending, *brief.Brief) *brief.Brief
	}{
		{"well", "", func(x *tend.Tending, b *brief.Brief) *brief.Brief { return b }},
		{"a leak is looked for", "leak", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.Actions = []tend.Action{{Do: tend.DoLook}}
			return b
		}},
		{"heads are full", "harvest", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.Actions = []tend.Action{{Do: tend.DoHarvest}}
			return b
		}},
		{"a limit is passed", "out", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.IfNothing = tend.IfNothing{Limit: tend.LimitPH, At: now}
			return b
		}},
		{"a limit will be passed", "", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.IfNothing = tend.IfNothing{Limit: tend.LimitPH, At: now.Add(time.Hour)}
			return b
		}},
		{"emptied in 8 days", "", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.DumpBy, x.DumpReason = now.Add(8*day), tend.DumpSodium
			return b
		}},
		{"emptied in 6 days", "dump", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.DumpBy, x.DumpReason = now.Add(6*day), tend.DumpSodium
			return b
		}},
		{"emptied now", "empty", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.DumpBy, x.DumpReason = now, tend.DumpSodium
			return b
		}},
		{"a look is due today", "", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.NextCheck = now.Truncate(day)
			return b
		}},
		{"a look was due yesterday", "look", func(x *tend.Tending, b *brief.Brief) *brief.Brief { x.NextCheck = now.Add(-day); return b }},
		{"no word for three weeks", "look", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.Visit.At, x.NextCheck = now.Add(-21*day), now.Add(-14*day)
			return b
		}},
		{"no word for longer", "silent", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.Visit.At, x.NextCheck = now.Add(-21*day-time.Hour), now.Add(-14*day)
			return b
		}},
		{"the meter was set 60 days ago", "", func(x *tend.Tending, b *brief.Brief) *brief.Brief { return meter("2027-04-17") }},
		{"the meter was set 61 days ago", "meter", func(x *tend.Tending, b *brief.Brief) *brief.Brief { return meter("2027-04-15") }},
		{"two things", "leak dump", func(x *tend.Tending, b *brief.Brief) *brief.Brief {
			x.Actions, x.DumpBy, x.DumpReason = []tend.Action{{Do: tend.DoLook}}, now.Add(day), tend.DumpEnd
			return b
		}},
	} {
		x, b := well()
		b = c.make(x, b)
		var got []string
		for _, r := range reasonsOf(x, b, now) {
			got = append(got, r.Code)
			for _, l := range lang.Languages() {
				words, err := lang.For(l, lang.US)
				if err != nil {
					t.Fatal(err)
				}
				if tag, why := reasonSaid(words, r); tag == "" || why == "" || strings.ContainsAny(tag+why, "[]<{") {
					t.Errorf("%s, %s: %q %q", c.name, l, tag, why)
				}
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %v, want %q", c.name, got, c.want)
		}
	}
}

// A bed is reckoned from its brief and its log: one that nobody came to is asked after, one of which all is cut needs nothing, one without
// a log neither.
func TestReckoned(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	_, kept, askers, _ := staffedHouse(t)
	h := &House{Store: kept, Book: plan.DefaultBook(), Now: func() time.Time { return time.Date(2027, 6, 15, 8, 0, 0, 0, time.Local) }}
	log := invented + "acid: {product: citric, target ph: 5.8}\nlog:\n  - {at: 2027-05-03T08:00, filled: yes, planted: {heads: 32, age: 21 d}, depth: 6 in, ec: 1.6 mS/cm, ph: 6.1}\n"
	for text, want := range map[string]string{
		invented: "",
		log:      "silent",
		log + "  - {at: 2027-06-01T08:00, harvested: {heads: 32}, ec: 1.5 mS/cm}\n": "",
		strings.Replace(log, "planted: {heads: 32, age: 21 d}, ", "", 1):            "silent",
		// this lettuce stands 35 days at most: it ended seven days ago, and eight, when who kept it goes on with it
		strings.Replace(log, "2027-05-03", "2027-05-04", 1) + "  - {at: 2027-06-10T08:00, depth: 5 in, ec: 1.6 mS/cm, ph: 6.1}\n": "empty harvest",
		// nobody came since it ended eight days ago
		log + "  - {at: 2027-06-06T08:00, depth: 5 in, ec: 1.6 mS/cm, ph: 6.1}\n": "empty harvest",
		log + "  - {at: 2027-06-10T08:00, depth: 5 in, ec: 1.6 mS/cm, ph: 6.1}\n": "",
	} {
		id := store.NewID()
		if _, err := kept.PutBed(t.Context(), store.Holder(), id, text, plan.Code); err != nil {
			t.Fatal(err)
		}
		if err := h.reckon(t.Context(), id); err != nil {
			t.Fatal(err)
		}
		list, err := kept.Attention(t.Context(), store.Holder(), store.Group{}, nil, 50)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range list {
			if a.Bed.ID != id {
				continue
			}
			if visits := strings.Count(text, "{at: "); visits > 0 != (a.Reading.Texts["ec"] != "" && !a.Reading.At.IsZero()) || visits == 1 && a.Reading.Texts["ec"] != "1.6 mS/cm" {
				t.Errorf("of a log in the brief itself %v stands on the list, of %v", a.Reading.Texts, a.Reading.At)
			}
			var got []string
			for _, r := range a.Reasons {
				got = append(got, r.Code)
			}
			if strings.Join(got, " ") != want {
				t.Errorf("%v, want %q:\n%s", got, want, text[len(invented):])
			}
		}
	}
	if due, err := kept.AttentionDue(t.Context(), h.Now(), "", 50); err != nil || len(due) != len(askers)-2 {
		t.Errorf("still to be reckoned: %v, %v", due, err)
	}
}

// The list shows the most pressing first, page by page, narrowed by what is chosen; a grower sees their own; and a bed that was written to is
// reckoned anew.
func TestBedsByNeed(t *testing.T) {
	server, kept, askers, _ := staffedHouse(t)
	educator, grower := askers[0], askers[2]
	atlas, err := sky.OpenAtlas(spots.Packed)
	if err != nil {
		t.Fatal(err)
	}
	h := &House{Store: kept, Book: plan.Book{}.With(atlas)}
	for i := range 60 {
		id := store.NewID()
		if _, err := kept.PutBed(t.Context(), store.Holder(), id, fmt.Sprintf("raftwright: 1\ntitle: Invented %02d\n", i), plan.Code); err != nil {
			t.Fatal(err)
		}
		b, err := kept.Bed(t.Context(), store.Holder(), id)
		if err != nil {
			t.Fatal(err)
		}
		a := store.Attention{Seen: b.Changed, Again: time.Now().Add(time.Hour), Group: store.Group{County: []string{"Alder County", "Birch County"}[i%2], Kind: "school", Program: "invented"}}
		if i%3 == 0 {
			a.Rank, a.Reasons = 100+i, []store.Reason{{Code: "leak", Args: map[string]string{"litres": "4"}}}
		}
		if err := kept.SetAttention(t.Context(), store.Holder(), id, a); err != nil {
			t.Fatal(err)
		}
	}
	_, first := educator.page(t, "GET", server.URL+"/beds", nil)
	if at, below := strings.Index(first, "Invented 57"), strings.Index(first, "Invented 54"); at < 0 || below < at {
		t.Error("the most pressing does not stand first")
	}
	if !strings.Contains(first, "need something: 20 of 64.") || !strings.Contains(first, "Leak likely") {
		t.Error("what is needed is not counted or said")
	}
	next := strings.Index(first, "/beds?after=")
	if next < 0 {
		t.Fatal("no second page")
	}
	_, second := educator.page(t, "GET", server.URL+strings.ReplaceAll(first[next:next+strings.IndexByte(first[next:], '"')], "&amp;", "&"), nil)
	for i := range 60 {
		name := fmt.Sprintf("Invented %02d", i)
		if strings.Contains(first, name) == strings.Contains(second, name) {
			t.Errorf("%s stands on both pages or on none", name)
		}
	}
	_, narrow := educator.page(t, "GET", server.URL+"/beds?"+url.Values{"county": {"Birch County"}}.Encode(), nil)
	if strings.Contains(narrow, "Invented 00") || !strings.Contains(narrow, "Invented 03") || !strings.Contains(narrow, "need something: 10 of 30.") {
		t.Error("the list is not narrowed")
	}
	for by, want := range map[string]bool{"kind=school": true, "kind=market": false, "program=invented": true, "program=other": false, "county=Birch+County&kind=school&program=invented": true} {
		if _, got := educator.page(t, "GET", server.URL+"/beds?"+by, nil); strings.Contains(got, "Invented 57") != want {
			t.Errorf("narrowed by %s, the most pressing is there or not: %v", by, !want)
		}
	}
	if _, own := grower.page(t, "GET", server.URL+"/beds", nil); strings.Contains(own, "Invented 0") || !strings.Contains(own, grower.bed) {
		t.Error("a grower sees other beds, or not their own")
	}
	for text, want := range map[string]string{"place: Penobscot County ME": "Penobscot County ME", "place: Orono ME": "", "place: Orono ME, county: Penobscot": "Penobscot"} {
		b, _ := brief.Parse("", []byte("site: {"+text+"}\n"))
		if got := h.countyOf(b); got != want {
			t.Errorf("%s lies in %q", text, got)
		}
	}
}
