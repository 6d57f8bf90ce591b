// Package lang turns codes and typed figures into words: sentences by ID,
// plurals, numbers, dates and quantities in the reader's units and language.
// Every sentence that a person reads stands in lang/<language>/*.toml, one an
// ID, so that a translation touches no trade. English is the one there is.
package lang

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"github.com/pelletier/go-toml/v2"
	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"raftwright/finding"
	"raftwright/unit"
)

//go:embed */*.toml
var sentences embed.FS

// Units says in which system quantities are printed.
type Units int

// Unit systems.
const (
	US Units = iota
	Metric
)

// Printer prints for one reader: a language and a unit system. Make one with For.
type Printer struct {
	Language string
	Units    Units
	local    *i18n.Localizer
	numbers  *message.Printer
}

// english is read once a process: the embedded files never change.
var english = sync.OnceValues(func() (*i18n.Bundle, error) { return load(sentences, "en") })

// load reads the sentences of languages, each from the folder of its tag.
func load(from fs.FS, tags ...string) (*i18n.Bundle, error) {
	bundle := i18n.NewBundle(language.English)
	bundle.RegisterUnmarshalFunc("toml", toml.Unmarshal)
	for _, tag := range tags {
		files, err := fs.Glob(from, tag+"/*.toml")
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			data, err := fs.ReadFile(from, f)
			if err != nil {
				return nil, err
			}
			// go-i18n reads the language from the file's name: "room.en.toml"
			virtual := strings.TrimSuffix(f, ".toml") + "." + tag + ".toml"
			if _, err := bundle.ParseMessageFileBytes(data, virtual); err != nil {
				return nil, fmt.Errorf("lang: %s: %w", f, err)
			}
		}
	}
	return bundle, nil
}

// For makes a printer. A language without a folder of sentences prints in
// English, and the plan says so to the reader.
func For(lang string, units Units) (*Printer, error) { return speak(sentences, lang, units) }

func speak(from fs.FS, lang string, units Units) (*Printer, error) {
	tag, err := language.Parse(lang)
	_, missing := fs.Stat(from, lang)
	if lang == "en" || err != nil || missing != nil {
		bundle, err := english()
		if err != nil {
			return nil, err
		}
		return &Printer{Language: "en", Units: units, local: i18n.NewLocalizer(bundle, "en"), numbers: message.NewPrinter(language.AmericanEnglish)}, nil
	}
	bundle, err := load(from, "en", lang) // what is not translated yet stays English
	if err != nil {
		return nil, err
	}
	return &Printer{Language: lang, Units: units, local: i18n.NewLocalizer(bundle, lang, "en"), numbers: message.NewPrinter(tag)}, nil
}

// Say gives the sentence of an ID with its figures in place. A missing sentence
// gives the ID itself in brackets, which the tests look for.
func (p *Printer) Say(id string, args finding.Args) string {
	data := make(map[string]any, len(args))
	var count any
	for k, v := range args {
		data[k] = p.Value(v)
		if ph, ok := v.(float64); ok && strings.HasSuffix(k, "PH") {
			data[k] = p.Fixed(ph, 1) // no pen reads closer
		}
		if l, ok := v.(unit.Length); ok && strings.HasSuffix(k, "Thickness") {
			data[k] = p.Thickness(l)
		}
		if l, ok := v.(unit.Length); ok && k == "Altitude" {
			data[k] = p.Altitude(l)
		}
		if k == "Count" {
			count = v
		}
	}
	cfg := &i18n.LocalizeConfig{MessageID: id, TemplateData: data, PluralCount: count}
	s, err := p.local.Localize(cfg)
	if err != nil && count != nil { // a sentence without a form for one serves every count
		cfg.PluralCount = nil
		s, err = p.local.Localize(cfg)
	}
	if err != nil && s == "" { // with an error and a text: the English of what is not translated yet
		return "[" + id + "]"
	}
	return strings.TrimSpace(s)
}

// Can tells whether an ID has a sentence.
func (p *Printer) Can(id string) bool {
	_, err := p.local.Localize(&i18n.LocalizeConfig{MessageID: id, TemplateData: map[string]any{}, PluralCount: 2})
	return err == nil || !strings.Contains(err.Error(), "not found")
}

// Finding gives the sentence of a finding, with a capital at its start.
func (p *Printer) Finding(f finding.Finding) string { return capital(p.Say(string(f.ID), f.Args)) }

// Fault gives the words of a fault: what is wrong, and what would be right.
func (p *Printer) Fault(f finding.Fault) (what, right string) {
	return p.Say(string(f.ID), f.Args), p.Say(string(f.RightID()), f.Args)
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Assumption gives the sentence of an assumption, and what would replace it.
func (p *Printer) Assumption(a finding.Assumption) (text, replace string) {
	return capital(p.Say(string(a.ID), a.Args)), p.Say("replace."+string(a.ID), a.Args)
}

// Join lists words as a sentence does: "a, b and c".
func (p *Printer) Join(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " " + p.Say("word.and", nil) + " " + words[last]
}
