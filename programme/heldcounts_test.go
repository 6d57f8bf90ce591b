package programme_test

import (
	"fmt"
	"maps"
	"strings"
	"testing"

	"raftwright/programme"
)

// small is an invented year of few rows, with these files beside it.
func small(t *testing.T, more map[string]string) programme.Records {
	t.Helper()
	files := map[string]string{
		"counties.csv": "county,name\nALD,Alder\nBIR,Birch\n",
		"funders.csv":  "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,each,once,11,\n",
	}
	maps.Copy(files, more)
	return read(t, files)
}

const eventHead = "event,date,county,site,form,topic,series,title,education,adults,youth,staff_lead,staff_with,minutes,asked_in,served_in,interpreter\n"

// says gives what the inside edition says of figures.
func says(t *testing.T, r *programme.Report, names ...string) string {
	t.Helper()
	var out []string
	for _, name := range names {
		out = append(out, of(r.Inside(), name))
	}
	return strings.Join(out, " ")
}

// Where a funder's form asks for female or male alone, both are counted and another answer is unknown (METHODS 2.1: Executive Order 14168, memo of 11 February 2025); else it is
// counted as it is written. All add up to the contacts.
func TestSexAnswersOfAFederalForm(t *testing.T) {
	files := map[string]string{
		"events.csv": eventHead + "E1,2027-01-10,ALD,,class,build,,,yes,20,0,,,,,,\n",
		"slips.csv":  "slip,event,standard,groups,sex,age_band\nS1,E1,2024,White,F,\nS2,E1,2024,White,F,\nS3,E1,2024,,M,\nS4,E1,2024,,X,\nS5,E1,2024,,,\n",
	}
	names := []string{"sex F", "sex M", "sex_another_answer", "sex_unknown"}
	if got := says(t, report(t, small(t, files), "BOARD", "2027-07-05"), names...); got != "2 1 1 16" {
		t.Error("as written:", got)
	}
	files["settings.csv"] = "setting,name,funder,value,from,to,source\nK1,sex_answers,BOARD,F and M,2026-07-01,,\n"
	if got := says(t, report(t, small(t, files), "BOARD", "2027-07-05"), names...); got != "2 1 none 17" {
		t.Error("F and M:", got)
	}
}

// The share of the unknown where slips were handed out takes the adults of events with slips and of pools alone, and neither those nor the slips of one that was set aside for more
// slips than adults; over all contacts nothing that was set aside is known.
func TestTheUnknownWhereSlipsWere(t *testing.T) {
	slips := func(event, county, month string, named, blank int) (out string) {
		for i := range named + blank {
			group := "White"
			if i >= named {
				group = ""
			}
			out += fmt.Sprintf("%s%s%s%d,%s,2024,%s,,,%s,%s\n", "S", event, county+month, i, event, group, county, month)
		}
		return out
	}
	files := map[string]string{
		"events.csv": eventHead + "E1,2027-01-10,ALD,,class,build,,,yes,20,4,,,,,,\nE2,2027-01-11,ALD,,class,build,,,yes,10,0,,,,,,\nE3,2027-01-12,ALD,,class,build,,,yes,15,0,,,,,,\n" +
			"E4,2027-02-12,BIR,,class,build,,,yes,8,0,,,,,,\nE5,2027-03-12,BIR,,class,build,,,yes,5,0,,,,,,\n",
		"slips.csv": "slip,event,standard,groups,sex,age_band,county,month\n" + slips("E1", "", "", 10, 2) + slips("E2", "", "", 11, 0) + slips("", "BIR", "2027-02", 3, 1) + slips("", "BIR", "2027-03", 6, 0),
	}
	r := report(t, small(t, files), "BOARD", "2027-07-05")
	// 62 contacts, 13 named: 49 of 62; where slips were 20 + 8 adults: 15 of 28; the eleven of E2 and the six of March are set aside
	if got := says(t, r, "direct_contacts", "slips_returned", "slips_used", "unknown_share_race", "unknown_share_where_slips"); got != "62 33 16 0.790323 0.535714" {
		t.Error(got)
	}
	files["slips.csv"] = "slip,event,standard,groups,sex,age_band,county,month\n" + slips("E2", "", "", 11, 0) + slips("", "BIR", "2027-03", 6, 0)
	if got := says(t, report(t, small(t, files), "BOARD", "2027-07-05"), "slips_returned", "slips_used", "unknown_share_race", "unknown_share_where_slips"); got != "17 0 1.000000 programme.why.no_slips" {
		t.Error("all set aside:", got)
	}
}

// Who asked for a language and was served in another without an interpreter is counted as in vain; with one, or in the language, it is not; where one was offered is counted whatever
// was asked. Business and what lies outside the range count in neither (METHODS 11: language asked for, language served, interpreter offered).
func TestLanguagesAskedInVain(t *testing.T) {
	one := func(asked, served, interpreter string) string {
		return says(t, report(t, small(t, map[string]string{
			"events.csv": eventHead + "E1,2027-01-10,ALD,,class,build,,,yes,20,0,,,,,en,\nE2,2027-01-11,ALD,,class,build,,,yes,5,0,,,," + asked + "," + served + "," + interpreter + "\nE3,2027-01-11,ALD,,class,build,,,no,5,0,,,,es,en,yes\nE4,2026-06-30,ALD,,class,build,,,yes,5,0,,,,es,en,\n",
			"sites.csv":  "site,county,kind,opened,closed,host\nS1,ALD,home,2026-01-01,,\n",
			"visits.csv": "visit,date,site,mode,education,topic,person,others_met,staff,minutes,miles,asked_in,served_in,interpreter\nV1,2027-01-12,S1,site,yes,water,,2,,30,1," + asked + "," + served + "," + interpreter + "\nV2,2027-01-12,S1,site,no,water,,2,,30,1,es,en,no\n",
			"inquiries.csv": "inquiry,date,county,mode,education,topic,person,answered_by,status,minutes,referred,note,asked_in,served_in,interpreter\nN1,2027-01-13,ALD,call,yes,water,,,closed,5,,," + asked + "," + served + "," + interpreter +
				"\nN2,2027-07-01,ALD,call,yes,water,,,closed,5,,,es,en,no\n",
		}), "BOARD", "2027-07-05"), "asked_in_vain", "interpreter_offered")
	}
	for _, c := range []struct{ asked, served, interpreter, want string }{
		{"es", "en", "no", "3 0"}, {"es", "en", "", "3 0"}, {"es", "", "", "3 0"}, {"es", "en", "yes", "0 3"}, {"es", "es", "yes", "0 3"}, {"es", "es", "no", "0 0"}, {"", "en", "no", "0 0"}, {"", "en", "yes", "0 3"},
	} {
		if got := one(c.asked, c.served, c.interpreter); got != c.want {
			t.Errorf("asked %q, served %q, interpreter %q: %s, not %s", c.asked, c.served, c.interpreter, got, c.want)
		}
	}
}

// Nobody is asked after again of a question that is still to come, nor of one whose row was emptied; that another table had a row of the name emptied says nothing. One that
// is said to be asked on a later day was not asked by this one.
func TestAskAgainOfWhatIsToComeOrEmptied(t *testing.T) {
	r := programme.Records{
		Inquiries: []programme.Inquiry{
			{ID: "NTOCOME", Date: on("2027-02-01"), AskAgain: on("2027-01-10"), Status: "open"}, {ID: "NEMPTY", Date: on("2027-01-01"), AskAgain: on("2027-01-10"), Status: "open"},
			{ID: "NOTHER", Date: on("2027-01-01"), AskAgain: on("2027-01-10"), Status: "open"}, {ID: "NLATER", Date: on("2027-01-01"), AskAgain: on("2027-01-10"), AskedAgain: on("2027-01-20")},
		},
		Destroyed: []programme.Destroyed{{Table: "inquiries", Record: "NEMPTY", On: on("2027-01-09"), By: "S1", Rule: "calls"}, {Table: "visits", Record: "NOTHER", On: on("2027-01-09"), By: "S1", Rule: "calls"}},
	}
	for day, want := range map[string]string{"2027-01-09": "", "2027-01-10": "NOTHER NLATER", "2027-01-19": "NOTHER NLATER", "2027-01-20": "NOTHER", "2027-01-31": "NOTHER", "2027-02-01": "NTOCOME NOTHER"} {
		var got []string
		for _, x := range r.AskAgainDue(on(day)) {
			got = append(got, x.Question)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %q, not %q", day, got, want)
		}
	}
}

// The public reads the source of a rule, and the reason of one that was changed, only where somebody has read it by the as-of day; inside it always stands. Sources of the
// program's own are told.
func TestTheSourceOfARuleIsReadBeforeItGoesOut(t *testing.T) {
	files := map[string]string{
		"settings.csv":    "setting,name,funder,value,from,to,source\nK1,meal_pounds,,1.2,2026-07-01,,Ann of 555-0101\nK2,food_limit,,600000,2026-07-01,,FDA page of 2026\n",
		"corrections.csv": "correction,made_on,table,record,action,field,old,new,reason\nX1,2027-01-05,funders,BOARD,change,threshold,11,12,Bob said so\n",
		"cleared.csv":     "text,read_by,read_on\nFDA page of 2026,S1,2027-07-05\n",
	}
	r := report(t, small(t, files), "BOARD", "2027-07-05")
	sources := func(e *programme.Edition) string {
		var out []string
		for _, h := range e.Standing() {
			switch h.Name {
			case "meal_pounds", "food_limit", "threshold", "pupils":
				out = append(out, fmt.Sprintf("%s=%s %q %v", h.Name, h.Value, h.Source, h.Withheld))
			}
		}
		return strings.Join(out, "; ")
	}
	if got := sources(r.Inside()); got != `threshold=12 "Bob said so" false; pupils=10 "NCES 2011-603" false; meal_pounds=1.2 "Ann of 555-0101" false; food_limit=600000 "FDA page of 2026" false` {
		t.Error("inside:", got)
	}
	if got := sources(r.Public()); got != `threshold=12 "" true; pupils=10 "NCES 2011-603" false; meal_pounds=1.2 "" true; food_limit=600000 "FDA page of 2026" false` {
		t.Error("public:", got)
	}
	if got := sources(report(t, small(t, files), "BOARD", "2027-07-04").Public()); !strings.Contains(got, `food_limit=600000 "" true`) {
		t.Error("before it was read:", got)
	}
}

// The change of classes is told inside of ten pupils who were asked before and after, at the least, and not of nine; to the public where each class was ten, since with its own
// result it could be worked out (NCES 2011-603: most States ten). Reckoned by hand: the mean of 3/5 - 2/5 and 4/5 - 2/5, and so on.
func TestTheChangeOfTenPupils(t *testing.T) {
	const few = "programme.why.few_pupils"
	for _, c := range []struct{ rows, inside, public string }{
		{"C1,E1,a,3-5,ph,2,5,3,5\nC2,E2,b,3-5,ph,2,5,4,5\n", "0.300000", few}, {"C1,E1,a,3-5,ph,2,5,3,5\nC2,E2,b,3-5,ph,2,4,4,5\n", few, few}, {"C1,E1,a,3-5,ph,2,5,3,5\nC2,E2,b,3-5,ph,2,5,3,4\n", few, few},
		{"C1,E1,a,3-5,ph,4,10,3,5\nC2,E2,b,3-5,ph,2,5,8,10\n", "0.300000", few}, // the fewer of before and after: five and five
		{"C1,E1,a,3-5,ph,4,10,2,4\nC2,E2,b,3-5,ph,2,5,8,10\n", few, few},
		{"C1,E1,a,3-5,ph,4,10,6,10\nC2,E2,b,3-5,ph,4,10,8,10\n", "0.300000", "0.300000"}, {"C1,E1,a,3-5,ph,4,10,6,10\nC2,E2,b,3-5,ph,3,9,8,10\n", "0.333333", few}, {"C1,E1,a,3-5,ph,4,10,6,10\nC2,E2,b,3-5,ph,5,10,6,9\n", "0.183333", few},
	} {
		r := report(t, small(t, map[string]string{"events.csv": eventHead + "E1,2027-01-10,ALD,,class,build,,,yes,0,30,,,,,,\nE2,2027-01-11,ALD,,class,build,,,yes,0,30,,,,,,\n", "classes.csv": classHead + c.rows}), "BOARD", "2027-07-05")
		if in, out := of(r.Inside(), "class/ph: change of classes"), of(r.Public(), "class/ph: change of classes"); in != c.inside || out != c.public {
			t.Errorf("%q: %s and %s, not %s and %s", c.rows, in, out, c.inside, c.public)
		}
	}
}

// Two reports differ by a small group whether a cell rose or fell since, from one to one less than the threshold (METHODS 8).
func TestACellThatFellIsFlagged(t *testing.T) {
	files := map[string]string{"events.csv": eventHead + "E1,2027-01-10,ALD,,class,build,,,yes,60,0,,,,,,\n"}
	for now, want := range map[string]int{"60": 0, "59": 1, "50": 1, "49": 0, "61": 1, "70": 1, "71": 0} {
		files["corrections.csv"] = "correction,made_on,table,record,action,field,old,new,reason\nX1,2027-07-10,events,E1,change,adults,60," + now + ",counted again\n"
		r := small(t, files)
		if got := len(programme.Differ(report(t, r, "BOARD", "2027-07-09"), report(t, r, "BOARD", "2027-07-10"))); got != want {
			t.Errorf("60 and %s: %d cells, not %d", now, got, want)
		}
	}
}

// However little it is, an amount of four sites is not told outside and one of five is; nothing at all is told (METHODS 8: at least five sites).
func TestALittleOfFewSitesIsNotTold(t *testing.T) {
	for n, want := range map[int]string{0: "0.00", 1: "programme.why.few_of", 4: "programme.why.few_of", 5: "0.05"} {
		files := map[string]string{"sites.csv": "site,county,kind,opened,closed,host\n", "beds.csv": "bed,site,length_ft,width_ft,depth_in,holes,first_planted,retired\n", "harvests.csv": "harvest,date,bed,crop,heads,pounds,fate,receipts\n"}
		for i := range 5 {
			files["sites.csv"] += fmt.Sprintf("S%d,ALD,home,2026-01-01,,\n", i)
			files["beds.csv"] += fmt.Sprintf("B%d,S%d,8,4,10,32,2026-04-01,\n", i, i)
			pounds := "0.00"
			if i < n {
				pounds = "0.01"
			}
			if i < n || n == 0 {
				files["harvests.csv"] += fmt.Sprintf("H%d,2027-01-05,B%d,lettuce,1,%s,given,\n", i, i, pounds)
			}
		}
		r := report(t, small(t, files), "BOARD", "2027-07-05")
		if got := of(r.Public(), "pounds_given"); got != want {
			t.Errorf("%d sites: %s, not %s", n, got, want)
		}
	}
}
