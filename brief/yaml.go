package brief

import (
	"errors"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// document has the YAML read into a tree, nil where it cannot be read. A fault of
// the syntax hides whatever comes after it.
func (r *reader) document(text string) (root *node) {
	defer func() {
		if v := recover(); v != nil { // the parser's own mistake must not become ours
			r.tell("", Place{}, fault("brief.fault.unreadable"))
			root = nil
		}
	}()
	tokens := lexer.Tokenize(text)
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.syntax(err, text)
		return nil
	}
	var body ast.Node
	for _, doc := range file.Docs {
		if doc.Body == nil || doc.Body.Type() == ast.NullType || doc.Body.Type() == ast.CommentType {
			continue
		}
		if d, is := doc.Body.(*ast.DirectiveNode); is {
			r.tell("", start(d), fault("brief.fault.directive"))
			continue
		}
		if body != nil {
			r.tell("", start(doc.Body), fault("brief.fault.second"))
			break
		}
		body = doc.Body
	}
	if body == nil {
		return &node{shape: blank, raw: text, at: Place{1, 1}}
	}
	b := newBuilder(text, tokens)
	from := 0
	if !inBlock(body) {
		from = b.offset(start(body))
	}
	root, end := b.build(body, from, len(text), false)
	root.before, root.after = text[:from], b.cut(end, len(text))
	if b.torn { // the parser does not say where everything stands: the notes are lost
		root = edit{}.graft(root)
	}
	return root
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
		r.tell("", Place{}, fault("brief.fault.unreadable"))
		return
	}
	place := Place{1, 1}
	if t := at.GetToken(); t != nil && t.Position != nil {
		place = Place{t.Position.Line, t.Position.Column}
	}
	lines := strings.Split(text, "\n")
	place.Line = min(max(1, place.Line), len(lines))
	line := lines[place.Line-1]
	bad := fault("brief.fault.yaml")
	switch message := at.GetMessage(); {
	case strings.HasPrefix(strings.TrimLeft(line, " "), "\t") || strings.Contains(message, "tab"):
		bad.Right = "right.brief.fault.yaml_tab"
	case strings.Contains(message, "could not find flow map") || strings.Contains(message, "sequence end"):
		bad.Right = "right.brief.fault.yaml_bracket"
	case strings.Contains(message, "mapping value is not allowed"):
		bad.Right = "right.brief.fault.yaml_colon"
	case strings.Contains(message, "quot"):
		bad.Right = "right.brief.fault.yaml_quote"
	}
	r.tell("", place, bad)
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
		return begins(v.Start)
	}
	if n == nil {
		return Place{1, 1}
	}
	return begins(n.GetToken())
}

func begins(t *token.Token) Place {
	if t == nil || t.Position == nil {
		return Place{1, 1}
	}
	return Place{max(1, t.Position.Line), max(1, t.Position.Column)}
}

// inBlock tells whether a node is a group or a list without brackets.
func inBlock(n ast.Node) bool {
	switch v := n.(type) {
	case *ast.MappingNode:
		return !v.IsFlowStyle && len(v.Values) > 0
	case *ast.MappingValueNode:
		return !v.IsFlowStyle
	case *ast.SequenceNode:
		return !v.IsFlowStyle
	}
	return false
}

// builder makes the tree of a document from that of the YAML parser. It cuts the
// text into the pieces that the nodes are written with, so that no sign is lost.
type builder struct {
	text   string
	lines  []int // where each line begins
	starts []int // where each token begins
	marks  []token.Type
	plain  bool // no letter takes more than a byte
	torn   bool // the places do not fit together
}

func newBuilder(text string, tokens token.Tokens) *builder {
	b := &builder{text: text, lines: []int{0}, starts: make([]int, 0, len(tokens)), marks: make([]token.Type, 0, len(tokens)), plain: true}
	for i := range len(text) {
		b.plain = b.plain && text[i] < utf8.RuneSelf
		if text[i] == '\n' {
			b.lines = append(b.lines, i+1)
		}
	}
	for _, t := range tokens {
		b.starts = append(b.starts, b.offset(begins(t)))
		b.marks = append(b.marks, t.Type)
	}
	return b
}

// offset gives where a place lies in the text.
func (b *builder) offset(at Place) int {
	if at.Line > len(b.lines) {
		return len(b.text)
	}
	o, end := b.lines[at.Line-1], len(b.text)
	if at.Line < len(b.lines) {
		end = b.lines[at.Line] - 1
	}
	if b.plain { // a letter is a byte
		return min(o+at.Column-1, end)
	}
	for range at.Column - 1 {
		if o >= end {
			break
		}
		_, n := utf8.DecodeRuneInString(b.text[o:])
		o += n
	}
	return o
}

// next gives the first token that begins behind a place in the text, or the limit.
func (b *builder) next(after, limit int) int {
	if i, _ := slices.BinarySearch(b.starts, after+1); i < len(b.starts) {
		return min(b.starts[i], limit)
	}
	return limit
}

// comma gives the next comma between the items of brackets.
func (b *builder) comma(from, limit int) int {
	for i, _ := slices.BinarySearch(b.starts, from); i < len(b.starts) && b.starts[i] < limit; i++ {
		if b.marks[i] == token.CollectEntryType {
			return b.starts[i]
		}
	}
	b.torn = true
	return from
}

// cut gives the text between two places.
func (b *builder) cut(from, to int) string {
	if from > to || to > len(b.text) {
		b.torn = true
		return ""
	}
	return b.text[from:to]
}

// end gives the end of what stands between two places, without the space behind it.
func (b *builder) end(from, to int) int {
	return from + len(strings.TrimRight(b.cut(from, to), " \t\n"))
}

// line gives the beginning of the line behind a place, or the limit.
func (b *builder) line(at, limit int) int {
	if i := strings.IndexByte(b.text[at:], '\n'); i >= 0 {
		return min(at+i+1, limit)
	}
	return limit
}

// build makes a node of what begins at a place and ends before a limit, in brackets
// (flow) or not, and gives the place behind it. What stands before and after it is for the one that holds it.
func (b *builder) build(n ast.Node, from, limit int, flow bool) (*node, int) {
	out := &node{at: start(n), shape: leaf}
	end := b.end(from, b.next(from, limit))
	switch v := n.(type) {
	case *ast.MappingNode:
		return b.group(out, v.Values, v.End, from, limit, flow)
	case *ast.MappingValueNode:
		return b.group(out, []*ast.MappingValueNode{v}, nil, from, limit, flow)
	case *ast.SequenceNode:
		return b.list(out, v, from, limit)
	case *ast.StringNode:
		out.text = v.Value
	case *ast.LiteralNode:
		out.text = strings.TrimSpace(v.Value.Value)
		end = b.end(from, b.next(b.offset(begins(v.Value.GetToken())), limit))
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		out.text = n.GetToken().Value
	case *ast.AnchorNode:
		out.shape, end = anchor, b.behind(v.Value, from, limit)
	case *ast.AliasNode:
		out.shape, end = anchor, b.behind(v.Value, from, limit)
	case *ast.TagNode:
		out.shape, end = tag, b.behind(v.Value, from, limit)
	default:
		out.shape = blank
		if n == nil || n.GetToken().Type == token.ImplicitNullType {
			end = from
		}
	}
	out.raw = b.cut(from, end)
	return out, end
}

// behind gives the end of what an anchor or a tag stands before.
func (b *builder) behind(n ast.Node, from, limit int) int {
	if n == nil || n.GetToken().Type == token.ImplicitNullType {
		return b.end(from, b.next(from, limit))
	}
	_, end := b.build(n, max(from, b.offset(start(n))), limit, false)
	end = b.end(from, end)
	for open := unclosed(b.text[from:end]); open > 0; open-- { // behind a tag the library places brackets one sign early
		i := end + len(b.text[end:limit]) - len(strings.TrimLeft(b.text[end:limit], " \n"))
		if i >= limit || b.text[i] != '}' && b.text[i] != ']' {
			break
		}
		end = i + 1
	}
	return end
}

// unclosed counts the brackets that a text opens and does not close.
func unclosed(text string) (n int) {
	for _, r := range text {
		switch r {
		case '{', '[':
			n++
		case '}', ']':
			n--
		}
	}
	return n
}

// kid builds what stands behind a key or in an item and gives the place where
// the next one begins.
func (b *builder) kid(n ast.Node, cursor, from, limit int, flow, last bool) (*node, int) {
	block := inBlock(n) && !flow
	if n != nil && n.GetToken().Type != token.ImplicitNullType && !block {
		from = max(from, b.offset(start(n)))
	}
	out, end := b.build(n, from, limit, flow)
	out.before = b.cut(cursor, from)
	switch {
	case flow && last, block:
		return out, end
	case flow:
		comma := b.comma(end, limit)
		out.after = b.cut(end, comma)
		return out, comma + 1
	}
	next := b.line(end, limit)
	out.after = b.cut(end, next)
	return out, next
}

// opens gives the signs that open a group or a list, and the place behind them.
func (b *builder) opens(out *node, sign byte, from, first, limit int) int {
	switch {
	case out.flow && from < len(b.text) && b.text[from] == sign:
		out.open = b.text[from : from+1]
		return from + 1
	case out.flow || from == 0: // one pair between the brackets of a list; the whole document
	case b.line(from, limit) <= first:
		out.open = b.cut(from, b.line(from, limit))
	default:
		out.open = b.cut(from, first)
	}
	out.indent = first - (strings.LastIndexByte(b.text[:first], '\n') + 1)
	return from + len(out.open)
}

// closes gives the place behind what closes brackets.
func (b *builder) closes(out *node, cursor int, end *token.Token) int {
	if !out.flow || end == nil {
		return cursor
	}
	behind := b.offset(begins(end)) + 1
	out.close = b.cut(cursor, behind)
	return behind
}

func (b *builder) group(out *node, values []*ast.MappingValueNode, closing *token.Token, from, limit int, flow bool) (*node, int) {
	out.shape, out.flow = group, flow || closing != nil
	first := from
	if len(values) > 0 {
		first = b.offset(start(values[0]))
	}
	cursor := b.opens(out, '{', from, first, limit)
	seen := map[string]Place{}
	for i, kv := range values {
		until := limit
		if i+1 < len(values) {
			until = b.offset(start(values[i+1]))
		} else if closing != nil {
			until = b.offset(begins(closing))
		}
		key := b.offset(start(kv.Key))
		behind := b.end(key, b.next(key, until))
		if kv.Start != nil && kv.Start.Type == token.MappingValueType {
			behind = b.offset(begins(kv.Start)) + 1
		}
		k, next := b.kid(kv.Value, cursor, behind, until, out.flow, i+1 == len(values))
		k.keyAt = start(kv.Key)
		if k.key, k.odd = keyText(kv.Key); !k.odd {
			if at, twice := seen[k.key]; twice {
				k.twice = at
			} else {
				seen[k.key] = k.keyAt
			}
		}
		if k.shape == blank {
			k.at = k.keyAt
		}
		out.kids, cursor = append(out.kids, k), next
	}
	return out, b.closes(out, cursor, closing)
}

func (b *builder) list(out *node, v *ast.SequenceNode, from, limit int) (*node, int) {
	out.shape, out.flow = list, v.IsFlowStyle
	begin := func(i int) int {
		if !v.IsFlowStyle && i < len(v.Entries) {
			return b.offset(begins(v.Entries[i].Start))
		}
		return b.offset(start(v.Values[i]))
	}
	first := from
	if len(v.Values) > 0 {
		first = begin(0)
	}
	cursor := b.opens(out, '[', from, first, limit)
	for i, n := range v.Values {
		until, behind := limit, cursor
		if i+1 < len(v.Values) {
			until = begin(i + 1)
		} else if v.IsFlowStyle && v.End != nil {
			until = b.offset(begins(v.End))
		}
		if !v.IsFlowStyle {
			behind = begin(i) + 1
		}
		k, next := b.kid(n, cursor, behind, until, out.flow, i+1 == len(v.Values))
		if k.shape == blank && !v.IsFlowStyle && i < len(v.Entries) {
			k.at = begins(v.Entries[i].Start)
		}
		k.keyAt = k.at
		out.kids, cursor = append(out.kids, k), next
	}
	return out, b.closes(out, cursor, v.End)
}

// keyText gives a plain key; odd tells that it is none.
func keyText(n ast.MapKeyNode) (text string, odd bool) {
	switch v := n.(type) {
	case *ast.StringNode:
		return v.Value, v.Value == "<<"
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		return v.GetToken().Value, false
	}
	return "", true
}
