package answer_test

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"raftwright/answer"
)

var update = flag.Bool("update", false, "write the golden files and docs/findings.md anew")

// partial is the plan's document and what it has beside.
var partial = reflect.TypeFor[answer.PartialDocument]()

// documents are the documents of the commands by their heading in docs/commands.md.
var documents = map[string]reflect.Type{
	"In every document": reflect.TypeFor[answer.Told](), "plan": reflect.TypeFor[answer.PlanDocument](), "frame": reflect.TypeFor[answer.FrameDocument](),
	"raft": reflect.TypeFor[answer.RaftDocument](), "cut": reflect.TypeFor[answer.CutDocument](), "water": reflect.TypeFor[answer.WaterDocument](),
	"mix": reflect.TypeFor[answer.MixDocument](), "season": reflect.TypeFor[answer.SeasonDocument](), "cost": reflect.TypeFor[answer.CostDocument](),
	"found": reflect.TypeFor[answer.FoundDocument](), "amiss": reflect.TypeFor[answer.AmissDocument](),
	"place": reflect.TypeFor[answer.PlaceDocument](), "read": reflect.TypeFor[answer.ReadDocument](),
	"plan --partial": reflect.StructOf([]reflect.StructField{partial.Field(1), partial.Field(2)}),
}

// keys lists every key that a type of document has; of a group, only its keys.
func keys(t reflect.Type, path string) []string {
	switch t.Kind() {
	case reflect.Pointer:
		return keys(t.Elem(), path)
	case reflect.Slice:
		if t.Elem().Kind() == reflect.Struct {
			return append([]string{path + "[]"}, keys(t.Elem(), path+"[]")...)
		}
	case reflect.Struct:
		var out []string
		for i := range t.NumField() {
			f := t.Field(i)
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			switch {
			case f.Anonymous && f.Type == documents["In every document"]:
			case f.Anonymous:
				out = append(out, keys(f.Type, path)...)
			default:
				out = append(out, keys(f.Type, strings.TrimPrefix(path+"."+name, "."))...)
			}
		}
		return out
	}
	return []string{path}
}

// row is a line of a table of docs/commands.md.
var row = regexp.MustCompile("^\\| `([^`]+)` \\| (.+) \\|$")

// documented reads the keys of each heading with their meaning.
func documented(t *testing.T) map[string]map[string]string {
	t.Helper()
	data, err := os.ReadFile("../docs/commands.md")
	if err != nil {
		t.Fatal(err)
	}
	out, heading := map[string]map[string]string{}, ""
	for line := range strings.SplitSeq(string(data), "\n") {
		if h, ok := strings.CutPrefix(line, "## "); ok {
			heading = h
			out[h] = map[string]string{}
		} else if m := row.FindStringSubmatch(line); m != nil && heading != "" {
			if out[heading][m[1]] != "" {
				t.Errorf("%s: %s stands twice", heading, m[1])
			}
			out[heading][m[1]] = m[2]
		}
	}
	return out
}

// Every key of every document is explained, and nothing else. A group that is
// written as another one ("as ...") is explained there.
func TestEveryKeyIsDocumented(t *testing.T) {
	doc := documented(t)
	for heading, document := range documents {
		told := doc[heading]
		if len(told) == 0 {
			t.Errorf("docs/commands.md has no keys under %q", heading)
			continue
		}
		have := map[string]bool{}
		for _, k := range keys(document, "") {
			have[k] = true
			covered := told[k] != ""
			for group, meaning := range told {
				inside := strings.HasPrefix(k, group+".") || strings.HasPrefix(k, group+"[]")
				covered = covered || inside && strings.HasPrefix(meaning, "as ")
			}
			if !covered {
				t.Errorf("%s: the key %s is not explained", heading, k)
			}
		}
		for k := range told {
			group := slices.ContainsFunc(keys(document, ""), func(have string) bool { return strings.HasPrefix(have, k+".") })
			if !have[k] && !group {
				t.Errorf("%s: %s is explained, but is no key", heading, k)
			}
		}
	}
}

// coded is a finding or an assumption as the code declares it.
type coded struct {
	id      string
	assumed bool
}

// declared reads the constants of type finding.ID from the code.
func declared(t *testing.T) []coded {
	t.Helper()
	var out []coded
	err := filepath.WalkDir("..", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), p, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			v, ok := n.(*ast.ValueSpec)
			if !ok || len(v.Values) != 1 {
				return true
			}
			s, isID := v.Type.(*ast.SelectorExpr)
			lit, isText := v.Values[0].(*ast.BasicLit)
			if isID && isText && s.Sel.Name == "ID" && fmt.Sprint(s.X) == "finding" && lit.Kind == token.STRING {
				id, _ := strconv.Unquote(lit.Value)
				out = append(out, coded{id, strings.HasPrefix(v.Names[0].Name, "Assume")})
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(out) < 50 {
		t.Fatalf("saw only %d findings", len(out))
	}
	slices.SortFunc(out, func(a, b coded) int { return strings.Compare(a.id, b.id) })
	return out
}

// sentences reads the English of the catalogue, one sentence an ID; of a plural
// the form for many.
func sentences(t *testing.T) map[string]string {
	t.Helper()
	names, err := filepath.Glob("../lang/en/*.toml")
	if err != nil || len(names) == 0 {
		t.Fatalf("no catalogue: %v", err)
	}
	out := map[string]string{}
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch x := v.(type) {
		case string:
			out[strings.TrimSuffix(path, ".other")] = x
		case map[string]any:
			for k, y := range x {
				walk(strings.TrimPrefix(path+"."+k, "."), y)
			}
		}
	}
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		var m map[string]any
		if err := toml.Unmarshal(data, &m); err != nil {
			t.Fatalf("%s: %v", n, err)
		}
		walk("", m)
	}
	return out
}

// placeholder is a figure in a sentence: "{{.Depth}}" is printed as "(Depth)".
var placeholder = regexp.MustCompile(`\{\{-?\s*\.?([^}]*?)\s*-?\}\}`)

func findingsPage(t *testing.T) string {
	text := sentences(t)
	var findings, assumptions strings.Builder
	cell := func(id string) string {
		return strings.NewReplacer("|", "\\|", "\n", " ").Replace(placeholder.ReplaceAllString(text[id], "($1)"))
	}
	for _, c := range declared(t) {
		if text[c.id] == "" {
			t.Errorf("%s says nothing in English", c.id)
		}
		if strings.Contains(c.id, ".fault.") {
			continue // a fault is told whole, with what would be right
		}
		if c.assumed {
			fmt.Fprintf(&assumptions, "| `%s` | %s | %s |\n", c.id, cell(c.id), cell("replace."+c.id))
		} else {
			fmt.Fprintf(&findings, "| `%s` | %s |\n", c.id, cell(c.id))
		}
	}
	return "# Findings and assumptions\n\nMade from the code; do not edit: `go test ./answer -update`. Figures stand in brackets, printed in the reader's units.\n" +
		"Severity (note, caution or stop) depends on the case and is told with each finding.\n\n## Findings\n| id | what it says |\n|---|---|\n" + findings.String() +
		"\n## Assumptions\n| id | what was taken | what replaces it |\n|---|---|---|\n" + assumptions.String()
}

// The list of findings in the docs is that of the code.
func TestFindingsPage(t *testing.T) {
	golden(t, "../docs/findings.md", []byte(findingsPage(t)))
}

// golden compares with a file that a person has read, or writes it anew.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) == string(got) {
		return
	}
	a, b := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			t.Fatalf("%s, line %d: was %.160s, is %.160s (go test ./answer -update writes it anew)", name, i+1, a[i], b[i])
		}
	}
	t.Fatalf("%s has %d lines, now %d (go test ./answer -update writes it anew)", name, len(a), len(b))
}
