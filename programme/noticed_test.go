package programme_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/programme"
)

// seen gives how often something was noticed, and of what.
func seen(r *programme.Report, what string) (ids []string) {
	for _, x := range r.Noticed {
		if x.What == what {
			ids = append(ids, x.ID)
		}
	}
	return ids
}

// Volunteers' hours are written in quarters (our rule, no source): what is not is told, and counts as written.
func TestHoursNotInQuartersAreTold(t *testing.T) {
	plain := report(t, read(t, year(t)), "BOARD", "2027-08-31")
	if f, ok := plain.Find("hours_not_in_quarters", programme.All); !ok || f.Text != "0" || seen(plain, "quarters") != nil {
		t.Fatal("the invented year has hours in quarters alone:", f.Text, seen(plain, "quarters"))
	}
	files := year(t)
	for i, hours := range []string{"1.25", "2.50", "0.7500", "3", "1.3", "0.1", "2.005"} {
		files["hours.csv"] += "HQ" + string(rune('1'+i)) + ",2027-05-01,V74D6,,bed care,service," + hours + "\n"
	}
	files["hours.csv"] += "HQ8,2027-07-01,V74D6,,bed care,service,1.3\n" // after the year
	r := report(t, read(t, files), "BOARD", "2027-08-31")
	if got := seen(r, "quarters"); !slices.Equal(got, []string{"HQ5", "HQ6", "HQ7"}) {
		t.Error(got)
	}
	f, _ := r.Find("hours_not_in_quarters", programme.All)
	if f.Text != "3" || len(f.From) != 3 {
		t.Error(f.Text, len(f.From))
	}
	was, _ := plain.Find("hours_service", programme.All)
	now, _ := r.Find("hours_service", programme.All)
	if d := now.Number - was.Number; d < 10.9049 || d > 10.9051 {
		t.Errorf("hours count as written: %v more", d)
	}
}

// Hours of service by what was done add up to all of them.
func TestHoursByTaskAddUp(t *testing.T) {
	r := report(t, read(t, year(t)), "BOARD", "2027-08-31")
	sum, tasks := 0.0, 0
	for _, f := range r.Figures {
		if f.Measure == "hours_task: " {
			sum, tasks = sum+f.Number, tasks+1
		}
	}
	if f, _ := r.Find("hours_service", programme.All); sum != f.Number || tasks != 5 {
		t.Errorf("%v of %d tasks, %v in all", sum, tasks, f.Number)
	}
	for _, f := range r.Public().Figures {
		if strings.Contains(f.Name(), "task") {
			t.Error("tasks are in somebody's words:", f.Name())
		}
	}
}

// The wording of an item is the same before and after, or it is another item.
func TestAnItemInOtherWordsIsTold(t *testing.T) {
	head := "form,kind,item,english,spanish,answer,choices,choices_spanish\n"
	for _, c := range []struct {
		what, rows string
		told       []string
	}{
		{"the same words, spaced otherwise", "B,before,ph,I can set pH,Sé ajustar el pH,five,,\nA,after,ph,I can  set pH ,Sé ajustar el pH,five,,\n", nil},
		{"other words after", "B,before,ph,I can set pH,Sé ajustar el pH,five,,\nA,after,ph,I can set pH alone,Sé ajustar el pH,five,,\n", []string{"ph"}},
		{"other words in Spanish", "B,before,ph,I can set pH,Sé ajustar el pH,five,,\nA,after,ph,I can set pH,Puedo ajustar el pH,five,,\n", []string{"ph"}},
		{"another scale", "B,before,ph,I can set pH,Sé ajustar el pH,five,,\nA,after,ph,I can set pH,Sé ajustar el pH,yes,,\n", []string{"ph"}},
		{"another form in mid year", "B,before,ph,I can set pH,Sé,five,,\nB2,before,ph,I set pH,Sé,five,,\nB3,before,ph,I do set pH,Sé,five,,\n", []string{"ph"}},
		{"another design, which is never compared", "B,before,ph,I can set pH,Sé,five,,\nL,looking back,ph,Can you set pH now,Sé,five,,\n", nil},
		{"an item that nobody answered", "B,before,zinc,I know zinc,Sé,five,,\nA,after,zinc,I know all of zinc,Sé,five,,\n", nil},
	} {
		files := year(t)
		files["questions.csv"] = head + c.rows
		r := report(t, read(t, files), "BOARD", "2027-08-31")
		if got := seen(r, "wording"); !slices.Equal(got, c.told) {
			t.Errorf("%s: %v", c.what, got)
		}
		if f, _ := r.Find("items_reworded", programme.All); int(f.Number) != len(c.told) || len(c.told) > 0 && len(f.From) < 2 {
			t.Errorf("%s: %s, %d records", c.what, f.Text, len(f.From))
		}
	}
}

// A volunteer who served at an event and signs its sheet counts as somebody who came, as rule 7 of the practice year has it; both counts are told.
func TestWhoServedAndSignedIsTold(t *testing.T) {
	plain := report(t, read(t, year(t)), "BOARD", "2027-08-31")
	if f, ok := plain.Find("served_and_signed", programme.All); !ok || f.Text != "0" {
		t.Fatal(f.Text)
	}
	if _, ok := plain.Find("people_known_without_who_served", programme.All); ok {
		t.Error("nobody served and signed, so there is no second count")
	}
	files := year(t)
	files["people.csv"] += "VNEW1,ALD,volunteer,2026-07-01\nVNEW2,ALD,volunteer,2026-07-01\n"
	files["signins.csv"] += "E006,VNEW1\nE006,VNEW2\n"
	files["hours.csv"] += "HN1,2026-09-12,VNEW1,E006,help at event,service,2\nHN2,2026-09-12,VNEW2,E006,training received,training,2\n"
	r := report(t, read(t, files), "BOARD", "2027-08-31")
	was, _ := plain.Find("people_known", programme.All)
	now, _ := r.Find("people_known", programme.All)
	without, _ := r.Find("people_known_without_who_served", programme.All)
	if now.Number != was.Number+2 || without.Number != was.Number+1 { // who was trained there came to learn
		t.Errorf("known %s before, %s now, %s without", was.Text, now.Text, without.Text)
	}
	if got := seen(r, "served"); !slices.Equal(got, []string{"E006"}) {
		t.Error(got)
	}
	f, _ := r.Find("served_and_signed", programme.All)
	if f.Text != "1" || len(f.From) != 2 { // the event and the entry
		t.Error(f.Text, len(f.From))
	}
}

// What slips said opens to counts by county after joining, never to a slip.
func TestNoFigureOpensToASlip(t *testing.T) {
	r := report(t, read(t, year(t)), "BOARD", "2027-08-31")
	slips := map[string]bool{}
	for i, row := range strings.Split(year(t)["slips.csv"], "\n") {
		if id, _, ok := strings.Cut(row, ","); ok && i > 0 {
			slips[id] = true
		}
	}
	opened := 0
	for _, f := range r.Figures {
		for _, id := range r.IDs(f, len(f.From)) {
			if slips[id] {
				t.Fatalf("%s names slip %s", f.Name(), id)
			}
		}
		n := 0
		for _, l := range r.Open(f, 0, len(f.From)) {
			if l.Table != "slips" {
				continue
			}
			if slices.Contains(l.Columns, "slip") || slips[l.ID] {
				t.Fatalf("%s opens to slip %s", f.Name(), l.ID)
			}
			k := must(strconv.Atoi(l.Values[1]))(t)
			if n += k; k < 11 && k != len(f.From) { // alone it is all there is
				t.Errorf("%s: %v", f.Name(), l.Values)
			}
		}
		if n > 0 {
			if opened++; n != len(f.From) {
				t.Errorf("%s: %d of %d", f.Name(), n, len(f.From))
			}
		}
	}
	if opened < 10 {
		t.Error(opened)
	}
}

// Staff named as who was taught on a visit or by a question is told, so that a correction takes the code off; the sign-in list has its own exception.
func TestStaffThatWasMetIsTold(t *testing.T) {
	files := year(t)
	files["people.csv"] += "STAFFX,ALD,staff,2026-07-01\n"
	r := read(t, files)
	r.Visits[0].Person, r.Visits[0].Education, r.Inquiries[0].Person, r.Inquiries[0].Education = "STAFFX", true, "STAFFX", true
	got := report(t, r, "BOARD", "2027-08-31")
	if ids := seen(got, "staff_met"); len(ids) != 2 {
		t.Error(ids)
	}
	if f, _ := got.Find("staff_met", programme.All); f.Text != "2" {
		t.Error(f.Text)
	}
	known, _ := got.Find("people_known", programme.All)
	if f, _ := got.Find("people_known_without_staff", programme.All); f.Number != known.Number-1 { // one code, met twice
		t.Error(f.Text, "people without staff, of", known.Text)
	}
	if f, _ := report(t, read(t, year(t)), "BOARD", "2027-08-31").Find("staff_met", programme.All); f.Text != "0" {
		t.Error(f.Text)
	}
}

// A story that speaks of a cause is told of, in either language; one that says after is not.
func TestAStoryOfACauseIsTold(t *testing.T) {
	for text, want := range map[string]bool{"The workshop LED  to more beds.": true, "Gracias a la clase, 33 cultivan.": true, "After the workshop, 33 of the 44 who answered still grow.": false, "We scheduled tools.": false, "Después del taller, 33 de 44 cultivan.": false} {
		r := read(t, year(t))
		r.Stories = []programme.Story{{Funder: "BOARD", Language: "en", Part: "result", Text: text}}
		if got := seen(report(t, r, "BOARD", "2027-08-31"), "cause"); (len(got) == 1) != want {
			t.Errorf("%q: %v", text, got)
		}
		if got := seen(report(t, r, "SCHOOLFUND", "2027-08-31"), "cause"); len(got) != 0 {
			t.Error("another funder's story:", got)
		}
	}
}

// A row that says in every column what one before it says is asked about and still counts; one that differs in a word, a blank question and one outside the range are not.
func TestADoubleIsAskedAbout(t *testing.T) {
	files := year(t)
	for name, rows := range map[string]string{
		"events.csv":    "D1,2027-05-01,ALD,,talk,water,,t,yes,9,0,,,60\nD2,2027-05-01,ALD,,talk,water,,t,yes,9,0,,,60\nD3,2027-05-01,ALD,,talk,water,,t,yes,9,1,,,60\n",
		"visits.csv":    "D4,2027-05-01,S003,on site,yes,water,,2,,30,0\nD5,2027-05-01,S003,on site,yes,water,,2,,30,0\n",
		"inquiries.csv": "D6,2027-05-01,ALD,phone,yes,water,,,closed,5,,\nD7,2027-05-01,ALD,phone,yes,water,,,closed,5,,\nD8,2027-05-01,ALD,phone,yes,water,,,closed,,,\nD9,2027-05-01,ALD,phone,yes,water,,,closed,,,\n",
		"harvests.csv":  "D10,2027-05-01,S015-3,lettuce,17,4.4,given,\nD11,2027-05-01,S015-3,lettuce,17,4.4,given,\nD12,2027-05-01,S015-3,lettuce,17,4.4,given,\n",
		"indirect.csv":  "D13,2027-05-01,page,p,page views,5,\nD14,2027-05-01,page,p,page views,5,\nD15,2027-07-01,page,p,page views,5,\nD16,2027-07-01,page,p,page views,5,\n",
	} {
		files[name] += rows
	}
	got := report(t, read(t, files), "BOARD", "2027-08-31")
	if ids := seen(got, "double"); strings.Join(ids, " ") != "D11 D12 D14 D2 D5 D7" {
		t.Error(ids)
	}
	for name, by := range map[string]float64{"possible_doubles": 6, "contacts_events_adults": 27, "contacts_visits": 6, "contacts_inquiries": 4, "harvest_records": 3} {
		was, _ := report(t, read(t, year(t)), "BOARD", "2027-08-31").Find(name, programme.All)
		if f, _ := got.Find(name, programme.All); f.Number-was.Number != by {
			t.Errorf("%s rose by %g, not %g", name, f.Number-was.Number, by)
		}
	}
}
