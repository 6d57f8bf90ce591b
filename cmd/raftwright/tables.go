package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"raftwright/finding"
	"raftwright/plan"
	"raftwright/sky"
	"raftwright/sky/places"
)

// Faults of tables and of plans that were kept.
const (
	FaultTable   finding.ID = "command.fault.table"    // a file that is none of the tables
	FaultNoTable finding.ID = "command.fault.no_table" // a folder without any
	FaultSince   finding.ID = "command.fault.since"    // no plan that was kept
)

// book is all that plans look up: the embedded tables, and places.
var book = sync.OnceValue(func() plan.Book { return plan.DefaultBook().With(atlas()) })

var atlas = sync.OnceValue(func() *sky.Atlas {
	a, err := sky.OpenAtlas(places.Packed)
	if err != nil {
		panic(err) // it is embedded and tested
	}
	return a
})

// book gives the tables with those of --tables on top. Every table of that folder has
// the name of one of ours.
func (c onBrief) book() (plan.Book, finding.Faults) {
	if c.Tables == "" {
		return book(), nil
	}
	names, err := filepath.Glob(filepath.Join(c.Tables, "*.csv"))
	if err != nil || len(names) == 0 {
		return book(), finding.Faults{{ID: FaultNoTable, File: c.Tables, Line: 1, Column: 1, Args: finding.Args{"Names": strings.Join(plan.TableFiles(), ", ")}}}
	}
	own := map[string][]byte{}
	var faults finding.Faults
	for _, name := range names {
		file := filepath.Base(name)
		if !slices.Contains(plan.TableFiles(), file) {
			wrong := finding.Unknown(FaultTable, "", file, plan.TableFiles())
			wrong.File, wrong.Line, wrong.Column = file, 1, 1
			faults = append(faults, wrong)
			continue
		}
		text, err := readFile(os.OpenFile, name, name, mostClimate)
		var wrong finding.Fault
		if errors.As(err, &wrong) {
			wrong.File, wrong.Line, wrong.Column = name, 1, 1
			faults = append(faults, wrong)
			continue
		}
		own[file] = text
	}
	b, wrong := plan.BookWith(own)
	if faults = append(faults, wrong...); len(faults) > 0 {
		return book(), faults
	}
	return b.With(atlas()), nil
}

// since gives the edition of a plan that was kept, as --json printed it.
func (c planCmd) since() (*plan.Edition, error) {
	if c.Since == "" {
		return nil, nil
	}
	text, err := readFile(os.OpenFile, c.Since, c.Since, mostClimate)
	if err != nil {
		return nil, err
	}
	var kept struct {
		Edition string      `json:"edition"`
		Tables  plan.Tables `json:"tables"`
	}
	err = json.Unmarshal(text, &kept)
	code, _, _ := strings.Cut(kept.Edition, "-")
	if err != nil || code == "" {
		return nil, finding.Fault{ID: FaultSince, Args: finding.Args{"File": c.Since}}
	}
	return &plan.Edition{Code: code, Tables: kept.Tables}, nil
}
