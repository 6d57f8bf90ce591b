package main

import (
	"strings"
	"testing"

	"raftwright/examples"
)

// What was asked for beats the brief, the brief beats the system, and the terminal has no
// brief. A region or an encoding behind the language does not matter (POSIX, 8.2).
func TestWhoseLanguage(t *testing.T) {
	brief := func(language string) string { return language + "bed: {length: abc}\n" }
	for _, c := range []struct {
		text, asked, system, want string
	}{
		{"", "", "", "does not start"}, {"", "", "es", "no empieza"}, {"language: en\n", "", "es", "does not start"}, {"language: es\n", "", "", "no empieza"},
		{"language: es\n", "en", "", "does not start"}, {"language: en\n", "es", "en", "no empieza"}, {"", "es-US", "en", "no empieza"},
	} {
		args := []string{"plan", "-"}
		if c.asked != "" {
			args = append(args, "--language", c.asked)
		}
		var out, err strings.Builder
		if code := run(args, streams{strings.NewReader(brief(c.text)), &out, &err, tongue{system: c.system}}); code != exitFaults || !strings.Contains(err.String(), c.want) {
			t.Errorf("%+v: %d %s", c, code, err.String())
		}
	}
	for _, c := range []struct{ all, messages, lang, want string }{
		{"", "", "es_MX.UTF-8", "es"}, {"", "es_US", "en_US.UTF-8", "es"}, {"en_US", "es", "es", "en"}, {"C", "es", "es", ""}, {"", "", "", ""}, {"", "", "xx", ""},
	} {
		got := systemTongue(func(name string) string {
			return map[string]string{"LC_ALL": c.all, "LC_MESSAGES": c.messages, "LANG": c.lang}[name]
		})
		if got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// A language that nothing is printed in is a fault that says which there are; two at once
// are a packet's.
func TestNoSuchLanguage(t *testing.T) {
	for asked, want := range map[string]string{"fr": `write en or es`, "en+es": `write en or es`, "": "Usage:"} {
		got := tell("bed: {}\n", "plan", "-", "--language", asked)
		if asked == "" {
			got = tell("", "--help")
		} else if got.code != exitFaults || got.out != "" {
			t.Errorf("%s: %+v", asked, got)
		}
		if !strings.Contains(got.out+got.err, want) {
			t.Errorf("%s: %+v", asked, got)
		}
	}
	for _, asked := range []string{"es+en", "es-MX+en-US"} {
		if got := tell("bed: {}\n", "packet", "-", "-o", "-", "--part", "log", "--language", asked); got.code != exitDone {
			t.Errorf("%s: %d %s", asked, got.code, got.err)
		}
	}
	for _, asked := range []string{"en+en", "en+", "+es", "en+fr", "en+es+en"} {
		if got := tell("bed: {}\n", "packet", "-", "-o", "-", "--part", "log", "--language", asked); got.code != exitFaults {
			t.Errorf("%s: %d", asked, got.code)
		}
	}
	if got := tell("bed: {}\n", "packet", "-", "-o", "-", "--language", "fr"); !strings.Contains(got.err, "write en, es or en+es") {
		t.Errorf("%+v", got)
	}
}

// What is wrong with a command is told in our words, whatever the library says.
func TestMisusedCommands(t *testing.T) {
	for want, args := range map[string][]string{
		"--langage is not known; did you mean \"--language\"?": {"plan", "x", "--langage", "es"},
		"--zzzzzz is not known":                                {"plan", "x", "--zzzzzz"},
		"this is missing: \"<brief>":                           {"plan"},
		"this is missing: --out=FILE":                          {"packet", "x"},
		"--paper must be one of \"letter\"":                    {"packet", "x", "-o", "y", "--paper", "z"},
		"--paper wants a value":                                {"packet", "x", "--paper"},
	} {
		if got := tell("", args...); got.code != exitFaults || !strings.Contains(got.err, want) {
			t.Errorf("%v: %+v, want %s", args, got, want)
		}
	}
}

// In Spanish the first brief says so, and what it says back, the calendar too, is Spanish.
func TestEverythingSpeaksSpanish(t *testing.T) {
	made := tell("", "new", "-", "--language", "es")
	if made.code != exitDone || !strings.Contains(made.out, "language: es ") || !strings.Contains(made.out, "# cómo llama usted") {
		t.Errorf("%+v", made)
	}
	for _, args := range [][]string{{"plan", "-"}, {"read", "-"}, {"mix", "-"}, {"frame", "-"}, {"season", "-", "--ics", "-"}, {"packet", "-", "-o", "-", "--part", "log"}} {
		brief := made.out
		if args[0] == "season" {
			brief = strings.Replace(string(examples.Demo), "language: en", "language: es", 1)
		}
		got := tell(brief, args...)
		if got.code != exitDone && got.code != exitStop {
			t.Errorf("%v: %+v", args, got)
		}
		if args[0] != "packet" && !strings.ContainsAny(got.out, "áéíóúñ") {
			t.Errorf("%v is not in Spanish: %s", args, got.out)
		}
		if args[0] == "season" && (!strings.Contains(got.out, "//ES") || !strings.Contains(got.out, "SUMMARY:Siembre")) {
			t.Errorf("the calendar is not in Spanish: %.600s", got.out)
		}
	}
}
