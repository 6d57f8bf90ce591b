package lang

import (
	"errors"
	"fmt"
)

// Bundle is the sentences of one language in one text, for a page that fetches them
// beside the engine: what is not translated yet stands in it in English. Bundles
// writes them. The empty bundle makes no printer.
type Bundle struct {
	language  string
	sentences book
}

// languageOfBundle is the ID under which a bundle holds the tag of its language.
const languageOfBundle = "bundle.language"

// ReadBundle reads the text of a bundle. The error names the line that is no
// sentence, or says that the text is not a bundle.
func ReadBundle(text string) (Bundle, error) {
	b := make(book, 4096)
	if err := b.read("bundle", text); err != nil {
		return Bundle{}, fmt.Errorf("lang: %w", err)
	}
	tag := b[languageOfBundle]
	if tag == "" {
		return Bundle{}, errors.New("lang: not a bundle of sentences: " + languageOfBundle + " is missing")
	}
	return Bundle{tag, b}, nil
}

// errSpeechless says what a page has to do first.
var errSpeechless = errors.New("lang: no sentences were given: fetch sentences.en.toml and give its text to raftwright.speak")

// For makes a printer that speaks the language of the bundle.
func (b Bundle) For(units Units) (*Printer, error) {
	if b.sentences == nil {
		return nil, errSpeechless
	}
	return &Printer{Language: b.language, Units: units, sentences: []book{b.sentences}, marks: marksOf(b.language)}, nil
}
