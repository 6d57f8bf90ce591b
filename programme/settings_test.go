package programme_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"raftwright/programme"
)

const settingsHead = "setting,name,funder,value,from,to,source\n"

// asOf gives a figure of the board as of a day.
func asOf(t *testing.T, files map[string]string, day, name string) string {
	t.Helper()
	f, ok := report(t, read(t, files), "BOARD", day).Find(name, "all")
	if !ok {
		return "none"
	}
	return f.Text
}

// A setting holds from its day on; a report of an earlier day keeps what held then. Values: by hand from the rows of the invented year, or as
// named.
func TestASettingHoldsFromItsDay(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	plain, early, late := year(t), map[string]string{}, map[string]string{} // by the name of the figure
	for _, c := range []struct {
		what, rows, name string
		after            string // as of 2027-08-31; "" where only a change is asked for
	}{
		{"44 answers are too few for 45", "K1,answers,,45,2027-08-01,,\n", "wave A6: print", "33 of 44"},
		// Wilson, 33 of 44 at 99 % by the formula of Wilson 1927 with z 2.575829
		{"a wider interval", "K1,level,,0.99,2027-08-01,,\n", "wave A6: low", "0.557110"},
		{"no price is good any more", "K1,price_days,,1,2027-08-01,,\n", "harvests_without_valid_price", ""},
		{"meals are told", "K1,meal_pounds,,1.2,2027-08-01,,a convention of food banks (second-hand)\n", "meals_given", ""},
		{"another power", "K1,power,,0.90,2027-08-01,,\n", "", ""},
		{"another answer counts as unknown", "K1,sex_answers,,F and M,2027-08-01,,\n", "sex_another_answer", "none"},
		{"a row of the funder beats one of all, though it is older", "K1,answers,BOARD,45,2027-07-20,,\nK2,answers,,12,2027-08-01,,\n", "wave A6: print", "33 of 44"},
		{"the later of two", "K1,answers,,12,2027-07-20,,\nK2,answers,,45,2027-08-01,,\n", "wave A6: print", "33 of 44"},
		{"of one day the later name", "K2,answers,,45,2027-08-01,,\nK1,answers,,12,2027-08-01,,\n", "wave A6: print", "33 of 44"},
	} {
		files := year(t)
		files["slips.csv"] += "ZZ1,E007,2024,White,X,18-24\n"
		if _, ok := early[c.name]; !ok {
			early[c.name], late[c.name] = asOf(t, files, "2027-07-10", c.name), asOf(t, plain, "2027-08-31", c.name)
		}
		before := early[c.name]
		files["settings.csv"] = settingsHead + c.rows
		if got := asOf(t, files, "2027-07-10", c.name); got != before && c.name != "" {
			t.Errorf("%s: %s in a report of an earlier day, not %s", c.what, got, before)
		}
		got := asOf(t, files, "2027-08-31", c.name)
		if c.after != "" && got != c.after {
			t.Errorf("%s: %s, not %s", c.what, got, c.after)
		}
		if c.name != "" && got == late[c.name] && c.name != "sex_another_answer" {
			t.Errorf("%s: nothing changes", c.what)
		}
	}
	for _, c := range []struct{ rows, after string }{
		{"K1,answers,,45,2027-08-01,2027-08-30,\n", "none"}, // over
		{"K1,answers,SCHOOLFUND,45,2027-08-01,,\n", "none"}, // another funder's
	} {
		files := year(t)
		files["settings.csv"] = settingsHead + c.rows
		if got := asOf(t, files, "2027-08-31", "wave A6: print"); got != c.after {
			t.Errorf("%q: %s", c.rows, got)
		}
	}
	files := year(t)
	files["settings.csv"] = settingsHead + "K1,answers,,45,2027-08-01,,\n"
	files["corrections.csv"] += "X10,2027-08-15,settings,K1,void,,,,\n"
	if early, late := asOf(t, files, "2027-08-10", "wave A6: print"), asOf(t, files, "2027-08-31", "wave A6: print"); early != "33 of 44" || late != "none" {
		t.Errorf("a row that was taken out: %s, then %s", early, late)
	}
}

// Parity, a wide interval and the response below which silence is told go by dated rules: each verdict moves with its rule from its day on, and
// at the edge. Values: by hand from the rows of the invented year: 32 of 782 contacts in Alder said Hispanic or Latino alone and 623 said nothing, so
// 0.0409 to 0.8376; Wilson of 33 of 44 is 0.6056 to 0.8543, 0.2487 wide; 44 of 84 answered, 0.5238.
func TestVerdictsGoByTheirRules(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	const whose, day = "K1,%s,,%s,2027-08-01,,asked by the board\n", "2027-08-31"
	for _, c := range []struct{ share, part, name, want string }{
		{"0.90", "", "parity 80 %", "cannot be told"}, {"0.90", "0.93", "parity 93 %", "cannot be told"}, // needed 0.837
		{"0.90", "0.931", "parity 93.1 %", "not reached"}, {"0.05", "", "parity 80 %", "reached"}, // needed 0.8379; 0.04
		{"0.05", "0.82", "parity 82 %", "cannot be told"}, {"0.05", "0.81", "parity 81 %", "reached"}, // 0.041; 0.0405
	} {
		files := year(t)
		head, _, _ := strings.Cut(files["audience.csv"], "\n")
		files["audience.csv"] = head + "\nALD,Hispanic or Latino," + c.share + ",invented share of adults\n"
		if c.part != "" {
			files["settings.csv"] = settingsHead + fmt.Sprintf(whose, "parity_part", c.part)
		}
		r := report(t, read(t, files), "BOARD", day)
		if got, _ := r.Find(c.name+": Hispanic or Latino", "ALD"); got.Text != c.want {
			t.Errorf("%s of the audience, %s: %q, not %q", c.share, c.name, got.Text, c.want)
		}
	}
	for _, c := range []struct {
		name, value  string
		wide, silent bool // of the follow-up A6
	}{{"wide", "0.30", false, true}, {"wide", "0.249", false, true}, {"wide", "0.248", true, true}, {"response", "0.524", false, true}, {"response", "0.523", false, false}} {
		files := year(t)
		files["settings.csv"] = settingsHead + fmt.Sprintf(whose, c.name, c.value)
		for at, wide, silent := "2027-07-31", false, true; ; at, wide, silent = day, c.wide, c.silent { // the day before, and then
			r := report(t, read(t, files), "BOARD", at)
			low, _ := r.Find("wave A6: low", programme.All)
			high, _ := r.Find("wave A6: high", programme.All)
			back, _ := r.Find("wave A6: answer_rate", programme.All)
			if got := r.Wide(programme.Interval{Low: low.Number, High: high.Number}); got != wide {
				t.Errorf("%s %s on %s: wide %t", c.name, c.value, at, got)
			}
			if got := r.Silent(back.Number); got != silent {
				t.Errorf("%s %s on %s: silence told %t", c.name, c.value, at, got)
			}
			if at == day {
				break
			}
		}
	}
}

// Every setting is told in the report: its value, and since when; what nobody set stands as usual.
func TestRulesAreTold(t *testing.T) {
	files := year(t)
	files["settings.csv"] = settingsHead + "K1,sites,BOARD,8,2027-08-01,,asked by the board\n"
	files["corrections.csv"] += "X10,2027-08-02,funders,BOARD,change,threshold,11,20,asked by the board\n"
	for day, want := range map[string][2]string{"2027-07-05": {"threshold 11 ", "sites 5 "}, "2027-08-31": {"threshold 20 2027-08-02", "sites 8 2027-08-01"}} {
		r := report(t, read(t, files), "BOARD", day)
		var told []string
		for _, h := range r.Rules {
			told = append(told, h.Name+" "+h.Value+" "+h.Since.String())
		}
		for _, w := range want {
			if !strings.Contains(strings.Join(told, "|")+"|", w+"|") {
				t.Errorf("%s: no %q in %v", day, w, told)
			}
		}
		if len(r.Rules) != 8+len(programme.SettingRules()) {
			t.Errorf("%d rules", len(r.Rules))
		}
	}
	// a threshold that rose on a day hides more from that day on (METHODS 8: a threshold for each funder)
	r := read(t, files)
	for day, want := range map[string]int{"2027-07-05": 11, "2027-08-31": 20} {
		for _, f := range report(t, r, "BOARD", day).Public().Figures {
			if f.Kind == programme.People && f.Why == "" && f.Number > 0 && int(f.Number) < want {
				t.Errorf("%s: %s %s shows %v", day, f.Name(), f.County, f.Number)
			}
		}
	}
	got, _ := report(t, r, "BOARD", "2027-08-31").Find("map_sites", "CED") // six sites
	if got.Text != "fewer than 8" {
		t.Error("Cedar:", got.Text)
	}
}

// A setting that cannot be meant is told at its place. No threshold is lowered: 10 pupils (NCES 2011-603), 5 sites and 10 answers (our rule, no
// source).
func TestFaultsOfSettings(t *testing.T) {
	for row, want := range map[string]string{
		"K1,pupils,,9,2027-08-01,,\n":                           "table.fault.number 12",
		"K1,sites,,4,2027-08-01,,\n":                            "table.fault.number 11",
		"K1,answers,,9,2027-08-01,,\n":                          "table.fault.number 13",
		"K1,answers,,10.5,2027-08-01,,\n":                       "table.fault.number 13",
		"K1,answers,,off,2027-08-01,,\n":                        "table.fault.number 13",
		"K1,level,,95,2027-08-01,,\n":                           "table.fault.number 11",
		"K1,meal_pounds,,1.2,2027-08-01,,\n":                    "programme.fault.source 33",
		"K1,produce_limit,,24999,2027-08-01,,page of the FDA\n": "table.fault.number 19",
		"K1,sex_answers,,M,2027-08-01,,\n":                      "table.fault.word 17",
		"K1,withheld,,people.county,2027-08-01,,State law\n":    "programme.fault.columns 14",
		"K1,access_day,,soon,2027-08-01,,a rule\n":              "programme.fault.day 16",
		"K1,minutes,,10,2027-08-01,,\n":                         "table.fault.word 4",
		"K1,sites,NOBODY,9,2027-08-01,,\n":                      "programme.fault.unknown 10",
		"K1,sites,,9,2027-08-01,2027-07-01,\n":                  "programme.fault.order 24",
		"K1,sites,,9,,,\n":                                      "table.fault.blank 13",
	} {
		files := year(t)
		files["settings.csv"] = settingsHead + row
		_, faults := programme.Read(files)
		if len(faults) != 1 || faults[0].Line != 2 || want != string(faults[0].ID)+" "+strconv.Itoa(faults[0].Column) {
			t.Errorf("%q: %v; wanted %s", row, faults, want)
		}
	}
	for row, want := range map[string]string{
		"X10,2027-08-02,funders,BOARD,change,threshold,11,4,\n": "table.fault.number",
		"X10,2027-08-02,funders,BOARD,change,rate,RT1,RT9,\n":   "programme.fault.unknown",
		"X10,2027-08-02,settings,K1,change,value,9,4,\n":        "programme.fault.table",
		"X10,2027-08-02,corrections,X01,change,new,25,26,\n":    "programme.fault.table",
		"X10,2027-08-02,settings,K9,void,,,,\n":                 "programme.fault.unknown",
	} {
		files := year(t)
		files["settings.csv"] = settingsHead + "K1,sites,,9,2027-08-01,,\n"
		files["corrections.csv"] += row
		if _, faults := programme.Read(files); len(faults) != 1 || string(faults[0].ID) != want {
			t.Errorf("%q: %v; wanted %s", row, faults, want)
		}
	}
}

// Who takes a correction back leaves what was before it, from that day on; and who takes that back again, the correction.
func TestACorrectionTakenBack(t *testing.T) {
	files := year(t)
	without := asOf(t, files, "2027-07-05", "contacts_events_adults")
	with := asOf(t, files, "2027-08-31", "contacts_events_adults")
	files["corrections.csv"] += "X10,2027-08-10,corrections,X01,void,,,,\nX11,2027-08-20,corrections,X10,void,,,,\n"
	for day, want := range map[string]string{"2027-07-19": without, "2027-08-09": with, "2027-08-10": without, "2027-08-19": without, "2027-08-20": with} {
		if got := asOf(t, files, day, "contacts_events_adults"); got != want {
			t.Errorf("%s: %s adults, not %s", day, got, want)
		}
	}
}

// Hours take the rate of their year (METHODS 3): among figures of one name that were out by the day that of the year, else the last one, said so.
// Values: by hand; 10 h in 2026 and 6.5 h in 2027.
func TestHoursTakeTheRateOfTheirYear(t *testing.T) {
	files := year(t)
	delete(files, "corrections.csv")
	files["hours.csv"] = "entry,date,person,event,task,kind,hours\nH1,2026-12-31,V1,,help,service,10\nH2,2027-01-01,V1,,help,service,6.5\nH3,2027-01-02,V1,,course,training,3\n"
	files["rates.csv"] = "rate,year,dollars_per_hour,source,name,released,scope\nRT1,2026,30.00,invented,story,2027-04-20,national\nRT2,2027,31.11,invented,story,2028-04-20,national\n" +
		"RT0,2025,29.00,invented,story,2026-04-20,national\nRS,2026,40.00,invented,story,2027-04-20,state\nRM,2026,18.00,invented,other,,\n"
	for _, c := range []struct{ day, value, rates string }{
		{"2027-03-31", "478.50", "RT0 16.5 late"},   // only the figure of 2025 is out: 16.5 x 29
		{"2027-08-31", "495.00", "RT1 16.5 late"},   // 16.5 x 30
		{"2028-05-01", "502.22", "RT1 10; RT2 6.5"}, // 300 + 202.215, half up
	} {
		r := report(t, read(t, files), "BOARD", c.day)
		var used []string
		for _, x := range r.Rates {
			text := x.ID + " " + x.Hours.String()
			if x.Late {
				text += " late"
			}
			used = append(used, text)
		}
		f, _ := r.Find("hours_value", "all")
		if f.Text != c.value || strings.ReplaceAll(strings.Join(used, "; "), "10.0", "10") != c.rates {
			t.Errorf("%s: %s by %v, not %s by %s", c.day, f.Text, used, c.value, c.rates)
		}
	}
	files["rates.csv"] = "rate,year,dollars_per_hour,source,name,released,scope\nRT1,2026,30.00,invented,story,2027-04-20,national\n"
	if f, _ := report(t, read(t, files), "BOARD", "2027-03-31").Find("hours_value", "all"); f.Text != "not given" {
		t.Error("a rate that is not out yet gives a value:", f.Text)
	}
}

// Meals are told where the office entered its figure with a source, rounded down, and only of what was given (METHODS 7); 1.2 lb is what food
// banks are said to use (second-hand).
func TestMealsOfWhatWasGiven(t *testing.T) {
	files := year(t)
	files["harvests.csv"] = "harvest,date,bed,crop,heads,pounds,fate,receipts\nH1,2027-05-01,,lettuce,3,2.3,given,\nH2,2027-05-02,,lettuce,3,1.2,given,\nH3,2027-05-02,,lettuce,3,50,kitchen,\n"
	if got := asOf(t, files, "2027-08-31", "meals_given"); got != "none" {
		t.Error("without a figure:", got)
	}
	for value, want := range map[string]string{"1.2": "2", "0.5": "7", "3.5": "1", "3.6": "0"} { // of 3.5 pounds
		files["settings.csv"] = settingsHead + "K1,meal_pounds,," + value + ",2027-08-01,,invented\n"
		if got := asOf(t, files, "2027-08-31", "meals_given"); got != want {
			t.Errorf("%s pounds to a meal: %s meals, not %s", value, got, want)
		}
	}
}

// What a State keeps back is not in the copy, from its day on; what is no column of the copy cannot be named.
func TestAStateKeepsColumnsBack(t *testing.T) {
	files := year(t)
	delete(files, "must_vanish.csv")
	files["settings.csv"] = settingsHead + "K1,withheld,,visits.miles|inquiries.topic,2027-08-01,,State law (invented)\n"
	r := read(t, files)
	for day, want := range map[string]bool{"2027-07-31": true, "2027-08-01": false} {
		copied, _, faults := r.Copy(on(day))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		head, _, _ := strings.Cut(copied["visits.csv"], "\n")
		other, _, _ := strings.Cut(copied["inquiries.csv"], "\n")
		if strings.Contains(head, "miles") != want || strings.Contains(other, "topic") != want || !strings.Contains(head, "minutes") {
			t.Errorf("%s: %s; %s", day, head, other)
		}
	}
}

// A county stands on its tile, the others in rows below, and never two on one.
func TestTilesOfCounties(t *testing.T) {
	at := func(across, down int) programme.County {
		return programme.County{Across: programme.Maybe{Given: true, N: across}, Down: programme.Maybe{Given: true, N: down}}
	}
	got, placed := programme.Tiles([]programme.County{at(2, 1), {}, at(2, 1), at(1, 2), {}, {}})
	if want := []programme.Tile{{2, 1}, {1, 3}, {2, 3}, {1, 2}, {3, 3}, {1, 4}}; placed || len(got) != len(want) {
		t.Error(got, placed)
	} else {
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("%d: %v, not %v", i, got[i], want[i])
			}
		}
	}
	if _, placed := programme.Tiles([]programme.County{at(1, 1), at(2, 2)}); !placed {
		t.Error("all were placed")
	}
}

// From which share of the audience on a group is asked about is a rule too: at the edge, and from its day.
func TestParityIsAskedFromAShareOn(t *testing.T) {
	for _, c := range []struct {
		share, least   string
		before, andNow bool
	}{{"0.05", "", true, true}, {"0.0499", "", false, false}, {"0.05", "0.06", true, false}, {"0.06", "0.06", true, true}, {"0.04", "0.04", false, true}} {
		files := year(t)
		head, _, _ := strings.Cut(files["audience.csv"], "\n")
		files["audience.csv"] = head + "\nALD,Hispanic or Latino," + c.share + ",invented share of adults\n"
		if c.least != "" {
			files["settings.csv"] = settingsHead + "K1,parity_least,," + c.least + ",2027-08-01,,asked by the board\n"
		}
		for at, want := range map[string]bool{"2027-07-31": c.before, "2027-08-31": c.andNow} {
			r := report(t, read(t, files), "BOARD", at)
			if _, asked := r.Find("parity 80 %: Hispanic or Latino", "ALD"); asked != want {
				t.Errorf("%s of the audience, asked from %s on, as of %s: %t", c.share, c.least, at, asked)
			}
		}
	}
}

// Where nothing was entered the rules stand as the field has them: 10 pupils, 5 sites, 10 answers, prices of 180 days, 95 %, power 0.80
// (common practice, no source), parity of four fifths (New Mexico State Univ.; Purdue Univ.), wide from 0.30 (from memory), silence below a response of 0.80 (OMB 2006), access from 26 Apr 2027 (28 CFR 35.200; 91 FR 20902); no food for a meal and no limit of sales. What may be entered
// reaches from there upward for each smallest group; limits of sales are at least those of 2011, 25,000 and 500,000 dollars (21 CFR 112.4, 112.5).
func TestRulesStandAsUsual(t *testing.T) {
	want := map[string]string{"pupils": "10 10 1000", "sites": "5 5 1000", "answers": "10 10 1000", "price_days": "180 1 1000", "meal_pounds": "off 0.1 10", "level": "0.95 0.8 0.999", "power": "0.80 0.5 0.99",
		"parity_part": "0.80 0.5 1", "parity_least": "0.05 0.01 0.5", "wide": "0.30 0.05 1", "response": "0.80 0.5 1",
		"sex_answers": "written 0 0", "slips": "2024 0 0", "languages": "reader 0 0", "withheld": "off 0 0", "access_day": "2027-04-26 0 0", "produce_limit": "off 25000 1e+07", "food_limit": "off 500000 1e+08"}
	for _, r := range programme.SettingRules() {
		if got := fmt.Sprint(r.Standard, " ", r.Least, " ", r.Most); got != want[r.Name] {
			t.Errorf("%s: %s, not %s", r.Name, got, want[r.Name])
		}
		delete(want, r.Name)
	}
	if len(want) > 0 {
		t.Error("no rule:", want)
	}
}

// Slips of a day ask as the funders in whose years it is: one's rule of its own counts on its days and no other, two that differ are told, and the
// office's stands then and where nobody has one.
func TestSlipsAskAsTheFundersOfTheDay(t *testing.T) {
	const board, school = "K1,slips,BOARD,1997,2026-01-01,,\n", "K2,slips,SCHOOLFUND,2024,2026-01-01,,\n" // years: 2026-07-01 to 2027-06-30; 2026-08-15 to 2027-06-04
	for _, c := range []struct{ rows, day, funder, want string }{
		{"", "2027-02-01", "", "2024 [] false"},
		{board, "2026-06-30", "", "2024 [] false"}, {board, "2026-07-01", "", "1997 [BOARD] false"}, {board, "2027-06-30", "", "1997 [BOARD] false"}, {board, "2027-07-01", "", "2024 [] false"},
		{board, "2027-02-01", "SCHOOLFUND", "2024 [SCHOOLFUND] false"}, {board, "2027-07-01", "BOARD", "1997 [BOARD] false"},
		{board + school, "2027-02-01", "", "2024 [BOARD SCHOOLFUND] true"}, {board + school, "2027-06-05", "", "1997 [BOARD] false"},
		{"K3,slips,,1997,2026-01-01,,\n", "2027-07-01", "", "1997 [] false"}, {"K3,slips,,1997,2026-01-01,,\n" + school, "2027-02-01", "", "2024 [SCHOOLFUND] false"},
		{"K3,slips,,1997,2026-01-01,,\n" + board + school, "2027-02-01", "", "1997 [BOARD SCHOOLFUND] true"},
	} {
		files := year(t)
		files["settings.csv"] = settingsHead + c.rows
		asks := read(t, files).SlipsOn(on(c.day), c.funder)
		if got := fmt.Sprint(asks.Standard, " ", asks.Funders, " ", asks.Apart); got != c.want {
			t.Errorf("%q on %s for %q: %s, not %s", c.rows, c.day, c.funder, got, c.want)
		}
	}
}
