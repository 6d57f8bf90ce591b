package chem

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"raftwright/finding"
	"raftwright/internal/inorder"
)

// Bounds of a formula: more is a slip or an attack, not a salt.
const (
	formulaLongest  = 200   // bytes
	formulaDeepest  = 8     // brackets within brackets
	formulaMostMany = 10000 // of one atom or group
)

// Formula is a neutral chemical formula: MgSO4.7H2O, Ca(NO3)2·4H2O,
// 5Ca(NO3)2.NH4NO3.10H2O, C10H12N2O8FeNa.3H2O. Get one from ParseFormula.
type Formula struct {
	text      string
	atoms     []Atoms
	nitrogen  NitrogenCount
	carbonate float64
}

// Atoms is how many atoms of an element stand in a formula.
type Atoms struct {
	Element Element
	Count   float64
}

// NitrogenCount tells the nitrogen atoms of a formula apart by what plants and
// meters see of them. Other is nitrogen bound in organic molecules (chelates),
// nitrite and whatever is not recognised.
type NitrogenCount struct{ Nitrate, Ammonium, Urea, Other float64 }

// ParseFormula reads a formula. Water of crystallisation and double salts follow
// a dot (".", "·", "•", "∙" or "*"), which a number may follow (also 0.5);
// groups stand in () or []; subscripts are whole numbers, plain or ₀ to ₉. The
// fault tells the character and what would be right.
func ParseFormula(text string) (Formula, error) {
	p := &formulaParser{text: text, rest: text}
	if len(text) > formulaLongest {
		return Formula{}, p.fail(rightLong, finding.Args{"Most": formulaLongest})
	}
	if strings.TrimSpace(text) == "" {
		return Formula{}, p.fail(rightEmpty, nil)
	}
	f := Formula{text: strings.TrimSpace(text)}
	count := map[Element]float64{}
	for first := true; ; first = false {
		before := p.rest
		p.spaces()
		if !first && !p.separator() {
			if p.rest != "" {
				p.rest = before // so that a space is blamed, not what follows it
			}
			break
		}
		p.spaces()
		times, err := p.multiplier()
		if err != nil {
			return Formula{}, err
		}
		nodes, err := p.sequence(0)
		if err != nil {
			return Formula{}, err
		}
		tally(nodes, times, count)
		f.nitrogen.add(nitrogenOf(nodes), times)
		f.carbonate += times * carbonateIn(nodes)
	}
	if p.rest != "" {
		return Formula{}, p.unexpected()
	}
	for e, n := range count {
		f.atoms = append(f.atoms, Atoms{e, n})
	}
	inorder.Put(f.atoms, func(a, b Atoms) int { return cmp.Compare(a.Element, b.Element) })
	return f, nil
}

// String gives the formula as it was written.
func (f Formula) String() string { return f.text }

// Atoms lists the elements by rising atomic number, with their counts.
func (f Formula) Atoms() []Atoms { return slices.Clone(f.atoms) }

// Count gives how many atoms of an element stand in the formula.
func (f Formula) Count(e Element) float64 {
	for _, a := range f.atoms {
		if a.Element == e {
			return a.Count
		}
	}
	return 0
}

// Nitrogen tells the nitrogen atoms apart.
func (f Formula) Nitrogen() NitrogenCount { return f.nitrogen }

// Carbonate gives how many carbon atoms stand in carbonate or bicarbonate, that
// is, are written as C with O3; the rest is organic or urea's.
func (f Formula) Carbonate() float64 { return f.carbonate }

// Mass gives the molar mass in g/mol.
func (f Formula) Mass() float64 {
	sum := 0.0
	for _, a := range f.atoms {
		sum += a.Count * a.Element.Weight()
	}
	return sum
}

func (n *NitrogenCount) add(m NitrogenCount, times float64) {
	n.Nitrate += times * m.Nitrate
	n.Ammonium += times * m.Ammonium
	n.Urea += times * m.Urea
	n.Other += times * m.Other
}

// node is an atom (element set) or a group in brackets, with its subscript.
type node struct {
	element Element
	group   []node
	count   float64
}

func tally(nodes []node, times float64, into map[Element]float64) {
	for _, n := range nodes {
		if n.element != 0 {
			into[n.element] += times * n.count
		} else {
			tally(n.group, times*n.count, into)
		}
	}
}

// nitrogenOf tells nitrogen apart by how it is written: N then O3 is nitrate
// unless carbon stands beside it, N then H4 (or H3) is ammonium, a part that is
// in all C H4 N2 O, or a carbonyl with two NH2, is urea.
func nitrogenOf(nodes []node) NitrogenCount {
	var out NitrogenCount
	whole := map[Element]float64{}
	tally(nodes, 1, whole)
	if len(whole) == 4 && whole[Carbon] == 1 && whole[Hydrogen] == 4 && whole[Nitrogen] == 2 && whole[Oxygen] == 1 {
		out.Urea = 2
		return out
	}
	carbon := slices.ContainsFunc(nodes, func(n node) bool { return n.element == Carbon })
	for i, n := range nodes {
		switch {
		case n.element == 0:
			out.add(nitrogenOf(n.group), n.count)
		case n.element != Nitrogen:
		case n.count == 1 && follows(nodes, i, Hydrogen, 4):
			out.Ammonium++
		case n.count == 1 && !carbon && follows(nodes, i, Hydrogen, 3):
			out.Ammonium++
		case n.count == 1 && !carbon && follows(nodes, i, Oxygen, 3):
			out.Nitrate++
		default:
			out.Other += n.count
		}
	}
	return out
}

// carbonateIn counts CO3; with carbon or nitrogen beside it, it is some acid's.
func carbonateIn(nodes []node) float64 {
	sum, organic := 0.0, 0
	for i, n := range nodes {
		if n.element == 0 {
			sum += n.count * carbonateIn(n.group)
		}
		if n.element == Carbon {
			organic++
			if n.count == 1 && follows(nodes, i, Oxygen, 3) {
				sum++
			}
		}
	}
	if organic > 1 {
		return 0
	}
	return sum
}

func follows(nodes []node, i int, e Element, count float64) bool {
	return i+1 < len(nodes) && nodes[i+1].element == e && nodes[i+1].count == count
}

// formulaParser walks a formula; rest is what is not read yet.
type formulaParser struct{ text, rest string }

func (p *formulaParser) peek() rune {
	r, _ := utf8.DecodeRuneInString(p.rest)
	if p.rest == "" {
		return 0
	}
	return r
}

func (p *formulaParser) next() { _, n := utf8.DecodeRuneInString(p.rest); p.rest = p.rest[n:] }

func (p *formulaParser) spaces() { p.rest = strings.TrimLeft(p.rest, " \t\u00a0") }

func (p *formulaParser) separator() bool {
	switch p.peek() {
	case '.', '·', '•', '∙', '⋅', '*':
		p.next()
		return true
	}
	return false
}

// multiplier reads the number before a part of a formula, 1 when there is none.
func (p *formulaParser) multiplier() (float64, error) {
	i := 0
	for i < len(p.rest) && (p.rest[i] >= '0' && p.rest[i] <= '9' || p.rest[i] == '.' && i > 0 && !strings.Contains(p.rest[:i], ".")) {
		i++
	}
	if i == 0 {
		return 1, nil
	}
	x, err := strconv.ParseFloat(p.rest[:i], 64)
	if err != nil || x <= 0 || x > formulaMostMany {
		return 0, p.fail(rightTimes, finding.Args{"Most": formulaMostMany})
	}
	p.rest = p.rest[i:]
	p.spaces()
	return x, nil
}

// sequence reads atoms and groups until something else comes.
func (p *formulaParser) sequence(depth int) ([]node, error) {
	var out []node
	for {
		var n node
		switch c := p.peek(); {
		case c >= 'A' && c <= 'Z':
			e, err := p.element()
			if err != nil {
				return nil, err
			}
			n.element = e
		case c == '(' || c == '[':
			group, err := p.group(depth)
			if err != nil {
				return nil, err
			}
			n.group = group
		default:
			if len(out) == 0 {
				return nil, p.unexpected()
			}
			return out, nil
		}
		count, err := p.subscript()
		if err != nil {
			return nil, err
		}
		n.count = count
		out = append(out, n)
	}
}

func (p *formulaParser) group(depth int) ([]node, error) {
	if depth >= formulaDeepest {
		return nil, p.fail(rightDeep, finding.Args{"Most": formulaDeepest})
	}
	open := *p
	closing := map[rune]rune{'(': ')', '[': ']'}[p.peek()]
	p.next()
	nodes, err := p.sequence(depth + 1)
	if err != nil {
		return nil, err
	}
	if p.peek() != closing {
		if p.rest == "" {
			return nil, open.fail(rightOpen, finding.Args{"Sign": string(closing)})
		}
		return nil, p.unexpected()
	}
	p.next()
	return nodes, nil
}

// element reads a symbol: the two-letter one where it exists.
func (p *formulaParser) element() (Element, error) {
	n := 1
	for n < len(p.rest) && p.rest[n] >= 'a' && p.rest[n] <= 'z' {
		n++
	}
	written := p.rest[:n]
	if e, ok := ElementOf(written); ok {
		p.rest = p.rest[n:]
		return e, nil
	}
	if n == 2 {
		_, a := ElementOf(written[:1])
		_, b := ElementOf(strings.ToUpper(written[1:]))
		if a && b {
			return 0, p.fail(rightTwo, finding.Args{"Text": written, "Near": strings.ToUpper(written)})
		}
	}
	if n == 1 && len(p.rest) > 1 {
		if pair := written + strings.ToLower(p.rest[1:2]); p.rest[1] >= 'A' && p.rest[1] <= 'Z' {
			if _, ok := ElementOf(pair); ok {
				return 0, p.fail(rightSmall, finding.Args{"Text": written, "Near": pair})
			}
		}
	}
	return 0, p.fail(rightElement, finding.Args{"Text": clip(written)})
}

// subscript reads the whole number after an atom or a group, 1 when there is none.
func (p *formulaParser) subscript() (float64, error) {
	start, n, digits := *p, 0, 0
	for {
		c := p.peek()
		switch {
		case c >= '0' && c <= '9':
			n = n*10 + int(c-'0')
		case c >= '₀' && c <= '₉':
			n = n*10 + int(c-'₀')
		case digits == 0:
			return 1, nil
		default:
			if n == 0 {
				return 0, start.fail(rightNothing, nil)
			}
			return float64(n), nil
		}
		digits++
		p.next()
		if n > formulaMostMany {
			return 0, start.fail(rightMany, finding.Args{"Most": formulaMostMany})
		}
	}
}

// unexpected explains the character that does not fit.
func (p *formulaParser) unexpected() error {
	c := p.peek()
	switch {
	case c == 0:
		return p.fail(rightEnd, nil)
	case c == ')' || c == ']':
		return p.fail(rightClosing, finding.Args{"Sign": string(c)})
	case c == '+' || c == '-' || c == '^' || c == '⁺' || c == '⁻':
		return p.fail(rightCharge, nil)
	case c >= 'a' && c <= 'z':
		return p.fail(rightCapital, finding.Args{"Sign": string(c)})
	case c == ' ' || c == '\t' || c == '\u00a0':
		return p.fail(rightDot, nil)
	case c == utf8.RuneError:
		return p.fail(rightReadable, nil)
	}
	return p.fail(rightStray, finding.Args{"Sign": string(c)})
}
