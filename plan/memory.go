package plan

import (
	"bytes"
	"encoding/binary"
	"slices"
	"sync"

	"raftwright/brief"
)

// Memory keeps what the stages of plans made, by the values of what they were made
// from, so that a plan of a brief that changed in one place makes again only what
// rests on it. It belongs to the caller, holds the last plans of a form or of a
// search, and never changes a result. It may be used by several at once. What it is
// given and what it gives is shared: nobody may change it.
//
// The zero Memory is empty and ready.
type Memory struct {
	mutex  sync.Mutex
	tables string // of the book that everything in it was made with
	number uint64 // the last that was given
	stages []remembered
	files  []knownFile
}

// mostRemembered bounds what a memory holds: so many results of each stage.
const mostRemembered = 48

// remembered is what a memory holds of one stage.
type remembered struct {
	made  map[string]result
	order []string       // of made, the oldest first
	same  map[any]uint64 // the numbers of comparable results
}

type knownFile struct {
	data   []byte
	number uint64
}

// result is what a stage made. Results that are the same to whoever needs them have
// one number; 0 is that of a stage that was not made.
type result struct {
	ready
	made   *maker // nil where it was not made
	number uint64
}

// work makes the stages of one plan.
type work struct {
	memory *Memory
	brief  *brief.Brief
	book   Book
	files  Files
	open   bool // stages see the whole brief and everything made before: for a test that they need not
}

// all makes the stages that the asked parts take, in their order. One whose needs
// have faults is not made.
func (w work) all(asked Part) []result {
	want := wanted(w.brief, asked)
	out := make([]result, len(want))
	if w.book.tables == "" || w.open {
		w.memory = nil // of a book without a name nothing can be remembered
	}
	var key []byte
	for i, s := range line() {
		out[i].ready = s
		blocked := slices.ContainsFunc(s.from, func(n int) bool { return want[n] && (out[n].made == nil || len(out[n].made.faults) > 0) })
		if !want[i] || blocked {
			continue
		}
		if w.memory == nil {
			out[i].made = w.do(s, out[:i])
			continue
		}
		key = w.key(key[:0], s, out)
		r, known := w.memory.recall(w.book.tables, i, string(key))
		if !known {
			r = w.memory.keep(i, string(key), w.do(s, out[:i]), s)
		}
		out[i].made, out[i].number = r.made, r.number
	}
	return out
}

// do makes a stage from what it declared.
func (w work) do(s ready, before []result) *maker {
	m := &maker{book: w.book, files: w.files}
	if w.open {
		m.Brief = w.brief
		for _, r := range before {
			if r.made != nil {
				r.keep(m, r.made)
			}
		}
	} else {
		m.Brief = s.view.Of(w.brief)
		for _, n := range s.from {
			if r := before[n]; r.made != nil {
				r.keep(m, r.made)
			}
		}
	}
	m.Beds = max(1, m.Brief.Bed.Count.Value)
	s.stage.do(m)
	return m
}

// key gives everything that a stage sees as bytes: the values of its keys, the
// numbers of the results, and the files where it reads some.
func (w work) key(out []byte, s ready, before []result) []byte {
	for _, n := range s.from {
		out = binary.AppendUvarint(out, before[n].number)
	}
	if s.files {
		for _, f := range w.brief.Site.Climate {
			out = binary.AppendUvarint(out, w.memory.file(w.files[f.Value]))
		}
	}
	return s.view.AppendValues(out, w.brief)
}

// recall gives what a stage made from the same. A memory of another book is emptied.
func (mem *Memory) recall(tables string, stage int, key string) (result, bool) {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	if mem.tables != tables || mem.stages == nil {
		mem.tables, mem.files, mem.stages = tables, nil, make([]remembered, len(stages))
	}
	r, ok := mem.stages[stage].made[key]
	return r, ok
}

// keep puts a result into the memory, in place of the oldest where it is full. What
// has faults is not kept: their places are those of one file.
func (mem *Memory) keep(stage int, key string, m *maker, s ready) result {
	mem.mutex.Lock()
	defer mem.mutex.Unlock()
	r := result{made: m, number: mem.next()}
	at := &mem.stages[stage]
	if at.made == nil {
		at.made, at.same = map[string]result{}, map[any]uint64{}
	}
	if len(m.faults) > 0 {
		return r
	}
	if s.same != nil {
		value := s.same(m)
		if n, ok := at.same[value]; ok {
			r.number = n
		} else {
			if len(at.same) >= mostRemembered {
				clear(at.same)
			}
			at.same[value] = r.number
		}
	}
	if len(at.order) >= mostRemembered {
		delete(at.made, at.order[0])
		at.order = append(at.order[:0], at.order[1:]...)
	}
	at.made[key], at.order = r, append(at.order, key)
	return r
}

// next gives a number that was not given yet. It never starts again, so that no
// number of before means another result.
func (mem *Memory) next() uint64 { mem.number++; return mem.number }

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
