package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"raftwright/store"
)

// Where the code of staff goes from a list, its line says so and each other line stays whose it was: the lists, the consents and the stories on the pages are those of the
// records without them. A story in the words of who withdrew goes, with every version.
func TestWhatIsEmptiedStaysInItsOwnLine(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, _ := staffedYear(t)
	educator := askers[0]
	event := ""
	rows := func(table string) (out []string) {
		err := kept.EachRecord(t.Context(), store.Holder(), func(x store.Record) error {
			if x.Ledger == table {
				line := ""
				for _, p := range x.Row {
					line += p.Text + ","
				}
				out = append(out, line)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	event, _, _ = strings.Cut(rows("events")[0], ",")
	keepRow(t, kept, "people", true, "person", "SLEFT", "county", "ALD", "role", "staff", "since", "2026-07-01")
	for _, code := range []string{"P2339", "SLEFT", "P24YG", "PALONE", "P255T"} {
		keepRow(t, kept, "signins", false, "event", event, "person", code)
	}
	for _, code := range []string{"SLEFT", "PALONE"} { // the last one has no row of people
		keepRow(t, kept, "consents", false, "person", code, "purpose", "keep", "given", "2026-07-01", "withdrawn", "2027-05-01")
		keepRow(t, kept, "must_vanish", false, "table", "people", "record", code, "field", "person", "text", "555-0"+code, "kind", "phone")
	}
	vanish := rows("must_vanish")
	for _, code := range []string{"SLEFT", "P24YG"} {
		keepRow(t, kept, "consents", false, "person", code, "purpose", "tell", "given", "2026-07-01")
		keepRow(t, kept, "stories", false, "funder", "BOARD", "language", "en", "part", "result", "text", "Words of "+code, "person", code)
	}
	lists, consents := rows("signins"), rows("consents")
	_, page := educator.page(t, "GET", server.URL+"/keeping/due", nil)
	if status, page := educator.page(t, "POST", server.URL+"/keeping/due", url.Values{"mark": {fieldsOf(t, page).Get("mark")}, "by": {"S1"}, "looked": {"yes"}}); status != http.StatusOK || !strings.Contains(page, "emptied") {
		t.Fatal(status, page)
	}
	gone := map[string]bool{} // others of the year withdrew too
	for _, line := range consents {
		if c := strings.Split(line, ","); c[1] == "keep" && c[4] != "" && c[4] <= "2027-05-11" {
			gone[c[0]] = true
		}
	}
	now := rows("signins")
	if len(now) != len(lists) {
		t.Fatalf("%d lines on the lists, and were %d", len(now), len(lists))
	}
	for i, line := range lists {
		c := strings.Split(line, ",")
		want := line
		switch {
		case c[1] == "SLEFT":
			want = c[0] + ",gone*,"
		case gone[c[1]]:
			want = c[0] + ",,"
		}
		if now[i] != want {
			t.Fatalf("line %d of the lists is %q, not %q", i+1, now[i], want)
		}
	}
	want := slices.DeleteFunc(consents, func(line string) bool { c, _, _ := strings.Cut(line, ","); return gone[c] })
	if got := rows("consents"); !slices.Equal(got, want) {
		t.Errorf("%d consents are left, not %d", len(got), len(want))
	}
	if got := strings.Join(rows("stories"), ";"); strings.Contains(got, "SLEFT") || !strings.Contains(got, "Words of P24YG") {
		t.Error("stories:", got)
	}
	for _, code := range []string{"SLEFT", "PALONE"} {
		if n := times(t, kept, code); n > 0 {
			t.Errorf("%s is named %d times still", code, n)
		}
	}
	if got := rows("must_vanish"); len(got) != len(vanish)-2 {
		t.Error("what must vanish:", got)
	}
}
