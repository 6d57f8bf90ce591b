package brief

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// What is written on one line says what the file says: the same values, no notes.
func TestCompactSaysTheSame(t *testing.T) {
	files, _ := filepath.Glob("../examples/*.yaml")
	texts := []string{"# a\nbed:\n  # b\n  length: 97 in # c\n  width:\ntitle: 'a: b, {c} #d'\nshelf:\n- name: x\n  label: 5-12-26\nlog:\n"}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text))
	}
	view, err := Viewing("raftwright", "title", "units", "language", "site", "bed", "raft", "water", "acid", "shelf", "target", "mix", "crop", "schedule", "prices", "cut", "log", "meter", "found")
	if err != nil || len(texts) < 10 {
		t.Fatal(err, len(texts))
	}
	for _, text := range texts {
		b, faults := Parse("a.yaml", []byte(text))
		line := b.Compact()
		c, again := Parse("a.yaml", []byte(line))
		if len(again) != len(faults) || len(faults) > 0 || c == nil {
			t.Errorf("%v, then %v:\n%s", faults, again, line)
			continue
		}
		if !reflect.DeepEqual(view.AppendValues(nil, b), view.AppendValues(nil, c)) || strings.Contains(line, "\n") {
			t.Errorf("not the same:\n%s\n%s", text, line)
		}
		if strings.Contains(line, "Invented") || len(line) > len(text) {
			t.Errorf("not short: %s", line)
		}
	}
}
