package plan

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"
	"sync"

	"raftwright/brief"
	"raftwright/finding"
)

// Memory keeps what the stages of plans made, by the values of what they were made
// from, so that a plan of a brief that changed in one place makes again only what
// rests on it. It belongs to the caller, holds the last plans of a form or of a
// search, and never changes a result. It may be used by several at once with one book. What it is
// given and what it gives is shared: nobody may change it.
//
// The zero Memory is empty and ready.
type Memory struct {
	mutex  sync.Mutex
	tables Tables // of the book that everything in it was made with
	number uint64 // the last that was given
	now    uint64 // how often it was told to forget
	stages []remembered
	files  []knownFile
	wrote  *spelled // of the last plan that was made to its end, which nobody writes on
}

// mostRemembered bounds what a memory holds: so many results of each stage.
const mostRemembered = 48

// remembered is what a memory holds of one stage.
type remembered struct {
	made  map[string]*known
	order []string       // of made, the oldest first
	same  map[any]uint64 // the numbers of comparable results
}

// known is a result with when it was used last.
type known struct {
	result
	used uint64
}

type knownFile struct {
	data   []byte
	number uint64
}

// result is what a stage made. Results that are the same to whoever needs them have
// one number; 0 is that of a stage that was not made.
type result struct {
	*ready
	made   *maker         // nil where it was not made
	faults finding.Faults // why
	waits  []finding.Path // what is wrong or missing of what it rests on
	number uint64
}

// hand gives what a stage made to one that needs it.
func (r result) hand(to *maker) {
	if r.made != nil && r.keep != nil {
		r.keep(to, r.made)
	}
}

// work makes the stages of one plan.
type work struct {
	Job
	memory *Memory
	wrong  finding.Faults // all that is known beforehand
	open   bool           // stages see the whole brief and everything made before: for a test that they need not
	*spelled
}

// all makes the stages that the asked parts take. One that rests on something wrong waits,
// and so does what needs it.
func (w work) all() []result {
	if w.Stop == nil {
		w.Stop = context.Background()
	}
	if w.spelled == nil {
		w.spelled = spell(w.Brief, nil)
	}
	if w.open {
		w.memory = nil
	} else if w.memory != nil {
		w.memory.of(w.Book)
	}
	c := crew{work: w, want: wanted(w.Job), out: make([]result, len(stages))}
	c.make()
	return c.out
}

// seeing is what somebody who makes stages has at hand.
type seeing struct {
	brief *brief.Brief // what the stage at work sees of the brief; empty between them
	key   []byte
}

func (w work) seeing() *seeing { return &seeing{brief: &brief.Brief{File: w.Brief.File}} }

// waits gives what is wrong with what a stage rests on.
func (w work) waits(s *ready, before []result) []finding.Path {
	var out []finding.Path
	for _, n := range s.from {
		out = append(out, before[n].waits...)
	}
	for _, f := range w.wrong {
		if slices.ContainsFunc(s.reads, func(r finding.Path) bool { return f.Path.Under(r) || r.Under(f.Path) }) {
			out = append(out, f.Path)
		}
	}
	return out
}

// do makes a stage from what it declared.
func (w work) do(s *ready, before []result, seen *seeing) *maker {
	m := &maker{book: w.Book, files: w.Files, learner: w.Learn, taught: w.Taught, known: w.wrong, stop: w.Stop, beside: w.Beside}
	if w.open {
		m.Brief = w.Brief
		for _, r := range before[:min(len(before), s.number)] {
			r.hand(m)
		}
	} else {
		m.Brief = seen.brief
		s.view.Show(seen.brief, w.Brief)
		for _, n := range s.from {
			before[n].hand(m)
		}
	}
	m.Beds = max(1, m.Brief.Bed.Count.Value)
	if w.memory != nil && s.last != nil {
		if last := w.memory.last(s.number); last != nil {
			s.last(m, last)
		}
	}
	s.stage.do(m)
	if m.Brief = nil; !w.open {
		s.view.Hide(seen.brief)
	}
	return m
}

// key gives everything that a stage sees as bytes: the values of its keys, the
// numbers of the results, and the files where it reads some.
func (w work) key(out []byte, s *ready, before []result) []byte {
	if s.learns && w.Taught != nil {
		return fmt.Append(out, "taught ", *w.Taught) // nothing else is asked
	}
	for _, n := range s.from {
		out = binary.AppendUvarint(out, before[n].number)
	}
	if s.files {
		for _, f := range w.Brief.Site.Climate {
			out = binary.AppendUvarint(out, w.memory.file(w.Files[f.Value]))
		}
	}
	if s.name == "boards" || s.name == "foam" {
		out = w.beside(out)
	}
	for _, key := range s.keys {
		out = append(out, w.text(key)...)
	}
	return out
}

// of empties a memory of another book.
func (mem *Memory) of(book Book) {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	tables := book.Edition().Tables
	if mem.stages != nil && maps.Equal(mem.tables, tables) {
		return
	}
	mem.tables, mem.files, mem.stages = tables, nil, make([]remembered, len(stages))
	for i := range mem.stages {
		mem.stages[i] = remembered{made: map[string]*known{}, same: map[any]uint64{}}
	}
}

// recall gives what a stage made from the same.
func (mem *Memory) recall(stage int, key []byte) (result, bool) {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	r, ok := mem.stages[stage].made[string(key)]
	if !ok {
		return result{}, false
	}
	r.used = mem.now
	return r.result, true
}

// Forget drops what no plan took since it was called the time before. Whoever has one plan after the other made of a brief that
// changes, as a form does, calls it now and then: what is left is what the last plans were made of.
func (mem *Memory) Forget() {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	for i := range mem.stages {
		at := &mem.stages[i]
		at.order = slices.DeleteFunc(at.order, func(key string) bool {
			old := at.made[key].used < mem.now
			if old {
				delete(at.made, key)
			}
			return old
		})
	}
	mem.now++
}

// last gives what a stage made last, nil where it made nothing yet.
func (mem *Memory) last(stage int) *maker {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	at := &mem.stages[stage]
	if len(at.order) == 0 {
		return nil
	}
	return at.made[at.order[len(at.order)-1]].made
}

func (mem *Memory) equal(at *remembered, value any) uint64 {
	n, ok := at.same[value]
	if !ok {
		if len(at.same) >= mostRemembered {
			clear(at.same)
		}
		n = mem.next()
		at.same[value] = n
	}
	return n
}

// keep puts a result into the memory, in place of the oldest where it is full.
func (mem *Memory) keep(stage int, key string, m *maker, s *ready) result {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	at, r := &mem.stages[stage], result{made: m}
	if before := at.made[key]; before != nil { // another plan made it meanwhile
		before.used = mem.now
		return before.result
	}
	if s.same != nil {
		r.number = mem.equal(at, s.same(m))
	} else {
		r.number = mem.next()
	}
	if len(at.order) >= mostRemembered {
		delete(at.made, at.order[0])
		at.order = append(at.order[:0], at.order[1:]...)
	}
	at.made[key], at.order = &known{r, mem.now}, append(at.order, key)
	return r
}

// next gives a number that was not given yet. It never starts again, so that no
// number of before means another result.
func (mem *Memory) next() uint64 { mem.number++; return mem.number }

// spells begins to write a brief, of which lists may stand as they stood in the plan before.
func (mem *Memory) spells(b *brief.Brief) *spelled {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	return spell(b, mem.wrote)
}

// keeps takes what was written for the next plan.
func (mem *Memory) keeps(s *spelled) {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	s.last, mem.wrote = nil, s
}

// file gives the number of a file's text.
func (mem *Memory) file(data []byte) uint64 {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	for _, f := range mem.files {
		if bytes.Equal(f.data, data) {
			return f.number
		}
	}
	if len(mem.files) >= mostRemembered {
		mem.files = mem.files[1:]
	}
	mem.files = append(mem.files, knownFile{data, mem.next()})
	return mem.files[len(mem.files)-1].number
}
