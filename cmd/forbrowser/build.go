//go:build !js

// Package forbrowser builds commands of this house for a browser: one module, the script that
// starts it, and the sentences that it says, a file for each language.
package forbrowser

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"github.com/andybalholm/brotli"

	"raftwright/lang"
)

// Program is a command that is built for a browser.
type Program struct {
	Name   string   // its folder in cmd, and the name of its module
	Silent []string // the files of sentences that it never says; a page would fetch them for nothing
}

// elsewhere are the sentences of paper that one takes home, of the command line and of pages.
var elsewhere = []string{"help.toml", "face.toml", "leader.toml", "class.toml", "alt.toml", "glance.toml",
	"web.toml", "web_bed.toml", "web_office.toml", "web_api.toml", "web_offline.toml", "web_book.toml", "keep.toml", "manual.toml", "fault_store.toml", "fault_command.toml",
	"web_book_forms.toml", "web_passkey.toml", "web_labels.toml", "web_pgs.toml", "web_pin.toml", "web_records.toml", "web_wave.toml", "wave.toml", "keeping.toml", "report_more.toml",
	"report.toml", "report_page.toml", "paper.toml", "trial.toml", "inquiry.toml", "fault_programme.toml"}

// Engine makes plans; Bedside says what to do at a bed.
var (
	Engine  = Program{"engine", append(slices.Clone(elsewhere), "packet.toml", "tend_paper.toml", "tend_drawn.toml")}
	Bedside = Program{"bedside", elsewhere}
)

// Build makes the module, wasm_exec.js and the sentences in a folder, and gives what the linker
// says about which function needs which. Functions are kept apart (-l), since copies of them in
// each other pack badly; there are no tables for a debugger, and nothing of the place or the
// state of the source, so that the same source gives the same bytes.
func (p Program) Build(folder string) (needs string, err error) {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", err
	}
	name := p.module(folder)
	cmd := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -dumpdep", "-gcflags=all=-l", "-o", name, "raftwright/cmd/"+p.Name)
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOENV=off", "GOFLAGS=", "GOEXPERIMENT=", "GOFIPS140=", "GOWASM=") // nothing of the builder's own settings goes in
	var said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &said, &said
	if err := cmd.Run(); err != nil {
		text := said.String()
		return "", fmt.Errorf("%s does not build (%w): %s", p.Name, err, text[max(0, len(text)-2000):])
	}
	module, err := os.ReadFile(name)
	if err != nil {
		return "", err
	}
	if module, err = thin(module); err != nil {
		return "", err
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", err
	}
	starter, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return "", err
	}
	bundles, err := lang.Bundles(p.Silent...)
	if err != nil {
		return "", err
	}
	for tag, text := range bundles {
		err = errors.Join(err, os.WriteFile(filepath.Join(folder, "sentences."+tag+".toml"), []byte(text), 0o644))
	}
	return said.String(), errors.Join(err, os.WriteFile(name, module, 0o644), os.WriteFile(filepath.Join(folder, "wasm_exec.js"), starter, 0o644))
}

func (p Program) module(folder string) string { return filepath.Join(folder, p.Name+".wasm") }

// Pack packs the module in a folder with brotli as small as it goes, in place of the plain one.
// That takes a minute: where the same is packed there already it stays.
func (p Program) Pack(folder string) error {
	module, err := os.ReadFile(p.module(folder))
	if err != nil {
		return err
	}
	if before, err := os.ReadFile(p.module(folder) + ".br"); err != nil || !bytes.Equal(unpacked(before), module) {
		if err := os.WriteFile(p.module(folder)+".br", Packed(module), 0o644); err != nil {
			return err
		}
	}
	return os.Remove(p.module(folder))
}

// unpacked gives what was packed, nothing where that cannot be read.
func unpacked(data []byte) []byte {
	out, err := io.ReadAll(brotli.NewReader(bytes.NewReader(data)))
	if err != nil {
		return nil
	}
	return out
}

// Packed gives bytes as a server sends them: brotli at quality 11, window 24.
func Packed(data []byte) []byte {
	var out bytes.Buffer
	w := brotli.NewWriterOptions(&out, brotli.WriterOptions{Quality: 11, LGWin: 24})
	w.Write(data) // into memory
	w.Close()
	return out.Bytes()
}
