package web

import (
	"cmp"
	"net/http"
	"strconv"
	"strings"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/store"
)

// sharedRoots are the parts of a brief that an office keeps once, by the kinds of sheets, in the order in which they are shown.
var sharedRoots = []struct {
	kind store.SheetKind
	root string
}{{store.WaterSheet, "water"}, {store.ShelfSheet, "shelf"}, {store.PriceSheet, "prices"}, {store.PlaceSheet, "site"}}

func rootOf(kind store.SheetKind) string {
	for _, r := range sharedRoots {
		if r.kind == kind {
			return r.root
		}
	}
	return ""
}

// Marks of a sheet, as remarks over its part of a brief: a reader of briefs passes them over.
const markPlace, markDay = "# place: ", "# day: "

// sharedSheet is a sheet on a page.
type sharedSheet struct {
	ID, Name, Place, Day string
	When                 string // it was written
	Version              int
}

// sharedKind is a kind with its sheets.
type sharedKind struct {
	Kind, Name, Help string
	Sheets           []sharedSheet
}

func (v *visit) sharedKinds() (out []sharedKind, err error) {
	for _, r := range sharedRoots {
		k := sharedKind{Kind: string(r.kind), Name: v.say("web.shared.kind." + string(r.kind)), Help: v.say("web.shared.help." + string(r.kind))}
		list, err := v.Store.Sheets(v.context(), v.who, r.kind)
		if err != nil {
			return nil, err
		}
		for _, x := range list {
			k.Sheets = append(k.Sheets, v.sharedSheet(x))
		}
		out = append(out, k)
	}
	return out, nil
}

func (v *visit) sharedSheet(x store.Sheet) sharedSheet {
	place, day := marksOf(x.Text)
	out := sharedSheet{ID: x.ID, Name: x.Name, Place: place, Day: day, Version: x.Version, When: v.words.Date(x.Recorded.Local())}
	if on, err := time.Parse(time.DateOnly, day); err == nil {
		out.Day = v.words.Date(on)
	}
	return out
}

// marksOf reads where and when what a sheet says was found.
func marksOf(text string) (place, day string) {
	for line := range strings.Lines(text) {
		if rest, ok := strings.CutPrefix(line, markPlace); ok {
			place = strings.TrimSpace(rest)
		} else if rest, ok := strings.CutPrefix(line, markDay); ok {
			day = strings.TrimSpace(rest)
		}
	}
	return place, day
}

// marked gives the text of a sheet: its marks, and its part of a brief.
func marked(b *brief.Brief, root, place, day string) string {
	var out strings.Builder
	if place = strings.Join(strings.Fields(place), " "); place != "" {
		out.WriteString(markPlace + place + "\n")
	}
	if day != "" {
		out.WriteString(markDay + day + "\n")
	}
	part, _ := brief.Parse(briefName, nil)
	for _, x := range b.Values() {
		if x.Path.Under(finding.Path(root)) {
			if next, _ := part.Set(x.Path, x.Text); next != nil {
				part = next
			}
		}
	}
	out.Write(part.Encode())
	return out.String()
}

// withSheet gives a brief with a sheet of the office in it. A water and a shelf take the place of those of the brief; of prices and of a
// place the keys that the sheet has do.
func withSheet(b *brief.Brief, s store.Sheet) *brief.Brief {
	part, _ := brief.Parse(briefName, []byte(s.Text))
	if part == nil {
		return b
	}
	root := rootOf(s.Kind)
	if s.Kind == store.WaterSheet || s.Kind == store.ShelfSheet {
		if next, _ := b.Set(finding.Path(root), ""); next != nil {
			b = next
		}
	}
	for _, x := range part.Values() {
		if x.Path.Under(finding.Path(root)) {
			if next, _ := b.Set(x.Path, x.Text); next != nil {
				b = next
			}
		}
	}
	return b
}

// shared lists what the office keeps once: waters, shelves, prices, places.
func (v *visit) shared() error {
	kinds, err := v.sharedKinds()
	if err != nil {
		return err
	}
	body := struct {
		Kinds  []sharedKind
		Writes bool
	}{kinds, v.who.Supplies()}
	return v.show("shared", sheet{Title: v.say("web.shared.title"), Of: v.say("web.shared.of"), Body: body})
}

// sheetPage is one sheet, to read or to fill in.
type sheetPage struct {
	ID, Writing, Kind, Name, Place, Day string
	Version                             int
	Fields                              []field
	Writes                              bool
	Told                                []wrong
	Past                                []sharedSheet
}

// newSheet shows an empty sheet of a kind.
func (v *visit) newSheet() error {
	kind := store.SheetKind(v.PathValue("kind"))
	if rootOf(kind) == "" {
		return finding.Fault{ID: FaultNowhere, Args: finding.Args{"Address": v.URL.Path}}
	}
	if !v.who.Supplies() {
		return v.notYours("store.word.sheet", "")
	}
	return v.showSheet(http.StatusOK, store.Sheet{ID: store.NewID(), Kind: kind}, nil)
}

// oneSheet shows a sheet of the office.
func (v *visit) oneSheet() error {
	s, err := v.Store.Sheet(v.context(), v.who, v.PathValue("sheet"))
	if err != nil {
		return err
	}
	return v.showSheet(http.StatusOK, s, nil)
}

func (v *visit) showSheet(status int, s store.Sheet, told []wrong) error {
	b, faults := brief.Parse(briefName, []byte(s.Text))
	if b == nil {
		b, faults = brief.Parse(briefName, nil)
	}
	words, err := v.wordsFor(readAs(b, nil))
	if err != nil {
		return err
	}
	other, err := lang.For(words.Language, lang.Metric)
	if err != nil {
		return err
	}
	root := rootOf(s.Kind)
	form := readForm(b.Values(), besideForm{Wrong: wrongAt(faults, words)}, words, other)
	if more := v.FormValue("more"); more == root && formTree()[root].Kind == "list" || s.Version == 0 && formTree()[root].Kind == "list" {
		form.counts[root]++
	}
	body := sheetPage{ID: s.ID, Writing: store.NewID(), Kind: string(s.Kind), Name: s.Name, Version: s.Version, Writes: v.who.Supplies(), Told: told, Fields: []field{form.build(formTree()[root], root)}}
	body.Place, body.Day = marksOf(s.Text)
	if s.Version > 1 {
		past, err := v.Store.SheetHistory(v.context(), v.who, s.ID)
		if err != nil {
			return err
		}
		for _, x := range past {
			body.Past = append(body.Past, v.sharedSheet(x))
		}
	}
	return v.showAs(status, "sharedsheet", sheet{Title: cmp.Or(s.Name, v.say("web.shared.new."+string(s.Kind))), Of: v.say("web.shared.help." + string(s.Kind)), Body: body})
}

// keepSheet keeps the next version of a sheet, or its first.
func (v *visit) keepSheet() error {
	if err := v.filled(); err != nil {
		return err
	}
	id := v.PathValue("sheet")
	if !v.who.Supplies() {
		return v.notYours("store.word.sheet", id)
	}
	saw, err := strconv.Atoi(v.PostFormValue("version"))
	s := store.Sheet{ID: id, Kind: store.SheetKind(v.PostFormValue("kind"))}
	if err != nil || rootOf(s.Kind) == "" {
		return finding.Fault{ID: FaultForm}
	}
	before, err := v.Store.Sheet(v.context(), v.who, id)
	if err != nil && !(store.Is(err, store.FaultNotFound) && saw == 0) {
		return err
	}
	b, _ := brief.Parse(briefName, []byte(before.Text))
	if b == nil {
		b, _ = brief.Parse(briefName, nil)
	}
	b = posted(b, v.PostForm)
	s.Name, s.Version = strings.TrimSpace(v.PostFormValue("name")), saw
	day := strings.TrimSpace(v.PostFormValue("day"))
	s.Text = marked(b, rootOf(s.Kind), v.PostFormValue("place"), day)
	_, wrongDay := time.Parse(time.DateOnly, day)
	switch {
	case s.Name == "":
		return v.showSheet(http.StatusBadRequest, s, []wrong{{v.say("web.shared.nameless"), v.say("web.shared.nameless_right")}})
	case day != "" && wrongDay != nil:
		return v.showSheet(http.StatusBadRequest, s, []wrong{{v.say("web.shared.no_day"), v.say("web.shared.no_day_right")}})
	}
	if _, err := v.Store.PutSheet(v.context(), v.who, cmp.Or(v.PostFormValue("id"), store.NewID()), saw, s); err != nil {
		return v.retell(func(status int, told []wrong) error { return v.showSheet(status, s, told) }, err)
	}
	if v.PostFormValue("add") != "" {
		return v.to("/shared/" + id + "?more=" + rootOf(s.Kind))
	}
	if v.PostFormValue("drop") != "" {
		return v.to("/shared/" + id)
	}
	return v.to("/shared")
}
