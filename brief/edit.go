package brief

import (
	"reflect"
	"slices"
	"strings"

	"raftwright/finding"
)

// Pair is one key with its text, as a form posts it and a database keeps it.
type Pair struct {
	Path finding.Path
	Text string
}

// FromPairs reads a brief from its keys, one after the other. A key without a text
// is left out; the items of a list come in the order in which they are first named.
// Places count the pairs as lines.
func FromPairs(name string, pairs []Pair) (*Brief, finding.Faults) {
	r := &reader{brief: &Brief{File: name}}
	root := &node{shape: blank, at: Place{1, 1}}
	place, items := map[finding.Path]int{}, map[finding.Path]int{}
	for i, p := range pairs[:min(len(pairs), mostLines)] {
		e := edit{at: Place{i + 1, 1}}
		if strings.TrimSpace(p.Text) == "" {
			continue
		}
		way, bad := r.way(p.Path)
		var list finding.Path
		for k := range way {
			if way[k].item < 0 {
				list = list.Key(way[k].key)
				continue
			}
			item := list.Item(way[k].item)
			if _, met := place[item]; !met {
				place[item] = items[list]
				items[list]++
			}
			way[k].item, list = place[item], item
		}
		var n *node
		if bad == nil {
			n, bad = e.typed(p.Text, way)
		}
		if bad != nil {
			r.tell(p.Path, e.at, bad)
			continue
		}
		root = e.put(nil, root, definition(), way, n)
	}
	if len(pairs) > mostLines {
		r.tell("", Place{mostLines, 1}, fault("brief.fault.crowded", "Of", finding.Word("brief.word.lines")))
	}
	r.brief.doc, r.brief.file, r.faults = root, r.faults, nil
	return r.all()
}

// Set gives the brief in which a key has another text, and all faults of it. What
// is not there yet is added: a section, the next item of a list ("shelf[2].label"
// where the shelf has two), a name of a table. A key that takes more than a text
// reads it as YAML in brackets ("[4 ft, 8 ft]", "{heads: 8, crop: basil}"). No text
// takes the key away, with all that is in it. The brief itself stays as it is. Where
// the path is none, or the file could not be read, there is no new brief: it is nil,
// and the faults say why.
func (b *Brief) Set(path finding.Path, text string) (*Brief, finding.Faults) {
	return b.edit(path, func(e edit, root *node, way []stop) (*node, *finding.Fault) {
		if strings.TrimSpace(text) == "" {
			if root = e.put(nil, root, definition(), way, nil); root == nil {
				root = &node{shape: blank, at: Place{1, 1}}
			}
			return root, nil
		}
		n, bad := e.typed(text, way)
		if bad != nil {
			return nil, bad
		}
		return e.put(nil, root, definition(), way, n), nil
	})
}

// Add gives the brief with one more item in a list, before the one that the path
// names ("shelf[0]": as the first). The text is as for Set; none adds an item that
// has nothing in it yet.
func (b *Brief) Add(path finding.Path, text string) (*Brief, finding.Faults) {
	return b.edit(path, func(e edit, root *node, way []stop) (*node, *finding.Fault) {
		last := way[len(way)-1]
		if strings.TrimSpace(text) == "" && last.s.class == items {
			text = "{}"
		}
		if last.item < 0 || strings.TrimSpace(text) == "" {
			return nil, noItem(path)
		}
		n, bad := e.typed(text, way)
		if bad != nil {
			return nil, bad
		}
		e.insert = true
		return e.put(nil, root, definition(), way, n), nil
	})
}

// Move gives the brief in which an item of a list, or a name of a table, stands at
// another place of it, counted from 0.
func (b *Brief) Move(path finding.Path, to int) (*Brief, finding.Faults) {
	return b.edit(path, func(e edit, root *node, way []stop) (*node, *finding.Fault) {
		last := len(way) - 1
		list, _ := root.walk(way[:last])
		at := list.find(way[last])
		if last < 1 || at < 0 || to < 0 || to >= len(list.kids) || way[last].item < 0 && way[last-1].s.class != table {
			return nil, noItem(path)
		}
		moved := *list
		moved.kids = slices.Insert(slices.Delete(slices.Clone(list.kids), at, at+1), to, list.kids[at])
		moved.tidy()
		e.whole = true
		return e.put(nil, root, definition(), way[:last], &moved), nil
	})
}

func noItem(path finding.Path) *finding.Fault {
	return fault("brief.fault.no_item", "Path", clip(string(path)))
}

// edit is one change of a document.
type edit struct {
	at     Place // of what is new
	quoted bool  // the document is JSON
	insert bool  // what is put goes before what is there
	whole  bool  // what is put is a node of the document with all its signs
}

// edit does one change.
func (b *Brief) edit(path finding.Path, change func(e edit, root *node, way []stop) (*node, *finding.Fault)) (*Brief, finding.Faults) {
	r := &reader{brief: b, faults: b.file}
	if b.doc == nil { // the file cannot be read
		if len(b.file) == 0 {
			r.tell("", Place{}, fault("brief.fault.unreadable")) // made by hand
		}
		return nil, r.told()
	}
	r.faults = nil
	way, bad := r.way(path)
	if bad == nil && !b.doc.reaches(way) {
		bad = noItem(path)
	}
	if bad == nil {
		at := b.PlaceOf(path)
		e := edit{at: Place{max(1, at.Line), max(1, at.Column)}, quoted: b.doc.flow}
		var root *node
		if root, bad = change(e, b.doc, way); bad == nil {
			return b.again(root, way)
		}
	}
	r.tell(path, b.PlaceOf(path), bad)
	return nil, r.told()
}

// stop is one step of a path, with the key that it leads to.
type stop struct {
	step
	s *spec
}

// way finds the keys of a path. An item of a list of groups has the key of the
// list; a name of a table, an item of a list of values and each of two lengths are
// single values.
func (r *reader) way(path finding.Path) ([]stop, *finding.Fault) {
	var out []stop
	s, in := definition(), section
	way, rest := stepped(path)
	if rest != "" { // the list around a mistake is not what is meant
		return nil, noKey(path)
	}
	for _, st := range way {
		f := s
		switch {
		case st.item < 0 && in == section:
			if f = s.field(st.key); f == nil {
				return nil, unknown(s, st.key)
			}
			in = f.class
			if f.pair() {
				in = values
			}
		case st.item >= 0 && in == items:
			in = section
		case st.item < 0 && in == table, st.item >= 0 && in == values:
			one := *s
			one.class, one.single = scalar, true
			f, in = &one, scalar
		default:
			return nil, noKey(path)
		}
		s = f
		out = append(out, stop{st, f})
	}
	if len(out) == 0 {
		return nil, noKey(path)
	}
	return out, nil
}

func noKey(path finding.Path) *finding.Fault {
	return fault("brief.fault.no_key", "Path", clip(string(path)))
}

// pair tells whether a key takes two lengths.
func (s *spec) pair() bool { return s.class == scalar && !s.single && s.typ == reflect.TypeFor[Size]() }

// typed makes the node of a text that was typed for a key.
func (e edit) typed(text string, way []stop) (*node, *finding.Fault) {
	text, strange := plain([]byte(text))
	for _, st := range way { // a name of a table
		if strange == nil {
			_, strange = plain([]byte(st.key))
		}
	}
	if strange != nil {
		return nil, strange.Fault
	}
	text = strings.TrimSpace(text)
	s := way[len(way)-1].s
	if (s.class != scalar || s.pair()) && (text[0] == '{' || text[0] == '[') {
		r := &reader{brief: &Brief{}}
		if crowded(text) == nil {
			if n := r.document(text); n != nil && len(r.faults) == 0 {
				return e.graft(n), nil
			}
		}
		return nil, isNot(s, text)
	}
	return &node{shape: leaf, text: text, raw: written(text, e.quoted), at: e.at}, nil
}

// graft writes a node anew, in brackets, without the signs that it came with.
func (e edit) graft(n *node) *node {
	out := &node{shape: n.shape, raw: n.raw}
	if n.shape == group || n.shape == list {
		out = holds(n.shape, true, 0)
	}
	out.key, out.text, out.odd, out.at = n.key, n.text, n.odd, n.at
	if e.at != (Place{}) {
		out.at = e.at
	}
	out.keyAt = out.at
	if n.shape == leaf {
		out.raw = written(n.text, e.quoted)
	}
	for _, k := range n.kids {
		k = e.graft(k)
		out.settle(k, true, e.quoted)
		out.kids = append(out.kids, k)
	}
	return out
}

// find gives which kid a step leads to, -1 if it is not there.
func (n *node) find(st stop) int {
	switch {
	case n == nil:
	case st.item >= 0 && n.shape == list && st.item < len(n.kids):
		return st.item
	case st.item < 0 && n.shape == group:
		return slices.IndexFunc(n.kids, func(k *node) bool { return k.key == st.key && !k.odd })
	}
	return -1
}

// walk gives the node at the end of a way, nil where it was not written.
func (n *node) walk(way []stop) (*node, bool) {
	for _, st := range way {
		i := n.find(st)
		if i < 0 {
			return nil, false
		}
		n = n.kids[i]
	}
	return n, true
}

// reaches tells whether no item of a way lies behind the next one of its list.
func (n *node) reaches(way []stop) bool {
	for _, st := range way {
		if st.item > 0 && n.find(st) < 0 {
			bare := n != nil && n.shape == leaf && st.item == 1
			return bare || n != nil && n.shape == list && st.item == len(n.kids)
		}
		if i := n.find(st); i >= 0 {
			n = n.kids[i]
		} else if n == nil || n.shape != leaf {
			n = nil
		}
	}
	return true
}

// stands tells whether a bare value stands for the key of a group, or for the only
// item of a list.
func (st stop) stands(n *node, s *spec) bool {
	return n.shape == leaf && (st.item < 0 && s.short == st.key || st.item == 0 && s.class == values)
}

// put gives a node of a parent with another one at the end of a way; nil takes it
// away, and is given where nothing is left of the node itself.
func (e edit) put(parent, n *node, s *spec, way []stop, what *node) *node {
	if len(way) == 0 || len(way) == 1 && way[0].stands(n, s) {
		if what == nil {
			return nil
		}
		out := *what
		out.key, out.keyAt, out.before = n.key, n.keyAt, n.before
		if !e.whole {
			out.after = n.rest()
		}
		return &out
	}
	st := way[0]
	i := n.find(st)
	if what == nil && i < 0 && !st.stands(n, s) {
		return n
	}
	out := e.container(parent, n, s, st)
	if i = out.find(st); i >= 0 && !(e.insert && len(way) == 1) {
		k := e.put(out, out.kids[i], st.s, way[1:], what)
		if k == nil {
			return out.drop(i)
		}
		if k == out.kids[i] {
			return n // nothing was there to take away
		}
		out.kids = slices.Clone(out.kids)
		out.kids[i] = k
		out.settle(k, false, e.quoted)
		return out
	}
	k := e.put(out, &node{key: st.key, keyAt: e.at, at: e.at}, st.s, way[1:], what)
	out.settle(k, true, e.quoted)
	if i < 0 {
		i = len(out.kids)
	}
	out.kids = slices.Insert(slices.Clone(out.kids), i, k)
	out.tidy()
	return out
}

// rest gives what stands behind a node on its line, or behind its key.
func (n *node) rest() string {
	if len(n.kids) > 0 && !n.flow {
		return n.open
	}
	return n.after
}

// container gives a copy of a node as the group or the list that a step needs. A
// bare value becomes what it stood for; what else was no group or list is lost.
func (e edit) container(parent, n *node, s *spec, st stop) *node {
	want := group
	if st.item >= 0 {
		want = list
	}
	if n.shape == want {
		out := *n
		if n.flow && n.open == "" { // one pair without braces, between the brackets of a list
			out.open, out.close = "{", "}"
		}
		return &out
	}
	if parent == nil { // the document itself: of one without a key only the notes stay
		var notes strings.Builder
		for line := range strings.Lines(n.before + n.raw + n.after) {
			if line = strings.TrimRight(line, " \n"); line == "" || line == "---" || line[0] == '#' {
				notes.WriteString(line + "\n")
			}
		}
		return &node{shape: group, before: notes.String(), at: n.at}
	}
	bare := n.shape == leaf && (s.short != "" || s.class == values)
	out := holds(want, parent.flow || bare || st.s.class == scalar && st.item >= 0, parent.indent+2)
	out.key, out.keyAt, out.at, out.before, out.after = n.key, n.keyAt, n.at, n.before, n.rest()
	if !out.flow {
		out.open, out.after = strings.TrimRight(out.after, "\n")+"\n", ""
		if parent.shape == list && out.open == "\n" {
			out.open = " "
		}
	}
	var kids []*node
	if bare {
		kids = []*node{{shape: leaf, key: s.short, text: n.text, at: n.at, keyAt: n.at}}
	} else if s.pair() {
		kids = n.two()
	}
	for _, k := range kids {
		k.raw = written(k.text, e.quoted)
		out.settle(k, true, e.quoted)
		out.kids = append(out.kids, k)
	}
	return out
}

// drop takes a kid away; a note above it that is parted from it by an empty line
// stays.
func (n *node) drop(i int) *node {
	gone := n.kids[i]
	key := gone.key
	n.kids = slices.Delete(slices.Clone(n.kids), i, i+1)
	for n.shape == group && n.find(stop{step: step{key, -1}}) >= 0 { // said twice
		j := n.find(stop{step: step{key, -1}})
		n.kids = slices.Delete(n.kids, j, j+1)
	}
	kept := n.kept(gone, i == 0)
	switch {
	case len(n.kids) == 0 && n.flow:
		n.close = n.close[len(n.close)-1:]
	case len(n.kids) == 0:
		n.shape, n.after, n.open, n.close = blank, n.open+kept+n.close+n.after, "", ""
	case i < len(n.kids):
		next := *n.kids[i]
		if next.before = kept + next.before; i == 0 && n.open != "" && !n.flow && !strings.HasSuffix(n.open, "\n") {
			next.before = strings.TrimLeft(next.before, " ") // behind the dash of an item
		}
		n.kids[i] = &next
	default:
		n.close = kept + n.close
	}
	n.tidy()
	return n
}

// kept gives the notes above a kid that do not belong to it.
func (n *node) kept(gone *node, first bool) string {
	lines := strings.SplitAfter(gone.before, "\n")
	last := len(lines) - 1                            // where the key stands
	for at := last; at >= 0 && gone.key != ""; at-- { // its value may stand on a line below it
		if strings.Contains(lines[at], gone.key) {
			last = at
			break
		}
	}
	if n.flow && !strings.Contains(gone.before, "#") {
		last = 0
	}
	if !n.flow && !(first && n.open == "") { // the head of the document stays
		for last > 0 && strings.HasPrefix(strings.TrimSpace(lines[last-1]), "#") {
			last--
		}
	}
	return strings.Join(lines[:last], "")
}

// tidy gives kids in brackets a space after each comma and none before the first.
func (n *node) tidy() {
	for i, k := range n.kids {
		if !n.flow || i > 1 && i < len(n.kids)-1 {
			continue
		}
		spaced := strings.HasPrefix(k.before, " ") || strings.HasPrefix(k.before, "\n")
		if bare := strings.TrimLeft(k.before, " "); i == 0 && bare != k.before && !strings.HasPrefix(bare, "\n") || i > 0 && !spaced {
			one := *k
			if one.before = bare; i > 0 {
				one.before = " " + bare
			}
			n.kids = slices.Clone(n.kids)
			n.kids[i] = &one
		}
	}
}
