package programme

import (
	"strings"
	"testing"

	"raftwright/internal/table"
)

// One row is checked as its table is read: what is wrong is told with the number of its field.
func TestCheckOneRow(t *testing.T) {
	stands := func(table, name string) bool {
		return table == "counties" && name == "ALD" || table == "events" && name == "E001"
	}
	at := map[string]int{}
	for _, f := range Forms() {
		if f.Table == "events" {
			for i, c := range f.Fields {
				at[c.Name] = i
			}
		}
	}
	row := func(with ...string) []string {
		out := make([]string, len(at))
		for i := 0; i < len(with); i += 2 {
			out[at[with[i]]] = with[i+1]
		}
		return out
	}
	good := []string{"event", "E002", "date", "2027-03-03", "county", "ALD", "education", "yes", "adults", "12", "youth", "0", "title", "a \"quoted\",\nlong title"}
	if faults := Check("events", row(good...), stands); len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, c := range []struct {
		field, text string
		id          string
	}{
		{"event", "E001", string(FaultTwice)}, {"event", "", string(table.FaultBlank)}, {"event", "#7", string(FaultNote)},
		{"date", "3 March", string(FaultDay)}, {"county", "XXX", string(FaultUnknown)}, {"education", "perhaps", string(table.FaultWord)},
		{"adults", "twelve", string(table.FaultNumber)}, {"youth", "-1", string(table.FaultNumber)},
	} {
		faults := Check("events", row(append(good, c.field, c.text)...), stands)
		if len(faults) != 1 || string(faults[0].ID) != c.id || faults[0].Column != at[c.field]+1 {
			t.Errorf("%s %q: %v", c.field, c.text, faults)
		}
	}
	if faults := Check("no such", nil, stands); len(faults) != 1 {
		t.Error(faults)
	}
	if faults := Check("corrections", []string{"X1", "2027-03-04", "events", "E001", "change", "adults", "12", "25", "counted twice"}, stands); len(faults) > 0 {
		t.Error(faults)
	}
	if faults := Check("corrections", []string{"X1", "2027-03-04", "events", "E009", "change", "adults", "12", "many", "counted twice"}, stands); len(faults) != 2 {
		t.Error(faults)
	}
	if faults := Check("corrections", []string{"X1", "2027-03-04", "events", "E001", "change", "county", "BIR", "ALD", "another county"}, stands); len(faults) > 0 {
		t.Error("a county that stands:", faults)
	}
	if faults := Check("corrections", []string{"X1", "2027-03-04", "events", "E001", "change", "county", "ALD", "BIR", "another county"}, stands); len(faults) != 1 || faults[0].ID != FaultUnknown || faults[0].Column != 8 {
		t.Error("a county that does not stand:", faults)
	}
}

// What is checked row by row is read as a whole, and the other way round: no text passes one and fails the other.
func FuzzCheck(f *testing.F) {
	f.Add("E002", "2027-03-03", "ALD", "yes", "12")
	f.Add("#", "2027-02-30", "", "no", "1e9")
	f.Fuzz(func(t *testing.T, event, date, county, education, adults string) {
		row := []string{event, date, county, "", "", "", "", "", education, adults, "0", "", "", ""}
		faults := Check("events", row, func(table, name string) bool { return table == "counties" && name == "ALD" })
		if len(faults) > 0 {
			return
		}
		r, faults := Read(map[string]string{"counties.csv": "county,name\nALD,Alder\n", "funders.csv": "funder,label,from,to,series,same_day,threshold,rate\nB,b,2026-07-01,2027-06-30,each,once,11,\n",
			"events.csv": Write(Records{Events: []Event{{ID: strings.TrimSpace(event)}}})["events.csv"]})
		if len(r.Events) != 1 {
			t.Errorf("%q passes and is lost: %v", event, faults)
		}
	})
}
