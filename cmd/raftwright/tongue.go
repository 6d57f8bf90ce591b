package main

import (
	"bytes"
	"cmp"
	"regexp"
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

// both is what --language says of a packet in two languages, the first before the second.
const both = "en+es"

// systemTongue reads the language of the system from its environment, as POSIX has it: the
// first of the three that says something. One that has no sentences counts as none.
func systemTongue(environment func(string) string) string {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if value := environment(name); value != "" {
			tag, _ := spoken(value)
			return tag
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

// understood checks the language that was asked for; a packet alone is printed in two.
func (t tongue) understood(packet bool) (tongue, error) {
	if t.asked == "" || packet && t.asked == both {
		return t, nil
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

// heads are the words of the library's help that no sentence of ours replaces.
var heads = regexp.MustCompile(`(?m)^(Usage:|Arguments:|Flags:|Commands:)|\[flags\]|^Run "(.*)" for more information.*$`)

// helper prints help with its heads in the reader's language.
func helper(words *lang.Printer) kong.HelpPrinter {
	return func(options kong.HelpOptions, ctx *kong.Context) error {
		var text bytes.Buffer
		to := ctx.Stdout
		ctx.Stdout = &text
		err := kong.DefaultHelpPrinter(options, ctx)
		if ctx.Stdout = to; err != nil {
			return err
		}
		_, err = to.Write(heads.ReplaceAllFunc(text.Bytes(), func(head []byte) []byte {
			if m := heads.FindSubmatch(head); len(m[2]) > 0 {
				return []byte(words.Say("help.head.run", finding.Args{"Command": string(m[2])}))
			}
			if head[0] == '[' {
				return []byte(words.Say("help.head.some", nil))
			}
			return []byte(words.Say("help.head."+strings.ToLower(strings.Trim(string(head), ":")), nil))
		}))
		return err
	}
}

// usages are what the library says of a command that it does not understand, by the ID of
// our sentence for it.
var usages = []struct {
	id   string
	said *regexp.Regexp
}{
	{"command.usage.unknown_near", regexp.MustCompile(`^(?:unknown flag|unexpected argument) ([^,]+), did you mean (.*)\?$`)},
	{"command.usage.unknown", regexp.MustCompile(`^(?:unknown flag|unexpected argument) (.*)$`)},
	{"command.usage.missing", regexp.MustCompile(`^(?:missing flags:|expected|missing positional arguments) (.*)$`)},
	{"command.usage.enum", regexp.MustCompile(`^(--\S+)\S* must be one of (.*) but got (".*")$`)},
	{"command.usage.value", regexp.MustCompile(`^(--[a-z]+)\S*: .*$`)},
}

// misunderstood tells in our words what is wrong with a command.
func misunderstood(words *lang.Printer, err error) string {
	for _, u := range usages {
		if m := u.said.FindStringSubmatch(err.Error()); m != nil {
			args := finding.Args{}
			for i, name := range []string{"Text", "Near", "Got"} {
				if i+1 < len(m) {
					args[name] = m[i+1]
				}
			}
			return words.Say(u.id, args)
		}
	}
	return err.Error()
}
