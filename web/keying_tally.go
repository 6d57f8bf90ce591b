package web

import (
	"bytes"
	"cmp"
	"slices"
	"strconv"
	"strings"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press/paper"
	"raftwright/programme"
)

// tallySheet is the kind of a pile of tally sheets: a row is a line of one, which is what a class answered to an item. No pupil stands on it.
const tallySheet = "classes"

// gradeBands are the grades on a tally sheet; tallied are the boxes of a line, tallyHead is what stands at its top: the pupils of all groups together.
var (
	gradeBands = []string{"K-2", "3-5", "6-8", "9-12"}
	tallied    = []string{"before.right", "before.not", "now.right", "now.not"}
	tallyHead  = []string{"youth"}
)

// tallyColumns are the columns in which a line is keyed.
func (v *visit) tallyColumns() []keyColumn {
	out := []keyColumn{{"group", v.say("form.tally_group"), true}, {"grades", v.say("web.book.column.grades"), false}, {"of", v.say("form.tally_item"), false}}
	for _, c := range tallied {
		when, answer, _ := strings.Cut(c, ".")
		out = append(out, keyColumn{c, v.say("web.keying.cell", "Name", v.say("form.tally_"+when), "Column", v.say("form.tally_"+answer)), false})
	}
	return out
}

// readBand reads grades as they are ticked: their first sign is enough.
func readBand(plain string) (string, bool) {
	i := slices.IndexFunc(gradeBands, func(b string) bool { return strings.EqualFold(b[:1], plain[:1]) && len(plain) <= len(b) })
	if i < 0 {
		return "", false
	}
	return gradeBands[i], true
}

// fillTally writes the group and the grades of the line above into a line that has an item and neither: a sheet is of one group.
func (v *visit) fillTally(n int, above map[string]string) {
	at := func(name string) string { return "row" + strconv.Itoa(n) + ":" + name }
	if strings.TrimSpace(v.PostFormValue(at("of"))) == "" {
		return
	}
	fresh := strings.TrimSpace(v.PostFormValue(at("group"))) != ""
	for _, name := range []string{"group", "grades"} {
		if !fresh && strings.TrimSpace(v.PostFormValue(at(name))) == "" {
			v.PostForm.Set(at(name), above[name])
		}
		above[name] = strings.TrimSpace(v.PostFormValue(at(name)))
	}
}

// tallyWrongs puts what is wrong with a line as a whole at its cells, and tells whether something is. The same group and item stand on one line alone, and
// no more pupils answer an item than came; seen holds what stands above.
func (v *visit) tallyWrongs(p pile, n int, row *gridRow, columns []keyColumn, cells keyedCells, seen map[string]int) (some bool) {
	bad := func(name, id string, pairs ...any) {
		k := slices.IndexFunc(columns, func(c keyColumn) bool { return c.name == name })
		row.Cells[k].Wrong = append(row.Cells[k].Wrong, wrong{v.say("web.keying.bad."+id, pairs...), v.say("web.keying.right."+id, pairs...)})
		some = true
	}
	has := func(name string) bool { return cells[name] != "" && cells[name] != leftOut }
	for _, name := range []string{"group", "of"} {
		if !has(name) {
			bad(name, "tally_"+name)
		}
	}
	came := p.of.Youth
	if x, err := strconv.Atoi(strings.TrimSpace(v.PostFormValue("head:youth"))); err == nil {
		came = x
	}
	for _, when := range []string{"before", "now"} {
		right, not := when+".right", when+".not"
		answered := number(cells[right]) + number(cells[not])
		of := "answered " + when + " " + cells["of"]
		switch {
		case has(right) != has(not):
			at := not
			if has(not) {
				at = right
			}
			bad(at, "tally_half")
		case answered == 0 && (when == "now" || has(right)):
			bad(right, "tally_none")
		case seen[of]+answered > came:
			bad(not, "tally_pupils", "Count", seen[of]+answered, "Pupils", came)
		}
		seen[of] += answered
	}
	if line := "line " + strings.ToLower(cells["group"]) + "\x00" + cells["of"]; has("group") && has("of") {
		if above := seen[line]; above > 0 {
			bad("of", "twice", "Text", cells["of"], "Number", above)
		}
		seen[line] = n
	}
	return some
}

// classRow is the row of the book that a line comes to: who was right, and who answered.
func (p pile) classRow(c keyedCells, result string) programmeRow {
	row := programmeRow{"result": result, "event": p.event, "group": c["group"], "grades": c["grades"], "item": c["of"]}
	for when, to := range map[string]string{"before": "before", "now": "after"} {
		if c[when+".right"] != "" {
			row["right_"+to] = c[when+".right"]
			row["answered_"+to] = strconv.Itoa(number(c[when+".right"]) + number(c[when+".not"]))
		}
	}
	return row
}

// tongues are the languages in which a paper is printed, and both.
func (v *visit) tongues() (out []option) {
	for _, t := range lang.Languages() {
		out = append(out, option{t, v.say("web.language." + t), t == v.words.Language})
	}
	return append(out, option{"en+es", v.say("web.language.both"), false})
}

// tally prints the tally sheet of a class for an event of the book, with the questions of one of its forms or with none.
func (v *visit) tally() error {
	if err := v.theBook(); err != nil {
		return err
	}
	of, items := "", []programme.Asked(nil)
	err := v.withBook(func() error {
		if err := v.readBook(); err != nil {
			return err
		}
		for _, e := range v.House.year.records.Standing(v.dayNow()).Events {
			if e.ID == v.FormValue("event") {
				of = e.ID + "  " + v.words.Date(e.Date.Time())
			}
		}
		items = v.House.year.records.FormOf(v.FormValue("form"))
		return nil
	})
	if err != nil {
		return err
	}
	return v.printForm("tally.pdf", func(w words) page.Document { return packet.Tally(of, items, w, packet.Options{Paper: page.Letter}) })
}

// words are a language in which a form is printed.
type words = *lang.Printer

// printForm sends a form in the languages that were asked for, each on pages of its own.
func (v *visit) printForm(file string, form func(words) page.Document) error {
	var docs []page.Document
	for _, language := range strings.FieldsFunc(cmp.Or(v.FormValue("language"), v.words.Language), func(c rune) bool { return c == '+' || c == ' ' }) {
		if !slices.Contains(lang.Languages(), language) {
			continue
		}
		words, err := lang.For(language, v.words.Units)
		if err != nil {
			return err
		}
		d := form(words)
		d.Sections[0].Title, d.Sections[0].NewPage = d.Title, len(docs) > 0
		docs = append(docs, d)
	}
	if len(docs) == 0 {
		docs = append(docs, form(v.words))
	}
	doc := docs[0]
	doc.Sections[0].Title = ""
	for _, d := range docs[1:] {
		doc = page.Both(doc, d)
	}
	var out bytes.Buffer
	if err := paper.PDF(doc, &out); err != nil {
		return err
	}
	return v.attach("application/pdf", file, out.Bytes())
}
