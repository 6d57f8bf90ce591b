//go:build !js

package main

import (
	"errors"
	"fmt"
	"os"

	"raftwright/cmd/forbrowser"
)

// start builds the program into the folder that the command line names, packed as it is sent.
func start() {
	err := errors.New("give the folder that the program goes into: go run ./cmd/bedside FOLDER")
	if len(os.Args) == 2 {
		if _, err = forbrowser.Bedside.Build(os.Args[1]); err == nil {
			err = forbrowser.Bedside.Pack(os.Args[1])
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
