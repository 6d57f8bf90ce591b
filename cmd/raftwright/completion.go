package main

import (
	_ "embed" // the scripts of the shells
	"fmt"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"raftwright/lang"
)

// completionCmd prints what makes a shell complete our commands and their flags.
type completionCmd struct {
	Shell string `arg:"" enum:"bash,zsh,fish"`
}

// Run prints the script, made from the commands themselves.
func (c completionCmd) Run(s streams, app *kong.Kong) error {
	writers := map[string]func([]entry) string{"bash": forBash, "zsh": forZsh, "fish": forFish}
	return s.print([]byte(writers[c.Shell](entries(app.Model.Node))))
}

// entry is a command with what may follow it: the commands under it, and its flags.
type entry struct {
	path  []string // "key", "add"; empty for the program alone
	under []word
	flags []word
}

// word is something to be completed with what it is for.
type word struct {
	text, help string
	values     []string // that a flag or argument may have, where they are few
	takes      bool     // whether a value follows the flag
}

// entries lists the commands, the program alone first.
func entries(root *kong.Node) []entry {
	var out []entry
	var walk func(n *kong.Node, path []string)
	walk = func(n *kong.Node, path []string) {
		e := entry{path: slices.Clone(path)}
		for _, c := range n.Children {
			if !c.Hidden {
				e.under = append(e.under, word{text: c.Name, help: c.Help})
			}
		}
		for _, p := range n.Positional {
			for _, v := range choices(p) {
				e.under = append(e.under, word{text: v, help: p.Help})
			}
		}
		flags := n.Flags
		if n != root {
			flags = append(slices.Clone(flags), root.Flags...)
		}
		for _, f := range flags {
			name := "--" + f.Name
			if negatable(f) {
				name = "--no-" + f.Name
			}
			w := word{text: name, help: f.Help, values: choices(f.Value), takes: !f.IsBool()}
			if f.Name == "language" {
				w.values = lang.Languages()
			}
			e.flags = append(e.flags, w)
		}
		out = append(out, e)
		for _, c := range n.Children {
			if !c.Hidden {
				walk(c, append(path, c.Name))
			}
		}
	}
	walk(root, nil)
	return out
}

// choices are the words that a value may be, where they are few.
func choices(v *kong.Value) []string {
	if v.Enum == "" {
		return nil
	}
	var out []string
	for c := range strings.SplitSeq(v.Enum, ",") {
		if c = strings.TrimSpace(c); c != "" {
			out = append(out, c)
		}
	}
	return out
}

func texts(words []word) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = w.text
	}
	return strings.Join(out, " ")
}

//go:embed shells/bash
var bashScript string

//go:embed shells/zsh
var zshScript string

// filled puts into a script which words lead to which command, what may follow a flag,
// and what may follow a command.
func filled(script string, all []entry, value func(word) string, offer func(entry) string) string {
	var commands, values, offers strings.Builder
	for _, e := range all[1:] {
		last := len(e.path) - 1
		fmt.Fprintf(&commands, "\t\t%q) at=%q ;;\n", strings.Join(e.path[:last], " ")+" "+e.path[last], strings.Join(e.path, " "))
	}
	seen := map[string]bool{}
	for _, e := range all {
		for _, f := range e.flags {
			if len(f.values) > 0 && !seen[f.text] {
				seen[f.text] = true
				fmt.Fprintf(&values, "\t%s) %s; return ;;\n", f.text, value(f))
			}
		}
		fmt.Fprintf(&offers, "\t%q) %s ;;\n", strings.Join(e.path, " "), offer(e))
	}
	return strings.NewReplacer("@COMMANDS\n", commands.String(), "@VALUES\n", values.String(), "@OFFERS\n", offers.String()).Replace(script)
}

// forBash offers what may follow, and files where that is nothing of ours.
func forBash(all []entry) string {
	return filled(bashScript, all,
		func(f word) string {
			return fmt.Sprintf(`COMPREPLY=($(compgen -W %q -- "$cur"))`, strings.Join(f.values, " "))
		},
		func(e entry) string { return fmt.Sprintf("w=%q", strings.TrimSpace(texts(e.under)+" "+texts(e.flags))) })
}

// forZsh offers the same, each word with what it is for.
func forZsh(all []entry) string {
	return filled(zshScript, all,
		func(f word) string { return "compadd -- " + strings.Join(f.values, " ") },
		func(e entry) string {
			out := "offers=("
			for _, w := range slices.Concat(e.under, e.flags) {
				out += " " + zshText(w)
			}
			return out + ")"
		})
}

// forFish offers each word where the commands before it stand.
func forFish(all []entry) string {
	var out strings.Builder
	for _, e := range all {
		where := ""
		switch len(e.path) {
		case 0:
			where = "__fish_use_subcommand"
		default:
			conditions := make([]string, len(e.path))
			for i, p := range e.path {
				conditions[i] = "__fish_seen_subcommand_from " + p
			}
			where = strings.Join(conditions, "; and ")
		}
		for _, u := range e.under {
			fmt.Fprintf(&out, "complete -c raftwright -n '%s' -a %s -d %s\n", where, u.text, fishText(u.help))
		}
		for _, f := range e.flags {
			fmt.Fprintf(&out, "complete -c raftwright -n '%s' -l %s", where, strings.TrimPrefix(f.text, "--"))
			switch {
			case len(f.values) > 0:
				fmt.Fprintf(&out, " -x -a '%s'", strings.Join(f.values, " "))
			case f.takes:
				out.WriteString(" -r")
			}
			fmt.Fprintf(&out, " -d %s\n", fishText(f.help))
		}
	}
	return out.String()
}

func fishText(text string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`, "\n", " ").Replace(text) + "'"
}

func zshText(w word) string {
	text := strings.NewReplacer(":", `\:`).Replace(w.text) + ":" + strings.ReplaceAll(w.help, "\n", " ")
	return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'"
}
