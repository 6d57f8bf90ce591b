package brief

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"sync"

	"raftwright/finding"
)

// class says how a key's value is written.
type class int

const (
	scalar  class = iota // one value
	section              // a group of keys
	values               // a list of values
	items                // a list of groups
	table                // names of the user's own, each with a value
)

// spec is what the definition says about one key, read from the struct tags.
type spec struct {
	key, path string // the path in the definition: "shelf[].label"
	help      string // the path at which its meaning stands
	eg, si    string
	assumed   []string // the assumptions that are made when it is left out
	words     []string
	called    []string // other names that people write for the key
	forms     []string
	least     limit
	most      limit
	max       int
	short     string
	per       string
	first     bool
	need      bool
	noMeq     bool
	ranges    bool // a range may be written
	moles     bool // a dose may be in moles
	single    bool // one value of a table, of a list of values or of two lengths

	class  class
	index  []int        // of the struct field, through embedded structs
	typ    reflect.Type // of the value; of one item for lists and tables
	form   form
	fields []*spec // of a section or of an item, in the order of the definition
}

// limit is one end of the sensible range.
type limit struct {
	text  string
	value float64
	open  bool // the value itself is not allowed
}

// field finds the spec of a key.
func (s *spec) field(key string) *spec {
	for _, f := range s.fields {
		if f.key == key {
			return f
		}
	}
	return nil
}

func (s *spec) keys() []string {
	out := make([]string, 0, len(s.fields))
	for _, f := range s.fields {
		out = append(out, f.key)
	}
	return out
}

// examples are what a value could look like.
func (s *spec) examples() finding.AnyOf {
	switch {
	case s.form.as != nil:
		return s.form.as
	case s.si != "" && s.si != s.eg:
		return finding.AnyOf{s.eg, s.si}
	}
	return finding.AnyOf{s.eg}
}

// in gives the example for one unit system.
func (s *spec) in(u Units) string {
	if u == Metric && s.si != "" {
		return s.si
	}
	return s.eg
}

// holder is any *Field[T].
type holder interface {
	parts() (value reflect.Value, given *bool, at *Place)
}

func (f *Field[T]) parts() (reflect.Value, *bool, *Place) {
	return reflect.ValueOf(&f.Value).Elem(), &f.Given, &f.At
}

var (
	holderType  = reflect.TypeFor[holder]()
	sectionType = reflect.TypeFor[Section]()
)

// definition is the whole format, compiled once from the struct tags of Brief.
// A tag that does not make sense is a programmer's mistake and panics; the
// tests compile it.
var definition = sync.OnceValue(func() *spec {
	s := &spec{class: section, typ: reflect.TypeFor[Brief]()}
	s.fields = s.compile(s.typ, nil)
	return s
})

// compile gives the keys of a group from the fields of its type.
func (s *spec) compile(t reflect.Type, index []int) []*spec {
	var out []*spec
	for i := range t.NumField() {
		f := t.Field(i)
		at := append(append([]int(nil), index...), i)
		switch {
		case f.Anonymous && f.Type != sectionType:
			out = append(out, s.compile(f.Type, at)...)
		case f.Tag.Get("key") != "":
			out = append(out, s.compileField(f, at))
		}
	}
	return out
}

func (in *spec) compileField(f reflect.StructField, index []int) *spec {
	tag := f.Tag.Get
	s := &spec{key: tag("key"), eg: tag("eg"), si: tag("si"), short: tag("short"), per: tag("per"),
		first: tag("first") != "", need: tag("need") != "", noMeq: tag("meq") == "no", ranges: tag("span") != "", moles: tag("moles") != "", index: index}
	if w := tag("words"); w != "" {
		s.words = strings.Split(w, "|")
	}
	if w := tag("called"); w != "" {
		s.called = strings.Split(w, "|")
	}
	if w := tag("forms"); w != "" {
		s.forms = strings.Split(w, "|")
	}
	if m := tag("max"); m != "" {
		s.max = must(strconv.Atoi(m))
	}
	s.class, s.typ = classOf(f.Type)
	s.path, s.help = strings.TrimPrefix(in.path+"."+s.key, "."), strings.TrimPrefix(in.help+"."+s.key, ".")
	if e := tag("else"); e != "" && strings.ReplaceAll(s.path, "[]", "") == s.help {
		s.assumed = strings.Split(e, "|")
	}
	if s.class == section || s.class == items {
		group := *s // as the keys in it see it
		if s.class == items {
			group.path += "[]"
		}
		if like := tag("like"); like != "" {
			group.help = like
		}
		s.fields = group.compile(s.typ, nil)
		return s
	}
	s.form = formOf(s.typ)
	if r := tag("range"); r != "" {
		least, most, _ := strings.Cut(r, "..")
		least, open := strings.CutPrefix(least, ">")
		s.least = limit{least, must(s.form.bound(least)), open}
		s.most = limit{most, must(s.form.bound(most)), false}
	}
	return s
}

// classOf tells how a struct field is written, and the type of one value or item.
func classOf(t reflect.Type) (class, reflect.Type) {
	switch {
	case reflect.PointerTo(t).Implements(holderType):
		return scalar, t.Field(0).Type
	case t.Kind() == reflect.Struct:
		return section, t
	case reflect.PointerTo(t.Elem()).Implements(holderType) && t.Elem().Field(0).Name == "Name":
		return table, t.Elem().Field(1).Type.Field(0).Type
	case reflect.PointerTo(t.Elem()).Implements(holderType):
		return values, t.Elem().Field(0).Type
	}
	return items, t.Elem()
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(fmt.Sprintf("the definition of the brief: %v", err))
	}
	return v
}
