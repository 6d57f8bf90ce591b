package season

import (
	"time"

	"raftwright/sky"
	"raftwright/unit"
)

// Schedule is the harvest that is wanted, and the days on which nobody comes.
type Schedule struct {
	HeadsPerWeek float64        // of all beds together
	Beds         int            // alike, which share the harvest; 0: one
	First, Last  time.Time      // first and last day of harvest; zero: as early and late as the windows allow
	Whole        bool           // the whole raft at once; else each batch has its own holes
	Days         []time.Weekday // on which harvest is possible; empty: the weekday of First
	Off          []time.Weekday // on which nobody comes: the weekend of a school
	Breaks       []Break
}

// Break is a time when nobody comes, both days included.
type Break struct{ From, To time.Time }

// Given says whether any harvest was wanted.
func (s Schedule) Given() bool {
	return s.HeadsPerWeek > 0 || !s.First.IsZero() || !s.Last.IsZero()
}

// roster tells of each day, by number from 0, whether somebody comes, and what may
// be left alone until somebody does.
type roster struct {
	first  time.Time
	year   []int // the day's index in the year, from 0
	open   []bool
	before []int // the last day up to it on which somebody comes; -1: none
	after  []int // the first from it on; the number of days: none
	dry    []int // the last day up to it on which nothing may stand on the raft; -1: none
	trays  []int // the last day up to it of an absence that seedlings do not stand; -1: none
	leaves []Leave
}

// Leave is a time in which nobody comes, and what becomes of the bed in it.
type Leave struct {
	From, To time.Time // the first and last day on which nobody comes
	Stands   bool      // plants may stand on the raft: what a bed in full leaf drinks may be drawn
	Plants   int       // that stand on one raft
	Trays    bool      // seedlings wait in their trays
	Drinks   unit.Volume
	Drop     unit.Length // of the level
	Drawable unit.Length // the depth that may be drawn
	Used     bool        // the season has plants before it and after it

	from, to      int
	before, after bool
}

// What is left alone (common practice, no source). Seedlings stand so long in a deep
// tray of weak feed; a weekend of three days needs no more than a look; half of the
// depth may be drunk before the roots and their salts crowd.
const (
	trayStands  = 10 // days
	shortLeave  = 3  // days
	mayBeDrunk  = 0.5
	emptyBefore = 7 // days without plants: a mosquito takes as little as that from egg to wing (memory)
)

func (r *roster) day(t time.Time) int        { return int((t.Unix() - r.first.Unix()) / (24 * 60 * 60)) }
func (r *roster) date(n int) time.Time       { return r.first.Add(time.Duration(n) * 24 * time.Hour) }
func (r *roster) last(t time.Time) time.Time { return r.date(r.before[r.day(t)]) }
func (r *roster) next(t time.Time) time.Time { return r.date(min(r.after[r.day(t)], len(r.open)-1)) }

// fill lists the days from one to another.
func (m *maker) fill(from, to time.Time) {
	r := &m.roster
	s := m.job.Schedule
	n := daysBetween(from, to) + 1
	*r = roster{first: from, year: make([]int, n), open: make([]bool, n), before: make([]int, n), after: make([]int, n), dry: make([]int, n), trays: make([]int, n)}
	for i, d := 0, from; i < n; i, d = i+1, d.Add(24*time.Hour) {
		r.year[i] = int(sky.DayOf(d)) - 1
		r.open[i] = true
	}
	for _, b := range s.Breaks {
		for i := max(0, r.day(b.From)); i <= min(n-1, r.day(b.To)); i++ {
			r.open[i] = false
		}
	}
	for _, w := range s.Off {
		for i := (int(w) - int(from.Weekday()) + 7) % 7; i < n; i += 7 {
			r.open[i] = false
		}
	}
	for i := range n {
		r.before[i], r.dry[i], r.trays[i] = i, -1, -1
		if i > 0 {
			r.dry[i], r.trays[i] = r.dry[i-1], r.trays[i-1]
		}
		if r.open[i] {
			continue
		}
		if r.before[i] = -1; i > 0 {
			r.before[i] = r.before[i-1]
		}
		if i == 0 || r.open[i-1] {
			r.leave(m, i)
		}
		if l := r.leaves[len(r.leaves)-1]; !l.Stands {
			r.dry[i] = i
		}
		if l := r.leaves[len(r.leaves)-1]; l.to-l.from >= trayStands {
			r.trays[i] = i
		}
	}
	for i := n - 1; i >= 0; i-- {
		if r.after[i] = i; !r.open[i] {
			if r.after[i] = n; i+1 < n {
				r.after[i] = r.after[i+1]
			}
		}
	}
}

// leave adds the absence that begins on a day, with what a bed in full leaf drinks in it.
func (r *roster) leave(m *maker, from int) {
	to := from
	for to+1 < len(r.open) && !r.open[to+1] {
		to++
	}
	l := Leave{From: r.date(from), To: r.date(to), from: from, to: to, Drawable: m.Bed.Depth * mayBeDrunk}
	drinks := unit.Volume(0)
	for i := from; i <= to; i++ {
		drinks += m.drinks(unit.DailyDepth(m.days.et0[r.year[i]])*unit.MillimetrePerDay, 1)
	}
	l.Stands = unit.Length(float64(drinks)/float64(m.Bed.Area)) <= l.Drawable
	r.leaves = append(r.leaves, l)
}

// sow gives the day on which plants are sown that go on the raft on a day: the nearest
// to the usual one on which somebody comes, with as many days in the tray as the crop
// is grown there, and no absence in them that seedlings do not stand; ok is false where
// there is none.
func (m *maker) sow(setOut int) (day int, ok bool) {
	r := &m.roster
	usual := setOut - m.nurseryDays()
	if usual == setOut {
		return setOut, true
	}
	up := m.Emerge.After.Days()
	least, most := setOut-int(m.Crop.Nursery.Max.Days()+up), setOut-int(m.Crop.Nursery.Min.Days()+up+0.999)
	fits := func(d int) bool {
		return d >= 0 && d >= least && d <= most && r.open[d] && r.trays[setOut] <= d
	}
	for away := 0; usual-away >= least || usual+away <= most; away++ {
		if fits(usual - away) {
			return usual - away, true
		}
		if fits(usual + away) {
			return usual + away, true
		}
	}
	return 0, false
}

// may says whether plants may go on the raft on a day and be cut on another: somebody
// comes on both, the window is open, no freeze that kills is likely, and nobody is away
// for longer than the bed and the trays stand. Seedlings that are fetched were in no tray.
func (m *maker) may(setOut, cut int, fetched bool) bool {
	r := &m.roster
	if !r.open[setOut] || !r.open[cut] || r.dry[cut] >= setOut || m.limit[r.year[setOut]] != None || m.kills(r.year[setOut], cut-setOut) {
		return false
	}
	_, ok := m.sow(setOut)
	return ok || fetched
}

// moved gives the day on which plants leave the nursery spacing: when they touch, or
// the last day before that on which somebody comes.
func (m *maker) moved(setOut, cut int) int {
	if m.job.Nursery <= 0 {
		return setOut
	}
	day := min(setOut+m.ground.growth.nursery(m.roster.year[setOut]), cut)
	return max(setOut, m.roster.before[day])
}

// addDays gives the day so many after another; all days are midnights of UTC, which has no shorter ones.
func addDays(t time.Time, n int) time.Time { return t.Add(time.Duration(n) * 24 * time.Hour) }

// dayNumber counts days, so that a later one has a larger number; all since antiquity are above 0.
func dayNumber(t time.Time) int64 { return t.Unix()/(24*60*60) + 1<<20 }

func index(t time.Time) int { return int(sky.DayOf(t)) - 1 }

func daysBetween(from, to time.Time) int {
	return int(to.Sub(from).Round(24*time.Hour) / (24 * time.Hour))
}
