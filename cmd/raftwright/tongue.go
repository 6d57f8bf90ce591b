package main

import (
	"bytes"
	"cmp"
	"io"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
)

// tongue says in which language a command speaks: the one that was asked for beats the
// brief's, and the brief's beats the system's.
type tongue struct{ asked, system string }

// FaultLanguage is a language that nothing can be printed in.
const FaultLanguage finding.ID = "command.fault.language"

// both is an example of a packet in two languages, the first before the second.
const both = "en+es"

// systemTongue reads the language of the system from its environment, as POSIX has it: the
// first of the three that says something. One that has no sentences counts as none.
func systemTongue(environment func(string) string) string {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if value := environment(name); value != "" {
			if tag, ok := spoken(value); ok {
				return tag
			}
			return ""
		}
	}
	return ""
}

// spoken gives the language of a tag ("es", "es-US", "es_MX.UTF-8") that there are sentences in.
func spoken(tag string) (string, bool) {
	tag, _, _ = strings.Cut(strings.ReplaceAll(strings.ToLower(tag), "_", "-"), "-")
	tag, _, _ = strings.Cut(tag, ".")
	return tag, slices.Contains(lang.Languages(), tag)
}

// askedTongue finds --language among the words of a command, before they are read: its help
// and its faults are told in it.
func askedTongue(args []string) string {
	for i, a := range args {
		if value, ok := strings.CutPrefix(a, "--language="); ok {
			return value
		}
		if a == "--language" && i+1 < len(args) {
			return args[i+1]
		}
	}
	return ""
}

// forPaper tells the words of a command that ask for paper, which may be in two languages.
func forPaper(arg string) bool {
	arg, _, _ = strings.Cut(arg, "=")
	return slices.Contains([]string{"packet", "trial", "question", "paper", "form", "report", "--slip", "--card", "--class"}, arg)
}

// understood checks the language that was asked for; a packet alone is printed in two.
func (t tongue) understood(packet bool) (tongue, error) {
	if t.asked == "" {
		return t, nil
	}
	if first, second, two := strings.Cut(t.asked, "+"); two && packet {
		one, ok := spoken(first)
		other, also := spoken(second)
		if t.asked = one + "+" + other; ok && also && one != other {
			return t, nil
		}
	}
	tag, ok := spoken(t.asked)
	if !ok {
		known := lang.Languages()
		if packet {
			known = append(known, both)
		}
		return tongue{system: t.system}, finding.Fault{ID: FaultLanguage, Args: finding.Args{"Text": t.asked, "Known": finding.AnyOf(known)}}
	}
	t.asked = tag
	return t, nil
}

// of gives the language for the reader of a brief; of none, for the person at the terminal.
func (t tongue) of(b *brief.Brief) string {
	asked, _, _ := strings.Cut(t.asked, "+")
	if b != nil && b.Language.Given {
		return cmp.Or(asked, string(b.Language.Value))
	}
	return cmp.Or(asked, t.system, string(brief.English))
}

// second gives the other language of a packet in two.
func (t tongue) second() (string, bool) {
	_, second, also := strings.Cut(t.asked, "+")
	return second, also
}

// make makes the plan of a job for its reader.
func (s streams) make(j plan.Job) plan.Plan { return j.Make(nil).In(s.tongue.of(j.Brief)) }

// speaks makes the printer for the reader of a brief, or of none.
func (s streams) speaks(b *brief.Brief) (*lang.Printer, error) {
	units := lang.US
	if b != nil && b.Units.Value == brief.Metric {
		units = lang.Metric
	}
	return lang.For(s.tongue.of(b), units)
}

// headNames are the heads of the library's help, by the end of the ID of ours.
var headNames = map[string]string{"Usage:": "usage", "Arguments:": "arguments", "Flags:": "flags", "Commands:": "commands", "[flags]": "some"}

// helper prints help with its heads in the reader's language.
func helper(words *lang.Printer) kong.HelpPrinter {
	var pairs []string
	for head, id := range headNames {
		pairs = append(pairs, head, words.Say("help.head."+id, nil))
	}
	heads := strings.NewReplacer(pairs...)
	return func(options kong.HelpOptions, ctx *kong.Context) error {
		var text bytes.Buffer
		to := ctx.Stdout
		ctx.Stdout = &text
		err := kong.DefaultHelpPrinter(options, ctx)
		if ctx.Stdout = to; err != nil {
			return err
		}
		for line := range strings.Lines(text.String()) {
			if command, more := strings.CutPrefix(line, `Run "`); more {
				command, _, _ = strings.Cut(command, `"`)
				line = words.Say("help.head.run", finding.Args{"Command": command}) + "\n"
			} else if line[0] != ' ' || strings.Contains(line, "[flags]") {
				line = heads.Replace(line)
			}
			if _, err = io.WriteString(to, line); err != nil {
				return err
			}
		}
		return nil
	}
}

// misuseNames are what the library says of a command that it does not understand: how that
// begins, what parts its two names, and the ID of our sentence for it.
var misuseNames = []struct{ begins, parts, id string }{
	{"unknown flag ", ", did you mean ", "unknown_near"}, {"unexpected argument ", ", did you mean ", "unknown_near"},
	{"unknown flag ", "", "unknown"}, {"unexpected argument ", "", "unknown"},
	{"missing flags: ", "", "missing"}, {"missing positional arguments ", "", "missing"}, {"expected ", "", "missing"},
	{"", " must be one of ", "enum"}, {"", ": ", "value"},
}

// misunderstood tells in our words what is wrong with a command.
func misunderstood(words *lang.Printer, err error) string {
	for _, m := range misuseNames {
		rest, begins := strings.CutPrefix(err.Error(), m.begins)
		text, near, parted := strings.Cut(rest, m.parts)
		if m.parts == "" {
			text, parted = rest, true
		}
		if begins && parted {
			if strings.HasPrefix(text, "--") && m.id != "missing" {
				text, _, _ = strings.Cut(text, "=")
			}
			near, _, _ = strings.Cut(near, " but ")
			return words.Say("command.usage."+m.id, finding.Args{"Text": text, "Near": strings.TrimSuffix(near, "?")})
		}
	}
	return err.Error()
}
