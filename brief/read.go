package brief

import (
	"cmp"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/internal/inorder"
	"raftwright/unit"
)

// mostFaults is how many faults of one file are told; a file with more is not a
// brief at all.
const mostFaults = 500

// Parse reads a brief, YAML or JSON. It gives what was understood, and every
// fault that was found, in the order of the file; with faults the brief must not
// be planned from. The name is that of the file in messages. An empty file is an
// empty brief: every part is optional, the format version too (1 when left out).
//
// Files over 1 MB, anchors, aliases, tags and second documents are refused.
// Parse never panics and reads any input in bounded time.
func Parse(name string, data []byte) (*Brief, finding.Faults) {
	r := &reader{brief: &Brief{File: name}}
	text, bad := guard(data)
	if bad != nil {
		r.tell("", bad.at, bad.Fault)
	} else {
		r.brief.doc = r.document(text)
	}
	r.brief.file, r.faults = r.faults, nil
	return r.all()
}

// Encode writes the brief as it was read, with its changes: YAML that keeps the
// order and the notes of the file it came from, JSON where that was JSON. Parse of
// it gives the same brief.
func (b *Brief) Encode() []byte {
	if b.doc == nil {
		return nil
	}
	var out strings.Builder
	b.doc.write(&out)
	return []byte(out.String())
}

type reader struct {
	brief  *Brief
	faults finding.Faults
	full   bool
	scale  string // of the ppm that this file's meter shows: "500", "640", "700"; "" where it is not said
}

// tell keeps a fault of a path, with its place.
func (r *reader) tell(path finding.Path, at Place, f *finding.Fault) {
	if r.full = len(r.faults) >= mostFaults; r.full {
		return
	}
	f.Path, f.File, f.Line, f.Column = path, r.brief.File, max(1, at.Line), max(1, at.Column)
	r.faults = append(r.faults, *f)
}

// all reads every key of the document.
func (r *reader) all() (*Brief, finding.Faults) {
	b := r.brief
	if root := b.doc; root != nil && root.shape != blank {
		r.scale = statedScale(root)
		r.group(root, reflect.ValueOf(b).Elem(), definition(), "", root.at)
	}
	return r.checked()
}

// again gives a brief with another document that differs at the end of a way. What
// the change does not touch is not read again: the group around it is, or the
// whole list where its items moved.
func (b *Brief) again(root *node, way []stop) (*Brief, finding.Faults) {
	if root == b.doc {
		return b, b.Faults()
	}
	next := *b
	next.doc = root
	r := &reader{brief: &next}
	if way[0].key == "meter" || len(b.keys) >= mostFaults || root.shape != group || b.doc.shape != group { // it says how others are read
		r.brief = &Brief{File: b.File, doc: root, file: b.file}
		return r.all()
	}
	r.scale = statedScale(root)
	v, s, path := reflect.ValueOf(&next).Elem(), way[0].s, finding.Path("").Key(way[0].key)
	v = v.FieldByIndex(s.index)
	n, old, done := root.kid(way[0].key), b.doc.kid(way[0].key), 1
	for i, st := range way[1:max(1, len(way)-1)] { // as deep as a group stands in both
		k, o := n.find(st), old.find(st)
		if k < 0 || o < 0 || len(n.kids) != len(old.kids) && st.item >= 0 {
			break
		}
		if n, old = n.kids[k], old.kids[o]; n.shape != old.shape || n.shape == leaf {
			break
		}
		if n.shape == group && (st.s.class == section || st.s.class == items) {
			done = i + 2
		}
	}
	in := root // the group or list around it
	n = root.kid(way[0].key)
	for _, st := range way[1:done] {
		in = n
		n, _ = n.walk([]stop{st})
		if st.item < 0 {
			v, s, path = v.FieldByIndex(st.s.index), st.s, path.Key(st.key)
			continue
		}
		v.Set(reflect.AppendSlice(reflect.MakeSlice(v.Type(), 0, v.Len()), v)) // the old brief keeps its own
		v, path = v.Index(st.item), path.Item(st.item)
	}
	v.SetZero()
	for _, f := range b.keys {
		if !f.Path.Under(path) {
			r.faults = append(r.faults, f)
		}
	}
	for _, k := range in.kids {
		if k.key == way[done-1].key && k.twice.Line > 0 {
			r.sound(k, path)
		}
	}
	switch {
	case n == nil:
	case way[done-1].item >= 0:
		r.item(n, v, s, path)
	default:
		r.value(n, v, s, path)
	}
	return r.checked()
}

// checked looks at the keys together, and gives the brief with all its faults.
func (r *reader) checked() (*Brief, finding.Faults) {
	r.brief.keys = slices.Clip(r.faults)
	r.brief.nameShelf()
	r.brief.numberMonths()
	r.brief.settleCurrency()
	return r.brief, r.brief.Faults()
}

// Faults gives every fault of the brief in the order of the file.
func (b *Brief) Faults() finding.Faults {
	r := &reader{brief: b, faults: slices.Concat(b.file, b.keys)}
	if b.doc != nil && b.doc.shape != blank {
		check(r)
	}
	return r.told()
}

// told gives the faults in the order of the file.
func (r *reader) told() finding.Faults {
	if len(r.faults) == 0 {
		return nil
	}
	out := slices.Clone(r.faults)
	inorder.Put(out, func(a, b finding.Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if len(out) >= mostFaults {
		more := out[mostFaults-1]
		more.ID, more.Path, more.Args, more.Right = "brief.fault.more", "", nil, ""
		return append(out[:mostFaults:mostFaults], more)
	}
	return out
}

// refuse tells what a node is that no key wants.
func (r *reader) refuse(n *node, path finding.Path, wanted any, example finding.AnyOf) {
	bad := fault("brief.fault.shape", "Wanted", wanted, "Example", example)
	switch n.shape {
	case anchor:
		bad = fault("brief.fault.anchor")
	case tag:
		bad = fault("brief.fault.tag")
	case group:
		bad.Args["Is"] = finding.Word("brief.word.group")
	case list:
		bad.Args["Is"] = finding.Word("brief.word.list")
	default:
		bad = fault("brief.fault.not", "Text", clip(n.text), "Wanted", wanted, "Example", example)
	}
	if example == nil {
		bad.Right = "right.brief.fault.list"
	}
	r.tell(path, n.at, bad)
}

// group fills a struct from a group of keys.
func (r *reader) group(n *node, into reflect.Value, s *spec, path finding.Path, at Place) {
	if n.shape != group {
		r.refuse(n, path, finding.Word("brief.word.group"), finding.AnyOf{s.fields[0].key + ": " + s.fields[0].eg})
		return
	}
	if sec := into.FieldByName("Section"); sec.IsValid() {
		sec.Set(reflect.ValueOf(Section{Given: true, At: at}))
	}
	for _, k := range n.kids {
		if r.full {
			return
		}
		in := path.Key(k.key)
		f := s.field(k.key)
		switch {
		case r.sound(k, in) && f == nil:
			r.tell(in, k.keyAt, unknown(s, k.key))
		case f != nil && !k.odd && k.twice.Line == 0:
			r.value(k, into.FieldByIndex(f.index), f, in)
		}
	}
	for _, f := range s.fields {
		if h, is := into.FieldByIndex(f.index).Addr().Interface().(holder); is && f.need {
			if _, _, place := h.parts(); place.Line == 0 {
				r.tell(path.Key(f.key), at, fault("brief.fault.missing", "Key", f.key, "Example", f.eg))
			}
		}
	}
}

// sound tells whether a key is a plain one that was not said before.
func (r *reader) sound(k *node, path finding.Path) bool {
	switch {
	case k.odd:
		r.tell(path, k.keyAt, fault("brief.fault.odd_key"))
	case k.twice.Line > 0:
		r.tell(path, k.keyAt, fault("brief.fault.twice", "Key", clip(k.key), "Line", k.twice.Line))
	default:
		return true
	}
	return false
}

// unknown suggests the nearest key, or the section that the key belongs to.
func unknown(s *spec, key string) *finding.Fault {
	bad := fault("brief.fault.unknown", "Key", clip(key), "Group", s.key, "Keys", finding.AnyOf(s.keys()), "Near", "", "Section", "")
	for _, other := range definition().fields {
		if other != s && other.class == section && other.field(key) != nil {
			bad.Args["Section"] = other.key
			break
		}
	}
	if near := unit.Near(key, s.keys()); near != "" && (bad.Args["Section"] == "" || strings.EqualFold(near, key)) {
		bad.Args["Near"] = near
	}
	for _, f := range s.fields {
		if slices.Contains(f.called, strings.ToLower(key)) {
			bad.Args["Near"] = f.key
		}
	}
	return bad
}

// value fills one field of a struct.
func (r *reader) value(n *node, into reflect.Value, s *spec, path finding.Path) {
	if n.shape == blank {
		return
	}
	switch s.class {
	case scalar:
		r.scalar(n, into.Addr().Interface().(holder), s, path)
	case section:
		r.item(n, into, s, path)
	case values, items:
		r.list(n, into, s, path)
	case table:
		r.table(n, into, s, path)
	}
}

// scalar reads one value and checks its range.
func (r *reader) scalar(n *node, into holder, s *spec, path finding.Path) {
	value, given, at := into.parts()
	*at = n.at
	if s.pair() {
		r.size(n, value, given, s, path)
		return
	}
	v, ok := r.one(n, s, path)
	if ok {
		value.Set(reflect.ValueOf(v))
		*given = true
	}
}

// one reads the text of a single value.
func (r *reader) one(n *node, s *spec, path finding.Path) (any, bool) {
	if n.shape != leaf {
		r.refuse(n, path, s.form.wanted(), s.examples())
		return nil, false
	}
	v, bad := r.understood(n.text, s)
	if bad != nil {
		r.tell(path, n.at, bad)
	}
	return v.Value, bad == nil
}

// understood gives what is meant by a text, a conductivity in ppm too.
func (r *reader) understood(text string, s *spec) (sense, *finding.Fault) {
	plain, bad := inEC(s, text, r.scale)
	if bad != nil {
		return sense{}, bad
	}
	return understood(s, plain)
}

// size reads two lengths: a list of them, or "4 ft x 8 ft".
func (r *reader) size(n *node, value reflect.Value, given *bool, s *spec, path finding.Path) {
	two := n.two()
	switch {
	case n.shape != list && two == nil:
		r.refuse(n, path, s.form.wanted(), s.examples())
		return
	case len(two) != 2:
		r.tell(path, n.at, fault("brief.fault.pair", "Count", len(two), "Example", s.examples()))
		return
	}
	x, sound := r.one(two[0], s, path.Item(0))
	y, also := r.one(two[1], s, path.Item(1))
	if sound && also {
		value.Set(reflect.ValueOf(Size{x.(unit.Length), y.(unit.Length)}))
		*given = true
	}
}

// outside tells whether a value lies outside its sensible range.
func outside(s *spec, written string, v any) *finding.Fault {
	if s.most.text == "" || s.form.measure == nil {
		return nil
	}
	x, dust := s.form.measure(v), 1e-9 // a bound in other units is the bound all the same
	low, high := s.least.value-dust*math.Abs(s.least.value), s.most.value+dust*math.Abs(s.most.value)
	if x >= low && x <= high && !(s.least.open && x <= s.least.value) {
		return nil
	}
	if s.key == "raftwright" {
		return fault("brief.fault.version", "Text", clip(written), "Version", Version)
	}
	least, most := s.least.text, s.most.text
	if s.typ == reflect.TypeFor[unit.Temperature]() && strings.HasSuffix(strings.TrimSpace(written), "F") { // the bounds on the scale that is read
		least, most = inFahrenheit(s.least.value), inFahrenheit(s.most.value)
	}
	bad := fault("brief.fault.range", "Text", clip(written), "Least", least, "Most", most, "Open", s.least.open, "Hot", fahrenheit(s, written), "Example", s.examples())
	if s.form.kind == "amount" || s.form.kind == "dose" {
		bad.Right = "right.brief.fault.carry"
	}
	return bad
}

func inFahrenheit(celsius float64) string {
	return strconv.FormatFloat(math.Round(unit.Temperature(celsius).Fahrenheit()*10)/10, 'f', -1, 64) + " F"
}

// fahrenheit gives the same number in degrees Fahrenheit where that would make
// sense of a temperature written in C.
func fahrenheit(s *spec, written string) string {
	if s.typ != reflect.TypeFor[unit.Temperature]() {
		return ""
	}
	cut := strings.TrimSuffix(strings.TrimSpace(written), "C")
	if cut == strings.TrimSpace(written) {
		return ""
	}
	other := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(cut), "°")) + " F"
	if v, err := unit.ParseTemperature(other); err == nil && float64(v) >= s.least.value && float64(v) <= s.most.value {
		return other
	}
	return ""
}

// list fills a slice of values or of groups.
func (r *reader) list(n *node, into reflect.Value, s *spec, path finding.Path) {
	nodes := []*node{n}
	if n.shape == list {
		nodes = n.kids
	} else if s.class == items || s.typ != reflect.TypeFor[string]() {
		r.refuse(n, path, finding.Word("brief.word.list"), nil)
		return
	}
	if len(nodes) > s.max {
		r.tell(path, n.at, fault("brief.fault.too_many", "Count", len(nodes), "Most", s.max))
		return
	}
	out := reflect.MakeSlice(into.Type(), len(nodes), len(nodes))
	for i, item := range nodes {
		switch at := path.Item(i); {
		case item.shape == blank:
			r.tell(at, item.at, fault("brief.fault.item"))
		case s.class == values:
			r.scalar(item, out.Index(i).Addr().Interface().(holder), s, at)
		default:
			r.item(item, out.Index(i), s, at)
		}
	}
	into.Set(out)
}

// item reads one group, or the bare value that stands for it.
func (r *reader) item(n *node, into reflect.Value, s *spec, path finding.Path) {
	at := n.keyAt
	if n.shape == leaf && s.short != "" {
		f := s.field(s.short)
		into.FieldByName("Section").Set(reflect.ValueOf(Section{Given: true, At: n.at}))
		r.scalar(n, into.FieldByIndex(f.index).Addr().Interface().(holder), f, path)
		return
	}
	r.group(n, into, s, path, at)
}

// table fills a table of the user's own names.
func (r *reader) table(n *node, into reflect.Value, s *spec, path finding.Path) {
	if n.shape != group {
		r.refuse(n, path, finding.Word("brief.word.names"), finding.AnyOf{s.key + ": {complete fertilizer: " + s.eg + "}"})
		return
	}
	if len(n.kids) > s.max {
		r.tell(path, n.at, fault("brief.fault.too_many", "Count", len(n.kids), "Most", s.max))
		return
	}
	for _, k := range n.kids {
		in := path.Key(k.key)
		if k.shape == blank || !r.sound(k, in) {
			continue
		}
		name := strings.TrimSpace(k.key)
		if name == "" || len(name) > longestText {
			r.tell(in, k.keyAt, fault("brief.fault.name"))
			continue
		}
		if bad := strange(name, false); bad != nil {
			r.tell(in, k.keyAt, bad)
			continue
		}
		one := reflect.New(into.Type().Elem()).Elem()
		one.Field(0).SetString(name)
		named := *s
		named.key, named.single = name, true
		r.scalar(k, one.Field(1).Addr().Interface().(holder), &named, in)
		into.Set(reflect.Append(into, one))
	}
}
