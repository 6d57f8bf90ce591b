package gallery

import (
	"reflect"

	"raftwright/page"
)

// Planted is the document, with short tables and without its largest drawing, with
// a text of a stranger behind every text that it holds.
func Planted(text string) page.Document {
	doc := Document()
	for i, s := range doc.Sections {
		doc.Sections[i].Blocks = nil
		for _, b := range s.Blocks {
			switch x := b.(type) {
			case page.Table:
				x.Rows = x.Rows[:2]
				b = x
			case page.Figure:
				if x.Drawing.ID == "season" {
					continue
				}
			}
			doc.Sections[i].Blocks = append(doc.Sections[i].Blocks, b)
		}
	}
	plant(reflect.ValueOf(&doc).Elem(), text)
	return doc
}

func plant(v reflect.Value, text string) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(v.String() + text)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				plant(v.Field(i), text)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			plant(v.Index(i), text)
		}
	case reflect.Interface:
		if v.IsNil() {
			return
		}
		inside := reflect.New(v.Elem().Type()).Elem()
		inside.Set(v.Elem())
		plant(inside, text)
		v.Set(inside)
	}
}

// Hostile are texts that steer a terminal, a calendar, a page or a file where they
// are not escaped.
var Hostile = []string{
	"\x1b[2J\x1b]0;x\a", "\u009b31m", "a\rb", "a\r\nEND:VEVENT\r\nBEGIN:VEVENT", "\u202egnp.exe", "\u2028", "\x00", "\xff\xfe", "\ufdd0",
	`<script>alert(1)</script>`, `"><img src=http://x.invalid/a onerror=alert(1)>`, `' onload='x`, `</style><script>x</script>`, `</title><base href=//x.invalid>`,
	"\"}\r@import url(http://x.invalid/a.css);", `\22 } body { background: url(//x.invalid) }`, `url(http://x.invalid/a)`, `]]></desc><a xlink:href="http://x.invalid">`, `<!--`, `-->`, `&lt;&#60;&`,
	`javascript:alert(1)`, `) /URI (http://x.invalid) /S /URI`, "\\) >> endobj 1 0 obj << /OpenAction 2 0 R", `{{.Title}}`, "**", "`", `%00`, "\n\n\n", "\t",
	"水耕レタス", "🥬", "e\u0301\u0301\u0301\u0301\u0301", "MMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMM",
}
