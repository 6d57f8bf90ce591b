package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"raftwright/finding"
)

// Faults of files. Each names the File and, where the system gave one, the Reason.
const (
	FaultUnread    finding.ID = "file.fault.unread"
	FaultSpecial   finding.ID = "file.fault.special" // a folder, a device or a pipe
	FaultLarge     finding.ID = "file.fault.large"
	FaultOutside   finding.ID = "file.fault.outside" // beside neither the brief nor the folder of --files
	FaultUnwritten finding.ID = "file.fault.unwritten"
	FaultNotAFile  finding.ID = "file.fault.not_a_file"
	FaultInput     finding.ID = "file.fault.input"
	FaultThere     finding.ID = "file.fault.there"
)

// Faults of a command that no key of the brief is to blame for.
const (
	FaultOutput  finding.ID = "command.fault.output"
	FaultNoDates finding.ID = "command.fault.no_dates" // a calendar of nothing
)

// rightNamed says what would be right for a file that a brief names.
const rightNamed finding.ID = "right.file.fault.named"

// Bounds of what is read, in bytes. A larger file is refused, never read in part.
const (
	mostBrief   = 1 << 20
	mostClimate = 64 << 20
)

// readAll reads a stream that ends within most bytes.
func readAll(from io.Reader, name string, most int64) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(from, most+1))
	if err != nil {
		return nil, unread(name, err)
	}
	if int64(len(data)) > most {
		return nil, tooLarge(name, most)
	}
	return data, nil
}

// readFile reads a regular file.
func readFile(open func(name string, flag int, perm fs.FileMode) (*os.File, error), name, told string, most int64) ([]byte, error) {
	f, _, err := openFile(open, name, told)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readAll(f, told, most)
}

// openFile opens a regular file and tells how long it is. It is opened without waiting, so that a pipe
// which nobody writes to is seen for what it is.
func openFile(open func(name string, flag int, perm fs.FileMode) (*os.File, error), name, told string) (*os.File, int64, error) {
	f, err := open(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, 0, unread(told, err)
	}
	info, err := f.Stat()
	if err == nil && info.Mode().IsRegular() {
		return f, info.Size(), nil
	}
	f.Close()
	if err != nil {
		return nil, 0, unread(told, err)
	}
	return nil, 0, finding.Fault{ID: FaultSpecial, Args: finding.Args{"File": told}}
}

// readText reads a regular file that may be long, without room for more than its text.
func readText(name string, most int64) (string, error) {
	f, size, err := openFile(os.OpenFile, name, name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	var text strings.Builder
	text.Grow(int(min(size, most)))
	n, err := io.Copy(&text, io.LimitReader(f, most+1))
	if err != nil {
		return "", unread(name, err)
	}
	if n > most {
		return "", tooLarge(name, most)
	}
	return text.String(), nil
}

func tooLarge(name string, most int64) finding.Fault {
	return finding.Fault{ID: FaultLarge, Args: finding.Args{"File": name, "Most": int(most >> 20)}}
}

func unread(name string, err error) finding.Fault {
	return finding.Fault{ID: FaultUnread, Args: finding.Args{"File": name, "Reason": reason(err)}}
}

// readNamed reads a file that a brief names: one that lies beside the brief or in
// one of its folders, or in the folder of --files. Links that leave these are not
// followed. A brief from standard input stands where the command was given.
func (b onBrief) readNamed(name string, most int64) ([]byte, error) {
	var last error = finding.Fault{ID: FaultOutside, Args: finding.Args{"File": name}}
	for _, folder := range b.folders() {
		inside := b.within(folder, name)
		if inside == "" {
			continue
		}
		root, err := os.OpenRoot(folder)
		if err != nil {
			last = unread(name, err)
			continue
		}
		data, err := readFile(root.OpenFile, inside, name, most)
		root.Close()
		if err == nil {
			return data, nil
		}
		if real, e := filepath.EvalSymlinks(filepath.Join(folder, inside)); e == nil {
			if within, e := filepath.EvalSymlinks(folder); e == nil && !lies(within, real) {
				err = finding.Fault{ID: FaultOutside, Args: finding.Args{"File": name}}
			}
		}
		last = err
	}
	var f finding.Fault
	if errors.As(last, &f) {
		f.Right = rightNamed
		return nil, f
	}
	return nil, last
}

// folders lists where files may lie that the brief names.
func (b onBrief) folders() []string {
	beside := "."
	if b.Brief != "-" {
		beside = filepath.Dir(b.Brief)
	}
	if b.Files == "" {
		return []string{beside}
	}
	return []string{beside, b.Files}
}

// within gives a named file's path inside a folder, "" where it does not lie
// there. A plain name may stand in any of the folders; a path with .. or from the
// root is one from the brief.
func (b onBrief) within(folder, name string) string {
	if filepath.IsLocal(name) {
		return name
	}
	path := name
	if !filepath.IsAbs(path) {
		path = filepath.Join(b.folders()[0], path)
	}
	path, err := filepath.Abs(path)
	if err != nil {
		return ""
	}
	root, err := filepath.Abs(folder)
	if err != nil || !lies(root, path) {
		return ""
	}
	inside, _ := filepath.Rel(root, path)
	return inside
}

// lies tells whether a path lies in a folder; both are absolute or both are not.
func lies(folder, path string) bool {
	inside, err := filepath.Rel(folder, path)
	return err == nil && filepath.IsLocal(inside)
}

// inputs lists the files that a command reads: the brief and what it names.
func (b onBrief) inputs(named ...string) []string {
	all := []string{b.Brief}
	for _, name := range named {
		for _, folder := range b.folders() {
			if inside := b.within(folder, name); inside != "" {
				all = append(all, filepath.Join(folder, inside))
			}
		}
	}
	return all
}

// write writes a file whole or not at all: beside its place first, then by the
// name. "-" is standard output. What stands there is replaced where it is a file of
// the same sort that this program wrote, any other file only with force, and an
// input never. A link is followed, and what it leads to is judged.
func (s streams) write(path string, data []byte, inputs []string, force bool) error {
	if path == "-" {
		return s.print(data)
	}
	target, mode, err := place(path, data, inputs, force)
	if err != nil {
		return err
	}
	return replace(path, target, mode, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// place finds where a file is to be written, the end of a link, and the rights of
// the file that stands there, 0 if there is none.
func place(path string, data []byte, inputs []string, force bool) (target string, mode fs.FileMode, err error) {
	told := func(id finding.ID) (string, fs.FileMode, error) {
		return "", 0, finding.Fault{ID: id, Args: finding.Args{"File": path}}
	}
	old, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Lstat(path); err == nil {
			return told(FaultNotAFile) // a link that leads nowhere
		}
		return path, 0, nil
	}
	if err != nil {
		return "", 0, unwritten(path, err)
	}
	if !old.Mode().IsRegular() {
		return told(FaultNotAFile)
	}
	if target, err = filepath.EvalSymlinks(path); err != nil {
		return "", 0, unwritten(path, err)
	}
	for _, in := range inputs {
		if info, err := os.Stat(in); err == nil && os.SameFile(info, old) {
			return told(FaultInput)
		}
	}
	if force {
		return target, old.Mode().Perm(), nil
	}
	if was, err := readFile(os.OpenFile, target, path, mostClimate); err != nil || !ours(data, was) {
		return told(FaultThere)
	}
	if old.Mode().Perm()&0o222 == 0 {
		return "", 0, unwritten(path, fs.ErrPermission)
	}
	return target, old.Mode().Perm(), nil
}

// marks are how the files of each sort begin, and what those of this program hold.
// A brief has none: it is always its writer's.
var marks = []struct{ start, ours string }{
	{"%PDF-", "<xmp:CreatorTool>raftwright</xmp:CreatorTool>"},
	{"<!doctype html>", `<meta name="generator" content="raftwright">`},
	{"scope,from,to,as_of,", "scope,from,to,as_of,county,measure,value\n"},
	{"BEGIN:VCALENDAR", "\nPRODID:-//Raftwright//"},
}

// ours tells whether a file of the same sort as data was written by this program.
func ours(data, was []byte) bool {
	for _, m := range marks {
		if bytes.HasPrefix(data, []byte(m.start)) {
			return bytes.HasPrefix(was, []byte(m.start)) && bytes.Contains(was, []byte(m.ours))
		}
	}
	return false
}

// replace fills a new file beside the target and gives it the target's name once
// it is on the disk. Whatever fails, the target stays as it was.
func replace(path, target string, mode fs.FileMode, fill func(io.Writer) error) error {
	dir := filepath.Dir(target)
	var part *os.File
	var err error
	for n := 0; part == nil; n++ {
		name := filepath.Join(dir, ".raftwright-"+strconv.Itoa(os.Getpid())+"-"+strconv.Itoa(n)+".part")
		part, err = os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, cmp.Or(mode, 0o644))
		if err != nil && (!errors.Is(err, fs.ErrExist) || n > 99) {
			return unwritten(path, err)
		}
	}
	err = fill(part)
	if err == nil && mode != 0 {
		err = part.Chmod(mode)
	}
	if err == nil {
		err = part.Sync()
	}
	if e := part.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(part.Name(), target)
	}
	if err != nil {
		os.Remove(part.Name())
		return unwritten(path, err)
	}
	if d, err := os.Open(dir); err == nil { // so that the name outlives a power cut too; not every system can
		d.Sync()
		d.Close()
	}
	return nil
}

func unwritten(name string, err error) finding.Fault {
	return finding.Fault{ID: FaultUnwritten, Args: finding.Args{"File": name, "Reason": reason(err)}}
}

// reason says why the system refuses a file, in the reader's words where they are
// known.
func reason(err error) any {
	for _, r := range []struct {
		is   error
		word finding.Word
	}{
		{fs.ErrNotExist, finding.Word("file.reason.missing")}, {fs.ErrPermission, finding.Word("file.reason.forbidden")},
		{syscall.ENOSPC, finding.Word("file.reason.full")}, {syscall.EROFS, finding.Word("file.reason.read_only")},
		{syscall.EISDIR, finding.Word("file.reason.folder")}, {syscall.ENOTDIR, finding.Word("file.reason.no_folder")},
		{syscall.ENAMETOOLONG, finding.Word("file.reason.long_name")}, {syscall.ELOOP, finding.Word("file.reason.loop")},
	} {
		if errors.Is(err, r.is) {
			return r.word
		}
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return fmt.Sprint(err)
}
