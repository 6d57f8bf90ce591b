// Command raftwright plans a floating raft bed: it reads a brief, computes the
// whole plan, and prints it for a person, as JSON for a script, or as a packet
// for the printer.
//
// Exit status: 0 done (findings may still warn); 1 the brief or the command is
// wrong, every fault on standard error; 2 the plan cannot stand, the reasons are
// its stop findings; 3 our own fault.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"slices"
	"strconv"

	"github.com/alecthomas/kong"

	"raftwright/finding"
	"raftwright/internal/gate"
	"raftwright/lang"
)

// Exit statuses.
const (
	exitDone   = 0
	exitFaults = 1
	exitStop   = 2
	exitOurs   = 3
)

// streams are the three files of a command.
type streams struct {
	in       io.Reader
	out, err io.Writer
	tongue   tongue
}

// plainly writes text to a terminal with nothing in it that steers one.
type plainly struct{ io.Writer }

func (p plainly) Write(text []byte) (int, error) {
	if _, err := io.WriteString(p.Writer, gate.Clean(string(text))); err != nil {
		return 0, err
	}
	return len(text), nil
}

// print writes to standard output; a full disk or a closed pipe is not our fault.
func (s streams) print(text []byte) error {
	if _, err := s.out.Write(text); err != nil {
		return finding.Fault{ID: FaultOutput, Args: finding.Args{"Reason": reason(err)}}
	}
	return nil
}

// status ends a command with an exit status after its output is written.
type status int

// Error makes a status an error that says nothing.
func (s status) Error() string { return strconv.Itoa(int(s)) }

func main() {
	tidily()
	os.Exit(run(os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr, tongue{system: systemTongue(os.Getenv)}}))
}

// run is the whole program but for the process around it.
func run(args []string, s streams) (code int) {
	s.tongue.asked = askedTongue(args)
	known, wrong := s.tongue.understood(slices.ContainsFunc(args, forPaper))
	s.tongue = known
	words, err := s.speaks(nil)
	if err != nil {
		fmt.Fprintln(s.err, err)
		return exitOurs
	}
	say := func(id string, what any) { fmt.Fprintln(s.err, words.Say(id, finding.Args{"What": what})) }
	s.err = plainly{s.err}
	defer func() {
		if r := recover(); r != nil {
			say("command.ours", r)
			fmt.Fprintf(s.err, "%s", debug.Stack())
			code = exitOurs
		}
	}()
	var fault finding.Fault
	if errors.As(wrong, &fault) {
		say("command.wrong", worded(words, fault))
		return exitFaults
	}
	var c cli
	left := -1 // kong asks to leave after --help
	parser, err := kong.New(&c,
		kong.Name("raftwright"),
		kong.Writers(s.out, s.err),
		kong.Exit(func(n int) { left = n }),
		kong.Bind(s),
		kong.UsageOnError(),
		kong.Help(helper(words)),
	)
	if err != nil {
		say("command.ours", err)
		return exitOurs
	}
	explain(words, parser.Model.Node)
	if len(args) == 0 { // alone, or by a double click: the pages, in the browser
		args = []string{"open"}
	}
	ctx, err := parser.Parse(args)
	if left >= 0 {
		return left
	}
	if err != nil {
		say("command.misused", misunderstood(words, err))
		return exitFaults
	}
	err = ctx.Run(s)
	var st status
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &st):
		return int(st)
	case errors.As(err, &fault):
		say("command.wrong", worded(words, fault))
		return exitFaults
	}
	say("command.ours", err)
	return exitOurs
}

// explain gives a command, the commands under it and their flags their help.
func explain(words *lang.Printer, n *kong.Node) {
	name := n.Name
	if n.Parent != nil && n.Parent.Type == kong.CommandNode {
		name = n.Parent.Name + "_" + name // "key add"
	}
	n.Help = words.Say("help.command."+name, nil)
	help := func(v *kong.Value) {
		own := "help." + name + "." + v.Name
		if !words.Can(own) {
			own = "help.flag." + v.Name
		}
		v.Help = words.Say(own, nil)
	}
	for _, v := range n.Positional {
		help(v)
	}
	for _, f := range n.Flags {
		help(f.Value)
	}
	for _, c := range n.Children {
		explain(words, c)
	}
}
