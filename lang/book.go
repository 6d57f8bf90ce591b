package lang

import (
	"fmt"
	"strconv"
	"strings"
)

// book holds the sentences of one language by ID. A form for other counts than
// the usual stands under the ID and the name of the form: "cut.short.one".
type book map[string]string

// read reads a file of sentences. It is written in the part of TOML that
// sentences need, one line each: comments, [id] over the forms of a sentence that
// counts (one, many, other), and id = "sentence". Sentences are kept as written.
func (b book) read(name, text string) error {
	table, number := "", 0
	for line := range strings.Lines(text) {
		number++
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		if line[0] == '[' && strings.HasSuffix(line, "]") {
			table = strings.TrimSpace(line[1:len(line)-1]) + "."
			continue
		}
		id, value, _ := strings.Cut(line, "=")
		value = strings.TrimSpace(value)
		if len(value) < 2 || value[0] != '"' || value[len(value)-1] != '"' {
			return fmt.Errorf(`%s:%d: not a sentence; write id = "sentence" on one line`, name, number)
		}
		id = strings.TrimSuffix(table+strings.TrimSpace(id), ".other")
		before := len(b)
		if b[id] = value[1 : len(value)-1]; len(b) == before {
			return fmt.Errorf("%s:%d: %s has a sentence already", name, number, id)
		}
	}
	return nil
}

// text finds the sentence of an ID: the form that a count asks for, or else the
// one that serves every count.
func (b book) text(id string, count any) (string, bool) {
	if n, ok := count.(int); ok {
		if form := formOf(n); form != "" {
			if text, ok := b[id+form]; ok {
				return unescaped(text)
			}
		}
	}
	text, ok := b[id]
	if !ok {
		return "", false
	}
	return unescaped(text)
}

// unescaped gives a sentence as it is meant. What TOML escapes, Go escapes in the
// same way; most sentences escape nothing.
func unescaped(text string) (string, bool) {
	if strings.IndexByte(text, '\\') < 0 {
		return text, true
	}
	text, err := strconv.Unquote(`"` + text + `"`)
	return text, err == nil
}

// formOf gives the form of a sentence for a whole number of things, as English
// and Spanish need it: one thing; in Spanish, whole millions ("1000000 de
// camas"), which English does not tell apart and has no form for. Source: the Unicode locale data (CLDR), held against in the tests.
func formOf(n int) string {
	switch {
	case n == 1:
		return ".one"
	case n != 0 && n%1_000_000 == 0:
		return ".many"
	}
	return ""
}
