package programme_test

import (
	"slices"
	"strings"
	"testing"

	"raftwright/programme"
)

// federalYear is an invented year from October to September with traps of its own; each figure below was reckoned by hand from these rows.
var federalYear = map[string]string{
	"counties.csv": "county,name\nAAA,Alpha\nBBB,Beta\nCCC,Gamma\n",
	"funders.csv":  "funder,label,from,to,series,same_day,threshold,rate\nFED,a federal year,2026-10-01,2027-09-30,each,once,5,\nONE,the same,2026-10-01,2027-09-30,each,each,5,\n",
	"sites.csv":    "site,county,kind,opened,closed,host\nS1,AAA,home,2026-01-01,,\nS2,BBB,school,2026-01-01,,\n",
	"beds.csv":     "bed,site,length_ft,width_ft,depth_in,holes,first_planted,retired\nB1,S1,8,4,10,32,2026-04-01,\nB2,S2,4,4,10,16,2026-04-01,\n",
	"people.csv":   "person,county,role,since\nP01,AAA,public,2026-01-01\nP02,AAA,public,2026-01-01\nP03,AAA,public,2026-01-01\nP04,BBB,public,2026-01-01\nP05,BBB,public,2026-01-01\n",
	"consents.csv": "person,purpose,site,given,withdrawn\nP01,keep,,2026-01-01,\nP02,keep,,2026-01-01,2027-07-20\nP03,keep,,2026-01-01,\nP04,keep,,2026-01-01,\nP05,keep,,2026-01-01,\n",
	"events.csv": "event,date,county,site,form,topic,series,title,education,adults,youth,staff_lead,staff_with,minutes\n" +
		"E0,2026-09-30,AAA,,talk,water,,x,yes,9,0,,,60\nE1,2026-10-01,AAA,,talk,water,,x,yes,10,0,,,60\n" +
		"E2,2027-02-28,BBB,,workshop,build,,families,yes,20,5,,,180\nE3,2027-09-30,CCC,,talk,water,,x,yes,7,0,,,60\n",
	"signins.csv":   "event,person\nE1,P01\nE1,P02\nE1,P03\nE2,P01\nE2,P04\n",
	"visits.csv":    "visit,date,site,mode,education,topic,person,others_met,staff,minutes,miles\nV1,2027-02-28,S1,site,yes,water,P01,2,,30,1\nV2,2027-03-01,S2,site,yes,water,,0,,30,1\n",
	"inquiries.csv": "inquiry,date,county,mode,education,topic,person,answered_by,status,minutes,referred,note\nN1,2026-10-01,BBB,phone,yes,water,P02,,closed,5,,\nN2,2027-05-01,BBB,phone,yes,water,P05,,closed,5,,\nN3,2027-05-01,BBB,phone,no,water,,,closed,5,,\n",
	"classes.csv":   "result,event,group,grades,item,right_before,answered_before,right_after,answered_after\nC1,E2,a,3-5,ph,,,3,6\n",
	"waves.csv":     "wave,question,sent_on,sent,undeliverable\nW1,Do you grow?,2027-03-01,30,0\nW2,Do you grow?,2027-03-02,12,12\n",
	"replies.csv":   "reply,wave,mailing,returned_on,answer,pounds_told\n",
	"harvests.csv":  "harvest,date,bed,crop,heads,pounds,fate,receipts\nH1,2026-10-05,B1,lettuce,4,2.5,sold,12.50\nH2,2027-04-01,,lettuce,2,1.5,sold,7.25\nH3,2027-04-02,B2,lettuce,3,3,given,\n",
	// the second correction of E2 stands before the first; a bed is taken out that a harvest names
	"corrections.csv": "correction,made_on,table,record,action,field,old,new,reason\nX2,2027-07-12,events,E2,change,adults,22,21,counted again\nX1,2027-07-10,events,E2,change,adults,20,22,late ones\nX3,2027-07-01,beds,B2,void,,,,never built\n",
}

func TestAFederalYearOfTraps(t *testing.T) {
	records := read(t, federalYear)
	for _, c := range []struct{ funder, asOf, figure, county, want string }{
		{"FED", "2027-07-15", "contacts_events_adults", "all", "31"}, // 10 of E1 on the first day, 21 of E2; E0 is the day before, E3 to come
		{"FED", "2027-07-11", "contacts_events_adults", "all", "32"}, // the first correction alone
		{"FED", "2027-07-09", "contacts_events_adults", "all", "30"}, // none
		{"FED", "2027-09-30", "contacts_events_adults", "all", "38"}, // E3 on the last day
		{"FED", "2027-07-15", "contacts_events_youth", "all", "5"},   //
		{"FED", "2027-07-15", "same_day_removed", "all", "2"},        // P01 in two counties, an event and a visit; P02 in two counties, an event and a call
		{"FED", "2027-07-15", "direct_contacts", "all", "40"},        // 31 + 5 + 4 + 2 - 2
		{"FED", "2027-07-15", "direct_contacts", "AAA", "12"},        // 10 + 3 - 1
		{"FED", "2027-07-15", "direct_contacts", "BBB", "28"},        // 26 + 1 + 2 - 1
		{"FED", "2027-07-15", "direct_contacts", "CCC", "0"},         //
		{"FED", "2027-07-15", "business_left_out", "all", "1"},       //
		{"FED", "2027-07-15", "people_known", "all", "5"},            //
		{"FED", "2027-07-15", "contacts_unnamed", "all", "34"},       // 7 + 19 + 5 + 2 + 1
		{"FED", "2027-07-15", "people_at_least", "all", "26"},        // the workshop
		{"FED", "2027-07-15", "people_at_most", "all", "39"},         //
		{"FED", "2027-07-25", "people_known", "all", "4"},            // P02 is nobody from July 20 on
		{"FED", "2027-07-25", "same_day_removed", "all", "1"},        // and no longer merged
		{"FED", "2027-07-25", "direct_contacts", "all", "41"},        //
		{"FED", "2027-07-25", "contacts_unnamed", "all", "36"},       //
		{"FED", "2027-07-19", "people_known", "all", "5"},            //
		{"ONE", "2027-07-15", "direct_contacts", "all", "42"},        // nobody is taken off
		{"FED", "2027-07-15", "receipts_sold", "all", "19.75"},       // at a bed and at none
		{"FED", "2027-07-15", "pounds_sold", "AAA", "2.5"},           //
		{"FED", "2027-07-15", "pounds_sold", "no county", "1.5"},     // at no bed
		{"FED", "2027-07-15", "pounds_given", "no county", "3"},      // at a bed that was taken out
		{"FED", "2027-07-15", "pounds_given", "all", "3"},            // the food was there, whatever became of the row of its bed
		{"FED", "2027-06-30", "beds_active", "all", "2"},             //
		{"FED", "2027-07-15", "beds_active", "all", "1"},             //
		{"FED", "2027-07-15", "wave W1: sent", "all", "30"},          //
		{"FED", "2027-07-15", "wave W1: answered", "all", "0"},       //
	} {
		r := report(t, records, c.funder, c.asOf)
		f, ok := r.Find(c.figure, c.county)
		if text := strings.TrimSuffix(strings.TrimRight(f.Text, "0"), "."); !ok || f.Text != c.want && (text != c.want || !strings.Contains(f.Text, ".")) {
			t.Errorf("%s as of %s, %s of %s: %q, not %q", c.funder, c.asOf, c.figure, c.county, f.Text, c.want)
		}
	}
	r := report(t, records, "FED", "2027-07-15")
	for _, e := range []*programme.Edition{r.Inside(), r.Public()} {
		for _, f := range e.Figures {
			if low := strings.ToLower(f.Text); strings.Contains(low, "nan") || strings.Contains(low, "inf") || f.Number != f.Number {
				t.Errorf("%s of %s is %q", f.Name(), f.County, f.Text)
			}
			if f.Name() == "wave W1: share" && f.Why == "" {
				t.Errorf("a share of nobody: %q", f.Text)
			}
		}
	}
	if _, ok := r.Find("class/ph: right after alone", programme.All); ok || !slices.ContainsFunc(r.Noticed, func(x programme.Exception) bool { return x.What == "pupils" && x.ID == "C1" }) {
		t.Error("six of five pupils answered, and count:", r.Noticed)
	}
}
