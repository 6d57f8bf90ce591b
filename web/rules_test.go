package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"raftwright/programme"
)

// The page of rules names each rule of each funder; one that is changed there is an added row, and a report of an earlier day keeps what held
// then. A threshold that is lowered under what may be is refused, with what would be right.
func TestRulesOfTheReports(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := house(t)
	_, archive := inventedYear(t)
	sendBook(t, server, archive)
	page := get(t, server.URL+"/program/rules")
	if n := strings.Count(page.body, `<th scope="row" `); page.status != http.StatusOK || n != 2*(8+len(programme.SettingRules())) {
		t.Fatal(page.status, n)
	}
	change := regexp.MustCompile(`href="(/program/settings\?[^"]*with\.funder=BOARD[^"]*with\.name=answers[^"]*)"`).FindStringSubmatch(page.body)
	if change == nil {
		t.Fatal("no way to change a rule")
	}
	where := server.URL + strings.ReplaceAll(change[1], "&amp;", "&")
	form := fieldsOf(t, get(t, where).body)
	if form.Get("name") != "answers" || form.Get("funder") != "BOARD" || form.Get("from") == "" {
		t.Error(form)
	}
	form.Set("value", "9")
	if got := post(t, server.URL+"/program/settings", form); got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "between 10 and 1,000") {
		t.Error(got.status)
	}
	form.Set("value", "45")
	form.Set("from", "2027-08-01")
	if got := post(t, server.URL+"/program/settings", form); got.status != http.StatusOK {
		t.Fatal(got.status)
	}
	figure := func(day string) bool {
		return strings.Contains(get(t, server.URL+"/program/report.csv?funder=BOARD&day="+day).body, "wave A6: print,33 of 44")
	}
	if figure("2027-07-31") || !figure("2027-08-01") {
		t.Error("the rule does not hold from its day")
	}
	report := get(t, server.URL+"/program/report?funder=BOARD&day=2027-08-31")
	if !strings.Contains(report.body, "Answers: fewest for a percent") || !strings.Contains(report.body, "Aug 1, 2027") {
		t.Error("the report does not tell its rules")
	}
	both := regexp.MustCompile(`href="(/program/report\.html\?[^"]*language=en%2Bes[^"]*)"`).FindStringSubmatch(report.body)
	if both == nil {
		t.Fatal("no report in both languages")
	}
	doc := get(t, server.URL+strings.ReplaceAll(both[1], "&amp;", "&"))
	if !strings.Contains(doc.body, "Who took part") || !strings.Contains(doc.body, "Quiénes participaron") {
		t.Error("not both languages")
	}
}

// What the rules hold of the limits of sales is filled in on the paper, with its source, and may be written over.
func TestLimitsOfSalesComeFromTheRules(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server := house(t)
	files, _ := inventedYear(t)
	files["settings.csv"] = "setting,name,funder,value,from,to,source\nK1,food_limit,,584908,2023-04-01,,page of the FDA (2019 to 2021)\nK2,produce_limit,,29245,2023-04-01,,page of the FDA (2019 to 2021)\n"
	sendBook(t, server, archived(t, files))
	page := get(t, server.URL+"/beds/demonstration/papers/selling").body
	for _, want := range []string{`value="584908"`, `value="29245"`, "page of the FDA (2019 to 2021)"} {
		if !strings.Contains(page, want) {
			t.Error("no", want)
		}
	}
}
