package web

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/google/uuid"

	"raftwright/programme"
	"raftwright/store"
)

// Kinds of sheets that are keyed in. A questionnaire is named by its form.
const (
	signInSheet = "signins"
	slipSheet   = "slips"
	formSheet   = "answers"
	waveSheet   = "replies"
)

// slipItems are what a printed slip asks before and after, and groupsOnSlip how many groups stand on it before "rather not say", in
// the order in which they are printed (packet.BlankSlips).
var slipItems = []string{"build", "line", "mix", "safe"}

const groupsOnSlip = 7

// pile is a stack of sheets of one kind from one event, and how it is keyed in.
type pile struct {
	store.Record
	kind, event, form, state string
	twice                    bool
	nowFirst                 bool   // a pile of slips keyed as they are printed now; those begun before were keyed before first
	back                     string // the day on which the forms of a follow-up came back
	of                       programme.Event
	wave                     programme.Wave
	asked                    []programme.Asked // of a questionnaire
}

// pileState are what a pile can be: being keyed in, or written into the book.
const pileDone = "done"

// column is a column of the grid in which a pile is keyed.
type keyColumn struct {
	name, Head string
	wide       bool
}

// leftOut stands in a cell that the sheet leaves open; takenAway names what says that a sheet was keyed and cleared again.
const leftOut, takenAway = "-", "gone"

// columns are those of the grid. Names and contacts stand in no draft, but apart.
func (v *visit) columns(p pile) (out []keyColumn) {
	add := func(name, head string, wide bool) { out = append(out, keyColumn{name, head, wide}) }
	switch p.kind {
	case signInSheet:
		add("code", v.say("web.book.column.person"), false)
		add("who", v.say("web.signin.name"), true)
		add("reach", v.say("web.people.contact"), true)
		add("ask", v.say("web.keying.ask"), false)
	case slipSheet:
		if p.older() {
			add("ethnicity", v.say("web.keying.ethnicity"), false)
			add("race", v.say("web.keying.race"), false)
		} else {
			add("groups", v.say("web.keying.groups"), false)
		}
		add("sex", v.say("web.keying.sex"), false)
		for _, i := range slipItems {
			add("item."+i, v.say("leader.slip.can_"+i), false)
		}
	case tallySheet:
		return v.tallyColumns()
	case formSheet, waveSheet:
		if !p.looksBack() || p.kind == waveSheet {
			add("own", v.say("web.keying.own"), false)
		}
		if p.kind == waveSheet {
			add("letter", v.say("web.keying.letter"), false)
			if p.wave.Question != "" {
				add("question", p.wave.Asks(v.words.Language), false)
			}
			add("pounds", v.say("web.answer.pounds"), false)
		}
		for _, a := range p.asked {
			add("item."+a.Item, a.Text(v.words.Language), false)
		}
	}
	return out
}

// looksBack tells whether both answers to an item stand on one form.
func (p pile) looksBack() bool {
	return p.kind == slipSheet || len(p.asked) > 0 && p.asked[0].Kind == "looking back"
}

// ledgerOf is where the rows of a keying wait until they are settled.
func (p pile) ledgerOf(turn int) string { return store.Drafts + p.ID + ":" + strconv.Itoa(turn) }

// keyed is what a row of the grid says: cells by the names of their columns.
type keyedCells map[string]string

// readCell tells what is wrong in a cell, and writes it as it is kept.
func (v *visit) readCell(p pile, name, text string) (string, []wrong) {
	bad := func(id string, pairs ...any) []wrong {
		return []wrong{{v.say("web.keying.bad."+id, append(pairs, "Text", text)...), v.say("web.keying.right."+id, pairs...)}}
	}
	plain := strings.ToLower(strings.TrimSpace(text))
	switch plain {
	case "":
		return "", nil
	case "-", "–", "−": // left out on the sheet
		return leftOut, nil
	}
	item, isItem := strings.CutPrefix(name, "item.")
	switch {
	case name == "code":
		code := strings.ToUpper(plain)
		if !v.stands("people", code) {
			return code, bad("code")
		}
		return code, nil
	case name == "ask":
		switch {
		case strings.HasPrefix(plain, "y"), strings.HasPrefix(plain, "s"): // yes, sí
			return "yes", nil
		case strings.HasPrefix(plain, "n"):
			return "no", nil
		}
		return text, bad("ask")
	case name == "groups":
		var picked []string
		for _, c := range strings.Map(digitsAlone, plain) {
			if c < '1' || c > '1'+groupsOnSlip {
				return text, bad("groups", "Most", groupsOnSlip+1)
			}
			if x := string(c); !slices.Contains(picked, x) {
				picked = append(picked, x)
			}
		}
		slices.Sort(picked)
		return strings.Join(picked, ""), nil
	case name == "ethnicity", name == "race":
		return readOlder(name, plain, text, bad)
	case name == "sex":
		if word := map[byte]string{'w': "F", 'f': "F", 'm': "M", 'a': "another", 'o': "another"}[v.sexLetter(plain)]; word != "" {
			return word, nil
		}
		return text, bad("sex")
	case name == "grades":
		if band, ok := readBand(plain); ok {
			return band, nil
		}
		return text, bad("grades")
	case slices.Contains(tallied, name):
		return v.readAnswer("number", plain, text, 0, bad)
	case name == "question":
		return v.readAnswer("yes", plain, text, 0, bad)
	case name == "letter":
		return v.readAnswer("letter", plain, text, mostLetters, bad)
	case name == "pounds":
		plain = withPoint(plain)
		if d, ok := programme.ParseDecimal(plain); !ok || d.Float() < 0 || d.Float() > mostPounds {
			return text, bad("pounds")
		}
		return plain, nil
	case isItem && p.pairs(item) && p.scale(item) == "yes":
		pair := strings.Map(yesOrNo, plain)
		if len(pair) != 2 || strings.Contains(pair, "x") {
			return text, bad("yes_pair")
		}
		return pair, nil
	case isItem && p.pairs(item):
		pair := strings.Map(digitsAlone, plain)
		if len(pair) != 2 || strings.Trim(pair, "12345-") != "" {
			return text, bad("pair")
		}
		return pair, nil
	case isItem:
		return v.readAnswer(p.scale(item), plain, text, len(p.choices(item, v.words.Language)), bad)
	}
	if len(text) > mostWith {
		return text, bad("long")
	}
	return strings.TrimSpace(text), nil
}

// sexLetter is the first letter of what was typed, in the letters of the English slip.
func (v *visit) sexLetter(plain string) byte {
	if v.words.Language == "es" { // mujer, hombre
		switch plain[0] {
		case 'm':
			return 'w'
		case 'h':
			return 'm'
		}
	}
	return plain[0]
}

// asKeyed writes what is kept of a cell as its reader types it: what is shown is sent again, and M is a man in English and a woman (mujer) in Spanish.
func (v *visit) asKeyed(column, kept string) string {
	letters := map[string]string{"F": "W", "M": "M", "another": "A"}
	if v.words.Language == "es" { // mujer, hombre, otro
		letters = map[string]string{"F": "M", "M": "H", "another": "O"}
	}
	if column == "sex" && letters[kept] != "" {
		return letters[kept]
	}
	return kept
}

// readAnswer reads one answer: 1 to 5, yes or no, the number of a choice, or a number.
func (v *visit) readAnswer(scale, plain, text string, choices int, bad func(string, ...any) []wrong) (string, []wrong) {
	most := 1000
	switch scale {
	case "five":
		most = 5
	case "one of", "letter":
		most = choices
	case "yes":
		switch {
		case plain == "1", strings.HasPrefix(plain, "y"), strings.HasPrefix(plain, "s"):
			return "1", nil
		case plain == "0", strings.HasPrefix(plain, "n"):
			return "0", nil
		}
		return text, bad("yes")
	}
	least := 1
	if scale == "number" {
		least = 0
	}
	n, err := strconv.Atoi(plain)
	if err != nil || n < least || n > most {
		return text, bad("number", "Least", least, "Most", most)
	}
	return strconv.Itoa(n), nil
}

// mostLetters is how many mailings a wave has, mostPounds bounds what is told to be harvested.
const mostLetters, mostPounds = 4, 100000

// yesOrNo writes a letter of a pair as 1 or 0.
func yesOrNo(c rune) rune {
	switch c {
	case 'y', 's', '1':
		return '1'
	case 'n', '0':
		return '0'
	case '-', '–', '−':
		return '-'
	case ' ', ',', '/':
		return -1
	}
	return 'x'
}

// pairs tells whether both answers to an item stand on one sheet.
func (p pile) pairs(item string) bool {
	if p.kind == slipSheet {
		return true
	}
	a, _ := p.itemOf(item)
	return asksPair(a)
}

// digitsAlone leaves the digits and the dashes of a text.
func digitsAlone(c rune) rune {
	if unicode.IsDigit(c) || c == '-' {
		return c
	}
	if c == '–' || c == '−' {
		return '-'
	}
	if strings.ContainsRune(" ,/", c) {
		return -1
	}
	return 'x'
}

func (p pile) itemOf(item string) (programme.Asked, bool) {
	for _, a := range p.asked {
		if a.Item == item {
			return a, true
		}
	}
	return programme.Asked{}, false
}

// scale is how an item is answered.
func (p pile) scale(item string) string {
	if p.kind == slipSheet {
		return "five"
	}
	a, _ := p.itemOf(item)
	return a.Answer
}

func (p pile) choices(item, language string) []string {
	a, _ := p.itemOf(item)
	return a.Options(language)
}

// bookRows gives the rows of the book that a sheet comes to, by their tables; slip and form are what its rows are called there. They are
// not the same: what somebody answered is not joined to who came.
func (p pile) bookRows(c keyedCells, slip, form string) map[string][]programmeRow {
	out := map[string][]programmeRow{}
	if c[takenAway] != "" {
		return out
	}
	c = maps.Clone(c)
	maps.DeleteFunc(c, func(_, text string) bool { return text == leftOut })
	add := func(table string, texts map[string]string) { out[table] = append(out[table], texts) }
	day := p.of.Date.String()
	switch p.kind {
	case signInSheet:
		if c["code"] == "" {
			return out
		}
		if c["fresh"] != "" {
			add("people", map[string]string{"person": c["code"], "county": p.of.County, "role": "public", "since": day})
			add("consents", map[string]string{"person": c["code"], "purpose": "keep", "given": day})
		}
		add("signins", map[string]string{"event": p.event, "person": c["code"]})
		if c["ask"] == "yes" {
			add("consents", map[string]string{"person": c["code"], "purpose": "ask", "given": day})
		}
		return out
	case slipSheet:
		of := programme.Slip{ID: slip, Event: p.event, Standard: "2024", Sex: c["sex"]}
		var groups []string
		for _, n := range c["groups"] {
			if n < '1'+groupsOnSlip { // the last box is "rather not say"
				groups = append(groups, programme.Groups()[n-'1'])
			}
		}
		if p.older() {
			of.Standard, groups = olderStandard, c.olderAnswers()
		}
		of.Groups = strings.Join(groups, "|")
		of = of.Pooled(p.of)
		add("slips", map[string]string{"slip": of.ID, "event": of.Event, "standard": of.Standard, "groups": of.Groups, "sex": of.Sex, "county": of.County, "month": of.Month})
	}
	if p.kind == tallySheet {
		add("classes", p.classRow(c, slip))
		return out
	}
	if p.kind == waveSheet {
		return p.replyRows(c, slip)
	}
	kind := "before and after"
	if p.looksBack() {
		kind = "looking back"
	}
	for _, key := range slices.Sorted(maps.Keys(c)) {
		item, isItem := strings.CutPrefix(key, "item.")
		if !isItem || c[key] == "" {
			continue
		}
		row := map[string]string{"form": form, "event": p.event, "kind": kind, "code": c["own"], "item": item}
		switch pair := c[key]; {
		case len(pair) == 2 && p.pairs(item):
			before, after := pair[:1], pair[1:]
			if p.kind == formSheet || p.nowFirst { // as it is printed
				before, after = after, before
			}
			row["before"], row["after"] = strings.Trim(before, "-"), strings.Trim(after, "-")
		case p.looksBack():
			row["after"] = pair
		case p.asked[0].Kind == "before":
			row["before"] = pair
		default:
			row["after"] = pair
		}
		add("answers", row)
	}
	return out
}

// programmeRow is a row of the book, its texts by column.
type programmeRow map[string]string

// asRecord gives a row of the book as the store keeps it. Its id follows from the pile and the row.
func (p pile) asRecord(table string, row programmeRow, key string) store.Record {
	return rowOf(table, uuid.NewSHA1(uuid.MustParse(p.ID), []byte(table+" "+key)).String(), row)
}

// bookRecords gives the rows of a sheet as the store keeps them. Their ids and names are by chance alone, so that nobody who knows the pile
// can work out which sheet of it a row was; that no pile comes into the book twice is seen by the pile.
func (p pile) bookRecords(c keyedCells) (out []store.Record) {
	for table, rows := range p.bookRows(c, coded("F", uuid.NewString()), coded("F", uuid.NewString())) {
		for _, row := range rows {
			out = append(out, rowOf(table, uuid.NewString(), row))
		}
	}
	return out
}

// inShuffledOrder puts rows in the order of their ids, which are by chance: the order of the stack is not kept.
func inShuffledOrder(list []store.Record) {
	rank := map[string]int{"people": 0, "signins": 1, "consents": 2, "slips": 3, "replies": 3, "answers": 4, "classes": 4, "corrections": 5}
	slices.SortStableFunc(list, func(a, b store.Record) int {
		return cmp.Or(cmp.Compare(rank[a.Ledger], rank[b.Ledger]), cmp.Compare(a.ID, b.ID))
	})
}

// replyRows gives the rows of a form that came back on paper in a wave; what is not said of its letter is the last that went out.
func (p pile) replyRows(c keyedCells, reply string) map[string][]programmeRow {
	letter := c["letter"]
	if letter == "" {
		letter = strconv.Itoa(min(p.wave.Reminders.N+1, mostLetters))
	}
	w := rowOf("waves", "", programmeRow{"wave": p.wave.ID, "event": p.wave.Event})
	out := map[string][]programmeRow{"replies": {{"reply": reply, "wave": p.wave.ID, "mailing": letter, "returned_on": p.back, "answer": map[string]string{"1": "yes", "0": "no"}[c["question"]], "pounds_told": c["pounds"], "own_code": c["own"]}}}
	for _, a := range p.asked {
		now, before := c["item."+a.Item], ""
		if len(now) == 2 && asksPair(a) {
			now, before = strings.Trim(now[:1], "-"), strings.Trim(now[1:], "-")
		}
		if row := answerRow(w, a, now, before); row != nil {
			row["form"], row["code"] = reply, c["own"]
			out["answers"] = append(out["answers"], row)
		}
	}
	return out
}
