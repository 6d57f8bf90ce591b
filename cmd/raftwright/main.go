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

	"github.com/alecthomas/kong"

	"raftwright/finding"
	"raftwright/internal/gate"
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
		return userError{fmt.Errorf("the output cannot be written: %w", err)}
	}
	return nil
}

// status ends a command with an exit status after its output is written.
type status int

// Error makes a status an error that says nothing.
func (s status) Error() string { return fmt.Sprintf("exit status %d", int(s)) }

func main() {
	os.Exit(run(os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr}))
}

// run is the whole program but for the process around it.
func run(args []string, s streams) (code int) {
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(s.err, "raftwright: this is our fault, not yours: %v\n%s", r, debug.Stack())
			code = exitOurs
		}
	}()
	s.err = plainly{s.err}
	var c cli
	left := -1 // kong asks to leave after --help
	parser, err := kong.New(&c,
		kong.Name("raftwright"),
		kong.Description("Plans a floating raft bed: what to buy, cut, build, fill, mix, plant and look after. Start with: raftwright demo"),
		kong.Writers(s.out, s.err),
		kong.Exit(func(n int) { left = n }),
		kong.Bind(s),
		kong.UsageOnError(),
	)
	if err != nil {
		fmt.Fprintf(s.err, "raftwright: %v\n", err)
		return exitOurs
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	ctx, err := parser.Parse(args)
	if left >= 0 {
		return left
	}
	if err != nil {
		fmt.Fprintf(s.err, "raftwright: %v; see raftwright --help\n", err)
		return exitFaults
	}
	err = ctx.Run(s)
	var st status
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &st):
		return int(st)
	}
	var fault finding.Fault
	if errors.As(err, &fault) {
		if words, err := speaks(nil); err == nil {
			fmt.Fprintf(s.err, "raftwright: %s\n", worded(words, fault))
			return exitFaults
		}
	}
	fmt.Fprintf(s.err, "raftwright: %v\n", err)
	var user userError
	if errors.As(err, &user) {
		return exitFaults
	}
	return exitOurs
}

// userError is something that the user can put right: a file that is not there,
// a place that cannot be written to.
type userError struct{ error }
