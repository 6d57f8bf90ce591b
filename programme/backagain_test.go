package programme_test

import (
	"fmt"
	"testing"

	"raftwright/programme"
)

// A new yes of a code that was taken back is told from the first day on which one had ended, that day too; one before it, of another purpose or code, or that ended as well, is not.
func TestANewYesOfACodeThatWasTakenBack(t *testing.T) {
	head := "person,purpose,site,given,withdrawn\n"
	for row, want := range map[string]string{
		"P1,keep,,2026-12-01,\n": "4:1 programme.fault.back_again", "P1,keep,,2026-11-30,\n": "", "P1,keep,,,\n": "4:1 programme.fault.back_again", "P1,keep,,2027-01-05,\n": "4:1 programme.fault.back_again",
		"P1,ask,,2027-01-05,\n": "", "P2,keep,,2027-01-05,\n": "", "P1,keep,,2027-01-05,2027-01-06\n": "",
	} {
		text := head + "P1,keep,,2026-09-01,2026-12-01\nP1,keep,,2027-02-01,2027-03-01\n" + row
		r, faults := programme.Read(map[string]string{"counties.csv": "county,name\nALD,Alder\n", "funders.csv": "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,each,once,11,\n", "consents.csv": text})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		got := ""
		for _, f := range r.BackAgain(text) {
			got += fmt.Sprintf("%d:%d %s", f.Line, f.Column, f.ID)
		}
		if got != want {
			t.Errorf("%q: %q, not %q", row, got, want)
		}
	}
}
