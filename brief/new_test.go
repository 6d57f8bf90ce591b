package brief

import (
	"bytes"
	"regexp"
	"strings"
	"testing"
)

func TestNewIsARightBrief(t *testing.T) {
	for _, u := range []Units{US, Metric} {
		data, faults := New(u, nil, say)
		for _, f := range faults {
			t.Errorf("%s: %v", u, f)
		}
		b := mustParse(t, string(data))
		if b.Units.Value != u || !b.Bed.Depth.Given || b.Water.Calcium.Given || len(b.Shelf) != 0 || b.Site.Kind.Given {
			t.Errorf("%s: an example stands as a fact: %+v", u, b)
		}
		for _, k := range Keys() {
			last := k.Path[strings.LastIndexAny(k.Path, ".]")+1:]
			last = strings.TrimPrefix(last, ".")
			if !bytes.Contains(data, []byte(last+":")) && !strings.HasPrefix(k.Path, "target.weights.") {
				t.Errorf("%s: %s is not in it", u, k.Path)
			}
			// a section is open; a line that not everybody needs is a comment
			open, comment := bytes.Contains(data, []byte("\n"+k.Path+":")), bytes.Contains(data, []byte("\n# "+k.Path+": "+k.Example))
			if !strings.Contains(k.Path, ".") && !open && !(comment && k.Example != "") {
				t.Errorf("%s: section %s is not in it", u, k.Path)
			}
		}
	}
	us, _ := New(US, nil, say)
	metric, _ := New(Metric, nil, say)
	if !bytes.Contains(us, []byte("97 in")) || bytes.Contains(metric, []byte("97 in")) || !bytes.Contains(metric, []byte("2460 mm")) {
		t.Error("the units are mixed up")
	}
	if again, _ := New(US, nil, say); !bytes.Equal(us, again) {
		t.Error("it changes from time to time")
	}
}

// Any one commented line can be put to use by taking its mark away.
func TestEveryCommentedLineCanBeUsed(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	data, _ := New(US, nil, say)
	lines := strings.Split(string(data), "\n")
	marked := regexp.MustCompile(`^( +)# ([a-z-][^#]*)#`)
	n := 0
	for i, line := range lines {
		m := marked.FindStringSubmatch(line)
		if m == nil || strings.HasPrefix(m[2], "  ") {
			continue
		}
		used := strings.Join(lines[:i], "\n") + "\n" + m[1] + m[2] + "\n" + strings.Join(lines[i+1:], "\n")
		_, faults := Parse("x", []byte(used))
		for _, f := range faults {
			if strings.Contains(what(f), "no key") || strings.Contains(what(f), "YAML") || strings.Contains(what(f), "out of range") || strings.Contains(what(f), "wanted") {
				t.Errorf("%q: %v", line, f)
			}
		}
		n++
	}
	if n < 100 {
		t.Errorf("only %d lines were tried", n)
	}
}

func TestAnswersStand(t *testing.T) {
	answers := map[string]string{
		"title": `Ana's "bed": #1`, "bed.vessel": "round", "bed.diameter": "6 ft", "raft.pot.rim": "2-3/4 in", "site.latitude": "-33.5",
		"site.climate": "[a.csv, b.csv]", "bed.space": "", "language": "es", "schedule.staged": "yes", "mix.stock.ratio": "1:100",
	}
	delete(answers, "bed.space")
	data, faults := New(Metric, answers, say)
	if len(faults) != 0 {
		t.Fatalf("%v", faults)
	}
	b := mustParse(t, string(data))
	if b.Title.Value != answers["title"] || b.Bed.Vessel.Value != Round || b.Bed.Length.Given || !near(b.Bed.Diameter.Value.Feet(), 6) || !near(b.Raft.Pot.Rim.Value.Inches(), 2.75) ||
		!near(b.Site.Latitude.Value.Degrees(), -33.5) || len(b.Site.Climate) != 2 || b.Language.Value != Spanish || !b.Schedule.Staged.Value || b.Mix.Stock.Ratio.Value != 100 || b.Units.Value != Metric {
		t.Errorf("answers are lost:\n%s", data)
	}
}

func TestWrongAnswersAreTold(t *testing.T) {
	for path, c := range map[string]struct{ text, says string }{
		"bed.depth": {"6", "has no unit"}, "bed.dept": {"6 in", `no key "dept"`}, "site.kind": {"hme", "did you mean home"}, "title": {"", ""},
		"shelf": {"x", "not a list"}, "bed": {"x", "not a group"}, "crop.name": {"a\nunits: x", ""},
	} {
		_, faults := New(US, map[string]string{path: c.text}, say)
		if c.says == "" && len(faults) == 0 {
			continue // left out, or quoted, so that it cannot break out of its line
		}
		if len(faults) != 1 || !strings.Contains(what(faults[0])+right(faults[0]), c.says) {
			t.Errorf("%s: %q gives %v", path, c.text, faults)
		}
	}
}
