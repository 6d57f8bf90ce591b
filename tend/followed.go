package tend

import (
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

// Followed remembers what logs told, so that what the same log tells a plan and what it tells of a moment is found once. The answer is the same to the
// last digit, whatever is remembered. The zero value remembers nothing yet; it may be asked by several goroutines at once.
type Followed struct {
	Alone bool // one thing after the other: who works behind others leaves them a processor

	mutex sync.Mutex
	logs  []former // the last first
}

// mostFormer is how many logs are remembered: that of a bed, and of the bed as it would be mended.
const mostFormer = 3

// Learn is as the function of that name and gives the same, whatever is remembered; how the log was followed is remembered.
func (r *Followed) Learn(p *plan.Plan, log bed.Log) bed.Learned { return learn(p, log, r) }

// former is what a log told up to its last visit.
type former struct {
	bed, log     uint64 // all that it rests on beside the log; its visits
	start, until time.Time
	*estimate
}

// keep remembers how a log was followed.
func (r *Followed) keep(e *estimate, log bed.Log) {
	if r == nil {
		return
	}
	f := former{log: written(log), start: log[0].At, until: log[len(log)-1].At, estimate: e}
	f.bed = e.h.rests(e.pens, f.start, f.until)
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.logs = slices.DeleteFunc(r.logs, func(o former) bool { return o.bed == f.bed && o.start.Equal(f.start) })
	r.logs = slices.Insert(r.logs, 0, f)
	r.logs = r.logs[:min(len(r.logs), mostFormer)]
}

func (r *Followed) alone() bool { return r != nil && r.Alone }

// find gives how a log was followed before; nil where it is not known.
func (r *Followed) find(h *history, p pens, log bed.Log) *estimate {
	if r == nil {
		return nil
	}
	r.mutex.Lock()
	logs := slices.Clone(r.logs)
	r.mutex.Unlock()
	for _, f := range logs {
		if f.start.Equal(log[0].At) && f.until.Equal(log[len(log)-1].At) && written(log) == f.log && h.rests(p, f.start, f.until) == f.bed {
			return f.estimate
		}
	}
	return nil
}

// carried gives what a log told up to its last visit at the moment of another history of it: its stories and their shares are as they were, and the days since
// are lived with each of their unknowns.
func (e *estimate) carried(k *chem.Equilibria, h *history) *estimate {
	out := &estimate{h: h, pens: e.pens, until: e, stories: make([]*fitted, len(e.stories)), shares: slices.Clone(e.shares)}
	h.twoAtOnce(len(e.stories), func(h *history, i int) { out.stories[i] = e.stories[i].carried(k, h, e.pens) })
	out.best = out.stories[bestOf(out.shares)]
	return out
}

// solvedOn is how often the chemistry at the end of the days since the last visit is solved: first about where they begin.
const solvedOn = 2

// carried gives a story at that moment: only the days since the last visit are lived. What its unknowns do to the readings is told by the story that it comes from.
func (f *fitted) carried(k *chem.Equilibria, h *history, p pens) *fitted {
	out := &fitted{supposal: f.supposal, list: h.unknowns(p, f.supposal, kinds(f.reads)), reads: slices.Clone(f.reads), nears: make([]near, len(h.visits)), evidence: f.evidence}
	out.x = make([]float64, len(out.list))
	out.begin(f)
	h.set(out.list, out.x, out.supposal, &out.setting)
	last := len(h.visits) - 1
	r := &out.run
	r.moments, r.ways = slices.Clone(f.run.moments), make([][]way, len(h.spans))
	r.ways[last] = make([]way, len(h.spans[last].steps))
	stood := r.moments[last] // at the last visit, once all was done there
	goOn := func(from moment) {
		r.ledger, r.moments[last-1] = f.run.ledger, from
		h.live(&out.setting, out.nears, r, last, nil)
	}
	for range solvedOn {
		goOn(stood)
		h.aboutOne(k, r, out.nears, last, true)
	}
	among := out.among(f)
	out.ends = make([]moment, len(out.list))
	beside := run{moments: make([]moment, len(h.visits))}
	goOn(f.end)
	out.end = r.moments[last]
	s := &h.beside[0].setting
	h.set(out.list, out.x, out.supposal, s)
	for j, u := range out.list {
		beside.moments[last-1] = f.end
		if i := among[j]; i >= 0 {
			beside.moments[last-1] = f.ends[i]
		}
		h.give(s, u, out.x[j]+nudge)
		h.live(s, out.nears, &beside, last, r)
		out.ends[j] = beside.moments[last]
		h.give(s, u, out.x[j])
	}
	goOn(stood)
	r.moments[last-1] = f.run.moments[last-1]
	if out.spread = f.spread; len(out.list) > len(f.list) { // nothing was read of these days
		out.spread = f.spread.among(among)
	}
	return out
}

// rests tells by a number all that the following of a log rests on beside what is written in it.
func (h *history) rests(p pens, from, to time.Time) uint64 {
	of := fnv.New64a()
	fmt.Fprint(of, p, h.area, h.depth, h.brim, h.source, h.guessed, h.planned, h.steeps, h.organic, h.rots, h.portion, h.names, h.spread, h.sours, h.crop)
	if g := h.plan.Ground; g != nil {
		of.Write(g.AppendDays(nil, from, to))
	}
	return of.Sum64()
}

// written tells by a number what is written in visits.
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
			room = fmt.Appendf(room, "%T%v", d, d)
		}
		of.Write(room)
	}
	return of.Sum64()
}
