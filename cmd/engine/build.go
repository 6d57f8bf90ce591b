//go:build !js

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"raftwright/lang"
)

// start builds the engine into the folder that the command line names.
func start() {
	err := errors.New("give the folder that the engine goes into: go run ./cmd/engine FOLDER")
	if len(os.Args) == 2 {
		_, err = build(os.Args[1])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// elsewhere are the files of sentences that the engine never says: those of paper
// and of the command line. A page would fetch them for nothing.
var elsewhere = []string{"packet.toml", "help.toml", "face.toml", "leader.toml", "class.toml", "alt.toml", "glance.toml", "tend_paper.toml"}

// build makes engine.wasm, wasm_exec.js and the sentences in a folder, and gives what the linker
// says about which function needs which. Functions are kept apart (-l), since
// copies of them in each other pack badly; there are no tables for a debugger.
func build(folder string) (needs string, err error) {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", err
	}
	name := filepath.Join(folder, "engine.wasm")
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w -dumpdep", "-gcflags=all=-l", "-o", name, "raftwright/cmd/engine")
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=")
	var said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &said, &said
	if err := cmd.Run(); err != nil {
		text := said.String()
		return "", fmt.Errorf("the engine does not build (%w): %s", err, text[max(0, len(text)-2000):])
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
	bundles, err := lang.Bundles(elsewhere...)
	if err != nil {
		return "", err
	}
	for tag, text := range bundles {
		err = errors.Join(err, os.WriteFile(filepath.Join(folder, "sentences."+tag+".toml"), []byte(text), 0o644))
	}
	return said.String(), errors.Join(err, os.WriteFile(name, module, 0o644), os.WriteFile(filepath.Join(folder, "wasm_exec.js"), starter, 0o644))
}
