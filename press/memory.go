package press

import (
	"bufio"
	"bytes"
	"hash/maphash"
	"io"
	"slices"
	"sync"

	"raftwright/draw"
	"raftwright/page"
)

// mostDrawn bounds the bytes of the drawings that a memory holds.
const mostDrawn = 12 << 20

// Memory keeps how drawings were written, by the values that they are made of: a drawing that
// did not change is not laid again. It belongs to the caller and never changes what is written.
// It may be used by several at once. The zero Memory is empty and ready; a nil one keeps nothing.
type Memory struct {
	mutex sync.Mutex
	seed  maphash.Seed
	drawn map[uint64]string
	order []uint64 // of drawn, the oldest first
	bytes int
}

// Fragment is the same as the function of that name, with what is remembered.
func (m *Memory) Fragment(doc page.Document, id string, w io.Writer) (found bool, err error) {
	h := newWeb(w, doc)
	h.memory = m
	h.level, h.titled = 1, true // by the page around it
	for i, s := range doc.Sections {
		if s.Anchor(i) == id {
			h.section(s, i)
			return true, h.out.Flush()
		}
	}
	for _, s := range doc.Sections {
		if f, ok := figureOf(s.Blocks, id); ok {
			h.drawn = h.wordsOf(s)
			m.figure(h, f)
			return true, h.out.Flush()
		}
	}
	return false, nil
}

// figure writes a drawing as it was written from the same.
func (m *Memory) figure(h *web, f page.Figure) {
	id := h.uniqueID(f.Drawing.ID)
	if m == nil {
		h.write(f, id)
		return
	}
	key := m.key(h, f, id)
	m.mutex.Lock()
	known, ok := m.drawn[key]
	m.mutex.Unlock()
	if !ok {
		var made bytes.Buffer
		to := h.out
		h.out = bufio.NewWriter(&made)
		h.write(f, id)
		_ = h.out.Flush() // a buffer takes everything
		h.out, known = to, made.String()
		m.keep(key, known)
	}
	h.say(known)
}

func (m *Memory) keep(key uint64, text string) {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.drawn == nil {
		m.drawn = map[uint64]string{}
	}
	if _, is := m.drawn[key]; is {
		return
	}
	m.drawn[key], m.order, m.bytes = text, append(m.order, key), m.bytes+len(text)
	gone := 0
	for ; m.bytes > mostDrawn; gone++ {
		m.bytes -= len(m.drawn[m.order[gone]])
		delete(m.drawn, m.order[gone])
	}
	m.order = slices.Delete(m.order, 0, gone)
}

// key gives all that a drawing is written from as one number.
func (m *Memory) key(h *web, f page.Figure, id string) uint64 {
	m.mutex.Lock()
	if m.seed == (maphash.Seed{}) {
		m.seed = maphash.MakeSeed()
	}
	seed := m.seed
	m.mutex.Unlock()
	var sum maphash.Hash
	sum.SetSeed(seed)
	maphash.WriteComparable(&sum, struct {
		id      string
		doors   string
		paper   page.Paper
		large   bool
		units   draw.System
		words   draw.Words
		caption page.Text
		height  draw.Points
		exact   bool
		narrow  bool
	}{id, h.doc.Doors, h.doc.Paper, h.doc.Large, h.doc.Units, h.drawn, f.Caption, f.Height, f.Exact, f.Narrow != nil})
	f.Drawing.Sum(&sum)
	if f.Narrow != nil {
		f.Narrow().Sum(&sum)
	}
	return sum.Sum64()
}
