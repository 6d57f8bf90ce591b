package main

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"raftwright/answer"
	"raftwright/answer/yearly"
	"raftwright/finding"
	"raftwright/packet"
	"raftwright/press"
	"raftwright/programme"
)

// dueCmd lists what is kept too long, and empties it once a person confirms; and whom it is time to ask.
type dueCmd struct {
	Dir     string    `arg:""`
	Day     recordDay `required:"" placeholder:"DAY"`
	Confirm string    `placeholder:"CODE"`
	Pool    bool
	Out     string `short:"o" name:"out" placeholder:"DIR"`
}

// copyCmd writes the copy of the records for the public.
type copyCmd struct {
	Dir     string    `arg:""`
	Day     recordDay `required:"" placeholder:"DAY"`
	Request string    `placeholder:"TEXT"`
	Rule    string    `placeholder:"TEXT"`
	Looked  string    `placeholder:"CODE"`
	JSON    bool      `name:"json"`
	Out     string    `short:"o" name:"out" required:"" placeholder:"DIR"`
}

// FaultNewFolder is a folder that has something in it already: nothing of an older copy may stay beside the new one.
const FaultNewFolder finding.ID = "command.fault.new_folder"

// folderOf reads the records of a folder.
func folderOf(s streams, dir string) (programme.Records, error) {
	files, _, err := reportCmd{Dir: dir}.read()
	if err != nil {
		return programme.Records{}, err
	}
	r, faults := programme.Read(files)
	if len(faults) > 0 {
		return r, report(s, nil, faults)
	}
	return r, nil
}

// Run lists, or empties and writes.
func (c dueCmd) Run(s streams) error {
	day, err := c.Day.day()
	if err != nil {
		return err
	}
	r, err := folderOf(s, c.Dir)
	if err != nil {
		return err
	}
	list, faults := r.DueOn(day)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	if c.Pool {
		pooled, moved := r.Pool()
		if err := writeFolder(c.Out, programme.Write(pooled)); err != nil {
			return err
		}
		fmt.Fprintln(s.err, words.Say("command.pool", finding.Args{"Count": moved, "Folder": c.Out}))
		return nil
	}
	if c.Confirm == "" && c.Out == "" {
		var out bytes.Buffer
		if err := press.Text(packet.Due(list, r.AskingsDue(day), r.AskAgainDue(day), day, words), &out, 100); err != nil {
			return err
		}
		return s.print(out.Bytes())
	}
	emptied, done, faults := r.Destroy(day, c.Confirm)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	if err := writeFolder(c.Out, programme.Write(emptied)); err != nil {
		return err
	}
	fmt.Fprintln(s.err, words.Say("command.due", finding.Args{"Count": len(done), "Folder": c.Out}))
	return nil
}

// Run writes the copy and prints its log.
func (c copyCmd) Run(s streams) error {
	day, err := c.Day.day()
	if err != nil {
		return err
	}
	r, err := folderOf(s, c.Dir)
	if err != nil {
		return err
	}
	files, log, faults := r.Copy(day)
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	if err := writeFolder(c.Out, files); err != nil {
		return err
	}
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if c.JSON {
		told := yearly.Log(log, day)
		told.Request, told.Rule, told.Looked = c.Request, c.Rule, c.Looked
		if err := answer.Write(&out, told); err != nil {
			return err
		}
		return s.print(out.Bytes())
	}
	if err := press.Text(packet.WithheldLog(log, packet.Request{Asked: c.Request, Rule: c.Rule, Looked: c.Looked}, day, words), &out, 100); err != nil {
		return err
	}
	return s.print(out.Bytes())
}

// writeFolder writes files into a folder that is new or empty.
func writeFolder(dir string, files map[string]string) error {
	wrong := func(id finding.ID, err error) error {
		return finding.Fault{ID: id, Args: finding.Args{"File": dir, "Reason": reason(err)}}
	}
	if dir == "" {
		return wrong(FaultNewFolder, errors.ErrUnsupported)
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return wrong(FaultFolder, err)
	}
	if there, err := os.ReadDir(dir); err != nil || len(there) > 0 {
		return wrong(FaultNewFolder, err)
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(files[name]), 0o600); err != nil {
			return wrong(FaultFolder, err)
		}
	}
	return nil
}
