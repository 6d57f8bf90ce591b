package brief

import (
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"raftwright/finding"
)

// New writes a first brief: every section and key with what it means and an
// example in the given units. What was answered stands as a line of its own; so
// do the few keys that a plan can start from, but for those of a section with an
// answer. The rest is commented out, so that an example is never taken for a fact.
// Answers are texts by the path of the key ("title", "bed.length": "97 in").
//
// The faults are those of the answers; their places are in the text returned. The
// text of New without answers has none.
func New(u Units, answers map[string]string, say Say) ([]byte, finding.Faults) {
	w := &writer{units: u, say: say, answers: answers}
	for _, line := range []string{"brief.new.first", "brief.new.second", "brief.new.third"} {
		w.line("# " + say(line, nil))
	}
	for _, f := range definition().fields {
		w.top(f)
	}
	b, none := Parse("new brief", []byte(w.out.String()))
	b, _ = b.Set("units", string(u))
	for _, path := range slices.Sorted(maps.Keys(answers)) {
		next, faults := b.Set(finding.Path(path), answers[path])
		if next == nil {
			none = append(none, faults...)
			continue
		}
		b = next
	}
	text := b.Encode()
	_, faults := Parse("new brief", text)
	return text, append(faults, none...)
}

type writer struct {
	out     strings.Builder
	say     Say
	units   Units
	answers map[string]string
}

func (w *writer) line(s string) { w.out.WriteString(s + "\n") }

// top writes a key of the first level.
func (w *writer) top(s *spec) {
	if s.class == scalar {
		w.pair("", s, s.first)
		return
	}
	w.line("")
	w.line("# " + strings.ToUpper(s.key) + ": " + w.help(s))
	w.line(s.key + ":")
	if s.class == items {
		w.example("  ", s)
		return
	}
	answered := false
	for path := range w.answers {
		answered = answered || strings.HasPrefix(path, s.key+".")
	}
	for _, f := range s.fields {
		switch f.class {
		case scalar, values:
			w.pair("  ", f, f.first && !answered)
		case section:
			w.noted("  # "+f.key+": "+inside(f, w.units), f)
		case items:
			w.noted("  "+f.key+":", f)
			w.example("    ", f)
		case table:
			w.noted("  # "+f.key+": {"+w.say("brief.new.name", nil)+": "+f.in(w.units)+"}", f)
		}
	}
}

// pair writes one key, as a line when it stands from the first.
func (w *writer) pair(indent string, s *spec, stands bool) {
	if !stands {
		indent += "# "
	}
	w.noted(indent+s.key+": "+s.in(w.units), s)
}

// example writes one item of a list, commented out.
func (w *writer) example(indent string, s *spec) {
	lead := "# - "
	for _, f := range s.fields {
		if f.class == section || f.class == table {
			w.noted(indent+lead+f.key+": "+inside(f, w.units), f)
		} else {
			w.noted(indent+lead+f.key+": "+f.in(w.units), f)
		}
		lead = "#   "
	}
}

// inside gives an example of a group on one line.
func inside(s *spec, u Units) string {
	if s.class == table {
		return "{complete fertilizer: " + s.in(u) + "}"
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

// noted writes a line with its help and its words behind it.
func (w *writer) noted(line string, s *spec) {
	help := w.help(s)
	if len(s.words) > 0 && s.typ.Name() != "AcidProduct" {
		help = strings.Join(s.words, " | ") + ": " + help
	}
	w.line(line + strings.Repeat(" ", max(2, 38-utf8.RuneCountInString(line))) + "# " + help)
}

func (w *writer) help(s *spec) string { return w.say(string(s.described().Help), nil) }
