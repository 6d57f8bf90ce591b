package raftwright

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"raftwright/lang"
	"raftwright/source"
	"raftwright/unit"
)

// order lists the rooms from the ground up. A room imports only rooms of an
// earlier row; rooms of one row do not know each other.
var order = [][]string{
	{"unit", "source"},
	{"finding", "usual"},
	{"internal"}, // methods, not subjects
	{"chem", "crop", "sky", "trouble", "trial"},
	{"water", "pool", "raft", "frame", "cut"},
	{"mix", "season"},
	{"cost"},
	{"brief"},
	{"bed"},
	{"plan"},
	{"tend", "workshop", "programme"},
	{"draw"},
	{"page"},
	{"lang"},
	{"answer"},
	{"packet"},
	// below this row the clock, the disk and the network may be used
	{"press"},
	{"store"},
	{"web", "api"},
	{"examples"},
	{"cmd"},
}

// pureUntil is the last row whose rooms never touch clock, disk, network or chance.
const pureUntil = "packet"

var impure = []string{"os", "net", "syscall", "math/rand", "crypto/rand", "database/sql", "os/exec", "io/ioutil", "log", "unsafe", "plugin"}

type sourceFile struct {
	path string // slash path from the root
	room string // first element of the path; "" for the root
	test bool
	ast  *ast.File
}

// read gives every Go file of the project, parsed once for all tests, which change nothing
// in it, and fails when it sees too few: a guard that looks at nothing always passes.
func read(t *testing.T) (*token.FileSet, []sourceFile) {
	t.Helper()
	p := parsed()
	if p.err != nil {
		t.Fatal(p.err)
	}
	rooms := map[string]bool{}
	for _, f := range p.files {
		rooms[f.room] = true
	}
	if len(p.files) < 40 || len(rooms) < 15 {
		t.Fatalf("saw only %d files in %d rooms", len(p.files), len(rooms))
	}
	return p.set, p.files
}

type project struct {
	set   *token.FileSet
	files []sourceFile
	err   error
}

var parsed = sync.OnceValue(func() project {
	set := token.NewFileSet()
	var files []sourceFile
	err := filepath.WalkDir(".", func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if n := d.Name(); p != "." && (strings.HasPrefix(n, ".") || n == "node_modules" || n == "testdata" || n == "tools") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(p, ".go") {
			return nil
		}
		f, err := parser.ParseFile(set, p, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		slash := filepath.ToSlash(p)
		room := ""
		if i := strings.IndexByte(slash, '/'); i > 0 {
			room = slash[:i]
		}
		files = append(files, sourceFile{slash, room, strings.HasSuffix(p, "_test.go"), f})
		return nil
	})
	return project{set, files, err}
})

func rank(room string) int {
	return slices.IndexFunc(order, func(row []string) bool { return slices.Contains(row, room) })
}

// breaches says what an import of a room breaks, "" if nothing.
func breach(room, imported string) string {
	if slices.ContainsFunc(impure, func(p string) bool { return imported == p || strings.HasPrefix(imported, p+"/") }) {
		if rank(room) <= rank(pureUntil) {
			return "a pure room must not use " + imported
		}
		return ""
	}
	other, ours := strings.CutPrefix(imported, "raftwright/")
	if !ours {
		return ""
	}
	other, _, _ = strings.Cut(other, "/")
	switch a, b := rank(room), rank(other); {
	case room == other:
		return ""
	case b < 0:
		return other + " is not in the order of rooms"
	case a <= b:
		return fmt.Sprintf("%s stands at or below %s in the order of rooms", other, room)
	}
	return ""
}

func TestRoomsImportOnlyUpwards(t *testing.T) {
	for room, imported := range map[string]string{"water": "raftwright/plan", "mix": "net/http", "frame": "raftwright/raft", "unit": "os"} {
		if breach(room, imported) == "" {
			t.Fatalf("the rule does not see that %s imports %s", room, imported)
		}
	}
	_, files := read(t)
	for _, f := range files {
		if f.room == "" || f.test {
			continue
		}
		if rank(f.room) < 0 {
			t.Errorf("%s: room %q is not in the order of rooms", f.path, f.room)
			continue
		}
		for _, im := range f.ast.Imports {
			p, _ := strconv.Unquote(im.Path.Value)
			if why := breach(f.room, p); why != "" {
				t.Errorf("%s imports %s: %s", f.path, p, why)
			}
		}
	}
}

// libraries says which folder alone may know a library; "" is nobody but tests.
// Templates call methods by name, which makes the linker keep every method there is.
var libraries = map[string]string{
	"github.com/carlos7ags/folio": "press/paper", "github.com/goccy/go-yaml": "brief", "github.com/alecthomas/kong": "cmd/raftwright",
	"github.com/ncruces": "store", "github.com/jackc/pgx": "store", "github.com/pressly/goose": "store", "github.com/alexedwards/argon2id": "store",
	"text/template": "", "html/template": "web", "regexp": "",
}

func TestLibrariesStayInTheirRoom(t *testing.T) {
	_, files := read(t)
	met := map[string]bool{}
	for _, f := range files {
		for _, im := range f.ast.Imports {
			p, _ := strconv.Unquote(im.Path.Value)
			for library, home := range libraries {
				if f.test || p != library && !strings.HasPrefix(p, library+"/") {
					continue
				}
				met[library] = true
				if filepath.ToSlash(filepath.Dir(f.path)) != home {
					t.Errorf("%s imports %s, which only %q may", f.path, p, home)
				}
			}
		}
	}
	if len(met) < 3 {
		t.Errorf("only %v were met", met)
	}
}

func TestCoreHasNoClock(t *testing.T) {
	_, files := read(t)
	seen := 0
	for _, f := range files {
		if f.test || f.room == "" || rank(f.room) > rank(pureUntil) {
			continue
		}
		ast.Inspect(f.ast, func(n ast.Node) bool {
			s, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			seen++
			if x, ok := s.X.(*ast.Ident); ok && x.Name == "time" && slices.Contains([]string{"Now", "Since", "Until", "After", "Tick", "Sleep", "NewTimer"}, s.Sel.Name) {
				t.Errorf("%s uses time.%s", f.path, s.Sel.Name)
			}
			return true
		})
	}
	if seen < 1000 {
		t.Fatalf("saw only %d selectors", seen)
	}
}

func TestExportedNamesAreDocumented(t *testing.T) {
	_, files := read(t)
	packages, names := map[string]int{}, 0
	for _, f := range files {
		if f.test || ast.IsGenerated(f.ast) {
			continue
		}
		dir := filepath.Dir(f.path)
		if f.ast.Doc != nil {
			packages[dir]++
		} else {
			packages[dir] += 0
		}
		for _, d := range f.ast.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if d.Name.IsExported() && exportedReceiver(d) {
					names++
					if d.Doc == nil {
						t.Errorf("%s: %s has no comment", f.path, d.Name.Name)
					}
				}
			case *ast.GenDecl:
				for _, s := range d.Specs {
					names += undocumented(t, f.path, d, s)
				}
			}
		}
	}
	for dir, n := range packages {
		if n != 1 {
			t.Errorf("package %s has %d package comments, not one", dir, n)
		}
	}
	if names < 200 {
		t.Fatalf("saw only %d exported names", names)
	}
}

func exportedReceiver(d *ast.FuncDecl) bool {
	if d.Recv == nil || len(d.Recv.List) == 0 {
		return true
	}
	typ := d.Recv.List[0].Type
	if s, ok := typ.(*ast.StarExpr); ok {
		typ = s.X
	}
	if g, ok := typ.(*ast.IndexExpr); ok {
		typ = g.X
	}
	id, ok := typ.(*ast.Ident)
	return ok && id.IsExported()
}

func undocumented(t *testing.T, path string, d *ast.GenDecl, s ast.Spec) int {
	switch s := s.(type) {
	case *ast.TypeSpec:
		if s.Name.IsExported() {
			if d.Doc == nil && s.Doc == nil {
				t.Errorf("%s: type %s has no comment", path, s.Name.Name)
			}
			return 1
		}
	case *ast.ValueSpec:
		for _, n := range s.Names {
			if n.IsExported() {
				if d.Doc == nil && s.Doc == nil && s.Comment == nil {
					t.Errorf("%s: %s has no comment", path, n.Name)
				}
				return 1
			}
		}
	}
	return 0
}

// Every cited source stands in the bibliography.
func TestCitedSourcesAreKnown(t *testing.T) {
	set, files := read(t)
	cited := map[string]string{}
	for _, f := range files {
		if f.test || f.room == "source" {
			continue
		}
		ast.Inspect(f.ast, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.KeyValueExpr:
				if k, ok := n.Key.(*ast.Ident); ok && (k.Name == "Source" || k.Name == "Sources") {
					collect(n.Value, func(s string, p token.Pos) { cited[s] = set.Position(p).String() })
				}
			case *ast.ValueSpec:
				if isType(n.Type, "source", "ID") {
					for _, v := range n.Values {
						collect(v, func(s string, p token.Pos) { cited[s] = set.Position(p).String() })
					}
				}
			case *ast.CallExpr:
				if isType(n.Fun, "source", "ID") && len(n.Args) == 1 {
					if lit, ok := n.Args[0].(*ast.BasicLit); ok {
						collect(lit, func(s string, p token.Pos) { cited[s] = set.Position(p).String() })
					}
				}
			}
			return true
		})
	}
	for id, at := range cited {
		if _, ok := source.Find(source.ID(id)); !ok && id != "" {
			t.Errorf("%s: source %q is not in the bibliography", at, id)
		}
	}
	if len(cited) < 10 {
		t.Fatalf("saw only %d citations", len(cited))
	}
}

func collect(e ast.Expr, found func(string, token.Pos)) {
	ast.Inspect(e, func(n ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok {
			if f, ok := call.Fun.(*ast.SelectorExpr); ok && f.Sel.Name == "Source" {
				return false // the name of a column; the table tells an ID that is not known
			}
		}
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			if s, err := strconv.Unquote(lit.Value); err == nil {
				found(s, lit.Pos())
			}
		}
		_, call := n.(*ast.CallExpr)
		return !call || n == e
	})
}

func isType(e ast.Expr, pkg, name string) bool {
	s, ok := e.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	x, ok := s.X.(*ast.Ident)
	return ok && x.Name == pkg && s.Sel.Name == name
}

// Every code that a room can raise has its sentence, every assumption says what
// would replace it, and every word that is to be translated is there.
func TestEveryCodeHasASentence(t *testing.T) {
	p, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	_, files := read(t)
	codes, words := 0, 0
	for _, f := range files {
		if f.test {
			continue
		}
		ast.Inspect(f.ast, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ValueSpec:
				if !isType(n.Type, "finding", "ID") {
					return true
				}
				for i, v := range n.Values {
					collect(v, func(id string, _ token.Pos) {
						codes++
						if !p.Can(id) {
							t.Errorf("%s: %s (%q) has no sentence", f.path, n.Names[i].Name, id)
						}
						if strings.HasPrefix(strings.ToLower(n.Names[i].Name), "assume") && !p.Can("replace."+id) {
							t.Errorf("%s: %s (%q) does not say what would replace it", f.path, n.Names[i].Name, id)
						}
						if strings.HasPrefix(strings.ToLower(n.Names[i].Name), "fault") && !p.Can("right."+id) {
							t.Errorf("%s: %s (%q) does not say what would be right", f.path, n.Names[i].Name, id)
						}
					})
				}
			case *ast.BasicLit: // a phrase of the working
				id, err := strconv.Unquote(n.Value)
				if err == nil && strings.HasPrefix(id, "work.") && id != "work." && !p.Can(id) {
					t.Errorf("%s: phrase %q is not in the language", f.path, id)
				}
			case *ast.CallExpr:
				if isType(n.Fun, "finding", "Word") && len(n.Args) == 1 {
					if lit, ok := n.Args[0].(*ast.BasicLit); ok {
						w, _ := strconv.Unquote(lit.Value)
						words++
						if !p.Can(w) {
							t.Errorf("%s: word %q is not in the language", f.path, w)
						}
					}
				}
			}
			return true
		})
	}
	if codes < 20 || words < 5 {
		t.Fatalf("saw only %d codes and %d words", codes, words)
	}
}

// Ceilings keep a room readable: a file is one subject, a function one thought.
func TestCeilings(t *testing.T) {
	const fileLines, functionLines = 600, 100
	set, files := read(t)
	for _, f := range files {
		if n := set.File(f.ast.Pos()).LineCount(); n > fileLines && !f.test && !ast.IsGenerated(f.ast) {
			t.Errorf("%s has %d lines, over %d: is it still one subject?", f.path, n, fileLines)
		}
		for _, d := range f.ast.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Body == nil || f.test {
				continue
			}
			if n := set.Position(fn.End()).Line - set.Position(fn.Pos()).Line; n > functionLines {
				t.Errorf("%s: %s has %d lines, over %d", f.path, fn.Name.Name, n, functionLines)
			}
		}
	}
}

// Faults of the rooms that stand above package finding are plain literals; each has
// its sentence and what would be right.
func TestEveryLiteralFaultHasASentence(t *testing.T) {
	p, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	_, files := read(t)
	seen := 0
	for _, f := range files {
		if f.test || f.room != "unit" && f.room != "cost" && f.room != "brief" {
			continue
		}
		ast.Inspect(f.ast, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			id, _ := strconv.Unquote(lit.Value)
			if other := strings.HasPrefix(id, "right."+f.room+".") || strings.HasPrefix(id, f.room+".word.") && !strings.HasSuffix(id, "."); other && !p.Can(id) {
				t.Errorf("%s: %q has no sentence", f.path, id)
			}
			if !strings.HasPrefix(id, f.room+".fault.") {
				return true
			}
			seen++
			if !p.Can(id) || !p.Can("right."+id) {
				t.Errorf("%s: %q lacks its sentence or what would be right", f.path, id)
			}
			return true
		})
	}
	if seen < 30 {
		t.Fatalf("saw only %d faults", seen)
	}
	for _, k := range unit.Kinds() {
		if !p.Can("unit.kind." + k.Name) {
			t.Errorf("what %q measures has no word", k.Name)
		}
	}
}
