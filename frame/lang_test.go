package frame

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"pgregory.net/rapid"

	"raftwright/finding"
	"raftwright/source"
)

// sentences reads the English of this room.
func sentences(t *testing.T) map[string]any {
	t.Helper()
	text, err := os.ReadFile("../lang/en/frame.toml")
	if err != nil {
		t.Fatal(err)
	}
	var m map[string]any
	if err := toml.Unmarshal(text, &m); err != nil {
		t.Fatal(err)
	}
	return m
}

func at(m map[string]any, id string) (string, bool) {
	var x any = m
	for _, k := range strings.Split(id, ".") {
		table, ok := x.(map[string]any)
		if !ok {
			return "", false
		}
		x = table[k]
	}
	if forms, ok := x.(map[string]any); ok { // a plural
		x = forms["other"]
	}
	s, ok := x.(string)
	return s, ok
}

// Every finding, assumption and word declared in this package has its sentence,
// and every source cited is known.
func TestEveryIDHasItsSentence(t *testing.T) {
	m := sentences(t)
	ids, sources := 0, 0
	literal := regexp.MustCompile(`^(frame|word)\.[a-z_]+[a-z]$`)
	cited := regexp.MustCompile(`^[a-z]+[0-9a-z]*(-[a-z0-9]+)*$`)
	pkgs, err := parser.ParseDir(token.NewFileSet(), ".", func(f fs.FileInfo) bool { return !strings.HasSuffix(f.Name(), "_test.go") }, 0)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(pkgs["frame"], func(n ast.Node) bool {
		lit, ok := n.(*ast.BasicLit)
		if !ok || lit.Kind != token.STRING {
			return true
		}
		s, _ := strconv.Unquote(lit.Value)
		if literal.MatchString(s) {
			ids++
			if _, ok := at(m, s); !ok {
				t.Errorf("%s has no sentence", s)
			}
			if strings.HasPrefix(s, "frame.assume") {
				if _, ok := at(m, "replace."+s); !ok {
					t.Errorf("%s has no sentence that says what replaces it", s)
				}
			}
		}
		if _, known := source.Find(source.ID(s)); known && cited.MatchString(s) {
			sources++
		}
		return true
	})
	if ids < 60 || sources < 5 {
		t.Errorf("only %d IDs and %d sources seen", ids, sources)
	}
}

// Every placeholder of a sentence is filled by its finding, and a finding that
// counts has a sentence for one and for more.
func TestSentencesAreFilled(t *testing.T) {
	m, l := sentences(t), DefaultYard()
	hole := regexp.MustCompile(`\.([A-Z][A-Za-z]*)`)
	seen := map[finding.ID]bool{}
	filled := func(t *rapid.T, id string, args finding.Args) {
		text, ok := at(m, id)
		if !ok {
			t.Fatalf("%s has no sentence", id)
		}
		for _, h := range hole.FindAllStringSubmatch(text, -1) {
			if _, ok := args[h[1]]; !ok {
				t.Fatalf("%s: nothing fills %s", id, h[1])
			}
		}
		_, counts := args["Count"]
		if _, one := at(m, id+".one"); one != counts {
			t.Fatalf("%s: plural %v, count %v", id, one, counts)
		}
		for _, a := range args {
			if w, ok := a.(finding.Word); ok {
				if _, ok := at(m, string(w)); !ok {
					t.Fatalf("%s: %s is no word", id, w)
				}
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		b, err := Design(anyJob(t), l)
		if err != nil {
			return
		}
		for _, f := range b.Findings {
			seen[f.ID] = true
			filled(t, string(f.ID), f.Args)
		}
		for _, a := range b.Assumptions {
			filled(t, string(a.ID), a.Args)
		}
		for _, c := range b.Checks {
			filled(t, string(c.Name), nil)
		}
		for _, p := range b.Pieces {
			filled(t, string(p.Role.Word()), nil)
		}
		for _, f := range b.Fasteners {
			filled(t, string(f.Kind.Word()), nil)
		}
		for _, o := range b.Liner.Options {
			filled(t, string(o.Sheet.Word()), nil)
		}
	})
	if len(seen) < 25 {
		t.Errorf("only %d findings seen", len(seen))
	}
}
