// Command engine is the planner inside a web page: the text of a brief becomes the
// plan as JSON, in the reader's own browser, with no server and no paper. Built for
// the browser (GOOS=js GOARCH=wasm) it gives the page one function:
//
//	raftwright.plan(name, text, files, working)
//
// name is the brief's name in faults; files is an object of the texts of the files
// that the brief names (climate, shelf); working true adds the derivation. It
// returns JSON: the document of `raftwright plan --json`, or where the brief is
// wrong {"faults": [{code, path, line, column, what, right}]}, in the order of the
// text. It knows no clock, disk or network.
//
// Run on this machine the command builds itself for the browser into a folder:
// engine.wasm, and wasm_exec.js, which starts it and must be of the same Go.
//
//	go run ./cmd/engine FOLDER
//
// docs/offline.md says how large it is.
package main

import (
	"bytes"
	"cmp"
	"slices"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
)

func main() { start() }

// fault is what stands in the JSON for a fault of the brief.
type fault struct {
	Code   string `json:"code"`
	Path   string `json:"path"`
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	What   string `json:"what"`
	Right  string `json:"right"`
}

// planned gives the plan of a brief, or its faults, as JSON. An error is a fault of
// the program, not of the brief.
func planned(name, text string, file func(string) (string, bool), working bool) ([]byte, error) {
	b, faults := brief.Parse(name, []byte(text))
	files := plan.Files{}
	if b != nil {
		for i, f := range b.Site.Climate {
			text, ok := file(f.Value)
			if !ok {
				faults = append(faults, b.Locate(notGiven(finding.Path("site.climate").Item(i), f.Value)))
			}
			files[f.Value] = []byte(text)
		}
		if f := b.ShelfFile; f.Given {
			text, ok := file(f.Value)
			if !ok {
				faults = append(faults, b.Locate(notGiven("shelf file", f.Value)))
			} else if shelf, wrong := brief.Parse(f.Value, []byte(text)); len(wrong) > 0 {
				faults = append(faults, wrong...)
			} else {
				faults = append(faults, b.TakeShelf(shelf)...)
			}
		}
	}
	if len(faults) > 0 {
		return told(faults)
	}
	p, faults := plan.Make(b, plan.DefaultBook(), files, plan.Everything)
	if len(faults) > 0 {
		return told(faults)
	}
	units := lang.US
	if p.Metric() {
		units = lang.Metric
	}
	words, err := lang.For(p.Language(), units)
	if err != nil {
		return nil, err
	}
	return written(answer.For(p, plan.Everything, words, working))
}

// FaultNotGiven is raised where the brief names a file whose text is not given.
const FaultNotGiven finding.ID = "file.fault.not_given"

func notGiven(at finding.Path, name string) finding.Fault {
	return finding.Fault{ID: FaultNotGiven, Path: at, Args: finding.Args{"File": name}}
}

func told(faults finding.Faults) ([]byte, error) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(faults, func(a, b finding.Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	out := struct {
		Faults []fault `json:"faults"`
	}{}
	for _, f := range faults {
		what, right := words.Fault(f)
		out.Faults = append(out.Faults, fault{string(f.ID), string(f.Path), f.File, f.Line, f.Column, what, right})
	}
	return written(out)
}

func written(document any) ([]byte, error) {
	var out bytes.Buffer
	err := answer.Write(&out, document)
	return out.Bytes(), err
}
