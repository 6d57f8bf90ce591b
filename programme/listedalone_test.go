package programme

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
)

// lists reads a year whose lists name codes without a row of people: PROW has one, PALONE and PLEFT none, PLEFT took the consent to be held back.
func lists(t *testing.T, more map[string]string) Records {
	t.Helper()
	files := map[string]string{
		"counties.csv": "county,name\nALD,Alder\n",
		"funders.csv":  "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,once,once,11,\n",
		"people.csv":   "person,county,role,since\nPROW,ALD,public,2026-07-01\nSDESK,ALD,staff,2020-01-01\n",
		"consents.csv": "person,purpose,site,given,withdrawn\nPLEFT,keep,,2026-08-01,2026-10-05\n",
		"events.csv": "event,date,county,site,form,topic,series,title,education,adults,youth,staff_lead,staff_with,minutes\n" +
			"E1,2026-09-01,ALD,,class,build,SER,,yes,20,0,,,\nE2,2026-10-01,ALD,,class,build,SER,,yes,20,0,,,\nE3,2026-08-01,ALD,,class,build,,,yes,20,0,,,\n",
		"signins.csv": "event,person\nE1,PALONE\nE2,PALONE\nE1,PROW\nE2,PLEFT\nE3,PLEFT\nE3,PTHREE\nE3,\n",
		"keeping.csv": "table,start,months,source\npeople,since,6,participants\n",
	}
	maps.Copy(files, more)
	r, faults := Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return r
}

func dueIn(t *testing.T, r Records, day string) string {
	t.Helper()
	due, faults := r.DueOn(on(day))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	out := []string{}
	for _, d := range due {
		out = append(out, strings.TrimSpace(d.Table+" "+d.Record+" "+d.On.String()+" "+d.Held))
	}
	slices.Sort(out)
	return strings.Join(out, ", ")
}

// A code on a list without a row of its own is due as a person is: who withdrew from that day on, others by the rule of people since the last list on which they stand, as its day
// is corrected. It goes from the lists, those of one series still count it once, and nobody who withdrew is counted as known again.
func TestACodeThatStandsOnListsAloneGoesToo(t *testing.T) {
	r := lists(t, nil)
	for _, c := range []struct{ day, want string }{
		{"2026-10-04", ""}, {"2026-10-05", "people PLEFT 2026-10-05 participants"}, // the schedule seals it: six months from the last list
		{"2026-12-31", "people PLEFT 2026-10-05 participants"},
		{"2027-01-31", "people PLEFT 2026-10-05 participants, people PROW 2027-01-01, people SDESK 2020-07-01"},
		{"2027-02-01", "people PLEFT 2026-10-05 participants, people PROW 2027-01-01, people PTHREE 2027-02-01, people SDESK 2020-07-01"},
		{"2027-04-01", "people PALONE 2027-04-01, people PLEFT 2026-10-05, people PROW 2027-01-01, people PTHREE 2027-02-01, people SDESK 2020-07-01"},
	} {
		want := c.want
		if c.day < "2027" && c.want != "" {
			want += ", people SDESK 2020-07-01"
		} else if c.want == "" {
			want = "people SDESK 2020-07-01"
		}
		if got := dueIn(t, r, c.day); got != want {
			t.Errorf("%s: %s\nnot %s", c.day, got, want)
		}
	}
	day := on("2027-04-01")
	out, done, faults := r.Destroy(day, "SDESK")
	if len(faults) > 0 || len(done) != 5 {
		t.Fatal(done, faults)
	}
	if got := fmt.Sprint(out.SignIns); got != "[{E1 gone-1} {E2 gone-1} {E1 gone-2} {E2 } {E3 } {E3 } {E3 }]" {
		t.Error(got)
	}
	written := Write(out)
	delete(written, "destroyed.csv") // tells who confirmed
	for _, code := range []string{"PALONE", "PLEFT", "PROW", "PTHREE"} {
		if strings.Contains(all(written), code) {
			t.Error(code, "is named still")
		}
	}
	if got := dueIn(t, out, "2027-04-01"); got != "" {
		t.Error("due twice:", got)
	}
	unsaid := lists(t, map[string]string{"people.csv": "person,county,role,since\nPROW,ALD,public,\nPNEVER,ALD,public,\n"}) // since the last list too, where its row does not say
	if before, then := dueIn(t, unsaid, "2027-02-28"), dueIn(t, unsaid, "2027-03-01"); strings.Contains(before, "PROW") || !strings.Contains(then, "people PROW 2027-03-01") || strings.Contains(then, "PNEVER") {
		t.Error("whose row does not say since when:", before, "; then", then)
	}
	corrected := lists(t, map[string]string{"corrections.csv": "correction,made_on,table,record,action,field,old,new,reason\nX1,2026-10-02,events,E2,change,date,2026-10-01,2026-11-01,wrong\n"})
	if got := dueIn(t, corrected, "2027-04-01"); strings.Contains(got, "PALONE") || !strings.Contains(dueIn(t, corrected, "2027-05-01"), "PALONE 2027-05-01") {
		t.Error("by the wrong day:", got)
	}
}

// Without a schedule that keeps it, a code that withdrew goes from the lists on that day, though it has no row of people: its consent went alone, and it was known again.
func TestWhoWithdrewAndStandsOnListsAloneIsNotKnownAgain(t *testing.T) {
	r := lists(t, map[string]string{"keeping.csv": ""})
	day := on("2026-10-05")
	known := func(r Records) string {
		x, faults := Make(r, "BOARD", on("2027-07-05"))
		f, ok := x.Find("people_known", All)
		if len(faults) > 0 || !ok {
			t.Fatal(faults)
		}
		return f.Text
	}
	if got := dueIn(t, r, "2026-10-05"); got != "people PLEFT 2026-10-05" {
		t.Fatal(got)
	}
	out, _, faults := r.Destroy(day, "SDESK")
	if len(faults) > 0 || strings.Contains(all(Write(out)), "PLEFT") || known(out) != known(r) || known(r) != "3" {
		t.Error(faults, out.SignIns, out.Consents, known(r), known(out))
	}
}

// A hold of signins or of events, of one or of all, stops the list; the lists of a series stay together. Who withdrew stays unnamed beside it, and goes when the hold ends.
func TestAHoldStopsAList(t *testing.T) {
	for hold, want := range map[string]string{
		"signins,E1": "[{E1 PALONE} {E2 PALONE} {E1 PROW} {E2 PLEFT} {E3 } {E3 } {E3 }]", "events,E2": "[{E1 PALONE} {E2 PALONE} {E1 PROW} {E2 PLEFT} {E3 } {E3 } {E3 }]",
		"signins,E3": "[{E1 gone-1} {E2 gone-1} {E1 gone-2} {E2 } {E3 PLEFT} {E3 PTHREE} {E3 }]", "signins,": "[{E1 PALONE} {E2 PALONE} {E1 PROW} {E2 PLEFT} {E3 PLEFT} {E3 PTHREE} {E3 }]",
		"visits,E1": "[{E1 gone-1} {E2 gone-1} {E1 gone-2} {E2 } {E3 } {E3 } {E3 }]",
	} {
		r := lists(t, map[string]string{"holds.csv": "hold,table,record,from,until,reason\nH1," + hold + ",2026-01-01,2027-06-01,suit\n"})
		out, _, faults := r.Destroy(on("2027-05-31"), "SDESK")
		if got := fmt.Sprint(out.SignIns); got != want || len(faults) > 0 {
			t.Errorf("%s: %s\nnot %s", hold, got, want)
		}
		if strings.Contains(want, "PLEFT") && (len(out.Consents) != 1 || slices.ContainsFunc(out.Standing(on("2027-05-31")).SignIns, func(i SignIn) bool { return i.Person == "PLEFT" })) {
			t.Error(hold, "who withdrew is known again:", out.Consents)
		}
		due, _ := out.DueOn(on("2027-05-31"))
		if slices.ContainsFunc(due, func(d Due) bool { return d.Held == "" }) {
			t.Error(hold, "due twice:", due)
		}
		if out, _, _ = out.Destroy(on("2027-06-01"), "SDESK"); strings.Contains(all(map[string]string{"a": Write(out)["signins.csv"], "b": Write(out)["consents.csv"]}), "P") {
			t.Error(hold, "named still:", out.SignIns, out.Consents)
		}
	}
}

// What must vanish is forgotten with the row in which it was found, that of other rows stays; the code of staff whose row goes stands beside no text that they read.
func TestWhatMustVanishGoesWithItsRow(t *testing.T) {
	r := lists(t, map[string]string{
		"inquiries.csv":   "inquiry,date,county,mode,education,topic,person,answered_by,status,minutes,referred,note\nN1,2026-08-31,ALD,call,yes,growing,,,closed,3,,call 555-0101\nN2,2027-03-31,ALD,call,yes,growing,,,closed,3,,call 555-0102\n",
		"must_vanish.csv": "table,record,field,text,kind\ninquiries,N1,note,555-0101,phone\ninquiries,N2,note,555-0102,phone\n",
		"cleared.csv":     "text,read_by,read_on\nRoots.,SDESK,2026-09-01\nLeaves.,SOTHER,2026-09-01\n",
		"keeping.csv":     "table,start,months,source\ninquiries,date,6,calls\npeople,2026-07-01,6,all\n",
	})
	out, _, faults := r.Destroy(on("2027-04-01"), "SDESK")
	if len(faults) > 0 || strings.Contains(all(Write(out)), "555-0101") || len(out.MustVanish) != 1 || out.MustVanish[0].Record != "N2" {
		t.Error(faults, out.MustVanish)
	}
	if out.Cleared[0].By != "gone" || out.Cleared[1].By != "SOTHER" || len(r.MustVanish) != 2 || r.Cleared[0].By != "SDESK" {
		t.Error(out.Cleared, r.Cleared)
	}
}

// A hold that would stop nothing is told at its place: of no table, of one whose rows have no names, or of a record that is not there, whichever of the two tables stands first. One that has
// ended may name what is gone since.
func TestAHoldOfNothingIsTold(t *testing.T) {
	files := map[string]string{
		"counties.csv": "county,name\nALD,Alder\n", "funders.csv": "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,once,once,11,\n",
		"events.csv":    "event,date,county,site,form,topic,series,title,education,adults,youth,staff_lead,staff_with,minutes\nE1,2026-09-01,ALD,,class,build,,,yes,20,0,,,\n",
		"inquiries.csv": "inquiry,date,county,mode,education,topic,person,answered_by,status,minutes,referred,note\nN1,2026-08-31,ALD,call,yes,growing,,,closed,3,,\n",
	}
	for row, want := range map[string]string{"inquiries,N1,2026-09-01,": "", "inquiries,N2,2026-09-01,": "2:14 programme.fault.unknown", "inquiries,N2,2026-09-01,2026-10-01": "", "inquirys,N1,2026-09-01,": "2:4 programme.fault.kept",
		"slips,,2026-09-01,": "", "consents,,2026-09-01,": "2:4 programme.fault.kept", "signins,E1,2026-09-01,": "", "signins,E2,2026-09-01,": "2:12 programme.fault.unknown", "visits,V1,2026-09-01,": "2:11 programme.fault.unknown"} {
		files["holds.csv"] = "hold,table,record,from,until,reason\nH1," + row + ",suit\n"
		_, faults := Read(files)
		got := ""
		for _, f := range faults {
			got += fmt.Sprintf("%d:%d %s", f.Line, f.Column, f.ID)
		}
		if got != want {
			t.Errorf("%s: %q, not %q", row, got, want)
		}
		stands := func(table, name string) bool {
			return table == "events" && name == "E1" || table == "inquiries" && name == "N1"
		}
		if faults := Check("holds", append([]string{"H1"}, strings.Split(row+",suit", ",")...), stands); (len(faults) == 0) != (want == "") { // as a page asks
			t.Errorf("%s on the page: %v", row, faults)
		}
	}
}
