package main

import (
	"strconv"
	"strings"
	"testing"

	"raftwright/finding"
)

// What is wrong in a folder is told file by file, and in each from the top, so that one file is mended at a time.
func TestFaultsAreToldFileByFile(t *testing.T) {
	var faults finding.Faults
	for _, at := range []string{"hours 3 29", "hours 2 4", "events 5 15", "events 4 41", "events 4 4", "funders 1 1"} {
		part := strings.Fields(at)
		line, _ := strconv.Atoi(part[1])
		column, _ := strconv.Atoi(part[2])
		faults = append(faults, finding.Fault{File: part[0], Line: line, Column: column})
	}
	byPlace(faults)
	var got []string
	for _, f := range faults {
		got = append(got, f.File+" "+strconv.Itoa(f.Line)+" "+strconv.Itoa(f.Column))
	}
	if want := "hours 2 4, hours 3 29, events 4 4, events 4 41, events 5 15, funders 1 1"; strings.Join(got, ", ") != want {
		t.Error(got)
	}
}
