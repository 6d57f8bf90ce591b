package paper

import (
	"hash/maphash"
	"io"
	"slices"
	"sync"
	"unsafe"

	"raftwright/draw"
	"raftwright/page"
	"raftwright/press/paper/pdf"
)

// mostLaid bounds the bytes of the drawings that a memory holds.
const mostLaid = 24 << 20

// Memory keeps what documents that have much in common share, as the packets of a workshop do: drawings as they were laid, and streams
// as they were packed. It never changes what is written. It may be used by several at once. The zero Memory is empty and ready.
type Memory struct {
	packs pdf.Packs
	mutex sync.Mutex
	seed  maphash.Seed
	laid  map[uint64]draw.Sheet
	order []uint64 // of laid, the oldest first
	bytes int
}

// PDF is the same as the function of that name, with what is remembered.
func (m *Memory) PDF(doc page.Document, w io.Writer) error { return m.write(doc, w) }

// lay lays a drawing, once. A sheet is read, never written to.
func (m *Memory) lay(d draw.Drawing, f draw.Fitting) draw.Sheet {
	m.mutex.Lock()
	if m.laid == nil {
		m.seed, m.laid = maphash.MakeSeed(), map[uint64]draw.Sheet{}
	}
	seed := m.seed
	m.mutex.Unlock()
	var sum maphash.Hash
	sum.SetSeed(seed)
	maphash.WriteComparable(&sum, f)
	d.Sum(&sum)
	key := sum.Sum64()
	m.mutex.Lock()
	known, ok := m.laid[key]
	m.mutex.Unlock()
	if ok {
		return known
	}
	known = draw.Lay(d, f)
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if _, is := m.laid[key]; is {
		return known
	}
	m.laid[key], m.order, m.bytes = known, append(m.order, key), m.bytes+sizeOf(known)
	gone := 0
	for ; m.bytes > mostLaid; gone++ {
		m.bytes -= sizeOf(m.laid[m.order[gone]])
		delete(m.laid, m.order[gone])
	}
	m.order = slices.Delete(m.order, 0, gone)
	return known
}

// sizeOf tells about how many bytes a sheet holds.
func sizeOf(s draw.Sheet) int {
	n := 0
	for _, k := range s.Marks {
		n += int(unsafe.Sizeof(k)) + len(k.Moves)*int(unsafe.Sizeof(draw.Move{}))
	}
	return n
}
