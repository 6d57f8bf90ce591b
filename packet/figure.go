package packet

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/source"
)

// Worked is a figure of a plan with the step of the working that finds it. A figure that stands for many walls, months or
// ions is one: its steps are told together.
type Worked struct {
	ID      string   // in an address: "frame.volume"
	Chapter string   // the title of that trade's sums
	Name    string   // what it is, in words
	Rule    string   // its formula and what was put in; of many the formula alone
	Value   string   // what came out, with its unit; of many how many
	Sources []Source // where the rule is from
}

// Source is where a rule or a value is from. Its title stays in its own language.
type Source struct{ Title, Standing string }

// Figures lists every figure of a plan whose working can be shown, in the order of the work; of these sections alone, where some are named.
func Figures(p plan.Plan, words *lang.Printer, sections ...string) (out []Worked) {
	for _, c := range chapters {
		named := func(id string) bool { return slices.Contains(sections, id) }
		if c.id != "" && (len(sections) == 0 || slices.ContainsFunc(c.sections, named)) {
			out = append(out, onPaper(p, words, Options{}).worked(c.id, p.Working(c.part))...)
		}
	}
	return out
}

// Short gives these figures by their IDs; those that a plan does not have are not there.
func Short(p plan.Plan, words *lang.Printer, ids ...string) map[string]Worked {
	out := map[string]Worked{}
	for _, c := range chapters {
		has := func(id string) bool { trade, _, _ := strings.Cut(id, "."); return trade == c.id }
		if c.id == "" || !slices.ContainsFunc(ids, has) {
			continue
		}
		steps := slices.DeleteFunc(p.Working(c.part), func(s finding.Step) bool { return !slices.Contains(ids, figureID(c.id, s)) })
		for _, f := range onPaper(p, words, Options{}).worked(c.id, steps) {
			out[f.ID] = f
		}
	}
	return out
}

// figureID names the figure of a step of a chapter in an address. A recipe that was found is reckoned by the same rules as the
// mix, in a chapter of its own.
func figureID(chapter string, s finding.Step) string {
	return chapter + s.Name[strings.LastIndexByte(s.Name, '.'):]
}

// worked gathers the figures of steps.
func (w writer) worked(chapter string, steps []finding.Step) (out []Worked) {
	byID := map[string][]finding.Step{}
	var ids []string
	for _, s := range steps {
		id := figureID(chapter, s)
		if byID[id] == nil {
			ids = append(ids, id)
		}
		byID[id] = append(byID[id], s)
	}
	for _, id := range ids {
		all := byID[id]
		s := w.words.Step(all[0])
		f := Worked{ID: id, Chapter: w.say("packet.sums."+chapter, nil), Name: w.words.Say(all[0].Name, nil)}
		if len(all) == 1 {
			f.Rule, f.Value = w.rule(s.Formula, s.Inputs).Plain(), w.figured(s.Value, s.Unit).Plain()
			if s.Symbol != "" {
				f.Rule = s.Symbol + " = " + f.Rule
			}
		} else {
			f.Rule, f.Value = w.rule(s.Formula, nil).Plain(), w.say("packet.figure.values", finding.Args{"Count": len(all)})
		}
		for _, s := range all {
			e, ok := source.Find(s.Source)
			title, _ := w.titled(e)
			x := Source{title, w.standing(e)}
			if ok && !slices.Contains(f.Sources, x) {
				f.Sources = append(f.Sources, x)
			}
		}
		out = append(out, f)
	}
	return out
}

// titled tells what a source is, and whether that is in its author's language: what has no author but us is in the reader's.
func (w writer) titled(e source.Entry) (title string, theirs bool) {
	if ours := "source.title." + strings.NewReplacer(".", "_", "-", "_").Replace(string(e.ID)); e.Author == "" && w.words.Can(ours) {
		return w.words.Say(ours, nil), false
	}
	return sentences(e.Author, e.Title, e.Where, e.Year), true
}

// sentences puts what there is one after the other.
func sentences(parts ...string) string {
	parts = slices.DeleteFunc(parts, func(x string) bool { return x == "" })
	for i := range parts[:max(1, len(parts))-1] { // "et al." has its stop
		parts[i] = strings.TrimSuffix(parts[i], ".")
	}
	return strings.Join(parts, ". ")
}

// cited writes an entry of the bibliography, and with how it was read where that is wanted; what is not in the reader's
// language is marked as that.
func (w writer) cited(e source.Entry, read bool) page.Text {
	other := func(text string) page.Text {
		if w.words.Language != "en" {
			return page.In("en", page.Literal(text))
		}
		return page.Literal(text)
	}
	title, theirs := w.titled(e)
	switch {
	case theirs && read:
		return other(sentences(title, e.Note))
	case theirs:
		return other(title)
	case read && e.Note != "":
		return page.Literal(title) + ". " + other(e.Note)
	}
	return page.Literal(title)
}

// standing tells how far a source can be trusted.
func (w writer) standing(e source.Entry) string {
	return w.say("packet.source."+strings.ReplaceAll(e.Standing.String(), " ", "_"), nil)
}

// Figure makes the working of one figure: its rule with what was put in, the figures that these came from, down to what
// was given, and the sources with their standing. Rests are the figures that it rests on. So it tells where a hole, a board, a
// month or a sentence of what was noticed comes from. False where the plan has none of that ID.
func Figure(p plan.Plan, words *lang.Printer, o Options, id string) (doc page.Document, rests []Worked, ok bool) {
	w := onPaper(p, words, o)
	w.cites = &citations{}
	doc = w.document(o)
	if t, is := w.traced(id); is {
		blocks, rests := w.traceOf(t)
		doc.Sections = []page.Section{{ID: "figure", Title: t.title, Blocks: blocks}}
		return doc, rests, true
	}
	var before []finding.Step
	var of []int // the chapter of each
	for k, c := range chapters {
		if c.id == "" {
			continue
		}
		first := len(before)
		before = append(before, p.Working(c.part)...)
		of = append(of, slices.Repeat([]int{k}, len(before)-first)...)
		if trade, _, _ := strings.Cut(id, "."); trade != c.id {
			continue
		}
		var own []finding.Step
		on := map[int]bool{}
		for i, s := range before[first:] {
			if figureID(c.id, s) == id {
				own = append(own, s)
				restsOn(before, first+i, on)
			}
		}
		if len(own) == 0 {
			return doc, nil, false
		}
		blocks := w.sums(own)
		var under []finding.Step
		for k, t := range chapters {
			var list []finding.Step
			for i, s := range before {
				if on[i] && of[i] == k && !(t.id == c.id && figureID(c.id, s) == id) {
					list = append(list, s)
				}
			}
			under, rests = append(under, list...), append(rests, w.worked(t.id, list)...)
		}
		if len(under) > 0 {
			blocks = append(append(blocks, w.heading("packet.figure.rests")), w.sums(under)...)
		}
		blocks = append(append(blocks, w.heading("packet.source.title")), w.sources()...)
		doc.Sections = []page.Section{{ID: "figure", Title: string(w.capital(finding.Word(own[0].Name))), Blocks: blocks}}
		return doc, rests, true
	}
	return doc, nil, false
}

// restsOn marks the steps of which the results went into a step, and those that they rest on.
func restsOn(steps []finding.Step, at int, on map[int]bool) {
	for _, in := range steps[at].Inputs {
		for i := at - 1; i >= 0; i-- {
			if cameFrom(in, steps[i]) {
				if !on[i] {
					on[i] = true
					restsOn(steps, i, on)
				}
				break
			}
		}
	}
}

// cameFrom tells whether what was put into a step is the result of another: the same figure by the same name, or, under
// another, one so long that no two are the same by chance.
func cameFrom(in finding.Input, s finding.Step) bool {
	if in.Value != s.Value || in.Unit != s.Unit {
		return false
	}
	const short = 6 // digits
	digits := strings.Trim(strings.TrimLeft(strconv.FormatFloat(math.Abs(in.Value), 'f', -1, 64), "0."), "0")
	return in.Symbol == s.Symbol || len(digits) > short
}

// Sums makes the sums of the trades, each a section, and the sources at their end.
func Sums(p plan.Plan, words *lang.Printer, o Options) page.Document {
	w := onPaper(p, words, o)
	w.cites = &citations{}
	doc := w.document(o)
	for _, c := range chapters {
		if s, ok := w.summed(c.id, c.part); ok {
			doc.Sections = append(doc.Sections, s)
		}
	}
	doc.Sections = append(doc.Sections, w.sections([]string{"source"})...)
	return doc
}

// summed is the section of the sums of a trade.
func (w writer) summed(chapter string, part plan.Part) (page.Section, bool) {
	if chapter == "" {
		return page.Section{}, false
	}
	blocks := w.sums(w.p.Working(part))
	return page.Section{ID: "sums-" + chapter, Title: w.say("packet.sums."+chapter, nil), Blocks: blocks}, len(blocks) > 0
}
