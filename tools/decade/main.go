// Command decade writes ten years of 25 invented offices into a folder, 100,000 encounters with all that goes with them:
//
//	go run ./tools/decade FOLDER
//	/usr/bin/time -v raftwright report FOLDER --funder F --as-of 2027-07-31 >/dev/null
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"raftwright/programme"
	"raftwright/programme/decade"
)

func main() {
	if err := write(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func write(args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("decade FOLDER")
	}
	const from = "programme/testdata/demo_year"
	there, err := os.ReadDir(from)
	if err != nil {
		return err
	}
	files := map[string]string{}
	for _, f := range there {
		if strings.HasSuffix(f.Name(), ".csv") && f.Name() != "expected.csv" {
			text, err := os.ReadFile(filepath.Join(from, f.Name()))
			if err != nil {
				return err
			}
			files[f.Name()] = string(text)
		}
	}
	year, faults := programme.Read(files)
	if len(faults) > 0 {
		return faults
	}
	if err := os.MkdirAll(args[0], 0o777); err != nil {
		return err
	}
	for name, text := range decade.Of(year, 25) {
		if err := os.WriteFile(filepath.Join(args[0], name), []byte(text), 0o666); err != nil {
			return err
		}
	}
	return nil
}
