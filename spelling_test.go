package raftwright

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"raftwright/cost"
	"raftwright/mix"
	"raftwright/source"
)

// british are beginnings and whole words of British spelling, which a reader in
// the United States never sees (from memory, no source).
var british = regexp.MustCompile(`(?i)^(` + strings.Join([]string{
	`\w*fertilis\w*`, `\w*colour\w*`, `(milli|centi|kilo|deci)?(litre|metre|gramme)s?`, `programmes?`, `aluminium`, `sulph\w*`, `mould\w*`, `gr[e]y\w*`, `analys(e|ed|ing)`,
	`behaviour\w*`, `centre[sd]?`, `favour\w*`, `neighbour\w*`, `labour\w*`, `catalogues?`, `licence[sd]?`, `practis\w+`, `(travel|cancel|model|label|level|signal|fuel|dial|marvel)l(ed|ing|er)`,
	`tonnes?`, `plough\w*`, `tyres?`, `kerbs?`, `draughts?`, `vapours?`, `odours?`, `flavour\w*`, `harbour\w*`, `honour\w*`, `judgements?`, `storeys?`, `defence`, `offence`,
	`cheques?`, `whilst`, `amongst`, `learnt`, `burnt`, `spelt`, `calibre`, `fibres?`, `theatres?`, `artefacts?`, `skilful\w*`, `instalments?`, `ageing`, `maths`, `autumn`,
	`\w*(recogn|organ|optim|minim|maxim|real|summar|special|general|critical|equal|final|neutral|steril|ion|crystall|oxid|stabil|util|vapor|volatil|normal|standard|author|emphas|ideal|local|initial|visual|acclimat)is(e|ed|es|ing|ation|ers?)`,
}, "|") + `)$`)

// notWords leaves out what is code or an address on a page.
var notWords = regexp.MustCompile("(?s)```.*?```|`[^`\n]*`|https?://\\S+|\\{\\{[^}]*\\}\\}")

func betweenWords(r rune) bool {
	return r != '_' && (r < '0' || r > '9') && (r < 'A' || r > 'Z') && (r < 'a' || r > 'z')
}

// What a reader sees is spelled as in the United States: the sentences, the
// examples, the documents, the names of goods and our own titles of sources.
func TestSpellingIsUS(t *testing.T) {
	texts := map[string]string{}
	for _, glob := range []string{"lang/en/*.toml", "examples/*.yaml", "docs/*.md", "*.md"} {
		files, err := filepath.Glob(glob)
		if err != nil || len(files) == 0 {
			t.Fatalf("no file of %s was read", glob)
		}
		for _, f := range files {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			texts[f] = string(text)
			switch filepath.Ext(f) {
			case ".toml": // without the key, which is code
				var values []string
				for line := range strings.Lines(texts[f]) {
					_, value, _ := strings.Cut(line, "=")
					values = append(values, value)
				}
				texts[f] = strings.Join(values, "\n")
				fallthrough
			case ".md":
				texts[f] = notWords.ReplaceAllString(texts[f], " ")
			}
		}
	}
	texts["names of fertilizers"] = strings.Join(mix.DefaultLibrary().Names(), ", ")
	texts["names of prices"] = strings.Join(cost.DefaultBook().Names(), ", ")
	for _, r := range source.All() {
		own := r.Where + " " + r.Note
		if r.Standing != source.Published {
			own += " " + r.Title
		}
		texts["source "+string(r.ID)] = own
	}
	words := map[string]string{} // each once, with one of its places
	for where, text := range texts {
		for word := range strings.FieldsFuncSeq(text, betweenWords) {
			words[word] = where
		}
	}
	for word, where := range words {
		if british.MatchString(word) {
			t.Errorf("%s: %q is not the spelling of the United States", where, word)
		}
	}
	said := func(text string) bool {
		return slices.ContainsFunc(strings.FieldsFunc(text, betweenWords), british.MatchString)
	}
	if !said("a litre.") || !said("(Fertiliser") || said("a liter of fertilizer, level, size, raise, color") {
		t.Error("the list of spellings does not tell the two apart")
	}
}
