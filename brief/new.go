package brief

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"raftwright/finding"
)

// New writes a first brief: every section and key with what it means and an
// example in the given units. What was answered stands as a line of its own; so
// do the few keys that a plan can start from. The rest is commented out, so that
// an example is never taken for a fact. Answers are texts by the path of the key
// ("title", "bed.length": "97 in"); items of lists cannot be answered here.
//
// The faults are those of the answers; their places are in the text returned. The
// text of New without answers has none.
func New(u Units, answers map[string]string) ([]byte, finding.Faults) {
	w := &writer{units: u, answers: map[string]string{"units": string(u)}}
	for path, text := range answers {
		w.answers[path] = text
	}
	w.line("# The brief of one floating raft bed. What stands behind a # is a note. To use a line")
	w.line("# that begins with #, take away the # and the space behind it. Quantities need their")
	w.line("# unit: 8 ft, 6 in, 1.2 m, 78 mg/L, 25 C. Leave out whatever is not known.")
	for _, f := range definition().fields {
		w.top(f)
	}
	data := []byte(w.out.String())
	_, faults := Parse("new brief", data)
	for _, path := range w.unused() {
		faults = append(faults, (&Brief{File: "new brief"}).Fault(Place{}, fmt.Sprintf("there is no key %q to answer", clip(path)), "write the path of a key, for example bed.length"))
	}
	return data, faults
}

type writer struct {
	out     strings.Builder
	units   Units
	answers map[string]string
	used    []string
}

func (w *writer) line(s string) { w.out.WriteString(s + "\n") }

// unused lists the answers that no key took, sorted.
func (w *writer) unused() []string {
	var left []string
	for path := range w.answers {
		if !slices.Contains(w.used, path) {
			left = append(left, path)
		}
	}
	slices.Sort(left)
	return left
}

// top writes a key of the first level.
func (w *writer) top(s *spec) {
	if s.class == scalar {
		w.pair("", s, s.key, s.first)
		return
	}
	w.line("")
	w.line("# " + strings.ToUpper(s.key) + ": " + s.help)
	w.line(s.key + ":")
	if s.class == items {
		w.example("  ", s)
		return
	}
	w.section("  ", s, s.key)
}

// section writes the keys of a group. When one of them was answered, only the
// answers stand: an example beside them could contradict them.
func (w *writer) section(indent string, s *spec, path string) {
	answered := false
	for key := range w.answers {
		answered = answered || strings.HasPrefix(key, path+".")
	}
	for _, f := range s.fields {
		at := path + "." + f.key
		switch f.class {
		case scalar, values:
			w.pair(indent, f, at, f.first && !answered)
		case section:
			w.nested(indent, f, at)
		case items:
			w.out.WriteString(pad(indent+f.key+":") + "# " + f.help + "\n")
			w.example(indent+"  ", f)
		case table:
			w.comment(indent, f.key+": {name of the thing: "+f.in(w.units)+"}", f.help)
		}
	}
}

// nested writes a group within a group: on one commented line, or open when one
// of its keys was answered.
func (w *writer) nested(indent string, s *spec, path string) {
	for key := range w.answers {
		if strings.HasPrefix(key, path+".") {
			w.line(indent + s.key + ":")
			w.section(indent+"  ", s, path)
			return
		}
	}
	w.comment(indent, s.key+": "+inside(s, w.units), s.help)
}

// pair writes one key, as a line when it was answered or stands from the first.
func (w *writer) pair(indent string, s *spec, path string, stands bool) {
	if text, is := w.answers[path]; is {
		w.used = append(w.used, path)
		w.noted(indent+s.key+": "+written(s, text), s)
		return
	}
	if stands {
		w.noted(indent+s.key+": "+s.in(w.units), s)
		return
	}
	w.noted(indent+"# "+s.key+": "+s.in(w.units), s)
}

// example writes one item of a list, commented out.
func (w *writer) example(indent string, s *spec) {
	lead := "- "
	for _, f := range s.fields {
		switch {
		case f.class == section || f.class == table:
			w.comment(indent, lead+f.key+": "+inside(f, w.units), f.help)
		default:
			w.noted(indent+"# "+lead+f.key+": "+f.in(w.units), f)
		}
		lead = "  "
	}
}

// inside gives an example of a group on one line.
func inside(s *spec, u Units) string {
	if s.class == table {
		return "{complete fertiliser: " + s.in(u) + "}"
	}
	if s.eg != "" {
		return s.in(u)
	}
	var parts []string
	for _, f := range s.fields {
		parts = append(parts, f.key+": "+f.in(u))
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

func (w *writer) comment(indent, text, help string) {
	w.out.WriteString(pad(indent+"# "+text) + "# " + help + "\n")
}

// noted writes a line with its help and its words.
func (w *writer) noted(line string, s *spec) {
	help := s.help
	if len(s.words) > 0 && s.typ.Name() != "AcidProduct" {
		help = list(s.words) + ": " + help
	}
	w.out.WriteString(pad(line) + "# " + help + "\n")
}

// pad fills a line up to the column of the notes.
func pad(line string) string {
	return line + strings.Repeat(" ", max(2, 38-utf8.RuneCountInString(line)))
}

var safe = regexp.MustCompile(`^[\p{L}0-9][\p{L}\p{N} .,/%()+'-]*$`)

// written writes an answer so that YAML reads it back.
func written(s *spec, text string) string {
	text = strings.TrimSpace(text)
	if strings.HasPrefix(text, "[") && (s.class == values || s.typ.Name() == "Size") {
		return text
	}
	if safe.MatchString(text) || s.class == scalar && s.form.measure != nil && numeric(text) {
		return text
	}
	quoted, err := json.Marshal(text)
	if err != nil {
		return `""`
	}
	return string(quoted)
}

func numeric(text string) bool {
	return regexp.MustCompile(`^-?[0-9.]+$`).MatchString(text)
}
