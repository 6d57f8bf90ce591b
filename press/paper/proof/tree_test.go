package proof

import (
	"fmt"
	"slices"
	"strings"
)

// element is an element of the structure tree as it is read.
type element struct {
	kind, path  string
	alt, actual string
	language    string
	up          *element
	kids        []*element
	sequences   []*sequence // its own, and those of stretches of words in it, in order
	own         []*sequence
	links       int
	dict        dict
	ref         ref
	text        string // what its own sequences say
}

// kinds are the standard types of ISO 32000-1, 14.8.4, that a document here may use.
var kinds = strings.Fields("Document Div Caption TOC TOCI P H1 H2 H3 H4 H5 H6 L LI Lbl LBody Table TR TH TD Span Reference Link Figure")

// stretches are elements within a line of words.
var stretches = []string{"Span", "Link", "Reference"}

// tree reads the structure tree.
func (c *checker) tree(catalogue dict) *element {
	top := &element{kind: "root", path: "tree"}
	root := c.dict(catalogue["StructTreeRoot"])
	if root == nil {
		c.say("tree", "catalogue", "no structure tree")
		return top
	}
	if root["RoleMap"] != nil {
		c.say("tree", "catalogue", "types of its own")
	}
	top.ref, _ = catalogue["StructTreeRoot"].(ref)
	seen := map[ref]bool{}
	for _, k := range c.several(root["K"]) {
		c.read(top, k, nil, seen)
	}
	for at, s := range c.sequences {
		if s.owner == nil {
			c.say("parents", fmt.Sprintf("page %d", at.page+1), "sequence %d, %s, is in no element", at.id, ending(s.text))
		}
	}
	return top
}

// read reads one child of an element: a sequence, a link, or an element.
func (c *checker) read(up *element, v, page any, seen map[ref]bool) {
	switch k := c.get(v).(type) {
	case float64:
		c.claim(up, page, int(k))
	case dict:
		switch c.name(k["Type"]) {
		case "MCR":
			c.claim(up, k["Pg"], int(number(c.get(k["MCID"]))))
			return
		case "OBJR":
			r, _ := k["Obj"].(ref)
			c.linked[r] = up.ref
			up.links++
			return
		}
		r, _ := v.(ref)
		if seen[r] || len(seen) > 1e6 {
			c.say("tree", up.path, "object %d is there twice", r)
			return
		}
		seen[r] = true
		e := &element{kind: c.name(k["S"]), up: up, dict: k, ref: r, alt: strings.TrimSpace(c.text(k["Alt"])),
			actual: strings.TrimSpace(c.text(k["ActualText"])), language: c.text(k["Lang"])}
		e.path = up.path + "/" + e.kind
		if !slices.Contains(kinds, e.kind) {
			c.say("tree", e.path, "no such type")
		}
		if p, _ := k["P"].(ref); p != up.ref {
			c.say("tree", e.path, "names object %d as its parent, not %d", p, up.ref)
		}
		if k["Lang"] != nil && !isLanguage(e.language) {
			c.say("lang", e.path, "%q is no language", e.language)
		}
		up.kids = append(up.kids, e)
		for _, kid := range c.several(k["K"]) {
			c.read(e, kid, k["Pg"], seen)
		}
		if slices.Contains(stretches, e.kind) {
			up.sequences = append(up.sequences, e.sequences...)
		}
	default:
		c.say("tree", up.path, "%v is no child", k)
	}
}

// claim makes a sequence one of an element.
func (c *checker) claim(e *element, page any, id int) {
	r, _ := page.(ref)
	at := spot{slices.Index(c.refs, r), id}
	s := c.sequences[at]
	switch {
	case s == nil:
		c.say("parents", e.path, "page %d has no sequence %d", at.page+1, id)
		return
	case s.owner != nil:
		c.say("parents", e.path, "sequence %d of page %d is in two elements", id, at.page+1)
	case s.tagged != e.kind:
		c.say("parents", e.path, "page %d calls sequence %d %s", at.page+1, id, s.tagged)
	}
	s.owner = e
	e.sequences, e.own = append(e.sequences, s), append(e.own, s)
	e.text += s.text
}

// words gives all that an element says.
func (e *element) words() string {
	parts := []string{e.text}
	for _, k := range e.kids {
		parts = append(parts, k.words())
	}
	return strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
}

// attribute gives what an element says about itself.
func (c *checker) attribute(e *element, key name) any {
	for _, a := range c.several(e.dict["A"]) {
		if v := c.dict(a)[key]; v != nil {
			return c.get(v)
		}
	}
	return nil
}

// holds says which kinds may stand in a kind; what is not named holds words only.
var holds = map[string]string{
	"root": "Document", "Document": "Div TOC P H1 H2 H3 H4 H5 H6 L Table Figure", "Div": "P", "TOC": "TOCI", "TOCI": "Reference", "Reference": "Link",
	"L": "LI", "LI": "Lbl LBody", "LBody": "P Span", "Table": "Caption TR", "TR": "TH TD", "TH": "P Span", "TD": "P Span",
	"P": "Span Link", "Caption": "Span", "Link": "Span",
}

// shape checks the elements one within another. The level is that of the last heading.
func (c *checker) shape(e *element, level int) int {
	for _, k := range e.kids {
		if !slices.Contains(strings.Fields(holds[e.kind]), k.kind) {
			c.say("shape", e.path, "%s in %s", k.kind, e.kind)
		}
	}
	if !slices.Contains(stretches, e.kind) && e.kind != "Figure" {
		for i, s := range e.sequences[min(1, len(e.sequences)):] {
			if before := e.sequences[i]; runsOn(before, s) {
				c.say("words", e.path, "%s runs on in %q", ending(before.text), s.text)
			}
		}
	}
	empty := e.words() == "" && e.alt == "" && e.actual == ""
	switch e.kind {
	case "H1", "H2", "H3", "H4", "H5", "H6":
		now := int(e.kind[1] - '0')
		if now > level+1 {
			c.say("heading", e.path, "level %d follows %d: %q", now, level, e.words())
		}
		level = now
		if empty {
			c.say("heading", e.path, "nothing in it")
		}
	case "P", "Lbl", "LBody", "Caption", "Div", "Span", "L", "LI", "TOC", "TOCI":
		if empty {
			c.say("shape", e.path, "nothing in it")
		}
	case "Table":
		c.table(e)
	case "Figure":
		c.figure(e)
	case "Link":
		if e.links == 0 || empty {
			c.say("link", e.path, "%d links over %q", e.links, e.words())
		}
	}
	if e.links > 0 && e.kind != "Link" {
		c.say("link", e.path, "a link in %s", e.kind)
	}
	for _, k := range e.kids {
		level = c.shape(k, level)
	}
	return level
}

func (c *checker) figure(e *element) {
	if e.alt == "" {
		c.say("figure", e.path, "no words for it")
	}
	if len(e.own) == 0 {
		c.say("figure", e.path, "nothing drawn")
	}
	b, _ := c.attribute(e, "BBox").(list)
	if len(b) != 4 || number(b[2]) <= number(b[0]) || number(b[3]) <= number(b[1]) {
		c.say("figure", e.path, "its box is %v", b)
	}
}

// table checks that the rows of a table have as many columns as its first, and that it
// has heads which say of what.
func (c *checker) table(e *element) {
	columns, heads := 0, 0
	for i, row := range e.kids {
		if row.kind == "Caption" {
			if i > 0 {
				c.say("table", e.path, "the caption does not stand first")
			}
			continue
		}
		n := 0
		for _, cell := range row.kids {
			n += max(1, min(1000, int(number(c.attribute(cell, "ColSpan")))))
			if cell.kind != "TH" {
				continue
			}
			heads++
			if s, _ := c.attribute(cell, "Scope").(name); s != "Row" && s != "Column" {
				c.say("table", cell.path, "%q is the head of nothing", cell.words())
			}
		}
		if columns == 0 {
			columns = n
		}
		if n != columns {
			c.say("table", e.path, "row %d has %d columns, not %d: %q", i, n, columns, row.words())
		}
	}
	if columns == 0 || heads == 0 {
		c.say("table", e.path, "%d columns and %d heads", columns, heads)
	}
}

// parents checks the way back from each page and each link to the elements.
func (c *checker) parents(catalogue dict) {
	back, used := map[int]any{}, map[int]bool{}
	nums := c.list(c.dict(c.dict(catalogue["StructTreeRoot"])["ParentTree"])["Nums"])
	for i := 0; i+1 < len(nums); i += 2 {
		back[int(number(nums[i]))] = nums[i+1]
	}
	key := func(v any, where string) any {
		x, ok := v.(float64)
		if !ok || used[int(x)] {
			c.say("parents", where, "no key of its own")
		}
		used[int(x)] = true
		return back[int(x)]
	}
	for i, p := range c.pages {
		where := fmt.Sprintf("page %d", i+1)
		owners := c.list(key(p["StructParents"], where))
		n := 0
		for at, s := range c.sequences {
			if at.page != i {
				continue
			}
			n++
			if at.id < 0 || at.id >= len(owners) || s.owner == nil || owners[at.id] != any(s.owner.ref) {
				c.say("parents", where, "sequence %d does not lead back to its element", at.id)
			}
		}
		if n != len(owners) {
			c.say("parents", where, "%d sequences, %d owners", n, len(owners))
		}
		for k, v := range c.list(p["Annots"]) {
			where := fmt.Sprintf("page %d, link %d", i+1, k+1)
			d := c.dict(v)
			r, _ := v.(ref)
			owner, _ := key(d["StructParent"], where).(ref)
			if owner == 0 || c.linked[r] != owner {
				c.say("parents", where, "does not lead back to its element")
			}
			if strings.TrimSpace(c.text(d["Contents"])) == "" {
				c.say("link", where, "no words for it")
			}
			if to := c.list(d["Dest"]); len(to) == 0 || !slices.Contains(c.refs, c.reference(to[0])) {
				c.say("link", where, "leads nowhere")
			}
		}
	}
}

func (c *checker) reference(v any) ref {
	r, _ := v.(ref)
	return r
}
