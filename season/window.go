package season

import (
	"slices"

	"raftwright/crop"
	"raftwright/finding"
	"raftwright/sky"
	"raftwright/unit"
)

// Limit is what closes a window.
type Limit string

// Limits, in the order in which they are looked for.
const (
	None     Limit = ""
	Frost    Limit = "frost"    // a killing freeze is too likely
	Cold     Limit = "cold"     // the mean of the day is too low to grow
	Heat     Limit = "heat"     // too warm: bolts, bitter, stops
	Solution Limit = "solution" // the solution is too warm for the roots
	Light    Limit = "light"    // less light than the crop needs
)

// Word is the limit for translation.
func (l Limit) Word() finding.Word {
	if l == None {
		return "season.limit.none"
	}
	return finding.Word("season.limit." + string(l))
}

// Window is a run of days on which a crop may go on the raft. A crop without any
// has one entry with From and To zero, closed by the limit of most of its days.
type Window struct {
	Crop     string // ID
	From, To sky.DayOfYear
	Limit    Limit // what ends it; None when it is open all year
	Before   Limit // what ends before it opens
	// SafeFrom and SafeTo hold the part with a killing freeze on one in ten
	// years or less; zero when there is none.
	SafeFrom, SafeTo sky.DayOfYear
}

// Open says whether the window is open at all.
func (w Window) Open() bool { return w.From != 0 }

// Days gives the length of the window.
func (w Window) Days() int {
	if !w.Open() {
		return 0
	}
	return (int(w.To)-int(w.From)+365)%365 + 1
}

// Holds says whether a day lies in the window.
func (w Window) Holds(d sky.DayOfYear) bool {
	if !w.Open() {
		return false
	}
	if w.From <= w.To {
		return d >= w.From && d <= w.To
	}
	return d >= w.From || d <= w.To
}

// CropYear is one crop through the year: for each week (52, from 1 January) what
// keeps it off the raft, None where it may go on.
type CropYear struct {
	Crop  string
	Weeks [52]Limit
}

// graceDays is how many days of a stand may lie beyond a limit of warmth without
// closing it: the daily means are smooth, weather is not.
const graceDays = 3

// tenderChance is the chance of a killing freeze of the safe part of a window.
const tenderChance = unit.Fraction(0.1)

// calendar answers questions on spans of days in one step each.
type calendar struct {
	cold, heat, roots [731]int // days beyond a limit, summed from the start of two years
	light             [731]float64
	spans             [365]int // days that a crop stands when it goes on at a day
	freeze            *sky.FreezeTable
	chance            unit.Fraction // of a killing freeze that is too much
}

func (m *maker) calendar(k crop.Crop) *calendar {
	kill, chance := k.Killing()
	c := &calendar{freeze: m.freezes(kill - unit.Temperature(m.Screen.Night)), chance: chance}
	coldest, heat := k.Coldest().Celsius(), min(k.HeatLimit, k.AirLimit.Max).Celsius()
	count := func(b bool) int {
		if b {
			return 1
		}
		return 0
	}
	var rate [731]float64
	speed := k.Speed()
	for i := range 730 {
		d := i % 365
		if i >= 365 { // the second year is the first again
			c.cold[i+1], c.heat[i+1], c.roots[i+1] = c.cold[365]+c.cold[d+1], c.heat[365]+c.heat[d+1], c.roots[365]+c.roots[d+1]
			c.light[i+1] = c.light[i] + m.days.light[d]
			rate[i+1] = rate[i] + rate[d+1] - rate[d]
			continue
		}
		t := m.days.mean[d]
		c.cold[i+1] = c.cold[i] + count(t < coldest)
		c.heat[i+1] = c.heat[i] + count(t > heat)
		c.roots[i+1] = c.roots[i] + count(m.days.pool[d] > k.RootUpper.Celsius())
		c.light[i+1] = c.light[i] + m.days.light[d]
		rate[i+1] = rate[i] + speed(unit.Temperature(t))*min(1, m.days.light[d]/float64(k.Light.Max))
	}
	c.span(k, &rate)
	return c
}

// freezes gives the chances of a freeze, each threshold worked out once.
func (m *maker) freezes(threshold unit.Temperature) *sky.FreezeTable {
	t, known := m.frosts[threshold]
	if !known {
		made := m.Sky.FreezeTable(threshold)
		t = &made
		m.frosts[threshold] = t
	}
	return t
}

// span gives the days that a crop stands on the raft when it goes on at a day:
// the middle of its published days, stretched where the days are colder or
// darker than it likes, to 1.5 times the longest at most. What goes on later is
// ready no earlier, so each is looked for where the one before was found.
func (c *calendar) span(k crop.Crop, rate *[731]float64) {
	want := k.Raft.Middle().Days()
	most := min(365, int(1.5*k.Raft.Max.Days()))
	least := min(most, int(k.Raft.Min.Days()))
	end := 0
	for from := range c.spans {
		for end = max(end, from+least); end < from+most && rate[end]-rate[from] < want; end++ {
		}
		c.spans[from] = end - from
	}
}

// limit gives what keeps the crop off the raft on a day.
func (c *calendar) limit(k crop.Crop, from int) Limit {
	n := c.spans[from]
	in := func(sum *[731]int) int { return sum[from+n] - sum[from] }
	switch {
	case c.freeze.Chance(sky.DayOfYear(from+1), n) > c.chance:
		return Frost
	case in(&c.cold) > graceDays:
		return Cold
	case in(&c.heat) > graceDays:
		return Heat
	case in(&c.roots) > graceDays:
		return Solution
	case (c.light[from+n]-c.light[from])/float64(n) < float64(k.Light.Min):
		return Light
	}
	return None
}

// windows gives the windows of a crop and its weeks.
func (m *maker) windows(k crop.Crop) ([]Window, CropYear) {
	c := m.calendar(k)
	if k.ID == m.Crop.ID {
		m.freeze = c
	}
	var day [365]Limit
	var closed map[Limit]int = map[Limit]int{}
	open := 0
	for i := range day {
		day[i] = c.limit(k, i)
		if day[i] == None {
			open++
		} else {
			closed[day[i]]++
		}
	}
	weeks := CropYear{Crop: k.ID}
	for w := range weeks.Weeks {
		weeks.Weeks[w] = day[7*w+3]
	}
	switch open {
	case 365:
		w := Window{Crop: k.ID, From: 1, To: 365}
		w.safe(c, k)
		return []Window{w}, weeks
	case 0:
		most := Frost
		for _, l := range []Limit{Frost, Cold, Heat, Solution, Light} {
			if closed[l] > closed[most] {
				most = l
			}
		}
		return []Window{{Crop: k.ID, Limit: most, Before: most}}, weeks
	}
	return runs(k, c, &day), weeks
}

// shortest is the shortest run of days that is worth the name of a window.
const shortest = 7

func runs(k crop.Crop, c *calendar, day *[365]Limit) []Window {
	start := 0
	for day[start] == None { // begin outside, so that a run over the New Year stays whole
		start++
	}
	var out []Window
	for i := 0; i < 365; {
		d := (start + i) % 365
		if day[d] != None {
			i++
			continue
		}
		n := 1
		for day[(d+n)%365] == None {
			n++
		}
		if n >= shortest {
			w := Window{Crop: k.ID, From: sky.DayOfYear(d + 1), To: sky.DayOfYear((d+n-1)%365 + 1),
				Limit: day[(d+n)%365], Before: day[(d+364)%365]}
			w.safe(c, k)
			out = append(out, w)
		}
		i += n
	}
	if len(out) == 0 {
		return []Window{{Crop: k.ID, Limit: day[start], Before: day[start]}}
	}
	// in the order of the year
	first := 0
	for i := range out {
		if out[i].From < out[first].From {
			first = i
		}
	}
	return append(out[first:], out[:first]...)
}

// safe finds the first and last day of the window after which a killing freeze
// comes in one year of ten or less.
func (w *Window) safe(c *calendar, k crop.Crop) {
	n := w.Days()
	ok := func(i int) bool {
		d := (int(w.From) - 1 + i) % 365
		return c.freeze.Chance(sky.DayOfYear(d+1), c.spans[d]) <= tenderChance
	}
	at := func(i int) sky.DayOfYear { return sky.DayOfYear((int(w.From)-1+i)%365 + 1) }
	for i := 0; i < n; i++ {
		if ok(i) {
			w.SafeFrom = at(i)
			for j := n - 1; j >= i; j-- {
				if ok(j) {
					w.SafeTo = at(j)
					return
				}
			}
		}
	}
}

// allWindows makes the windows of the crop that is grown and of the others.
func (m *maker) allWindows() {
	done := false
	for _, k := range m.job.Others {
		done = done || k.ID == m.Crop.ID
	}
	own, weeks := m.windows(m.Crop)
	if !done {
		m.Windows, m.Weeks = own, []CropYear{weeks}
	}
	others := m.others()
	for i, k := range m.job.Others {
		o := others[i]
		if k.ID == m.Crop.ID {
			o = opened{own, weeks}
		}
		m.Windows, m.Weeks = append(m.Windows, o.windows...), append(m.Weeks, o.weeks)
	}
	m.shut()
}

// opened is the windows of one crop.
type opened struct {
	windows []Window
	weeks   CropYear
}

// shutters are the windows of the other crops as they last were on a ground.
type shutters struct {
	pool   [365]float64
	others []crop.Crop
	opened []opened
}

// others gives the windows of the other crops: those that the ground knows where its solution
// and the crops are as they were.
func (m *maker) others() []opened {
	list, g := m.job.Others, m.ground
	if len(list) == 0 {
		return nil
	}
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if k := g.shutters; k != nil && k.pool == m.days.pool && len(k.others) == len(list) && &k.others[0] == &list[0] {
		return k.opened
	}
	out := make([]opened, len(list))
	for i, k := range list {
		if k.ID != m.Crop.ID {
			out[i].windows, out[i].weeks = m.windows(k)
		}
	}
	g.shutters = &shutters{m.days.pool, list, out}
	return out
}

// own gives the windows of the crop that is grown.
func (m *maker) own() []Window {
	var out []Window
	for _, w := range m.Windows {
		if w.Crop == m.Crop.ID {
			out = append(out, w)
		}
	}
	return out
}

// kills says whether a stand of so many days from a day of the year (index from 0) ends
// in a freeze that kills the grown crop: it may be slower than the span that its window
// rests on. The freeze is too likely in the whole stand, and the days beyond that span
// bring it in more than one year of ten; in spring they bring none.
func (m *maker) kills(from, days int) bool {
	c := m.freeze
	span, day := c.spans[from], sky.DayOfYear(from+1)
	return c.freeze.Chance(day, days) > c.chance && c.freeze.Chance(day+sky.DayOfYear(span), days-span) > tenderChance
}

// shut fills what keeps the grown crop off the raft on each day of the year, None in
// its windows. A few open days that are no window have the limit of those about them.
func (m *maker) shut() {
	windows := m.own()
	for i := range m.limit {
		m.limit[i] = m.freeze.limit(m.Crop, i)
		if m.limit[i] != None {
			continue
		}
		open := func(w Window) bool { return w.Holds(sky.DayOfYear(i + 1)) }
		if slices.ContainsFunc(windows, open) {
			continue
		}
		for d := i; m.limit[i] == None && d < i+shortest; d++ {
			m.limit[i] = m.freeze.limit(m.Crop, d%365)
		}
	}
}
