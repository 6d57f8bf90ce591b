package main

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
)

// Every command, argument and flag says what it is, in words that stand in lang.
func TestEveryHelpHasWords(t *testing.T) {
	commands := []string{""}
	for f := range reflect.TypeFor[cli]().Fields() {
		if _, command := f.Tag.Lookup("cmd"); command {
			commands = append(commands, strings.ToLower(f.Name))
		}
	}
	for _, c := range commands {
		var out, err bytes.Buffer
		args := []string{c, "--help"}
		if c == "" {
			args = args[1:]
		}
		if code := run(args, streams{strings.NewReader(""), &out, &err, tongue{}}); code != exitDone || err.Len() > 0 {
			t.Errorf("%s: %d %s", c, code, &err)
		}
		if strings.Contains(out.String(), "[help") || out.Len() < 100 {
			t.Errorf("%s: %s", c, &out)
		}
		for l := range strings.Lines(out.String()) {
			if words := strings.Fields(l); len(words) == 1 && strings.HasPrefix(words[0], "-") || len(words) == 2 && strings.HasPrefix(words[1], "--") {
				t.Errorf("%s: %s says nothing of itself", c, l)
			}
		}
	}
	if len(commands) < 16 {
		t.Errorf("only %v", commands)
	}
}
