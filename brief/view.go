package brief

import (
	"encoding/binary"
	"fmt"
	"math"
	"reflect"
	"strconv"

	"raftwright/finding"
)

// View is the part of a brief that stands at some paths: sections, or single keys.
type View struct {
	index [][]int
	write []appender
}

// Viewing makes the view of some paths. A path that is no key of the format is an
// error; items of lists have no view of their own, their list has.
func Viewing(paths ...finding.Path) (View, error) {
	var v View
	for _, p := range paths {
		s, index := definition(), []int(nil)
		for _, step := range steps(p) {
			f := s.field(step.key)
			if f == nil {
				return View{}, fmt.Errorf("%s is no key of a brief", p)
			}
			s, index = f, append(index, f.index...)
		}
		if index == nil {
			return View{}, fmt.Errorf("%q is no path of a brief", p)
		}
		v.index = append(v.index, index)
		v.write = append(v.write, appenderOf(reflect.TypeFor[Brief]().FieldByIndex(index).Type))
	}
	return v, nil
}

// Show puts the keys of the view into a brief that had none.
func (v View) Show(in, from *Brief) {
	to, all := reflect.ValueOf(in).Elem(), reflect.ValueOf(from).Elem()
	for _, i := range v.index {
		to.FieldByIndex(i).Set(all.FieldByIndex(i))
	}
}

// Hide takes them out again.
func (v View) Hide(in *Brief) {
	to := reflect.ValueOf(in).Elem()
	for _, i := range v.index {
		to.FieldByIndex(i).SetZero()
	}
}

// AppendValues appends what stands in the view as bytes: the same for the same
// values, whatever their places in the file, and different for different ones.
func (v View) AppendValues(out []byte, b *Brief) []byte {
	from := reflect.ValueOf(b).Elem()
	for i, index := range v.index {
		out = v.write[i](out, from.FieldByIndex(index))
	}
	return out
}

// Shares tells whether the keys of the view are lists that two briefs have in common, as one has that was made of the other
// by a change elsewhere. It does not look into them: lists of their own may still hold the same.
func (v View) Shares(a, b *Brief) bool {
	for _, index := range v.index {
		x, y := reflect.ValueOf(a).Elem().FieldByIndex(index), reflect.ValueOf(b).Elem().FieldByIndex(index)
		if x.Kind() != reflect.Slice || x.Len() == 0 || x.Len() != y.Len() || x.Pointer() != y.Pointer() {
			return false
		}
	}
	return true
}

// appender appends a value as bytes of which no other value's are a beginning; nil for what has no value, a place in a file.
type appender func(out []byte, v reflect.Value) []byte

func appenderOf(t reflect.Type) appender {
	if t == reflect.TypeFor[Place]() {
		return nil
	}
	switch t.Kind() {
	case reflect.Bool:
		return func(out []byte, v reflect.Value) []byte {
			if v.Bool() {
				return append(out, 1)
			}
			return append(out, 0)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return func(out []byte, v reflect.Value) []byte { return binary.AppendVarint(out, v.Int()) }
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return func(out []byte, v reflect.Value) []byte { return binary.AppendUvarint(out, v.Uint()) }
	case reflect.Float64, reflect.Float32:
		return func(out []byte, v reflect.Value) []byte {
			return binary.BigEndian.AppendUint64(out, math.Float64bits(v.Float()))
		}
	case reflect.String:
		return func(out []byte, v reflect.Value) []byte { return appendText(out, v.String()) }
	case reflect.Slice:
		return sliceAppender(appenderOf(t.Elem()))
	case reflect.Struct:
		return structAppender(t)
	}
	panic("the definition of the brief: a value of kind " + t.Kind().String())
}

func appendText(out []byte, s string) []byte {
	return append(append(strconv.AppendInt(out, int64(len(s)), 10), ':'), s...)
}

func sliceAppender(item appender) appender {
	return func(out []byte, v reflect.Value) []byte {
		out = binary.AppendUvarint(out, uint64(v.Len()))
		for i := range v.Len() {
			out = item(out, v.Index(i))
		}
		return out
	}
}

// structAppender writes the fields in their order. A value that was not given is one
// byte: its other fields are what a reader left there.
func structAppender(t reflect.Type) appender {
	type member struct {
		at    int
		write appender
	}
	var members []member
	given := -1
	for i := range t.NumField() {
		if reflect.PointerTo(t).Implements(holderType) && t.Field(i).Name == "Given" {
			given = i // written before the others
		} else if write := appenderOf(t.Field(i).Type); write != nil {
			members = append(members, member{i, write})
		}
	}
	return func(out []byte, v reflect.Value) []byte {
		if given >= 0 {
			if !v.Field(given).Bool() {
				return append(out, 0)
			}
			out = append(out, 1)
		}
		for _, m := range members {
			out = m.write(out, v.Field(m.at))
		}
		return out
	}
}
