package programme_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The invented year in testdata/leap_year has traps at its edges, and each figure here was reckoned by hand from its rows. The year runs July to June over a leap day: a
// report of that day alone too; a correction made after the as-of day, and a county renamed before it; people at two workshops, a visit and a call on one day; two who
// no longer want to be held; a series that begins before the range and ends after it; hours keyed twice, and a rate that is not out yet; a price of 180 and of 181 days;
// beds that end and begin on the first and the last day; a workshop to which nobody came, a booth, a county without anything; letters beyond ASCII in codes and names.
func TestAYearOfEdges(t *testing.T) {
	files := map[string]string{}
	paths, err := filepath.Glob("testdata/leap_year/*.csv")
	if err != nil || len(paths) < 19 {
		t.Fatal(len(paths), err)
	}
	for _, path := range paths {
		files[filepath.Base(path)] = string(must(os.ReadFile(path))(t))
	}
	records := read(t, files)
	for _, c := range []struct{ funder, figure, county, want string }{
		{"JUL", "contacts_events_adults", "all", "61"},      // 27 + 15 + 12 + 3 + 4: the second correction is of September
		{"JUL", "contacts_events_youth", "all", "24"},       // 22 of the one session in the range, and 2
		{"JUL", "same_day_removed", "all", "8"},             // P05 to P10, and P01 twice; P03 and P04 are nobody
		{"JUL", "direct_contacts", "all", "82"},             // 61 + 24 + 3 + 2 - 8
		{"JUL", "direct_contacts", "NIC", "53"},             // 54 + 2 + 3 + 2 - 8
		{"JUL", "direct_contacts", "SJÑ", "25"},             // the session of June 30
		{"JUL", "direct_contacts", "VAC", "0"},              //
		{"JUL", "direct_contacts", "ZED", "4"},              // the booth teaches nobody
		{"JUL", "business_left_out", "all", "2"},            // a visit and a message
		{"JUL", "people_known", "all", "20"},                // 18 of 20, V01 and Ñ01
		{"JUL", "contacts_unnamed", "all", "52"},            // 9 + 8 + 4 + 24 + 4 + 2 + 1
		{"JUL", "people_at_least", "all", "27"},             // the largest event
		{"JUL", "people_at_most", "all", "72"},              // 20 + 52
		{"JUL", "exceptions", "all", "2"},                   // staff on a list; five slips of four adults
		{"JUL", "slips_used", "all", "32"},                  // 20 + 12
		{"JUL", "hours_service", "all", "3.55"},             // 2 + 1.25 + 0.3: one of two alike was taken out
		{"JUL", "hours_value", "all", "124.61"},             // 3.55 x 35.10 = 124.605, half up
		{"JUL", "hours_not_in_quarters", "all", "1"},        // 0.3
		{"JUL", "value_given", "all", "13.50"},              // 4.5 x 3.00 at 180 days; at 181 no more
		{"JUL", "harvests_without_valid_price", "all", "2"}, // that, and kale
		{"JUL", "pounds_sold", "no county", "2.25"},         // at no bed
		{"JUL", "receipts_sold", "all", "9.00"},             //
		{"JUL", "beds_active", "all", "3"},                  // given up on the first day, planted on the last, and of the leap day
		{"JUL", "map_sites", "NIC", "fewer than 5"},         // T2 to T4 do not show any more
		{"JUL", "class/ph: right after", "all", "20 of 22"}, //
		{"FEB", "direct_contacts", "all", "25"},             // 17 + 12 + 3 + 1 - 8
		{"FEB", "hours_value", "all", "43.88"},              // 1.25 x 35.10 = 43.875
		{"FEB", "bed_square_feet", "all", "16"},             //
		{"NOR", "direct_contacts", "all", "90"},             // nothing taken off, and E4 as it is
		{"NOR", "hours_value", "all", "not given"},          // no rate
	} {
		r := report(t, records, c.funder, "2028-07-05")
		if f, ok := r.Find(c.figure, c.county); !ok || f.Text != c.want {
			t.Errorf("%s, %s of %s: %q, not %q", c.funder, c.figure, c.county, f.Text, c.want)
		}
	}
	if r := report(t, records, "JUL", "2028-09-01"); of(r.Inside(), "contacts_events_adults") != "58" || r.County("VAC") != "Ávila, renamed" {
		t.Error("a correction of September 1, on its day:", of(r.Inside(), "contacts_events_adults"))
	}
	if r := report(t, records, "JUL", "2028-07-02"); of(r.Inside(), "contacts_events_adults") != "59" || r.County("VAC") != "Vacant" || of(r.Inside(), "hours_service") != "5.55" {
		t.Error("before any correction:", of(r.Inside(), "contacts_events_adults"))
	}
	for _, funder := range []string{"JUL", "FEB", "NOR"} {
		e := report(t, records, funder, "2028-07-05").Public()
		for _, secret := range []string{"Ñ", "ñ", "Núñez", "0199", "azul", "feria", "chico", "tienda", "P01", "V01", "Vacant", "Ávila", "K-2"} {
			if text := e.FiguresCSV(nil) + e.AuditCSV(); strings.Contains(text, secret) {
				t.Errorf("%s: the public reads %q", funder, secret)
			}
		}
	}
	copied, _, faults := must2(records.Copy(on("2028-07-05")))
	if len(faults) > 0 || len(copied) == 0 {
		t.Fatal(faults)
	}
	for name, text := range copied {
		for _, secret := range []string{"Núñez", "0199", "azul", "P01", "V01", "calle"} {
			if strings.Contains(text, secret) {
				t.Errorf("a copy of %s holds %q", name, secret)
			}
		}
	}
}
