package season

import (
	"time"

	"raftwright/finding"
	"raftwright/unit"
)

// Reason is why heads that were wanted cannot be had.
type Reason string

// Reasons, in the order in which they are told.
const (
	Room    Reason = "room" // the raft has no holes left
	TooCold Reason = "cold"
	TooHot  Reason = "heat"
	TooDark Reason = "light"
	Away    Reason = "away" // nobody comes when they should be sown, set out or looked after
)

// Reasons lists them all.
func Reasons() []Reason { return []Reason{Room, TooCold, TooHot, TooDark, Away} }

// Word is the reason for translation.
func (r Reason) Word() finding.Word { return finding.Word("season.reason." + string(r)) }

// Shortfall is what of a wanted harvest cannot be had.
type Shortfall struct {
	Asked  float64 // heads a week
	Had    float64 // a week, over the weeks in which somebody can cut
	Reason Reason  // of most of the heads that are missing
	Months []ShortMonth
	Missed map[Reason]int // heads
	Wanted int            // heads, over all weeks
	Got    int
}

// ShortMonth is what of one month's harvest cannot be had.
type ShortMonth struct {
	Month  time.Time // its first day
	Wanted int       // heads
	Got    int
	Reason Reason // of most of those that are missing; "" where none is
}

// FindShort says what of the wanted harvest cannot be had, and why.
const FindShort finding.ID = "season.shortfall"

// fallShort adds up what cannot be had of the harvests that were wanted.
func (m *maker) fallShort(f *fit) {
	if m.job.Schedule.HeadsPerWeek <= 0 {
		return
	}
	if m.Whole {
		f.lay(m.Batches)
	}
	s := &Shortfall{Asked: m.Steady.HeadsPerWeek, Missed: map[Reason]int{}}
	month := map[Reason]int{}
	for _, h := range f.list {
		on := f.roster.date(h.day)
		first := monthStart(on.Year(), int(on.Month())-1)
		if n := len(s.Months); n == 0 || !s.Months[n-1].Month.Equal(first) {
			s.Months = append(s.Months, ShortMonth{Month: first})
			clear(month)
		}
		at := &s.Months[len(s.Months)-1]
		at.Wanted, at.Got = at.Wanted+h.asked, at.Got+h.heads
		if n := h.asked - h.heads; n > 0 {
			why := Room
			if h.days == 0 {
				why = m.why(h.day)
			}
			month[why] += n
			s.Missed[why] += n
			at.Reason = mostOf(month)
		}
		s.Wanted, s.Got = s.Wanted+h.asked, s.Got+h.heads
	}
	if s.Got >= s.Wanted {
		return
	}
	s.Reason = mostOf(s.Missed)
	s.Had = s.Asked * float64(s.Got) / float64(s.Wanted)
	m.Short = s
	args := finding.Args{"Asked": s.Asked, "Wanted": s.Wanted, "Got": s.Got, "Why": s.Reason.Word(), "FirstDate": f.roster.date(f.list[0].day), "LastDate": f.roster.date(f.list[len(f.list)-1].day),
		"Holes": m.Holes * m.Steady.Count, "Beds": m.Steady.Beds, "OneHole": m.Holes*m.Steady.Count == 1, "More": m.Steady.Beds > m.Steady.Count, "Least": m.Steady.Least}
	for _, r := range Reasons() {
		args[reasonArgs[r]] = s.Missed[r]
	}
	m.find(finding.Finding{ID: FindShort, Severity: finding.Caution, Hurts: finding.Harvest, Figure: s.Had, Source: m.model(), Args: args})
}

// reasonArgs are the names of the heads missing for a reason in the sentence.
var reasonArgs = map[Reason]string{Room: "Room", TooCold: "Cold", TooHot: "Heat", TooDark: "Light", Away: "Away"}

// Brought gives the heads that a schedule asks for over all its weeks, and how many of them a season
// would bring: as much of a season as a way to more heads is judged by. How heavy they are between
// the least and the wanted weight, and what is done when, changes neither.
func (g *Ground) Brought(j Job) (wanted, got int) {
	j.Others = nil
	m := g.open(j)
	f := m.listed()
	if f == nil {
		return 0, 0
	}
	if m.Whole {
		f.lay(f.whole())
	} else {
		f.at(f.lightest())
		f.ask(j.Schedule.HeadsPerWeek)
		f.fewer(j.Schedule.HeadsPerWeek)
	}
	for _, h := range f.list {
		if wanted += h.asked; h.days > 0 {
			got += h.heads
		}
	}
	return wanted, got
}

// lay gives the heads of batches that fill the raft at once to the harvests from theirs on,
// up to what was wanted of each.
func (f *fit) lay(batches []Batch) {
	f.ask(f.job.Schedule.HeadsPerWeek)
	left := 0
	for i := range f.list {
		h := &f.list[i]
		h.heads, h.days = 0, 1
		for len(batches) > 0 && f.roster.day(batches[0].Harvest) <= h.day {
			left, batches = batches[0].Heads, batches[1:]
		}
		h.heads = min(left, h.asked)
		left -= h.heads
		if h.heads == 0 {
			if _, h.days = f.daysFor(h.day, f.lightest(), int(f.Crop.Raft.Middle().Days())); h.days == 0 {
				continue
			}
		}
	}
}

// mostOf gives the reason of most heads, the first of those with as many.
func mostOf(missed map[Reason]int) Reason {
	var out Reason
	for _, r := range Reasons() {
		if missed[r] > missed[out] {
			out = r
		}
	}
	return out
}

// why says what keeps every planting from a harvest day.
func (m *maker) why(cut int) Reason {
	r := &m.roster
	most, usual := m.mostDays(), int(m.Crop.Raft.Middle().Days())
	open, heavy, killed := 0, false, true
	for n := 1; n <= most; n++ {
		if m.limit[r.year[cut-n]] != None {
			continue
		}
		open = n
		if !heavy && m.fresh(cut, n) < m.lightest() {
			continue
		}
		heavy = true
		killed = killed && m.kills(r.year[cut-n], n)
	}
	switch {
	case open == 0: // no window before it
		return m.limit[r.year[cut-usual]].reason()
	case heavy && killed:
		return TooCold
	case heavy: // those that could go on earlier would be too big; Away where the usual day is open
		return m.limit[r.year[cut-usual]].reason()
	case open < most: // the window opens too late for it
		return m.limit[r.year[cut-open-1]].reason()
	}
	warmth, light, hot := 0.0, 0.0, 0
	for n := 1; n <= usual; n++ {
		d := r.year[cut-n]
		warmth += m.Crop.Ramp(unit.Temperature(m.days.mean[d]))
		light += min(1, m.days.light[d]/float64(m.Crop.Light.Max))
		if m.days.mean[d] > m.Crop.AirBest.Max.Celsius() {
			hot++
		}
	}
	switch {
	case light < warmth:
		return TooDark
	case 2*hot > usual:
		return TooHot
	}
	return TooCold
}

// reason gives the reason that a limit is.
func (l Limit) reason() Reason {
	switch l {
	case Heat, Solution:
		return TooHot
	case Light:
		return TooDark
	case None:
		return Away
	}
	return TooCold
}
