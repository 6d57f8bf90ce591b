package web

import (
	"bytes"
	_ "embed"
	"html/template"
	"strings"

	"raftwright/programme"
)

// The gallery shows each part of the pages in each of its states, with fixed data, to whoever works on them (House.Gallery).
// It is made by the templates and the press that the pages are made by; nothing is written here a second time.

//go:embed gallery.yaml
var galleryBrief string

// shownPart is a part of a page in one state.
type shownPart struct {
	ID   string
	HTML template.HTML
}

// hung gathers parts.
type hung struct {
	*visit
	parts []shownPart
	err   error
}

// hang shows a part of a page, once under a name.
func (h *hung) hang(id, page, part string, data any) {
	var out bytes.Buffer
	if h.err == nil {
		h.err = pages()[page].ExecuteTemplate(&out, part, data)
	}
	h.parts = append(h.parts, shownPart{id, template.HTML(out.String())})
}

// gallery shows every part of the pages in its states.
func (v *visit) gallery() error {
	h := &hung{visit: v}
	bad := []wrong{{v.say("web.keyed.no_day", "Text", "31/31"), v.say("web.keyed.no_day_right")}}
	s := sheet{visit: v}
	h.hang("told", "start", "told", bad)
	h.hang("once", "start", "once", once{v.say("web.people.invited", "Name", "A"), "invented-invented", v.say("web.people.invited_help")})
	h.hang("passes", "start", "passes", map[string]any{"Sheet": s, "From": "/gallery", "List": []given{{ID: "1", Label: "A", Kind: v.say("web.pass.link"), When: "2027"}, {ID: "2", Label: "B", Kind: v.say("web.pass.key"), When: "2026", Withdrawn: "2027"}}})
	h.hang("bedlist", "start", "bedlist", []struct{ Name, To, Place string }{{"A", "/beds/demonstration/today", ""}, {"B", "/beds/demonstration/plan", "C"}})
	h.hang("fault", "fault", "body", sheet{visit: v, Body: faultPage{What: bad[0].What, Right: bad[0].Right}})
	h.hang("typed", "fault", "body", sheet{visit: v, Body: faultPage{What: bad[0].What, Right: bad[0].Right, Typed: &typedForm{SignIn: true, To: "/gallery", Fields: [][2]string{{"a", "b"}}}}})
	h.brief()
	h.bedside(bad)
	h.book(bad)
	h.pressed()
	if h.err != nil {
		return h.err
	}
	return v.show("gallery", sheet{Title: v.say("web.gallery.title"), Of: v.say("web.gallery.of"), Body: h.parts})
}

// state tells how a field of a brief stands.
func (f field) state() string {
	switch {
	case len(f.Wrong) > 0:
		return "wrong"
	case f.Said != "":
		return "understood"
	case f.Taken != "":
		return "assumed"
	case f.Text != "" || len(f.Items) > 0:
		return "filled"
	}
	return "empty"
}

// form makes the form of a brief, and shows what moves beside it.
func (h *hung) form(id, text string) *briefPage {
	b := aBed{reading: h.memory.parse(text)}
	b.ID, b.Version = demonstration, 1
	body, err := h.formOf(b)
	if err != nil {
		h.err = err
		return &briefPage{}
	}
	for _, part := range []string{"faults", "bar", "now", "noticed"} {
		h.hang(id+"."+part, "brief", part, sheet{visit: h.visit, Body: body})
	}
	return body
}

// brief shows the form of a brief: each kind of field as it stands in each way, and what moves beside it while something is wrong and when all is planned.
func (h *hung) brief() {
	h.form("planned", string(h.Demo))
	seen := map[string]bool{}
	for _, g := range h.form("waiting", galleryBrief).Groups {
		for _, f := range append(g.Open[:len(g.Open):len(g.Open)], g.More...) {
			if id := "field." + f.Kind + "." + f.state(); !seen[id] {
				seen[id] = true
				h.parts = append(h.parts, shownPart{id, sheet{visit: h.visit}.Fields([]field{f})})
			}
		}
	}
}

// bedside shows the blanks of a visit.
func (h *hung) bedside(bad []wrong) {
	for _, b := range []blank{
		{Key: "empty"}, {Key: "last", Last: "6.2", Unit: h.say("web.unit.in")}, {Key: "wrong", Text: "31/31", Wrong: bad}, {Key: "word", Words: []option{{"yes", h.say("web.book.word.yes"), true}}}, {Key: "note", Plain: true, Text: "A"},
	} {
		b.ID, b.Label = "blank-"+b.Key, b.Key
		h.hang("blank."+b.Key, "today", "logblank", sheet{visit: h.visit}.Blank(b))
	}
	for _, wrongAt := range [][]wrong{nil, bad} {
		id := "visitat"
		if wrongAt != nil {
			id += ".wrong"
		}
		h.hang(id, "today", "visitat", sheet{visit: h.visit, Body: struct {
			At      string
			WrongAt []wrong
		}{"2027-05-11T08:00", wrongAt}})
	}
}

// book shows each kind of field of the book, empty, filled and wrong.
func (h *hung) book(bad []wrong) {
	seen := map[string]bool{}
	for _, table := range programme.Forms() {
		fields, err := h.bookFields(table, nil, nil)
		if err != nil {
			h.err = err
			return
		}
		for _, f := range fields {
			if seen[f.Kind] {
				continue
			}
			seen[f.Kind] = true
			for _, state := range []string{"empty", "filled", "wrong"} {
				f.ID = strings.Join([]string{"book", f.Kind, state}, "-")
				if state == "filled" {
					f.Text = map[string]string{"day": "2027-05-11", "whole": "12", "number": "1.5"}[f.Kind]
				}
				if state == "wrong" {
					f.Wrong = bad
				}
				h.hang("book."+f.Kind+"."+state, "ledger", "bookfield", f)
			}
		}
	}
}

// pressed shows what the press makes of the demonstration: its figures, tables, cautions, steps and drawings.
func (h *hung) pressed() {
	b := aBed{reading: h.memory.parse(string(h.Demo))}
	b.ID, b.Version = demonstration, 1
	p, words, err := h.planned(b)
	if err != nil {
		h.err = err
		return
	}
	for _, id := range sections(p) {
		list, err := h.pieces(p, words, "", id)
		if err != nil {
			h.err = err
			return
		}
		for _, x := range list {
			h.parts = append(h.parts, shownPart{"pressed." + id, template.HTML(`<div class="pressed">` + string(x.HTML) + "</div>")})
		}
	}
}
