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
