package programme

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// invented reads the invented year.
func invented(t *testing.T) Records {
	t.Helper()
	paths, err := filepath.Glob("testdata/demo_year/*.csv")
	if err != nil || len(paths) < 20 {
		t.Fatal(len(paths), err)
	}
	files := map[string]string{}
	for _, p := range paths {
		if name := filepath.Base(p); name != "expected.csv" {
			text, err := os.ReadFile(p)
			if err != nil {
				t.Fatal(err)
			}
			files[name] = string(text)
		}
	}
	r, faults := Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return r
}

func on(text string) Day {
	d, ok := ParseDay(text)
	if !ok {
		panic(text)
	}
	return d
}

func all(files map[string]string) string {
	var out strings.Builder
	for name, text := range files {
		out.WriteString(name + "\n" + text)
	}
	return out.String()
}

// What must vanish is in no byte of the copy, and no code of a person; counts and pounds are.
func TestCopyHoldsNothingThatMustVanish(t *testing.T) {
	r := invented(t)
	files, log, faults := r.Copy(on("2027-08-31"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	text := all(files)
	if len(r.MustVanish) < 5 {
		t.Fatal("the year holds nothing that must vanish")
	}
	for _, m := range r.MustVanish {
		if strings.Contains(strings.ToLower(text), strings.ToLower(m.Text)) {
			t.Errorf("%s is in the copy", m.Text)
		}
	}
	for _, p := range r.People {
		if strings.Contains(text, p.ID) {
			t.Errorf("the code %s is in the copy", p.ID)
		}
	}
	for _, name := range []string{"people.csv", "slips.csv", "signins.csv", "consents.csv", "answers.csv", "must_vanish.csv", "cleared.csv"} {
		if files[name] != "" {
			t.Errorf("%s is in the copy", name)
		}
	}
	if strings.Count(files["events.csv"], "\n") != len(r.Events)+1 || strings.Count(files["harvests.csv"], "\n") != len(r.Harvests)+1 {
		t.Error("rows are missing")
	}
	kinds := map[string]bool{}
	for _, w := range log {
		kinds[w.Kind] = true
		if w.Count < 1 {
			t.Error(w)
		}
	}
	for _, k := range []string{KindPerson, KindPeople, KindUnread, KindColumn} {
		if !kinds[k] {
			t.Errorf("the log names nothing of the kind %s", k)
		}
	}
	again, _, _ := r.Copy(on("2027-08-31"))
	if all2 := again["events.csv"]; all2 != files["events.csv"] {
		t.Error("two copies differ")
	}
}

// A secret in any text of any table, names of rows too, gets into no copy; a text that a person has read does.
func TestNoSecretGetsIntoACopy(t *testing.T) {
	r := invented(t)
	planted := 0
	for _, s := range sheets {
		rows := s.rows(&r)
		for i := range min(rows.Len(), 12) {
			for _, c := range s.columns {
				if f := rows.Index(i).Field(c.field); f.Kind() == reflect.String && c.words == nil && s.name != "cleared" && s.name != "must_vanish" {
					f.SetString(fmt.Sprintf("Zecret%d Ñame 555-01%02d", planted, planted%100))
					planted++
				}
			}
		}
	}
	if planted < 200 {
		t.Fatalf("only %d", planted)
	}
	r.MustVanish = nil
	files, _, faults := r.Copy(on("2027-08-31"))
	if text := all(files); len(faults) > 0 || strings.Contains(strings.ToLower(text), "zecret") || strings.Contains(text, "555-01") {
		t.Errorf("a secret is in the copy %v", faults)
	}
	q := invented(t)
	q.Inquiries[3].Note, q.Inquiries[4].Note = "Roots were brown.", "Not read."
	q.Cleared = []Cleared{{Text: "Roots were brown.", By: "S1", On: on("2027-08-01")}}
	if files, _, _ := q.Copy(on("2027-08-31")); !strings.Contains(all(files), "Roots were brown.") || strings.Contains(all(files), "Not read.") {
		t.Error("a text that was read is withheld, or one that was not goes out")
	}
	if files, _, _ := q.Copy(on("2027-07-31")); strings.Contains(all(files), "Roots were brown.") {
		t.Error("a text goes out before it was read")
	}
	q.MustVanish = []MustVanish{{Text: "roots WERE brown"}}
	if files, _, faults := q.Copy(on("2027-08-31")); files != nil || len(faults) != 1 || faults[0].ID != FaultVanish {
		t.Error("what must vanish went out, since somebody had read it", faults)
	}
	q.MustVanish = []MustVanish{{Text: "oo"}}
	if _, _, faults := q.Copy(on("2027-08-31")); len(faults) > 0 {
		t.Error("part of a word is taken for a name")
	}
	few := invented(t)
	few.Events[0].Youth, few.Events[1].Youth = 9, 10
	files, log, _ := few.Copy(on("2027-08-31"))
	if lines := strings.Split(files["events.csv"], "\n"); strings.Contains(lines[1], ",9,") || !strings.Contains(lines[2], ",10,") {
		t.Errorf("pupils: %s %s %v", lines[1], lines[2], log)
	}
}

// A row is due so many months after its day, not a day before; a hold stops it while it lasts; the first rule that reaches it counts.
func TestWhatIsDue(t *testing.T) {
	r := Records{Inquiries: []Inquiry{{ID: "N1", Date: on("2026-08-31"), Note: "x"}, {ID: "N2", Date: on("2026-12-15")}, {ID: "N3", Date: on("2027-03-01")}},
		Keepings: []Keeping{{Table: "inquiries", Start: "date", Months: 6, Source: "county schedule, item 4"}}}
	list := func(day string) (out []string) {
		due, faults := r.DueOn(on(day))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for _, d := range due {
			out = append(out, d.Record+d.Held)
		}
		return out
	}
	for _, c := range []struct{ day, want string }{{"2027-03-02", "[]"}, {"2027-03-03", "[N1]"}, {"2027-06-14", "[N1]"}, {"2027-06-15", "[N1 N2]"}, {"2027-09-01", "[N1 N2 N3]"}} {
		if got := fmt.Sprint(list(c.day)); got != c.want {
			t.Errorf("%s: %s, not %s", c.day, got, c.want)
		}
	}
	r.Holds = []Hold{{ID: "H1", Table: "inquiries", Record: "N1", From: on("2027-01-01"), Until: on("2027-07-01"), Reason: "audit"}}
	for _, c := range []struct{ day, want string }{{"2027-06-30", "[N1H1 N2]"}, {"2027-07-01", "[N1 N2]"}} {
		if got := fmt.Sprint(list(c.day)); got != c.want {
			t.Errorf("%s: %s, not %s", c.day, got, c.want)
		}
	}
	for _, k := range []Keeping{{Table: "inquiries", Start: "topic", Months: 6}, {Table: "nothing", Start: "date", Months: 6}, {Table: "signins", Start: "date", Months: 6}} {
		r.Keepings = []Keeping{k}
		if _, faults := r.DueOn(on("2027-07-01")); len(faults) != 1 {
			t.Errorf("%v: %v", k, faults)
		}
	}
}

// A consent that is withdrawn acts the same day, except where a schedule still keeps the row: then it is sealed until that is over, and then it goes. The
// longest schedule counts, and a hold goes before it.
func TestAScheduleSealsWhatWasWithdrawn(t *testing.T) {
	r := Records{Inquiries: []Inquiry{{ID: "N1", Date: on("2026-08-31"), Person: "P1", Note: "x"}, {ID: "N2", Date: on("2026-08-31"), Person: "P2", Note: "y"}},
		Consents: []Consent{{Person: "P1", Purpose: "keep", Given: on("2026-08-31"), Withdrawn: on("2026-10-01")}},
		Keepings: []Keeping{{Table: "inquiries", Start: "date", Months: 6, Source: "calls"}, {Table: "inquiries", Start: "2026-07-01", Months: 3, Source: "short"}}}
	for _, c := range []struct{ day, want string }{{"2026-09-30", "[]"}, {"2026-10-01", "[N1 calls 2027-03-03 N2  0]"}, {"2027-03-02", "[N1 calls 2027-03-03 N2  0]"}, {"2027-03-03", "[N1  0 N2  0]"}} {
		due, faults := r.DueOn(on(c.day))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		slices.SortFunc(due, func(a, b Due) int { return strings.Compare(a.Record, b.Record) })
		var out []string
		for _, d := range due {
			until := "0"
			if d.Until != 0 {
				until = d.Until.String()
			}
			out = append(out, d.Record+" "+d.Held+" "+until)
		}
		if got := fmt.Sprint(out); got != c.want {
			t.Errorf("%s: %s, not %s", c.day, got, c.want)
		}
	}
	out, done, faults := r.Destroy(on("2026-10-01"), "S1")
	if len(faults) > 0 || len(done) != 1 || out.Inquiries[0].Person != "P1" || out.Inquiries[0].Note != "x" || out.Inquiries[1].Note != "" {
		t.Error("what a schedule keeps was emptied, or another was not:", done, out.Inquiries)
	}
	r.Holds = []Hold{{ID: "H1", Table: "inquiries", From: on("2026-01-01"), Reason: "suit"}}
	if due, _ := r.DueOn(on("2026-10-01")); due[0].Held != "H1" || due[0].Until != 0 {
		t.Error("a hold does not go first:", due)
	}
}

// Once a person confirms, what is due is emptied of persons and words, and every figure of the report stays; what is held stays
// whole; nobody who withdrew is named any more, on the same day.
func TestDestroyingLeavesCounts(t *testing.T) {
	r := invented(t)
	r.Keepings = []Keeping{{Table: "inquiries", Start: "date", Months: 1, Source: "s"}, {Table: "visits", Start: "2026-01-01", Months: 1, Source: "s"}, {Table: "events", Start: "date", Months: 1, Source: "s"}}
	r.Holds = []Hold{{ID: "H1", Table: "inquiries", Record: r.Inquiries[0].ID, From: on("2026-01-01"), Reason: "suit"}}
	day := on("2027-08-31")
	if _, _, faults := r.Destroy(day, " "); len(faults) != 1 || faults[0].ID != FaultConfirm {
		t.Error("nobody confirmed", faults)
	}
	before := r.Inquiries[0]
	out, list, faults := r.Destroy(day, "S1")
	if len(faults) > 0 || len(list) < 100 || len(out.Destroyed) != len(list) {
		t.Fatal(len(list), faults)
	}
	if out.Inquiries[0] != before || r.Inquiries[1].Date != out.Inquiries[1].Date {
		t.Error("what is held was touched, or a day was lost")
	}
	if len(out.Repeats) == 0 {
		t.Error("no repeat was written down")
	}
	if kept, faults := Read(Write(out)); len(faults) > 0 || len(kept.Repeats) != len(out.Repeats) {
		t.Error("what was emptied is not read again", faults)
	}
	for _, f := range r.Funders {
		a, _ := Make(r, f.ID, day)
		b, _ := Make(out, f.ID, day)
		figures := func(x *Report) map[string]string {
			m := map[string]string{}
			for line := range strings.Lines(x.Inside().FiguresCSV(nil)) {
				if at := strings.LastIndex(strings.TrimSpace(line), ","); at > 0 {
					m[line[:at]] = line[at:]
				}
			}
			return m
		}
		have, now := figures(a), figures(b)
		for k, v := range have {
			if strings.Contains(k, "contacts") && !strings.Contains(k, "unnamed") && !strings.Contains(k, "known") || strings.Contains(k, "pounds") || strings.Contains(k, "hours") || strings.Contains(k, "receipts") || strings.Contains(k, "same_day") || strings.Contains(k, "month: ") {
				if now[k] != v {
					t.Errorf("%s %s was %s", k, now[k], v)
				}
			}
		}
	}
	left := map[string]bool{}
	for _, c := range r.Consents {
		if c.Purpose == "keep" && c.Withdrawn != 0 && c.Withdrawn <= day {
			left[c.Person] = true
		}
	}
	text := all(Write(out))
	for who := range left {
		if strings.Contains(text, who) {
			t.Errorf("%s withdrew and is still named", who)
		}
	}
	if len(left) == 0 {
		t.Error("nobody withdrew")
	}
	if again, _ := out.DueOn(day); len(again) != 1 || again[0].Held != "H1" {
		t.Errorf("due twice: %v", again)
	}
}
