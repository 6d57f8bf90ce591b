package brief

import (
	"reflect"
	"slices"
	"strings"
	"sync"

	"raftwright/finding"
	"raftwright/unit"
)

// Key describes one key of the format, for lists of keys, for forms and for asking
// questions.
type Key struct {
	Path     string     // "bed.length"; [] marks the items of a list: "shelf[].name"
	Kind     string     // group, list (of groups), values (a list of texts), table (names with a text each), or what one text is: length, share, word, date ...
	Each     string     // what one text of values or of a table is; else ""
	Help     finding.ID // the sentence that says what it means
	Label    finding.ID // its name on a form
	Unit     string     // in which Values gives it, "" where there is none
	Example  string     // as it would be written, US customary; "" for a group
	Metric   string     // the same in metric units
	Words    []string   // the allowed words, nil where it is no word
	Least    string     // the sensible range as it is written, "" where there is none to tell
	Most     string
	Open     bool     // the least itself is not allowed
	Max      int      // the most items of a list or a table
	Short    string   // the key that a bare text in place of the group fills
	Required bool     // its group cannot do without it
	Assumed  []string // the assumptions of which one may be made when it is left out, by their ID
}

// Keys lists every key of the format, groups before what is in them.
func Keys() []Key {
	var out []Key
	definition().each(func(s *spec) { out = append(out, s.described()) })
	return out
}

// each gives every key of a group, groups before what is in them.
func (s *spec) each(do func(s *spec)) {
	for _, f := range s.fields {
		do(f)
		f.each(do)
	}
}

// severalThings are the names of keys that mean another thing in another group, so that
// each has a label of its own.
var severalThings = []string{"air", "at", "count", "head", "kind", "label", "length", "mass", "place", "stock", "volume"}

func (s *spec) described() Key {
	id, label := strings.NewReplacer("[]", "", ".", "_", " ", "_"), s.key
	if slices.Contains(severalThings, s.key) {
		label = s.help
	}
	k := Key{Path: s.path, Help: finding.ID("brief.help." + id.Replace(s.help)), Label: finding.ID("brief.label." + id.Replace(label)), Example: s.eg, Metric: s.in(Metric),
		Words: s.words, Max: s.max, Short: s.short, Required: s.need, Assumed: s.assumed, Kind: s.form.kind}
	if s.most.text != "" && s.least.text != s.most.text && len(s.forms) == 0 && s.most.text != "100000" {
		k.Least, k.Most, k.Open = s.least.text, s.most.text, s.least.open
	}
	switch {
	case s.pair():
		_, k.Unit = s.form.figure(unit.Length(0))
	case s.form.figure != nil && s.form.measure != nil:
		_, k.Unit = s.form.figure(reflect.Zero(s.typ).Interface())
	}
	switch s.class {
	case section:
		k.Kind = "group"
	case items:
		k.Kind = "list"
	case values:
		k.Kind, k.Each = "values", k.Kind
	case table:
		k.Kind, k.Each = "table", k.Kind
	}
	return k
}

// Assumed gives the keys that an assumption stands in for, and the value that was
// taken, where the assumption tells it. Of a key in a list the path is that of the
// list.
func Assumed(a finding.Assumption) []Value {
	var out []Value
	for _, s := range standIns()[string(a.ID)] {
		list, _, in := strings.Cut(s.path, "[]")
		v := Value{Path: finding.Path(list)}
		switch taken := s.taken(a.Args); {
		case taken == nil || in:
		case s.form.figure != nil:
			v.Value, v.Unit = s.form.figure(taken)
		default:
			v.Value = taken
		}
		out = append(out, v)
	}
	return out
}

// standIns lists the keys that each assumption stands in for.
var standIns = sync.OnceValue(func() map[string][]*spec {
	out := map[string][]*spec{}
	definition().each(func(s *spec) {
		for _, id := range s.assumed {
			out[id] = append(out[id], s)
		}
	})
	return out
})

// taken gives the figure of an assumption that is of the key's type: the only one,
// or that of the key's name.
func (s *spec) taken(args finding.Args) any {
	var out any
	for name, v := range args {
		if reflect.TypeOf(v) != s.typ {
			continue
		}
		if strings.EqualFold(name, s.key) {
			return v
		}
		if out != nil {
			return nil
		}
		out = v
	}
	return out
}

// Value is one text of a brief with what was understood by it.
type Value struct {
	Path  finding.Path
	Text  string // as typed
	Plain string // how a text that can be read in two ways was read: "1200 ft" for "1,200 ft"; else ""
	Value any    // a float64 in the unit, an int, a bool, or a word; nil where it is not understood
	Unit  string // "" where there is none
	At    Place
}

// Values lists every text of the brief in the order of the document, also those
// that are wrong. Keys that are none are left out; their faults tell them.
func (b *Brief) Values() []Value { return b.list(func(string) bool { return true }) }

// ValuesUnder lists those of some of its first keys, as "meter".
func (b *Brief) ValuesUnder(keys ...string) []Value {
	return b.list(func(key string) bool { return slices.Contains(keys, key) })
}

func (b *Brief) list(wanted func(key string) bool) []Value {
	if b.doc == nil {
		return nil
	}
	some := *b.doc
	some.kids = slices.DeleteFunc(slices.Clone(some.kids), func(n *node) bool { return !wanted(n.key) })
	w := &lister{r: reader{brief: b, scale: statedScale(b.doc)}}
	w.group(&some, definition(), "")
	return w.out
}

type lister struct {
	r   reader
	out []Value
}

func (w *lister) group(n *node, s *spec, path finding.Path) {
	for _, k := range n.kids {
		if f := s.field(k.key); f != nil && !k.odd && k.twice.Line == 0 {
			w.value(k, f, path.Key(k.key))
		}
	}
}

func (w *lister) value(n *node, s *spec, path finding.Path) {
	var two []*node
	if s.pair() {
		two = n.two()
	}
	switch {
	case two != nil:
		for i, k := range two {
			w.text(k, s, path.Item(i))
		}
	case n.shape == leaf:
		w.text(n, s, path)
	case n.shape == group && s.class == table:
		for _, k := range n.kids {
			w.text(k, s, path.Key(k.key))
		}
	case n.shape == group:
		w.group(n, s, path)
	case n.shape == list:
		for i, k := range n.kids {
			if k.shape == group && s.class == items {
				w.group(k, s, path.Item(i))
			} else {
				w.text(k, s, path.Item(i))
			}
		}
	}
}

func (w *lister) text(n *node, s *spec, path finding.Path) {
	if n.shape != leaf {
		return
	}
	if s.short != "" {
		s = s.field(s.short)
	}
	v := Value{Path: path, Text: n.text, At: n.at}
	if s.form.read != nil {
		if got, bad := w.r.understood(n.text, s); bad == nil {
			v.Plain, v.Value = got.Plain, got.Value
			if s.form.figure != nil {
				v.Value, v.Unit = s.form.figure(got.Value)
			} else if _, is := got.Value.(string); !is {
				v.Value = n.text
			}
		}
	}
	w.out = append(w.out, v)
}
