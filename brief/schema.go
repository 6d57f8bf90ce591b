package brief

import (
	"bytes"
	"encoding/json"
	"strings"

	"raftwright/finding"
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

// texts is the schema of a text of a pattern.
func texts(pattern string) func(*spec) object {
	return func(*spec) object { return object{{"type", []string{"string", "null"}}, {"pattern", pattern}} }
}

// quantitySchema wants a number and a unit; which unit is the parser's business.
var quantitySchema = texts(`[0-9½¼¾⅛⅜⅝⅞⅓⅔].*[^-0-9.,+/ ½¼¾⅛⅜⅝⅞⅓⅔]`)

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

// Say gives the sentence of an ID in the reader's language, as the printer of
// package lang does.
type Say func(id string, args finding.Args) string

// Schema gives the JSON Schema (draft 2020-12) of the brief, so that an editor can
// complete and check it. It is never stricter than Parse. Same bytes every time.
func Schema(say Say) []byte {
	o := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"title", say("brief.schema.title", nil)},
		{"description", say("brief.schema.text", nil)},
	}
	o = append(o, groupSchema(definition(), say)...)
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

func groupSchema(s *spec, say Say) object {
	var properties object
	var required []string
	for _, f := range s.fields {
		properties = append(properties, member{f.key, valueSchema(f, say)})
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

func valueSchema(s *spec, say Say) object {
	k := s.described()
	about := say(string(k.Help), nil)
	if k.Most != "" {
		about += " (" + say("brief.range", finding.Args{"Least": k.Least, "Most": k.Most, "Open": k.Open}) + ")"
	}
	o := object{{"description", about}}
	switch s.class {
	case section, items:
		group := groupSchema(s, say)
		if s.short != "" {
			group = object{{"anyOf", []object{group, s.field(s.short).form.schema(s.field(s.short))}}}
		}
		if s.class == section {
			return append(o, group...)
		}
		return append(o, member{"type", []string{"array", "null"}}, member{"items", group}, member{"maxItems", s.max})
	case values:
		list := object{{"type", "array"}, {"items", s.form.schema(s)}, {"maxItems", s.max}}
		return append(o, member{"anyOf", []object{list, {{"type", []string{"string", "null"}}}}}, member{"examples", []any{exampleValue(s.eg)}})
	case table:
		return append(o, member{"type", []string{"object", "null"}}, member{"additionalProperties", s.form.schema(s)}, member{"maxProperties", s.max})
	}
	o = append(o, s.form.schema(s)...)
	examples := []any{exampleValue(s.eg)}
	if s.si != "" && s.si != s.eg {
		examples = append(examples, exampleValue(s.si))
	}
	return append(o, member{"examples", examples})
}

// exampleValue turns an example as written into its JSON value.
func exampleValue(written string) any {
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
