package programme

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"raftwright/trial"
)

// row is a check value: its case, the inputs as JSON, and one result. The tables name the source of each.
type row struct {
	id, quantity, value, tolerance string
	in                             map[string]any
}

func cases(t *testing.T, file string, least int) []row {
	t.Helper()
	text, err := os.ReadFile("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	in := csv.NewReader(strings.NewReader(string(text)))
	in.Comment = '#'
	all, err := in.ReadAll()
	if err != nil || len(all) <= least {
		t.Fatal(len(all), err)
	}
	var out []row
	for _, r := range all[1:] {
		x := row{r[0], r[3], r[4], r[5], nil}
		if err := json.Unmarshal([]byte(r[2]), &x.in); err != nil {
			t.Fatal(r[0], err)
		}
		out = append(out, x)
	}
	return out
}

func (r row) num(key string) float64 { x, _ := r.in[key].(float64); return x }
func (r row) text(key string) string { x, _ := r.in[key].(string); return x }
func (r row) list(key string) []any  { x, _ := r.in[key].([]any); return x }
func (r row) has(key string) bool    { _, ok := r.in[key]; return ok }
func texts(v any) (out []string) {
	l, _ := v.([]any)
	for _, x := range l {
		out = append(out, x.(string))
	}
	return out
}
func numbers(v any) (out []float64) {
	l, _ := v.([]any)
	for _, x := range l {
		out = append(out, x.(float64))
	}
	return out
}
func ints(v any) (out []int) {
	for _, x := range numbers(v) {
		out = append(out, int(x))
	}
	return out
}

// check compares a value with what the case expects; a value is a number, or a text that must be the same.
func (r row) check(t *testing.T, got any) {
	t.Helper()
	if got == nil {
		t.Errorf("%s %s: nothing computes it", r.id, r.quantity)
		return
	}
	want, err := strconv.ParseFloat(r.value, 64)
	have, ok := 0.0, false
	switch x := got.(type) {
	case int:
		have, ok = float64(x), true
	case float64:
		have, ok = x, true
	case Decimal:
		have, ok = x.Float(), true
	}
	within, _ := strconv.ParseFloat(r.tolerance, 64)
	if err == nil && ok && math.Abs(have-want) <= within+1e-12 || fmt.Sprint(got) == r.value {
		return
	}
	t.Errorf("%s %s: %v, want %s within %s", r.id, r.quantity, got, r.value, r.tolerance)
}

// made makes records of a case: those that contacts.csv describes.
func (r row) made() (Records, Funder) {
	day, _ := ParseDay("2027-03-01")
	f := Funder{ID: "F", From: day - 400, To: day + 800, Series: "each", SameDay: "once", Threshold: 11}
	if r.has("series_rule") {
		f.Series = r.text("series_rule")
	}
	if r.has("same_day") {
		f.SameDay = r.text("same_day")
	}
	x := Records{Counties: []County{{ID: "C", Name: "County"}}, Sites: []Site{{ID: "S", County: "C", Opened: 1}}}
	event := func(e Event, people []string, slips [][]string, standard string) {
		e.ID, e.County, e.Education = "E"+strconv.Itoa(len(x.Events)), "C", true
		if e.Date == 0 {
			e.Date = day + Day(len(x.Events))
		}
		x.Events = append(x.Events, e)
		for _, p := range people {
			x.SignIns = append(x.SignIns, SignIn{e.ID, p})
		}
		for _, g := range slips {
			x.Slips = append(x.Slips, Slip{ID: strconv.Itoa(len(x.Slips)), Event: e.ID, Standard: standard, Groups: strings.Join(g, "|")})
		}
	}
	for _, v := range r.list("events") {
		m := v.(map[string]any)
		heads, _ := m["heads"].(float64)
		on, _ := m["date"].(string)
		series, _ := m["series"].(string)
		date, _ := ParseDay(on)
		event(Event{Date: date, Adults: int(heads), Series: series}, texts(m["signins"]), nil, "")
		if s := texts(m["staff"]); len(s) == 2 {
			x.Events[len(x.Events)-1].Lead, x.Events[len(x.Events)-1].With = s[0], s[1]
		}
	}
	if !r.has("events") && (r.has("heads") || r.has("adults")) {
		var slips [][]string
		standard := r.text("standard")
		switch v := r.in["slips"].(type) {
		case float64:
			for i := range int(v) {
				if i < int(r.num("slips_blank_on_this_question")) {
					slips = append(slips, nil)
				} else {
					slips = append(slips, []string{"White"})
				}
			}
		case []any:
			for _, s := range v {
				switch s := s.(type) {
				case []any:
					slips = append(slips, texts(s))
				case map[string]any:
					slips = append(slips, append([]string{s["ethnicity"].(string)}, texts(s["race"])...))
				}
			}
		}
		for range int(r.num("slips_adults")) {
			slips = append(slips, []string{"White"})
		}
		if standard == "" {
			standard = "2024"
		}
		event(Event{Adults: int(r.num("heads") + r.num("adults")), Youth: int(r.num("youth"))}, nil, slips, standard)
	}
	ask := func(on Day, person string, education bool) {
		x.Inquiries = append(x.Inquiries, Inquiry{ID: "N" + strconv.Itoa(len(x.Inquiries)), Date: on, County: "C", Person: person, Education: education, Status: "closed"})
	}
	for _, v := range r.list("records") {
		s := texts(v)
		on, _ := ParseDay(s[0])
		if s[2] == "visit" {
			x.Visits = append(x.Visits, Visit{ID: "V", Date: on, Site: "S", Education: true, Person: s[1]})
		} else {
			ask(on, s[1], true)
		}
	}
	for _, v := range r.list("inquiries") {
		ask(day, "", v.(map[string]any)["education"].(bool))
	}
	if v, ok := r.in["visit"].(map[string]any); ok {
		x.Visits = append(x.Visits, Visit{ID: "V", Date: day, Site: "S", Education: true, Person: v["person"].(string), OthersMet: int(v["others_met"].(float64))})
	}
	for _, p := range texts(r.in["withdrawn"]) {
		x.Consents = append(x.Consents, Consent{Person: p, Purpose: "keep", Given: 1, Withdrawn: day})
	}
	x.Funders = []Funder{f}
	return x, f
}

func value(t *testing.T, x Records, name string) any {
	t.Helper()
	r, faults := Make(x, "F", x.Funders[0].To)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	f, ok := r.Find(name, All)
	if !ok {
		return nil
	}
	if f.Kind == Word || f.Why != "" {
		return f.Text
	}
	if f.Kind == Hour || f.Kind == Dollars {
		d, _ := ParseDecimal(f.Text)
		return d
	}
	return f.Number
}

// The values of contacts.csv were worked by hand from the rules; METHODS of counting name the services whose rules they are.
func TestContacts(t *testing.T) {
	names := map[string]string{
		"unknown": "alone: unknown", "unknown_share": "unknown_share_race", "white_any": "any: White", "hispanic_any": "any: Hispanic or Latino", "asian_any": "any: Asian",
		"white_alone": "alone: White", "more_than_one": "alone: more than one", "hispanic": "older: Hispanic or Latino",
	}
	for _, r := range cases(t, "contacts.csv", 70) {
		x, f := r.made()
		name := r.quantity
		if names[name] != "" {
			name = names[name]
		}
		var got any
		switch r.id + " " + r.quantity {
		case "c02 direct_contacts_S1", "c02 direct_contacts_S2": // each may show the event as theirs
			name = "direct_contacts"
		case "c02 sum_over_staff_must_not_be_printed_as_total":
			if n := value(t, x, "direct_contacts"); n != 17.0 {
				t.Errorf("c02: %v", n)
			}
			continue
		case "c09 direct_contacts", "c09 indirect_contacts", "c10 direct_contacts", "c10 indirect_views":
			x, f = row{in: map[string]any{"heads": r.num("direct") + r.num("live_online_heads")}}.made()
			x.Indirect = []Indirect{{ID: "I", Date: f.From, Unit: "views", Count: int(r.num("indirect") + r.num("recording_views"))}}
			if strings.HasPrefix(r.quantity, "indirect") {
				name = "indirect: views"
			}
		case "c09 any_sum_printed":
			x, f = row{in: map[string]any{"heads": r.num("direct")}}.made()
			x.Indirect = []Indirect{{ID: "I", Date: f.From, Unit: "views", Count: int(r.num("indirect"))}}
			rep, _ := Make(x, "F", f.To)
			got = "no"
			for _, fig := range rep.Figures {
				if fig.Number == r.num("direct")+r.num("indirect") {
					got = "yes"
				}
			}
		case "c11 answered", "c14 answered":
			a, b := value(t, x, "direct_contacts"), value(t, x, "alone: unknown")
			got = a.(float64) - b.(float64)
		case "c13 pupil_records":
			got = len(x.People) + len(x.SignIns) // no table of ours has a row for a pupil
		case "c14 sum_of_any_counts":
			n := 0.0
			for _, g := range groupNames {
				n += value(t, x, "any: "+g).(float64)
			}
			got = n
		case "c15 race_unknown", "c15 ethnicity_unknown":
			slips := value(t, x, "older_"+r.quantity).(float64)
			got = slips + r.num("heads") - value(t, x, "slips_older_standard").(float64) // those without a slip are unknown too
		case "c16 share_needed", "c17 share_needed":
			got = r.num("potential_share") * asUsual().part
		case "c17 share_of_known":
			got = r.num("in_group") / (r.num("heads") - r.num("unknown"))
		case "c17 share_low", "c17 share_high", "c17 verdict":
			low, high, verdict := parityOf(int(r.num("heads")), int(r.num("in_group")), int(r.num("unknown")), r.num("potential_share")*asUsual().part)
			got = map[string]any{"share_low": low, "share_high": high, "verdict": verdict}[r.quantity]
		case "c19 days_A":
			got = ranged(r, "A").Days()
		case "c20 hours", "c20 value", "c21 value", "c22 hours_service", "c22 hours_training", "c22 value", "c23 value_for_story", "c23 value_for_match":
			got = hoursOf(t, r, f)
		case "c25 direct_contacts_as_of_2027-07-15", "c25 direct_contacts_as_of_2027-08-15":
			got = corrected(t, r)
		}
		if in, ok := strings.CutPrefix(r.quantity, "in_"); ok {
			got = 0
			if day, _ := ParseDay(r.text("date")); ranged(r, in).Has(day) {
				got = 1
			}
		}
		if got == nil {
			got = value(t, x, name)
		}
		r.check(t, got)
	}
}

func ranged(r row, name string) Range {
	ends := texts(r.in["ranges"].(map[string]any)[name])
	from, _ := ParseDay(ends[0])
	to, _ := ParseDay(ends[1])
	return Range{from, to}
}

func hoursOf(t *testing.T, r row, f Funder) any {
	x := Records{Counties: []County{{ID: "C", Name: "County"}}}
	add := func(text, kind string) {
		d, ok := ParseDecimal(text)
		if !ok {
			t.Fatal(text)
		}
		x.Hours = append(x.Hours, Hours{ID: strconv.Itoa(len(x.Hours)), Date: f.From, Person: "V", Kind: kind, Hours: d})
	}
	switch h := r.in["hours"].(type) {
	case string:
		add(h, "service")
	case []any:
		for _, s := range texts(h) {
			add(s, "service")
		}
	}
	if r.has("service") {
		add(r.text("service"), "service")
		add(r.text("training"), "training")
	}
	rate := r.text("rate") + r.text("national_rate")
	if r.quantity == "value_for_match" {
		rate = r.text("similar_paid_work_rate") // the rate of the funder who matches
	}
	if d, ok := ParseDecimal(rate); ok {
		x.Rates, f.Rate = []Rate{{ID: "R", Year: 2021, Dollars: d, Source: "the case"}}, "R"
	}
	x.Funders = []Funder{f}
	name := map[string]string{"hours": "hours_service", "value": "hours_value", "value_for_story": "hours_value", "value_for_match": "hours_value"}[r.quantity]
	if name == "" {
		name = r.quantity
	}
	return value(t, x, name)
}

func corrected(t *testing.T, r row) any {
	x, _ := row{in: map[string]any{"heads": r.num("heads_first")}}.made()
	on, _ := ParseDay(r.text("corrected_on"))
	x.Events[0].Date = on - 100
	x.Corrections = []Correction{{ID: "X", MadeOn: on, Table: "events", Record: x.Events[0].ID, Action: "change", Field: "adults", New: strconv.Itoa(int(r.num("heads_corrected")))}}
	day, _ := ParseDay(strings.TrimPrefix(r.quantity, "direct_contacts_as_of_"))
	rep, faults := Make(x, "F", day)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	f, _ := rep.Find("direct_contacts", All)
	return f.Number
}

// The values of adoption.csv: Newcombe's published examples (Stat. Med. 17, 1998) recomputed, and cases worked with a library for
// statistics; the table names which.
func TestRates(t *testing.T) {
	for _, r := range cases(t, "adoption.csv", 100) {
		level := Level
		if r.has("confidence") {
			level = r.num("confidence")
		}
		yes, n := r.num("yes"), r.num("answered")
		w := Wilson(yes, n, level)
		got := map[string]any{"share": w.At, "low": w.Low, "high": w.High}
		verdict := func(i Interval) string {
			if i.Clear() {
				return "difference shown"
			}
			return "no difference shown"
		}
		switch r.id {
		case "a11":
			e := Exact(yes, n, level)
			got = map[string]any{"low": e.Low, "high": e.High}
		case "a12":
			got = map[string]any{"upper_one_sided_exact": NobodySaid(n, Level), "rule_of_three": 3 / n}
		case "a13", "a14", "a15", "a16", "a17", "a18":
			d := Newcombe(r.num("yes1"), r.num("n1"), r.num("yes2"), r.num("n2"), level)
			got = map[string]any{"difference": d.At, "low": d.Low, "high": d.High, "verdict": verdict(d)}
		case "a23":
			d := Newcombe(r.num("early_yes"), r.num("early_n"), r.num("late_yes"), r.num("late_n"), level)
			got = map[string]any{"difference": d.At, "low": d.Low, "high": d.High, "verdict": verdict(d)}
		case "a19", "a20", "a21", "a30":
			got = waved(t, r)
		case "a22":
			f := math.Sqrt((r.num("population") - n) / (r.num("population") - 1))
			s := Small(yes, n, r.num("population"), level)
			got = map[string]any{"fpc": f, "effective_n": n / (f * f), "low_without": w.Low, "high_without": w.High, "low_with": s.Low, "high_with": s.High}
		case "a24":
			yy, yn, ny, nn := r.num("yes_yes"), r.num("yes_no"), r.num("no_yes"), r.num("no_no")
			got = map[string]any{"pairs": yy + yn + ny + nn, "before_yes": yy + yn, "after_yes": yy + ny, "change_share": (ny - yn) / (yy + yn + ny + nn), "exact_p": Changers(int(ny), int(yn))}
		case "a25":
			got = paired(t, r)
		case "a26":
			d, err := trial.Groups(numbers(r.in["after"]), numbers(r.in["before"]))
			if err != nil {
				t.Fatal(err)
			}
			got = map[string]any{"mean_change": d.Difference, "low": d.Low, "high": d.High}
		case "a27":
			got = map[string]any{"answers_needed": Needed(r.num("half_width"), r.num("share_guess"), Level)}
		}
		r.check(t, got[r.quantity])
	}
}

// waved makes the report of a wave.
func waved(t *testing.T, r row) map[string]any {
	x, f := row{}.made()
	answered, yes := int(r.num("answered")+r.num("answered_item")), int(r.num("yes"))
	sent, returned := int(r.num("sent")), int(r.num("returned"))
	if sent == 0 {
		sent = answered
	}
	returned = max(returned, answered)
	x.Waves = []Wave{{ID: "W", Sent: f.From, Count: sent, Undeliverable: int(r.num("undeliverable"))}}
	for i := range returned {
		answer := "no"
		if i < yes {
			answer = "yes"
		} else if i >= answered {
			answer = ""
		}
		x.Replies = append(x.Replies, Reply{ID: strconv.Itoa(i), Wave: "W", Mailing: 1, Answer: answer})
	}
	get := func(what string) any { return value(t, x, "wave W: "+what) }
	out := map[string]any{
		"response_rate": get("response_rate"), "response_rate_of_delivered": get("response_of_delivered"), "adoption": get("share"), "share": get("share"), "low": get("low"), "high": get("high"),
		"if_no_silent_person_adopted": get("if no silent one"), "if_all_silent_adopted": get("if every silent one"), "print": get("print"),
	}
	out["nonresponse_note"], out["percent_printed"], out["wide_interval_flag"] = "none", "yes", "no"
	if rate, ok := get("response_rate").(float64); ok && (&Report{by: asUsual()}).Silent(rate) {
		out["nonresponse_note"] = "required"
	}
	if get("share") == nil {
		out["percent_printed"] = "no"
	} else if high, ok := get("high").(float64); ok {
		out["width"] = high - get("low").(float64)
		if (&Report{by: asUsual()}).Wide(Interval{0, get("low").(float64), high}) {
			out["wide_interval_flag"] = "yes"
		}
	}
	return out
}

func paired(t *testing.T, r row) map[string]any {
	x, f := row{in: map[string]any{"heads": 40.0}}.made()
	before, after := ints(r.in["before"]), ints(r.in["after"])
	add := func(code string, b, a Maybe) {
		x.Answers = append(x.Answers, Answer{Form: strconv.Itoa(len(x.Answers)), Event: "E0", Kind: kindNames[0], Code: code, Item: "mix", Before: b, After: a})
	}
	for i := range before {
		add("K"+strconv.Itoa(i), Maybe{true, before[i]}, Maybe{})
		add("K"+strconv.Itoa(i), Maybe{}, Maybe{true, after[i]})
	}
	for i := range int(r.num("unpaired_forms")) {
		add([]string{"", "Z", "Y", "Q", "Q"}[i], Maybe{true, 2}, Maybe{})
	}
	_ = f
	of := kindNames[0] + "/mix: "
	get := func(what string) any { return value(t, x, of+what) }
	return map[string]any{"pairs": get("pairs"), "mean_change": get("mean change"), "low": get("low"), "high": get("high"), "rose": get("rose"), "rose_low": get("rose low"), "rose_high": get("rose high"), "forms_left_out": get("answers left out")}
}
