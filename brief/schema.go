package brief

import (
	"bytes"
	"encoding/json"
	"strings"
)

// member is one key of an object.
type member struct {
	key   string
	value any
}

// object is a JSON object whose members keep their order.
type object []member

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	out.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			out.WriteByte(',')
		}
		for j, v := range []any{m.key, m.value} {
			var one bytes.Buffer
			enc := json.NewEncoder(&one)
			enc.SetEscapeHTML(false)
			if err := enc.Encode(v); err != nil {
				return nil, err
			}
			if j > 0 {
				out.WriteByte(':')
			}
			out.Write(bytes.TrimSpace(one.Bytes()))
		}
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

// number is how a quantity begins, in a pattern of the schema.
const number = `^ *[-+]?[0-9.½¼¾⅛⅜⅝⅞⅓⅔][-0-9.eE+/ ½¼¾⅛⅜⅝⅞⅓⅔]*`

// quantitySchema wants a number and a unit; which unit is the parser's business.
func quantitySchema() object {
	return object{{"type", []string{"string", "null"}}, {"pattern", `[0-9½¼¾⅛⅜⅝⅞⅓⅔].*[^-0-9.,+/ ½¼¾⅛⅜⅝⅞⅓⅔]`}}
}

func numberSchema(s *spec) object {
	o := object{{"type", []string{"number", "null"}}}
	if s.least.open {
		o = append(o, member{"exclusiveMinimum", s.least.value})
	} else {
		o = append(o, member{"minimum", s.least.value})
	}
	return append(o, member{"maximum", s.most.value})
}

func anys(words []string) []any {
	out := make([]any, 0, len(words)+1)
	for _, w := range words {
		out = append(out, w)
	}
	return out
}

// Schema gives the JSON Schema (draft 2020-12) of the brief, so that an editor can
// complete and check it. It is never stricter than Parse. Same bytes every time.
func Schema() []byte {
	root := definition()
	o := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"title", "Brief of a floating raft bed"},
		{"description", "Everything the grower knows and wants. Every section is optional; quantities are texts with a unit."},
	}
	o = append(o, groupSchema(root)...)
	raw, err := json.Marshal(o)
	if err != nil {
		panic("the schema of the brief: " + err.Error()) // only constants went in
	}
	var out bytes.Buffer
	if err := json.Indent(&out, raw, "", "  "); err != nil {
		panic("the schema of the brief: " + err.Error())
	}
	out.WriteByte('\n')
	return out.Bytes()
}

func groupSchema(s *spec) object {
	var properties object
	var required []string
	for _, f := range s.fields {
		properties = append(properties, member{f.key, valueSchema(f)})
		if f.need {
			required = append(required, f.key)
		}
	}
	o := object{{"type", []string{"object", "null"}}, {"properties", properties}, {"additionalProperties", false}}
	if required != nil {
		o = append(o, member{"required", required})
	}
	return o
}

func valueSchema(s *spec) object {
	o := object{{"description", describe(s)}}
	switch s.class {
	case section:
		if s.short != "" {
			return append(o, member{"anyOf", []object{groupSchema(s), s.field(s.short).form.schema(s.field(s.short))}})
		}
		return append(o, groupSchema(s)...)
	case items:
		item := groupSchema(s)
		if s.short != "" {
			item = object{{"anyOf", []object{item, s.field(s.short).form.schema(s.field(s.short))}}}
		}
		return append(o, member{"type", []string{"array", "null"}}, member{"items", item}, member{"maxItems", s.max})
	case values:
		list := object{{"type", "array"}, {"items", s.form.schema(s)}, {"maxItems", s.max}}
		return append(o, member{"anyOf", []object{list, {{"type", []string{"string", "null"}}}}}, member{"examples", []any{exampleValue(s, s.eg)}})
	case table:
		return append(o, member{"type", []string{"object", "null"}}, member{"additionalProperties", s.form.schema(s)}, member{"maxProperties", s.max})
	}
	o = append(o, s.form.schema(s)...)
	examples := []any{exampleValue(s, s.eg)}
	if s.si != "" && s.si != s.eg {
		examples = append(examples, exampleValue(s, s.si))
	}
	return append(o, member{"examples", examples})
}

// describe gives the help and the range.
func describe(s *spec) string {
	if r := s.span(); r != "" {
		return s.help + " (" + r + ")"
	}
	return s.help
}

// span tells the sensible range in words, "" where there is none to tell.
func (s *spec) span() string {
	switch {
	case s.most.text == "" || s.least.text == s.most.text || len(s.forms) > 0 || s.most.text == "100000":
		return ""
	case s.least.open:
		return "more than " + s.least.text + ", up to " + s.most.text
	}
	return s.least.text + " to " + s.most.text
}

// exampleValue turns an example as written into its JSON value.
func exampleValue(s *spec, written string) any {
	if inner, is := strings.CutPrefix(written, "["); is {
		var out []any
		for _, one := range strings.Split(strings.TrimSuffix(inner, "]"), ",") {
			out = append(out, strings.TrimSpace(one))
		}
		return out
	}
	var n json.Number
	if err := json.Unmarshal([]byte(written), &n); err == nil {
		return n
	}
	return written
}

// Key describes one key of the format, for lists of keys and for asking questions.
type Key struct {
	Path     string   // "bed.length"; [] marks the items of a list: "shelf[].name"
	Help     string   // what it means
	Example  string   // as it would be written, US customary; "" for a group
	Metric   string   // the same in metric units
	Words    []string // the allowed words, nil where it is no word
	Range    string   // the sensible range in words, "" where there is none to tell
	Required bool     // its group cannot do without it
}

// Keys lists every key of the format, groups before what is in them.
func Keys() []Key {
	var out []Key
	var walk func(s *spec, path string)
	walk = func(s *spec, path string) {
		for _, f := range s.fields {
			at := path + f.key
			out = append(out, Key{at, f.help, f.eg, f.in(Metric), f.words, f.span(), f.need})
			switch f.class {
			case section:
				walk(f, at+".")
			case items:
				walk(f, at+"[].")
			}
		}
	}
	walk(definition(), "")
	return out
}
