package lang

import (
	"cmp"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"text/template/parse"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"github.com/pelletier/go-toml/v2"
	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"raftwright/finding"
	"raftwright/unit"
)

// The general-purpose libraries for messages, plurals, numbers and TOML are the
// reference that our own reading and filling is held against. None is linked
// outside of tests.

func tags(t *testing.T) []string {
	t.Helper()
	all, err := shelf()
	if err != nil || all["en"] == nil {
		t.Fatal(err, len(all))
	}
	return slices.Sorted(maps.Keys(all))
}

// Every file reads as go-toml reads it.
func TestSentencesReadAsTOML(t *testing.T) {
	for _, tag := range tags(t) {
		want := map[string]string{}
		files, err := fs.Glob(sentences, tag+"/*.toml")
		if err != nil || len(files) == 0 {
			t.Fatal(tag, files, err)
		}
		for _, f := range files {
			data, err := fs.ReadFile(sentences, f)
			if err != nil {
				t.Fatal(err)
			}
			var tree map[string]any
			if err := toml.Unmarshal(data, &tree); err != nil {
				t.Errorf("%s: %v", f, err)
			}
			flatten(tree, "", want)
		}
		got, err := readBook(sentences, tag)
		if err != nil {
			t.Fatal(err)
		}
		for id := range got {
			text, ok := unescaped(got[id])
			if !ok {
				t.Errorf("%s %s: %q cannot be read", tag, id, got[id])
			}
			got[id] = text
		}
		if !maps.Equal(got, want) {
			for id, text := range want {
				if got[id] != text {
					t.Errorf("%s %s: %q, go-toml reads %q", tag, id, got[id], text)
				}
			}
			t.Errorf("%s: %d sentences, go-toml reads %d", tag, len(got), len(want))
		}
	}
}

func flatten(tree map[string]any, under string, into map[string]string) {
	for k, v := range tree {
		switch v := v.(type) {
		case map[string]any:
			flatten(v, under+k+".", into)
		case string:
			into[strings.TrimSuffix(under+k, ".other")] = v
		default:
			into[under+k] = fmt.Sprint(v) // differs from what we read, whatever it is
		}
	}
}

// Every sentence, filled with figures drawn at random, reads as go-i18n fills it
// with text/template and the plural rules of Unicode.
func TestSentencesFillAsTemplates(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	filled, draws := 0, 8
	if testing.Short() {
		draws = 3
	}
	for _, tag := range tags(t) {
		bundle := i18n.NewBundle(language.English)
		bundle.RegisterUnmarshalFunc("toml", toml.Unmarshal)
		files, _ := fs.Glob(sentences, tag+"/*.toml")
		for _, f := range files {
			data, _ := fs.ReadFile(sentences, f)
			if _, err := bundle.ParseMessageFileBytes(data, strings.TrimSuffix(f, ".toml")+"."+tag+".toml"); err != nil {
				t.Fatal(err)
			}
		}
		reference := i18n.NewLocalizer(bundle, tag)
		p, err := For(tag, US)
		if err != nil {
			t.Fatal(err)
		}
		for id, text := range p.sentences[0] {
			text, _ = unescaped(text)
			if strings.HasSuffix(id, ".one") || strings.HasSuffix(id, ".many") {
				continue
			}
			for range draws {
				args := draw(chance, text)
				if got, want := p.Say(id, args), localize(reference, p, id, args); got != want {
					t.Errorf("%s %s %v:\n%q, go-i18n says\n%q", tag, id, args, got, want)
				}
				filled++
			}
		}
	}
	if filled < 5000 {
		t.Fatalf("only %d sentences were filled", filled)
	}
}

var name = regexp.MustCompile(`\.([A-Za-z]+)`)

// draw makes up figures for the names in a sentence; some are left out.
func draw(chance *rand.Rand, text string) finding.Args {
	args := finding.Args{"Count": []int{0, 1, 2, 7, 1_000_000, 2_000_000}[chance.IntN(6)]}
	for _, m := range name.FindAllStringSubmatch(text, -1) {
		counted := strings.Contains(text, "gt ."+m[1]) // a choice by number needs one
		switch kind := chance.IntN(7); {
		case m[1] == "Count", m[1] == "US":
		case kind == 0 || counted:
			args[m[1]] = chance.IntN(3)
		case kind == 1:
			args[m[1]] = 97 * unit.Inch
		case kind == 2:
			args[m[1]] = chance.IntN(2) == 0
		case kind == 3:
			args[m[1]] = []string{"", "a name", "{{.Name}} <&> \"é\""}[chance.IntN(3)]
		case kind == 4:
			args[m[1]] = chance.Float64() * 10000
		case kind == 5:
			args[m[1]] = finding.Word("word.side")
		}
	}
	return args
}

// count is a number that a choice looks at, printed as a figure: from a thousand on, but for years, with separators.
type count int

func (c count) String() string {
	digits := strconv.Itoa(int(c))
	if c < 1000 || c >= 1900 && c < 2200 {
		return digits
	}
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return digits
}

func localize(l *i18n.Localizer, p *Printer, id string, args finding.Args) string {
	data := map[string]any{"US": p.Units == US}
	for k, v := range args {
		data[k] = v
		switch v := v.(type) {
		case bool: // what a choice looks at
		case int:
			data[k] = count(v)
		default:
			data[k] = p.figure(k, args)
		}
	}
	s, err := l.Localize(&i18n.LocalizeConfig{MessageID: id, TemplateData: data, PluralCount: args["Count"]})
	if err != nil { // a sentence without a form for one serves every count
		s, err = l.Localize(&i18n.LocalizeConfig{MessageID: id, TemplateData: data})
	}
	if err != nil {
		return err.Error()
	}
	return strings.TrimSpace(s)
}

// The forms of a count are those of the Unicode plural rules. A whole million is
// a form of its own in Spanish; English has no such form, and so no sentence of it.
func TestPluralForms(t *testing.T) {
	bundle := i18n.NewBundle(language.English)
	for _, tag := range []language.Tag{language.English, language.Spanish} {
		if err := bundle.AddMessages(tag, &i18n.Message{ID: "n", One: ".one", Many: ".many", Other: "-"}); err != nil {
			t.Fatal(err)
		}
	}
	en, es := i18n.NewLocalizer(bundle, "en"), i18n.NewLocalizer(bundle, "es")
	for _, n := range []int{0, 1, 2, 3, 10, 11, 21, 100, 101, 1000, 999_999, 1_000_000, 1_000_001, 1_500_000, 2_000_000, 10_000_000} {
		english := en.MustLocalize(&i18n.LocalizeConfig{MessageID: "n", PluralCount: n})
		spanish := es.MustLocalize(&i18n.LocalizeConfig{MessageID: "n", PluralCount: n})
		got := cmp.Or(formOf(n), "-")
		if got != spanish || got != english && got != ".many" {
			t.Errorf("%d: %q, Unicode says %q in English and %q in Spanish", n, got, english, spanish)
		}
	}
}

// Numbers are written as the Unicode locale data have it for the language, and
// for the United States in English and Spanish.
func TestNumberMarks(t *testing.T) {
	chance := rand.New(rand.NewPCG(3, 4))
	for lang, like := range map[string]string{
		"en": "en-US", "es": "es-US", "zh": "zh", "ko": "ko", "ja": "ja",
		"de": "de", "id": "id", "it": "it", "nl": "nl", "pt": "pt", "tr": "tr", "vi": "vi", "fr": "fr", "cs": "cs", "pl": "pl", "ru": "ru", "uk": "uk",
	} {
		p, reference := Printer{marks: marksOf(lang)}, message.NewPrinter(language.MustParse(like))
		for i := range 400 {
			x, decimals := (chance.Float64()-0.4)*math.Pow(10, chance.Float64()*13-3), chance.IntN(5)
			if i < 12 {
				x, decimals = []float64{0, 1, 9, 99, 999, 1000, 9999, 10000, 99999, 999999, 1e6, 1030}[i], i%3
			}
			if got, want := p.Fixed(x, decimals), reference.Sprintf(fmt.Sprintf("%%.%df", decimals), x); got != want && strings.Trim(want, "-0.,") != "" {
				t.Errorf("%s %v to %d: %q, want %q", lang, x, decimals, got, want)
			}
		}
	}
	p := Printer{marks: marksOf("es")} // es-US, not the es of Spain, which prints 1030 and 1,5
	if a, b := p.Mass(1030*unit.Pound), p.EC(1.5*unit.MillisiemensPerCentimetre); a != "1,030 lb" || b != "1.5 mS/cm" {
		t.Error(a, b)
	}
}

// A translation holds what the English sentence holds, under the same conditions.
func TestTranslationsHoldTheSameFigures(t *testing.T) {
	all, err := shelf()
	if err != nil {
		t.Fatal(err)
	}
	for _, tag := range tags(t) {
		for _, fault := range differences(t, all["en"], all[tag]) {
			t.Errorf("%s: %s", tag, fault)
		}
	}
	// what is planted is found
	planted, err := books(fstest.MapFS{
		"en/a.toml": {Data: []byte("a = \"{{.X}} of {{.Y}}\"\nb = \"{{if .X}}x {{.X}}{{end}}\"\nc = \"{{if gt .N 1}}n{{end}}\"\n[d]\none = \"one\"\nother = \"{{.Count}} {{.X}}\"\n")},
		"xx/a.toml": {Data: []byte("a = \"{{.Y}} von {{.X}}, {{.Y}}\"\nb = \"{{if .X}}{{.X}} x{{end}}\"\nc = \"{{if gt .N 1}}m{{end}}\"\n[d]\none = \"{{.Count}}\"\nother = \"{{.X}} {{.Count}}\"\nmany = \"{{.X}} {{.Count}}\"\n")},
		"yy/a.toml": {Data: []byte("a = \"{{.X}}\"\nb = \"{{.X}}\"\nc = \"{{if gt .N 2}}n{{end}}\"\nd.other = \"{{.Count}}\"\ne = \"no such\"\n")},
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := differences(t, planted["en"], planted["xx"]); len(got) != 0 {
		t.Errorf("the same figures in another order: %v", got)
	}
	if got := differences(t, planted["en"], planted["yy"]); len(got) != 6 { // a, b, c, d, d.one is not there, e
		t.Errorf("6 differences were planted: %v", got)
	}
}

func differences(t *testing.T, english, other reading) (out []string) {
	t.Helper()
	from, err := english()
	to, err2 := other()
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	for id, text := range to {
		text, _ = unescaped(text)
		like, ok := from[id]
		if base, form := strings.CutSuffix(id, ".many"); form && !ok {
			like, ok = from[base]
		}
		like, _ = unescaped(like)
		one, two := holes(t, like), holes(t, text)
		if strings.HasSuffix(id, ".one") { // "one hole" or "1 hole"
			delete(one, "Count")
			delete(two, "Count")
		}
		if !ok {
			out = append(out, id+" is not an English sentence")
		} else if !maps.Equal(one, two) {
			out = append(out, fmt.Sprintf("%s holds %v, the English %v", id, slices.Sorted(maps.Keys(two)), slices.Sorted(maps.Keys(one))))
		}
	}
	for id := range from {
		base, form := strings.CutSuffix(id, ".one")
		if _, ok := to[id]; form && !ok && to[base] != "" {
			out = append(out, id+" is missing")
		}
	}
	return out
}

// holes lists the figures of a sentence, each with the conditions it stands
// under, and the conditions. It fails for what a sentence cannot hold.
func holes(t testing.TB, text string) map[string]bool {
	t.Helper()
	for _, action := range anyAction.FindAllString(text, -1) {
		if !ourAction.MatchString(action) || strings.Contains(action, ".US") && action != "{{if .US}}" {
			t.Errorf("%q: a sentence cannot hold %s", text, action)
		}
	}
	trees, err := parse.Parse("sentence", text, "", "", map[string]any{"gt": true})
	if err != nil {
		t.Errorf("%q: %v", text, err)
		return nil
	}
	found := map[string]bool{}
	var walk func(*parse.ListNode, string)
	walk = func(list *parse.ListNode, under string) {
		if list == nil {
			return
		}
		for _, n := range list.Nodes {
			switch n := n.(type) {
			case *parse.TextNode:
			case *parse.ActionNode:
				found[under+strings.Trim(n.String(), "{.}")] = true
			case *parse.IfNode:
				condition := "{{if " + n.Pipe.String() + "}}"
				found[under+condition] = true
				walk(n.List, under+condition)
				walk(n.ElseList, under+condition+"else ")
			default:
				t.Errorf("%q: a sentence cannot hold %s", text, n)
			}
		}
	}
	if trees["sentence"] != nil {
		walk(trees["sentence"].Root, "")
	}
	return found
}

// What text/template knows and part does not is refused as it is written: text/template takes {{else if .X}} apart, and drops comments.
var anyAction, ourAction = regexp.MustCompile(`\{\{(?s:.*?)\}\}`), regexp.MustCompile(`^\{\{(else|end|(if )?\.[A-Z][A-Za-z0-9]*|if gt \.[A-Z][A-Za-z0-9]* [0-9]{1,9})\}\}$`)

// listening holds what a test would have failed for.
type listening struct {
	testing.TB
	heard []string
}

func (l *listening) Helper() {}

func (l *listening) Errorf(format string, args ...any) {
	l.heard = append(l.heard, fmt.Sprintf(format, args...))
}

// What a sentence cannot hold is refused, also beside the same condition written as it may be; what it can hold is not.
func TestWhatASentenceCannotHold(t *testing.T) {
	for _, text := range []string{
		"{{if .A}}a{{else if .B}}b{{end}}", "{{if .B}}x{{end}}{{if .A}}a{{else if .B}}b{{else}}c{{end}}", "{{if .A}}a{{else if gt .B 1}}b{{end}}",
		"{{.A}} {{ .A }}", "{{if .A}}x{{end}}{{if  .A}}y{{end}}", "{{.A}} {{- .A}}", "x{{/* y */}}", "{{if .A}}x{{ else }}y{{end}}", "{{if not .A}}x{{end}}", "{{if lt .A 1}}x{{end}}",
		"{{if gt .A 1.5}}x{{end}}", "{{if gt .A .B}}x{{end}}", "{{if and .A .B}}x{{end}}", "{{range .A}}x{{end}}", "{{with .A}}x{{end}}", "{{.A.B}}", "{{a}}", "{{\"a\"}}", "{{.A | len}}", "{{$x := .A}}",
		"{{.US}}", "{{if gt .US 1}}x{{end}}", "{{if .A}}x", "x{{end}}", "{{else}}", "{{if .A}}x{{else}}y{{else}}z{{end}}", "{{.A", "{{}}", "{{end }}",
	} {
		var l listening
		if holes(&l, text); len(l.heard) == 0 {
			t.Errorf("%q is taken", text)
		}
	}
	for _, text := range []string{"", "x }} y", "{{.A}}", "{{if .US}}2 in{{else}}50 mm{{end}}", "{{if gt .A 1}}{{if .B}}{{.B}}{{end}}{{else}}y{{end}}"} {
		var l listening
		if holes(&l, text); len(l.heard) != 0 {
			t.Error(l.heard)
		}
	}
}

// A number that is no count is not silently less than every limit; what was not given is.
func TestOnlyCountsAreGreater(t *testing.T) {
	p := Printer{marks: marksOf("en")}
	for _, c := range []struct {
		x    any
		want string
	}{{2, "more"}, {1, "no more"}, {nil, "no more"}, {2.5, noValue + "no more"}, {true, noValue + "no more"}, {"5", noValue + "no more"}, {unit.Inch, noValue + "no more"}} {
		args := finding.Args{"A": c.x}
		if c.x == nil {
			delete(args, "A")
		}
		if got := p.fill("{{if gt .A 1}}more{{else}}no more{{end}}", args); got != c.want {
			t.Errorf("%v: %q, want %q", c.x, got, c.want)
		}
	}
}
