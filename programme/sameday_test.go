package programme_test

import (
	"testing"

	"raftwright/programme"
)

// Of several corrections of one field on one day the one that was written last stands, whatever their names; so of those that take a correction out. The rows are
// written again as they were.
func TestOfOneDayTheLastWrittenCorrectionStands(t *testing.T) {
	files := map[string]string{
		"counties.csv": "county,name\nALD,Alder\n", "funders.csv": "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,each,once,11,\n",
		"events.csv": "event,date,county,site,form,topic,series,title,education,adults,youth,staff_lead,staff_with,minutes\nE1,2027-01-01,ALD,,workshop,build,,,yes,1,0,,,\nE2,2027-01-01,ALD,,workshop,build,,,yes,1,0,,,\n",
		"corrections.csv": `correction,made_on,table,record,action,field,old,new,reason
X9,2027-01-05,events,E1,change,adults,1,20,counted
X1,2027-01-05,events,E1,change,adults,20,30,counted again
X3,2027-01-04,events,E1,change,adults,1,10,counted
X5,2027-01-05,events,E1,change,adults,30,40,counted once more
Z2,2027-01-06,events,E2,void,,,,twice
A1,2027-01-06,corrections,Z2,void,,,,it is another
`}
	r, faults := programme.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	day, _ := programme.ParseDay("2027-01-06")
	if s := r.Standing(day); len(s.Events) != 2 || s.Events[0].Adults != 40 {
		t.Errorf("%+v", s.Events)
	}
	if got := programme.Write(r)["corrections.csv"]; got != files["corrections.csv"] {
		t.Error("written otherwise:", got)
	}
}
