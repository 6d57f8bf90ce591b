package programme_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"raftwright/internal/lp"
	"raftwright/programme"
)

// years is how many random years are tried: RAFTWRIGHT_YEARS, or 20.
func years() uint64 {
	if n, err := strconv.ParseUint(os.Getenv("RAFTWRIGHT_YEARS"), 10, 32); err == nil {
		return n
	}
	if testing.Short() {
		return 3
	}
	return 20
}

var groups = []string{"American Indian or Alaska Native", "Asian", "Black or African American", "Hispanic or Latino", "Middle Eastern or North African", "Native Hawaiian or Pacific Islander", "White"}

// invent makes up a year, small or large, in which everything that a rule speaks of happens.
func invent(seed uint64) programme.Records {
	r := rand.New(rand.NewPCG(seed, 13))
	n := func(most int) int { return r.IntN(most + 1) }
	start, _ := programme.ParseDay("2026-07-01")
	day := func() programme.Day { return start + programme.Day(r.IntN(365)) }
	x := programme.Records{Funders: []programme.Funder{
		{ID: "F", From: start, To: start + 364, Series: []string{"each", "once"}[n(1)], SameDay: []string{"once", "each"}[n(1)], Threshold: 5 + n(8)},
		{ID: "G", From: start + programme.Day(n(60)), To: start + 300 + programme.Day(n(64)), Series: []string{"each", "once"}[n(1)], SameDay: []string{"once", "each"}[n(1)], Threshold: 5 + n(8)},
	}}
	people := 5 + n(60)
	spoken := []string{"", "en", "en", []string{"es", "vi"}[n(1)]}
	code := func() string {
		if n(3) == 0 {
			return ""
		}
		return "P" + strconv.Itoa(r.IntN(people))
	}
	for i := range people {
		role := "public"
		if n(20) == 0 {
			role = "staff"
		}
		x.People = append(x.People, programme.Person{ID: "P" + strconv.Itoa(i), Role: role})
		if n(25) == 0 {
			x.Consents = append(x.Consents, programme.Consent{Person: "P" + strconv.Itoa(i), Purpose: "keep", Withdrawn: day()})
		}
	}
	for c := range 1 + n(4) {
		id := string(rune('A' + c))
		x.Counties = append(x.Counties, programme.County{ID: id, Name: "County " + id})
		site := programme.Site{ID: "S" + id, County: id, Opened: start - 10}
		x.Sites = append(x.Sites, site)
		likely := r.Perm(7)
		for range n(6) * (1 + n(2)) {
			e := programme.Event{ID: "E" + strconv.Itoa(len(x.Events)), Date: day(), County: id, Education: n(8) > 0, Adults: n(40), Youth: n(1) * n(25), ServedIn: spoken[n(3)]}
			if n(5) == 0 {
				e.Series = "S" + strconv.Itoa(n(1)) + id
			}
			x.Events = append(x.Events, e)
			for range n(min(e.Adults, 15) + n(1)*n(1)*n(1)*3) {
				x.SignIns = append(x.SignIns, programme.SignIn{Event: e.ID, Person: code()})
			}
			for range min(n(40), e.Adults+n(1)*n(1)*n(1)*n(1)*2) {
				s := programme.Slip{ID: "L" + strconv.Itoa(len(x.Slips)), Event: e.ID, Standard: "2024", Sex: []string{"", "F", "F", "M", "X"}[n(4)]}
				if n(30) == 0 {
					s.Standard, s.Groups = "1997", "White"
				} else if n(5) > 0 {
					s.Groups = groups[likely[min(n(6), n(6))]]
					if n(9) == 0 {
						s.Groups += "|" + groups[(likely[0]+1)%7]
					}
				}
				s.AgeBand = []string{"", "18-24", "25-44", "65+"}[n(3)]
				x.Slips = append(x.Slips, s.Pooled(e))
			}
		}
		for range n(25) {
			x.Visits = append(x.Visits, programme.Visit{ID: "V" + strconv.Itoa(len(x.Visits)), Date: day(), Site: site.ID, Education: n(6) > 0, Person: code(), OthersMet: n(1) * n(3), ServedIn: spoken[n(3)]})
		}
		for range n(60) {
			x.Inquiries = append(x.Inquiries, programme.Inquiry{ID: "N" + strconv.Itoa(len(x.Inquiries)), Date: day(), County: id, Education: n(5) > 0, Person: code(), Status: []string{"open", "closed"}[n(1)], Referred: []string{"", "", "agent"}[n(2)], ServedIn: spoken[n(3)]})
		}
	}
	for i, s := range x.Sites {
		for b := range n(9) {
			bed := programme.Bed{ID: "B" + strconv.Itoa(i) + strconv.Itoa(b), Site: s.ID, Length: 8, Width: 4, Planted: start}
			x.Beds = append(x.Beds, bed)
			for range n(4) {
				pounds, _ := programme.ParseDecimal(strconv.Itoa(n(30)) + "." + strconv.Itoa(n(9)))
				x.Harvests = append(x.Harvests, programme.Harvest{ID: "H" + strconv.Itoa(len(x.Harvests)), Date: day(), Bed: bed.ID, Crop: "lettuce", Heads: n(20), Pounds: pounds, Fate: []string{"given", "kitchen", "sold"}[n(2)]})
			}
		}
	}
	follow(&x, r, day)
	return x
}

func follow(x *programme.Records, r *rand.Rand, day func() programme.Day) {
	n := func(most int) int { return r.IntN(most + 1) }
	for w := range n(2) {
		sent := n(120)
		wave := programme.Wave{ID: "W" + strconv.Itoa(w), Sent: day(), Count: sent}
		x.Waves = append(x.Waves, wave)
		for range n(sent) {
			x.Replies = append(x.Replies, programme.Reply{ID: strconv.Itoa(len(x.Replies)), Wave: wave.ID, Mailing: 1 + n(2), Answer: []string{"", "yes", "yes", "no"}[n(3)]})
		}
	}
	if len(x.Events) > 0 {
		for i := range n(60) {
			x.Answers = append(x.Answers, programme.Answer{Form: strconv.Itoa(i), Event: x.Events[n(len(x.Events)-1)].ID, Kind: "looking back", Item: "mix", Before: programme.Maybe{Given: true, N: 1 + n(4)}, After: programme.Maybe{Given: n(6) > 0, N: 1 + n(4)}})
		}
	}
	for range n(5) {
		c := programme.Correction{ID: "X" + strconv.Itoa(len(x.Corrections)), MadeOn: day() + 100, Action: "void", Table: "inquiries"}
		if len(x.Events) > 0 && n(1) == 0 {
			c.Table, c.Action, c.Field, c.New, c.Record = "events", "change", "adults", strconv.Itoa(n(40)), x.Events[n(len(x.Events)-1)].ID
		} else if len(x.Inquiries) > 0 {
			c.Record = x.Inquiries[n(len(x.Inquiries)-1)].ID
		}
		x.Corrections = append(x.Corrections, c)
	}
}

func figure(t testing.TB, e *programme.Edition, name, county string) (int, bool) {
	t.Helper()
	for _, f := range e.Figures {
		if f.Name() == name && f.County == county {
			n, err := strconv.Atoi(f.Text)
			return n, err == nil && f.Why == ""
		}
	}
	return 0, false
}

// What a report shows adds up from the lines that it shows.
func TestTotalsAddUp(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for seed := range years() {
		x := invent(seed)
		for _, funder := range x.Funders {
			e := report(t, x, funder.ID, "2027-12-31").Inside()
			get := func(name, county string) int {
				n, ok := figure(t, e, name, county)
				if !ok {
					t.Fatalf("year %d: no %s of %s", seed, name, county)
				}
				return n
			}
			for _, name := range []string{"direct_contacts", "contacts_events_adults", "contacts_events_youth", "contacts_visits", "contacts_inquiries", "same_day_removed", "series_not_counted_again", "events", "visits", "inquiries", "business_left_out"} {
				sum := 0
				for _, c := range x.Counties {
					sum += get(name, c.ID)
				}
				if all := get(name, "all"); sum != all {
					t.Errorf("year %d, %s: %s is %d, its counties add up to %d", seed, funder.ID, name, all, sum)
				}
			}
			direct := get("direct_contacts", "all")
			kinds := get("contacts_events_adults", "all") + get("contacts_events_youth", "all") + get("contacts_visits", "all") + get("contacts_inquiries", "all") - get("same_day_removed", "all")
			months, table, served, ages, grown, counties := 0, 0, 0, 0, 0.0, 0.0
			aged, _ := figure(t, e, "age_unknown", "all")
			for _, f := range e.Figures {
				if f.Measure == "month: " {
					months += int(f.Number)
				}
				switch {
				case f.Measure == "served_in: ":
					served += int(f.Number)
				case f.Measure == "age: ":
					ages += int(f.Number)
				case strings.HasPrefix(f.Measure, "pounds_") && f.County == "all":
					grown += f.Number
				case strings.HasPrefix(f.Measure, "pounds_"):
					counties += f.Number
				}
				if f.Measure == "alone: " && f.County == "all" {
					table += int(f.Number)
				}
			}
			if served != direct && served > 0 || ages+aged != direct && ages > 0 || math.Abs(grown-counties) > 1e-6 {
				t.Errorf("year %d, %s: %d contacts; by language %d, by age %d and %d; %v pounds, by county %v", seed, funder.ID, direct, served, ages, aged, grown, counties)
			}
			if kinds != direct || months != direct || table != direct {
				t.Errorf("year %d, %s: %d contacts; kinds %d, months %d, groups %d", seed, funder.ID, direct, kinds, months, table)
			}
			if get("people_known", "all")+get("contacts_unnamed", "all") != get("people_at_most", "all") {
				t.Errorf("year %d: people do not add up", seed)
			}
		}
	}
}

// unknowns are what an outsider does not see of a public edition, and what they know of it: how figures hang together. It
// is written without the code that hides.
type unknowns struct {
	names []string
	truth []int
	rows  []map[int]float64
	is    []float64
}

func (u *unknowns) add(name string, truth int) int {
	u.names, u.truth = append(u.names, name), append(u.truth, truth)
	return len(u.names) - 1
}

func (u *unknowns) equation(is float64, by map[int]float64) {
	u.rows, u.is = append(u.rows, by), append(u.is, is)
}

// found names the small counts of which an outsider knows that they are under the threshold.
func (u *unknowns) found(threshold int) (out []string) {
	m := &lp.Model{}
	for _, is := range u.is {
		m.AddRow(is, is, nil, nil)
	}
	for i := range u.names {
		var rows []int32
		var by []float64
		for r, terms := range u.rows {
			if b, ok := terms[i]; ok {
				rows, by = append(rows, int32(r)), append(by, b)
			}
		}
		m.AddCol(0, 0, math.Inf(1), rows, by)
	}
	if m.SolveDual(math.Inf(1)) != lp.Optimal {
		return []string{"what is shown contradicts itself"}
	}
	for i, truth := range u.truth {
		if truth < 1 || truth >= threshold {
			continue
		}
		m.SetColBounds(i, float64(threshold), math.Inf(1))
		if m.SolveDual(math.Inf(1)) != lp.Optimal {
			out = append(out, fmt.Sprintf("%s = %d", u.names[i], truth))
		}
		m.SetColBounds(i, 0, math.Inf(1))
	}
	return out
}

// sums gives the equation "whole = sum of parts" with what is shown as figures and the rest as unknowns.
func sums(t testing.TB, u *unknowns, at map[string]int, e *programme.Edition, truth func(string) int, whole string, parts map[string]float64) {
	t.Helper()
	is, by := 0.0, map[int]float64{}
	see := func(name string, b float64) {
		measure, county, _ := strings.Cut(name, "|")
		if county == "" {
			county = "all"
		}
		if n, ok := figure(t, e, measure, county); ok {
			is -= b * float64(n)
			return
		}
		if _, ok := at[name]; !ok {
			at[name] = u.add(name, truth(name))
		}
		by[at[name]] += b
	}
	see(whole, -1)
	for name, b := range parts {
		see(name, b)
	}
	if len(by) > 0 {
		u.equation(is, by)
	} else if is != 0 {
		t.Errorf("%s is not the sum of its parts", whole)
	}
}

// In no public edition can a small count be told to be small, by linear programming over all that the figures say of each
// other.
func TestPublicEditionWithstandsAnAttack(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	secrets, shown := 0, 0
	for seed := range years() {
		x := invent(seed)
		for _, funder := range x.Funders {
			r := report(t, x, funder.ID, "2027-12-31")
			e, in := r.Public(), r.Inside()
			for _, f := range e.Figures {
				if n, err := strconv.Atoi(f.Text); err == nil && f.Kind == programme.People {
					shown++
					if 0 < n && n < funder.Threshold {
						t.Errorf("year %d, %s: %s %s = %d is shown", seed, funder.ID, f.County, f.Name(), n)
					}
				}
			}
			if e.Hidden != nil {
				attack(t, e.Grid, e.Hidden, funder.Threshold)
			}
			secrets += e.Secrets
			u, at := &unknowns{}, map[string]int{}
			truth := func(name string) int {
				measure, county, _ := strings.Cut(name, "|")
				if county == "" {
					county = "all"
				}
				if n, ok := figure(t, in, measure, county); ok {
					return n
				}
				return -1 // nobody's secret: no count of the report
			}
			kinds := map[string]float64{"contacts_events_adults": 1, "contacts_events_youth": 1, "contacts_visits": 1, "contacts_inquiries": 1, "same_day_removed": -1}
			sums(t, u, at, e, truth, "direct_contacts", kinds)
			months, served, ages := map[string]float64{}, map[string]float64{}, map[string]float64{"age_unknown": 1}
			for _, f := range in.Figures {
				switch f.Measure {
				case "served_in: ":
					served[f.Name()] = 1
				case "age: ":
					ages[f.Name()] = 1
				}
				if f.Measure == "month: " {
					months[f.Name()] = 1
				}
			}
			sums(t, u, at, e, truth, "direct_contacts", months)
			if len(served) > 0 {
				sums(t, u, at, e, truth, "direct_contacts", served)
			}
			if len(ages) > 1 {
				sums(t, u, at, e, truth, "direct_contacts", ages)
			}
			sums(t, u, at, e, truth, "direct_contacts", map[string]float64{"sex F": 1, "sex M": 1, "sex_another_answer": 1, "sex_unknown": 1})
			sums(t, u, at, e, truth, "people_at_most", map[string]float64{"people_known": 1, "contacts_unnamed": 1})
			for _, w := range x.Waves {
				of := "wave " + w.ID + ": "
				if _, ok := figure(t, in, of+"sent", "all"); !ok {
					continue
				}
				get := func(what string) int { n, _ := figure(t, in, of+what, "all"); return n }
				odd := map[string]int{of + "silent": get("sent") - get("returned"), of + "blank": get("returned") - get("answered"), of + "no": get("answered") - get("yes")}
				with := func(name string) int {
					if n, ok := odd[name]; ok {
						return n
					}
					return truth(name)
				}
				sums(t, u, at, e, with, of+"sent", map[string]float64{of + "returned": 1, of + "silent": 1})
				sums(t, u, at, e, with, of+"returned", map[string]float64{of + "answered": 1, of + "blank": 1})
				sums(t, u, at, e, with, of+"answered", map[string]float64{of + "yes": 1, of + "no": 1})
			}
			if found := u.found(funder.Threshold); len(found) > 0 {
				t.Errorf("year %d, %s (threshold %d): %v", seed, funder.ID, funder.Threshold, found)
			}
		}
	}
	if secrets < int(years()) || shown < 10*int(years()) {
		t.Errorf("%d secrets and %d shown figures prove little", secrets, shown)
	}
}

// Whoever subtracts a report from one that went out before finds no small group.
func TestReportsCannotBeSubtracted(t *testing.T) {
	near, n := 0, years()
	if testing.Short() {
		n = 1
	}
	for seed := range n {
		x := invent(seed)
		var went []programme.Published
		for _, asked := range []struct{ funder, asOf string }{{"F", "2027-05-20"}, {"F", "2027-08-15"}, {"G", "2027-08-15"}, {"F", "2027-12-31"}} {
			x.Published = went
			e := report(t, x, asked.funder, asked.asOf).Public()
			near += len(e.Near)
			threshold := e.Funder.Threshold
			for _, old := range went {
				if old.Hidden || old.Count == 0 && old.Measure == "" {
					continue
				}
				for _, f := range e.Figures {
					if f.Kind != programme.People || f.Why != "" || f.Name() != old.Measure || f.County != old.County {
						continue
					}
					if d := max(old.Count-int(f.Number), int(f.Number)-old.Count); 0 < d && d < threshold {
						t.Errorf("year %d: %s %s as of %s is %v, %d went out before", seed, f.County, f.Name(), asked.asOf, f.Number, old.Count)
					}
				}
			}
			for _, what := range joinedDiffer(went, e) {
				t.Errorf("year %d: as of %s %s", seed, asked.asOf, what)
			}
			went = append(went, e.Remember()...)
		}
	}
	if near == 0 {
		t.Error("no two reports were near each other: this proves nothing")
	}
}

// joinedDiffer adds up, for each edition that went out and for this one, the counties that both do not show by themselves, joined ones among them, and subtracts.
// It tells where that is a small group.
func joinedDiffer(went []programme.Published, e *programme.Edition) (out []string) {
	type edition struct {
		funder, measure string
		asOf            programme.Day
	}
	old := map[edition]map[string]programme.Published{}
	for _, p := range went {
		if p.County != programme.All {
			at := edition{p.Funder, p.Measure, p.AsOf}
			if old[at] == nil {
				old[at] = map[string]programme.Published{}
			}
			old[at][p.County] = p
		}
	}
	for at, lines := range old {
		then, now, joined, open := 0, 0, false, true
		there := map[string]bool{}
		for _, f := range e.Figures {
			if f.Name() != at.measure || f.County == programme.All {
				continue
			}
			there[f.County] = true
			if _, alike := lines[f.County]; !alike || f.County == "others" {
				now, joined, open = now+int(f.Number), joined || f.County == "others", open && f.Why == ""
			}
		}
		for county, p := range lines {
			if !there[county] || county == "others" {
				then, joined, open = then+p.Count, joined || county == "others", open && !p.Hidden
			}
		}
		if d := max(then-now, now-then); joined && open && len(there) > 0 && then > 0 && now > 0 && 0 < d && d < e.Funder.Threshold {
			out = append(out, fmt.Sprintf("what is joined of %s was %d in what went out as of %s, and is %d", at.measure, then, at.asOf, now))
		}
	}
	return out
}
