package main

import (
	"cmp"
	"strings"

	"github.com/alecthomas/kong"

	"raftwright/lang"
)

// manualCmd prints the page of the manual that a system shows with man.
type manualCmd struct{}

// Run prints the manual, made from the commands themselves.
func (manualCmd) Run(s streams, app *kong.Kong) error {
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	return s.print([]byte(manual(words, app.Model.Node, book().Edition().String())))
}

// manual writes the page in the language of the macros of man(7).
func manual(words *lang.Printer, root *kong.Node, edition string) string {
	var out strings.Builder
	line := func(parts ...string) { out.WriteString(strings.Join(parts, "") + "\n") }
	section := func(id string) { line(`.SH "`, roff(words.Say("manual."+id, nil)), `"`) }
	line(`.TH RAFTWRIGHT 1 "" "`, roff(edition), `" "Raftwright"`)
	section("name")
	line("raftwright \\- ", roff(words.Say("manual.short", nil)))
	section("use")
	line(".B raftwright")
	line(roff(words.Say("manual.command", nil)))
	section("what")
	line(roff(words.Say("manual.about", nil)))
	section("commands")
	var command func(n *kong.Node)
	command = func(n *kong.Node) {
		if n.Hidden {
			return
		}
		if len(n.Children) == 0 {
			line(".SS ", roff(strings.TrimPrefix(n.Path(), root.Name+" "))+roff(called(n)))
			line(roff(n.Help))
			for _, f := range n.Flags {
				option(line, f)
			}
		}
		for _, c := range n.Children {
			command(c)
		}
	}
	command(root)
	section("always")
	for _, f := range root.Flags {
		option(line, f)
	}
	section("exit")
	for _, code := range []string{"0", "1", "2", "3"} {
		line(".TP")
		line(".B ", code)
		line(roff(words.Say("manual.status."+code, nil)))
	}
	return out.String()
}

// called gives the arguments of a command as they are written behind it.
func called(n *kong.Node) string {
	var out strings.Builder
	for _, p := range n.Positional {
		name := strings.ToUpper(p.Name)
		if !p.Required {
			name = "[" + name + "]"
		}
		if p.IsCumulative() {
			name += "..."
		}
		out.WriteString(" " + name)
	}
	return out.String()
}

func option(line func(...string), f *kong.Flag) {
	line(".TP")
	name := "--" + f.Name
	if f.Short != 0 {
		name = "-" + string(f.Short) + ", " + name
	}
	if negatable(f) {
		name = "--no-" + f.Name
	}
	if !f.IsBool() {
		name += "=" + cmp.Or(f.PlaceHolder, strings.ToUpper(f.Name))
	}
	line(".B ", roff(name))
	line(roff(f.Help))
}

// negatable tells whether a flag is only of use to say no.
func negatable(f *kong.Flag) bool { return f.Tag != nil && f.Tag.Negatable != "" }

// roff writes text so that nothing in it steers the page.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`, "\n", " ", `"`, `\(dq`).Replace(text)
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		text = `\&` + text
	}
	return text
}
