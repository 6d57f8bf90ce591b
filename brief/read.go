package brief

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"raftwright/finding"
	"raftwright/unit"
)

// mostFaults is how many faults of one file are told; a file with more is not a
// brief at all.
const mostFaults = 500

// fault is a fault before it knows the name of its file.
type fault struct {
	at Place
	wrong
}

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
		r.fault(bad.at, bad.what, bad.right)
		return r.brief, r.told()
	}
	if root, ok := r.document(text); ok && root != nil {
		r.scale = statedScale(root)
		r.group(root, reflect.ValueOf(r.brief).Elem(), definition(), start(root))
		check(r)
	}
	return r.brief, r.told()
}

type reader struct {
	brief  *Brief
	faults []fault
	full   bool
	scale  string // of the ppm that this file's meter shows: "500", "640", "700"; "" where it is not said
}

func (r *reader) fault(at Place, what, right string) {
	if len(r.faults) >= mostFaults {
		r.full = true
		return
	}
	at = Place{max(1, at.Line), max(1, at.Column)}
	r.faults = append(r.faults, fault{at, wrong{what, right}})
}

// told gives the faults in the order of the file.
func (r *reader) told() finding.Faults {
	out := make(finding.Faults, 0, len(r.faults))
	sortFaults(r.faults)
	for _, f := range r.faults {
		out = append(out, r.brief.Fault(f.at, f.what, f.right))
	}
	if r.full {
		out = append(out, r.brief.Fault(r.faults[len(r.faults)-1].at, "and more faults than can be told", "mend these first"))
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// refuse tells what a node is that no key wants.
func (r *reader) refuse(s *spec, n ast.Node, wanted, right string) {
	at := start(n)
	switch n.(type) {
	case *ast.AnchorNode, *ast.AliasNode:
		r.fault(at, "anchors (&) and aliases (*) are not used in a brief", "write the value itself; put a text with & or * between quotes")
	case *ast.TagNode:
		r.fault(at, "tags (!) are not used in a brief", "write the value itself; put a text with ! between quotes")
	case *ast.MappingNode, *ast.MappingValueNode:
		r.fault(at, s.key+" is a group of keys, where "+wanted+" is wanted", right)
	case *ast.SequenceNode:
		r.fault(at, s.key+" is a list, where "+wanted+" is wanted", right)
	default:
		written, _ := text(n)
		r.fault(at, fmt.Sprintf("%s %q stands where %s is wanted", s.key, clip(written), wanted), right)
	}
}

// group fills a struct from a group of keys.
func (r *reader) group(n ast.Node, into reflect.Value, s *spec, at Place) {
	pairs, ok := r.pairs(n)
	if !ok {
		right := "write key: value lines; the first could be " + s.fields[0].key + ": " + s.fields[0].eg
		if s.key == "" {
			s = &spec{key: "the brief"}
		}
		r.refuse(s, n, "a group of keys", right)
		return
	}
	if sec := into.FieldByName("Section"); sec.IsValid() {
		sec.Set(reflect.ValueOf(Section{Given: true, At: at}))
	}
	for _, p := range pairs {
		if r.full {
			return
		}
		f := s.field(p.key)
		if f == nil {
			r.unknown(s, p)
			continue
		}
		r.value(p, into.FieldByIndex(f.index), f)
	}
	for _, f := range s.fields {
		if h, is := into.FieldByIndex(f.index).Addr().Interface().(holder); is && f.need {
			if _, _, place := h.parts(); place.Line == 0 {
				r.fault(at, s.key+": "+f.key+" is missing", "add for example "+f.key+": "+f.eg)
			}
		}
	}
}

// unknown suggests the nearest key, or the section that the key belongs to.
func (r *reader) unknown(s *spec, p pair) {
	where := "the brief has"
	if s.key != "" {
		where = s.key + " has"
	}
	what := fmt.Sprintf("%s no key %q", where, clip(p.key))
	home := ""
	for _, other := range definition().fields {
		if other != s && other.class == section && other.field(p.key) != nil {
			home = other.key
			break
		}
	}
	near := unit.Near(p.key, s.keys())
	switch {
	case near != "" && (home == "" || strings.EqualFold(near, p.key)):
		r.fault(p.at, what, "did you mean "+near+"?")
	case home != "":
		r.fault(p.at, what, fmt.Sprintf("%s belongs to the section %s", p.key, home))
	default:
		r.fault(p.at, what, "its keys are "+list(s.keys()))
	}
}

// value fills one field of a struct.
func (r *reader) value(p pair, into reflect.Value, s *spec) {
	if empty(p.value) {
		return
	}
	switch s.class {
	case scalar:
		r.scalar(p.value, into.Addr().Interface().(holder), s)
	case section:
		if _, bare := text(p.value); bare && s.short != "" {
			r.item(p.value, into, s)
			return
		}
		r.group(p.value, into, s, p.at)
	case values, items:
		r.list(p.value, into, s)
	case table:
		r.table(p.value, into, s)
	}
}

// scalar reads one value and checks its range.
func (r *reader) scalar(n ast.Node, into holder, s *spec) {
	value, given, at := into.parts()
	*at = start(n)
	if s.typ == reflect.TypeFor[Size]() {
		r.size(n, value, given, s)
		return
	}
	written, ok := text(n)
	if !ok {
		r.refuse(s, n, s.form.wanted, forExample(s))
		return
	}
	plain, bad := r.inEC(s, written)
	var v any
	if bad == nil {
		v, bad = s.form.read(s, plain)
	}
	if bad == nil {
		bad = outside(s, written, v)
	}
	if bad != nil {
		r.fault(*at, bad.what, bad.right)
		return
	}
	value.Set(reflect.ValueOf(v))
	*given = true
}

// size reads two lengths.
func (r *reader) size(n ast.Node, value reflect.Value, given *bool, s *spec) {
	seq, ok := n.(*ast.SequenceNode)
	if !ok {
		r.refuse(s, n, s.form.wanted+" in brackets", forExample(s))
		return
	}
	if len(seq.Values) != 2 {
		r.fault(start(n), fmt.Sprintf("%s has %d values, where two are wanted", s.key, len(seq.Values)), forExample(s))
		return
	}
	var both [2]unit.Length
	sound := true
	for i, item := range seq.Values {
		written, ok := text(item)
		if !ok {
			r.refuse(s, item, "a length", forExample(s))
			sound = false
			continue
		}
		v, bad := s.form.read(s, written)
		if bad == nil {
			bad = outside(s, written, v)
		}
		if bad != nil {
			r.fault(start(item), bad.what, bad.right)
			sound = false
			continue
		}
		both[i] = v.(unit.Length)
	}
	if sound {
		value.Set(reflect.ValueOf(Size{both[0], both[1]}))
		*given = true
	}
}

// outside tells whether a value lies outside its sensible range.
func outside(s *spec, written string, v any) *wrong {
	if s.most.text == "" || s.form.measure == nil {
		return nil
	}
	x, dust := s.form.measure(v), 1e-9 // a bound in other units is the bound all the same
	low, high := s.least.value-dust*math.Abs(s.least.value), s.most.value+dust*math.Abs(s.most.value)
	if x >= low && x <= high && !(s.least.open && x <= s.least.value) {
		return nil
	}
	if s.key == "raftwright" {
		return &wrong{"raftwright " + clip(written) + " is a format that this program does not know", fmt.Sprintf("write raftwright: %d", Version)}
	}
	right := "give a value from " + s.least.text + " to " + s.most.text
	if s.least.open {
		right = "give more than " + s.least.text + ", up to " + s.most.text
	}
	if s.typ == reflect.TypeFor[Amount]() {
		right = "give an amount that a person can carry, for example " + s.eg
	}
	if hot := fahrenheit(s, written); hot != "" {
		right += "; if it is degrees Fahrenheit, write " + hot
	}
	return &wrong{fmt.Sprintf("%s %s is out of range", s.key, clip(written)), right}
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
func (r *reader) list(n ast.Node, into reflect.Value, s *spec) {
	nodes := []ast.Node{n}
	if seq, is := n.(*ast.SequenceNode); is {
		nodes = seq.Values
	} else if s.class == items || s.typ != reflect.TypeFor[string]() {
		r.refuse(s, n, "a list", "write - before each item, or [ ] around them")
		return
	}
	if len(nodes) > s.max {
		r.fault(start(n), fmt.Sprintf("%s has %d items", s.key, len(nodes)), fmt.Sprintf("write at most %d", s.max))
		return
	}
	out := reflect.MakeSlice(into.Type(), 0, len(nodes))
	for _, item := range nodes {
		if empty(item) {
			continue
		}
		one := reflect.New(into.Type().Elem()).Elem()
		if s.class == values {
			r.scalar(item, one.Addr().Interface().(holder), s)
		} else {
			r.item(item, one, s)
		}
		out = reflect.Append(out, one)
	}
	into.Set(out)
}

// item reads one group of a list, or the bare value that stands for it.
func (r *reader) item(n ast.Node, into reflect.Value, s *spec) {
	if _, bare := text(n); bare && s.short != "" {
		f := s.field(s.short)
		into.FieldByName("Section").Set(reflect.ValueOf(Section{Given: true, At: start(n)}))
		r.scalar(n, into.FieldByIndex(f.index).Addr().Interface().(holder), f)
		return
	}
	r.group(n, into, s, start(n))
}

// table fills a table of the user's own names.
func (r *reader) table(n ast.Node, into reflect.Value, s *spec) {
	pairs, ok := r.pairs(n)
	if !ok {
		r.refuse(s, n, "a group of names", "write name: "+s.eg)
		return
	}
	if len(pairs) > s.max {
		r.fault(start(n), fmt.Sprintf("%s has %d names", s.key, len(pairs)), fmt.Sprintf("write at most %d", s.max))
		return
	}
	for _, p := range pairs {
		if empty(p.value) {
			continue
		}
		name := strings.TrimSpace(p.key)
		if name == "" || len(name) > longestText {
			r.fault(p.at, s.key+" has a name that is empty or too long", "write a short name before the colon")
			continue
		}
		one := reflect.New(into.Type().Elem()).Elem()
		one.Field(0).SetString(name)
		named := *s
		named.key = name
		r.scalar(p.value, one.Field(1).Addr().Interface().(holder), &named)
		into.Set(reflect.Append(into, one))
	}
}
