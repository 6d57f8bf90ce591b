package lang

import (
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// English and Spanish are complete and equal: each file of the one is in the other, with the
// same sentences. A sentence that is missing in either fails here.
func TestEverySentenceIsInBothLanguages(t *testing.T) {
	if en, es := filesOf(t, "en"), filesOf(t, "es"); !slices.Equal(en, es) {
		t.Errorf("English has %v\nSpanish has %v", en, es)
	}
	for _, name := range filesOf(t, "es") {
		en, es := fileOf(t, "en/"+name), fileOf(t, "es/"+name)
		for id := range en {
			if es[id] == "" {
				t.Errorf("es/%s lacks %s = %q", name, id, en[id])
			}
		}
		for id := range es {
			if _, ok := en[strings.TrimSuffix(id, ".many")]; !ok {
				t.Errorf("es/%s has %s, which English has not", name, id)
			}
		}
	}
}

func filesOf(t *testing.T, tag string) []string {
	t.Helper()
	files, err := fs.Glob(sentences, tag+"/*.toml")
	if err != nil || len(files) < 30 {
		t.Fatal(files, err)
	}
	for i := range files {
		files[i] = path.Base(files[i])
	}
	return files
}

func fileOf(t *testing.T, name string) book {
	t.Helper()
	text, err := fs.ReadFile(sentences, name)
	b := book{}
	if err == nil {
		err = b.read(name, string(text))
	}
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// What is the same in both languages: symbols, codes and words that are spelled alike.
var alike = regexp.MustCompile(`^((no|kale|pak choi|cilantro|factor|error|total|local|normal|manual|natural|material|final|general|color|pH|CE|GFCI|QR|UV|N95|N|W|XPS|EPS|Eh|mol|sal|mes|plan|raftwright|ppm|CF|mS|cm|kWh|MJ|mmol|meq|gal|lb|min|mm|mg|kg|USD|CaCO3|CaO|SO4|NO3|HCO3|P2O5|K2O|Zinc|zinc|urea|Zn)\b|[^\pL]|\b\pL\b)*$`)

// No sentence was left in English, signs that open close, and nothing is said with tú.
func TestSpanishIsSpanish(t *testing.T) {
	placeholder := regexp.MustCompile(`\{\{[^}]*\}\}`)
	tu := regexp.MustCompile(`(?i)(^|[^\pL])(tú|tus|contigo|debes|puedes|tienes|quieres|haz)([^\pL]|$)`)
	asSign := regexp.MustCompile(`[ (][?!]`) // the sign itself is meant
	for _, name := range filesOf(t, "es") {
		en, es := fileOf(t, "en/"+name), fileOf(t, "es/"+name)
		for _, id := range slices.Sorted(maps.Keys(es)) {
			said := es[id]
			plain := placeholder.ReplaceAllString(said, "0")
			if said == en[id] && !alike.MatchString(plain) && !strings.HasPrefix(id, "work.") {
				t.Errorf("es/%s %s is the English sentence: %q", name, id, said)
			}
			for _, pair := range []string{"¿?", "¡!"} {
				open, shut := string([]rune(pair)[0]), string([]rune(pair)[1])
				if strings.Count(plain, open) != strings.Count(asSign.ReplaceAllString(plain, ""), shut) {
					t.Errorf("es/%s %s: %s and %s are no pairs: %q", name, id, open, shut, said)
				}
			}
			if tu.MatchString(plain) {
				t.Errorf("es/%s %s says tú: %q", name, id, said)
			}
			if strings.Contains(plain, "  ") && !strings.Contains(en[id], "  ") {
				t.Errorf("es/%s %s has two spaces: %q", name, id, said)
			}
		}
	}
}
