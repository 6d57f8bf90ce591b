// Command engine is the planner inside a web page: the text of a brief becomes the
// plan as JSON, in the reader's own browser, with no server and no paper. Built for
// the browser (GOOS=js GOARCH=wasm) it gives the page two functions:
//
//	raftwright.speak(sentences)
//	raftwright.plan(name, text, files, working)
//
// The engine carries no sentences. sentences is the text of the bundle of a language,
// a file that the page fetches beside the engine; given again, the engine speaks the
// other language. Both functions return an Error where they cannot do what they are
// asked: what is no bundle, a plan before there is one.
//
// name is the brief's name in faults; files is an object of the texts of the files
// that the brief names (climate, shelf); working true adds the derivation. It
// returns the JSON of `raftwright plan --partial --json`: what stands of the plan,
// with what is wrong in the brief and what waits for it. What did not change since
// the last question is not reckoned again. It knows no clock, disk or network.
//
// Run on this machine the command builds itself for the browser into a folder:
// engine.wasm, wasm_exec.js, which starts it and must be of the same Go, and a
// sentences.LANGUAGE.toml for each language.
//
//	go run ./cmd/engine FOLDER
//
// docs/offline.md says how large it is.
package main

import (
	"bytes"

	"raftwright/answer"
	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/lang"
	"raftwright/plan"
)

func main() { start() }

// engine plans one brief after another.
type engine struct {
	book      plan.Book
	sentences lang.Bundle
	memory    plan.Memory
}

// speak takes the text of a bundle of sentences. With an error it speaks on as before.
func (e *engine) speak(text string) error {
	b, err := lang.ReadBundle(text)
	if err == nil {
		e.sentences = b
	}
	return err
}

// FaultNotGiven is raised where the brief names a file whose text is not given.
const FaultNotGiven finding.ID = "file.fault.not_given"

// plan gives what stands of the plan of a brief, as JSON. file gives the text of a
// file that the brief names. An error is a fault of the page or the program, not of the brief.
func (e *engine) plan(name, text string, file func(string) (string, bool), working bool) ([]byte, error) {
	b, faults := brief.Parse(name, []byte(text))
	j := plan.Job{Brief: b, Wrong: faults, Book: e.book, Files: plan.Files{}, Asked: plan.Everything}
	named := func(at finding.Path, name string) ([]byte, bool) {
		text, ok := file(name)
		if !ok {
			j.Wrong = append(j.Wrong, b.Locate(finding.Fault{ID: FaultNotGiven, Path: at, Args: finding.Args{"File": name}}))
		}
		return []byte(text), ok
	}
	for i, f := range b.Site.Climate {
		if text, ok := named(finding.Path("site.climate").Item(i), f.Value); ok {
			j.Files[f.Value] = text
		}
	}
	if f := b.ShelfFile; f.Given {
		if text, ok := named("shelf file", f.Value); ok {
			shelf, wrong := brief.Parse(f.Value, text)
			if len(wrong) == 0 {
				wrong = b.TakeShelf(shelf)
			}
			j.Wrong = append(j.Wrong, wrong...)
		}
	}
	_, faults = bed.FromBrief(b)
	j.Wrong = append(j.Wrong, faults...)
	p := j.Make(&e.memory)
	units := lang.US
	if p.Metric() {
		units = lang.Metric
	}
	words, err := e.sentences.For(units)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = answer.Write(&out, answer.Partial(p, append(j.Wrong, p.Faults...), words, working))
	return out.Bytes(), err
}
