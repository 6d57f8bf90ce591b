package pdf

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"slices"
	"sync"
)

// mostPacked bounds the bytes of the streams that are remembered.
const mostPacked = 8 << 20

// Packs remembers streams as they were packed, for files that have some in common. It may be used by several at once; the zero Packs is
// empty and ready.
type Packs struct {
	mutex  sync.Mutex
	packed map[[sha256.Size]byte][]byte
	order  [][sha256.Size]byte // of packed, the oldest first
	bytes  int
}

// pack packs a stream with a writer that is lent for it; what is given back is not written to.
func (p *Packs) pack(data []byte, with *zlib.Writer) []byte {
	key := sha256.Sum256(data)
	p.mutex.Lock()
	known, ok := p.packed[key]
	p.mutex.Unlock()
	if ok {
		return known
	}
	var out bytes.Buffer
	with.Reset(&out)
	_, _ = with.Write(data) // a buffer takes everything
	_ = with.Close()
	known = out.Bytes()
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if _, is := p.packed[key]; is {
		return known
	}
	if p.packed == nil {
		p.packed = map[[sha256.Size]byte][]byte{}
	}
	p.packed[key], p.order, p.bytes = known, append(p.order, key), p.bytes+len(known)
	gone := 0
	for ; p.bytes > mostPacked; gone++ {
		p.bytes -= len(p.packed[p.order[gone]])
		delete(p.packed, p.order[gone])
	}
	p.order = slices.Delete(p.order, 0, gone)
	return known
}
