package main

import (
	"fmt"
	"strings"
	"testing"

	"raftwright/brief"
	"raftwright/lang"
	"raftwright/mix"
)

// What we print for a word of a brief, a brief may say: in both languages, whatever its own,
// as it stands, in capitals and without accents.
func TestPrintedWordsAreRead(t *testing.T) {
	printed := map[string][2]string{ // the key, and the sentence of each of its words
		"site.kind":     {"home school community market", "word.site.%s"},
		"site.cover":    {"open shade tunnel greenhouse", "sky.cover.%s"},
		"bed.vessel":    {"frame round tub", "word.vessel.%s"},
		"bed.support":   {"ground deck floor roof", "word.support.%s"},
		"bed.walls":     {"plywood block salvage", "word.wall_%s"},
		"raft.pattern":  {"square staggered best", "word.pattern_%s"},
		"water.kind":    {"rain soft hard", "word.source_water.%s"},
		"acid.product":  {"sulfuric nitric phosphoric citric", "word.reagent.%s"},
		"bed.hold with": {"tie stake", "word.%s"},
	}
	read := func(path, text string) (string, bool) {
		section, key, _ := strings.Cut(path, ".")
		b, faults := brief.Parse("b.yaml", []byte(fmt.Sprintf("%s: {%s: %q}\n", section, key, text)))
		if len(faults) > 0 {
			return faults[0].Error(), false
		}
		return fmt.Sprint(map[string]any{"site.kind": b.Site.Kind.Value, "site.cover": b.Site.Cover.Value, "bed.vessel": b.Bed.Vessel.Value, "bed.support": b.Bed.Support.Value, "bed.walls": b.Bed.Walls.Value,
			"raft.pattern": b.Raft.Pattern.Value, "water.kind": b.Water.Kind.Value, "acid.product": b.Acid.Product.Value.Name, "bed.hold with": b.Bed.HoldWith.Value}[path]), true
	}
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for path, p := range printed {
			for _, w := range strings.Fields(p[0]) {
				said := words.Say(fmt.Sprintf(p[1], w), nil)
				for _, written := range []string{said, strings.ToUpper(said), accents.Replace(said)} {
					if path == "acid.product" {
						written += " 30 %"
					}
					if got, ok := read(path, written); !ok || got != w {
						t.Errorf("%s: %q is printed for %s, and read as %s", path, written, w, got)
					}
				}
			}
		}
	}
}

// So it is with the names of products and of recipes: they are found by what we print.
func TestPrintedNamesAreFound(t *testing.T) {
	library := mix.DefaultLibrary()
	for _, language := range []string{"en", "es"} {
		words, err := lang.For(language, lang.US)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range library.Names() {
			said := words.Product(name)
			for _, written := range []string{said, strings.ToUpper(said), accents.Replace(said)} {
				if got, ok := library.Material(written); !ok || got.Name != name {
					t.Errorf("%q is printed for %s, and %q is read as %q", said, name, written, got.Name)
				}
			}
		}
		for _, r := range library.Recipes.All() {
			for _, written := range []string{words.Recipe(r.Name), strings.ToUpper(words.Recipe(r.Name))} {
				if got, faults := library.Recipe("target.recipe", written); len(faults) > 0 || got.Key != r.Key {
					t.Errorf("%q is printed for %s, and read as %q, %v", written, r.Key, got.Key, faults)
				}
			}
		}
	}
}

var accents = strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ü", "u", "ñ", "n")
