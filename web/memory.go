package web

import (
	"strconv"
	"sync"
	"sync/atomic"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/store"
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
	texts []string         // of read, the oldest first
	bytes int              // of texts
	facts map[string]facts // by bed and version
}

// mostRead bounds the briefs that are remembered as they were read, and the bytes of all their texts.
const mostRead, mostText = 128, 1 << 20

// reading is a brief that is read where somebody asks for what it says. It is shared: nobody changes it.
type reading struct {
	read   func() (*brief.Brief, finding.Faults)
	values func() []brief.Value     // of all its keys
	texts  func() map[string]string // by their paths
	facts  func() facts
}

func (r reading) brief() *brief.Brief {
	b, _ := r.read()
	return b
}

func (r reading) wrong() finding.Faults {
	_, wrong := r.read()
	return wrong
}

// readAs gives a brief that was read, with its faults.
func readAs(b *brief.Brief, wrong finding.Faults) reading {
	values := sync.OnceValue(b.Values)
	r := reading{read: func() (*brief.Brief, finding.Faults) { return b, wrong }, values: values, texts: sync.OnceValue(func() map[string]string { return textsOf(values()) })}
	r.facts = sync.OnceValue(func() facts { return factsOf(r) })
	return r
}

// facts are what the pages of a bed need of its brief that say nothing else of it.
type facts struct {
	title, place string
	metric       bool
	visits       int          // that stand in it
	beside       []brief.Pair // by which a visit is read: of units, meter and acid
}

// factsOf takes them from a brief.
func factsOf(r reading) (out facts) {
	b := r.brief()
	out.title, out.place, out.metric, out.visits = b.Title.Value, b.Site.Place.Value, b.Units.Value == brief.Metric, len(b.Log)
	for _, x := range b.ValuesUnder("units", "meter", "acid") {
		out.beside = append(out.beside, brief.Pair{Path: x.Path, Text: x.Text})
	}
	return out
}

// mostFacts bounds the beds whose facts are remembered.
const mostFacts = 4096

// ofBed gives the brief of a bed that is kept. Its facts are known of many more beds than what else it says.
func (m *memories) ofBed(b store.Bed) reading {
	whole := sync.OnceValue(func() reading { return m.parse(b.Brief) })
	return reading{
		read:   func() (*brief.Brief, finding.Faults) { return whole().read() },
		values: func() []brief.Value { return whole().values() },
		texts:  func() map[string]string { return whole().texts() },
		facts: func() facts {
			key := b.ID + " " + strconv.Itoa(b.Version)
			m.mutex.Lock()
			known, is := m.facts[key]
			m.mutex.Unlock()
			if is {
				return known
			}
			known = whole().facts()
			m.mutex.Lock()
			defer m.mutex.Unlock()
			if m.facts == nil || len(m.facts) >= mostFacts {
				m.facts = map[string]facts{}
			}
			m.facts[key] = known
			return known
		},
	}
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
