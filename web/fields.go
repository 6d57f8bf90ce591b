package web

import (
	"bytes"
	"html/template"
	"strconv"
	"sync"
)

// The fields of a form are written here and not by a template: a form has some two hundred, and a template looks up each name in each of them.

// penned is a piece of a page that is written by hand.
type penned struct{ *bytes.Buffer }

// rooms to write a page in, that were used before.
var rooms = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// mostPaper bounds a room that is kept, in bytes.
const mostPaper = 1 << 20

// blankPaper gives room to write in until it is done: nothing of it is held then.
func blankPaper() (out penned, done func()) {
	b := rooms.Get().(*bytes.Buffer)
	b.Reset()
	return penned{b}, func() {
		if b.Cap() <= mostPaper {
			rooms.Put(b)
		}
	}
}

// put writes markup and text by turns, the text with its signs escaped.
func (m penned) put(parts ...string) {
	for i, p := range parts {
		if i%2 == 1 {
			p = template.HTMLEscapeString(p)
		}
		m.WriteString(p)
	}
}

// wrongs writes what is wrong somewhere.
func (m penned) wrongs(list []wrong) {
	for _, w := range list {
		m.put(`<div class="wrong"><p>`, w.What, `</p><p class="help">`, w.Right, "</p></div>")
	}
}

// Fields gives fields with all that is in them.
func (s sheet) Fields(list []field) template.HTML {
	out, done := blankPaper()
	defer done()
	for _, f := range list {
		out.field(s, f)
	}
	return template.HTML(out.String())
}

// field writes a field: a group with what is in it, a list with its items, lines, names with their texts, or a line or word.
func (m penned) field(s sheet, f field) {
	m.WriteString("\n")
	switch f.Kind {
	case "group", "list", "lines", "names":
		m.put(`<fieldset class="inner" id="`, f.ID, `"><legend>`, f.Label, `</legend><p class="help">`, f.Help)
		if f.Kind == "lines" {
			m.put(" ", s.Say("web.form.example", "Text", f.Example))
		}
		m.WriteString("</p>")
		m.wrongs(f.Wrong)
	}
	switch f.Kind {
	case "group":
		for _, k := range f.Kids {
			m.field(s, k)
		}
		m.WriteString("</fieldset>")
	case "list":
		m.WriteString("\n")
		for n, i := range f.Items {
			m.item(s, n, i)
		}
		m.put("\n"+`<p class="acts"><button class="do" name="add" value="`, f.Path, `">`, s.Say("web.form.add"), "</button></p></fieldset>")
	case "lines":
		m.WriteString("\n")
		for n, i := range f.Items {
			m.put(`<span class="blank short"><input name="`, i.Path, `" id="`, i.ID(), `" value="`, i.Text, `" autocomplete="off" aria-label="`, f.Label+" "+strconv.Itoa(n+1), `"></span> `)
			m.wrongs(i.Wrong)
		}
		m.WriteString("</fieldset>")
	case "names":
		m.WriteString("\n")
		for _, i := range f.Items {
			m.put(`<div class="field"><label for="`, i.ID(), `">`, i.Name, `</label><span class="blank mid"><input name="`, i.Path, `" id="`, i.ID(), `" value="`, i.Text, `" autocomplete="off"></span>`)
			m.wrongs(i.Wrong)
			m.WriteString("</div>")
		}
		m.put("\n"+`<div class="pairrow"><span class="blank mid"><input name="new:`, f.Path, `" aria-label="`, s.Say("web.form.new_name", "Label", f.Label), `" autocomplete="off"></span> <span class="blank short"><input name="text:`, f.Path,
			`" aria-label="`, s.Say("web.form.new_text", "Label", f.Label), `" autocomplete="off" placeholder="`, f.Example, `"></span></div></fieldset>`)
	default:
		f.whole(m)
	}
	m.WriteString("\n")
}

// item writes an item of a list.
func (m penned) item(s sheet, n int, i item) {
	name := i.Name
	if name == "" {
		name = s.Say("web.form.item", "Number", n+1)
	}
	m.put(`<details class="item" id="`, i.ID(), `" open><summary>`, name, "</summary>")
	m.wrongs(i.Wrong)
	for _, k := range i.Kids {
		m.field(s, k)
	}
	m.put(`<p class="acts"><button class="do" name="drop" value="`, i.Path, `">`, s.Say("web.form.drop"), "</button></p></details>")
}

// whole writes a field of one line or one word, with what stands under it. Most fields of a form are.
func (f field) whole(out penned) {
	fault, invalid, auto := "", "", ""
	if len(f.Matters) > 0 {
		auto = " autofocus"
	}
	if len(f.Wrong) > 0 {
		fault, invalid = " fault", ` aria-invalid="true"`
	}
	out.put(`<div class="field`+fault+`"><label for="`, f.ID, `">`, f.Label, "</label>")
	if f.Kind == "word" {
		out.put(`<span class="blank long"><select id="`, f.ID, `" name="`, f.Path, `" aria-describedby="`, f.ID, `-said"><option value="">`, f.Nothing, "</option>")
		for _, o := range f.Options {
			chosen := ""
			if o.Chosen {
				chosen = " selected"
			}
			out.put(`<option value="`, o.Value, `"`+chosen+`>`, o.Name, "</option>")
		}
		out.put("</select></span>")
	} else {
		out.put(`<span class="blank mid"><input id="`, f.ID, `" name="`, f.Path, `" value="`, f.Text, `" autocomplete="off" aria-describedby="`, f.ID, `-said"`+invalid+`></span>`)
	}
	out.put("\n"+`<div id="`, f.ID, `-said" data-live>`)
	f.told(out)
	out.put("</div>")
	if f.Asks != "" {
		out.put(`<div class="matters" id="`, f.ID, `-matters" tabindex="-1"`+auto+`>`)
		for _, line := range f.Matters {
			out.put("<p>", line, "</p>")
		}
		out.put(`<button class="plain" name="matters" value="`, f.Path, `" formaction="`, f.Asks, `" aria-label="`, f.Ask+": "+f.Label, `">`, f.Ask, "</button></div>")
	}
	out.put("</div>")
}

// told writes what stands under a field: what is wrong there, what was understood, what is taken while it
// is empty, or else what it is. It is made for each field at each key that somebody presses.
func (f field) told(out penned) {
	out.wrongs(f.Wrong)
	class, text := "", ""
	switch {
	case f.Said != "":
		class, text = "said", f.Said
	case f.Taken != "":
		class, text = "taken", f.Taken
	case f.Text == "" && f.Eg != "":
		class, text = "help", f.Help+" "+f.Eg
	case f.Text == "":
		class, text = "help", f.Help
	default:
		return
	}
	out.put(`<p class="`, class, `">`, text, "</p>")
}
