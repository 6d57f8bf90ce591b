package tend

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"math"
	"slices"
	"sync"
	"time"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/chem"
	"raftwright/plan"
)

// Followed remembers what logs told the last time, so that the same log, or one that goes on from it by some visits, is followed from there:
// the answer is the same and comes sooner. The zero value remembers nothing yet; it may be asked by several goroutines at once.
type Followed struct {
	Alone bool // one thing after the other: who works behind others leaves them a processor

	mutex sync.Mutex
	logs  []*former // the last first
}

// mostFormer is how many logs are remembered: that of a bed, and of the bed as it would be mended.
const mostFormer = 3

// mostNewer is how many visits a log may have more than the one that it goes on from: after more other stories may be likelier.
const mostNewer = 3

// Learn is as the function of that name and gives the same, whatever is remembered; how the log was followed is remembered.
func (r *Followed) Learn(p *plan.Plan, log bed.Log) bed.Learned { return learn(p, log, r) }

// former is what a log told: of each story its unknowns, and the chemistry on its way.
type former struct {
	bed, log     uint64 // all that it rests on beside the log; its visits
	visits       int
	start, until time.Time
	stories      []tale
}

// tale is a story without what is found anew.
type tale struct {
	supposal
	leak  time.Time // when a leak begins
	open  map[named]float64
	nears []nearAt
	aside map[readAt]bool // readings that were set aside
	faint bool            // nobody would have heard of it
}

// named is an unknown by what it is of, however its log is cut: the number of a product, an ion, or an act at a visit.
type named struct {
	kind  unknownKind
	index int
	visit int64 // s
}

type nearAt struct {
	at time.Time
	near
}

type readAt struct {
	kind  readingKind
	visit int64 // s
}

// name names an unknown of a log.
func (h *history) name(u unknown) named {
	switch u.kind {
	case unAir, unRain, unSour:
		return named{u.kind, 0, h.visits[u.index].at.Unix()}
	case unAct:
		v := &h.visits[u.from]
		return named{u.kind, u.index - v.first, v.at.Unix()}
	}
	return named{u.kind, u.index, 0}
}

// moment gives the time that is so many days after the start of a log.
func (h *history) moment(days float64) time.Time {
	return h.start.Add(time.Duration(days * 24 * float64(time.Hour)))
}

// remember keeps what is needed of a story to begin there.
func (h *history) remember(f *fitted) tale {
	t := tale{supposal: f.supposal, leak: h.moment(f.leakFrom), open: map[named]float64{}, aside: map[readAt]bool{}}
	for i, u := range f.list {
		t.open[h.name(u)] = f.x[i]
	}
	for i := range f.nears {
		t.nears = append(t.nears, nearAt{h.visits[i].at, f.nears[i]})
	}
	for i := range f.reads {
		if r := &f.reads[i]; r.good < 0.5 {
			t.aside[readAt{r.kind, h.visits[r.visit].at.Unix()}] = true
		}
	}
	return t
}

// talesOf finds the stories of a supposal among those that were told before: of a leak, of one that began in the same span.
func (h *history) talesOf(s supposal) (out []*tale) {
	if h.former == nil {
		return nil
	}
	for k := range h.former.stories {
		t := &h.former.stories[k]
		if t.wrong != s.wrong || t.hole != s.hole || (t.leakFrom < 0) != (s.leakFrom < 0) {
			continue
		}
		if s.leakFrom < 0 || max(h.emptied, h.spanOf(h.after(t.leak))) == max(h.emptied, h.spanOf(s.leakFrom)) {
			out = append(out, t)
		}
	}
	return out
}

// onward fits a log from where the stories of a supposal stood that were told before, the likeliest first. There are none where one does not stand
// any more: where a reading is set aside now that was not, or the other way round, or the last one is looked at twice.
func (h *history) onward(k *chem.Equilibria, p pens, s supposal, reads []reading) (out []*fitted, err error) {
	as := opening{again: oftenOn}
	if h.newer == 0 { // only the moment is another
		as.again = 1
	}
	tales := h.talesOf(s)
	if len(tales) > 0 {
		out = []*fitted{}
	}
	for _, t := range tales {
		if h.newer == 0 && t.faint && (s.leakFrom >= 0 || s.wrong != noProduct || len(out) > 0) { // nothing was read since that makes it likelier
			continue
		}
		f, err := h.fit(k, p, s, reads, h.beginning(t, h.unknowns(p, s, kinds(reads))), as)
		if err != nil {
			return nil, err
		}
		if out = append(out, f); h.newer == 0 {
			continue
		}
		for i := range f.reads {
			r := &f.reads[i]
			if aside := r.good < 0.5; aside != t.aside[readAt{r.kind, h.visits[r.visit].at.Unix()}] {
				return nil, nil
			}
		}
		if j := f.jumped(); j >= 0 && h.visits[f.reads[j].visit].at.After(h.former.until) || math.IsNaN(f.evidence) {
			return nil, nil
		}
	}
	slices.SortStableFunc(out, func(x, y *fitted) int { return cmp.Compare(y.evidence, x.evidence) })
	return out, nil
}

// oftenOn is how often at most tangents are taken on the way from where a story stood to where it stands with some readings more.
const oftenOn = 3

// beginning is a story as far as it was told before.
func (h *history) beginning(t *tale, list []unknown) *fitted {
	f := &fitted{list: list, nears: make([]near, len(h.visits))}
	for _, u := range list {
		f.x = append(f.x, t.open[h.name(u)])
	}
	n := 0
	for i := range f.nears {
		for n+1 < len(t.nears) && !t.nears[n+1].at.After(h.visits[i].at) {
			n++
		}
		f.nears[i] = t.nears[n].near
	}
	return f
}

// keep remembers how a log was followed.
func (r *Followed) keep(e *estimate, log bed.Log) {
	if r == nil {
		return
	}
	f := &former{bed: e.h.rests(e.pens, log[0].At, log[len(log)-1].At), log: written(log), visits: len(log), start: log[0].At, until: log[len(log)-1].At}
	for i, s := range slices.Concat(e.stories, e.faint) {
		t := e.h.remember(s)
		t.faint = i >= len(e.stories)
		f.stories = append(f.stories, t)
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.logs = slices.DeleteFunc(r.logs, func(o *former) bool { return o.bed == f.bed && o.start.Equal(f.start) })
	r.logs = slices.Insert(r.logs, 0, f)
	r.logs = r.logs[:min(len(r.logs), mostFormer)]
}

func (r *Followed) alone() bool { return r != nil && r.Alone }

// find gives how a log, or one from which it goes on, was followed before, and by how many visits it goes on.
func (r *Followed) find(h *history, p pens, log bed.Log) (f *former, visits int) {
	if r == nil {
		return nil, 0
	}
	r.mutex.Lock()
	logs := slices.Clone(r.logs)
	r.mutex.Unlock()
	for _, f := range logs {
		newer := len(log) - f.visits
		if newer < 0 || newer > mostNewer || !log[0].At.Equal(f.start) || written(log[:f.visits]) != f.log || h.rests(p, f.start, f.until) != f.bed {
			continue
		}
		return f, newer
	}
	return nil, 0
}

// rests tells by a number all that the following of a log rests on beside what is written in it.
func (h *history) rests(p pens, from, to time.Time) uint64 {
	of := fnv.New64a()
	fmt.Fprint(of, p, h.area, h.depth, h.brim, h.source, h.guessed, h.planned, h.steeps, h.portion, h.names, h.spread, h.sours, h.crop)
	if g := h.plan.Ground; g != nil {
		of.Write(g.AppendDays(nil, from, to))
	}
	return of.Sum64()
}

// written tells by a number what is written in visits; of the last not what was done there, which no reading shows yet.
func written(log bed.Log) uint64 {
	of := fnv.New64a()
	var room []byte
	put := func(x float64) { room = binary.LittleEndian.AppendUint64(room, math.Float64bits(x)) }
	for i := range log {
		v := &log[i]
		room = binary.LittleEndian.AppendUint64(room[:0], uint64(v.At.Unix()))
		r := &v.Read
		for _, x := range [...]brief.Field[float64]{r.PH, {Value: float64(r.EC.Value), Given: r.EC.Given}, {Value: float64(r.Depth.Value), Given: r.Depth.Given},
			{Value: float64(r.Rain.Value), Given: r.Rain.Given}, {Value: r.Nitrate.Value.Value, Given: r.Nitrate.Given}, {Value: r.Ammonium.Value.Value, Given: r.Ammonium.Given}} {
			if put(x.Value); !x.Given {
				room[len(room)-1] ^= 0xff
			}
		}
		room = append(append(room, r.Nitrate.Value.Form...), r.Ammonium.Value.Form...)
		for _, d := range v.Done {
			if i == len(log)-1 {
				break
			}
			room = fmt.Appendf(room, "%T%v", d, d)
		}
		of.Write(room)
	}
	return of.Sum64()
}
