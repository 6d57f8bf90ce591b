package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"raftwright/brief"
	"raftwright/finding"
)

// posted gives the brief with what a form says: every key whose text became another.
// What is wrong is kept as it was typed; nothing is lost. A list loses an item where "drop"
// names it. What is no path of the brief is passed over.
func posted(b *brief.Brief, form url.Values) *brief.Brief { return readAs(b, nil).posted(form) }

func (r reading) posted(form url.Values) *brief.Brief {
	b, was := r.brief(), r.texts()
	set := func(path, text string) {
		if next, _ := b.Set(finding.Path(path), text); next != nil {
			b = next
		}
	}
	var paths []string
	for name := range form {
		if strings.TrimSpace(form.Get(name)) != before(was, name) && places(name) && (formTree()[plainPath(name)] != nil || inTable(name)) {
			paths = append(paths, name)
		}
	}
	slices.SortFunc(paths, natural)
	var gone []string
	pairs := map[string]bool{}
	for _, name := range paths {
		text := strings.TrimSpace(form.Get(name))
		if up, isPair := pairOf(name); isPair {
			pairs[up] = name == up+"[0]" || name == up+"[1]" || pairs[up]
			continue
		}
		if text == "" {
			gone = append(gone, name)
			continue
		}
		set(name, text)
	}
	for up, whole := range pairs {
		if !whole {
			continue
		}
		a, z := strings.TrimSpace(form.Get(up+"[0]")), strings.TrimSpace(form.Get(up+"[1]"))
		if a+z == "" {
			set(up, "")
		} else {
			set(up, "["+quoted(a)+", "+quoted(z)+"]")
		}
	}
	slices.Reverse(gone) // the last first: what goes moves what follows
	for _, name := range gone {
		set(name, "")
	}
	for name := range form { // a new name of a table with its text
		table, ok := strings.CutPrefix(name, "new:")
		key, text := strings.TrimSpace(form.Get(name)), strings.TrimSpace(form.Get("text:"+table))
		if ok && key != "" && text != "" {
			set(string(finding.Path(table).Key(key)), text)
		}
	}
	if path := form.Get("drop"); places(path) {
		if list, isItem := cutItem(path); isItem && formTree()[plainPath(list)] != nil {
			set(path, "")
		}
	}
	for line := range strings.Lines(form.Get("mend")) {
		if path, text, ok := strings.Cut(strings.TrimSpace(line), "="); ok && places(path) && formTree()[plainPath(path)] != nil {
			set(path, text)
		}
	}
	return b
}

// textsOf gives the texts of a brief by their paths.
func textsOf(values []brief.Value) map[string]string {
	was := make(map[string]string, len(values))
	for _, v := range values {
		was[string(v.Path)] = v.Text
	}
	return was
}

// before gives the text that a field of the form was shown with.
func before(was map[string]string, name string) string {
	text, given := was[name]
	if up, key, ok := cutLast(name); ok && !given { // a bare text in place of a group
		if t := formTree()[plainPath(up)]; t != nil && (t.Short == key || t.Short == "" && len(t.kids) > 0 && t.kids[0].Path == plainPath(name)) {
			text = was[up]
		}
	}
	return strings.TrimSpace(text)
}

// pairOf gives the pair of which a field is one.
func pairOf(name string) (up string, is bool) {
	up, is = cutItem(name)
	t := formTree()[plainPath(up)]
	return up, is && t != nil && t.Kind == "pair"
}

// typed gives what a person typed: of a form, the fields that are not as the brief has them
// with which it was shown. What it takes away by its place is not in it: another item may
// stand there now.
func typed(shown *brief.Brief, form url.Values) url.Values {
	was, out := textsOf(shown.Values()), url.Values{}
	for name, texts := range form {
		if name == "drop" || formTree()[plainPath(name)] != nil && strings.TrimSpace(form.Get(name)) == before(was, name) {
			continue
		}
		out[name] = texts
		if up, isPair := pairOf(name); isPair {
			out[up+"[0]"], out[up+"[1]"] = form[up+"[0]"], form[up+"[1]"]
		}
	}
	return out
}

// places tells whether what stands in brackets in a path are places in lists, or names in
// quotes.
func places(path string) bool {
	for i := 0; i < len(path); i++ {
		switch path[i] {
		case ']':
			return false
		case '[':
			end := strings.IndexByte(path[i:], ']')
			if end < 2 {
				return false
			}
			in := path[i+1 : i+end]
			if _, err := strconv.ParseUint(in, 10, 31); err != nil && in[0] != '"' {
				return false
			}
			if in[0] == '"' {
				return true // a name of a table may hold anything; it is the last
			}
			i += end
		}
	}
	return path != ""
}

// quoted writes a text as one item of a list in brackets.
func quoted(text string) string { return strconv.Quote(text) }

// inTable tells whether a path names a text of a table.
func inTable(path string) bool {
	for i := strings.LastIndexAny(path, ".["); i > 0; i = strings.LastIndexAny(path[:i], ".[") {
		if t := formTree()[plainPath(path[:i])]; t != nil && t.Kind == "table" {
			return true
		}
	}
	return false
}

func cutLast(path string) (up, key string, ok bool) {
	i := strings.LastIndexByte(path, '.')
	if i < 0 {
		return "", "", false
	}
	return path[:i], path[i+1:], true
}

func cutItem(path string) (list string, ok bool) {
	if !strings.HasSuffix(path, "]") {
		return "", false
	}
	i := strings.LastIndexByte(path, '[')
	return path[:max(i, 0)], i > 0
}

// natural orders paths with the items of a list in their order.
func natural(a, b string) int {
	if len(a) != len(b) && strings.ContainsRune(a, '[') && strings.ContainsRune(b, '[') {
		return len(a) - len(b)
	}
	return strings.Compare(a, b)
}
