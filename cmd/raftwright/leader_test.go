package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const (
	dayBrief = "title: Garden day\nbed: {length: 97 in, width: 49 in, depth: 6 in}\nlanguage: en\n"
	dayTable = "kit,language,water.ph,water.alkalinity\nA1,es,8.1,220 mg/L CaCO3\nA2,,6.8,30 mg/L CaCO3\nB1,,,\n"
)

// led runs the command for a workshop in a folder.
func led(t *testing.T, brief string, args ...string) (code int, told string) {
	t.Helper()
	var out, err bytes.Buffer
	code = run(append([]string{"packet", "-", "--part", "leader", "--date", "2027-03-03"}, args...), streams{strings.NewReader(brief), &out, &err, tongue{}})
	return code, err.String()
}

// A folder holds the leader's document and a packet for each family, in its language and for its water; another number makes all of them anew
// and says which are left of before.
func TestAWorkshopIsAFolder(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	folder := filepath.Join(t.TempDir(), "day")
	table := filepath.Join(t.TempDir(), "families.csv")
	if err := os.WriteFile(table, []byte(dayTable), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, told := led(t, dayBrief, "--families", table, "-o", folder); code != exitDone || !strings.Contains(told, "3 families") {
		t.Fatalf("exit %d: %s", code, told)
	}
	files := map[string]string{}
	for _, name := range []string{"leader", "kit-A1", "kit-A2", "kit-B1"} {
		data, err := os.ReadFile(filepath.Join(folder, name+".pdf"))
		if err != nil {
			t.Fatal(err)
		}
		files[name] = string(data)
	}
	if !strings.Contains(files["kit-A1"], "<rdf:li>es</rdf:li>") || !strings.Contains(files["kit-A2"], "<rdf:li>en</rdf:li>") {
		t.Error("not each in its language")
	}
	code, told := led(t, dayBrief, "--families", "2", "-o", folder)
	if code != exitDone || !strings.Contains(told, "kit-A1.pdf, kit-A2.pdf, kit-B1.pdf") {
		t.Errorf("exit %d: %s", code, told)
	}
	if again, err := os.ReadFile(filepath.Join(folder, "leader.pdf")); err != nil || string(again) == files["leader"] {
		t.Error("the leader's document is that of before")
	}
	one := filepath.Join(t.TempDir(), "leader.pdf")
	if code, told := led(t, dayBrief, "--families", "4", "-o", one); code != exitDone {
		t.Errorf("exit %d: %s", code, told)
	}
}

// The slips in the leader's document ask by the standard of 2024, or as they are told to, and say which.
func TestALeadersSlipsAskAsTold(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for _, c := range []struct {
		args        []string
		says, never string
	}{{nil, "(questions of 2024)</h3>", "questions of 1997"}, {[]string{"--older"}, "(questions of 1997)</h3>", "questions of 2024"}} {
		out := filepath.Join(t.TempDir(), "leader.html")
		if code, told := led(t, dayBrief, append(c.args, "--families", "2", "-o", out)...); code != exitDone {
			t.Fatalf("exit %d: %s", code, told)
		}
		text, err := os.ReadFile(out)
		if err != nil || strings.Count(string(text), c.says) != 2 || strings.Contains(string(text), c.never) {
			t.Errorf("%v: the slips do not say that they are %s", c.args, c.says)
		}
	}
}

// What is wrong with a table is told at its row and column, and nothing is written.
func TestAWrongTableIsTold(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "day")
	table := filepath.Join(t.TempDir(), "families.csv")
	for text, want := range map[string]string{
		"kit,water.ph\nA,7\nA,8\n":            "families.csv:3:1: the code \"A\" stands in another row too",
		"kit,water.ph\nA,seven\n":             "families.csv:2:2: water.ph",
		"kit,site.place\nA,Nowhereville ZZ\n": "families.csv:2:1: site.place",
		"name\nA\n":                           "families.csv:1:1: the first column",
	} {
		if err := os.WriteFile(table, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if code, told := led(t, dayBrief, "--families", table, "-o", folder); code != exitFaults || !strings.Contains(told, want) {
			t.Errorf("%q: exit %d: %s", text, code, told)
		}
		if _, err := os.Stat(folder); err == nil {
			t.Errorf("%q: something was written", text)
		}
	}
	for _, n := range []string{"0", "-1", "2000"} {
		if code, told := led(t, dayBrief, "--families="+n, "-o", folder); code != exitFaults || !strings.Contains(told, "number of families") {
			t.Errorf("%s: exit %d: %s", n, code, told)
		}
	}
	if code, _ := led(t, dayBrief, "--families", "nothing.csv", "-o", folder); code != exitFaults {
		t.Error("a table that is not there was read")
	}
}

// The day begins when it is told; a time that is none, or at night, is a fault.
func TestTheDayBeginsAtATime(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	for text, want := range map[string]string{"8:30": "", "5:00": "", "19:00": "", "4:59": "4:59", "19:01": "19:01", "25:00": "25:00", "nine": "nine"} {
		code, told := led(t, dayBrief, "--families=2", "--begin", text, "-o", filepath.Join(t.TempDir(), "leader.pdf"))
		if (code == exitDone) != (want == "") || !strings.Contains(told, want) {
			t.Errorf("%q: exit %d: %s", text, code, told)
		}
	}
}

// BenchmarkFiftyFamilies plans and prints a workshop for fifty families, each with a water of its own.
func BenchmarkFiftyFamilies(b *testing.B) {
	folder := b.TempDir()
	table := filepath.Join(folder, "families.csv")
	text := "kit,language,water.ph,water.alkalinity,water.calcium\n"
	for i := range 50 {
		text += fmt.Sprintf("K%d,%s,%.1f,%d mg/L CaCO3,%d mg/L\n", i, []string{"en", "es"}[i%2], 6.5+float64(i)/40, 40+4*i, 20+i)
	}
	if err := os.WriteFile(table, []byte(text), 0o644); err != nil {
		b.Fatal(err)
	}
	home, err := os.ReadFile("../../examples/home.yaml")
	if err != nil {
		b.Fatal(err)
	}
	whole(b, string(home), "packet", "-", "--part", "leader", "--families", table, "-o", filepath.Join(folder, "day"))
}

// A number of families that is none has no place in a file: the option that it belongs to is named.
func TestFamiliesAreAskedForByTheirOption(t *testing.T) {
	for _, args := range [][]string{nil, {"--families", "0"}} {
		code, told := led(t, dayBrief, append(args, "-o", filepath.Join(t.TempDir(), "day"))...)
		if code != exitFaults || !strings.Contains(told, "--families") || strings.Contains(told, ":0:") {
			t.Errorf("%v: exit %d: %s", args, code, told)
		}
	}
}

// A table may have beds of several sizes: the folder has the leader's document, which names the sizes, and a packet for each family.
func TestADayOfTwoSizesIsAFolder(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	folder := t.TempDir()
	table := filepath.Join(folder, "families.csv")
	if err := os.WriteFile(table, []byte("kit,language,bed.length,bed.width\nA1,es,,\nA2,,49 in,25 in\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, told := led(t, dayBrief, "--families", table, "-o", filepath.Join(folder, "day")); code != exitDone || !strings.Contains(told, "2 families") {
		t.Fatalf("exit %d: %s", code, told)
	}
	for _, name := range []string{"leader", "kit-A1", "kit-A2"} {
		if _, err := os.Stat(filepath.Join(folder, "day", name+".pdf")); err != nil {
			t.Error(err)
		}
	}
	page := filepath.Join(folder, "leader.html")
	if code, told := led(t, dayBrief, "--families", table, "-o", page); code != exitDone {
		t.Fatalf("exit %d: %s", code, told)
	}
	if text, err := os.ReadFile(page); err != nil || !strings.Contains(string(text), "Size 1: 97 in × 49 in") || !strings.Contains(string(text), "Size 2: 49 in × 25 in") {
		t.Errorf("%v: the sizes are not named", err)
	}
}
