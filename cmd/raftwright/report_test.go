package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const inventedYear = "../../programme/testdata/demo_year"

// reports runs the command on a folder of records.
func reports(t *testing.T, args ...string) (code int, out, told string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(append([]string{"report"}, args...), streams{strings.NewReader(""), &o, &e, tongue{}})
	return code, o.String(), e.String()
}

// copied gives a folder with the records of the invented year, some of them changed.
func copied(t *testing.T, change map[string]func(string) string) string {
	t.Helper()
	dir := t.TempDir()
	paths, err := filepath.Glob(inventedYear + "/*.csv")
	if err != nil || len(paths) < 20 {
		t.Fatal(paths, err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(path)
		if f := change[name]; f != nil {
			text = []byte(f(string(text)))
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// The report is printed, and written as figures, PDF and page; a name behind --pdf is taken, and without one it goes to standard output.
func TestReportInEachForm(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	dir := t.TempDir()
	figures, pdf, html := filepath.Join(dir, "f.csv"), filepath.Join(dir, "r.pdf"), filepath.Join(dir, "r.html")
	code, out, told := reports(t, inventedYear, "--funder", "BOARD", "--as-of", "2027-07-05", "--figures", figures, "--pdf", pdf, "--html", html)
	if code != exitDone || out != "" || told != "" {
		t.Fatalf("exit %d, %q, %q", code, out, told)
	}
	for path, begins := range map[string]string{figures: "scope,from,to,as_of,county,measure,value\nBOARD,2026-07-01,2027-06-30,2027-07-05,ALD,direct_contacts,805\n", pdf: "%PDF-", html: "<!doctype html>"} {
		text, err := os.ReadFile(path)
		if err != nil || !strings.HasPrefix(string(text), begins) {
			t.Errorf("%s: %v, %.80q", path, err, text)
		}
	}
	if code, _, told := reports(t, inventedYear, "--funder", "BOARD", "--as-of", "2027-07-05", "--figures", figures, "--pdf", pdf); code != exitDone {
		t.Errorf("what the program wrote is written again without force: exit %d, %s", code, told)
	}
	if code, out, _ := reports(t, "--pdf", inventedYear, "--funder=BOARD", "--as-of=2027-07-05"); code != exitDone || !strings.HasPrefix(out, "%PDF-") {
		t.Errorf("exit %d, %.40q", code, out)
	}
	if code, out, _ := reports(t, inventedYear, "--funder=BOARD", "--as-of=2027-07-05", "--html"); code != exitDone || !strings.HasPrefix(out, "<!doctype html>") {
		t.Errorf("exit %d, %.40q", code, out)
	}
	if code, out, _ := reports(t, inventedYear, "--funder=BOARD", "--as-of=2027-07-05", "--language=es"); code != exitDone || !strings.Contains(out, "Lo que no sabemos") {
		t.Errorf("exit %d, %.200q", code, out)
	}
}

// The JSON names the records inside, and only their number outside.
func TestReportAsJSON(t *testing.T) {
	for _, public := range []bool{false, true} {
		args := []string{inventedYear, "--funder", "BOARD", "--as-of", "2027-08-31", "--json"}
		if public {
			args = append(args, "--public")
		}
		code, out, _ := reports(t, args...)
		var d struct {
			Edition string
			Figures []struct {
				Measure, County, Value, Why string
				Records                     int
				IDs                         []string
			}
		}
		if err := json.Unmarshal([]byte(out), &d); code != exitDone || err != nil || strings.Count(out, "\n") != 1 {
			t.Fatal(code, err)
		}
		named, found := 0, false
		for _, f := range d.Figures {
			named += len(f.IDs)
			found = found || f.Measure == "direct_contacts" && f.County == "all" && f.Value == "1605" && (public || f.Records > 300)
		}
		if !found || (named == 0) != public {
			t.Errorf("public %v: found %v, %d records named", public, found, named)
		}
	}
}

// All that is wrong is told at once with its place, in the reader's language.
func TestReportOfAWrongFolder(t *testing.T) {
	dir := copied(t, map[string]func(string) string{
		"events.csv": func(s string) string { return strings.Replace(s, "E010,2026-07-02,", "E010,July 2,", 1) },
		"hours.csv":  func(s string) string { return strings.Replace(s, ",service,2.5", ",service,25.5", 1) },
	})
	for language, words := range map[string]string{"en": "write it as 2027-07-05", "es": "escríbalo así: 2027-07-05"} {
		code, out, told := reports(t, dir, "--funder", "BOARD", "--as-of", "2027-07-05", "--language", language)
		if code != exitFaults || out != "" || !strings.Contains(told, "events.csv:3:6: ") || !strings.Contains(told, "hours.csv:2:51: ") || !strings.Contains(told, words) {
			t.Errorf("exit %d, %q, %s", code, out, told)
		}
	}
	for _, args := range [][]string{{dir + "/no", "--funder=BOARD", "--as-of=2027-07-05"}, {inventedYear, "--funder=NOBODY", "--as-of=2027-07-05"}, {inventedYear, "--funder=BOARD", "--as-of=soon"}, {inventedYear, "--funder=BOARD", "--as-of=2020-01-01"}, {t.TempDir(), "--funder=BOARD", "--as-of=2027-07-05"}} {
		if code, out, told := reports(t, args...); code != exitFaults || out != "" || told == "" {
			t.Errorf("%v: exit %d, %q", args, code, told)
		}
	}
}

// What an edition showed is kept, and the next one that would differ from it by a small group says so and hides that.
func TestReportIsRemembered(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	dir := copied(t, map[string]func(string) string{
		"corrections.csv": func(s string) string { return strings.Replace(s, ",48,25,", ",48,45,", 1) },
	})
	if code, _, told := reports(t, dir, "--funder", "BOARD", "--as-of", "2027-07-05", "--public", "--remember"); code != exitDone {
		t.Fatal(code, told)
	}
	kept, err := os.ReadFile(filepath.Join(dir, "published.csv"))
	if err != nil || !strings.Contains(string(kept), "BOARD,2026-07-01,2027-06-30,2027-07-05,all,direct_contacts,1628,no") {
		t.Fatalf("%v: %.300s", err, kept)
	}
	_, out, _ := reports(t, dir, "--funder", "BOARD", "--as-of", "2027-08-31", "--public", "--figures", "-")
	if strings.Contains(out, "all,direct_contacts,1625") || !strings.Contains(out, "all,direct_contacts,not shown") {
		t.Error("three fewer than went out before, and it is shown")
	}
	_, out, _ = reports(t, dir, "--funder", "BOARD", "--as-of", "2027-08-31", "--public")
	if !strings.Contains(out, "Flag: ") {
		t.Error("nothing is flagged")
	}
	_, out, _ = reports(t, dir, "--funder", "BOARD", "--as-of", "2027-08-31", "--since", "2027-07-05")
	if !strings.Contains(out, "Changed since the report of Jul 5, 2027") || !strings.Contains(out, "1,628") || !strings.Contains(out, "1,625") {
		t.Error("what has changed is not told with both figures")
	}
}

// A folder's settings rule the report: its language where none is asked for, and what is refused names what would be right.
func TestSettingsOfAFolder(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	with := func(row string) string {
		dir := copied(t, nil)
		if err := os.WriteFile(filepath.Join(dir, "settings.csv"), []byte("setting,name,funder,value,from,to,source\n"+row+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		return dir
	}
	dir := with("K1,languages,BOARD,en+es,2027-08-01,,")
	for _, c := range []struct {
		day, language    string
		english, spanish bool
	}{{"2027-08-31", "", true, true}, {"2027-07-05", "", true, false}, {"2027-08-31", "es", false, true}} {
		args := []string{"--funder", "BOARD", "--as-of", c.day}
		if c.language != "" {
			args = append(args, "--language", c.language)
		}
		_, out, told := reports(t, append([]string{dir}, args...)...)
		if strings.Contains(out, "Who took part") != c.english || strings.Contains(out, "Quiénes participaron") != c.spanish {
			t.Errorf("%v: other languages; %s", c, told)
		}
	}
	code, _, told := reports(t, with("K1,sites,,4,2027-08-01,,"), "--funder", "BOARD", "--as-of", "2027-08-31")
	if code != exitFaults || !strings.Contains(told, "settings.csv:2:11") || !strings.Contains(told, "between 5 and 1,000") {
		t.Errorf("exit %d: %s", code, told)
	}
	_, out, _ := reports(t, with("K1,answers,,45,2027-08-01,,"), "--funder", "BOARD", "--as-of", "2027-08-31", "--audit", "-")
	if !strings.Contains(out, "answers=45@2027-08-01; level=0.95") {
		t.Error("the rules are not told to who audits")
	}
}
