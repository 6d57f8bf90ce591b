package season

import (
	"math"
	"slices"
	"sync"

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

// course is how a crop set out on each day of the year gets on in the air and the light.
type course struct {
	spans           [365]int  // days that it stands
	cold, hot, dark [365]bool // too many of them are, or they have less light than it needs
}

// courses are those of a catalogue's crops; several grounds may share them.
type courses struct {
	mutex sync.Mutex
	of    map[string]*course
}

// nights are the chances of a freeze, each threshold worked out once; several grounds may
// share them.
type nights struct {
	mutex sync.Mutex
	of    map[unit.Temperature]*sky.FreezeTable
}

// calendar answers questions on spans of days in one step each.
type calendar struct {
	*course
	freeze       *sky.FreezeTable
	most, tender float64 // logs of the chance of no killing freeze: under them it is too much, or passes one year of ten
}

func (m *maker) calendar(k *crop.Crop) *calendar {
	kill, chance := k.Killing()
	return &calendar{course: m.ground.courseOf(k), freeze: m.ground.freezes(kill - unit.Temperature(m.Screen.Night)),
		most: math.Log1p(-float64(chance)), tender: math.Log1p(-float64(tenderChance))}
}

// courseOf gives the course of a crop on a ground.
func (g *Ground) courseOf(k *crop.Crop) *course {
	g.course.mutex.Lock()
	defer g.course.mutex.Unlock()
	c, known := g.course.of[k.ID]
	if !known {
		c = g.days.course(*k)
		g.course.of[k.ID] = c
	}
	return c
}

// freezes gives the chances of a freeze on a ground.
func (g *Ground) freezes(threshold unit.Temperature) *sky.FreezeTable {
	threshold += 0 // of a zero below and one above, which are one, always the same
	g.nights.mutex.Lock()
	defer g.nights.mutex.Unlock()
	t, known := g.nights.of[threshold]
	if !known {
		made := g.sky.FreezeTable(threshold)
		t = &made
		g.nights.of[threshold] = t
	}
	return t
}

// course works out how a crop gets on.
func (d *days) course(k crop.Crop) *course {
	var cold, heat [731]int // days beyond a limit, summed from the start of two years
	var light, rate [731]float64
	coldest, hottest := k.Coldest().Celsius(), min(k.HeatLimit, k.AirLimit.Max).Celsius()
	speed := k.Speed()
	for i := range 730 {
		day := i % 365
		t := d.mean[day]
		cold[i+1], heat[i+1] = cold[i]+count(t < coldest), heat[i]+count(t > hottest)
		light[i+1] = light[i] + d.light[day]
		if i < 365 {
			rate[i+1] = rate[i] + speed(unit.Temperature(t))*min(1, d.light[day]/float64(k.Light.Max))
		} else { // the second year is the first again
			rate[i+1] = rate[i] + rate[day+1] - rate[day]
		}
	}
	c := &course{}
	c.span(k, &rate)
	for from, n := range c.spans {
		c.cold[from], c.hot[from] = cold[from+n]-cold[from] > graceDays, heat[from+n]-heat[from] > graceDays
		c.dark[from] = (light[from+n]-light[from])/float64(n) < float64(k.Light.Min)
	}
	return c
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

// span gives the days that a crop stands on the raft when it goes on at a day:
// the middle of its published days, stretched where the days are colder or
// darker than it likes, to 1.5 times the longest at most. What goes on later is
// ready no earlier, so each is looked for where the one before was found.
func (c *course) span(k crop.Crop, rate *[731]float64) {
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

// limits gives what keeps the crop off the raft on each day, with the solution as it is.
func (c *calendar) limits(k *crop.Crop, pool *[365]float64) (out [365]Limit) {
	var roots [731]int // days on which the solution is too warm
	if slices.Max(pool[:]) > k.RootUpper.Celsius() {
		most := k.RootUpper.Celsius()
		for i := range 730 {
			roots[i+1] = roots[i] + count(pool[i%365] > most)
		}
	}
	for from, n := range c.spans {
		switch {
		case c.freeze.LogOf(sky.DayOfYear(from+1), n) < c.most:
			out[from] = Frost
		case c.cold[from]:
			out[from] = Cold
		case c.hot[from]:
			out[from] = Heat
		case roots[from+n]-roots[from] > graceDays:
			out[from] = Solution
		case c.dark[from]:
			out[from] = Light
		}
	}
	return out
}

// windows gives the windows of a crop with these limits, and its weeks.
func (c *calendar) windows(k crop.Crop, day *[365]Limit) ([]Window, CropYear) {
	days := func(want Limit) (n int) {
		for _, l := range day {
			n += count(l == want)
		}
		return n
	}
	weeks := CropYear{Crop: k.ID}
	for w := range weeks.Weeks {
		weeks.Weeks[w] = day[7*w+3]
	}
	switch days(None) {
	case 365:
		w := Window{Crop: k.ID, From: 1, To: 365}
		w.safe(c, k)
		return []Window{w}, weeks
	case 0:
		most := Frost
		for _, l := range []Limit{Frost, Cold, Heat, Solution, Light} {
			if days(l) > days(most) {
				most = l
			}
		}
		return []Window{{Crop: k.ID, Limit: most, Before: most}}, weeks
	}
	return runs(k, c, day), weeks
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
		return c.freeze.LogOf(sky.DayOfYear(d+1), c.spans[d]) >= c.tender
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

// ownWindows makes the windows of the crop that is grown.
func (m *maker) ownWindows() {
	m.freeze = m.calendar(&m.Crop)
	m.limit = m.freeze.limits(&m.Crop, &m.days.pool)
	own, weeks := m.freeze.windows(m.Crop, &m.limit)
	m.own, m.Windows, m.Weeks = own, own, []CropYear{weeks}
	m.shut()
}

// othersWindows makes the windows of the other crops of the job beside what else is made of the
// season; what it gives waits for them.
func (m *maker) othersWindows() (wait func()) {
	if len(m.job.Others) == 0 {
		return func() {}
	}
	var broken any // our own mistake, met there
	var windows []Window
	var weeks []CropYear
	own := m.Weeks[0]
	done := make(chan struct{})
	go func() {
		defer close(done)
		defer func() { broken = recover() }()
		windows, weeks = m.allWindows(m.own, own)
	}()
	return func() {
		if <-done; broken != nil {
			panic(broken)
		}
		m.Windows, m.Weeks = windows, weeks
	}
}

// allWindows gives the windows of the job's other crops, and in its place or before them those
// of the crop that is grown, which are known.
func (m *maker) allWindows(own []Window, ownWeeks CropYear) (windows []Window, weeks []CropYear) {
	weeks = make([]CropYear, 0, len(m.job.Others)+1)
	if !slices.ContainsFunc(m.job.Others, func(k crop.Crop) bool { return k.ID == m.Crop.ID }) {
		windows, weeks = slices.Clone(own), append(weeks, ownWeeks)
	}
	warmest := slices.Max(m.days.pool[:])
	for i := range m.job.Others {
		k := &m.job.Others[i]
		if k.ID == m.Crop.ID {
			windows, weeks = append(windows, own...), append(weeks, ownWeeks)
			continue
		}
		o := m.ground.shutters.open(k, m.calendar(k), &m.days.pool, warmest)
		windows, weeks = append(windows, o.windows...), append(weeks, o.weeks)
	}
	return windows, weeks
}

// opened is the windows of a crop, and all that they rest on.
type opened struct {
	windows []Window
	weeks   CropYear
	course  *course
	freeze  *sky.FreezeTable
	warm    bool
	pool    [365]float64 // where it is ever too warm
}

// shutters are the windows of a catalogue's crops as they were made last; several grounds may
// share them.
type shutters struct {
	mutex sync.Mutex
	of    map[string]*opened
}

// open gives the windows of a crop, of which the warmest day of the pool is given: those that are
// known, where they rest on the same.
func (s *shutters) open(k *crop.Crop, c *calendar, pool *[365]float64, warmest float64) *opened {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	hot := warmest > k.RootUpper.Celsius()
	if o := s.of[k.ID]; o != nil && o.course == c.course && o.freeze == c.freeze && o.warm == hot && (!hot || o.pool == *pool) {
		return o
	}
	o := &opened{course: c.course, freeze: c.freeze, warm: hot, pool: *pool}
	day := c.limits(k, pool)
	o.windows, o.weeks = c.windows(*k, &day)
	s.of[k.ID] = o
	return o
}

// kills says whether a stand of so many days from a day of the year (index from 0) ends
// in a freeze that kills the grown crop: it may be slower than the span that its window
// rests on. The freeze is too likely in the whole stand, and the days beyond that span
// bring it in more than one year of ten; in spring they bring none.
func (m *maker) kills(from, days int) bool {
	c := m.freeze
	span, day := c.spans[from], sky.DayOfYear(from+1)
	return c.freeze.LogOf(day, days) < c.most && c.freeze.LogOf(day+sky.DayOfYear(span), days-span) < c.tender
}

// shut says what keeps the grown crop off the raft on open days that are too few for a
// window: the limit of those about them.
func (m *maker) shut() {
	day := m.limit
	for i, l := range day {
		open := func(w Window) bool { return w.Holds(sky.DayOfYear(i + 1)) }
		if l != None || slices.ContainsFunc(m.own, open) {
			continue
		}
		for d := i; m.limit[i] == None && d < i+shortest; d++ {
			m.limit[i] = day[d%365]
		}
	}
}
