package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"raftwright/finding"
)

func faultID(err error) finding.ID {
	var f finding.Fault
	if errors.As(err, &f) {
		return f.ID
	}
	return ""
}

// Pipes, devices and folders are refused at once, and what is too large is refused
// and not cut.
func TestInputsThatAreNoFiles(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("devices and pipes of Linux")
	}
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	write(t, dir, "large", strings.Repeat("x", mostBrief+1))
	write(t, dir, "fits", strings.Repeat("x", mostBrief))
	for name, want := range map[string]finding.ID{"/dev/zero": FaultSpecial, "/dev/null": FaultSpecial, pipe: FaultSpecial, dir: FaultSpecial,
		filepath.Join(dir, "none"): FaultUnread, filepath.Join(dir, "large"): FaultLarge, filepath.Join(dir, "fits"): ""} {
		done := make(chan error, 1)
		go func() {
			_, err := readFile(os.OpenFile, name, name, mostBrief)
			done <- err
		}()
		select {
		case err := <-done:
			if faultID(err) != want {
				t.Errorf("%s: %v, want %q", name, err, want)
			}
		case <-time.After(10 * time.Second):
			t.Fatalf("%s hangs", name)
		}
	}
	// the same for what a brief names
	b := onBrief{Brief: filepath.Join(dir, "brief.yaml")}
	for name, want := range map[string]finding.ID{"pipe": FaultSpecial, ".": FaultSpecial, "none": FaultUnread, "large": FaultLarge, "fits": "",
		"../x": FaultOutside, "/dev/zero": FaultOutside, dir + "/fits": ""} {
		_, err := b.readNamed(name, mostBrief)
		if faultID(err) != want {
			t.Errorf("named %s: %v, want %q", name, err, want)
		}
		var f finding.Fault
		if errors.As(err, &f) && f.Right != rightNamed {
			t.Errorf("named %s: is told to %q", name, f.RightID())
		}
	}
	// links are followed to their end, which counts: what leads out over a folder within leads out
	far := t.TempDir()
	write(t, far, "own.csv", "far")
	for name, to := range map[string]string{"near": "hop", "hop": "fits", "out": "further", "further": filepath.Join(far, "own.csv"), "folder": far, "round": "round", "special": "/dev/zero"} {
		if err := os.Symlink(to, filepath.Join(dir, name)); err != nil {
			t.Skip("no links here: ", err)
		}
	}
	for name, want := range map[string]finding.ID{"near": "", "out": FaultOutside, "folder/own.csv": FaultOutside, "round": FaultUnread, "special": FaultOutside} {
		if data, err := b.readNamed(name, mostBrief); faultID(err) != want || (len(data) > 0) != (want == "") {
			t.Errorf("the link %s: %v, want %q", name, err, want)
		}
	}
	// and for standard input, which has no size
	if _, err := readAll(io.LimitReader(zeros{}, 1<<30), "-", mostBrief); faultID(err) != FaultLarge {
		t.Errorf("endless standard input: %v", err)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// A file stays as it was when its successor cannot be written, and nothing is left
// lying beside it.
func TestFailedWriteLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "packet.pdf")
	write(t, dir, "packet.pdf", "as it was")
	err := replace(path, path, 0o600, func(w io.Writer) error {
		if _, err := w.Write([]byte("half")); err != nil {
			return err
		}
		return &os.PathError{Op: "write", Path: path, Err: syscall.ENOSPC}
	})
	if faultID(err) != FaultUnwritten {
		t.Fatal(err)
	}
	english, _ := streams{}.speaks(nil)
	if words := worded(english, err.(finding.Fault)); !strings.Contains(words, "the disk is full") {
		t.Error(words)
	}
	alone(t, dir, "packet.pdf", "as it was")
}

// alone checks that a folder holds one file with this text.
func alone(t *testing.T, dir, name, text string) {
	t.Helper()
	list, err := os.ReadDir(dir)
	if err != nil || len(list) != 1 || list[0].Name() != name {
		t.Fatalf("the folder holds %v, %v", list, err)
	}
	if got, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(got) != text {
		t.Errorf("%s holds %.40q, %v", name, got, err)
	}
}

// The same on a disk that is full in earnest.
func TestFullDiskLeavesNothing(t *testing.T) {
	if runtime.GOOS != "linux" || os.Getuid() != 0 {
		t.Skip("needs root on Linux to mount a small disk")
	}
	dir := t.TempDir()
	if err := syscall.Mount("raftwright", dir, "tmpfs", 0, "size=16k"); err != nil {
		t.Skip("no disk can be mounted here: ", err)
	}
	defer syscall.Unmount(dir, 0)
	var out bytes.Buffer
	s := streams{strings.NewReader(""), &out, &out, tongue{}}
	path := filepath.Join(dir, "p.pdf")
	old := "%PDF- " + marks[0].ours
	write(t, dir, "p.pdf", old)
	if err := s.write(path, []byte("%PDF-"+strings.Repeat("x", 1<<16)), nil, false); faultID(err) != FaultUnwritten {
		t.Fatal(err)
	}
	alone(t, dir, "p.pdf", old)
}

// A file keeps its rights, one that nobody may write to stays, and a hard link to
// an input is not written through.
func TestWriteKeepsRights(t *testing.T) {
	dir := t.TempDir()
	var out bytes.Buffer
	s := streams{strings.NewReader(""), &out, &out, tongue{}}
	ics := []byte("BEGIN:VCALENDAR\r\nPRODID:-//Raftwright//x\r\n")
	path := filepath.Join(dir, "a.ics")
	if err := s.write(path, ics, nil, false); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := s.write(path, ics, nil, false); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("rights are %v, %v", info.Mode(), err)
	}
	if err := os.Chmod(path, 0o400); err != nil {
		t.Fatal(err)
	}
	if err := s.write(path, ics, nil, false); faultID(err) != FaultUnwritten {
		t.Errorf("a file that must not be written: %v", err)
	}
	// written through a chain of links the file at its end is new, and the links are links
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	for name, to := range map[string]string{"first.ics": "second.ics", "second.ics": "a.ics"} {
		if err := os.Symlink(to, filepath.Join(dir, name)); err != nil {
			t.Skip("no links here: ", err)
		}
	}
	anew := append(bytes.Clone(ics), "anew"...)
	if err := s.write(filepath.Join(dir, "first.ics"), anew, nil, false); err != nil {
		t.Fatal(err)
	}
	for name, link := range map[string]bool{"first.ics": true, "second.ics": true, "a.ics": false} {
		info, err := os.Lstat(filepath.Join(dir, name))
		if got, e := os.ReadFile(filepath.Join(dir, name)); err != nil || e != nil || (info.Mode()&os.ModeSymlink != 0) != link || !bytes.Equal(got, anew) {
			t.Errorf("%s is %v and holds %q, %v", name, info.Mode(), got, e)
		}
	}
	write(t, dir, "brief.yaml", "bed: {}\n")
	brief, link := filepath.Join(dir, "brief.yaml"), filepath.Join(dir, "link.ics")
	if err := os.Link(brief, link); err != nil {
		t.Skip("no hard links here: ", err)
	}
	if err := s.write(link, ics, []string{brief}, false); faultID(err) != FaultInput {
		t.Errorf("a hard link to the brief: %v", err)
	}
	soft := filepath.Join(dir, "soft.ics")
	if err := os.Symlink(brief, soft); err != nil {
		t.Skip("no links here: ", err)
	}
	for _, at := range []string{link, soft, brief} {
		if err := s.write(at, ics, []string{brief}, true); faultID(err) != FaultInput {
			t.Errorf("%s is written over the brief by force: %v", at, err)
		}
	}
	if got, _ := os.ReadFile(brief); string(got) != "bed: {}\n" {
		t.Errorf("the brief holds %q", got)
	}
}
