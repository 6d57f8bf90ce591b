// Package lang turns codes and typed figures into words: sentences by ID,
// plurals, numbers, dates and quantities in the reader's units and language.
// Every sentence that a person reads stands in lang/<language>/*.toml, one an
// ID, so that a translation touches no trade.
package lang

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"raftwright/finding"
)

// Units says in which system quantities are printed.
type Units int

// Unit systems.
const (
	US Units = iota
	Metric
)

// Printer prints for one reader: a language and a unit system. Make one with For, or in a browser,
// where no sentences are carried, with the For of a Bundle.
type Printer struct {
	Language  string
	Units     Units
	sentences []book // of the language, then the English of what it has not translated yet
	marks     marks
	typed     bool // names of products stand as they were typed
}

// Say gives the sentence of an ID with its figures in place, in the form that
// args["Count"] asks for. A missing sentence gives the ID itself in brackets,
// which the tests look for.
func (p *Printer) Say(id string, args finding.Args) string {
	for _, b := range p.sentences {
		if text, ok := b.text(id, args["Count"]); ok {
			return strings.TrimSpace(p.fill(text, args))
		}
	}
	return "[" + id + "]"
}

// Can tells whether an ID has a sentence.
func (p *Printer) Can(id string) bool {
	return slices.ContainsFunc(p.sentences, func(b book) bool { _, ok := b.text(id, nil); return ok })
}

// Finding gives the sentence of a finding, with a capital at its start.
func (p *Printer) Finding(f finding.Finding) string { return capital(p.Say(string(f.ID), f.Args)) }

// Fault gives the words of a fault: what is wrong, and what would be right.
func (p *Printer) Fault(f finding.Fault) (what, right string) {
	q := *p
	q.typed = true // it is looked for in the brief
	return q.Say(string(f.ID), f.Args), q.Say(string(f.RightID()), f.Args)
}

// Product gives the name of a product for the reader: in another language than that of the
// library, a name that the library knows is translated, and the grade behind it stays. Any
// other name is the grower's own.
func (p *Printer) Product(name string) string {
	said, _, grade := p.product(name)
	return said + grade
}

// Bag gives the name of a product, and the English one that stands on the bag in the store.
func (p *Printer) Bag(name string) string {
	said, bag, grade := p.product(name)
	if said != bag {
		said += " (" + bag + ")"
	}
	return said + grade
}

func (p *Printer) product(name string) (said, bag, grade string) {
	bag = name
	if at := strings.LastIndexByte(name, ' '); at > 0 && unicode.IsDigit(rune((name + " ")[at+1])) {
		bag, grade = name[:at], name[at:]
	}
	return p.named("product.", bag), bag, grade
}

// Recipe gives the name of a recipe in the same way.
func (p *Printer) Recipe(name string) string { return p.named("recipe.", name) }

// named looks a name up under the ID that its letters and digits make.
func (p *Printer) named(of, name string) string {
	if p.Language == "en" || p.typed {
		return name
	}
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if id := of + strings.Join(words, "_"); p.Can(id) {
		return p.Say(id, nil)
	}
	return name
}

// Products joins the names of products.
func (p *Printer) Products(names []string) string {
	said := make([]string, len(names))
	for i, n := range names {
		said[i] = p.Product(n)
	}
	return p.Join(said)
}

// Step gives a step of the working in words: what it finds, by which rule, from what
// and in which unit. What begins with "work." is the ID of a phrase; symbols, which
// every language reads, print as they are.
func (p *Printer) Step(s finding.Step) finding.Step {
	phrase := func(text string) string {
		if strings.HasPrefix(text, "work.") {
			return p.Say(text, nil)
		}
		return text
	}
	s.Name, s.Formula, s.Unit = phrase(s.Name), phrase(s.Formula), phrase(s.Unit)
	if of := p.Which(s); of != "" {
		s.Name = of + ": " + s.Name
	}
	s.Inputs = slices.Clone(s.Inputs)
	for i, in := range s.Inputs {
		s.Inputs[i].Symbol, s.Inputs[i].Unit = phrase(in.Symbol), phrase(in.Unit)
	}
	return s
}

// Which tells of which of several alike a step is; "" where there is one.
func (p *Printer) Which(s finding.Step) string {
	var of []string
	for _, v := range s.Of {
		of = append(of, p.Value(v))
	}
	return strings.Join(of, ", ")
}

// capital makes the first letter of a sentence large; a sign that opens one stays before it.
func capital(s string) string {
	at := len(s) - len(strings.TrimLeft(s, "¿¡"))
	r, n := utf8.DecodeRuneInString(s[at:])
	if n == 0 {
		return s
	}
	return s[:at] + string(unicode.ToUpper(r)) + s[at+n:]
}

// Assumption gives the sentence of an assumption, and what would replace it.
func (p *Printer) Assumption(a finding.Assumption) (text, replace string) {
	return capital(p.Say(string(a.ID), a.Args)), p.Say("replace."+string(a.ID), a.Args)
}

// Join lists words as a sentence does: "a, b and c".
func (p *Printer) Join(words []string) string { return p.list(words, "word.and") }

func (p *Printer) list(words []string, before string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	joint := p.Say(before, nil)
	if sounds(words[last], joint) {
		joint = p.Say(before+"_clash", nil)
	}
	return strings.Join(words[:last], ", ") + " " + joint + " " + words[last]
}

// sounds tells whether a word begins with the very sound that joins it to the one before:
// in Spanish "y" gives way to "e" before an i ("e hijos"; not before the ie of "hierro"),
// and "o" to "u" before an o ("u ocho"). Source: Ortografía de la lengua española (RAE,
// 2010), from memory. Other languages have no joint of one such vowel.
func sounds(word, joint string) bool {
	word = strings.TrimPrefix(strings.ToLower(word), "h")
	starts := func(with ...string) bool {
		return slices.ContainsFunc(with, func(s string) bool { return strings.HasPrefix(word, s) })
	}
	switch joint {
	case "y":
		return starts("i", "í") && !starts("ia", "ie", "io", "iu")
	case "o":
		return starts("o", "ó", "8") || word == "11" || strings.HasPrefix(word, "11 ")
	}
	return false
}
