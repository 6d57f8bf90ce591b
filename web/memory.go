package web

import (
	"sync"
	"sync/atomic"
	"time"

	"raftwright/plan"
)

// mostMemories bounds the beds whose last plans are remembered.
const mostMemories = 64

// memories holds what plans of beds were made of, so that an edit makes anew only what it
// touches. Nothing is lost with it: it is a matter of speed alone.
type memories struct {
	made  atomic.Int64 // plans
	mutex sync.Mutex
	beds  map[string]*memory
}

type memory struct {
	plan.Memory
	used time.Time
}

// of gives the memory of a bed; the one that was longest not asked for makes room.
func (m *memories) of(bed string, now time.Time) *plan.Memory {
	m.made.Add(1)
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.beds == nil {
		m.beds = map[string]*memory{}
	}
	kept := m.beds[bed]
	if kept == nil {
		if len(m.beds) >= mostMemories {
			oldest := ""
			for id, k := range m.beds {
				if oldest == "" || k.used.Before(m.beds[oldest].used) {
					oldest = id
				}
			}
			delete(m.beds, oldest)
		}
		kept = &memory{}
		m.beds[bed] = kept
	}
	kept.used = now
	return &kept.Memory
}
