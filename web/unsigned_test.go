package web

import (
	"encoding/csv"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/uuid"

	"raftwright/plan"
	"raftwright/programme"
	"raftwright/store"
)

// Slips of a pile stand in the book under ids and names by chance alone, in an order that is not that of the pile, and the day is all that is kept
// and shown of when they were keyed or corrected; so of a slip that is typed by itself. The file of the slips is ordered by their names.
func TestAKeyedSlipTellsNoHour(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator := askers[0]
	old := map[string]bool{}
	each := func(do func(store.Record)) {
		t.Helper()
		if err := kept.EachRecord(t.Context(), store.Holder(), func(r store.Record) error { do(r); return nil }); err != nil {
			t.Fatal(err)
		}
	}
	each(func(r store.Record) { old[r.ID] = true })
	at := newPile(t, educator, server.URL, "E002", "slips", false)
	const sheets = 12
	cells := map[string]string{}
	for n := 1; n <= sheets; n++ { // each another, so that it is known again
		cells["row"+strconv.Itoa(n)+":groups"] = strconv.Itoa(n%7+1) + strconv.Itoa((n+n/7+1)%7+1)
		cells["row"+strconv.Itoa(n)+":item.build"] = "1" + strconv.Itoa(n%5+1)
	}
	if status, _ := key(t, educator, at, cells, "do", "settle"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	pile := uuid.MustParse(at[strings.LastIndex(at, "/")+1:])
	guess := map[string]bool{}
	for n := range sheets + 1 {
		for _, what := range []string{"sheet ", "sheet form ", "slips ", "answers "} {
			for _, row := range []string{"", " 0", " 1", " 2", " 3"} {
				id := uuid.NewSHA1(pile, []byte(what+strconv.Itoa(n)+row)).String()
				guess[id], guess[coded("F", id)] = true, true
			}
		}
	}
	page := pageOf(t, educator, server.URL+"/program/slips")
	id := regexp.MustCompile(`name="id" value="([^"]*)"`).FindStringSubmatch(page)[1]
	if status, _ := educator.page(t, "POST", server.URL+"/program/slips", url.Values{"id": {id}, "slip": {"S9001"}, "event": {"E002"}, "standard": {"1997"}, "groups": {"White"}}); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	counts := map[string]int{}
	last := ""
	each(func(r store.Record) {
		if old[r.ID] || !slices.Contains([]string{"slips", "answers", "piles"}, r.Ledger) {
			return
		}
		counts[r.Ledger]++
		if guess[r.ID] || guess[r.Name] || r.Ledger == "answers" && guess[r.Row[0].Text] {
			t.Errorf("the pile tells which sheet %v was", r)
		}
		if r.Recorded.UTC().Format("15:04:05.000") != "12:00:00.000" {
			t.Errorf("a row of %s was written at %v", r.Ledger, r.Recorded)
		}
		if r.Ledger != "piles" && uuid.MustParse(r.ID).Version() != 4 {
			t.Errorf("the id of a row of %s tells a time", r.Ledger)
		}
		if r.Ledger == "slips" {
			last = r.ID
		}
	})
	if counts["slips"] != sheets+1 || counts["answers"] != sheets || counts["piles"] != 1 {
		t.Error(counts)
	}
	if page := pageOf(t, educator, server.URL+"/program/slips/"+last); regexp.MustCompile(`\b\d\d:\d\d\b`).MatchString(page) || !strings.Contains(page, "S9001") {
		t.Error("the page of a slip tells an hour")
	}
	for _, do := range []string{"change", "void"} { // nor does a correction of it
		page := pageOf(t, educator, server.URL+"/program/slips/"+last)
		id := regexp.MustCompile(`name="id" value="([^"]*)"`).FindStringSubmatch(page)[1]
		if status, _ := educator.page(t, "POST", server.URL+"/program/slips/"+last, url.Values{"id": {id}, "field": {"groups"}, "new": {"Asian"}, "reason": {"misread"}, "do": {do}}); status != http.StatusSeeOther {
			t.Fatal(do, status)
		}
		corrected := ""
		each(func(r store.Record) {
			if r.Ledger != "corrections" || old[r.ID] || r.ID != id {
				return
			}
			if corrected = r.ID; r.Recorded.UTC().Format("15:04:05.000") != "12:00:00.000" || uuid.MustParse(r.ID).Version() != 4 {
				t.Errorf("%s: %s was written at %v", do, r.ID, r.Recorded)
			}
		})
		if page := pageOf(t, educator, server.URL+"/program/corrections/"+corrected); corrected == "" || regexp.MustCompile(`\b\d\d:\d\d\b`).MatchString(page) {
			t.Errorf("%s: the page of a correction tells an hour", do)
		}
	}
	event := ""
	each(func(r store.Record) {
		if r.Ledger == "events" {
			event = r.ID
		}
	})
	if page := pageOf(t, educator, server.URL+"/program/events/"+event); !regexp.MustCompile(`\b\d\d:\d\d\b`).MatchString(page) {
		t.Error("the page of an event tells no hour")
	}
}

func pageOf(t *testing.T, a asker, at string) string {
	t.Helper()
	status, page := a.page(t, "GET", at, nil)
	if status != http.StatusOK {
		t.Fatal(at, status)
	}
	return page
}

// The rows of a file go into the order of their first cells, its head stays where it is.
func TestAFileByNames(t *testing.T) {
	got, err := byName("slip,groups\nSB,\"x,y\"\nSA,z\n")
	if err != nil || got != "slip,groups\nSA,z\nSB,\"x,y\"\n" {
		t.Errorf("%q, %v", got, err)
	}
}

// A pile of slips of the standard of 1997 is keyed by its own two questions, and counted in the table of its own: none of its answers is counted
// among those of 2024, and the name Middle Eastern or North African cannot be keyed.
func TestSlipsOf1997AreKeyed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator := askers[0]
	if page := pageOf(t, educator, server.URL+"/keying"); !strings.Contains(page, `value="slips:1997"`) || !strings.Contains(page, `action="/keying/slips.pdf"`) {
		t.Error("slips of 1997 cannot be printed or keyed")
	}
	for _, standard := range []string{"2024", "1997"} {
		if page := pageOf(t, educator, server.URL+"/keying/slips.pdf?language=en%2Bes&standard="+standard); !strings.HasPrefix(page, "%PDF") {
			t.Error(standard, "is not printed")
		}
	}
	if status, _ := educator.page(t, "POST", server.URL+"/keying", url.Values{"id": {store.NewID()}, "event": {"E002"}, "kind": {"slips:1980"}}); status != http.StatusUnprocessableEntity && status != http.StatusBadRequest {
		t.Error("a pile of a standard that is none:", status)
	}
	setting := url.Values{"id": {store.NewID()}, "setting": {"K91"}, "name": {"slips"}, "funder": {"BOARD"}, "value": {"1997"}, "from": {"2026-01-01"}}
	if page := pageOf(t, educator, server.URL+"/keying?kind=slips"); strings.Contains(page, `value="1997" selected`) || !strings.Contains(page, `value="slips" selected`) {
		t.Error("slips of 1997 are offered first where nobody asks for them")
	}
	if status, _ := educator.page(t, "POST", server.URL+"/program/settings", setting); status != http.StatusSeeOther {
		t.Fatal("the rule of a funder:", status)
	}
	if page := pageOf(t, educator, server.URL+"/keying?kind=slips"); !strings.Contains(page, `value="1997" selected`) || !strings.Contains(page, `value="slips:1997" selected`) {
		t.Error("a funder asks by the standard of 1997, and the page offers the other first")
	}
	if page := pageOf(t, educator, server.URL+"/keying?kind=slips&event=E002"); !strings.Contains(page, `value="1997" selected`) {
		t.Error("the pile of an event of the funder's year offers the other first")
	}
	before, all, roomy := older1997(t, kept)
	at := newPile(t, educator, server.URL, roomy, "slips:1997", false)
	if page := pageOf(t, educator, at); strings.Contains(page, `name="row1:groups"`) || !strings.Contains(page, `name="row1:ethnicity"`) || !strings.Contains(page, `name="row1:race"`) {
		t.Fatal("other questions are keyed than those on the slip")
	}
	for cell, text := range map[string]string{"ethnicity": "12", "race": "7"} {
		if status, page := key(t, educator, at, map[string]string{"row1:" + cell: text}); status != http.StatusUnprocessableEntity || !strings.Contains(page, `id="row1:`+cell+`-wrong"`) {
			t.Error(cell, text, "is kept:", status)
		}
	}
	cells := map[string]string{"row1:ethnicity": "1", "row1:race": "5", "row1:sex": "w", "row2:ethnicity": "2", "row2:race": "5 2", "row3:ethnicity": "3", "row3:race": "4", "row4:ethnicity": "1", "row4:race": "6", "row4:item.build": "42"}
	if status, _ := key(t, educator, at, cells, "do", "settle"); status != http.StatusSeeOther {
		t.Fatal(status)
	}
	after, now, _ := older1997(t, kept)
	var got []string
	for groups, n := range after {
		for range n - before[groups] {
			got = append(got, groups)
		}
	}
	slices.Sort(got)
	want := []string{"Hispanic or Latino", "Hispanic or Latino|White", "Native Hawaiian or Other Pacific Islander", "Not Hispanic or Latino|Asian|White"}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	for _, m := range []struct {
		measure string
		more    int
	}{{"slips_older_standard", 4}, {"slips_returned", 4}, {"slips_used", 0}, {"older: Hispanic or Latino", 2}, {"older: Not Hispanic or Latino", 1}, {"older: White", 2}, {"older: Asian", 1},
		{"older: Native Hawaiian or Other Pacific Islander", 1}, {"any: White", 0}, {"any: Asian", 0}, {"any: Hispanic or Latino", 0}, {"alone: White", 0}, {"alone: Asian", 0}, {"alone: Hispanic or Latino", 0}} {
		if n := now[m.measure] - all[m.measure]; n != m.more {
			t.Errorf("%s: %d more, not %d", m.measure, n, m.more)
		}
	}
}

// older1997 counts the slips of 1997 by what they say, and gives the figures of the report by name, and the event with the most adults without a slip.
func older1997(t *testing.T, kept *store.Store) (slips, figures map[string]int, roomy string) {
	t.Helper()
	files := map[string]string{}
	for _, f := range programme.Forms() {
		var out strings.Builder
		w := csv.NewWriter(&out)
		var head []string
		for _, c := range f.Fields {
			head = append(head, c.Name)
		}
		_ = w.Write(head)
		if err := kept.EachRecord(t.Context(), store.Holder(), func(r store.Record) error {
			if r.Ledger == f.Table {
				return w.Write(textsIn(f, r))
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		w.Flush()
		files[f.Table+".csv"] = out.String()
	}
	records, faults := programme.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	slips, figures = map[string]int{}, map[string]int{}
	left := map[string]int{}
	for _, s := range records.Slips {
		if left[s.Event]--; s.Standard == olderStandard {
			slips[s.Groups]++
		}
	}
	day, _ := programme.ParseDay("2027-08-31")
	r, faults := programme.Make(records, "BOARD", day)
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	for _, e := range records.Events {
		if left[e.ID] += e.Adults; e.Adults >= programme.LeastAdults && e.Education && r.Funder.From <= e.Date && e.Date <= r.Funder.To && (roomy == "" || left[e.ID] > left[roomy]) {
			roomy = e.ID
		}
	}
	for _, name := range []string{"slips_older_standard", "slips_returned", "slips_used", "older: Hispanic or Latino", "older: Not Hispanic or Latino", "older: White", "older: Asian", "older: Native Hawaiian or Other Pacific Islander",
		"any: White", "any: Asian", "any: Hispanic or Latino", "alone: White", "alone: Asian", "alone: Hispanic or Latino"} {
		if f, ok := r.Find(name, programme.All); ok {
			figures[name], _ = strconv.Atoi(f.Text)
		}
	}
	return slips, figures, roomy
}

// The slips of a workshop ask as the funder does in whose year its day is, and on no other day; the page says which, and where funders have rules of
// their own one of them can be chosen. Another day than a day is told.
func TestAWorkshopsSlipsAskAsItsFunder(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator := askers[0]
	id := store.NewID()
	if _, err := kept.PutBed(t.Context(), store.Holder(), id, invented, plan.Code); err != nil {
		t.Fatal(err)
	}
	at := server.URL + "/beds/" + id + "/workshop?families=2"
	if page := pageOf(t, educator, at); strings.Contains(page, `name="slips"`) {
		t.Error("something is to choose where all ask alike")
	}
	setting := func(name, funder, value string) {
		t.Helper()
		row := url.Values{"id": {store.NewID()}, "setting": {name}, "name": {"slips"}, "funder": {funder}, "value": {value}, "from": {"2026-01-01"}}
		if status, _ := educator.page(t, "POST", server.URL+"/program/settings", row); status != http.StatusSeeOther {
			t.Fatal("the rule of a funder:", status)
		}
	}
	says := func(more, want string) {
		t.Helper()
		if page := pageOf(t, educator, at+more); !strings.Contains(page, want) {
			t.Errorf("%s does not say %q", more, want)
		}
	}
	setting("K91", "BOARD", "1997")
	says("&day=2027-06-30", "standard of 1997, for BOARD")
	says("&day=2027-07-01", "standard of 2024, by the rule of the office")
	says("&day=2027-06-30&slips=SCHOOLFUND", "standard of 2024, for SCHOOLFUND")
	says("&day=2027-07-01&slips=BOARD", `slips=BOARD"`)
	setting("K92", "SCHOOLFUND", "2024")
	says("&day=2027-06-30", "standard of 1997, for BOARD")
	says("&day=2027-06-04", "BOARD, SCHOOLFUND ask by different standards")
	if status, page := educator.page(t, "GET", at+"&day=soon", nil); status != http.StatusBadRequest || !strings.Contains(page, "soon") {
		t.Error("a day that is none:", status)
	}
}

// A visit that names staff as who was taught is put right from the page of the figure that tells of it, by one press: the correction takes the code off, and nothing else.
func TestStaffIsTakenOffAVisitByOnePress(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, _, askers, _ := staffedYear(t)
	educator := askers[0]
	for _, table := range []string{"people", "visits"} {
		row := map[string]url.Values{
			"people": {"id": {store.NewID()}, "person": {"STAFFX"}, "county": {"ALD"}, "role": {"staff"}, "since": {"2026-07-01"}},
			"visits": {"id": {store.NewID()}, "visit": {"VX1"}, "date": {"2026-10-05"}, "site": {"S001"}, "others_met": {"0"}, "minutes": {"30"}, "miles": {"4"}, "person": {"STAFFX"}, "staff": {"A"}, "education": {"yes"}},
		}[table]
		if status, page := educator.page(t, "POST", server.URL+"/program/"+table, row); status != http.StatusSeeOther {
			t.Fatal(table, status, page)
		}
	}
	at := server.URL + "/program/figure?funder=BOARD&day=2035-01-01&name=staff_met&county=all"
	form := regexp.MustCompile(`<form method="post" action="(/program/visits/[^"]*)">(.*?)</form>`).FindStringSubmatch(pageOf(t, educator, at))
	if form == nil {
		t.Fatal("the figure leads to no way out")
	}
	fields := url.Values{"do": {"change"}}
	for _, f := range regexp.MustCompile(`name="([^"]*)" value="([^"]*)"`).FindAllStringSubmatch(form[2], -1) {
		if f[1] != "do" {
			fields.Set(f[1], f[2])
		}
	}
	if status, page := educator.page(t, "POST", server.URL+form[1], fields); status != http.StatusSeeOther {
		t.Fatal(status, page)
	}
	if page := pageOf(t, educator, at); strings.Contains(page, "VX1") || strings.Contains(page, "<form method=\"post\" action=\"/program/visits") {
		t.Error("staff still counts")
	}
	if page := pageOf(t, educator, server.URL+form[1]); !strings.Contains(page, "STAFFX") || !strings.Contains(page, "Staff never count") {
		t.Error("the correction is not told at the visit")
	}
}
