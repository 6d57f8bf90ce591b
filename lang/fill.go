package lang

import (
	"strconv"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/unit"
)

// A sentence holds figures and choices in double braces:
//
//	{{.Name}}                                  a figure in the reader's units
//	{{if .Name}}...{{else}}...{{end}}          where a figure is given, and is not false, 0 or empty
//	{{if gt .Name 1}}...{{else}}...{{end}}     where a count is greater
//	{{if .US}}2 in{{else}}50 mm{{end}}          a round figure in the reader's system of units

// fill puts the figures into a sentence.
func (p *Printer) fill(text string, args finding.Args) string {
	var out strings.Builder
	p.part(&out, text, args, true)
	return out.String()
}

// part writes a sentence up to its end, or to the else or end of the choice that
// it stands in; it gives what follows and which of the three it was.
func (p *Printer) part(out *strings.Builder, text string, args finding.Args, write bool) (rest, stop string) {
	for {
		plain, after, more := strings.Cut(text, "{{")
		if write {
			out.WriteString(plain)
		}
		if !more {
			return "", ""
		}
		var action string
		action, text, _ = strings.Cut(after, "}}")
		if action == "else" || action == "end" {
			return text, action
		}
		if condition, choice := strings.CutPrefix(action, "if "); choice {
			yes, counts := p.holds(condition, args)
			if write && !counts {
				out.WriteString(noValue)
			}
			text, stop = p.part(out, text, args, write && yes)
			if stop == "else" {
				text, _ = p.part(out, text, args, write && !yes)
			}
		} else if write {
			out.WriteString(p.figure(strings.TrimPrefix(action, "."), args))
		}
	}
}

// noValue stands where a sentence asks for what it was not given. The tests look for it.
const noValue = "<no value>"

// figure prints what stands in a sentence under a name.
func (p *Printer) figure(name string, args finding.Args) string {
	if v, ok := args[name]; ok {
		return p.Under(name, v)
	}
	return noValue
}

// Under prints a figure or a name as a sentence does that holds it under this name.
func (p *Printer) Under(name string, v any) string {
	switch x := v.(type) {
	case string:
		switch name {
		case "Product", "First", "Second":
			return p.Product(x)
		case "Recipe":
			return p.Recipe(x)
		case "Bag":
			return p.Bag(x)
		case "Acid":
			if id := "word.reagent." + strings.ReplaceAll(x, " ", "_"); p.Can(id) {
				return p.Say(id, nil)
			}
		}
	case float64:
		if strings.HasSuffix(name, "PH") {
			return p.Fixed(x, 1) // no pen reads closer
		}
	case time.Time:
		if strings.HasSuffix(name, "Date") { // no weekday
			return p.Date(x)
		}
	case unit.Length:
		if strings.HasSuffix(name, "Thickness") {
			return p.Thickness(x)
		}
		switch {
		case name == "Altitude":
			return p.Altitude(x)
		case strings.HasPrefix(name, "Stock"): // boards and sheets, as a yard sells them
			return p.Feet(x)
		}
	}
	return p.Value(v)
}

// holds tells whether a condition is met: ".Name", "gt .Name 1", or ".US" for the
// reader's system of units. counts is false where something else than a count is held
// against a number.
func (p *Printer) holds(condition string, args finding.Args) (yes, counts bool) {
	if condition == ".US" {
		return p.Units == US, true
	}
	name, greater := strings.CutPrefix(condition, "gt ")
	name, than, _ := strings.Cut(strings.TrimPrefix(name, "."), " ")
	v, ok := args[name]
	n, count := v.(int)
	if greater {
		limit, err := strconv.Atoi(than)
		return count && n > limit, err == nil && (count || !ok)
	}
	if yes, is := v.(bool); is {
		return yes, true
	}
	if count {
		return n != 0, true
	}
	return ok && p.Value(v) != "", true
}
