package programme

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
)

// The time for which a row is kept begins on the day that its correction says, not on one that was wrong; a correction of a later day does not count yet, and one
// that was taken out no longer.
func TestWhatIsKeptGoesByItsCorrectedDay(t *testing.T) {
	r := Records{Inquiries: []Inquiry{{ID: "N1", Date: on("2024-08-31"), Note: "x"}},
		Corrections: []Correction{{ID: "X1", MadeOn: on("2026-09-02"), Table: "inquiries", Record: "N1", Action: "change", Field: "date", Old: "2024-08-31", New: "2026-08-31"}},
		Keepings:    []Keeping{{Table: "inquiries", Start: "date", Months: 6, Source: "calls"}}}
	for _, c := range []struct{ day, want string }{{"2026-09-01", "2025-03-03"}, {"2026-09-02", ""}, {"2027-03-02", ""}, {"2027-03-03", "2027-03-03"}} {
		due, faults := r.DueOn(on(c.day))
		if got := fmt.Sprint(due); len(faults) > 0 || (c.want == "") != (len(due) == 0) || len(due) > 0 && due[0].On != on(c.want) {
			t.Errorf("%s: %s, not from %q on", c.day, got, c.want)
		}
	}
	r.Corrections = append(r.Corrections, Correction{ID: "X2", MadeOn: on("2026-09-03"), Table: "corrections", Record: "X1", Action: "void"})
	if due, _ := r.DueOn(on("2026-09-03")); len(due) != 1 {
		t.Error("a correction that was taken out still counts:", due)
	}
}

// Whoever takes the consent to be held back is named nowhere afterwards: not by a correction that wrote the code into a row, whether or not it stands, and by no story
// in their words. Of a withdrawn consent a schedule goes by the corrected day too; stories of others stay.
func TestWhoWithdrewIsNamedByNoCorrectionAndNoStory(t *testing.T) {
	files := map[string]string{
		"counties.csv":  "county,name\nALD,Alder\n",
		"funders.csv":   "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,each,once,11,\n",
		"people.csv":    "person,county,role,since\nPLEFT,ALD,public,2026-07-01\nPSTAY,ALD,volunteer,2026-07-01\n",
		"sites.csv":     "site,county,kind,opened,closed,host\nS1,ALD,home,2026-07-01,,\n",
		"consents.csv":  "person,purpose,site,given,withdrawn\nPLEFT,keep,,2026-08-01,2026-10-01\nPLEFT,tell,,2026-08-01,\nPSTAY,tell,,2026-08-01,\n",
		"visits.csv":    "visit,date,site,mode,education,topic,person,others_met,staff,minutes,miles\nV1,2026-08-31,S1,visit,yes,growing,,1,,30,4\nV2,2026-08-31,S1,visit,yes,growing,PSTAY,0,,30,4\n",
		"hours.csv":     "entry,date,person,event,task,kind,hours\nH1,2026-09-01,PSTAY,,beds,service,2\nH2,2026-09-02,PSTAY,,beds,service,3\n",
		"stories.csv":   "funder,language,part,text,person\nBOARD,en,result,It fed us.,PLEFT\nBOARD,en,done,We built.,PSTAY\n",
		"inquiries.csv": "inquiry,date,county,mode,education,topic,person,answered_by,status,minutes,referred,note\nN1,2024-08-31,ALD,call,yes,growing,PLEFT,,closed,3,,why\n",
		"keeping.csv":   "table,start,months,source\ninquiries,date,2,calls\n",
		"corrections.csv": `correction,made_on,table,record,action,field,old,new,reason
X1,2026-09-02,visits,V1,change,person,,PLEFT,it was her
X2,2026-09-02,visits,V2,change,person,PSTAY,PLEFT,wrong code
X3,2026-09-03,corrections,X2,void,,,,it was not
X4,2026-09-03,hours,H1,change,person,PSTAY,PLEFT,hers
X5,2026-09-03,inquiries,N1,change,date,2024-08-31,2026-08-31,wrong year
`}
	r, faults := Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	day := on("2026-10-01")
	due, _ := r.DueOn(day)
	for _, d := range due {
		if sealed := d.Record == "N1"; sealed != (d.Held != "") || sealed && d.Until != on("2026-10-31") {
			t.Error("sealed, or not:", d)
		}
	}
	out, _, faults := r.Destroy(day, "S1")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	written := Write(out)
	if again, faults := Read(written); len(faults) > 0 || len(again.Hours) != 2 {
		t.Error("what was emptied is not read again:", faults)
	}
	var named []string
	for _, name := range slices.Sorted(maps.Keys(written)) {
		if strings.Contains(written[name], "PLEFT") || strings.Contains(written[name], "It fed us.") {
			named = append(named, name)
		}
	}
	if got := fmt.Sprint(named); got != "[consents.csv inquiries.csv]" { // the schedule keeps it, sealed, and why it is
		t.Error("named in", got)
	}
	if s := out.Standing(day); s.Inquiries[0].Person != "" || len(out.Consents) != 2 {
		t.Error("what is sealed is counted as known again:", s.Inquiries[0].Person, out.Consents)
	}
	if !strings.Contains(written["stories.csv"], "We built.") || out.Hours[1].Person != "PSTAY" {
		t.Error("what others said or did went too")
	}
	if due, _ := out.DueOn(on("2026-10-01")); slices.ContainsFunc(due, func(d Due) bool { return d.Held == "" }) {
		t.Error("due twice:", due)
	}
	if out, _, _ = out.Destroy(on("2026-10-31"), "S1"); strings.Contains(all(Write(out)), "PLEFT") {
		t.Error("what was sealed is named still")
	}
}

// A code whose person took the consent to be held back stays unnamed, also where a later row says yes again: who comes back gets another code (rule 6 of the practice year: unnamed
// everywhere, from that day on). Until that day it is named, and another purpose says nothing about it.
func TestACodeThatWasWithdrawnStaysUnnamed(t *testing.T) {
	r := Records{People: []Person{{ID: "P1", Role: "public"}, {ID: "P2", Role: "public"}},
		Visits: []Visit{{ID: "V1", Date: on("2027-01-05"), Person: "P1"}, {ID: "V2", Date: on("2027-03-05"), Person: "P1"}, {ID: "V3", Date: on("2027-03-05"), Person: "P2"}},
		Consents: []Consent{{Person: "P1", Purpose: "keep", Given: on("2027-01-01"), Withdrawn: on("2027-02-01")}, {Person: "P1", Purpose: "keep", Given: on("2027-03-01")}, {Person: "P1", Purpose: "ask", Given: on("2027-03-01")},
			{Person: "P2", Purpose: "keep", Given: on("2027-01-01")}, {Person: "P2", Purpose: "tell", Given: on("2027-01-01"), Withdrawn: on("2027-02-01")}, {Person: "P2", Purpose: "ask", Given: on("2027-01-01")}}}
	for day, want := range map[string]string{"2027-01-31": "P1 P1 P2 [P2] []", "2027-02-01": "  P2 [P2] [P1 V1 V2]", "2027-03-10": "  P2 [P2] [P1 V1 V2]"} {
		s := r.Standing(on(day))
		due, faults := r.DueOn(on(day))
		names := []string{}
		for _, d := range due {
			names = append(names, d.Record)
		}
		slices.Sort(names)
		got := fmt.Sprint(s.Visits[0].Person, " ", s.Visits[1].Person, " ", s.Visits[2].Person, " ", r.MayBeAsked(on(day), ""), " ", names)
		if got != want || len(faults) > 0 {
			t.Errorf("%s: %q, not %q", day, got, want)
		}
	}
}

// A hold stands from its first day on, not a day before; with no record named it stands on all of the table. The reason of a correction goes with its row, since it may
// tell whose it was; that of another row stays.
func TestAHoldBeginsOnItsDayAndReasonsGo(t *testing.T) {
	r := Records{Inquiries: []Inquiry{{ID: "N1", Date: on("2026-08-31")}, {ID: "N2", Date: on("2027-06-01")}},
		Corrections: []Correction{{ID: "X1", MadeOn: on("2026-09-02"), Table: "inquiries", Record: "N1", Action: "change", Field: "topic", Old: "a", New: "b", Reason: "her sister said"},
			{ID: "X2", MadeOn: on("2027-06-02"), Table: "inquiries", Record: "N2", Action: "change", Field: "topic", Old: "a", New: "b", Reason: "typed wrong"}},
		Keepings: []Keeping{{Table: "inquiries", Start: "date", Months: 6, Source: "calls"}}}
	for _, record := range []string{"N1", ""} {
		r.Holds = []Hold{{ID: "H1", Table: "inquiries", Record: record, From: on("2027-03-10"), Reason: "audit"}}
		for day, want := range map[string]string{"2027-03-09": "", "2027-03-10": "H1"} {
			due, _ := r.DueOn(on(day))
			if len(due) != 1 || due[0].Held != want {
				t.Errorf("%q on %s: %v, not held by %q", record, day, due, want)
			}
		}
	}
	out, _, faults := r.Destroy(on("2027-03-09"), "S1")
	if len(faults) > 0 || out.Corrections[0].Reason != "" || out.Corrections[1].Reason != "typed wrong" {
		t.Error("reasons:", out.Corrections, faults)
	}
}

// When every row of every person is emptied, every figure stays but those of how many different people there were and of whose site may be shown: who was referred on too, and nothing that was emptied
// is asked about as a double.
func TestEveryOtherFigureStaysWhenAllIsEmptied(t *testing.T) {
	r := invented(t)
	r.Corrections = append(slices.Clip(r.Corrections), Correction{ID: "XREF", MadeOn: on("2027-07-02"), Table: "inquiries", Record: r.Inquiries[0].ID, Action: "change", Field: "referred", New: "Ann of 555-0101"})
	for _, table := range []string{"people", "inquiries", "events", "visits", "hours", "harvests", "indirect", "prices"} {
		r.Keepings = append(r.Keepings, Keeping{Table: table, Start: "2026-01-01", Months: 1, Source: "s"})
	}
	day := on("2027-09-01")
	out, _, faults := r.Destroy(day, "S1")
	if len(faults) > 0 || strings.Contains(all(Write(out)), "Ann of") {
		t.Fatal(faults)
	}
	fall := map[string]bool{"people_known": true, "contacts_unnamed": true, "people_at_least": true, "people_at_most": true, "volunteers": true, "map_sites": true} // of the map: whose yes went with them
	checked, referred := 0, ""
	for _, f := range r.Funders {
		a, _ := Make(r, f.ID, day)
		b, _ := Make(out, f.ID, day)
		for _, was := range a.Figures {
			if fall[was.Measure] || was.Measure == "indirect: " || was.Section == "K" && was.Measure != "possible_doubles" {
				continue
			}
			checked++
			if is, _ := b.Find(was.Name(), was.County); is.Text != was.Text {
				t.Errorf("%s: %s of %s was %s, is %s", f.ID, was.Name(), was.County, was.Text, is.Text)
			}
			if was.Measure == "inquiries_referred" {
				referred = was.Text
			}
		}
	}
	if checked < 500 || referred == "" || referred == "0" {
		t.Error(checked, referred)
	}
}

// Of several schedules that still keep a row the longest seals it, in whichever order they stand.
func TestTheLongestScheduleSeals(t *testing.T) {
	long, short := Keeping{Table: "inquiries", Start: "date", Months: 24, Source: "long"}, Keeping{Table: "inquiries", Start: "date", Months: 6, Source: "short"}
	for _, rules := range [][]Keeping{{long, short}, {short, long}} {
		r := Records{Inquiries: []Inquiry{{ID: "N1", Date: on("2026-09-01"), Person: "P1"}}, Consents: []Consent{{Person: "P1", Purpose: "keep", Withdrawn: on("2026-10-01")}}, Keepings: rules}
		if due, _ := r.DueOn(on("2026-10-01")); len(due) != 1 || due[0].Held != "long" || due[0].Until != on("2028-09-01") {
			t.Error(due)
		}
	}
}
