package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
)

// change is one figure or one sign written otherwise.
type change struct {
	file     string
	line     int
	text     string // the line as it stands
	from, to string
	at       int // byte in the file
}

// String gives the place and the change.
func (c change) String() string {
	return fmt.Sprintf("%s:%d: %s -> %s in: %s", c.file, c.line, c.from, c.to, c.text)
}

func (c change) apply(src []byte) []byte {
	return append(append(append([]byte(nil), src[:c.at]...), c.to...), src[c.at+len(c.from):]...)
}

// changes lists what can be changed in a file: the figures of constants and of
// variables of the package, the figures that something is compared with, and the
// comparisons of two things. Tables in braces are left alone (their sums are
// pinned), and so are loops, zeros, and the ones that only count.
func changes(file string, src []byte) ([]change, error) {
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, file, src, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	lines := bytes.Split(src, []byte("\n"))
	var all []change
	add := func(at token.Pos, from, to string) {
		p := set.Position(at)
		all = append(all, change{file, p.Line, strings.TrimSpace(string(lines[p.Line-1])), from, to, p.Offset})
	}
	figures := func(e ast.Expr) {
		ast.Inspect(e, func(n ast.Node) bool {
			switch x := n.(type) {
			case *ast.CompositeLit, *ast.FuncLit:
				return false
			case *ast.BasicLit:
				if to := other(x); to != "" {
					add(x.Pos(), x.Value, to)
				}
			}
			return true
		})
	}
	for _, d := range tree.Decls {
		switch d := d.(type) {
		case *ast.GenDecl:
			for _, s := range d.Specs {
				if v, ok := s.(*ast.ValueSpec); ok {
					for _, e := range v.Values {
						figures(e)
					}
				}
			}
		case *ast.FuncDecl:
			if d.Body != nil {
				compared(d.Body, figures, add)
			}
		}
	}
	return all, nil
}

// reversed is the comparison that holds where the other does not.
var reversed = map[token.Token]string{token.LSS: ">=", token.LEQ: ">", token.GTR: "<=", token.GEQ: "<"}

// compared finds the comparisons of a function, but for those of its loops.
func compared(body ast.Node, figures func(ast.Expr), add func(at token.Pos, from, to string)) {
	ast.Inspect(body, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.ForStmt:
			compared(x.Body, figures, add)
			return false
		case *ast.BinaryExpr:
			to, is := reversed[x.Op]
			if !is {
				return true
			}
			figures(x.X)
			figures(x.Y)
			add(x.OpPos, x.Op.String(), to)
			return false
		}
		return true
	})
}

// other gives another figure that a test of this one should see: a tenth more, or
// one more of whole numbers below ten; "" for 0 and for what is no number.
func other(lit *ast.BasicLit) string {
	switch lit.Kind {
	case token.INT:
		if n, err := strconv.ParseInt(lit.Value, 0, 64); err == nil && n > 0 {
			return strconv.FormatInt(n+max(1, n/10), 10)
		}
	case token.FLOAT:
		if x, err := strconv.ParseFloat(lit.Value, 64); err == nil && x > 0 {
			return strconv.FormatFloat(x*1.1, 'g', -1, 64)
		}
	}
	return ""
}
