package web

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/lang"
)

// versionRow is a version of a brief in the list.
type versionRow struct {
	Number int
	When   string
	To     string // the page that lays it beside the one before
}

// differs is a key that is not the same in two versions.
type differs struct{ Name, Path, Before, After string }

// versions shows the versions of a brief, two of them side by side where that is asked.
func (v *visit) versions() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	body := struct {
		Rows      []versionRow
		Bed       string
		From, To  int
		Other     []differs
		Figures   []differs
		Unchanged bool
		Mine      bool // whether the reader may write the next version
		Removes   bool
	}{Bed: b.ID, Mine: b.ID != demonstration && v.who.Changes(b.Bed), Removes: b.ID != demonstration && v.who.Removes(b.Bed)}
	if b.ID != demonstration {
		list, err := v.Store.Versions(v.context(), v.who, b.ID)
		if err != nil {
			return err
		}
		text := map[int]string{}
		for _, x := range list {
			text[x.Number] = x.Text
			row := versionRow{Number: x.Number, When: v.words.Date(x.Recorded.Local()) + " " + x.Recorded.Local().Format("15:04")}
			if x.Number > 1 {
				row.To = "?from=" + strconv.Itoa(x.Number-1) + "&to=" + strconv.Itoa(x.Number)
			}
			body.Rows = append(body.Rows, row)
		}
		slices.Reverse(body.Rows)
		body.From, _ = strconv.Atoi(v.FormValue("from"))
		body.To, _ = strconv.Atoi(v.FormValue("to"))
		one, ok := text[body.From]
		two, also := text[body.To]
		if ok && also {
			if body.Other, body.Figures, err = v.between(b, one, two); err != nil {
				return err
			}
			body.Unchanged = len(body.Other)+len(body.Figures) == 0
		} else {
			body.From, body.To = 0, 0
		}
	}
	s := v.of(b, "versions")
	s.Body = body
	return v.show("versions", s)
}

// between tells what differs in the keys of two briefs of a bed, and in what their plans come to. Both go on from what its log taught,
// as the page of its plan does.
func (v *visit) between(b aBed, one, two string) (keys, figures []differs, err error) {
	if err := v.learnedOnce(b); err != nil {
		return nil, nil, err
	}
	var texts [2]map[finding.Path]string
	var glances [2][]figure
	var order []finding.Path
	for i, text := range []string{one, two} {
		x := b
		x.reading = v.memory.parse(text)
		texts[i] = map[finding.Path]string{}
		for _, value := range x.brief().Values() {
			texts[i][value.Path] = value.Text
			if !slices.Contains(order, value.Path) {
				order = append(order, value.Path)
			}
		}
		p, words, err := v.typedPlan(x)
		if err != nil {
			return nil, nil, err
		}
		glances[i], _ = glance(b.ID, p, words)
	}
	for _, path := range order {
		if a, z := texts[0][path], texts[1][path]; a != z {
			keys = append(keys, differs{wholeLabel(v.words, path), string(path), tells(v.words, a), tells(v.words, z)})
		}
	}
	for i, g := range glances[0] {
		if i < len(glances[1]) && g.Name == glances[1][i].Name && g.Value != glances[1][i].Value {
			figures = append(figures, differs{Name: g.Name, Before: g.Value, After: glances[1][i].Value})
		}
	}
	return keys, figures, nil
}

// learnedOnce has the log of a bed followed where that was never done, so that what it taught is known.
func (v *visit) learnedOnce(b aBed) error {
	if b.ID == demonstration {
		return nil
	}
	if _, is, err := v.Store.Answer(v.context(), v.who, b.ID, knownLearned+" "); err != nil || is {
		return err
	}
	whole, _, err := v.logged(b)
	if err == nil && whole.taught {
		_, err = v.made(whole)
	}
	return err
}

// wholeLabel names a key with the list or the table in which it is: "Shelf 2: Price", "Doses pinned: Epsom salt".
func wholeLabel(words *lang.Printer, path finding.Path) string {
	p := string(path)
	if at := strings.LastIndexByte(p, '['); at > 0 && strings.Contains(p[at:], "]") {
		n, rest, _ := strings.Cut(p[at+1:], "]")
		i, err := strconv.Atoi(n)
		if err == nil && rest != "" {
			return labelOf(words, finding.Path(p[:at])) + " " + strconv.Itoa(i+1) + ": " + labelOf(words, path)
		} else if err == nil {
			return labelOf(words, finding.Path(p[:at])) + " " + strconv.Itoa(i+1)
		}
	}
	for i := len(p); i > 0; i = strings.LastIndexAny(p[:i], ".[") {
		if t := formTree()[plainPath(p[:i])]; t != nil && t.Kind == "table" && i < len(p) {
			return labelOf(words, finding.Path(p[:i])) + ": " + wordOf(words, strings.Trim(p[i:], `.[]"`))
		}
	}
	return labelOf(words, path)
}

// tells gives a text of a brief as a reader is told it: a day with its month, a word in their language, a number that was
// reckoned to three figures. What somebody typed in fewer stays as it is.
func tells(words *lang.Printer, text string) string {
	if day, err := time.Parse(time.DateOnly, text); err == nil {
		return words.Date(day)
	}
	number, unit, _ := strings.Cut(text, " ")
	const typed = 4 // digits
	if x, err := strconv.ParseFloat(number, 64); err == nil && len(strings.TrimLeft(strings.ReplaceAll(number, ".", ""), "-0")) > typed {
		return strings.TrimSpace(words.Number(x) + "\u00a0" + unit)
	}
	return wordOf(words, text)
}
