package packet

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"raftwright/draw"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/page"
	"raftwright/source"
	"raftwright/trouble"
	"raftwright/unit"
)

// alone makes a document that rests on no plan.
func alone(words *lang.Printer, o Options, title string) (writer, page.Document) {
	w := writer{words: words, large: o.Large, paper: o.Paper, onPaper: true}
	units := draw.US
	if w.metric() {
		units = draw.Metric
	}
	return w, page.Document{Title: w.say(title, nil), Language: words.Language, Paper: o.Paper, Large: o.Large, Units: units,
		Words: page.Words{Page: w.say("press.page", nil), Contents: w.say("press.contents", nil),
			Words: draw.Words{Scale: w.say("press.scale", nil), NotToScale: w.say("press.not_to_scale", nil), FullSize: w.say("press.full_size", nil),
				Foot: w.say("word.unit.foot", finding.Args{"Count": 1}), Feet: w.say("word.unit.foot", nil), Inch: w.say("word.unit.inch", nil)}}}
}

// Letter is the answer to a question, to be sent: what was told, what it may be, what to check and to do, who else can
// help, and until when to write again. It holds no name.
func Letter(q trouble.Inquiry, day, again time.Time, words *lang.Printer, o Options) page.Document {
	w, d := alone(words, o, "inquiry.letter.title")
	d.Subtitle = w.words.Date(day)
	if q.Number != "" {
		d.Subtitle = w.say("inquiry.letter.of", finding.Args{"Number": q.Number, "Day": w.words.Date(day)})
	}
	advice := len(q.Concerns) == 0
	said := []page.Block{w.para("inquiry.letter.lead", nil), page.List{Items: w.facts(q.Call)}}
	s := page.Section{ID: "letter", Blocks: append(said, w.pointed(q)...)}
	if !advice { // what cannot wait stands first
		s.Blocks = append([]page.Block{w.para("inquiry.letter.thanks", nil)}, w.pointed(q)...)
		if q.Call.Facts() > 0 {
			s.Blocks = append(s.Blocks, said...)
		}
	}
	if advice && q.Opinion.Asks {
		s.Blocks = append(s.Blocks, w.heading("inquiry.letter.would_help"), page.Para{Text: w.asks(q.Opinion.Next)})
	}
	s.Blocks = append(s.Blocks, w.para("inquiry.letter.again", finding.Args{"Day": again}), page.Para{Text: w.text(map[bool]string{true: "inquiry.letter.doubt", false: "inquiry.letter.unseen"}[advice], nil), Small: true})
	if advice {
		s.Blocks = append(s.Blocks, w.citations(q.Opinion.Causes)...)
	}
	d.Sections = []page.Section{s}
	return d
}

// Intake is what a volunteer reads while somebody calls: what to ask first and next, and what it points to so far.
func Intake(q trouble.Inquiry, words *lang.Printer) page.Document {
	w, d := alone(words, Options{}, "inquiry.intake.title")
	var next []page.Block
	switch n := q.Call.Facts(); {
	case len(q.Concerns) > 0:
	case n == 0:
		var first []page.Text
		for _, c := range trouble.Asked() {
			first = append(first, w.text("inquiry.concern."+string(c), nil)+page.Literal(" (--concern "+string(c)+")"))
		}
		next = append(next, w.para("inquiry.intake.first", nil), page.List{Kind: page.Boxes, Items: first}, w.para("inquiry.intake.seen", nil))
	case q.Opinion.Asks:
		next = append(next, w.para("inquiry.intake.count", finding.Args{"Facts": n, "Most": trouble.MostFacts}), page.Para{Text: w.asks(q.Opinion.Next)}, page.List{Items: w.choices(q.Opinion.Next)})
	default:
		next = append(next, w.para("inquiry.intake.enough", finding.Args{"Count": n}))
	}
	d.Sections = []page.Section{{ID: "next", Title: w.say("inquiry.intake.next", nil), Blocks: next}}
	if next == nil {
		d.Sections = nil
	}
	if q.Call.Facts() > 0 || len(q.Concerns) > 0 {
		d.Sections = append(d.Sections, page.Section{ID: "points", Title: w.say("inquiry.intake.points", nil), Blocks: w.pointed(q)})
	}
	return d
}

// pointed tells who else can help, before the advice that this is about, and what it may be. With a concern nothing is advised.
func (w writer) pointed(q trouble.Inquiry) []page.Block {
	sent := trouble.SentOn(q.Opinion, q.Concerns)
	var before, after []page.Block
	for _, c := range sent {
		if c == trouble.Unsure {
			after = append(after, w.check(w.text("inquiry.refer.unsure", nil)))
		} else {
			before = append(before, w.warning(w.text("inquiry.refer."+string(c), nil)))
		}
	}
	if len(q.Concerns) > 0 {
		return before
	}
	return slices.Concat(before, w.advised(q), after)
}

// facts lists what was told.
func (w writer) facts(c trouble.Call) []page.Text {
	var out []page.Text
	add := func(id string, keys []string) {
		var said []string
		for _, k := range keys {
			said = append(said, w.sign(k))
		}
		if said != nil {
			out = append(out, w.text(id, finding.Args{"Signs": strings.Join(said, "; ")}))
		}
	}
	add("inquiry.fact.seen", c.Seen)
	add("inquiry.fact.is", c.Is)
	add("inquiry.fact.not_seen", c.Not)
	add("inquiry.fact.unknown", c.Unknown)
	if out == nil {
		out = append(out, w.text("inquiry.fact.none", nil))
	}
	return out
}

// sign gives a sign, or a group of facts, in words.
func (w writer) sign(key string) string {
	if id := "trouble.sign." + key; w.words.Can(id) {
		return w.say(id, nil)
	}
	return w.say("inquiry.group."+key, nil)
}

// asks puts what is to be asked as a question.
func (w writer) asks(q trouble.Question) page.Text {
	if q.Group == trouble.Seen {
		return w.text("inquiry.ask.seen", finding.Args{"Sign": w.sign(q.Signs[0])})
	}
	return w.text("inquiry.ask."+q.Group, nil)
}

// choices are the answers to it, with how each is written down.
func (w writer) choices(q trouble.Question) []page.Text {
	as := func(id, words string) page.Text { return page.Literal(words + " (" + id + ")") }
	key := q.Group
	var out []page.Text
	if q.Group == trouble.Seen {
		key = q.Signs[0]
		out = append(out, as("--seen "+key, w.say("inquiry.yes", nil)), as("--not "+key, w.say("inquiry.no", nil)))
	} else {
		for _, k := range q.Signs {
			out = append(out, as("--is "+k, w.sign(k)))
		}
	}
	return append(out, as("--unknown "+key, w.say("inquiry.unknown", nil)))
}

// mostTold is how many causes a letter explains.
const mostTold = 2

// advised tells the causes that may be acted on, and names what else it could be.
func (w writer) advised(q trouble.Inquiry) []page.Block {
	o := q.Opinion
	if !o.Sure {
		out := []page.Block{w.heading("inquiry.letter.unsure_head"), w.para("inquiry.letter.unsure", nil)}
		if others := w.others(o.Causes); others != "" {
			out = append(out, w.para("inquiry.letter.others", finding.Args{"Troubles": others}))
		}
		return out
	}
	out := []page.Block{w.heading("inquiry.letter.may_be")}
	told, explained := slices.Concat(q.Call.Seen, q.Call.Not, q.Call.Is), 0
	for _, c := range o.Causes {
		if c.Share < trouble.Acted || explained == mostTold {
			break
		}
		explained++
		items := []page.Text{w.text("tend.causes.check", finding.Args{"Check": w.say("trouble.check."+c.Trouble, nil)}), w.text("tend.causes.do", finding.Args{"Do": w.say("trouble.do."+c.Trouble, nil)})}
		items = append(items, w.portions(c, w.hundred())...)
		for _, e := range []struct {
			id    string
			signs []string
		}{{"tend.causes.for", c.For}, {"tend.causes.against", c.Against}} {
			var said []string
			for _, k := range e.signs {
				if len(said) < 4 && slices.Contains(told, k) { // what nobody looked for is no evidence in a letter
					said = append(said, w.sign(k))
				}
			}
			if said != nil {
				items = append(items, w.text(e.id, finding.Args{"Signs": strings.Join(said, "; ")}))
			}
		}
		out = append(out, together(page.Para{Text: page.Bold(w.say("tend.causes.one_of_them", finding.Args{"Name": finding.Word("word.trouble." + c.Trouble), "Share": unit.Fraction(c.Share)}))}, page.List{Items: items}))
	}
	if others := w.others(o.Causes[explained:]); others != "" {
		out = append(out, w.para("inquiry.letter.others", finding.Args{"Troubles": others}))
	}
	return out
}

// others names causes without explaining them.
func (w writer) others(list []trouble.Cause) string {
	var names []string
	for _, c := range list[:min(3, len(list))] {
		names = append(names, w.say("word.trouble."+c.Trouble, nil))
	}
	return strings.Join(names, "; ")
}

// citations are the sources of the causes that are told.
func (w writer) citations(causes []trouble.Cause) []page.Block {
	var list []page.SourceNote
	var done []source.ID
	for _, c := range causes {
		e, ok := source.Find(c.Source)
		if c.Share < trouble.Acted || !ok || slices.Contains(done, c.Source) {
			continue
		}
		done = append(done, c.Source)
		list = append(list, page.SourceNote{Mark: fmt.Sprint(len(done)), Text: w.published(e)})
	}
	if list == nil {
		return nil
	}
	return []page.Block{together(w.heading("inquiry.letter.sources"), page.Notes{Items: list})}
}

// published cites an entry, with how far it can be trusted where it is not published.
func (w writer) published(e source.Entry) page.Text {
	text := w.cited(e, false)
	if e.Standing != source.Published {
		text += " (" + page.Text(w.standing(e)) + ")"
	}
	return text
}
