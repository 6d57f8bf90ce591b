package programme_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"raftwright/programme"
)

// weighed gives a trial of the records of which the trials are these rows.
func weighed(t *testing.T, id string, rows ...string) (programme.Trial, *programme.Report) {
	t.Helper()
	files := year(t)
	files["trials.csv"] = "trial,design,block,plot,treatment,unit,value\n" + strings.Join(rows, "\n") + "\n"
	r := report(t, read(t, files), "BOARD", "2027-08-31")
	for _, x := range r.Trials {
		if x.ID == id {
			return x, r
		}
	}
	t.Fatal("no trial", id)
	return programme.Trial{}, nil
}

// Several plots of a treatment in one strip are averaged first: the strip is the unit. By hand: A 150, 110, 130 and B 125, 100, 128 give differences of 25, 10 and 2, mean
// 12.333333, sd 11.676187, se 6.741249, with t 4.302653 (2 df) from -16.672 to 41.339. Of each the last plot alone was taken.
func TestPlotsOfAStripAreAveraged(t *testing.T) {
	const both = "T9,both in every bed,"
	x, _ := weighed(t, "T9", both+"s1,1,A,g,100", both+"s1,2,A,g,200", both+"s1,3,B,g,120", both+"s1,4,B,g,130", both+"s2,1,A,g,110", both+"s2,2,B,g,100", both+"s3,1,A,g,130", both+"s3,2,B,g,126", both+"s3,3,B,g,130", both+"s3,4,B,g,")
	if math.Abs(x.Difference-12.333333) > 1e-6 || math.Abs(x.Low+16.672) > 1e-3 || math.Abs(x.High-41.339) > 1e-3 || x.Comparison.A != 3 || x.DF != 2 {
		t.Errorf("%+v", x.Comparison)
	}
}

// Plants of one plot are averaged first where the plots are of two sites, and a plot has both its names: bed 1, plot 11 is not bed 11, plot 1. By hand: A 105, 120 and B 90, 100, 110;
// difference 12.5.
func TestPlantsOfAPlotAreAveraged(t *testing.T) {
	const two = "T9,two sites,"
	x, _ := weighed(t, "T9", two+"1,11,A,g,100", two+"1,11,A,g,110", two+"11,1,A,g,120", two+"2,1,B,g,90", two+"2,2,B,g,100", two+"2,3,B,g,110")
	if x.Comparison.A != 2 || x.Comparison.B != 3 || x.MeanA != 112.5 || x.MeanB != 100 || x.Difference != 12.5 {
		t.Errorf("%+v", x.Comparison)
	}
}

// Of one treatment, or of three, nothing is compared, and it is told: of three the third was left out without a word, of one the trial.
func TestATrialHasTwoTreatments(t *testing.T) {
	const both = "T9,both in every bed,"
	three := []string{both + "s1,1,A,g,100", both + "s1,2,B,g,120", both + "s1,3,C,g,140", both + "s2,1,A,g,110", both + "s2,2,B,g,100", both + "s2,3,C,g,170"}
	one := []string{both + "s1,1,A,g,100", both + "s2,1,A,g,110"}
	for _, rows := range [][]string{three, one} {
		x, r := weighed(t, "T9", rows...)
		if x.Verdict != "" || x.A+x.B != "" {
			t.Errorf("%q against %q is compared: %+v", x.A, x.B, x.Comparison)
		}
		if ids := seen(r, "treatments"); !slices.Equal(ids, []string{"T9"}) {
			t.Error("told:", ids)
		}
		if !strings.Contains(r.Inside().FiguresCSV(nil), "trial T9,,,,,difference,not given") {
			t.Error("the trial is left out of the figures")
		}
	}
	if _, r := weighed(t, "T9", slices.DeleteFunc(three, func(row string) bool { return strings.Contains(row, ",C,") })...); len(seen(r, "treatments")) > 0 {
		t.Error("two treatments are told")
	}
}
