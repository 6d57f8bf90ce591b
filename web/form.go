package web

import (
	"errors"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
	"raftwright/store"
)

// The form is the brief's own definition: a key of the brief appears in it without a line
// of HTML being written. Set by hand are only the order and what stands open: what a person
// knows first comes first.

// formGroups are the groups of the form, each with the parts of the brief in it and the
// keys that stand open.
var formGroups = []struct {
	id    string
	roots []string
	open  []string
}{
	{"where", []string{"title", "units", "language", "site"}, []string{"title", "units", "site.place", "site.kind", "site.children", "site.cover"}},
	{"bed", []string{"bed", "raft"}, []string{"bed.vessel", "bed.length", "bed.width", "bed.diameter", "bed.depth", "bed.count", "bed.support", "bed.holds", "raft.spacing"}},
	{"water", []string{"water", "acid"}, []string{"water.kind", "water.ph", "water.ec", "water.alkalinity", "water.calcium", "water.magnesium", "water.free chlorine", "water.chloramine"}},
	{"shelf", []string{"shelf", "target", "mix", "meter"}, []string{"shelf"}},
	{"crop", []string{"crop", "schedule"}, []string{"crop.name", "schedule.first harvest", "schedule.last harvest", "schedule.per week", "schedule.heads"}},
	{"money", []string{"prices", "cut"}, []string{"prices.currency", "prices.head", "prices.labor"}},
	{"rest", []string{"found", "amiss"}, nil},
}

// apart are keys that no form can fill: they name files, or are kept elsewhere.
var apart = []string{"raftwright", "shelf file", "site.climate", "site.far climate", "log"}

// tree is a key with the keys that are in it.
type tree struct {
	brief.Key
	kids []*tree
}

// formTree reads the definition of the brief once.
var formTree = sync.OnceValue(func() map[string]*tree {
	all := map[string]*tree{}
	for _, k := range brief.Keys() {
		if slices.ContainsFunc(apart, func(a string) bool { return finding.Path(k.Path).Under(finding.Path(a)) }) {
			continue
		}
		t := &tree{Key: k}
		all[k.Path] = t
		if i := strings.LastIndexByte(k.Path, '.'); i > 0 {
			if up := all[strings.TrimSuffix(k.Path[:i], "[]")]; up != nil {
				up.kids = append(up.kids, t)
			}
		}
	}
	return all
})

// field is one key of the form as it stands.
type field struct {
	Path, ID    string
	Label, Help string
	Kind        string // line | word | group | list | lines | names
	Text        string
	Options     []option
	Example     string
	Said        string // what was understood
	Taken       string // what is assumed while it is empty
	Wrong       []wrong
	Kids        []field
	Items       []item
	More        string // of a list, what adds an item
	Eg          string // the example in words
	Nothing     string // of a word, the option that is none

	Asks, Ask string   // where it is asked how much the field matters, and the words for it; "" where nothing hangs on it
	Matters   []string // what was answered
}

// Open tells whether there is something in a field or in one inside it.
func (f field) Open() bool {
	return f.Text != "" || len(f.Wrong) > 0 || len(f.Items) > 0 || slices.ContainsFunc(f.Kids, field.Open)
}

// option is a word that a key can have.
type option struct {
	Value, Name string
	Chosen      bool
}

// item is an item of a list, or a text of a table under its name.
type item struct {
	Path, Name string
	Text       string
	Kids       []field
	Wrong      []wrong
}

// wrong is a fault at its field.
type wrong struct{ What, Right string }

// ID names an item on its page.
func (i item) ID() string { return idOf(finding.Path(i.Path)) }

// formGroup is a group of fields: those that stand open, and the rest.
type formGroup struct {
	ID         string
	Open, More []field
	Given      int // how much of the rest is filled in
	Whole      bool
}

// formOf is a form as it stands.
type formOf struct {
	text   map[finding.Path]string
	said   map[finding.Path]string
	taken  map[finding.Path]string
	wrong  map[finding.Path][]wrong
	counts map[string]int // of lists
	names  map[string][]string
	words  *lang.Printer

	bed     string // whose form it is; "" where it is of something shared
	matters map[finding.Path][]string
}

// labels are the names of all keys by their paths.
var labels = sync.OnceValue(func() map[string]finding.ID {
	all := map[string]finding.ID{}
	for _, k := range brief.Keys() {
		all[k.Path] = k.Label
	}
	return all
})

// idOf names the field of a path on its page: a list of such names is parted by spaces, so
// that none stands in one.
func idOf(path finding.Path) string { return strings.ReplaceAll(string(path), " ", "-") }

// labelOf gives the name of the key of a path.
func labelOf(words *lang.Printer, path finding.Path) string {
	if label := labels()[plainPath(string(path))]; label != "" {
		return words.Say(string(label), nil)
	}
	return string(path)
}

// plainPath writes a path without its places in lists, as keys are named.
func plainPath(path string) string {
	var out strings.Builder
	for i := 0; i < len(path); i++ {
		if path[i] == '[' {
			if end := strings.IndexByte(path[i:], ']'); end > 0 {
				if i+end < len(path)-1 {
					out.WriteString("[]")
				}
				i += end
				continue
			}
		}
		out.WriteByte(path[i])
	}
	return out.String()
}

// read gathers what stands in a brief.
func readForm(values []brief.Value, with besideForm, words, other *lang.Printer) *formOf {
	f := &formOf{text: map[finding.Path]string{}, said: map[finding.Path]string{}, taken: with.Taken, wrong: with.Wrong, counts: map[string]int{}, names: map[string][]string{}, words: words}
	for _, v := range values {
		if v.Path.Under("log") { // thousands, and none in the form
			continue
		}
		f.text[v.Path] = v.Text
		f.said[v.Path] = understood(v, words, other)
		f.count(string(v.Path))
	}
	return f
}

// count notes that lists on the way have an item and tables a name.
func (f *formOf) count(path string) {
	for i := 0; i < len(path); i++ {
		if path[i] != '[' {
			continue
		}
		end := i + strings.IndexByte(path[i:], ']')
		if end < i {
			return
		}
		if n, err := strconv.Atoi(path[i+1 : end]); err == nil {
			f.counts[path[:i]] = max(f.counts[path[:i]], n+1)
		}
	}
	plain := plainPath(path)
	for _, at := range formTables() { // a table: what follows its path is a name
		if !finding.Path(plain).Under(finding.Path(at)) {
			continue
		}
		for i := len(path); i > 0; i = strings.LastIndexAny(path[:i], ".[") {
			if plainPath(path[:i]) == at && i < len(path) {
				f.names[path[:i]] = append(f.names[path[:i]], path)
			}
		}
	}
}

// formTables are the paths of the tables of the form.
var formTables = sync.OnceValue(func() (out []string) {
	for at, t := range formTree() {
		if t.Kind == "table" {
			out = append(out, at)
		}
	}
	return out
})

// build makes the fields under a key.
func (f *formOf) build(t *tree, path string) field {
	w := f.words
	p := finding.Path(path)
	out := field{Path: path, ID: idOf(p), Label: fixed(w, string(t.Label)), Help: sentence(fixed(w, string(t.Help))), Kind: "line", Text: f.text[p], Said: f.said[p], Taken: f.taken[p], Wrong: f.wrong[p], Example: t.Example}
	if w.Units == lang.Metric && t.Metric != "" {
		out.Example = t.Metric
	}
	if out.Example != "" {
		out.Eg = example(w, out.Example)
	}
	inside := func(at string) (kids []field) {
		kids = make([]field, 0, len(t.kids))
		for _, k := range t.kids {
			kids = append(kids, f.build(k, at+strings.TrimPrefix(k.Path[len(t.Path):], "[]")))
		}
		return kids
	}
	switch {
	case t.Kind == "group":
		out.Kind, out.Kids = "group", inside(path)
		f.short(&out, t, path)
	case t.Kind == "list":
		out.Kind = "list"
		for n := range f.counts[path] {
			at := path + "[" + strconv.Itoa(n) + "]"
			i := item{Path: at, Kids: inside(at), Wrong: f.wrong[finding.Path(at)]}
			for k := range i.Kids {
				if i.Kids[k].Path == at+"."+t.Short && i.Kids[k].Text == "" {
					i.Kids[k].Text = f.text[finding.Path(at)]
				}
			}
			i.Name = f.text[finding.Path(at)]
			if n := f.text[finding.Path(at+".name")]; n != "" {
				i.Name = n
			}
			out.Items = append(out.Items, i)
		}
		out.Text = ""
	case t.Kind == "values", t.Kind == "pair":
		out.Kind = "lines"
		n := f.counts[path] + 1
		if t.Kind == "pair" {
			n = 2
		}
		for i := range n {
			at := finding.Path(path).Item(i)
			out.Items = append(out.Items, item{Path: string(at), Text: f.text[at], Wrong: f.wrong[at]})
		}
	case t.Kind == "table":
		out.Kind = "names"
		for _, at := range f.names[path] {
			name := strings.Trim(strings.TrimPrefix(at, path), `.[]"`)
			out.Items = append(out.Items, item{Path: at, Name: name, Text: f.text[finding.Path(at)], Wrong: f.wrong[finding.Path(at)]})
		}
	case len(t.Words) > 0, t.Kind == "yes_no":
		out.Kind = "word"
		all := t.Words
		if t.Kind == "yes_no" {
			all = []string{"yes", "no"}
		}
		found := out.Text == ""
		for _, word := range all {
			chosen := strings.EqualFold(out.Text, word)
			found = found || chosen
			out.Options = append(out.Options, option{word, wordOf(w, word), chosen})
		}
		if !found { // written in words of its own: it stays as it was typed
			out.Options = append(out.Options, option{out.Text, out.Text, true})
		}
		out.Eg, out.Nothing = "", fixed(w, "web.form.open")
	}
	f.asksMatters(&out)
	return out
}

// sentence writes the meaning of a key as a sentence. One that begins with pH keeps its small letter.
func sentence(text string) string {
	text = strings.TrimSuffix(text, ".") + "."
	r, n := utf8.DecodeRuneInString(text)
	if next, _ := utf8.DecodeRuneInString(text[n:]); unicode.IsUpper(next) {
		return text
	}
	return string(unicode.ToUpper(r)) + text[n:]
}

// short puts a bare text that stands in place of a group at the key that it fills.
func (f *formOf) short(out *field, t *tree, path string) {
	if text := f.text[finding.Path(path)]; text != "" {
		out.Text = ""
		for k := range out.Kids {
			if t.Short == "" && k == 0 || out.Kids[k].Path == path+"."+t.Short {
				out.Kids[k].Text, out.Kids[k].Wrong = text, append(out.Kids[k].Wrong, f.wrong[finding.Path(path)]...)
				out.Wrong = nil
				return
			}
		}
	}
}

// wordOf gives a word of the brief in the reader's language.
func wordOf(words *lang.Printer, word string) string {
	id := "web.word." + strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(word))
	if words.Can(id) {
		return fixed(words, id)
	}
	return word
}

// sayings are the sentences of the form that are always the same, by their language: a form has a thousand.
var sayings sync.Map

type saying struct{ language, id, text string }

// fixed gives a sentence in which nothing is filled in.
func fixed(words *lang.Printer, id string) string {
	key := saying{words.Language, id, ""}
	if s, ok := sayings.Load(key); ok {
		return s.(string)
	}
	s := words.Say(id, nil)
	sayings.Store(key, s)
	return s
}

// example gives an example of the definition of the brief in words.
func example(words *lang.Printer, text string) string {
	key := saying{words.Language, "web.form.example", text}
	if s, ok := sayings.Load(key); ok {
		return s.(string)
	}
	s := words.Say(key.id, finding.Args{"Text": text})
	sayings.Store(key, s)
	return s
}

// groups makes the groups of the form.
func (f *formOf) groups() []formGroup {
	var out []formGroup
	all := formTree()
	for _, g := range formGroups {
		group := formGroup{ID: g.id}
		var place func(x field)
		place = func(x field) {
			switch {
			case slices.Contains(g.open, x.Path):
				group.Open = append(group.Open, x)
			case x.Kind == "group" && slices.Contains(g.roots, x.Path):
				group.More = slices.Grow(group.More, len(x.Kids))
				for _, k := range x.Kids {
					place(k)
				}
			default:
				group.More = append(group.More, x)
				if x.Open() {
					group.Given++
				}
			}
		}
		for _, root := range g.roots {
			if t := all[root]; t != nil {
				x := f.build(t, root)
				if x.Kind == "group" && len(x.Kids) > 0 && len(x.Wrong) > 0 {
					x.Kids[0].Wrong = append(x.Kids[0].Wrong, x.Wrong...)
				}
				place(x)
			}
		}
		slices.SortStableFunc(group.Open, func(a, b field) int { return slices.Index(g.open, a.Path) - slices.Index(g.open, b.Path) })
		out = append(out, group)
	}
	return out
}

// keepForm keeps what a form says as the next version of the brief. Without script the
// buttons that add, drop and mend send the whole form too.
func (v *visit) keepForm() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if err := v.filled(); err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	if err := v.mayChange(b); err != nil {
		return err
	}
	saw, err := strconv.Atoi(v.PostFormValue("version"))
	if err != nil {
		saw = b.Version
	}
	from, err := v.shownIn(b, saw) // what was kept before is the same text again
	if err != nil {
		return err
	}
	next := from.posted(v.PostForm)
	text := string(next.Encode())
	if text != string(from.brief().Encode()) {
		id := v.PostFormValue("id")
		if id == "" {
			id = store.NewID()
		}
		if _, err = v.Store.PutBrief(v.context(), v.who, id, b.ID, saw, text, plan.Code); err != nil {
			return v.again(b, saw, err)
		}
	}
	if v.PostFormValue("then") == "plan" {
		return v.to("/beds/" + b.ID + "/plan")
	}
	at := ""
	if list := v.PostFormValue("add"); list != "" {
		at = "?more=" + url.QueryEscape(list) + "#" + url.PathEscape(list)
	} else if item := v.PostFormValue("drop"); item != "" {
		list, _ := cutItem(item)
		at = "#" + url.PathEscape(list)
	}
	return v.to("/beds/" + b.ID + "/brief" + at)
}

// again shows the form with what was typed when it could not be kept, and why. Where
// somebody else kept a version meanwhile, what was typed stands over theirs.
func (v *visit) again(b aBed, saw int, err error) error {
	var f finding.Fault
	if !errors.As(err, &f) {
		return err
	}
	what, right := v.words.Fault(f)
	v.retold = f
	told := wrong{what, right}
	mine := v.PostForm
	if f.ID == store.FaultStale || f.ID == store.FaultConflict {
		if b, err = v.theBed(); err != nil {
			return err
		}
		shown, err := v.shownIn(b, saw)
		if err != nil {
			return err
		}
		if shown.brief() != b.brief() {
			mine = typed(shown.brief(), mine)
		}
		v.differs, v.beside = differ(b.reading, mine, v.words), "/beds/"+b.ID+"/versions?from="+strconv.Itoa(saw)+"&to="+strconv.Itoa(b.Version)
		told = wrong{v.say("web.form.meanwhile"), v.say("web.form.meanwhile_right")}
	}
	next := b.posted(mine)
	b.reading = readAs(next, next.Faults())
	return v.showForm(b, statusOf(f), told)
}

// shownIn gives the brief of a bed as it stood in a version, as it stands where there is none such.
func (v *visit) shownIn(b aBed, version int) (reading, error) {
	if version == b.Version {
		return b.reading, nil
	}
	list, err := v.Store.Versions(v.context(), v.who, b.ID)
	for _, x := range list {
		if x.Number == version {
			return v.memory.parse(x.Text), err
		}
	}
	return b.reading, err
}

// differ lists what a form says otherwise than a brief: the name of a key, what the brief says, what the form says.
func differ(b reading, form url.Values, words *lang.Printer) (out [][3]string) {
	for _, name := range slices.Sorted(maps.Keys(form)) {
		path := strings.TrimPrefix(strings.TrimPrefix(name, "new:"), "text:")
		if !places(path) || formTree()[plainPath(path)] == nil && !inTable(path) {
			continue
		}
		stands, now := "", strings.TrimSpace(form.Get(name))
		if path == name { // else a new name of a table, or its text
			stands = before(b.texts(), path)
		}
		if stands != now {
			out = append(out, [3]string{labelOf(words, finding.Path(path)), stands, now})
		}
	}
	return out
}
