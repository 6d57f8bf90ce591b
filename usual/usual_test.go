package usual

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strings"
	"testing"

	"raftwright/source"
)

// Every figure of the room is in the list, once and with a source that is known.
func TestEveryFigureIsListed(t *testing.T) {
	f, err := parser.ParseFile(token.NewFileSet(), "usual.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, d := range f.Decls {
		if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.CONST {
			for _, s := range g.Specs {
				for _, n := range s.(*ast.ValueSpec).Names {
					names = append(names, n.Name)
				}
			}
		}
	}
	var listed []string
	for _, r := range Rules() {
		listed = append(listed, r.Key)
		if _, ok := source.Find(r.Source); !ok || r.Value == nil {
			t.Errorf("%s: no source %q", r.Key, r.Source)
		}
	}
	if len(names) < 40 || !slices.Equal(names, listed) {
		t.Errorf("in the file %v\nin the list %v", names, listed)
	}
}

// The text is that of the values: a changed figure makes another edition.
func TestText(t *testing.T) {
	text := Text()
	if strings.Count(text, "\n") != len(Rules()) || !strings.Contains(text, "PH 5.8 practice\n") || !strings.Contains(text, "Side 2x8 practice\n") {
		t.Error(text)
	}
}
