package brief

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// document has the YAML read into a tree. A fault of the syntax hides whatever
// comes after it.
func (r *reader) document(text string) (root ast.Node, ok bool) {
	defer func() {
		if v := recover(); v != nil { // the parser's own mistake must not become ours
			r.fault(Place{}, "the file is no YAML that can be read", "compare it with a new first brief")
			root, ok = nil, false
		}
	}()
	file, err := parser.ParseBytes([]byte(text), 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.syntax(err, text)
		return nil, false
	}
	for _, doc := range file.Docs {
		if empty(doc.Body) {
			continue
		}
		if d, is := doc.Body.(*ast.DirectiveNode); is {
			r.fault(start(d), "a line that begins with % is a directive", "leave it out")
			continue
		}
		if root != nil {
			r.fault(start(doc.Body), "a second document begins in the same file", "write one brief a file; --- stands at the top or nowhere")
			break
		}
		root = doc.Body
	}
	return root, true
}

// syntax tells what the YAML parser could not read. Its own printed error, with
// an excerpt, takes a time that grows with the square of the file; only the
// message and the token are used.
func (r *reader) syntax(err error, text string) {
	var at interface {
		error
		GetToken() *token.Token
		GetMessage() string
	}
	if !errors.As(err, &at) {
		r.fault(Place{}, "the file is no YAML that can be read", "compare it with a new first brief")
		return
	}
	place := Place{1, 1}
	if t := at.GetToken(); t != nil && t.Position != nil {
		place = Place{t.Position.Line, t.Position.Column}
	}
	lines := strings.Split(text, "\n")
	place.Line = min(max(1, place.Line), len(lines))
	line := lines[place.Line-1]
	right := "check the indent, the colons and the brackets on this line and the one above"
	switch message := at.GetMessage(); {
	case strings.HasPrefix(strings.TrimLeft(line, " "), "\t") || strings.Contains(message, "tab"):
		right = "indent with spaces, not with a tab"
	case strings.Contains(message, "could not find flow map") || strings.Contains(message, "sequence end"):
		right = "close the bracket: { needs }, [ needs ]"
	case strings.Contains(message, "mapping value is not allowed"):
		right = "put the keys of a group on lines of their own, and a text with a colon between quotes"
	case strings.Contains(message, "quot"):
		right = `close the quotation mark, or write quotes as '8 in' and "8 in"`
	}
	r.fault(place, "this is not YAML: "+clip(plain(at.GetMessage())), right)
}

// plain keeps a message to one line of printable text.
func plain(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(c rune) bool { return c <= ' ' }), " ")
}

// start gives the place where a node begins.
func start(n ast.Node) Place {
	switch v := n.(type) {
	case *ast.MappingNode:
		if !v.IsFlowStyle && len(v.Values) > 0 {
			return start(v.Values[0])
		}
	case *ast.MappingValueNode:
		if v.Key != nil {
			return start(v.Key)
		}
	case *ast.LiteralNode:
		if v.Start != nil && v.Start.Position != nil {
			return Place{v.Start.Position.Line, v.Start.Position.Column}
		}
	}
	if n == nil || n.GetToken() == nil || n.GetToken().Position == nil {
		return Place{1, 1}
	}
	p := n.GetToken().Position
	return Place{max(1, p.Line), max(1, p.Column)}
}

// pair is one key of a group with what stands behind it.
type pair struct {
	key   string
	at    Place
	value ast.Node
}

// pairs lists the keys of a group; ok is false when the node is none.
func (r *reader) pairs(n ast.Node) (out []pair, ok bool) {
	var list []*ast.MappingValueNode
	switch v := n.(type) {
	case *ast.MappingNode:
		list = v.Values
	case *ast.MappingValueNode:
		list = []*ast.MappingValueNode{v}
	default:
		return nil, false
	}
	seen := map[string]Place{}
	for _, kv := range list {
		at := start(kv.Key)
		key, is := keyText(kv.Key)
		if !is {
			r.fault(at, "this is not a plain key", "write key: value; briefs have no <<, ?, & or *")
			continue
		}
		if first, twice := seen[key]; twice {
			r.fault(at, fmt.Sprintf("%q is said twice, first on line %d", clip(key), first.Line), "keep one of them")
			continue
		}
		seen[key] = at
		out = append(out, pair{key, at, kv.Value})
	}
	return out, true
}

func keyText(n ast.MapKeyNode) (string, bool) {
	switch v := n.(type) {
	case *ast.StringNode:
		return v.Value, v.Value != "<<"
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		return v.GetToken().Value, true
	}
	return "", false
}

// empty tells whether nothing stands behind a key, which is the same as leaving
// the key out.
func empty(n ast.Node) bool {
	if n == nil {
		return true
	}
	switch n.Type() {
	case ast.NullType, ast.CommentType:
		return true
	}
	return false
}

// text gives a single value as it was written.
func text(n ast.Node) (string, bool) {
	switch v := n.(type) {
	case *ast.StringNode:
		return v.Value, true
	case *ast.LiteralNode:
		return strings.TrimSpace(v.Value.Value), true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return n.GetToken().Value, true
	}
	return "", false
}
