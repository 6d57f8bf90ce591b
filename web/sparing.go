package web

import (
	"runtime/debug"
	"runtime/metrics"
	"sync"
	"time"
)

// sparing keeps the program small while a report of many years is made: without it the collector, which may leave three times of what is needed, takes half as much again as such
// a report holds. Elsewhere it does as it did.
type sparing struct {
	mutex  sync.Mutex
	before int64 // the limit that held; 0 while nothing is spared
	now    int64
	ends   *time.Timer
}

// Of a row so many bytes are held while a report is made, and so many may be waiting to be given back (measured with ten years, BENCHMARKS.md).
const rowBytes, waitingBytes = 220, 60e6

// begin holds the memory to what so many rows need beside what is there by now, of which so many rows are a part, until nobody has begun anew for a while.
func (s *sparing) begin(toRead, held int) {
	there := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(there)
	if there[0].Value.Kind() != metrics.KindUint64 {
		return // a collector that does not tell
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	limit := max(int64(there[0].Value.Uint64()), rowBytes*int64(held)) + rowBytes*int64(toRead) + waitingBytes
	if s.before != 0 {
		limit = max(limit, s.now) // what is read now is there while its report is made
	} else {
		s.before = debug.SetMemoryLimit(-1)
	}
	s.now = min(limit, s.before)
	debug.SetMemoryLimit(s.now)
	if s.ends != nil {
		s.ends.Stop()
	}
	s.ends = time.AfterFunc(tidyAfter, s.end)
}

// end gives back what is not needed, and then the limit of before.
func (s *sparing) end() {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.before == 0 {
		return
	}
	debug.FreeOSMemory()
	if debug.SetMemoryLimit(-1) == s.now { // nobody set another one meanwhile
		debug.SetMemoryLimit(s.before)
	}
	s.before, s.now = 0, 0
}
