package brief

import (
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
func New(u Units, answers map[string]string, say Say) ([]byte, finding.Faults) {
	w := &writer{units: u, say: say, answers: map[string]string{"units": string(u)}}
	for path, text := range answers {
		w.answers[path] = text
	}
	for _, line := range []string{"brief.new.first", "brief.new.second", "brief.new.third"} {
		w.line("# " + say(line, nil))
	}
	for _, f := range definition().fields {
		w.top(f)
	}
	data := []byte(w.out.String())
	_, faults := Parse("new brief", data)
	for _, path := range w.unused() {
		r := &reader{brief: &Brief{File: "new brief"}}
		r.tell("", Place{}, noKey(finding.Path(path)))
		faults = append(faults, r.faults...)
	}
	return data, faults
}

type writer struct {
	out     strings.Builder
	say     Say
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
	w.line("# " + strings.ToUpper(s.key) + ": " + w.help(s))
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
			w.out.WriteString(pad(indent+f.key+":") + "# " + w.help(f) + "\n")
			w.example(indent+"  ", f)
		case table:
			w.comment(indent, f.key+": {"+w.say("brief.new.name", nil)+": "+f.in(w.units)+"}", w.help(f))
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
	w.comment(indent, s.key+": "+inside(s, w.units), w.help(s))
}

// pair writes one key, as a line when it was answered or stands from the first.
func (w *writer) pair(indent string, s *spec, path string, stands bool) {
	if text, is := w.answers[path]; is {
		w.used = append(w.used, path)
		w.noted(indent+s.key+": "+entered(s, text), s)
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
			w.comment(indent, lead+f.key+": "+inside(f, w.units), w.help(f))
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
	help := w.help(s)
	if len(s.words) > 0 && s.typ.Name() != "AcidProduct" {
		help = strings.Join(s.words, " | ") + ": " + help
	}
	w.out.WriteString(pad(line) + "# " + help + "\n")
}

func (w *writer) help(s *spec) string { return w.say(string(s.described().Help), nil) }

// entered writes an answer so that YAML reads it back.
func entered(s *spec, text string) string {
	text = strings.TrimSpace(text)
	if strings.HasPrefix(text, "[") && (s.class == values || s.pair()) {
		return text
	}
	return written(text, false)
}

// pad fills a line up to the column of the notes.
func pad(line string) string {
	return line + strings.Repeat(" ", max(2, 38-utf8.RuneCountInString(line)))
}
