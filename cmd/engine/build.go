//go:build !js

package main

import (
	"errors"
	"fmt"
	"os"

	"raftwright/cmd/forbrowser"
)

// start builds the engine into the folder that the command line names.
func start() {
	err := errors.New("give the folder that the engine goes into: go run ./cmd/engine FOLDER")
	if len(os.Args) == 2 {
		_, err = forbrowser.Engine.Build(os.Args[1])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
