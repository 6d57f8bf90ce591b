package web

import (
	"net/url"
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// filledIn gives a page with one of its forms filled with what was sent: the form that has most of the names.
func filledIn(page string, sent url.Values) (string, error) {
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		return "", err
	}
	var form *html.Node
	most := 0
	for n := range root.Descendants() {
		if n.DataAtom != atom.Form || !strings.EqualFold(attribute(n, "method"), "post") {
			continue
		}
		has := 0
		for f := range n.Descendants() {
			if _, is := sent[attribute(f, "name")]; is && isField(f) {
				has++
			}
		}
		if has > most {
			form, most = n, has
		}
	}
	if form != nil {
		for n := range form.Descendants() {
			fillIn(n, sent)
		}
	}
	var out strings.Builder
	err = html.Render(&out, root)
	return out.String(), err
}

func isField(n *html.Node) bool {
	return n.DataAtom == atom.Input || n.DataAtom == atom.Textarea || n.DataAtom == atom.Select
}

// fillIn writes into a field what was sent of it, and opens what it is folded into where that is another text.
func fillIn(n *html.Node, sent url.Values) {
	name := attribute(n, "name")
	if name == "" || !isField(n) {
		return
	}
	texts, is := sent[name]
	text := ""
	if is {
		text = texts[0]
	}
	was := attribute(n, "value")
	switch kind := attribute(n, "type"); {
	case n.DataAtom == atom.Select:
		was = ""
		for o := range n.Descendants() {
			if o.DataAtom != atom.Option {
				continue
			}
			if _, chosen := valueOf(o, "selected"); chosen >= 0 {
				was = attribute(o, "value")
			}
			set(o, "selected", is && slices.Contains(texts, attribute(o, "value")), "")
		}
	case n.DataAtom == atom.Textarea:
		was = ""
		for n.FirstChild != nil {
			was += n.FirstChild.Data
			n.RemoveChild(n.FirstChild)
		}
		if strings.HasPrefix(text, "\n") {
			text = "\n" + text // a reader leaves out the first
		}
		n.AppendChild(&html.Node{Type: html.TextNode, Data: text})
	case kind == "checkbox" || kind == "radio":
		_, checked := valueOf(n, "checked")
		ticked := is && slices.Contains(texts, attribute(n, "value"))
		if ticked != (checked >= 0) {
			was, text = "", "x"
		} else {
			was, text = "", ""
		}
		set(n, "checked", ticked, "")
	case kind == "password" || kind == "file" || !is:
		return
	default:
		set(n, "value", true, text)
	}
	if text != was && attribute(n, "type") != "hidden" {
		for p := n.Parent; p != nil; p = p.Parent {
			if p.DataAtom == atom.Details {
				set(p, "open", true, "")
			}
		}
	}
}

func valueOf(n *html.Node, name string) (value string, at int) {
	at = slices.IndexFunc(n.Attr, func(a html.Attribute) bool { return a.Key == name })
	if at >= 0 {
		value = n.Attr[at].Val
	}
	return value, at
}

func attribute(n *html.Node, name string) string {
	value, _ := valueOf(n, name)
	return value
}

// set gives an element an attribute, or takes it away.
func set(n *html.Node, name string, is bool, value string) {
	n.Attr = slices.DeleteFunc(n.Attr, func(a html.Attribute) bool { return a.Key == name })
	if is {
		n.Attr = append(n.Attr, html.Attribute{Key: name, Val: value})
	}
}
