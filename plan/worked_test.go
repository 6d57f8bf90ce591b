package plan_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
)

// sum computes a worked sum: numbers, + - * / ^ ( ), pi and a few functions.
type sum struct{ err error }

func (s *sum) of(text string) float64 {
	e, err := parser.ParseExpr(powers(text))
	if err != nil {
		s.err = err
		return math.NaN()
	}
	return s.value(e)
}

var powered = regexp.MustCompile(`([\d.]+|\([^()]*\))\^([\d.]+)`)

// powers writes a^b as pow(a, b), innermost first; powers of nested sums are written
// by substitution of the bracket that stands before the sign.
func powers(s string) string {
	for {
		if next := powered.ReplaceAllString(s, "pow($1, $2)"); next != s {
			s = next
			continue
		}
		at := strings.Index(s, ")^")
		if at < 0 {
			return s
		}
		depth, from := 0, at
		for ; from >= 0; from-- {
			switch s[from] {
			case ')':
				depth++
			case '(':
				depth--
			}
			if depth == 0 {
				break
			}
		}
		to := at + 2
		for to < len(s) && strings.ContainsRune("0123456789.", rune(s[to])) {
			to++
		}
		if from < 0 {
			return s
		}
		s = s[:from] + "pow" + s[from:at] + ", " + s[at+2:to] + ")" + s[to:]
	}
}

func (s *sum) value(e ast.Expr) float64 {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return s.value(e.X)
	case *ast.BasicLit:
		v, err := strconv.ParseFloat(e.Value, 64)
		if err != nil {
			s.err = err
		}
		return v
	case *ast.Ident:
		if e.Name == "pi" {
			return math.Pi
		}
	case *ast.BinaryExpr:
		a, b := s.value(e.X), s.value(e.Y)
		switch e.Op {
		case token.ADD:
			return a + b
		case token.SUB:
			return a - b
		case token.MUL:
			return a * b
		case token.QUO:
			return a / b
		}
	case *ast.CallExpr:
		if f, ok := e.Fun.(*ast.Ident); ok {
			var x []float64
			for _, a := range e.Args {
				x = append(x, s.value(a))
			}
			return s.call(f.Name, x)
		}
	}
	s.err = fmt.Errorf("no sum: %T", e)
	return math.NaN()
}

func (s *sum) call(name string, x []float64) float64 {
	switch {
	case name == "sqrt" && len(x) == 1:
		return math.Sqrt(x[0])
	case name == "ceil" && len(x) == 1:
		return math.Ceil(x[0])
	case name == "floor" && len(x) == 1:
		return math.Floor(x[0] + 1e-9)
	case name == "pow" && len(x) == 2:
		return math.Pow(x[0], x[1])
	case (name == "max" || name == "min") && len(x) > 0:
		m := x[0]
		for _, v := range x {
			if name == "max" && v > m || name == "min" && v < m {
				m = v
			}
		}
		return m
	}
	s.err = fmt.Errorf("no function %s of %d", name, len(x))
	return math.NaN()
}

var worked = regexp.MustCompile("^- (.+): `(.+)` = \\*\\*([\\d.,]+) ?(.*)\\*\\*$")

// The examples of docs/worked-bed.md are what the program prints with --working: each
// sum is computed again from the figures that stand there, and its result is the
// step's own to the three figures printed.
func TestWorkedExamplesAreTheProgramsOwn(t *testing.T) {
	text, err := os.ReadFile("../docs/worked-bed.md")
	if err != nil {
		t.Fatal(err)
	}
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	var steps map[string]finding.Step
	var block []string
	inBlock, seen := false, 0
	for n, line := range strings.Split(string(text), "\n") {
		switch {
		case line == "```yaml":
			inBlock, block = true, nil
			continue
		case line == "```" && inBlock:
			inBlock, steps = false, map[string]finding.Step{}
			for _, s := range built(t, strings.Join(block, "\n")).Working(plan.Frame | plan.Raft | plan.Cut) {
				if s = words.Step(s); steps[s.Name].Name == "" {
					steps[s.Name] = s
				}
			}
			continue
		case inBlock:
			block = append(block, line)
			continue
		case !strings.HasPrefix(line, "- "):
			continue
		}
		m := worked.FindStringSubmatch(line)
		if m == nil {
			t.Errorf("line %d is no worked sum: %s", n+1, line)
			continue
		}
		seen++
		step, ok := steps[m[1]]
		if !ok {
			t.Errorf("line %d: --working prints no %q", n+1, m[1])
			continue
		}
		printed, err := strconv.ParseFloat(strings.ReplaceAll(m[3], ",", ""), 64)
		if err != nil || m[4] != step.Unit || math.Abs(printed-step.Value) > 0.0051*math.Abs(step.Value) {
			t.Errorf("line %d: %s %s printed, %g %s computed", n+1, m[3], m[4], step.Value, step.Unit)
		}
		var s sum
		if got := s.of(m[2]); s.err != nil || math.Abs(got-step.Value) > 0.006*math.Abs(step.Value) {
			t.Errorf("line %d: the sum gives %g, the program %g (%v)", n+1, got, step.Value, s.err)
		}
	}
	if seen < 50 {
		t.Errorf("only %d sums seen", seen)
	}
}
