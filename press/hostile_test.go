package press

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"raftwright/draw"
	"raftwright/internal/gate"
	"raftwright/page"
	"raftwright/press/testdata/gallery"
	"raftwright/unit"
)

// shape lists what a page is made of: every element with each of its attributes.
func shape(t *testing.T, n *html.Node, into map[string]bool) map[string]bool {
	t.Helper()
	switch n.Type {
	case html.CommentNode:
		into["a comment"] = true
	case html.ElementNode:
		into[n.Data] = true
		for _, a := range n.Attr {
			into[n.Data+" "+a.Namespace+a.Key] = true
			code := n.Data == "a" && strings.HasPrefix(a.Val, "https://example.org/bed/17") // followed on a click only
			if (a.Key == "href" || a.Key == "src") && !strings.HasPrefix(a.Val, "#") && !code {
				t.Fatalf("%s leads to %q", n.Data, a.Val)
			}
			if strings.Contains(strings.ReplaceAll(strings.ToLower(a.Val), "url(#", ""), "url(") && a.Key != "lang" && a.Key != "href" && !strings.HasPrefix(a.Key, "aria-") {
				t.Fatalf("%s fetches %q", a.Key, a.Val)
			}
		}
		if n.Data == "style" {
			css := withoutFaces(n.FirstChild.Data)
			if strings.Contains(strings.ToLower(css), "url(") || strings.Contains(strings.ToLower(css), "@import") || strings.Contains(css, "\r") {
				t.Fatalf("the style sheet holds %q", css[max(0, len(css)-400):])
			}
			into["style "+balance(css)] = true
		}
	}
	for c := range n.ChildNodes() {
		shape(t, c, into)
	}
	return into
}

// balance counts the braces and the lines of a style sheet outside its strings.
func balance(css string) string {
	var out strings.Builder
	inside := false
	for i := 0; i < len(css); i++ {
		switch c := css[i]; {
		case inside && c == '\\':
			i++
		case c == '"':
			inside = !inside
		case !inside && strings.IndexByte("{};@\n", c) >= 0 || c == '\n':
			out.WriteByte(c)
		}
	}
	return out.String()
}

func webPage(t *testing.T, doc page.Document) map[string]bool {
	t.Helper()
	var b bytes.Buffer
	if err := HTML(doc, &b); err != nil {
		t.Fatal(err)
	}
	if r, at := gate.First(b.String(), true); at >= 0 {
		t.Fatalf("the page holds %U", r)
	}
	root, err := html.Parse(&b)
	if err != nil {
		t.Fatal(err)
	}
	return shape(t, root, map[string]bool{"br": true})
}

// Whatever a stranger writes, the page has the elements and attributes that it has
// without, and fetches nothing.
func FuzzHTML(f *testing.F) {
	for i, s := range gallery.Hostile {
		if !testing.Short() || i%5 == 0 { // the check tries all
			f.Add(s)
		}
	}
	var plain map[string]bool
	f.Fuzz(func(t *testing.T, s string) {
		if plain == nil {
			plain = webPage(t, gallery.Planted("x"))
		}
		for what := range webPage(t, gallery.Planted(s)) {
			if !plain[what] {
				t.Fatalf("%q puts %s into the page", s, what)
			}
		}
	})
}

// A drawing stays well-formed XML of the same elements.
func FuzzSVG(f *testing.F) {
	for i, s := range gallery.Hostile {
		if !testing.Short() || i%5 == 0 { // the check tries all
			f.Add(s)
		}
	}
	parts := func(t *testing.T, doc page.Document) map[string]bool {
		found := map[string]bool{"tspan": true}
		for _, s := range doc.Sections {
			for _, b := range s.Blocks {
				figure, ok := b.(page.Figure)
				if !ok {
					continue
				}
				var b bytes.Buffer
				if err := SVG(figure.Drawing, gallery.Fit(), &b); err != nil {
					t.Fatal(err)
				}
				for d := xml.NewDecoder(&b); ; {
					token, err := d.Token()
					if errors.Is(err, io.EOF) {
						break
					}
					if err != nil {
						t.Fatal(err)
					}
					switch x := token.(type) {
					case xml.StartElement:
						found[x.Name.Local] = true
						for _, a := range x.Attr {
							found[x.Name.Local+" "+a.Name.Local] = true
							if a.Name.Local == "href" {
								t.Fatalf("%s leads to %q", x.Name.Local, a.Value)
							}
						}
					case xml.Comment, xml.ProcInst, xml.Directive:
						t.Fatalf("a drawing holds %v", x)
					}
				}
			}
		}
		return found
	}
	var plain map[string]bool
	f.Fuzz(func(t *testing.T, s string) {
		if plain == nil {
			plain = parts(t, gallery.Planted("x"))
		}
		for what := range parts(t, gallery.Planted(s)) {
			if !plain[what] {
				t.Fatalf("%q puts %s into a drawing", s, what)
			}
		}
	})
}

// Nothing that steers a terminal comes out of the plain text.
func FuzzText(f *testing.F) {
	for _, s := range gallery.Hostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var b bytes.Buffer
		if err := Text(gallery.Planted(s), &b, 80); err != nil {
			t.Fatal(err)
		}
		if r, at := gate.First(b.String(), true); at >= 0 {
			t.Fatalf("%q brings %U to the terminal", s, r)
		}
	})
}

// Every hatching that a drawing is filled with is defined in it.
func TestEveryHatchingIsDefined(t *testing.T) {
	for f := draw.White; f <= draw.Powder; f++ {
		if f.Hatching() == nil {
			continue
		}
		var out strings.Builder
		if err := SVG(draw.Drawing{ID: "one", Title: "one", Bare: true, Items: []draw.Item{draw.Rect(draw.At(0, 0), unit.Inch, unit.Inch).Filled(f)}}, draw.Fitting{}, &out); err != nil {
			t.Fatal(err)
		}
		_, rest, ok := strings.Cut(out.String(), `fill="url(#`)
		name, _, _ := strings.Cut(rest, ")")
		if !ok || !strings.Contains(out.String(), `<pattern id="`+name+`"`) {
			t.Errorf("fill %d: %q is not defined", f, name)
		}
	}
}
