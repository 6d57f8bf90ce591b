package programme_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"raftwright/programme"
)

// A correction of the name of a row, and one that puts an end before its beginning as the row then stands, are faults at their place; two of one day may move both
// ends, and one that was taken out again says nothing.
func TestCorrectionsThatCannotStand(t *testing.T) {
	files := map[string]string{
		"counties.csv": "county,name\nALD,Alder\n", "funders.csv": "funder,label,from,to,series,same_day,threshold,rate\nBOARD,Board,2026-07-01,2027-06-30,each,once,11,\n",
		"sites.csv": "site,county,kind,opened,closed,host\nS1,ALD,school,2026-07-01,,\nS2,ALD,school,2026-07-01,2027-03-01,\n",
		"corrections.csv": `correction,made_on,table,record,action,field,old,new,reason
X1,2027-01-02,sites,S1,change,site,S1,S9,wrong name
X2,2027-01-03,sites,S1,change,closed,,2026-06-30,closed
X3,2027-01-04,sites,S1,change,opened,2026-07-01,2026-06-01,opened
X4,2027-01-05,funders,BOARD,change,from,2026-07-01,2027-07-01,next year
X5,2027-01-05,funders,BOARD,change,to,2027-06-30,2028-06-30,next year
X6,2027-01-06,sites,S2,change,opened,2026-07-01,2027-03-02,opened
X7,2027-01-07,corrections,X6,void,,,,a slip
X8,2027-01-08,sites,S2,change,opened,2026-07-01,2027-03-01,opened
`}
	_, faults := programme.Read(files)
	var got []string
	for _, f := range faults {
		got = append(got, fmt.Sprintf("%s:%d:%d %s", f.File, f.Line, f.Column, f.ID))
	}
	if want := []string{"corrections.csv:2:31 programme.fault.renamed", "corrections.csv:3:39 programme.fault.order"}; !slices.Equal(got, want) {
		t.Error(got)
	}
}

// A folder as other programs save it has a fault for each thing that is wrong, at its place, and none for what follows from it: the hundreds of rows that name a
// site of a table which could not be read, or a bed of one without rows.
func TestAWrongFolderTellsEachFaultOnce(t *testing.T) {
	lines := func(text string, change func([]string)) string {
		all := strings.Split(text, "\n")
		change(all)
		return strings.Join(all, "\n")
	}
	for what, c := range map[string]struct {
		change func(files map[string]string)
		want   []string
	}{
		"a bed table without rows": {func(f map[string]string) { f["beds.csv"] = "" }, []string{"harvests.csv:2:18 programme.fault.unknown"}},
		"no table of sites":        {func(f map[string]string) { delete(f, "sites.csv") }, []string{"beds.csv:2:8 programme.fault.unknown", "consents.csv:29:12 programme.fault.unknown", "events.csv:7:21 programme.fault.unknown", "visits.csv:2:17 programme.fault.unknown"}},
		"a value too many": {func(f map[string]string) {
			f["sites.csv"] = lines(f["sites.csv"], func(l []string) { l[1] += ",x"; l[4] += ",x" })
		}, []string{"sites.csv:2:1 table.fault.file", "sites.csv:5:1 table.fault.file"}},
		"a table in capitals, another misspelled": {func(f map[string]string) {
			f["Harvests.CSV"], f["event.csv"] = f["harvests.csv"], f["events.csv"]
			delete(f, "harvests.csv")
			delete(f, "events.csv")
		}, []string{"Harvests.CSV:1:1 programme.fault.name", "event.csv:1:1 programme.fault.name"}},
		"a copy beside a table": {func(f map[string]string) { f["event.csv"] = f["events.csv"] }, nil},
		"a quote that is not shut": {func(f map[string]string) {
			f["visits.csv"] = lines(f["visits.csv"], func(l []string) { l[9] = `"` + l[9] })
		}, []string{"visits.csv:10:1 table.fault.file"}},
		"semicolons, as Spanish offices": {func(f map[string]string) { f["sites.csv"] = strings.ReplaceAll(f["sites.csv"], ",", ";") }, []string{"sites.csv:1:5 table.fault.parted"}},
		"tabs":                           {func(f map[string]string) { f["events.csv"] = strings.ReplaceAll(f["events.csv"], ",", "\t") }, []string{"events.csv:1:6 table.fault.parted"}},
		"Latin-1": {func(f map[string]string) {
			f["counties.csv"] = lines(f["counties.csv"], func(l []string) { l[2] = "BIR,Ca\xf1on" })
		}, []string{"counties.csv:3:7 table.fault.utf8"}},
		"a letter that was lost": {func(f map[string]string) {
			f["counties.csv"] = lines(f["counties.csv"], func(l []string) { l[2] = "BIR,Ca\ufffdon" })
		}, []string{"counties.csv:3:7 table.fault.utf8"}},
		"a column in Spanish":            {func(f map[string]string) { f["sites.csv"] = strings.Replace(f["sites.csv"], "county", "condado", 1) }, []string{"sites.csv:1:1 table.fault.column"}},
		"the column of names is missing": {func(f map[string]string) { f["events.csv"] = strings.Replace(f["events.csv"], "event", "evento", 1) }, []string{"events.csv:1:1 table.fault.column"}},
		"withdrawn before it was given": {func(f map[string]string) {
			f["consents.csv"] = "person,purpose,given,withdrawn\nP2339,keep,2027-05-01,2027-04-30\n"
		}, []string{"consents.csv:2:23 programme.fault.order"}},
		"withdrawn on the day, a BOM and CRLF": {func(f map[string]string) {
			f["consents.csv"] = "\ufeffperson,purpose,given,withdrawn\r\nP2339,keep,2027-05-01,2027-05-01\r\n"
		}, nil},
		"a column twice in the head": {func(f map[string]string) {
			f["counties.csv"] = "county,name,county\nALD,Alder,ALD\nBIR,Birch,BIR\nCED,Cedar,CED\n"
		}, []string{"counties.csv:1:13 table.fault.twice"}},
		"a column that nobody reads twice": {func(f map[string]string) {
			f["counties.csv"] = "county,x,name,x\nALD,,Alder,\nBIR,,Birch,\nCED,,Cedar,\n"
		}, nil},
		"UTF-16": {func(f map[string]string) {
			var out strings.Builder
			for _, u := range utf16.Encode([]rune("\ufeff" + f["people.csv"])) {
				out.WriteByte(byte(u))
				out.WriteByte(byte(u >> 8))
			}
			f["people.csv"] = out.String()
		}, []string{"people.csv:1:1 table.fault.utf8"}},
	} {
		files := year(t)
		delete(files, "must_vanish.csv")
		c.change(files)
		_, faults := programme.Read(files)
		var got []string
		for _, f := range faults {
			if f.File != "corrections.csv" && f.File != "hours.csv" { // rows of some tables name many others
				got = append(got, fmt.Sprintf("%s:%d:%d %s", f.File, f.Line, f.Column, f.ID))
			}
		}
		slices.Sort(got)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %d faults: %s", what, len(faults), strings.Join(got[:min(len(got), 6)], "; "))
		}
		if len(faults) > 8 {
			t.Errorf("%s: %d faults", what, len(faults))
		}
	}
}
