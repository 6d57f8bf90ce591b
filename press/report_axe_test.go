package press_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/press"
	"raftwright/programme"
)

// The report of a program year keeps the rules as a web page: both editions, in English and in Spanish, on a telephone and on a desk.
func TestReportKeepsTheRules(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	browser := chromium(t)
	files := map[string]string{}
	paths, err := filepath.Glob("../programme/testdata/demo_year/*.csv")
	if err != nil || len(paths) < 20 {
		t.Fatal(paths, err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(path)] = string(text)
	}
	records, faults := programme.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	day, _ := programme.ParseDay("2027-08-31")
	r, faults := programme.Make(records, "BOARD", day)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	docs := map[string][]byte{}
	var sights []sight
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for edition, e := range map[string]*programme.Edition{"inside": r.Inside(), "public": r.Public()} {
			var out bytes.Buffer
			if err := press.HTML(packet.Report(e, nil, words, packet.Options{}), &out); err != nil {
				t.Fatal(err)
			}
			name := edition + ", " + language
			docs[name] = out.Bytes()
			if os.Getenv("RAFTWRIGHT_PAGES") != "" || (edition == "inside") == (language == "en") { // each edition in a language; ./check --long looks at all
				sights = append(sights, sight{name, 320, language == "es"}, sight{name, 1280, false})
			}
		}
	}
	for at, v := range judged(t, browser, axe(t), docs, sights) {
		for _, f := range v.Faults {
			t.Errorf("%v: %s", at, f)
		}
		if v.Wide > 0 {
			t.Errorf("%v: %v pixels wider than the window", at, v.Wide)
		}
	}
}
