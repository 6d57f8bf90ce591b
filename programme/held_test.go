package programme_test

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/programme"
)

// smallYear is a year of one county in which each figure can be reckoned in the head.
func smallYear(with func(x *programme.Records)) programme.Records {
	x := programme.Records{Counties: []programme.County{{ID: "A", Name: "A"}}, Funders: []programme.Funder{{ID: "F", From: on("2028-01-01"), To: on("2028-12-31"), Series: "each", SameDay: "once", Threshold: 11, Rate: "R"}},
		Rates: []programme.Rate{{ID: "R", Year: 2028, Name: "h", Dollars: dollars("20"), Source: "s", Released: on("2029-04-01")}}}
	with(&x)
	return x
}

func dollars(text string) programme.Decimal {
	d, _ := programme.ParseDecimal(text)
	return d
}

func maybe(n int) programme.Maybe { return programme.Maybe{Given: true, N: n} }

// An item of yes and no tells who changed, and the exact binomial chance that as many or more go to one side (METHODS section 5): of ten pairs six went to yes, one to no, three stayed: 2 (1 + 7)/2^7.
func TestWhoChangedToYes(t *testing.T) {
	for pairs, want := range map[int]string{10: "6 1 0.125000", 9: " "} {
		r := report(t, smallYear(func(x *programme.Records) {
			x.Events = []programme.Event{{ID: "E", Date: on("2028-05-01"), County: "A", Education: true, Adults: 20}}
			for i, change := range [][2]int{{0, 1}, {0, 1}, {0, 1}, {0, 1}, {0, 1}, {0, 1}, {1, 0}, {1, 1}, {0, 0}, {1, 1}}[:pairs] {
				x.Answers = append(x.Answers, programme.Answer{Form: fmt.Sprint(i), Event: "E", Kind: "looking back", Item: "q", Before: maybe(change[0]), After: maybe(change[1])})
			}
		}), "F", "2028-12-31")
		yes, _ := r.Find("looking back/q: to yes", "all")
		no, _ := r.Find("looking back/q: to no", "all")
		chance, _ := r.Find("looking back/q: by chance", "all")
		if got := strings.Join(strings.Fields(yes.Text+" "+no.Text+" "+chance.Text), " "); got != strings.TrimSpace(want) {
			t.Errorf("%d pairs: %q, not %q", pairs, got, want)
		}
		if told, _ := r.Find("looking back/q: answers before", "all"); pairs == 10 && told.Text != "0: 7; 1: 3" {
			t.Errorf("before: %q", told.Text)
		}
	}
}

// Unknown is told again for the events that had slips (METHODS section 2.1): of 30 adults where slips were, 18 said a group; the 50 of an event without, the visit and the call do not count here.
func TestUnknownWhereSlipsWere(t *testing.T) {
	x := smallYear(func(x *programme.Records) {
		x.Sites = []programme.Site{{ID: "S", County: "A", Opened: on("2028-01-01")}}
		x.Events = []programme.Event{{ID: "E", Date: on("2028-05-01"), County: "A", Education: true, Adults: 30, Youth: 9}, {ID: "N", Date: on("2028-05-02"), County: "A", Education: true, Adults: 50}}
		x.Visits = []programme.Visit{{ID: "V", Date: on("2028-05-03"), Site: "S", Education: true}}
		for i := range 20 {
			s := programme.Slip{ID: fmt.Sprint(i), Event: "E", Standard: "2024", Groups: "White", Sex: "F"}
			if i >= 18 {
				s.Groups = ""
			}
			x.Slips = append(x.Slips, s)
		}
	})
	r := report(t, x, "F", "2028-12-31")
	for name, want := range map[string]string{"unknown_share_where_slips": "0.400000", "unknown_share_race": "0.800000", "slips_returned": "20", "alone: unknown": "72", "sex_unknown": "70"} { // 12/30; 72/90
		if f, _ := r.Find(name, "all"); f.Text != want {
			t.Errorf("%s: %q, not %q", name, f.Text, want)
		}
	}
	x.Slips[0].Sex, x.Slips[1].AgeBand, x.Slips[2].Standard = "X", "65+", "1997"
	r = report(t, x, "F", "2028-12-31")
	for name, want := range map[string]string{"sex_another_answer": "1", "age: 65+": "1", "age_unknown": "89", "older: White": "1", "older_ethnicity_unknown": "1", "older_race_unknown": "0"} { // one is told as many are
		if f, _ := r.Find(name, "all"); f.Text != want {
			t.Errorf("%s: %q, not %q", name, f.Text, want)
		}
	}
}

// Where nobody was met there is no share, and why is told; of one contact there is.
func TestAShareOfNobody(t *testing.T) {
	for _, c := range []struct {
		adults int
		want   string
	}{{0, "not given"}, {1, "1.000000"}} {
		r := report(t, smallYear(func(x *programme.Records) {
			x.Events = []programme.Event{{ID: "E", Date: on("2028-05-01"), County: "A", Education: true, Adults: c.adults}}
		}), "F", "2028-12-31")
		if f, ok := r.Find("unknown_share_race", "all"); !ok || f.Text != c.want || (f.Why == "") != (c.adults > 0) {
			t.Errorf("of %d: %q, %q", c.adults, f.Text, f.Why)
		}
	}
}

// Hours take the figure of their year; of two of one year the one that came out last, from the day on which it is out; of a year before all figures the one the funder names, and before
// that is out no dollars at all (METHODS section 3).
func TestAFigureThatIsRevised(t *testing.T) {
	for _, c := range []struct{ hours, asOf, want string }{
		{"2028-06-01", "2029-03-31", "not given"},
		{"2028-06-01", "2029-04-01", "80.00"},
		{"2028-06-01", "2029-05-31", "80.00"},
		{"2028-06-01", "2029-06-01", "88.00"}, // the revised one
		{"2027-06-01", "2029-03-31", "not given"},
		{"2027-06-01", "2029-04-01", "80.00"}, // no figure of 2027: the one that is named
	} {
		x := smallYear(func(x *programme.Records) {
			x.Funders[0].From = on("2027-01-01")
			x.Rates = append(x.Rates, programme.Rate{ID: "Q", Year: 2028, Name: "h", Dollars: dollars("22"), Source: "s", Released: on("2029-06-01")})
			x.Hours = []programme.Hours{{ID: "H", Date: on(c.hours), Person: "V", Kind: "service", Hours: dollars("4")}}
		})
		if f, _ := report(t, x, "F", c.asOf).Find("hours_value", "all"); f.Text != c.want {
			t.Errorf("hours of %s as of %s: %q, not %q", c.hours, c.asOf, f.Text, c.want)
		}
	}
}

// A follow-up at the edges of what it can say (METHODS section 5): a reply counts on the day on which it came back; one undeliverable is told of; without an early or a late answer there is no
// difference; of nobody's yes the most that is open is told, 1 - 0.05^(1/10) = 0.2589; where all of the whole answered there is no factor.
func TestAFollowUpAtItsEdges(t *testing.T) {
	wave := func(asOf string, early, late, yes int, w programme.Wave) func(string) string {
		x := smallYear(func(x *programme.Records) {
			w.ID, w.Question, w.Sent, w.Count = "W", "q", on("2028-05-01"), 20
			x.Waves = []programme.Wave{w}
			for i := range early + late {
				r := programme.Reply{ID: fmt.Sprint(i), Wave: "W", Mailing: 1, Returned: on("2028-06-01"), Answer: "no"}
				if i >= early {
					r.Mailing = 2
				}
				if i < yes {
					r.Answer = "yes"
				}
				x.Replies = append(x.Replies, r)
			}
		})
		r := report(t, x, "F", asOf)
		return func(name string) string {
			f, _ := r.Find("wave W: "+name, "all")
			return f.Text
		}
	}
	for _, c := range []struct {
		what, got, want string
	}{
		{"the day before they came", wave("2028-05-31", 6, 4, 7, programme.Wave{})("returned"), "0"},
		{"the day they came", wave("2028-06-01", 6, 4, 7, programme.Wave{})("returned"), "10"},
		{"none undeliverable", wave("2028-06-01", 6, 4, 7, programme.Wave{})("response_of_delivered"), ""},
		{"one undeliverable", wave("2028-06-01", 6, 4, 7, programme.Wave{Undeliverable: 1})("response_of_delivered"), "0.526316"}, // 10/19
		{"all undeliverable", wave("2028-06-01", 6, 4, 7, programme.Wave{Undeliverable: 20})("response_of_delivered"), ""},
		{"one late", wave("2028-06-01", 9, 1, 10, programme.Wave{})("early minus late"), "0.000000"},
		{"one early", wave("2028-06-01", 1, 9, 1, programme.Wave{})("early minus late"), "1.000000"},
		{"none late", wave("2028-06-01", 10, 0, 7, programme.Wave{})("early minus late"), ""},
		{"none early", wave("2028-06-01", 0, 10, 7, programme.Wave{})("early minus late"), ""},
		{"nobody", wave("2028-06-01", 6, 4, 0, programme.Wave{})("nobody, at most"), "0.258866"},
		{"one", wave("2028-06-01", 6, 4, 1, programme.Wave{})("nobody, at most"), ""},
		{"all of the whole", wave("2028-06-01", 6, 4, 7, programme.Wave{Whole: maybe(10)})("low of the whole"), ""},
		{"nine answers", wave("2028-06-01", 5, 4, 7, programme.Wave{})("print"), "7 of 9"},
		{"ten", wave("2028-06-01", 6, 4, 7, programme.Wave{})("print"), ""},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, not %q", c.what, c.got, c.want)
		}
	}
	if got := wave("2028-06-01", 6, 4, 7, programme.Wave{Whole: maybe(11)})("low of the whole"); got == "" {
		t.Error("eleven of whom ten answered have a factor")
	}
}

// No office lowers what protects: pupils under 10, sites and groups under 5, answers under 10 cannot be entered; a setting holds on its last day and no longer.
func TestThresholdsAreNeverLowered(t *testing.T) {
	for _, c := range []struct {
		name  string
		least int
	}{{"pupils", 10}, {"sites", 5}, {"answers", 10}} {
		for value, faults := range map[int]int{c.least - 1: 1, c.least: 0} {
			files := year(t)
			files["settings.csv"] = settingsHead + fmt.Sprintf("K1,%s,,%d,2027-08-01,,asked\n", c.name, value)
			if _, got := programme.Read(files); len(got) != faults {
				t.Errorf("%s of %d: %v", c.name, value, got)
			}
		}
	}
	for value, faults := range map[int]int{4: 1, 5: 0} {
		files := year(t)
		files["funders.csv"] += fmt.Sprintf("NEW,new,2026-07-01,2027-06-30,each,once,%d,\n", value)
		if _, got := programme.Read(files); len(got) != faults {
			t.Errorf("groups of %d: %v", value, got)
		}
	}
	files := year(t)
	files["settings.csv"] = settingsHead + "K1,answers,,20,2027-07-05,2027-08-01,asked\n"
	r := read(t, files)
	for day, want := range map[string]string{"2027-07-04": "10", "2027-07-05": "20", "2027-08-01": "20", "2027-08-02": "10"} {
		if got := r.Rule("answers", "BOARD", on(day)).Value; got != want {
			t.Errorf("on %s: %s, not %s", day, got, want)
		}
	}
}

// The slips of a pool stand beside the adults of its small events alone: as many slips as these are no exception, one more is; an event of ten adults is none of them, nor one that is to come.
func TestAPoolAtItsEdges(t *testing.T) {
	for _, c := range []struct {
		slips  int
		asOf   string
		bad    int
		unsure string
	}{{9, "2028-05-31", 0, "0.000000"}, {8, "2028-05-31", 0, "0.111111"}, {10, "2028-05-31", 1, "not given"}, {9, "2028-05-30", 0, "not given"}} {
		r := report(t, smallYear(func(x *programme.Records) {
			x.Events = []programme.Event{{ID: "E9", Date: on("2028-05-01"), County: "A", Education: true, Adults: 9}, {ID: "E10", Date: on("2028-05-02"), County: "A", Education: true, Adults: 10},
				{ID: "J", Date: on("2028-06-01"), County: "A", Education: true, Adults: 4}, {ID: "B", Date: on("2028-05-03"), County: "A", Adults: 7}}
			for i := range c.slips {
				x.Slips = append(x.Slips, programme.Slip{ID: fmt.Sprint(i), County: "A", Month: "2028-05", Standard: "2024", Groups: "White"})
			}
		}), "F", c.asOf)
		if f, _ := r.Find("exceptions", "all"); f.Number != float64(c.bad) {
			t.Errorf("%d slips as of %s: %s exceptions", c.slips, c.asOf, f.Text)
		}
		if f, _ := r.Find("unknown_share_where_slips", "all"); f.Text != c.unsure {
			t.Errorf("%d slips as of %s: %q unknown, not %q", c.slips, c.asOf, f.Text, c.unsure)
		}
	}
}
