package programme_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"raftwright/programme"
)

// The day by which a question is asked after stands with it, goes out and comes back, and is due from that day until somebody writes down that it was asked, or
// closes it. A folder without the columns reads as before, and is written without them.
func TestAQuestionIsAskedAfterAgain(t *testing.T) {
	files := map[string]string{
		"counties.csv": "county,name\nALD,Alder\n", "funders.csv": "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,each,once,11,\n",
		"people.csv":   "person,county,role,since\nP1,ALD,public,2026-07-01\n",
		"consents.csv": "person,purpose,site,given,withdrawn\nP1,keep,,2026-07-01,2027-01-11\n",
		"inquiries.csv": `inquiry,date,county,mode,education,topic,person,answered_by,status,minutes,referred,note,ask_again,asked_again
N1,2027-01-05,ALD,call,yes,growing,,,closed,3,,,2027-01-12,
N2,2027-01-05,ALD,call,yes,safety,,,open,3,an educator,,2027-01-11,
N3,2027-01-05,ALD,call,yes,growing,,,closed,3,,,2027-01-12,2027-01-12
N4,2027-01-05,ALD,call,yes,growing,P1,,closed,3,,,2027-01-12,
N5,2027-01-05,ALD,call,yes,growing,,,closed,3,,,,
N6,2027-01-05,ALD,call,yes,growing,,,closed,3,,,2027-01-10,
`,
		"corrections.csv": `correction,made_on,table,record,action,field,old,new,reason
X1,2027-01-14,inquiries,N1,change,asked_again,,2027-01-14,asked again
X2,2027-01-15,inquiries,N2,change,status,open,closed,she wrote
X3,2027-01-06,inquiries,N6,void,,,,twice
`}
	r, faults := programme.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for at, want := range map[string]string{"2027-01-10": "", "2027-01-11": "N2 2027-01-11 true", "2027-01-12": "N2 2027-01-11 true; N1 2027-01-12 false", "2027-01-14": "N2 2027-01-11 true", "2027-01-15": ""} {
		day, _ := programme.ParseDay(at)
		var got []string
		for _, x := range r.AskAgainDue(day) {
			got = append(got, fmt.Sprint(x.Question, " ", x.On, " ", x.Open))
		}
		if strings.Join(got, "; ") != want {
			t.Errorf("%s: %q due, not %q", at, got, want)
		}
	}
	for name, text := range programme.Write(r) {
		if text != files[name] && name == "inquiries.csv" {
			t.Error("another after writing:", text)
		}
	}
	files["inquiries.csv"] = strings.Replace(files["inquiries.csv"], "2027-01-12,2027-01-12", "2027-01-04,2027-01-03", 1)
	_, faults = programme.Read(files)
	var got []string
	for _, f := range faults {
		got = append(got, fmt.Sprintf("%s:%d:%d %s", f.File, f.Line, f.Column, f.ID))
	}
	if want := []string{"inquiries.csv:4:49 programme.fault.order", "inquiries.csv:4:60 programme.fault.order"}; !slices.Equal(got, want) {
		t.Error(got)
	}
	if out := programme.Write(first(programme.Read(year(t))))["inquiries.csv"]; strings.Contains(out, "again") {
		t.Error("a folder without the columns is written with them")
	}
}

func first(r programme.Records, _ any) programme.Records { return r }
