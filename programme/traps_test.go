package programme_test

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/programme"
)

// put changes a file of the invented year.
func put(t *testing.T, files map[string]string, name, old, new string) {
	t.Helper()
	if !strings.Contains(files[name], old) {
		t.Fatalf("%s has no %q", name, old)
	}
	files[name] = strings.Replace(files[name], old, new, 1)
}

// value gives a figure of the board's report as of the end of August.
func value(t *testing.T, files map[string]string, name, county string) string {
	t.Helper()
	f, ok := report(t, read(t, files), "BOARD", "2027-08-31").Find(name, county)
	if !ok {
		t.Fatalf("no %s of %s", name, county)
	}
	return f.Text
}

// What a hand or a spreadsheet does to a folder changes no figure.
func TestTheSameFiguresHoweverAFolderIsWritten(t *testing.T) {
	want := report(t, read(t, year(t)), "BOARD", "2027-08-31").Inside().FiguresCSV(nil)
	for what, change := range map[string]func(files map[string]string){
		"a mark of byte order": func(files map[string]string) {
			for name := range files {
				files[name] = "\ufeff" + files[name]
			}
		},
		"line ends of another system": func(files map[string]string) {
			for name, text := range files {
				files[name] = strings.ReplaceAll(text, "\n", "\r\n")
			}
		},
		"spaces around what is written": func(files map[string]string) {
			files["visits.csv"] = strings.ReplaceAll(files["visits.csv"], ",", " , ")
		},
		"files of no rows": func(files map[string]string) {
			files["efforts.csv"], files["stories.csv"], files["published.csv"] = "", "funder,language,part,text\n", "\ufeff \r\n"
		},
		"columns in another order, and one of their own": func(files map[string]string) {
			lines := strings.Split(strings.TrimSpace(files["rates.csv"]), "\n")
			files["rates.csv"] = "ours," + lines[0] + "\n" + "mine," + lines[1] + "\n"
		},
		"a last row without an end": func(files map[string]string) {
			files["harvests.csv"] = strings.TrimSuffix(files["harvests.csv"], "\n")
		},
	} {
		files := year(t)
		change(files)
		if got := report(t, read(t, files), "BOARD", "2027-08-31").Inside().FiguresCSV(nil); got != want {
			t.Errorf("%s changes figures", what)
		}
	}
}

// A correction of a correction follows the order of their days, not of the rows; on one day that in which they were written, whatever their names.
func TestCorrectionsFollowTheirDays(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, c := range []struct{ more, adults string }{
		{"X03,2027-07-25,events,E006,change,adults,25,31,\n", "31"},
		{"X03,2027-07-19,events,E006,change,adults,48,31,\n", "25"}, // made before, so X01 stands
		{"X03,2027-07-20,events,E006,change,adults,25,32,\n", "32"}, // the same day, written later
		{"X00,2027-07-20,events,E006,change,adults,48,33,\n", "33"},
		{"X03,2027-09-01,events,E006,change,adults,25,34,\n", "25"}, // made after the as-of day
		{"X03,2027-07-25,events,E006,change,adults,25,34,\nX04,2027-07-26,events,E006,change,adults,34,48,\n", "48"},
	} {
		files := year(t)
		was := map[string]string{"contacts": "", "": ""}
		files["corrections.csv"] += c.more
		got := value(t, files, "contacts_events_adults", "all")
		put(t, files, "corrections.csv", c.more, "")
		put(t, files, "corrections.csv", "adults,48,25", "adults,48,"+c.adults)
		if was["contacts"] = value(t, files, "contacts_events_adults", "all"); got != was["contacts"] {
			t.Errorf("%q: %s, not %s", c.more, got, was["contacts"])
		}
	}
	files := year(t) // what is void stays void
	files["corrections.csv"] += "X03,2027-07-25,events,E006,void,,,,\nX04,2027-07-26,events,E006,change,adults,25,99,\n"
	if got := value(t, files, "events", "all"); got == value(t, year(t), "events", "all") {
		t.Error("a row that was taken out came back:", got)
	}
}

// What is odd but not wrong counts as it should.
func TestOddRecordsCount(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	inquiry := func(row string) func(map[string]string) {
		return func(files map[string]string) { files["inquiries.csv"] += row + "\n" }
	}
	before := year(t)
	for _, c := range []struct {
		what, figure, county string
		by                   float64
		change               func(map[string]string)
	}{
		{"the first day of the year counts", "contacts_inquiries", "ALD", 1, inquiry("N900,2026-07-01,ALD,phone,yes,water,,,closed,,,")},
		{"the day before does not", "contacts_inquiries", "ALD", 0, inquiry("N900,2026-06-30,ALD,phone,yes,water,,,closed,,,")},
		{"the last day counts", "contacts_inquiries", "ALD", 1, inquiry("N900,2027-06-30,ALD,phone,yes,water,,,closed,,,")},
		{"the day after does not", "contacts_inquiries", "ALD", 0, inquiry("N900,2027-07-01,ALD,phone,yes,water,,,closed,,,")},
		{"unnamed callers of a day are never one", "contacts_inquiries", "ALD", 2, inquiry("N900,2027-05-01,ALD,phone,yes,water,,,closed,,,\nN901,2027-05-01,ALD,phone,yes,water,,,closed,,,")},
		{"a code in other letters is another code", "people_known", "all", 2, inquiry("N900,2027-05-01,ALD,phone,yes,water,Zz9,,closed,,,\nN901,2027-05-01,ALD,phone,yes,water,ZZ9,,closed,,,")},
		{"a code with an accent is a code", "people_known", "all", 1, inquiry("N900,2027-05-01,ALD,phone,yes,water,Ñandú-7,,closed,,,\nN901,2027-05-01,ALD,phone,yes,water,Ñandú-7,,closed,,,")},
		{"the second on a day is a repeat", "direct_contacts", "all", 1, inquiry("N900,2027-05-01,ALD,phone,yes,water,PZ,,closed,,,\nN901,2027-05-01,BIR,phone,yes,water,PZ,,closed,,,")},
		{"an equal entry of hours counts", "hours_service", "all", 5, func(files map[string]string) {
			files["hours.csv"] += "H900,2027-05-01,V74D6,,help,service,2.5\nH901,2027-05-01,V74D6,,help,service,2.5\n"
		}},
		{"and is asked about", "hours_possible_duplicates", "all", 1, func(files map[string]string) {
			files["hours.csv"] += "H900,2027-05-01,V74D6,,help,service,2.5\nH901,2027-05-01,V74D6,,help,service,2.5\n"
		}},
		{"a price that is not retail gives no value", "harvests_without_valid_price", "all", 1, func(files map[string]string) {
			files["prices.csv"] += "Z900,2027-05-01,kohlrabi,lb,2.00,wholesale,,\n"
			files["harvests.csv"] += "H9000,2027-05-02,S015-3,kohlrabi,3,1.5,given,\n"
		}},
		{"pounds of no bed stand in no county", "pounds_given", programme.NoCounty, 1.5, func(files map[string]string) {
			files["harvests.csv"] += "H9000,2027-05-02,,lettuce,3,1.5,given,\n"
		}},
		{"blank pounds are not zero pounds", "harvests_not_weighed", "all", 1, func(files map[string]string) {
			files["harvests.csv"] += "H9000,2027-05-02,S015-3,lettuce,3,,given,\nH9001,2027-05-02,S015-3,lettuce,3,0,given,\n"
		}},
		{"a consent that was taken back and given again does not bring the name back", "people_known", "all", 0, func(files map[string]string) {
			files["inquiries.csv"] += "N900,2027-05-01,ALD,phone,yes,water,PZ,,closed,,,\n"
			files["consents.csv"] += "PZ,keep,,2026-07-01,2027-06-01\nPZ,keep,,2027-06-15,\n"
		}},
		{"a group ticked twice counts once", "any: Asian", "all", 1, func(files map[string]string) {
			put(t, files, "slips.csv", "2024,White,F", "2024,White|Asian|Asian|White,F")
		}},
	} {
		files := year(t)
		c.change(files)
		was, now := 0.0, 0.0
		if f, ok := report(t, read(t, before), "BOARD", "2027-08-31").Find(c.figure, c.county); ok {
			was = f.Number
		}
		if f, ok := report(t, read(t, files), "BOARD", "2027-08-31").Find(c.figure, c.county); ok {
			now = f.Number
		}
		if d := now - was; d < c.by-1e-9 || d > c.by+1e-9 {
			t.Errorf("%s: %s of %s rose by %v, not %v", c.what, c.figure, c.county, d, c.by)
		}
	}
}

// The leap day is a day, of a year that has one; a time is none, nor is a day of another order.
func TestDaysOfTheCalendar(t *testing.T) {
	for text, ok := range map[string]bool{"2028-02-29": true, "2027-02-29": false, "2100-02-29": false, "2000-02-29": true, "2027-05-01T23:30:00-05:00": false, "05/01/2027": false, "2027-5-1": false, "２０２７-05-01": false} {
		if _, got := programme.ParseDay(text); got != ok {
			t.Errorf("%s: %v", text, got)
		}
	}
	for from, to := range map[string]string{"2027-03-01": "2028-02-29", "2028-02-29": "2029-02-27"} {
		if d := (programme.Range{From: on(from), To: on(to)}).Days(); d != 366 && d != 365 {
			t.Errorf("%s to %s: %d days", from, to, d)
		}
	}
}

// What cannot be meant is told at its place.
func TestFaultsHaveTheirPlace(t *testing.T) {
	story := strings.TrimSpace(strings.Repeat("word ", 100))
	for _, c := range []struct {
		what, file, row string
		id              string
		line, column    int // the line from the end of what was there
	}{
		{"a name twice", "visits.csv", "W047,2027-05-01,S003,on site,yes,water,,0,,30,0\n", "programme.fault.twice", 1, 1},
		{"a time for a day", "visits.csv", "W900,2027-05-01T09:00,S003,on site,yes,water,,0,,30,0\n", "programme.fault.day", 1, 6},
		{"the leap day of a year without", "visits.csv", "W900,2027-02-29,S003,on site,yes,water,,0,,30,0\n", "programme.fault.day", 1, 6},
		{"heads below nothing", "visits.csv", "W900,2027-05-01,S003,on site,yes,water,,-1,,30,0\n", "table.fault.number", 1, 41},
		{"no place of ours", "visits.csv", "W900,2027-05-01,S999,on site,yes,water,,0,,30,0\n", "programme.fault.unknown", 1, 17},
		{"a pupil as a person", "people.csv", "P900,ALD,pupil,2027-01-01\n", "table.fault.word", 1, 10},
		{"half a heads", "events.csv", "E900,2027-05-01,ALD,,talk,water,,t,yes,2.5,0,,,60\n", "table.fault.number", 1, 40},
		{"a decimal comma", "harvests.csv", "H9000,2027-05-02,S015-3,lettuce,3,\"1,5\",given,\n", "table.fault.number", 1, 35},
		{"a rate that is none of the rates", "funders.csv", "NEW,new,2026-07-01,2027-06-30,each,once,11,RT9\n", "programme.fault.unknown", 1, 44},
		{"a threshold of nothing", "funders.csv", "NEW,new,2026-07-01,2027-06-30,each,once,1,\n", "table.fault.number", 1, 41},
		{"a correction of a column that is none", "corrections.csv", "X03,2027-07-20,events,E006,change,heads,48,25,\n", "programme.fault.table", 1, 35},
		{"a correction of no row", "corrections.csv", "X03,2027-07-20,events,E906,change,adults,48,25,\n", "programme.fault.unknown", 1, 23},
		{"a consent for nothing of ours", "consents.csv", "P2339,sell,,2027-01-01,\n", "table.fault.word", 1, 7},
		{"a story of 300 words", "stories.csv", "funder,language,part,text\nBOARD,en,issue," + story + "\nBOARD,es,issue," + story + "\nBOARD,en,done," + story + "\nBOARD,en,result," + story + "\n", "programme.fault.words", 5, 17},
		{"words of somebody who did not say yes", "stories.csv", "funder,language,part,text,person\nBOARD,en,issue,My lettuce grew.,P2339\n", "programme.fault.tell", 2, 33},
		{"a slip of nothing", "slips.csv", "ZZZ,,2024,White,F,18-24\n", "programme.fault.pool", 1, 5},
		{"an unknown group", "slips.csv", "ZZZ,E007,2024,Martian,F,18-24\n", "programme.fault.group", 1, 15},
	} {
		files := year(t)
		lines := strings.Count(files[c.file], "\n")
		files[c.file] += c.row
		_, faults := programme.Read(files)
		if len(faults) != 1 || string(faults[0].ID) != c.id || faults[0].File != c.file || faults[0].Line != lines+c.line || faults[0].Column != c.column {
			t.Errorf("%s: %v; wanted %s at %s:%d:%d", c.what, faults, c.id, c.file, lines+c.line, c.column)
		}
	}
}

// A story of exactly 250 words stands; whoever's words it tells may take their consent back, and they are gone the same day.
func TestAStoryStandsWhileItMay(t *testing.T) {
	files := year(t)
	text := strings.TrimSpace(strings.Repeat("word ", programme.MostStory-3))
	files["stories.csv"] = "funder,language,part,text,person\nBOARD,en,issue," + text + ",\nBOARD,en,result,My lettuce grew.,P2339\n"
	files["consents.csv"] += "P2339,tell,,2027-07-01,2027-08-10\n"
	r := read(t, files)
	for day, parts := range map[string]int{"2027-06-30": 1, "2027-07-01": 2, "2027-08-09": 2, "2027-08-10": 1} {
		if got := report(t, r, "BOARD", day).Inside().Story("en"); len(got) != parts {
			t.Errorf("%s: %d parts, not %d", day, len(got), parts)
		}
	}
}

// Slips of small events lie in the pool of a county and month: the county's figures stay as they were, and nothing tells the event; more
// slips than adults set the whole pool aside.
func TestSlipsOfSmallEventsArePooled(t *testing.T) {
	files := year(t)
	for _, e := range []string{"E901,2027-05-03,ALD,,talk,water,,t,yes,9,0,,,60\n", "E902,2027-05-20,ALD,,talk,water,,t,yes,4,0,,,60\n", "E903,2027-05-21,ALD,,talk,water,,t,yes,10,0,,,60\n"} {
		files["events.csv"] += e
	}
	for i, e := range []string{"E901", "E901", "E902", "E903"} {
		files["slips.csv"] += "ZZ" + string(rune('1'+i)) + "," + e + ",2024,Asian,F,18-24\n"
	}
	r := read(t, files)
	pooled, moved := r.Pool()
	if moved != 3+7 { // three of these, and the seven of a small event of the year
		t.Errorf("%d slips moved", moved)
	}
	for _, s := range pooled.Slips {
		if s.Event == "E901" || s.Event == "E902" || strings.HasPrefix(s.ID, "ZZ") && s.ID != "ZZ4" && (s.County != "ALD" || s.Month != "2027-05") {
			t.Errorf("%+v", s)
		}
	}
	again := read(t, programme.Write(pooled))
	a, b := report(t, r, "BOARD", "2027-08-31"), report(t, again, "BOARD", "2027-08-31")
	for _, name := range []string{"slips_returned", "alone: Asian", "any: Asian", "sex F", "age: 18-24"} {
		for _, county := range []string{"ALD", "all"} {
			was, ok := a.Find(name, county)
			if is, also := b.Find(name, county); ok != also || was.Number != is.Number {
				t.Errorf("%s of %s: %s, was %s", name, county, is.Text, was.Text)
			}
		}
	}
	if f, _ := b.Find("slips_not_pooled", "all"); f.Number != 0 {
		t.Error("still at their event:", f.Text)
	}
	early, _ := report(t, again, "BOARD", "2027-05-30").Find("slips_returned", "all")
	late, _ := report(t, again, "BOARD", "2027-05-31").Find("slips_returned", "all")
	if late.Number-early.Number != 3 {
		t.Errorf("a pool counts before its month is over: %s, %s", early.Text, late.Text)
	}
	many := again
	for i := range 60 {
		many.Slips = append(many.Slips, programme.Slip{ID: fmt.Sprint("Y", i), County: "ALD", Month: "2027-05", Standard: "2024", Groups: "Asian"})
	}
	c := report(t, many, "BOARD", "2027-08-31")
	x, _ := b.Find("slips_used", "all")
	if used, _ := c.Find("slips_used", "all"); used.Number != x.Number-3 {
		t.Errorf("%s used with more slips than adults in the pool, %s without them", used.Text, x.Text)
	}
	var last programme.Exception
	for _, e := range c.Exceptions {
		if e.What == "pool" {
			last = e
		}
	}
	if last.What != "pool" || last.ID != "ALD 2027-05" {
		t.Error("not told:", c.Exceptions)
	}
}

// Pounds of a county with few sites are not shown, nor is a second county beside it, from which they could be worked out.
func TestPoundsByCountyGiveNoSiteAway(t *testing.T) {
	x := programme.Records{Funders: []programme.Funder{{ID: "F", From: on("2026-07-01"), To: on("2027-06-30"), Series: "each", SameDay: "once", Threshold: 11}}}
	grow := func(county string, pounds ...string) {
		x.Counties = append(x.Counties, programme.County{ID: county, Name: county})
		x.Events = append(x.Events, programme.Event{ID: "E" + county, Date: on("2026-08-01"), County: county, Education: true, Adults: 40})
		for i, p := range pounds {
			site := county + string(rune('a'+i))
			d, _ := programme.ParseDecimal(p)
			x.Sites = append(x.Sites, programme.Site{ID: site, County: county, Opened: on("2026-01-01")})
			x.Beds = append(x.Beds, programme.Bed{ID: site, Site: site, Length: 8, Width: 4, Planted: on("2026-01-01")})
			x.Harvests = append(x.Harvests, programme.Harvest{ID: "H" + site, Date: on("2026-08-01"), Bed: site, Crop: "lettuce", Pounds: d, Fate: "given"})
		}
	}
	grow("AA", "10", "10", "10", "10", "10", "10")
	grow("BB", "30", "5")
	grow("CC", "20", "20", "20", "20", "20")
	shown := func() (out string) {
		e := report(t, x, "F", "2027-06-30").Public()
		for _, f := range e.Figures {
			if f.Measure == "pounds_given" {
				out += f.County + " " + f.Text + ", "
			}
		}
		return out
	}
	if got := shown(); got != "all 195, AA not shown, BB not shown, CC 100, " {
		t.Error(got)
	}
	x.Harvests = x.Harvests[:len(x.Harvests)-1] // now CC has four sites
	if got := shown(); got != "all 175, AA 60, BB not shown, CC not shown, " {
		t.Error(got)
	}
	if in, _ := report(t, x, "F", "2027-06-30").Find("pounds_given", "BB"); in.Text != "35" {
		t.Error("inside:", in.Text)
	}
}
