package raftwright

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/cost"
	"raftwright/mix"
	"raftwright/unit"
)

// english are the texts in Go that read as words of a reader, by room. Sentences
// stand in lang, one an ID; these are what is left, and a number here only falls.
var english = map[string]int{
	"cmd/raftwright": 1, // what a program that starts the server waits for
	"brief":          7,
	"mix":            4, // names of nutrients, as String gives them
	"plan":           4, "usual": 1,
	"press": 1, // the name of a rule, as tables write it
	"water": 1,
}

// twoWords finds two words of small letters, or with a capital in front, with a space
// between; the symbols of a formula ("Fb CD CM") are none.
var twoWords = regexp.MustCompile(`(^|[\s"'(,;:*])\p{Lu}?\p{Ll}{2,} \p{Lu}?\p{Ll}{2,}`)

// attribute finds an attribute of a mark-up, in which no words of a reader stand.
var attribute = regexp.MustCompile(`[\w-]+="[^"]*"`)

// Outside lang and source no English stands in Go. Not counted: struct tags, what a
// programmer's mistake panics with or who builds the engine reads, keys and words of
// the brief, units, names of products and prices, and the names of codes (what String
// gives, and tables of such names).
func TestEnglishStandsInLang(t *testing.T) {
	set, files := read(t)
	known := map[string]bool{}
	prices := cost.DefaultBook()
	for _, n := range slices.Concat(prices.Names(), mix.DefaultLibrary().Names()) {
		p, _ := prices.Assumed(n)
		known[n], known[n+"s"], known[p.Unit] = true, true, true
	}
	for _, kind := range unit.Kinds() {
		for _, name := range kind.Units() {
			known[name] = true
		}
	}
	for _, f := range files {
		ast.Inspect(f.ast, func(n ast.Node) bool {
			if field, ok := n.(*ast.Field); ok && field.Tag != nil {
				tag, _ := strconv.Unquote(field.Tag.Value)
				known[reflect.StructTag(tag).Get("key")] = true
				for w := range strings.SplitSeq(reflect.StructTag(tag).Get("words"), "|") {
					known[w] = true
				}
			}
			return true
		})
	}
	delete(known, "")
	found, tags := map[string][]string{}, map[*ast.BasicLit]bool{}
	for _, f := range files {
		room := f.room
		if room == "cmd" {
			room = filepath.ToSlash(filepath.Dir(f.path))
		}
		if f.test || room == "" || room == "lang" || room == "source" || len(f.ast.Comments) > 0 && f.ast.Comments[0].List[0].Text == "//go:build !js" {
			continue
		}
		ast.Inspect(f.ast, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if n.Recv != nil && n.Name.Name == "String" {
					return false
				}
			case *ast.ValueSpec:
				if strings.HasSuffix(n.Names[0].Name, "Names") {
					return false
				}
			case *ast.Field:
				if n.Tag != nil && strings.Contains(n.Tag.Value, `help:"`) { // as the command line library has it
					found[room] = append(found[room], set.Position(n.Pos()).String()+": "+n.Tag.Value)
				}
				tags[n.Tag] = true
			case *ast.CallExpr:
				if name, ok := n.Fun.(*ast.Ident); ok && name.Name == "panic" {
					return false
				}
			case *ast.BasicLit:
				text, err := strconv.Unquote(n.Value)
				if n.Kind == token.STRING && !tags[n] && err == nil && twoWords.MatchString(attribute.ReplaceAllString(text, "")) && !known[text[strings.LastIndexByte(text, '.')+1:]] {
					found[room] = append(found[room], set.Position(n.Pos()).String()+": "+n.Value)
				}
			}
			return true
		})
	}
	total := 0
	for room, texts := range found {
		total += len(texts)
		if os.Getenv("ENGLISH") != "" {
			t.Log(strings.Join(texts, "\n"))
		}
		switch most := english[room]; {
		case len(texts) > most:
			t.Errorf("%s: %d texts in English, %d were there; put the words in lang/en:\n%s", room, len(texts), most, strings.Join(texts, "\n"))
		case len(texts) < most:
			t.Logf("%s: %d texts in English are left; write that in english_test.go", room, len(texts))
		}
	}
	for room, most := range english {
		if len(found[room]) == 0 && most > 0 {
			t.Logf("%s: no text in English is left; take it out of english_test.go", room)
		}
	}
	t.Logf("%d in all", total)
	if total == 0 {
		t.Error("the test sees nothing")
	}
}
