package web

import (
	"sync"
	"sync/atomic"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/press"
)

// mostMemories bounds the beds whose last plans are remembered; every fewPlans what the last few did not take is forgotten: a
// bed takes 1.5 MB and each plan of it, as one types, 0.2 MB more.
const mostMemories, fewPlans = 32, 5

// memories holds what plans of beds were made of, so that an edit makes anew only what it
// touches. Nothing is lost with it: it is a matter of speed alone.
type memories struct {
	made  atomic.Int64 // plans
	mutex sync.Mutex
	beds  map[string]*memory
	drawn press.Memory // the drawings of all
	read  map[string]reading
	texts []string // of read, the oldest first
	bytes int      // of texts
}

// mostRead bounds the briefs that are remembered as they were read, and the bytes of all their texts.
const mostRead, mostText = 128, 1 << 20

// reading is a brief as it was read. It is shared: nobody changes it.
type reading struct {
	brief  *brief.Brief
	wrong  finding.Faults
	values func() []brief.Value     // of all its keys
	texts  func() map[string]string // by their paths
}

// readAs gives a brief that was read, with its faults.
func readAs(b *brief.Brief, wrong finding.Faults) reading {
	values := sync.OnceValue(b.Values)
	return reading{b, wrong, values, sync.OnceValue(func() map[string]string { return textsOf(values()) })}
}

// parse reads the text of a brief; one that is no brief at all is an empty one with its faults.
func (m *memories) parse(text string) reading {
	m.mutex.Lock()
	known, ok := m.read[text]
	m.mutex.Unlock()
	if ok {
		return known
	}
	b, wrong := brief.Parse(briefName, []byte(text))
	if b == nil {
		b, _ = brief.Parse(briefName, nil)
	}
	known = readAs(b, wrong)
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.read == nil {
		m.read = map[string]reading{}
	}
	if _, is := m.read[text]; !is {
		m.read[text], m.texts, m.bytes = known, append(m.texts, text), m.bytes+len(text)
	}
	for len(m.texts) > mostRead || m.bytes > mostText {
		m.bytes -= len(m.texts[0])
		delete(m.read, m.texts[0])
		m.texts = m.texts[1:]
	}
	return known
}

type memory struct {
	*plan.Memory
	plans int
	used  time.Time
}

// of gives the memory of a bed; the one that was longest not asked for makes room. What it rests on beside the brief, as what a log
// taught, stands in what it is asked for.
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
		kept = &memory{Memory: &plan.Memory{}}
		m.beds[bed] = kept
	}
	if kept.plans++; kept.plans%fewPlans == 0 {
		kept.Forget()
	}
	kept.used = now
	return kept.Memory
}
