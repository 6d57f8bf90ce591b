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

// build makes engine.wasm and wasm_exec.js in a folder, and gives what the linker
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
	return said.String(), errors.Join(os.WriteFile(name, module, 0o644), os.WriteFile(filepath.Join(folder, "wasm_exec.js"), starter, 0o644))
}
