package programme_test

import (
	"strings"
	"testing"

	"raftwright/internal/table"
	"raftwright/programme"
)

// A reply that is dated before its wave was sent is told, one of the same day not; it counts as written.
func TestRepliesBeforeTheirWaveAreTold(t *testing.T) {
	for day, want := range map[string]string{"2027-03-14": "1", "2027-03-15": "0"} { // sent on the 15th
		files := year(t)
		if !strings.Contains(files["replies.csv"], "R001,A6,1,2027-03-23,yes") {
			t.Fatal(files["replies.csv"][:200])
		}
		before := report(t, read(t, files), "BOARD", "2027-08-31")
		files["replies.csv"] = strings.Replace(files["replies.csv"], "R001,A6,1,2027-03-23", "R001,A6,1,"+day, 1)
		r := report(t, read(t, files), "BOARD", "2027-08-31")
		told := false
		for _, n := range r.Noticed {
			told = told || n.What == "replies_early" && n.ID == "R001"
		}
		early, _ := r.Find("replies_early", programme.All)
		yes, _ := r.Find("wave A6: yes", programme.All)
		was, _ := before.Find("wave A6: yes", programme.All)
		if early.Text != want || told != (want == "1") || yes.Text != was.Text {
			t.Errorf("%s: %s early, told %t; yes %s, was %s", day, early.Text, told, yes.Text, was.Text)
		}
	}
}

// A column that is misspelled is told with the name that stands in the file; one that is not there at all without.
func TestAMisspelledColumnIsTold(t *testing.T) {
	for head, near := range map[string]string{"inquiry,date,county,mode,eduction,topic,person,answered_by,status,minutes,referred,note": "eduction", "inquiry,date,county,mode,x,topic,person,answered_by,status,minutes,referred,note": ""} {
		files := year(t)
		_, rows, _ := strings.Cut(files["inquiries.csv"], "\n")
		files["inquiries.csv"] = head + "\n" + rows
		_, faults := programme.Read(files)
		if len(faults) != 1 || faults[0].ID != table.FaultColumn || faults[0].Line != 1 || faults[0].Args["Name"] != "education" || faults[0].Args["Near"] != near {
			t.Errorf("%s: %v %v", head, faults, near)
		}
	}
}
