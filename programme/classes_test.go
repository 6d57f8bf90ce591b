package programme_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/programme"
)

const classHead = "result,event,group,grades,item,right_before,answered_before,right_after,answered_after\n"

// of gives what an edition says of a figure, or why it says nothing.
func of(e *programme.Edition, name string) string {
	for _, f := range e.Figures {
		if f.Name() == name && f.County == programme.All {
			if f.Why != "" {
				return string(f.Why)
			}
			return f.Text
		}
	}
	return "none"
}

// What classes of pupils answered is told in counts, item by item: those asked before and after beside those asked after alone, and the mean change of a class
// with Student's t over classes. Reckoned by hand: (20/28 - 8/28 + 15/22 - 6/22) / 2 = 0.418831; the two differ by 0.019481, so with t 12.7062 at one degree of
// freedom the half width is 12.7062 x 0.009740 = 0.123761.
func TestClassesOfPupils(t *testing.T) {
	files := year(t)
	files["classes.csv"] = classHead + "C1,E012,the herons,3-5,ph,8,28,20,28\nC2,E016,los ñandúes,6-8,ph,6,22,15,22\nC3,E029,the frogs,3-5,ph,,,12,16\nC4,E043,the minnows,K-2,water,3,8,7,8\n"
	r := report(t, read(t, files), "BOARD", "2027-08-31")
	for name, want := range map[string][2]string{ // inside, outside
		"ph: classes": {"3", "3"}, "ph: pupils before": {"50", "50"}, "ph: right before": {"14 of 50", "14 of 50"}, "ph: pupils after": {"50", "50"}, "ph: right after": {"35 of 50", "35 of 50"},
		"ph: pupils after alone": {"16", "16"}, "ph: right after alone": {"12 of 16", "12 of 16"},
		"ph: change of classes": {"0.418831", "0.418831"}, "ph: change of classes low": {"0.295070", "0.295070"}, "ph: change of classes high": {"0.542592", "0.542592"},
		"water: pupils after": {"8", "programme.why.few_pupils"}, "water: right after": {"programme.why.few_pupils", "programme.why.few_pupils"}, "water: change of classes": {"programme.why.few_pupils", "programme.why.few_pupils"},
	} {
		for i, e := range []*programme.Edition{r.Inside(), r.Public()} {
			got := of(e, "class/"+name)
			a, _ := strconv.ParseFloat(got, 64)
			b, _ := strconv.ParseFloat(want[i], 64)
			if got != want[i] && (b == 0 || math.Abs(a-b) > 2e-6) {
				t.Errorf("edition %d, %s: %s, not %s", i, name, got, want[i])
			}
		}
	}
	if f, _ := r.Find("class/ph: right after", "all"); len(r.IDs(f, 9)) != 2 || r.Open(f, 0, 9)[1].Values[7] != "15" {
		t.Errorf("%v", r.Open(f, 0, 9))
	}
	if got := lines(r); got != "C1 8 of 28 > 20 of 28; C2 6 of 22 > 15 of 22; C3  > 12 of 16; C4 not told" {
		t.Error(got)
	}
	for _, text := range []string{r.Public().FiguresCSV(nil), r.Public().AuditCSV()} {
		for _, secret := range []string{"heron", "ñand", "minnow", "C4"} {
			if strings.Contains(text, secret) {
				t.Errorf("the public reads %q", secret)
			}
		}
	}
	out, _, faults := must2(read(t, files).Copy(on("2027-08-31")))
	if _, there := out["classes.csv"]; there || len(faults) > 0 {
		t.Error("a copy for the public has pupils", faults)
	}
	if again := programme.Write(read(t, files))["classes.csv"]; again != files["classes.csv"] {
		t.Error(again)
	}
}

// lines gives what paper tells of each class.
func lines(r *programme.Report) string {
	var told []string
	for _, c := range r.ClassResults() {
		if told = append(told, c.ID+" "+c.Before+" > "+c.After); !c.Told {
			told[len(told)-1] = c.ID + " not told"
		}
	}
	return strings.Join(told, "; ")
}

// No line of a class gives a small one away, as lines add up to the figures of their item: beside a class of nine the smallest of the others is not told either,
// and no more than must.
func TestASmallClassIsCovered(t *testing.T) {
	for rows, want := range map[string]string{
		"C1,E012,a,3-5,ph,,,5,9\nC2,E016,b,3-5,ph,,,15,22\nC3,E043,c,3-5,ph,,,14,20\n":      "C1 not told; C2  > 15 of 22; C3 not told",
		"C1,E012,a,3-5,ph,,,5,9\nC2,E016,b,3-5,ph,,,1,2\nC3,E043,c,3-5,ph,,,14,20\n":        "C1 not told; C2 not told; C3  > 14 of 20",
		"C1,E012,a,3-5,ph,,,2,4\nC2,E016,b,3-5,ph,,,3,6\nC3,E043,c,3-5,ph,,,14,20\n":        "C1 not told; C2 not told; C3  > 14 of 20", // ten away are enough
		"C1,E012,a,3-5,ph,,,5,10\nC2,E016,b,3-5,ph,,,15,22\n":                               "C1  > 5 of 10; C2  > 15 of 22",
		"C1,E012,a,3-5,ph,5,20,5,9\nC2,E016,b,3-5,ph,3,22,15,22\nC3,E043,c,3-5,ph,,,9,20\n": "C1 not told; C2 not told; C3  > 9 of 20",
	} {
		files := year(t)
		files["classes.csv"] = classHead + rows
		if got := lines(report(t, read(t, files), "BOARD", "2027-08-31")); got != want {
			t.Errorf("%q: %s, not %s", rows, got, want)
		}
	}
}

func must2[A, B, C any](a A, b B, c C) (A, B, C) { return a, b, c }

// The public reads no result of nine pupils, none that differs from what went out before by nine, neither all nor none, and no change where a class's own result has
// an end (NCES 2011-603: most often ten; ends closed).
func TestSmallClassesStayHidden(t *testing.T) {
	const few = "programme.why.few_pupils"
	for _, c := range []struct{ what, rows, name, want string }{
		{"nine pupils", "C1,E012,a,3-5,ph,,,5,9\n", "right after alone", few},
		{"ten pupils", "C1,E012,a,3-5,ph,,,5,10\n", "right after alone", "5 of 10"},
		{"nine and ten together", "C1,E012,a,3-5,ph,,,5,9\nC2,E016,b,3-5,ph,,,5,10\n", "right after alone", "10 of 19"},
		{"all of them", "C1,E012,a,3-5,ph,,,29,29\n", "right after alone", "95 % or more"},
		{"none of them", "C1,E012,a,3-5,ph,,,0,29\n", "right after alone", "5 % or less"},
		{"94 in 100 are told", "C1,E012,a,3-5,ph,,,16,17\n", "right after alone", "16 of 17"},
		{"a class at the end", "C1,E012,a,3-5,ph,9,28,28,28\nC2,E016,b,3-5,ph,9,22,12,22\n", "change of classes", few},
		{"a small class", "C1,E012,a,3-5,ph,9,28,18,28\nC2,E016,b,3-5,ph,4,9,6,9\n", "change of classes", few},
		{"one class", "C1,E012,a,3-5,ph,9,28,18,28\n", "change of classes", "programme.why.one_class"},
		{"too many for the event", "C1,E012,a,3-5,ph,,,5,20\nC2,E012,b,3-5,ph,,,5,10\n", "classes", "none"},
		{"as many as came", "C1,E012,a,3-5,ph,,,5,19\nC2,E012,b,3-5,ph,,,5,10\n", "classes", "2"},
	} {
		files := year(t)
		files["classes.csv"] = classHead + c.rows
		r := report(t, read(t, files), "BOARD", "2027-08-31")
		if got := of(r.Public(), "class/ph: "+c.name); got != c.want {
			t.Errorf("%s: %s, not %s", c.what, got, c.want)
		}
		aside := slices.ContainsFunc(r.Noticed, func(x programme.Exception) bool { return x.What == "pupils" })
		if aside != (c.want == "none") {
			t.Errorf("%s: set aside and told: %v", c.what, aside)
		}
	}
	for before, want := range map[string]string{"41": few, "59": few, "40": "35 of 50", "60": "35 of 50", "50": "35 of 50"} {
		files := year(t)
		files["classes.csv"] = classHead + "C1,E012,a,3-5,ph,8,28,20,28\nC2,E016,b,6-8,ph,6,22,15,22\n"
		files["published.csv"] = "funder,from,to,as_of,county,measure,count,hidden\nBOARD,2026-07-01,2027-06-30,2027-07-05,all,class/ph: pupils after," + before + ",no\n"
		e := report(t, read(t, files), "BOARD", "2027-08-31").Public()
		if got := of(e, "class/ph: right after"); got != want {
			t.Errorf("%s went out before: %s, not %s", before, got, want)
		}
		if near := slices.ContainsFunc(e.Near, func(n programme.Near) bool { return n.Measure == "class/ph: pupils after" }); near != (want == few) {
			t.Errorf("%s went out before: %v", before, e.Near)
		}
	}
}

// A result that cannot be is a fault at its place, of the file or of a form; one that a correction made so is set aside and told.
func TestResultsOfClassesThatCannotBe(t *testing.T) {
	for row, want := range map[string]string{
		"C1,E012,a,3-5,ph,8,28,29,28\n": "programme.fault.right 23", "C1,E012,a,3-5,ph,29,28,20,28\n": "programme.fault.right 18",
		"C1,E012,a,3-5,ph,8,,20,28\n": "table.fault.blank 20", "C1,E012,a,3-5,ph,,28,20,28\n": "table.fault.blank 18",
		"C1,E012,,3-5,ph,,,20,28\n": "table.fault.blank 9", "C1,E012,a,4,ph,,,20,28\n": "table.fault.word 11", "C1,E999,a,3-5,ph,,,20,28\n": "programme.fault.unknown 4",
	} {
		files := year(t)
		files["classes.csv"] = classHead + row
		_, faults := programme.Read(files)
		if len(faults) != 1 || string(faults[0].ID)+" "+strconv.Itoa(faults[0].Column) != want {
			t.Errorf("%q: %v, not %s", row, faults, want)
		}
	}
	files := year(t)
	files["classes.csv"] = classHead + "C1,E012,a,3-5,ph,,,20,28\n"
	files["corrections.csv"] += "X10,2027-07-01,classes,C1,change,right_after,20,29,typed wrong\n"
	if r := report(t, read(t, files), "BOARD", "2027-08-31"); of(r.Inside(), "class/ph: classes") != "none" || len(r.Noticed) == 0 {
		t.Error("29 of 28 were right")
	}
}
