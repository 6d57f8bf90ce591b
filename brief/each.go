package brief

import (
	"reflect"

	"raftwright/unit"
)

// Each lists the figures that were given, in the order of the definition, by key.
func (a Analytes) Each() []Entry[unit.Reading] { return given[unit.Reading](a) }

// Each lists the shares that were given, in the order of the definition, by key.
func (c Contents) Each() []Entry[unit.Fraction] { return given[unit.Fraction](c) }

// Each lists the strengths that were given, in the order of the definition, by key.
func (f Figures) Each() []Entry[unit.Reading] { return given[unit.Reading](f) }

// Each lists the weights that were given, in the order of the definition, by key.
func (w Weights) Each() []Entry[float64] { return given[float64](w) }

func given[T any](group any) []Entry[T] {
	v := reflect.ValueOf(group)
	var out []Entry[T]
	for i := range v.NumField() {
		if f, is := v.Field(i).Interface().(Field[T]); is && f.Given {
			out = append(out, Entry[T]{v.Type().Field(i).Tag.Get("key"), f})
		}
	}
	return out
}
