// Command bedside says what to do at a bed inside a web page, when there is no signal: the plan of
// the bed, what its log teaches, and the advice, as a page at the bed shows it. It is the same
// code that a server runs, without paper that one takes home. Built for the browser
// (GOOS=js GOARCH=wasm) it gives the page two functions:
//
//	raftwright.speak(sentences)
//	raftwright.tend(brief, visits, now)
//
// sentences is the text of the bundle of a language. brief is the brief with its log, a list of
// [key, text]; visits are the forms of visits that are not in it yet, each a list of [name, text]
// as a form of a page at the bed sends it; now is the time at the bed, "2027-05-11T08:00".
// tend gives an object: now, what to do, and rest, what it rests on, both HTML; done, a list of [key, text] that
// would write the advice down as done; wrong, what is amiss, a list of [what, what would be
// right]. Both return an Error where they cannot do what they are asked. It knows no clock, disk
// or network.
//
// Run on this machine the command builds itself for the browser into a folder. docs/offline.md
// says how large it is, and how a server comes to have it.
package main

import (
	"bytes"
	"slices"
	"strings"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/tend"
)

func main() { start() }

// bedside answers one question after another.
type bedside struct {
	book      plan.Book
	sentences lang.Bundle
	memory    plan.Memory
}

// speak takes the text of a bundle of sentences. With an error it speaks on as before.
func (e *bedside) speak(text string) error {
	b, err := lang.ReadBundle(text)
	if err == nil {
		e.sentences = b
	}
	return err
}

// told is what to do at a bed.
type told struct {
	now, rest string
	done      []brief.Pair
	wrong     [][2]string
}

// tend works out what to do at a bed. An error is a fault of the page or the program.
func (e *bedside) tend(pairs []brief.Pair, visits []map[string][]string, now time.Time) (out told, err error) {
	const name = "brief.yaml"
	b, _ := brief.FromPairs(name, pairs)
	n := len(b.Log)
	for _, form := range visits {
		at := finding.Path("log").Item(n)
		when := form["at"]
		if len(when) == 0 {
			continue
		}
		n++
		pairs = append(pairs, brief.Pair{Path: at.Key("at"), Text: when[0]})
		planned := func() *plan.Plan { p := e.job(b, nil).Make(&e.memory); return &p }
		for _, x := range tend.Typed(b, form, ofLog, planned) {
			pairs = append(pairs, brief.Pair{Path: at + "." + x.Path, Text: x.Text})
		}
	}
	b, faults := brief.FromPairs(name, pairs)
	words, err := e.words(b)
	if err != nil {
		return out, err
	}
	log, wrong := bed.FromBrief(b)
	p := e.job(b, faults).Make(&e.memory).In(words.Language)
	t, more := tend.Make(tend.Job{Plan: p, Log: log, Now: now, Troubles: e.book.Trouble})
	for _, f := range slices.Concat(faults, wrong, more) {
		what, right := words.Fault(f)
		out.wrong = append(out.wrong, [2]string{what, right})
	}
	if t == nil || len(more) > 0 {
		return out, nil
	}
	first, rest := packet.AtBed(p, t, words, "")
	out.now, out.rest, out.done = pressed(first), pressed(rest), tend.Done(t.Actions, p.Metric())
	return out, nil
}

func (e *bedside) job(b *brief.Brief, wrong finding.Faults) plan.Job {
	return plan.Job{Brief: b, Wrong: wrong, Learn: tend.Learn, Book: e.book, Files: plan.Files{}, Asked: plan.Everything}
}

// words are those of the reader of a brief.
func (e *bedside) words(b *brief.Brief) (*lang.Printer, error) {
	if b.Units.Value == brief.Metric {
		return e.sentences.For(lang.Metric)
	}
	return e.sentences.For(lang.US)
}

// ofLog tells whether a name of a form is a key of the log.
func ofLog(name string) bool {
	return !slices.Contains([]string{"id", "at", "from", "meter-set", "photo"}, name) && !strings.HasPrefix(name, "unit:")
}

// pressed gives the sections of a document as a page shows them.
func pressed(doc page.Document) string {
	doc.Paper = page.Letter
	var out bytes.Buffer // writing into it does not fail
	for i, s := range doc.Sections {
		if len(s.Blocks) > 0 {
			out.WriteString(`<div class="pressed">`)
			press.Fragment(doc, s.Anchor(i), &out)
			out.WriteString("</div>")
		}
	}
	return out.String()
}
