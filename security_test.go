package raftwright

import (
	"go/ast"
	"os"
	"regexp"
	"strings"
	"testing"
)

// Every test that docs/security.md names is there.
func TestSecurityNamesItsTests(t *testing.T) {
	text, err := os.ReadFile("docs/security.md")
	if err != nil {
		t.Fatal(err)
	}
	_, files := read(t)
	there := map[string]bool{}
	for _, f := range files {
		for _, d := range f.ast.Decls {
			if f, is := d.(*ast.FuncDecl); is && (strings.HasPrefix(f.Name.Name, "Test") || strings.HasPrefix(f.Name.Name, "Fuzz")) {
				there[f.Name.Name] = true
			}
		}
	}
	named := regexp.MustCompile("`((?:Test|Fuzz)[A-Z]\\w+)`").FindAllSubmatch(text, -1)
	if len(named) < 40 {
		t.Errorf("only %d tests are named", len(named))
	}
	for _, n := range named {
		if !there[string(n[1])] {
			t.Errorf("%s is not a test", n[1])
		}
	}
}
