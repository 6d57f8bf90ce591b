package brief

import (
	"reflect"
	"strconv"
	"strings"

	"raftwright/finding"
)

// Locate gives a fault its file, line and column: those of its path, or of the
// nearest thing around it that was written. A fault that has a line keeps it.
func (b *Brief) Locate(f finding.Fault) finding.Fault {
	if f.Line > 0 {
		return f
	}
	at := b.PlaceOf(f.Path)
	f.File, f.Line, f.Column = b.File, max(1, at.Line), max(1, at.Column)
	return f
}

// PlaceOf gives the place of a path, or of the nearest thing around it that was
// written; nowhere for a path of which nothing was.
func (b *Brief) PlaceOf(path finding.Path) Place {
	found := Place{}
	v, s := reflect.ValueOf(b).Elem(), definition()
	for _, step := range steps(path) {
		switch {
		case v.Kind() == reflect.Slice && step.item >= 0:
			if step.item >= v.Len() {
				return found
			}
			v = v.Index(step.item)
		case v.Kind() == reflect.Slice: // a table of the user's own names
			i := 0
			for ; i < v.Len() && v.Index(i).Field(0).String() != step.key; i++ {
			}
			if i == v.Len() {
				return found
			}
			v = v.Index(i).Field(1)
		default:
			f := s.field(step.key)
			if f == nil {
				return found
			}
			v, s = v.FieldByIndex(f.index), f
		}
		if at := placeIn(v); at != (Place{}) {
			found = at
		}
	}
	return found
}

func placeIn(v reflect.Value) Place {
	if v.Kind() != reflect.Struct {
		return Place{}
	}
	if at := v.FieldByName("At"); at.IsValid() {
		if p, ok := at.Interface().(Place); ok {
			return p
		}
	}
	return Place{}
}

// step is one key, or one item of a list (item is -1 for a key).
type step struct {
	key  string
	item int
}

// steps takes a path apart. What is no path gives the steps up to the mistake.
func steps(path finding.Path) []step {
	out, _ := stepped(path)
	return out
}

// stepped takes a path apart, and gives what is left from a mistake on.
func stepped(path finding.Path) (out []step, rest string) {
	for rest = string(path); rest != ""; {
		if inside, ok := strings.CutPrefix(rest, "["); ok {
			if strings.HasPrefix(inside, `"`) {
				quoted, err := strconv.QuotedPrefix(inside)
				if err != nil {
					return out, rest
				}
				key, _ := strconv.Unquote(quoted)
				out, rest = append(out, step{key, -1}), strings.TrimPrefix(inside[len(quoted):], "]")
				continue
			}
			number, after, _ := strings.Cut(inside, "]")
			n, err := strconv.Atoi(number)
			if err != nil || n < 0 {
				return out, rest
			}
			out, rest = append(out, step{"", n}), after
			continue
		}
		key := strings.TrimPrefix(rest, ".")
		end := strings.IndexAny(key, ".[")
		if end < 0 {
			end = len(key)
		}
		if end == 0 {
			return out, rest
		}
		out, rest = append(out, step{key[:end], -1}), key[end:]
	}
	return out, rest
}
