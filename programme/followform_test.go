package programme_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"raftwright/programme"
)

// asksNumbers is the invented year with a wave that asks for a number, and what was answered.
func asksNumbers(t *testing.T, answers []int) *programme.Report {
	t.Helper()
	files := year(t)
	files["waves.csv"] = "wave,question,sent_on,sent,undeliverable,form\nN1,,2027-03-15,40,0,beds\n"
	files["questions.csv"] = "form,kind,item,english,spanish,answer,choices,choices_spanish\nbeds,later,beds,How many beds,Cuántas camas,number,,\n"
	files["replies.csv"], files["answers.csv"] = "reply,wave,mailing,returned_on,answer,pounds_told\n", "form,event,kind,code,item,before,after,wave\n"
	for i, n := range answers {
		files["replies.csv"] += fmt.Sprintf("R%d,N1,1,2027-04-01,,\n", i)
		files["answers.csv"] += fmt.Sprintf("R%d,,later,,beds,,%d,N1\n", i, n)
	}
	return report(t, read(t, files), "BOARD", "2027-08-31")
}

// The mean of a number that a follow-up asks for stands with its interval and the response, from ten answers on; the public reads it where as many
// answered as the threshold asks, and nobody's own number is nearly all of the sum. The numbers 1 to 10: mean 5.5, standard deviation 3.02765; with t 2.262
// at 9 degrees of freedom (NIST/SEMATECH e-Handbook, table 1.3.6.7.2) 3.334 to 7.666.
func TestMeanOfANumberThatWasAsked(t *testing.T) {
	ten := []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	r := asksNumbers(t, ten)
	for name, want := range map[string]float64{"average": 5.5, "average low": 3.334, "average high": 7.666, "response": 0.25, "answered": 10} {
		f, ok := r.Find("later/beds (N1): "+name, programme.All)
		if !ok || math.Abs(f.Number-want) > 0.0005 || f.Section != "F" || len(f.From) != 10 {
			t.Errorf("%s: %v, %s, %d records", name, f.Number, f.Section, len(f.From))
		}
	}
	f, ok := asksNumbers(t, ten[:9]).Find("later/beds (N1): average", programme.All)
	if !ok || f.Text != "not given" || f.Why != "programme.why.few_answers" || f.Args["Count"] != 9 || f.Args["Least"] != 10 {
		t.Error(f)
	}
	for _, c := range []struct {
		what    string
		answers []int
		why     string
	}{
		{"ten of them, fewer than the threshold", ten, "programme.why.cover"},
		{"twelve", append([]int{2, 3}, ten...), ""},
		{"twelve, one of whom has nearly all", []int{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 900}, "programme.why.few_of"},
		{"none of twelve has any", make([]int, 12), ""},
	} {
		found := 0
		for _, f := range asksNumbers(t, c.answers).Public().Figures {
			if strings.Contains(f.Of, ": average") {
				found++
				if why := string(f.Why); why != c.why && !(c.why == "programme.why.cover" && why == "programme.why.small") || strings.Contains(f.Of, "beds") {
					t.Errorf("%s: %s %q", c.what, f.Of, f.Why)
				}
			}
			if strings.Contains(f.Of, "answers given") {
				t.Error("the public reads each answer")
			}
		}
		if found != 3 {
			t.Errorf("%s: %d figures", c.what, found)
		}
	}
}
